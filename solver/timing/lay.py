"""Lays builds on people and equipment, one after the other, each as early as it fits.

The order of the list decides who gets the hands and the equipment first; a later build may still
slip into a gap that an earlier one leaves. Pinned builds are laid first, then those of rounds
that have waited too long, then the rest.
"""

from __future__ import annotations

from numba import njit

from .arrays import (
    AT,
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
    IS_SERVED,
    IS_URGENT,
    LAST,
    LAST_BY,
    MADE,
    MADE_BY,
    MAIN,
    NEVER,
    NUM_BUSY,
    NUM_HOLDS,
    NUM_LEFT,
    NUM_OPEN,
    NUM_TAILS,
    OTHER,
    PACE,
    PINNED,
    R_TILL,
    RELEASED,
    SERVE,
    SERVE_BY,
    SERVE_START,
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
    Bench,
    Clock,
    Ints,
    Slots,
)
from .assemble import paced

MOST_TRIES = 400


@njit(cache=True, nogil=True)
def _earliest(clock: Clock, person: int, at: int, length: int) -> int:
    """Earliest start at or after `at` where a person's hands are free for `length`."""
    for i in range(clock.people[person, NUM_BUSY]):
        if clock.busy[person, i, END] <= at:
            continue
        if clock.busy[person, i, BEGIN] >= at + length:
            break
        at = clock.busy[person, i, END]
    return at


@njit(cache=True, nogil=True)
def _occupy(clock: Clock, person: int, begin: int, end: int) -> None:
    """Take a person's hands, keeping their stretches in order of time."""
    n = clock.people[person, NUM_BUSY]
    i = n
    while i > 0 and clock.busy[person, i - 1, BEGIN] > begin:
        clock.busy[person, i, BEGIN] = clock.busy[person, i - 1, BEGIN]
        clock.busy[person, i, END] = clock.busy[person, i - 1, END]
        i -= 1
    clock.busy[person, i, BEGIN] = begin
    clock.busy[person, i, END] = end
    clock.people[person, NUM_BUSY] = n + 1


@njit(cache=True, nogil=True)
def _release(clock: Clock, person: int, begin: int) -> None:
    """Take back a stretch of hands that was just occupied."""
    n = clock.people[person, NUM_BUSY] - 1
    i = n
    while clock.busy[person, i, BEGIN] != begin:
        i -= 1
    for j in range(i, n):
        clock.busy[person, j, BEGIN] = clock.busy[person, j + 1, BEGIN]
        clock.busy[person, j, END] = clock.busy[person, j + 1, END]
    clock.people[person, NUM_BUSY] = n


@njit(cache=True, nogil=True)
def _wait(bench: Bench, clock: Clock, resource: int, begin: int, end: int) -> int:
    """Deciseconds to wait until one more of a resource is free over [begin, end); 0 for free."""
    n = clock.num_held[resource]
    if n < bench.capacity[resource]:
        return 0
    starts, ends = clock.held[resource, :, BEGIN], clock.held[resource, :, END]
    if bench.capacity[resource] == 1:
        first = NEVER
        for i in range(n):
            if starts[i] < end and ends[i] > begin:
                first = min(first, ends[i])
        return first - begin if first < NEVER else 0
    for i in range(-1, n):
        point = begin if i < 0 else starts[i]
        if i >= 0 and (point <= begin or point >= end):
            continue
        count = 0
        first = NEVER
        for j in range(n):
            if starts[j] <= point and ends[j] > point:
                count += 1
                first = min(first, ends[j])
        if count >= bench.capacity[resource]:
            return max(1, first - begin)
    return 0


@njit(cache=True, nogil=True)
def _take(clock: Clock, resource: int, begin: int, end: int) -> None:
    n = clock.num_held[resource]
    clock.held[resource, n, BEGIN] = begin
    clock.held[resource, n, END] = end
    clock.num_held[resource] = n + 1


@njit(cache=True, nogil=True)
def _give_back(slots: Slots, clock: Clock, slot: int, num_taken: int) -> None:
    """Take back the first `num_taken` holds of a build, the last taken first."""
    for h in range(num_taken - 1, -1, -1):
        clock.num_held[slots.hold[slot, h, 0]] -= 1


@njit(cache=True, nogil=True)
def _lay_tail(bench: Bench, slots: Slots, clock: Clock, slot: int, tail: int, begin: int) -> int:
    """Lay one tail after a block 0 that starts at `begin`; gives how much later that should be.

    0 when it was laid. Its hands are taken; its equipment is checked but not yet taken.
    """
    row = slots.tail[slot, tail]
    earliest = begin + row[0] + row[1]
    latest = begin + row[0] + row[2] if row[2] >= 0 else NEVER
    owner = slots.builds[slot, WHO]
    best, who = NEVER, owner
    for person in range(len(bench.people)):
        if person != owner and row[4] == 0:
            continue
        at = max(earliest, bench.people[person, FREE_FROM])
        at = _earliest_tail(bench, slots, clock, slot, tail + 1, person, at, latest)
        if at < best or (at == best and person == owner):
            best, who = at, person
    if best > latest:
        return best - latest
    clock.tails[slot, tail, TAIL_START] = best
    clock.tails[slot, tail, TAIL_WHO] = who
    _occupy(clock, who, best, best + paced(row[3], bench.people[who, PACE]))
    return 0


