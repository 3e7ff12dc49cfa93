"""Places one build and its tails on people and equipment, as early as it fits."""

from __future__ import annotations

from .arrays import (
    DRINK,
    FLOOR,
    FREE_FROM,
    HAS_LEFT,
    MAIN,
    NEVER,
    NUM_BUILDS,
    NUM_BUSY,
    NUM_HOLDS,
    NUM_TAILS,
    PACE,
    RELEASED,
    SIZE,
    STAYS,
    TAIL_START,
    TAIL_WAIT,
    TAIL_WHO,
    WHO,
    Bench,
    Clock,
    Slots,
)
from .assemble import paced
from .compiling import inner
from .room import (
    MOST_TRIES,
    clear_of_breaks,
    earliest,
    earliest_main,
    give_back,
    occupy,
    release,
    take,
    until_free,
)
from .serving import completes_a_round, leaves_a_round_waiting


@inner
def _lay_tail(bench: Bench, slots: Slots, clock: Clock, slot: int, tail: int, begin: int) -> int:
    """Lay one tail after a block 0 that starts at `begin`; gives how much later that should be.

    0 when it was laid. Its hands are taken; its equipment is checked but not yet taken.
    """
    row = slots.tail[slot, tail]
    latest = begin + row[0] + row[2] if row[2] >= 0 else NEVER
    earliest = min(begin + row[0] + row[1] + row[TAIL_WAIT], latest)
    owner = slots.builds[slot, WHO]
    best, who = NEVER, owner
    for person in range(len(bench.people)):
        if person != owner and (row[4] == 0 or bench.people[person, HAS_LEFT]):
            continue
        at = max(earliest, bench.people[person, FREE_FROM])
        at = _earliest_tail(bench, slots, clock, slot, tail + 1, person, at, latest)
        if at < best or (at == best and person == owner):
            best, who = at, person
    if best >= NEVER:
        return NEVER
    if best > latest:
        return best - latest
    clock.tails[slot, tail, TAIL_START] = best
    clock.tails[slot, tail, TAIL_WHO] = who
    until = best + paced(row[3], bench.people[who, PACE])
    occupy(clock.people[who], clock.busy[who], best, until)
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
    stays = _stays(bench, slots, slot, person)
    for _ in range(MOST_TRIES):
        at = earliest(clock.busy[person], clock.people[person, NUM_BUSY], at, length)
        if at > latest:
            return at
        back = clear_of_breaks(bench.away, person, at, length, stays)
        if back >= NEVER:
            return NEVER
        if back > at:
            at = back
            continue
        wait = 0
        for h in range(slots.builds[slot, NUM_HOLDS]):
            row = slots.hold[slot, h]
            if row[1] == block and row[3] == block:
                begin, end = at + paced(row[2], pace), at + paced(row[4], pace)
                wait = until_free(
                    clock.held[row[0]], clock.num_held[row[0]], bench.capacity[row[0]], begin, end
                )
                if wait > 0:
                    break
        if wait == 0:
            return at
        at += wait
    return NEVER


@inner
def _stays(bench: Bench, slots: Slots, slot: int, person: int) -> bool:
    """Whether a person makes this build past the end of their shift: nobody stays longer."""
    if len(bench.away) == 0:
        return True
    for i in range(slots.builds[slot, SIZE]):
        if bench.may[slots.items[slot, i, DRINK], person] != STAYS:
            return False
    return True


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
        wait = until_free(
            clock.held[row[0]],
            clock.num_held[row[0]],
            bench.capacity[row[0]],
            since,
            until + row[5],
        )
        if wait > 0:
            give_back(slots.hold[slot], clock.num_held, h)
            return wait
        take(clock.num_held, clock.held, row[0], since, until + row[5])
    return 0


@inner
def place(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
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
    stays = _stays(bench, slots, slot, person)
    for _ in range(MOST_TRIES):
        at = earliest_main(hands, busy, waits, at, length)
        back = clear_of_breaks(bench.away, person, at, length, stays)
        if back >= NEVER:
            return False
        if back > at:
            at = back
            continue
        if slots.builds[slot, NUM_TAILS] == 0:
            later = _take_holds(bench, slots, clock, slot, at)
            if later == 0:
                occupy(hands, busy, at, at + length)
        else:
            later = _place_with_tails(bench, slots, clock, slot, at)
        if later == 0:
            clock.start[slot] = at
            size = slots.builds[slot, SIZE]
            if completes_a_round(
                slots.items[slot], size, bench.drinks, bench.tickets, clock.tickets
            ):
                later = leaves_a_round_waiting(bench, slots, clock, slot)
            if later == 0:
                clock.begun[person, hands[NUM_BUILDS]] = at
                hands[NUM_BUILDS] += 1
                return True
            _take_back(slots, clock, slot, slots.builds[slot, NUM_TAILS])
            give_back(slots.hold[slot], clock.num_held, slots.builds[slot, NUM_HOLDS])
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
            later = until_free(clock.held[r], clock.num_held[r], bench.capacity[r], begin, end)
            if later > 0:
                return later
    occupy(clock.people[person], clock.busy[person], at, at + slots.builds[slot, MAIN])
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
        release(clock.people[who], clock.busy[who], clock.tails[slot, tail, TAIL_START])
    person = slots.builds[slot, WHO]
    release(clock.people[person], clock.busy[person], clock.start[slot])
