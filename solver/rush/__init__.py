"""A simulated stretch of service: who comes and orders what, and how evenly hands work."""