@njit(cache=True, nogil=True)
def _earliest_tail(
    bench: Bench,
    slots: Slots,
    clock: Clock,
    slot: int,
    block: int,
    person: int,
    at: int,
    latest: int,
) -> int:
    """Earliest start of a tail at which its hands and its own equipment are free."""
    pace = bench.people[person, PACE]
    length = paced(slots.tail[slot, block - 1, 3], pace)
    for _ in range(MOST_TRIES):
        at = _earliest(clock, person, at, length)
        if at > latest:
            return at
        wait = 0
        for h in range(slots.builds[slot, NUM_HOLDS]):
            row = slots.hold[slot, h]
            if row[1] == block and row[3] == block:
                begin, end = at + paced(row[2], pace), at + paced(row[4], pace)
                wait = _wait(bench, clock, row[0], begin, end)
                if wait > 0:
                    break
        if wait == 0:
            return at
        at += wait
    return NEVER


@njit(cache=True, nogil=True)
def _take_holds(bench: Bench, slots: Slots, clock: Clock, slot: int, begin: int) -> int:
    """Take a build's equipment one by one; gives how long to wait when something is not free."""
    for h in range(slots.builds[slot, NUM_HOLDS]):
        row = slots.hold[slot, h]
        since = begin + row[2]
        if row[1] > 0:
            tail = row[1] - 1
            pace = bench.people[clock.tails[slot, tail, TAIL_WHO], PACE]
            since = clock.tails[slot, tail, TAIL_START] + paced(row[2], pace)
        until = begin + row[4]
        if row[3] > 0:
            tail = row[3] - 1
            pace = bench.people[clock.tails[slot, tail, TAIL_WHO], PACE]
            until = clock.tails[slot, tail, TAIL_START] + paced(row[4], pace)
        wait = _wait(bench, clock, row[0], since, until + row[5])
        if wait > 0:
            _give_back(slots, clock, slot, h)
            return wait
        _take(clock, row[0], since, until + row[5])
    return 0


