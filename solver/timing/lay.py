"""Lays builds on people and equipment, one after the other, each as early as it fits.

The order of the list decides who gets the hands and the equipment first; a later build may still
slip into a gap that an earlier one leaves. Pinned builds are laid first, then those of rounds
that have waited too long, then the rest.
"""

from __future__ import annotations

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
    IS_AWAY,
    IS_SERVED,
    IS_URGENT,
    LAST,
    LAST_BY,
    MADE,
    MADE_BY,
    MAIN,
    NEVER,
    NUM_BUILDS,
    NUM_BUSY,
    NUM_HOLDS,
    NUM_LEFT,
    NUM_OPEN,
    NUM_TAILS,
    NUM_WAITS,
    OTHER,
    PACE,
    PINNED,
    R_TILL,
    RELEASE,
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
from .compiling import entry, inner

MOST_TRIES = 400


@inner
def _earliest(busy: Ints, num_busy: int, at: int, length: int) -> int:
    """Earliest start at or after `at` where hands are free for `length`."""
    for i in range(num_busy):
        if busy[i, END] <= at:
            continue
        if busy[i, BEGIN] >= at + length:
            break
        at = busy[i, END]
    return at


@inner
def _earliest_main(hands: Ints, busy: Ints, waits: Ints, at: int, length: int) -> int:
    """Earliest start of a new build: not while a finished round waits for its serving either."""
    at = _earliest(busy, hands[NUM_BUSY], at, length)
    i = 0
    while i < hands[NUM_WAITS]:
        if waits[i, BEGIN] <= at < waits[i, END]:
            at = _earliest(busy, hands[NUM_BUSY], waits[i, END], length)
            i = 0
        else:
            i += 1
    return at


@inner
def _occupy(hands: Ints, busy: Ints, begin: int, end: int) -> None:
    """Take a person's hands, keeping their stretches in order of time."""
    n = hands[NUM_BUSY]
    i = n
    while i > 0 and busy[i - 1, BEGIN] > begin:
        busy[i, BEGIN] = busy[i - 1, BEGIN]
        busy[i, END] = busy[i - 1, END]
        i -= 1
    busy[i, BEGIN] = begin
    busy[i, END] = end
    hands[NUM_BUSY] = n + 1


@inner
def _release(hands: Ints, busy: Ints, begin: int) -> None:
    """Take back a stretch of hands that was just occupied."""
    n = hands[NUM_BUSY] - 1
    i = n
    while busy[i, BEGIN] != begin:
        i -= 1
    for j in range(i, n):
        busy[j, BEGIN] = busy[j + 1, BEGIN]
        busy[j, END] = busy[j + 1, END]
    hands[NUM_BUSY] = n


@inner
def _wait(held: Ints, n: int, capacity: int, begin: int, end: int) -> int:
    """Deciseconds to wait until one more of a resource is free over [begin, end); 0 for free."""
    if n < capacity:
        return 0
    overlapping = 0
    first = NEVER
    for i in range(n):
        if held[i, BEGIN] < end and held[i, END] > begin:
            overlapping += 1
            first = min(first, held[i, END])
    if overlapping < capacity:
        return 0
    if capacity == 1:
        return first - begin
    for i in range(-1, n):
        point = begin if i < 0 else held[i, BEGIN]
        if i >= 0 and (point <= begin or point >= end):
            continue
        count = 0
        first = NEVER
        for j in range(n):
            if held[j, BEGIN] <= point and held[j, END] > point:
                count += 1
                first = min(first, held[j, END])
        if count >= capacity:
            return max(1, first - begin)
    return 0


@inner
def _take(num_held: Ints, held: Ints, resource: int, begin: int, end: int) -> None:
    n = num_held[resource]
    held[resource, n, BEGIN] = begin
    held[resource, n, END] = end
    num_held[resource] = n + 1


@inner
def _give_back(hold: Ints, num_held: Ints, num_taken: int) -> None:
    """Take back the first `num_taken` holds of a build, the last taken first."""
    for h in range(num_taken - 1, -1, -1):
        num_held[hold[h, 0]] -= 1


@inner
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
        if person != owner and (row[4] == 0 or bench.people[person, IS_AWAY]):
            continue
        at = max(earliest, bench.people[person, FREE_FROM])
        at = _earliest_tail(bench, slots, clock, slot, tail + 1, person, at, latest)
        if at < best or (at == best and person == owner):
            best, who = at, person
    if best > latest:
        return best - latest
    clock.tails[slot, tail, TAIL_START] = best
    clock.tails[slot, tail, TAIL_WHO] = who
    until = best + paced(row[3], bench.people[who, PACE])
    _occupy(clock.people[who], clock.busy[who], best, until)
    return 0


@inner
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
        at = _earliest(clock.busy[person], clock.people[person, NUM_BUSY], at, length)
        if at > latest:
            return at
        wait = 0
        for h in range(slots.builds[slot, NUM_HOLDS]):
            row = slots.hold[slot, h]
            if row[1] == block and row[3] == block:
                begin, end = at + paced(row[2], pace), at + paced(row[4], pace)
                wait = _wait(
                    clock.held[row[0]], clock.num_held[row[0]], bench.capacity[row[0]], begin, end
                )
                if wait > 0:
                    break
        if wait == 0:
            return at
        at += wait
    return NEVER


