"""The bar as its screen knows it: a snapshot for the planner, made as the service makes one.

What was tapped and told is in it, at the times it was heard; where hands really are is not.
Glasses, the washer and what is out are taken as known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from solver.counter import Counter, Vessel
from solver.snapshot import (
    Away,
    BlockRun,
    GlassesBack,
    InHand,
    InWasher,
    Pinned,
    Presence,
    Shortage,
    Snapshot,
)
from solver.steady import overtakes, shake_from_s
from solver.tickets import Drink, Ticket
from solver.work import serving_ds

from .bar import Bar
from .dispatch import main_ms
from .records import BuildNow, DrinkNow, Now, PersonNow, RoundNow
from .supplies import to_ms


def seconds(ms: int) -> float:
    """Give milliseconds in seconds, a multiple of 0.1."""
    return round(ms / 100) / 10


class Screen:
    """Makes snapshots of a bar.

    Parameters
    ----------
    bar : Bar
    """

    def __init__(self, bar: Bar) -> None:
        self._bar = bar
        self._counter: tuple[tuple[int, int], Counter] | None = None
        self._last_orders_ms = to_ms(bar.scenario.last_orders_s)
        self._hard_stop_ms = to_ms(bar.scenario.hard_stop_s)

    def snapshot(
        self, rounds: Sequence[RoundNow] | None = None, pinned: tuple[Pinned, ...] = ()
    ) -> Snapshot:
        """Give the snapshot of this moment.

        Parameters
        ----------
        rounds : sequence of RoundNow, optional
            Only these of the open rounds, and those of builds in hand; all of them by default.
        pinned : tuple of Pinned
        """
        bar = self._bar
        builds = [build for build in bar.builds if build.is_heard_in_hand and build.blocks]
        held = {drink.round: None for build in builds for drink in build.drinks}
        wanted = dict.fromkeys(bar.open if rounds is None else rounds)
        shown = [one for one in _by_age({**wanted, **held}) if one in held or one.is_heard_open]
        passed = overtakes(
            {one.id: (one.channel.value, one.placed_ms) for one in shown},
            {channel.value: placed for channel, placed in bar.whole.items()},
        )
        in_hand = [found for build in builds if (found := self._in_hand(build))]
        return Snapshot(
            bar=bar.rush.house.id,
            menu=bar.rush.house.menu,
            standards=bar.rush.house.standards,
            counter=self._counter_now(),
            people_on=tuple(self._people({build.person for build in in_hand})),
            tickets=tuple(self._ticket(one, passed[one.id]) for one in shown),
            in_hand=tuple(in_hand),
            pinned=pinned,
            short=tuple(
                Shortage(ingredient=name, left=0, back_s=None if at is None else self._in(at))
                for name, at in bar.shelf.out.items()
            ),
            in_washer=tuple(self._in_washer()),
            glasses_back=tuple(self._glasses_back()),
            last_orders_s=seconds(self._last_orders_ms - bar.now),
            hard_stop_s=seconds(self._hard_stop_ms - bar.now),
        )

    def _in(self, at_ms: int) -> float:
        return max(0.0, seconds(at_ms - self._bar.now))

    def _counter_now(self) -> Counter:
        bar = self._bar
        version = (bar.counter_version, bar.glasses.version)
        if self._counter is None or self._counter[0] != version:
            self._counter = (version, bar.glasses.on_counter(bar.counter))
        return self._counter[1]

    def _ticket(self, one: RoundNow, passed: int) -> Ticket:
        now = self._bar.now
        drinks = [d for d in one.drinks if d.heard is not Now.OVER]
        return Ticket(
            id=one.id,
            number=one.number,
            channel=one.channel,
            placed_s=min(0.0, seconds(one.placed_ms - now)),
            promise_s=one.promise_s,
            lines=tuple(drink.line for drink in drinks),
            drinks=tuple(
                Drink(id=drink.id, line=n, made_s=self._made_s(drink))
                for n, drink in enumerate(drinks)
            ),
            overtaken=passed,
        )

    def _made_s(self, drink: DrinkNow) -> float | None:
        if drink.heard_made_ms is None:
            return None
        return min(0.0, seconds(drink.heard_made_ms - self._bar.now))

    def _in_hand(self, build: BuildNow) -> InHand | None:
        drinks = tuple(drink.id for drink in build.drinks if drink.heard is not Now.OVER)
        if not drinks or build.blocks[0].heard_start_ms is None:
            return None
        numbers = block_numbers(self._bar, build)
        return InHand(
            build=build.id,
            person=build.person,
            drinks=drinks,
            blocks=tuple(
                BlockRun(
                    index=numbers[block.index],
                    person=block.person,
                    start_s=seconds(block.heard_start_ms - self._bar.now),
                    is_done=block.heard_end_ms is not None,
                )
                for block in sorted(build.blocks.values(), key=lambda block: block.index)
                if block.heard_start_ms is not None and block.index in numbers
            ),
            chilled_by_ice=tuple(name for name in build.by_ice if name in drinks),
        )

    def _people(self, making: set[str]) -> Iterator[Presence]:
        """Give who is on the floor or soon will be, and from when their hands are free."""
        bar = self._bar
        for name, person in bar.people.items():
            if person.is_on:
                from_ms = person.free_ms if name not in making else 0
            elif person.back_ms is not None:
                from_ms = person.back_ms
            else:
                continue
            yield Presence(
                person=name,
                from_s=self._in(from_ms),
                away=tuple(self._away(person)),
                shake_from_s=shake_from_s(self._shaken(person), bar.counter.rules),
            )

    def _away(self, person: PersonNow) -> Iterator[Away]:
        """Give somebody's breaks that are not over, and the end of their shift, by the clock."""
        now = self._bar.now
        for from_ms, until_ms in person.away:
            if until_ms is None:
                yield Away(from_s=seconds(from_ms - now))
            elif until_ms > now:
                yield Away(from_s=seconds(from_ms - now), until_s=seconds(until_ms - now))

    def _shaken(self, person: PersonNow) -> Iterator[tuple[float, float, int]]:
        """Give what the screen saw somebody make, the newest first, with its shakes."""
        now = self._bar.now
        for build in reversed(person.builds):
            block = build.blocks[0]
            if block.heard_start_ms is None:
                continue
            end_ms = block.heard_end_ms
            if end_ms is None:
                end_ms = max(now, block.heard_start_ms + main_ms(build.work, person))
            yield (block.heard_start_ms - now) / 1000, (end_ms - now) / 1000, build.num_shaken

    def _in_washer(self) -> Iterator[InWasher]:
        for back_ms, resource in self._bar.in_washer:
            vessel, _, station = resource.partition("@")
            yield InWasher(station=station, vessel=Vessel(vessel), back_s=self._in(back_ms))

    def _glasses_back(self) -> Iterator[GlassesBack]:
        counts: dict[tuple[int, str], int] = {}
        for back in self._bar.glasses.washing:
            counts[back] = counts.get(back, 0) + 1
        for (back_ms, glass), count in counts.items():
            yield GlassesBack(glass=glass, count=count, back_s=self._in(back_ms))


