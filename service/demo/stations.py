"""A robot at each station: it works at a person's pace and taps where a person would.

It knows what a screen knows. Where somebody else taps at its station, it steps back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from service.api.models import BuildCard, BuildOrder, Stretch
from solver.rush.hands import Hands

from .paced import PacedClock
from .wire import Wire, card_of

STEP_BACK_S = 60.0
"""So long nobody but the person taps at a station, in seconds of the world."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """The next tap: ``start`` or ``made`` on a build, for work that begins at `since`.

    `stretch` is what is worked on until then; None where the hands only take up a build.
    """

    verb: str
    build: str
    since: datetime
    stretch: Stretch | None = None

    @property
    def what(self) -> tuple[str, str, int]:
        """What the tap is about; while it stays the same, so does its time."""
        return self.verb, self.build, self.stretch.index if self.stretch else 0


class Robot:
    """One pair of hands that follows the build order of one bartender.

    Parameters
    ----------
    wire : Wire
    clock : PacedClock
    person : str
        Whose station it stands at.
    hands : Hands
    on_step_back : callable
        Called with the station's name when a person takes over.
    """

    def __init__(
        self,
        wire: Wire,
        clock: PacedClock,
        person: str,
        hands: Hands,
        *,
        on_step_back: Callable[[str], None] = lambda _: None,
    ) -> None:
        self._wire = wire
        self._clock = clock
        self._person = person
        self._hands = hands
        self._on_step_back = on_step_back
        self._expected: str | None = None
        self._seen = -1
        self._back_at: float | None = None
        self._tap: tuple[Coming, datetime] | None = None

    async def work(self) -> None:
        """Work for as long as this runs."""
        while True:
            order = await self._wire.order(since=self._seen)
            self._look_for_a_person(order)
            coming = coming_of(order, self._person, self._clock.now())
            if coming is None or (self._tap and self._tap[0].what != coming.what):
                self._tap = None
            if coming is not None and self._tap is None:
                self._tap = (coming, coming.since + self._takes(coming.stretch))
            wait_s = self._world_s_until_tap()
            if self._tap is not None and wait_s is not None and wait_s <= 0:
                await self._do(self._tap[0])
            else:
                await self._wire.change(timeout_s=wait_s)

    def _look_for_a_person(self, order: BuildOrder) -> None:
        here = at_hand(order, self._person)
        is_new = here != self._expected and self._seen >= 0
        # Another robot may have finished what stood in these hands: a coffee beside its stout.
        if is_new and not self._wire.is_own_work(self._expected, here):
            if self._back_at is None:
                self._on_step_back(card_of(order, self._person).station_name)
            self._back_at = self._clock.monotonic() + STEP_BACK_S
        self._expected, self._seen = here, max(self._seen, 0)

    def _world_s_until_tap(self) -> float | None:
        """Give seconds of this world until something is to be done; None for until a change."""
        waits = []
        if self._tap is not None:
            waits.append((self._tap[1] - self._clock.now()).total_seconds() / self._clock.pace)
        if self._back_at is not None:
            waits.append(self._back_at - self._clock.monotonic())
            if waits[-1] <= 0:
                self._back_at = None
        return max(waits, default=None)

    def _takes(self, stretch: Stretch | None) -> timedelta:
        took_s = self._hands.taps_after_s()
        if stretch is not None:
            planned_s = (stretch.planned_end - stretch.planned_start).total_seconds()
            num_steps = len(stretch.say) + 1
            took_s += self._hands.takes_s([planned_s / num_steps] * num_steps)
        return timedelta(seconds=took_s)

    async def _do(self, coming: Coming) -> None:
        told = await self._wire.tap(coming.build, coming.verb, self._person)
        self._tap = None
        if told is None:
            # Somebody was quicker, or the order has changed: look again.
            await self._wire.change(timeout_s=1.0)
            return
        self._expected, self._seen = told["started"], told["revision"]


def at_hand(order: BuildOrder, person: str) -> str | None:
    """Give the build that a bartender's hands are on."""
    stretches = _stretches(order, person)
    return next((build.id for build, stretch in stretches if stretch.state == "in_hand"), None)


def coming_of(order: BuildOrder, person: str, now: datetime) -> Coming | None:
    """Give the next tap of a bartender; None where there is nothing to do."""
    mine = card_of(order, person)
    for build, stretch in _stretches(order, person):
        if stretch.state == "in_hand":
            since = stretch.started_at or now
            return Coming(verb="made", build=build.id, since=since, stretch=stretch)
    free = max(now, mine.serving_until or now)
    finishing = [
        (stretch.planned_start, Coming(verb="made", build=build.id, since=ready, stretch=stretch))
        for build, stretch in _stretches(order, person)
        if stretch.state == "to_come" and stretch.index and not build.is_at_hand
        for ready in [max(stretch.ready_at or now, free)]
    ]
    first = min(finishing, key=lambda row: row[0], default=None)
    if first is not None and (mine.next is None or first[0] <= mine.next.planned_start):
        return first[1]
    if mine.next is None or not mine.is_on:
        return None
    return Coming(verb="start", build=mine.next.id, since=free)


def _stretches(order: BuildOrder, person: str) -> Iterator[tuple[BuildCard, Stretch]]:
    """Give the stretches of builds in hand that are a bartender's, of whoever's build."""
    for card in order.bartenders:
        for build in card.now:
            for stretch in build.stretches:
                if stretch.bartender == person:
                    yield build, stretch
