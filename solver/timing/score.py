"""The goal on flat arrays: what `goal.cost_of` says of the times on a clock.

`goal` is the formula and is what `verify` uses; this is its compiled mirror. A test holds the
two together.
"""

from __future__ import annotations

from solver.goal import FIRST, LATE_STEPS_PCT, TIE

from .arrays import (
    ALLOWED,
    EXCESS,
    F_HOLD,
    F_TICKET,
    HOLD_LIMIT,
    LAST,
    MADE,
    NEVER,
    NEXT_LINE_PCT,
    NUM_FLOOR,
    NUM_ON,
    ON_PASS,
    PASS_PRICE,
    PASS_ROOM,
    PLACED,
    PROMISE,
    PUT_FIRST,
    SIT_PRICE,
    TICKET,
    WEIGHT,
    WORK,
    Bench,
    Clock,
)
from .compiling import entry, inner

MEAN, WORST, CLEAR = range(3)
STARVING_PRICE = 1000
"""What a second beyond the longest time allowed costs during a search; no kept plan pays it.

Times `FIRST` where something is put first, as a second of that costs so much itself.
"""


@inner
def _standing(bench: Bench, clock: Clock, at: int) -> int:
    """How many glasses stand on the pass: floor drinks whose round is not whole yet."""
    standing = 0
    for drink in range(len(bench.drinks)):
        ticket = bench.drinks[drink, TICKET]
        if bench.tickets[ticket, ON_PASS]:
            standing += clock.drinks[drink, MADE] <= at < clock.tickets[ticket, LAST]
    for i in range(len(bench.fixed)):
        ticket = bench.fixed[i, F_TICKET]
        if bench.tickets[ticket, ON_PASS]:
            standing += clock.fixed_made[i] <= at < clock.tickets[ticket, LAST]
    return standing


@inner
def _crowded(bench: Bench, clock: Clock) -> int:
    """Glasses too many on the pass, counted each time a floor drink is made."""
    room = bench.house[PASS_ROOM]
    total = 0
    for drink in range(len(bench.drinks)):
        if bench.tickets[bench.drinks[drink, TICKET], ON_PASS]:
            total += max(0, _standing(bench, clock, clock.drinks[drink, MADE]) - room)
    for i in range(len(bench.fixed)):
        if bench.tickets[bench.fixed[i, F_TICKET], ON_PASS]:
            total += max(0, _standing(bench, clock, clock.fixed_made[i]) - room)
    return total


@entry
def score(bench: Bench, clock: Clock) -> int:
    """Give the goal's value for the times on the clock, with what starving rounds cost.

    `Clock.notes` tells how far rounds starve: 0 in a plan that keeps the rule.
    """
    total = count = worst = clear = excess = 0
    for ticket in range(len(bench.tickets)):
        last = clock.tickets[ticket, LAST]
        if last <= -NEVER:
            continue
        waited = last - bench.tickets[ticket, PLACED]
        promise = bench.tickets[ticket, PROMISE]
        late = 0
        for pct in LATE_STEPS_PCT:
            late += max(0, waited - promise * pct // 100)
        total += bench.tickets[ticket, WEIGHT] * (waited + late)
        excess += max(0, waited - bench.tickets[ticket, ALLOWED])
        worst = max(worst, waited)
        clear = max(clear, last)
        count += 1
    sat = 0
    for drink in range(len(bench.drinks)):
        over = (
            clock.tickets[bench.drinks[drink, TICKET], LAST]
            - clock.drinks[drink, MADE]
            - bench.drinks[drink, HOLD_LIMIT]
        )
        sat += max(0, over)
    for i in range(len(bench.fixed)):
        ticket = bench.fixed[i, F_TICKET]
        sat += max(0, clock.tickets[ticket, LAST] - clock.fixed_made[i] - bench.fixed[i, F_HOLD])
    total += bench.house[SIT_PRICE] * sat
    if 0 < bench.house[PASS_ROOM] < bench.house[NUM_FLOOR]:
        total += bench.house[PASS_PRICE] * _crowded(bench, clock)
    people = max(1, bench.house[NUM_ON])
    price = bench.house[NEXT_LINE_PCT] * max(0, count - people) // (100 * people)
    total += price * clock.notes[WORK]
    if count == 0:
        return 0
    price = STARVING_PRICE
    if bench.house[PUT_FIRST] == WORST:
        price *= FIRST
        total = FIRST * worst + total // count
    elif bench.house[PUT_FIRST] == CLEAR:
        price *= FIRST
        total = FIRST * clear + total // count
    clock.notes[EXCESS] = excess
    return int((total + price * excess) * TIE + min(clear, TIE - 1))