def block_numbers(bar: Bar, build: BuildNow) -> dict[int, int]:
    """Give the blocks of a build as the screen numbers them, by their true numbers.

    Where drinks were taken out of a build in hand, what finishes only those is no more, and what
    comes after it moves up; each block is found again by the drinks that it finishes.
    """
    kept = [n for n, drink in enumerate(build.drinks) if drink.heard is not Now.OVER]
    if len(kept) == len(build.drinks):
        return {block.index: block.index for block in build.work.blocks}
    wares = [
        replace(bar.ware(drink, drink.mix), by_ice=drink.id in build.by_ice)
        for drink in (build.drinks[n] for n in kept)
    ]
    after, _ = bar.book.work(build.person, bar.counter, bar.counter_version, wares)
    found = {0: 0}
    for block in build.work.blocks[1:]:
        made = {int(position) for position, _ in block.made}
        for left in after.blocks[1:]:
            is_same = any(kept[int(position)] in made for position, _ in left.made)
            if is_same and left.index not in found.values():
                found[block.index] = left.index
                break
    return found


def serving_ms(bar: Bar, pace: float, count: int) -> int:
    """Give how long somebody is expected to hand so many bar-top rounds over."""
    return round(serving_ds(bar.book.empty_snapshot(bar.counter)) * 100 * pace) * count


def _by_age(rounds: dict[RoundNow, None]) -> list[RoundNow]:
    return sorted(rounds, key=lambda one: (one.placed_ms, one.id))
