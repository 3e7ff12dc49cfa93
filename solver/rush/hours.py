"""The hours of a night, by the clock on the wall: what lies within them, and what never happens.

A night may go past midnight, so a time before the doors and one after the hard stop differ only
by which of the two is nearer.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from solver.errors import BadValue
from solver.units import DAY_S

_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """When the doors open, when the last order is taken, when hands stop."""

    doors: str
    last_orders: str
    hard_stop: str

    def at_s(self, clock: str) -> float:
        """Give a clock time in seconds from the opening of the doors, 0 to a day."""
        return float((seconds_of_day(clock) - seconds_of_day(self.doors)) % DAY_S)

    def check_order(self, what: str, at: str) -> None:
        """Refuse what orders when nobody may.

        Parameters
        ----------
        what : str
            As in "… between 19:00 and 00:30".
        at : str

        Raises
        ------
        BadValue
        """
        self._check(what, at, self.last_orders)

    def check_happening(self, what: str, at: str) -> None:
        """Refuse what would happen while nobody works (`BadValue`); as `check_order`."""
        self._check(what, at, self.hard_stop)

    def _check(self, what: str, at: str, until: str) -> None:
        if self.at_s(at) >= self.at_s(until):
            raise BadValue(f"{what} between {self.doors} and {until}, which are this night", at)

    def check_shift(self, whose: str, since: str, until: str) -> None:
        """Refuse a shift that is over before it begins, or before the doors open.

        Parameters
        ----------
        whose : str
            As in "… to leave after coming".
        since, until : str
            Empty for the doors, and for when all is done.

        Raises
        ------
        BadValue
        """
        if not until:
            return
        stop_s, until_s = self.at_s(self.hard_stop), self.at_s(until)
        since_s = self.at_s(since) if since else 0.0
        if until_s > stop_s:
            # Later than hands stop is until the end; but six in the evening is before the doors.
            if DAY_S - until_s < until_s - stop_s:
                expected = f"{whose} to leave after the doors open at {self.doors}"
                raise BadValue(expected, until)
            return
        if since_s > stop_s:
            # They come before the doors open.
            since, since_s = "", 0.0
        if until_s <= since_s:
            raise BadValue(f"{whose} to leave after coming at {since or self.doors}", until)


def seconds_of_day(clock: str) -> int:
    """Give a clock time, ``"22:10"`` or ``"22:10:30"``, in seconds from midnight.

    Raises
    ------
    BadValue
    """
    found = _CLOCK.fullmatch(clock.strip())
    if found is None:
        raise BadValue("a time of the night such as 22:10", clock)
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return 3600 * hours + 60 * minutes + seconds
