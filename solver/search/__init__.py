"""Local search over lists of builds: which drinks share, who makes them, in which order.

Reading order: `chance`, `moves`, `anneal`, `walk` (what the planner calls).
"""

from .walk import Search, search_is_compiled

__all__ = ["Search", "search_is_compiled"]
