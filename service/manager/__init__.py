"""What the manager asks for: the bar's set-up as text, simulated rushes, how a night went."""
