"""When somebody comes onto the floor and leaves it: shift, breaks, called away.

Breaks and the end of a shift stand on the rota: everybody knows them ahead, and the screen with
them (`PersonNow.away`). Being called away is known when it happens.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any

import simpy

from .bar import Bar, shift_of
from .records import PersonNow
from .supplies import to_ms

SOON_MS = 20 * 60_000
"""Whoever comes within this is planned with: a full rail is about as long, and nobody waits an
hour for the one who may light a flame."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leave:
    """Leaving the floor: from when on, for how long (None for good), and why.

    `words` are empty for what stands on the rota.
    """

    at_ms: int
    for_ms: int | None
    words: str

    @property
    def on_the_clock(self) -> tuple[int, int | None]:
        """From when until when by the clock on the wall; until None for good."""
        return self.at_ms, None if self.for_ms is None else self.at_ms + self.for_ms


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
        self._since_ms = to_ms(scenario.since_s(shift.since))
        for rest in shift.breaks:
            self._add(rest.at, rest.minutes * 60, "")
        for away in scenario.troubles.called_away:
            if away.person == person.id:
                self._add(away.at, away.for_s, "was called away")
        if shift.until:
            self._add(shift.until, None, "")
        self._leaves.sort(key=lambda leave: leave.at_ms)
        person.away = [leave.on_the_clock for leave in self._leaves if not leave.words]

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
            yield self._bar.env.timeout(max(0, self._since_ms - SOON_MS))
            self._bar.put_on_floor(self._me, is_on=False, back_ms=self._since_ms)
            yield self._bar.env.timeout(self._since_ms - self._bar.now)
        self._come()

    def leave(self) -> Generator[simpy.Event, Any, bool]:
        """Leave the floor, and come back; False where the shift is over."""
        bar, me, leave = self._bar, self._me, self._leaves.pop(0)
        self._count_on()
        if leave.words:
            bar.say(f"{me.person.station}: {leave.words}")
        else:
            me.away.remove(leave.on_the_clock)
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
