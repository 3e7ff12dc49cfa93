"""When somebody comes onto the floor and leaves it: shift, breaks, called away."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import simpy

from .bar import Bar, shift_of
from .records import PersonNow
from .supplies import to_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leave:
    """Leaving the floor: from when on, for how long (None for good), and why."""

    at_ms: int
    for_ms: int | None
    words: str


class Away:
    """One person's comings and goings. They leave when their hands are free.

    Parameters
    ----------
    bar : Bar
    person : PersonNow
    """

    def __init__(self, bar: Bar, person: PersonNow) -> None:
        self._bar, self._me = bar, person
        scenario, shift = bar.scenario, shift_of(bar.rush, person.id)
        self._since_ms = 0
        self._leaves: list[_Leave] = []
        if shift is None:
            return
        self._since_ms = to_ms(scenario.at_s(shift.since)) if shift.since else 0
        for rest in shift.breaks:
            self._add(rest.at, rest.minutes * 60, "")
        for away in scenario.troubles.called_away:
            if away.person == person.id:
                self._add(away.at, away.for_s, "was called away")
        if shift.until:
            self._add(shift.until, None, "")
        self._leaves.sort(key=lambda leave: leave.at_ms)

    def _add(self, at: str, for_s: float | None, words: str) -> None:
        for_ms = None if for_s is None else to_ms(for_s)
        at_ms = to_ms(self._bar.scenario.at_s(at))
        self._leaves.append(_Leave(at_ms=at_ms, for_ms=for_ms, words=words))

    @property
    def is_due(self) -> bool:
        """Whether it is time to leave the floor."""
        return bool(self._leaves) and self._leaves[0].at_ms <= self._bar.now

    def come(self) -> Generator[simpy.Event, Any, None]:
        """Come onto the floor when the shift begins."""
        for leave in self._leaves:
            self._bar.later(leave.at_ms - self._bar.now, self._bar.stir)
        if self._since_ms > 0:
            yield self._bar.env.timeout(self._since_ms)
        self._come()

    def leave(self) -> Generator[simpy.Event, Any, bool]:
        """Leave the floor, and come back; False where the shift is over."""
        bar, me, leave = self._bar, self._me, self._leaves.pop(0)
        self._count_on()
        if leave.words:
            bar.say(f"{me.person.station}: {leave.words}")
        back_ms = None if leave.for_ms is None else bar.now + leave.for_ms
        bar.put_on_floor(me, is_on=False, back_ms=back_ms)
        if leave.for_ms is None:
            return False
        yield bar.env.timeout(leave.for_ms)
        self._come()
        return True

    def _come(self) -> None:
        self._me.on_since_ms = self._bar.now
        self._bar.put_on_floor(self._me, is_on=True)

    def _count_on(self) -> None:
        self._me.on.add(self._me.on_since_ms, self._bar.now)
