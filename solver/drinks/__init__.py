"""What can be computed about a drink from what is in it: for now its allergens."""
