"""What people and tills do to a bar, each a function on a draft of its state.

`hands` starts, makes and puts back builds; `drinks`, `rounds` and `placing` are about what was
ordered; `stock` and `events` about what the bar has; `undo` takes back.
"""