@inner
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
        wait = _wait(
            clock.held[row[0]],
            clock.num_held[row[0]],
            bench.capacity[row[0]],
            since,
            until + row[5],
        )
        if wait > 0:
            _give_back(slots.hold[slot], clock.num_held, h)
            return wait
        _take(clock.num_held, clock.held, row[0], since, until + row[5])
    return 0


@inner
def _place(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
    """Lay one build at its earliest fitting time; False where none was found."""
    person = slots.builds[slot, WHO]
    length = slots.builds[slot, MAIN]
    hands, busy, waits = clock.people[person], clock.busy[person], clock.waits[person]
    at = max(
        bench.people[person, FREE_FROM],
        slots.builds[slot, RELEASED],
        clock.people[person, FLOOR],
        0,
    )
    for _ in range(MOST_TRIES):
        at = _earliest_main(hands, busy, waits, at, length)
        if slots.builds[slot, NUM_TAILS] == 0:
            later = _take_holds(bench, slots, clock, slot, at)
            if later == 0:
                _occupy(hands, busy, at, at + length)
        else:
            later = _place_with_tails(bench, slots, clock, slot, at)
        if later == 0:
            clock.start[slot] = at
            size = slots.builds[slot, SIZE]
            if _completes_a_round(
                slots.items[slot], size, bench.drinks, bench.tickets, clock.tickets
            ):
                later = _leaves_a_round_waiting(bench, slots, clock, slot)
            if later == 0:
                clock.begun[person, hands[NUM_BUILDS]] = at
                hands[NUM_BUILDS] += 1
                return True
            _take_back(slots, clock, slot, slots.builds[slot, NUM_TAILS])
            _give_back(slots.hold[slot], clock.num_held, slots.builds[slot, NUM_HOLDS])
        if later >= NEVER // 2:
            return False
        at += later
    return False


@inner
def _place_with_tails(bench: Bench, slots: Slots, clock: Clock, slot: int, at: int) -> int:
    """Lay a build and its tails from `at` on; gives how much later that should be, 0 when laid."""
    person = slots.builds[slot, WHO]
    for h in range(slots.builds[slot, NUM_HOLDS]):
        row = slots.hold[slot, h]
        if row[1] == 0 and row[3] == 0:
            r = row[0]
            begin, end = at + row[2], at + row[4] + row[5]
            later = _wait(clock.held[r], clock.num_held[r], bench.capacity[r], begin, end)
            if later > 0:
                return later
    _occupy(clock.people[person], clock.busy[person], at, at + slots.builds[slot, MAIN])
    clock.start[slot] = at
    later = 0
    laid = 0
    for tail in range(slots.builds[slot, NUM_TAILS]):
        later = _lay_tail(bench, slots, clock, slot, tail, at)
        if later > 0:
            break
        laid += 1
    if later == 0:
        later = _take_holds(bench, slots, clock, slot, at)
    if later == 0:
        return 0
    _take_back(slots, clock, slot, laid)
    return later


@inner
def _take_back(slots: Slots, clock: Clock, slot: int, num_tails: int) -> None:
    """Take back the hands of a build that was just laid: its first tails and its main block."""
    for tail in range(num_tails):
        who = clock.tails[slot, tail, TAIL_WHO]
        _release(clock.people[who], clock.busy[who], clock.tails[slot, tail, TAIL_START])
    person = slots.builds[slot, WHO]
    _release(clock.people[person], clock.busy[person], clock.start[slot])


@inner
def _made_at(item: Ints, main: int, tails: Ints, people: Ints) -> int:
    """When a drink of a build is made whose block 0 starts at `main`."""
    if item[BLOCK] == 0:
        return int(main + item[AT])
    tail = tails[item[BLOCK] - 1]
    return int(tail[TAIL_START] + paced(item[AT], people[tail[TAIL_WHO], PACE]))


@inner
def _completes_a_round(items: Ints, n: int, drinks: Ints, tickets: Ints, left: Ints) -> bool:
    """Whether a build might hold all open drinks of a round that is served."""
    for i in range(n):
        ticket = drinks[items[i, DRINK], TICKET]
        if tickets[ticket, IS_SERVED] and left[ticket, NUM_LEFT] <= n:
            return True
    return False


@inner
def _leaves_a_round_waiting(bench: Bench, slots: Slots, clock: Clock, slot: int) -> int:
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
                at = _made_at(item, clock.start[slot], clock.tails[slot], bench.people)
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
        _release(clock.people[by], clock.busy[by], at)
        clock.people[by, NUM_WAITS] -= 1
        clock.num_held[bench.house[R_TILL]] -= 1
        clock.tickets[clock.served[i], SERVE_START] = NEVER
    return later


@inner
def _record(tickets: Ints, ticket: int, at: int, by: int) -> None:
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
        at = _earliest(clock.busy[by], clock.people[by, NUM_BUSY], at, length)
        wait = _wait(clock.held[till], clock.num_held[till], bench.capacity[till], at, at + length)
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
        if bench.people[person, IS_AWAY]:
            continue
        at = _serving_time(bench, clock, person, last)
        if at < best:
            best, who = at, person
    return who


@inner
def _take_serving(bench: Bench, clock: Clock, ticket: int, at: int, by: int, last: int) -> None:
    length = paced(bench.house[SERVE], bench.people[by, PACE])
    _occupy(clock.people[by], clock.busy[by], at, at + length)
    waits = clock.waits[by, clock.people[by, NUM_WAITS]]
    waits[BEGIN], waits[END] = max(last, 0), at
    clock.people[by, NUM_WAITS] += 1
    _take(clock.num_held, clock.held, bench.house[R_TILL], at, at + length)
    clock.tickets[ticket, SERVE_START] = at
    clock.tickets[ticket, SERVE_BY] = by


@inner
def _serve(bench: Bench, clock: Clock, ticket: int) -> None:
    """Hand a finished bar-top round over and take the money, by whoever finished it."""
    if bench.house[R_TILL] < 0 or not bench.tickets[ticket, IS_SERVED]:
        return
    last = clock.tickets[ticket, LAST]
    by = _who_serves(bench, clock, clock.tickets[ticket, LAST_BY], last)
    _take_serving(bench, clock, ticket, _serving_time(bench, clock, by, last), by, last)


@inner
def _count_made(bench: Bench, slots: Slots, clock: Clock, slot: int) -> None:
    """Write down when each drink of a laid build is made, and serve rounds that are complete."""
    for i in range(slots.builds[slot, SIZE]):
        drink = slots.items[slot, i, DRINK]
        item = slots.items[slot, i]
        at = _made_at(item, clock.start[slot], clock.tails[slot], bench.people)
        by = slots.builds[slot, WHO]
        if item[BLOCK] > 0:
            by = clock.tails[slot, item[BLOCK] - 1, TAIL_WHO]
        clock.drinks[drink, MADE] = at
        clock.drinks[drink, MADE_BY] = by
        ticket = bench.drinks[drink, TICKET]
        _record(clock.tickets, ticket, at, by)
        clock.tickets[ticket, NUM_LEFT] -= 1
        if clock.tickets[ticket, NUM_LEFT] == 0:
            _serve(bench, clock, ticket)


@inner
def _pending(bench: Bench, clock: Clock) -> None:
    """Lay the tails that builds in hand still have to come, as soon as they can be."""
    for tail in range(len(bench.tails)):
        owner = bench.tails[tail, T_OWNER]
        best, who = NEVER, owner
        for person in range(len(bench.people)):
            is_theirs = bench.tails[tail, T_ANYONES] and not bench.people[person, IS_AWAY]
            if person != owner and not is_theirs:
                continue
            at = max(bench.tails[tail, T_EARLIEST], bench.people[person, FREE_FROM], 0)
            length = paced(bench.tails[tail, T_BASE], bench.people[person, PACE])
            for _ in range(MOST_TRIES):
                at = _earliest(clock.busy[person], clock.people[person, NUM_BUSY], at, length)
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
        _occupy(clock.people[who], clock.busy[who], best, until)
        for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
            row = bench.tail_hold[h]
            begin = min(0, best) if row[1] < 0 else best + paced(row[1], pace)
            _take(clock.num_held, clock.held, row[0], begin, best + paced(row[2], pace) + row[3])


@inner
def _pending_wait(bench: Bench, clock: Clock, tail: int, person: int, at: int) -> int:
    pace = bench.people[person, PACE]
    for h in range(bench.tails[tail, T_HOLD_FROM], bench.tails[tail, T_HOLD_TO]):
        row = bench.tail_hold[h]
        if row[1] >= 0:
            wait = _wait(
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
    for person in range(len(bench.people)):
        clock.people[person, NUM_BUSY] = 0
        clock.people[person, FLOOR] = 0
        clock.people[person, NUM_WAITS] = 0
        clock.people[person, NUM_BUILDS] = 0
    for resource in range(len(bench.capacity)):
        clock.num_held[resource] = 0
    for i in range(len(bench.busy)):
        _occupy(
            clock.people[bench.busy[i, B_PERSON]],
            clock.busy[bench.busy[i, B_PERSON]],
            bench.busy[i, B_FROM],
            bench.busy[i, B_TO],
        )
    for i in range(len(bench.held)):
        _take(
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
            if bench.people[by, IS_AWAY]:
                by = -1
        clock.fixed_made[i] = at
        _record(clock.tickets, bench.fixed[i, F_TICKET], at, by)
    for ticket in range(len(bench.tickets)):
        if clock.tickets[ticket, NUM_LEFT] == 0:
            _serve(bench, clock, ticket)


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
                    since = min(since, bench.drinks[drink, RELEASE])
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
                if not _place(bench, slots, clock, slot):
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
    if not _place(bench, slots, clock, slot):
        return False
    _count_made(bench, slots, clock, slot)
    return True