@njit(cache=True, nogil=True)
def _place(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
    """Lay one build at its earliest fitting time; False where none was found."""
    person = slots.builds[slot, WHO]
    length = slots.builds[slot, MAIN]
    at = max(
        bench.people[person, FREE_FROM],
        slots.builds[slot, RELEASED],
        clock.people[person, FLOOR],
        0,
    )
    for _ in range(MOST_TRIES):
        at = _earliest(clock, person, at, length)
        later = 0
        laid = 0
        for h in range(slots.builds[slot, NUM_HOLDS]):
            row = slots.hold[slot, h]
            if row[1] == 0 and row[3] == 0:
                later = _wait(bench, clock, row[0], at + row[2], at + row[4] + row[5])
                if later > 0:
                    break
        if later == 0:
            _occupy(clock, person, at, at + length)
            for tail in range(slots.builds[slot, NUM_TAILS]):
                later = _lay_tail(bench, slots, clock, slot, tail, at)
                if later > 0:
                    break
                laid += 1
            if later == 0:
                later = _take_holds(bench, slots, clock, slot, at)
            if later == 0:
                clock.start[slot] = at
                return True
            for tail in range(laid):
                _release(
                    clock, clock.tails[slot, tail, TAIL_WHO], clock.tails[slot, tail, TAIL_START]
                )
            _release(clock, person, at)
        if later >= NEVER // 2:
            return False
        at += later
    return False


@njit(cache=True, nogil=True)
def _record(clock: Clock, ticket: int, at: int, by: int) -> None:
    """Note that a drink of a round is made; serve the round when it was the last."""
    if at > clock.tickets[ticket, LAST]:
        clock.tickets[ticket, LAST] = at
        clock.tickets[ticket, LAST_BY] = by


@njit(cache=True, nogil=True)
def _serve(bench: Bench, clock: Clock, ticket: int) -> None:
    """Hand a finished bar-top round over and take the money, by whoever finished it."""
    by = clock.tickets[ticket, LAST_BY]
    till = bench.house[R_TILL]
    if by < 0 or till < 0 or not bench.tickets[ticket, IS_SERVED]:
        return
    length = paced(bench.house[SERVE], bench.people[by, PACE])
    at = max(clock.tickets[ticket, LAST], 0)
    for _ in range(MOST_TRIES):
        at = _earliest(clock, by, at, length)
        wait = _wait(bench, clock, till, at, at + length)
        if wait == 0:
            break
        at += wait
    _occupy(clock, by, at, at + length)
    _take(clock, till, at, at + length)
    clock.tickets[ticket, SERVE_START] = at
    clock.tickets[ticket, SERVE_BY] = by


@njit(cache=True, nogil=True)
def _count_made(bench: Bench, slots: Slots, clock: Clock, slot: int) -> None:
    """Write down when each drink of a laid build is made, and serve rounds that are complete."""
    for i in range(slots.builds[slot, SIZE]):
        drink = slots.items[slot, i, DRINK]
        block = slots.items[slot, i, BLOCK]
        if block == 0:
            by = slots.builds[slot, WHO]
            at = clock.start[slot] + slots.items[slot, i, AT]
        else:
            by = clock.tails[slot, block - 1, TAIL_WHO]
            at = clock.tails[slot, block - 1, TAIL_START]
            at += paced(slots.items[slot, i, AT], bench.people[by, PACE])
        clock.drinks[drink, MADE] = at
        clock.drinks[drink, MADE_BY] = by
        ticket = bench.drinks[drink, TICKET]
        _record(clock, ticket, at, by)
        clock.tickets[ticket, NUM_LEFT] -= 1
        if clock.tickets[ticket, NUM_LEFT] == 0:
            _serve(bench, clock, ticket)


@njit(cache=True, nogil=True)
def _pending(bench: Bench, clock: Clock) -> None:
    """Lay the tails that builds in hand still have to come, as soon as they can be."""
    for tail in range(len(bench.tails)):
        owner = bench.tails[tail, T_OWNER]
        best, who = NEVER, owner
        for person in range(len(bench.people)):
            if person != owner and bench.tails[tail, T_ANYONES] == 0:
                continue
            at = max(bench.tails[tail, T_EARLIEST], bench.people[person, FREE_FROM], 0)
            length = paced(bench.tails[tail, T_BASE], bench.people[person, PACE])
            for _ in range(MOST_TRIES):
                at = _earliest(clock, person, at, length)
                wait = _pending_wait(bench, clock, tail, person, at)
                if wait == 0:
                    break
                at += wait
            if at < best or (at == best and person == owner):
                best, who = at, person
        clock.pending[tail, TAIL_START] = best
        clock.pending[tail, TAIL_WHO] = who
        pace = bench.people[who, PACE]
        _occupy(clock, who, best, best + paced(bench.tails[tail, T_BASE], pace))
        for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
            row = bench.tail_hold[h]
            begin = min(0, best) if row[1] < 0 else best + paced(row[1], pace)
            _take(clock, row[0], begin, best + paced(row[2], pace) + row[3])


@njit(cache=True, nogil=True)
def _pending_wait(bench: Bench, clock: Clock, tail: int, person: int, at: int) -> int:
    pace = bench.people[person, PACE]
    for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
        row = bench.tail_hold[h]
        if row[1] >= 0:
            wait = _wait(bench, clock, row[0], at + paced(row[1], pace), at + paced(row[2], pace))
            if wait > 0:
                return wait
    return 0


@njit(cache=True, nogil=True)
def _reset(bench: Bench, clock: Clock) -> None:
    """Empty the clock but for what builds in hand and the washer hold."""
    for person in range(len(bench.people)):
        clock.people[person, NUM_BUSY] = 0
        clock.people[person, FLOOR] = 0
    for resource in range(len(bench.capacity)):
        clock.num_held[resource] = 0
    for i in range(len(bench.busy)):
        _occupy(clock, bench.busy[i, B_PERSON], bench.busy[i, B_FROM], bench.busy[i, B_TO])
    for i in range(len(bench.held)):
        _take(clock, bench.held[i, H_RESOURCE], bench.held[i, H_FROM], bench.held[i, H_TO])
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
        clock.fixed_made[i] = at
        _record(clock, bench.fixed[i, F_TICKET], at, by)
    for ticket in range(len(bench.tickets)):
        if clock.tickets[ticket, NUM_LEFT] == 0:
            _serve(bench, clock, ticket)


@njit(cache=True, nogil=True)
def _raise_floors(
    bench: Bench, slots: Slots, clock: Clock, order: Ints, n: int, klass: int
) -> None:
    """Keep later classes from starting before what has to come first."""
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
            for j in range(slots.builds[slot, SIZE]):
                drink = slots.items[slot, j, DRINK]
                if bench.drinks[drink, IS_URGENT] and bench.may[drink, person]:
                    clock.people[person, FLOOR] = max(clock.people[person, FLOOR], start)


@njit(cache=True, nogil=True)
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
                if not _place(bench, slots, clock, slot):
                    return False
                _count_made(bench, slots, clock, slot)
        if any_of_class and klass != OTHER:
            _raise_floors(bench, slots, clock, order, n, klass)
    return True


@njit(cache=True, nogil=True)
def begin(bench: Bench, clock: Clock) -> None:
    """Empty the clock, to lay builds one at a time with `lay_next`."""
    _reset(bench, clock)


@njit(cache=True, nogil=True)
def lay_next(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
    """Lay one more build after those laid so far; False where it found no time."""
    if not _place(bench, slots, clock, slot):
        return False
    _count_made(bench, slots, clock, slot)
    return True
