"""Serves bar-top rounds: whoever finished one hands it over and takes the money at once."""

from __future__ import annotations

from .arrays import (
    AT,
    BEGIN,
    BLOCK,
    DRINK,
    END,
    FREE_FROM,
    HAS_LEFT,
    IS_SERVED,
    LAST,
    LAST_BY,
    NEVER,
    NUM_BUILDS,
    NUM_BUSY,
    NUM_LEFT,
    NUM_WAITS,
    PACE,
    R_TILL,
    SERVE,
    SERVE_BY,
    SERVE_START,
    SIZE,
    TAIL_START,
    TAIL_WHO,
    TICKET,
    WHO,
    Bench,
    Clock,
    Ints,
    Slots,
)
from .assemble import paced
from .compiling import inner
from .room import earliest, occupy, release, take, until_free


@inner
def made_at(item: Ints, main: int, tails: Ints, people: Ints) -> int:
    """When a drink of a build is made whose block 0 starts at `main`."""
    if item[BLOCK] == 0:
        return int(main + item[AT])
    tail = tails[item[BLOCK] - 1]
    return int(tail[TAIL_START] + paced(item[AT], people[tail[TAIL_WHO], PACE]))


@inner
def completes_a_round(items: Ints, n: int, drinks: Ints, tickets: Ints, left: Ints) -> bool:
    """Whether a build might hold all open drinks of a round that is served."""
    for i in range(n):
        ticket = drinks[items[i, DRINK], TICKET]
        if tickets[ticket, IS_SERVED] and left[ticket, NUM_LEFT] <= n:
            return True
    return False


@inner
def leaves_a_round_waiting(bench: Bench, slots: Slots, clock: Clock, slot: int) -> int:
    """How much later a build must be, lest a round it completes waits behind another build.

    Whoever finished a bar-top round serves it before they start another build. Builds that stand
    before this one in the list are laid already; where one of them would start between the
    round's last drink and its serving, this build is made after that start instead.
    """
    num_served = later = 0
    n = slots.builds[slot, SIZE]
    for i in range(n):
        ticket = bench.drinks[slots.items[slot, i, DRINK], TICKET]
        if not bench.tickets[ticket, IS_SERVED] or clock.tickets[ticket, NUM_LEFT] > n:
            continue
        own = is_later = 0
        own_last = -NEVER
        last, by = clock.tickets[ticket, LAST], clock.tickets[ticket, LAST_BY]
        for j in range(n):
            if bench.drinks[slots.items[slot, j, DRINK], TICKET] == ticket:
                item = slots.items[slot, j]
                at = made_at(item, clock.start[slot], clock.tails[slot], bench.people)
                own += 1
                is_later += j > i
                own_last = max(own_last, at)
                if at > last:
                    last, by = at, slots.builds[slot, WHO]
                    if item[BLOCK] > 0:
                        by = clock.tails[slot, item[BLOCK] - 1, TAIL_WHO]
        # Counted once, at its last drink, in the order in which `_count_made` serves them.
        if is_later or own < clock.tickets[ticket, NUM_LEFT]:
            continue
        by = _who_serves(bench, clock, by, last)
        at = _serving_time(bench, clock, by, last)
        for j in range(clock.people[by, NUM_BUILDS]):
            if last <= clock.begun[by, j] < at:
                later = max(later, clock.begun[by, j] + 1 - own_last)
        clock.served[num_served] = ticket
        num_served += 1
        _take_serving(bench, clock, ticket, at, by, last)
    for i in range(num_served - 1, -1, -1):
        by = clock.tickets[clock.served[i], SERVE_BY]
        at = clock.tickets[clock.served[i], SERVE_START]
        release(clock.people[by], clock.busy[by], at)
        clock.people[by, NUM_WAITS] -= 1
        clock.num_held[bench.house[R_TILL]] -= 1
        clock.tickets[clock.served[i], SERVE_START] = NEVER
    return later


@inner
def record(tickets: Ints, ticket: int, at: int, by: int) -> None:
    """Note that a drink of a round is made."""
    if at > tickets[ticket, LAST]:
        tickets[ticket, LAST] = at
        tickets[ticket, LAST_BY] = by


@inner
def _serving_time(bench: Bench, clock: Clock, by: int, last: int) -> int:
    """Earliest time at which hands and till are free for a round whose last drink is made."""
    till = bench.house[R_TILL]
    length = paced(bench.house[SERVE], bench.people[by, PACE])
    at = max(last, bench.people[by, FREE_FROM], 0)
    while True:
        at = earliest(clock.busy[by], clock.people[by, NUM_BUSY], at, length)
        wait = until_free(
            clock.held[till], clock.num_held[till], bench.capacity[till], at, at + length
        )
        if wait == 0:
            return at
        at += wait


@inner
def _who_serves(bench: Bench, clock: Clock, by: int, last: int) -> int:
    """Whoever finished the round; where they have left the floor, who has hands for it first."""
    if by >= 0:
        return by
    best, who = NEVER, 0
    for person in range(len(bench.people)):
        if bench.people[person, HAS_LEFT]:
            continue
        at = _serving_time(bench, clock, person, last)
        if at < best:
            best, who = at, person
    return who


@inner
def _take_serving(bench: Bench, clock: Clock, ticket: int, at: int, by: int, last: int) -> None:
    length = paced(bench.house[SERVE], bench.people[by, PACE])
    occupy(clock.people[by], clock.busy[by], at, at + length)
    waits = clock.waits[by, clock.people[by, NUM_WAITS]]
    waits[BEGIN], waits[END] = max(last, 0), at
    clock.people[by, NUM_WAITS] += 1
    take(clock.num_held, clock.held, bench.house[R_TILL], at, at + length)
    clock.tickets[ticket, SERVE_START] = at
    clock.tickets[ticket, SERVE_BY] = by


@inner
def serve(bench: Bench, clock: Clock, ticket: int) -> None:
    """Hand a finished bar-top round over and take the money, by whoever finished it."""
    if bench.house[R_TILL] < 0 or not bench.tickets[ticket, IS_SERVED]:
        return
    last = clock.tickets[ticket, LAST]
    by = _who_serves(bench, clock, clock.tickets[ticket, LAST_BY], last)
    _take_serving(bench, clock, ticket, _serving_time(bench, clock, by, last), by, last)
