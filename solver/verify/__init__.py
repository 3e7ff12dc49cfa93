"""The checker: which rules a plan breaks, from the snapshot and the plan alone.

Written apart from every planner. It reads what work there is (`work`), what may share (`builds`),
what can be made now (`snapshot`) and the goal (`goal`), and lays nothing on the clock itself: the
plan says when, and every rule asks whether that can be. Reading order: `broken` (the rules by
name), `case` (a plan beside its snapshot), `builds`, `times`, `shifts`, `shared`, `order`.
"""

from __future__ import annotations

from solver.plan import Plan
from solver.snapshot import Rail, Snapshot, rail_of

from .broken import RULES, Broken
from .builds import check_builds
from .case import Case
from .order import check_order
from .shared import check_shared
from .shifts import check_shifts
from .times import check_times

__all__ = ["RULES", "Broken", "verify"]


def verify(snapshot: Snapshot, plan: Plan, *, rail: Rail | None = None) -> tuple[Broken, ...]:
    """Say which rules a plan breaks; it breaks none when the answer is empty.

    A plan that makes no sense (a person nobody knows, a drink that is not on the rail, a time that
    is not a number) is answered in the same way: nothing in a plan raises.

    Parameters
    ----------
    snapshot : Snapshot
    plan : Plan
    rail : Rail or None
        `rail_of` of this snapshot, where the caller has it already.
    """
    case = Case(snapshot, plan, rail_of(snapshot) if rail is None else rail)
    return (
        *check_builds(case),
        *check_times(case),
        *check_shifts(case),
        *check_shared(case),
        *check_order(case),
    )
