"""What comes too late for the hard stop is set aside, as the service does it before every plan.

To find it (`solver.planner.in_time`) every baseline is laid once for each round that is given up,
which takes seconds where a hundred drinks are left over. So it is asked for only where the hard
stop is near, and at most once a minute of the night while something is too late; between two looks
what was given up stays so, and rounds that came since are younger than what was given up already.
"""

from __future__ import annotations

from dataclasses import replace

from solver.plan import Plan
from solver.planner import in_time
from solver.snapshot import Snapshot

from .bar import Bar

STOP_IS_FAR_S = 1800.0
"""Where the order as it stands ends so long before the hard stop, nothing is too late."""

LOOK_MS = 60_000


class TooLate:
    """Remembers for a minute what was given up.

    Parameters
    ----------
    bar : Bar
    """

    def __init__(self, bar: Bar) -> None:
        self._bar = bar
        self._looked_ms = 0
        self._late: set[str] = set()
        self._seen: set[str] = set()

    def set_aside(self, snapshot: Snapshot, previous: Plan | None) -> Snapshot:
        """Give the snapshot with the drinks for which no time is left.

        Parameters
        ----------
        snapshot : Snapshot
        previous : Plan or None
            The order as it stands, in seconds from the snapshot's moment.
        """
        stop_s = snapshot.hard_stop_s
        if stop_s is None or stop_s - _end_s(previous) > STOP_IS_FAR_S:
            return snapshot
        if self._late and self._bar.now < self._looked_ms + LOOK_MS:
            held = {drink for build in snapshot.in_hand for drink in build.drinks}
            late = tuple(
                drink.id
                for ticket in snapshot.tickets
                for drink in ticket.drinks
                if (drink.id in self._late or ticket.id not in self._seen)
                and drink.id not in held
                and drink.made_s is None
            )
            return replace(snapshot, too_late=late)
        found = in_time(snapshot)
        self._looked_ms = self._bar.now
        self._late = set(found.too_late)
        self._seen = {ticket.id for ticket in snapshot.tickets}
        return found


def _end_s(plan: Plan | None) -> float:
    """Give when the last hands of an order are free."""
    builds = plan.builds if plan is not None else ()
    return max((block.end_s for build in builds for block in build.blocks), default=0.0)
