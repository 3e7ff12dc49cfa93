"""Lays builds on people and equipment, one after the other, each as early as it fits.

The order of the list decides who gets the hands and the equipment first; a later build may still
slip into a gap that an earlier one leaves. Pinned builds are laid first, then those of rounds
that have waited too long, then the rest.
"""

from __future__ import annotations

from .arrays import (
    B_FROM,
    B_PERSON,
    B_TO,
    BEGIN,
    BLOCK,
    CLASS,
    DRINK,
    END,
    F_MADE,
    F_OFFSET,
    F_PERSON,
    F_TAIL,
    F_TICKET,
    FLOOR,
    FREE_FROM,
    H_FROM,
    H_RESOURCE,
    H_TO,
    HAS_LEFT,
    IS_SHAKEN,
    IS_URGENT,
    LAST,
    LAST_BY,
    MADE,
    MADE_BY,
    MAIN,
    MIX,
    NEVER,
    NUM_BUILDS,
    NUM_BUSY,
    NUM_LEFT,
    NUM_OPEN,
    NUM_TAILS,
    NUM_WAITS,
    OTHER,
    PACE,
    PINNED,
    RELEASE,
    SERVE_START,
    SHAKE_FROM,
    SIZE,
    T_ANYONES,
    T_BASE,
    T_EARLIEST,
    T_HOLD_FROM,
    T_HOLD_TO,
    T_OWNER,
    TAIL_START,
    TAIL_WHO,
    TICKET,
    URGENT,
    WHO,
    WORK,
    Bench,
    Clock,
    Ints,
    Slots,
)
from .assemble import paced
from .compiling import entry, inner
from .place import place
from .room import MOST_TRIES, clear_of_breaks, earliest, occupy, take, until_free
from .serving import made_at, record, serve


@inner
def _hands(bench: Bench, slots: Slots, clock: Clock, slot: int) -> int:
    """How long the hands are that a laid build takes, of whoever does its tails."""
    total = slots.builds[slot, MAIN]
    for tail in range(slots.builds[slot, NUM_TAILS]):
        pace = bench.people[clock.tails[slot, tail, TAIL_WHO], PACE]
        total += paced(slots.tail[slot, tail, 3], pace)
    return int(total)


@inner
def _count_made(bench: Bench, slots: Slots, clock: Clock, slot: int) -> None:
    """Write down when each drink of a laid build is made, and serve rounds that are complete."""
    clock.notes[WORK] += _hands(bench, slots, clock, slot)
    for i in range(slots.builds[slot, SIZE]):
        drink = slots.items[slot, i, DRINK]
        item = slots.items[slot, i]
        at = made_at(item, clock.start[slot], clock.tails[slot], bench.people)
        by = slots.builds[slot, WHO]
        if item[BLOCK] > 0:
            by = clock.tails[slot, item[BLOCK] - 1, TAIL_WHO]
        clock.drinks[drink, MADE] = at
        clock.drinks[drink, MADE_BY] = by
        ticket = bench.drinks[drink, TICKET]
        record(clock.tickets, ticket, at, by)
        clock.tickets[ticket, NUM_LEFT] -= 1
        if clock.tickets[ticket, NUM_LEFT] == 0:
            serve(bench, clock, ticket)


@inner
def _pending(bench: Bench, clock: Clock) -> None:
    """Lay the tails that builds in hand still have to come, as soon as they can be."""
    for tail in range(len(bench.tails)):
        owner = bench.tails[tail, T_OWNER]
        best, who = NEVER, owner
        for person in range(len(bench.people)):
            is_theirs = bench.tails[tail, T_ANYONES] and not bench.people[person, HAS_LEFT]
            if person != owner and not is_theirs:
                continue
            at = max(bench.tails[tail, T_EARLIEST], bench.people[person, FREE_FROM], 0)
            length = paced(bench.tails[tail, T_BASE], bench.people[person, PACE])
            for _ in range(MOST_TRIES):
                at = earliest(clock.busy[person], clock.people[person, NUM_BUSY], at, length)
                if person != owner:
                    back = clear_of_breaks(bench.away, person, at, length, 0)
                    if back >= NEVER:
                        at = NEVER
                        break
                    if back > at:
                        at = back
                        continue
                wait = _pending_wait(bench, clock, tail, person, at)
                if wait == 0:
                    break
                at += wait
            if at < best or (at == best and person == owner):
                best, who = at, person
        clock.pending[tail, TAIL_START] = best
        clock.pending[tail, TAIL_WHO] = who
        pace = bench.people[who, PACE]
        until = best + paced(bench.tails[tail, T_BASE], pace)
        occupy(clock.people[who], clock.busy[who], best, until)
        for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
            row = bench.tail_hold[h]
            begin = min(0, best) if row[1] < 0 else best + paced(row[1], pace)
            take(clock.num_held, clock.held, row[0], begin, best + paced(row[2], pace) + row[3])


