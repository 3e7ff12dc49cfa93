"""Free hands and free equipment: where the next stretch fits, and taking it.

Hands are a person's stretches in order of time; equipment is held by so many at once.
"""

from __future__ import annotations

from .arrays import (
    A_FROM,
    A_PERSON,
    A_TO,
    BEGIN,
    END,
    NEVER,
    NUM_BUSY,
    NUM_WAITS,
    Ints,
)
from .compiling import inner

MOST_TRIES = 400


@inner
def earliest(busy: Ints, num_busy: int, at: int, length: int) -> int:
    """Earliest start at or after `at` where hands are free for `length`."""
    for i in range(num_busy):
        if busy[i, END] <= at:
            continue
        if busy[i, BEGIN] >= at + length:
            break
        at = busy[i, END]
    return at


@inner
def earliest_main(hands: Ints, busy: Ints, waits: Ints, at: int, length: int) -> int:
    """Earliest start of a new build: not while a finished round waits for its serving either."""
    at = earliest(busy, hands[NUM_BUSY], at, length)
    i = 0
    while i < hands[NUM_WAITS]:
        if waits[i, BEGIN] <= at < waits[i, END]:
            at = earliest(busy, hands[NUM_BUSY], waits[i, END], length)
            i = 0
        else:
            i += 1
    return at


@inner
def clear_of_breaks(away: Ints, person: int, at: int, length: int, stays: int) -> int:
    """Earliest start at or after `at` that runs into no break and past no end of a shift.

    NEVER where the shift ends first. Who `stays` works on past its end.
    """
    i = 0
    while i < len(away):
        row = away[i]
        ends_shift = row[A_TO] >= NEVER
        if (
            row[A_PERSON] == person
            and not (stays and ends_shift)
            and row[A_FROM] < at + length
            and row[A_TO] > at
        ):
            at = row[A_TO]
            if ends_shift:
                return at
            i = 0
        else:
            i += 1
    return at


@inner
def occupy(hands: Ints, busy: Ints, begin: int, end: int) -> None:
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
def release(hands: Ints, busy: Ints, begin: int) -> None:
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
def until_free(held: Ints, n: int, capacity: int, begin: int, end: int) -> int:
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
def take(num_held: Ints, held: Ints, resource: int, begin: int, end: int) -> None:
    """Hold one more of a resource over [begin, end)."""
    n = num_held[resource]
    held[resource, n, BEGIN] = begin
    held[resource, n, END] = end
    num_held[resource] = n + 1


@inner
def give_back(hold: Ints, num_held: Ints, num_taken: int) -> None:
    """Take back the first `num_taken` holds of a build, the last taken first."""
    for h in range(num_taken - 1, -1, -1):
        num_held[hold[h, 0]] -= 1
