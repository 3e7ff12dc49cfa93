"""Errands: wells to fill, kegs to change. Barbacks do them; without one, a bartender has to."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Any

import simpy

from .bar import Bar
from .supplies import to_ms


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """Something to fetch, fill or change: what it is called, how long it takes, what it does."""

    name: str
    takes_ms: int
    done: Callable[[], None]


class Errands:
    """What has to be done besides drinks, in the order it came up.

    Parameters
    ----------
    bar : Bar
    """

    def __init__(self, bar: Bar) -> None:
        self._bar = bar
        self._waiting: list[Errand] = []
        self._at_hand: set[str] = set()
        self._num_asked: dict[str, int] = {}
        self._num_barbacks = 0
        self._come = bar.env.event()
        bar.wants_ice = self.fill_well
        barbacks = bar.scenario.barbacks
        if barbacks is None:
            spans: list[tuple[int, int | None]] = [(0, None)] * bar.counter.barbacks
        else:
            since_s = bar.scenario.since_s
            spans = [(to_ms(since_s(one.since)), self._at_ms(one.until)) for one in barbacks]
        for since_ms, until_ms in spans:
            bar.env.process(self._barback(since_ms, until_ms))

    def _at_ms(self, clock: str) -> int | None:
        return to_ms(self._bar.scenario.at_s(clock)) if clock else None

    @property
    def is_for_hands(self) -> bool:
        """Whether something waits that no barback is there for."""
        return bool(self._waiting) and self._num_barbacks == 0

    def fill_well(self, name: str) -> None:
        """Have a well filled, unless somebody is at it."""
        self._bar.wells.call_for(name)
        if name in self._at_hand or any(errand.name == name for errand in self._waiting):
            return
        takes_s = self._bar.scenario.supplies.refill_s

        def done() -> None:
            self._bar.wells.fill(name)
            self._bar.stir()

        self.ask(name, takes_s, done)

    def ask(self, name: str, takes_s: float, done: Callable[[], None]) -> None:
        """Have something done."""
        nth = self._num_asked[name] = self._num_asked.get(name, 0) + 1
        factor = self._bar.draws.factor(self._bar.scenario.scatter, "errand", name, nth)
        self._waiting.append(Errand(name=name, takes_ms=round(takes_s * 1000 * factor), done=done))
        come, self._come = self._come, self._bar.env.event()
        come.succeed()
        self._bar.stir()

    def do_next(self) -> Generator[simpy.Event, Any, None]:
        """Do what has waited longest."""
        errand = self._waiting.pop(0)
        self._at_hand.add(errand.name)
        yield self._bar.env.timeout(errand.takes_ms)
        self._at_hand.discard(errand.name)
        errand.done()

    def _barback(self, since_ms: int, until_ms: int | None) -> Generator[simpy.Event, Any, None]:
        if since_ms:
            yield self._bar.env.timeout(since_ms)
        self._num_barbacks += 1
        if until_ms is not None:
            self._bar.later(until_ms - self._bar.now, self._wake)
        while until_ms is None or self._bar.now < until_ms:
            if self._waiting:
                yield from self.do_next()
            else:
                yield self._come
        self._num_barbacks -= 1
        self._bar.stir()

    def _wake(self) -> None:
        come, self._come = self._come, self._bar.env.event()
        come.succeed()
