"""CP-SAT over enumerated builds: proves small snapshots optimal.

Reading order: `columns` (every build worth making), `limits` (how late anything may be),
`variables`, `constraints`, `equipment`, `objective`, `hint`, `solve` (what planners call).
"""

from .solve import Exact, improve

__all__ = ["Exact", "improve"]
