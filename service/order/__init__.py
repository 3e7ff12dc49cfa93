"""What is shown: state and plan become the build order, card by card, once a revision."""
