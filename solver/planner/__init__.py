"""Puts the planners together: anytime, always an answer, judged by `verify` before anyone sees it.

First the baselines and the repaired previous plan, then the local search from the best of them,
then, where the rail is short, exact proofs. What is returned is the cheapest plan that keeps
every rule, so it is never worse than a baseline or a hint that does.

Reading order: `budget`, `found`, `repair`, `bounds`, `make`.
"""

from .bounds import in_time, with_fair_bound
from .budget import Budget, Clock
from .make import Again, baseline_plan, insert, make_plan, plan_again, warm_up
from .repair import repaired

__all__ = [
    "Again",
    "Budget",
    "Clock",
    "baseline_plan",
    "in_time",
    "insert",
    "make_plan",
    "plan_again",
    "repaired",
    "warm_up",
    "with_fair_bound",
]
