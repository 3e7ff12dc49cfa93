"""How late anything may be in a plan that is no worse than the one at hand.

Every round costs at least what it costs when made at once; what is left of the present cost is the
most that one round may take. That bounds every time in the model without losing a better plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from solver.goal import FIRST, LATE_STEPS_PCT, RoundTimes, round_cost
from solver.timing import Engine
from solver.timing.arrays import (
    F_HOLD,
    F_MADE,
    F_TAIL,
    F_TICKET,
    NEVER,
    NUM_OPEN,
    PLACED,
    PROMISE,
    PUT_FIRST,
    SIT_PRICE,
    WEIGHT,
)
from solver.timing.score import MEAN, WORST
from solver.units import paced_ds

from .columns import Column, pace_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round of the goal; deciseconds from the moment.

    Attributes
    ----------
    ticket : int
        Position among the engine's tickets.
    placed_ds, promise_ds, weight : int
    sits_from_ds : tuple of int
        For each drink of it that is made already, when its hold limit ends.
    sit_price : int
    earliest_ds : int
        Its last drink is made no sooner: one is made, or will be, by a build in hand.
    latest_ds : int
        Nor later, in a plan that is no worse than the present one.
    """

    ticket: int
    placed_ds: int
    promise_ds: int
    weight: int
    sits_from_ds: tuple[int, ...]
    sit_price: int
    earliest_ds: int
    latest_ds: int = 0

    def cost(self, last_ds: int) -> int:
        """Give the round's part of the goal, but for how long drinks of the plan sit."""
        sat_ds = sum(max(0, last_ds - at) for at in self.sits_from_ds)
        return round_cost(self._times(last_ds), 0) + self.sit_price * sat_ds

    def late_from_ds(self) -> tuple[int, ...]:
        """Give the waits past which every further second costs one more."""
        return tuple(self.promise_ds * pct // 100 for pct in LATE_STEPS_PCT)

    def _times(self, last_ds: int) -> RoundTimes:
        return RoundTimes(
            ticket="",
            placed_ds=self.placed_ds,
            promise_ds=self.promise_ds,
            weight=self.weight,
            made=((last_ds, 0),),
        )


def rounds_of(engine: Engine) -> list[Round]:
    """Give the rounds that count, each with the soonest it can be whole."""
    bench = engine.bench
    sits: dict[int, list[int]] = {}
    soonest = {
        ticket: 0 for ticket in range(len(bench.tickets)) if bench.tickets[ticket, NUM_OPEN] > 0
    }
    for row in bench.fixed:
        ticket = int(row[F_TICKET])
        made = int(row[F_MADE]) if row[F_TAIL] < 0 else 0
        soonest[ticket] = max(soonest.get(ticket, -NEVER), made)
        if row[F_TAIL] < 0:
            sits.setdefault(ticket, []).append(made + int(row[F_HOLD]))
    return [
        Round(
            ticket=ticket,
            placed_ds=int(bench.tickets[ticket, PLACED]),
            promise_ds=int(bench.tickets[ticket, PROMISE]),
            weight=int(bench.tickets[ticket, WEIGHT]),
            sits_from_ds=tuple(sits.get(ticket, ())),
            sit_price=int(bench.house[SIT_PRICE]),
            earliest_ds=earliest,
        )
        for ticket, earliest in sorted(soonest.items())
    ]


def _latest_ds(one: Round, most: int) -> int:
    """Give the latest last drink at which the round costs no more than `most`."""
    low, high = one.earliest_ds, one.earliest_ds + max(0, most) + 1
    while high - low > 1:
        middle = (low + high) // 2
        if one.cost(middle) <= most:
            low = middle
        else:
            high = middle
    return low


def least_work_ds(engine: Engine, columns: Iterable[Column]) -> int:
    """Give the hands that any plan of these builds takes at least, in deciseconds.

    Every drink is in some build, and bears an equal part of its hands.
    """
    best_pace = min(pace_of(engine, person) for person in range(engine.num_people))
    least = dict.fromkeys(range(engine.num_drinks), NEVER)
    for column in columns:
        tails = (paced_ds(tail.length_ds, best_pace) for tail in column.pieces[1:])
        each = (column.pieces[0].length_ds + sum(tails)) // len(column.drinks)
        for drink in column.drinks:
            least[drink] = min(least[drink], each)
    return sum(least.values())


def within(engine: Engine, rounds: list[Round], primary: int) -> list[Round]:
    """Give the rounds with their latest times in a plan that leaves them so much of its cost."""
    least = {one.ticket: one.cost(one.earliest_ds) for one in rounds}
    put_first = int(engine.bench.house[PUT_FIRST])
    found = []
    for one in rounds:
        if put_first == MEAN:
            latest = _latest_ds(one, primary - sum(least.values()) + least[one.ticket])
        else:
            latest = primary // FIRST + (one.placed_ds if put_first == WORST else 0)
        found.append(replace(one, latest_ds=max(latest, one.earliest_ds)))
    return found