@inner
def _pending_wait(bench: Bench, clock: Clock, tail: int, person: int, at: int) -> int:
    pace = bench.people[person, PACE]
    for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
        row = bench.tail_hold[h]
        if row[1] >= 0:
            wait = until_free(
                clock.held[row[0]],
                clock.num_held[row[0]],
                bench.capacity[row[0]],
                at + paced(row[1], pace),
                at + paced(row[2], pace),
            )
            if wait > 0:
                return wait
    return 0


@inner
def _reset(bench: Bench, clock: Clock) -> None:
    """Empty the clock but for what builds in hand and the washer hold."""
    clock.notes[WORK] = 0
    for person in range(len(bench.people)):
        clock.people[person, NUM_BUSY] = 0
        clock.people[person, FLOOR] = 0
        clock.people[person, NUM_WAITS] = 0
        clock.people[person, NUM_BUILDS] = 0
    for resource in range(len(bench.capacity)):
        clock.num_held[resource] = 0
    for i in range(len(bench.busy)):
        occupy(
            clock.people[bench.busy[i, B_PERSON]],
            clock.busy[bench.busy[i, B_PERSON]],
            bench.busy[i, B_FROM],
            bench.busy[i, B_TO],
        )
    for i in range(len(bench.held)):
        take(
            clock.num_held,
            clock.held,
            bench.held[i, H_RESOURCE],
            bench.held[i, H_FROM],
            bench.held[i, H_TO],
        )
    for ticket in range(len(bench.tickets)):
        clock.tickets[ticket, NUM_LEFT] = bench.tickets[ticket, NUM_OPEN]
        clock.tickets[ticket, LAST] = -NEVER
        clock.tickets[ticket, LAST_BY] = -1
        clock.tickets[ticket, SERVE_START] = NEVER
    _pending(bench, clock)
    for i in range(len(bench.fixed)):
        at, by = bench.fixed[i, F_MADE], bench.fixed[i, F_PERSON]
        tail = bench.fixed[i, F_TAIL]
        if tail >= 0:
            by = clock.pending[tail, TAIL_WHO]
            at = clock.pending[tail, TAIL_START] + paced(
                bench.fixed[i, F_OFFSET], bench.people[by, PACE]
            )
            if bench.people[by, HAS_LEFT]:
                by = -1
        clock.fixed_made[i] = at
        record(clock.tickets, bench.fixed[i, F_TICKET], at, by)
    for ticket in range(len(bench.tickets)):
        if clock.tickets[ticket, NUM_LEFT] == 0:
            serve(bench, clock, ticket)


@inner
def _raise_floors(
    bench: Bench, slots: Slots, clock: Clock, order: Ints, n: int, klass: int
) -> None:
    """Keep later classes from starting before what has to come first.

    A drink that waits for a bottle or a glass holds nobody up before that is here.
    """
    for i in range(n):
        slot = order[i]
        if slots.builds[slot, CLASS] != klass:
            continue
        start = clock.start[slot]
        if klass == PINNED:
            person = slots.builds[slot, WHO]
            clock.people[person, FLOOR] = max(clock.people[person, FLOOR], start)
            continue
        for person in range(len(bench.people)):
            since = NEVER
            for j in range(slots.builds[slot, SIZE]):
                drink = slots.items[slot, j, DRINK]
                if bench.drinks[drink, IS_URGENT] and bench.may[drink, person]:
                    ready = bench.drinks[drink, RELEASE]
                    if bench.mixes[bench.drinks[drink, MIX], IS_SHAKEN]:
                        ready = max(ready, bench.people[person, SHAKE_FROM])
                    since = min(since, ready)
            if since == 0:
                clock.people[person, FLOOR] = max(clock.people[person, FLOOR], start)
            elif since < start:
                waits = clock.waits[person, clock.people[person, NUM_WAITS]]
                waits[BEGIN], waits[END] = since, start
                clock.people[person, NUM_WAITS] += 1


@entry
def lay(bench: Bench, slots: Slots, clock: Clock, order: Ints, n: int) -> bool:
    """Lay the builds in `order[:n]`; False where one of them found no time.

    Fills the clock: starts, tails, made times, last drinks and servings.
    """
    _reset(bench, clock)
    for klass in (PINNED, URGENT, OTHER):
        any_of_class = False
        for i in range(n):
            slot = order[i]
            if slots.builds[slot, CLASS] == klass:
                any_of_class = True
                if not place(bench, slots, clock, slot):
                    return False
                _count_made(bench, slots, clock, slot)
        if any_of_class and klass != OTHER:
            _raise_floors(bench, slots, clock, order, n, klass)
    return True


@entry
def begin(bench: Bench, clock: Clock) -> None:
    """Empty the clock, to lay builds one at a time with `lay_next`."""
    _reset(bench, clock)


@entry
def lay_next(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
    """Lay one more build after those laid so far; False where it found no time."""
    if not place(bench, slots, clock, slot):
        return False
    _count_made(bench, slots, clock, slot)
    return True
