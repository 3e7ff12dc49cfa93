"""Local search over lists of builds: which drinks share, who makes them, in which order.

Reading order: `chance`, `moves`, `anneal`, `walk` (what the planner calls).
"""

from .walk import Search

__all__ = ["Search"]
