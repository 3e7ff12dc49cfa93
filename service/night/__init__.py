"""A bar's night: what is remembered of it, its state in memory, and the snapshot of one moment."""
