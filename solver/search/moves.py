"""Moves of the local search: small changes to which drinks share, who makes them, and when.

A list of builds is an order of slots. A move writes a changed order into ``trial`` and changed
builds into spare slots, so that the present list stays as it is until the move is taken.
"""

from __future__ import annotations

from typing import NamedTuple

from solver.timing.arrays import (
    CLASS,
    DRINK,
    HAS_TAILS,
    MAIN,
    MOST_DRINKS,
    NUM_TAILS,
    PACE,
    PINNED,
    SIZE,
    TAIL_START,
    TAIL_WAIT,
    TAIL_WHO,
    WHO,
    Bench,
    Clock,
    Ints,
    Slots,
    new_clock,
    new_slots,
    zeros,
)
from solver.timing.assemble import assemble, paced
from solver.timing.compiling import inner
from solver.timing.lay import lay

from .chance import draw

# Walk.notes
(
    NUM,  # builds in the present order
    NUM_TRIAL,  # builds in the trial order
    NUM_SPARE,  # slots free for changes
    NUM_USED,  # spare slots that the trial has written to
    COST,
    BEST_COST,
    BEST_STARVES,  # whether in the best list so far a round starves
    NUM_BEST,
    NUM_TRIED,
    NUM_TAKEN,
) = range(10)

FARTHEST_SHIFT = 6
OPENS_A_BUILD_PCT = 25
JOINS_ITS_LIKE_PCT = 60
PUTS_OFF_ALONE_PCT = 3
PUTS_OFF_TOO_PCT = 30
LONG_DS = 6000
"""A tail put off for so long is out of the way of everything else."""


class Walk(NamedTuple):
    """Where a search stands: the present list, the one being tried, the best so far."""

    order: Ints  # [N] slots
    trial: Ints  # [N]
    spare: Ints  # [N] slots nobody uses
    in_use: Ints  # [N]
    build_of: Ints  # [D] position in order
    like: Ints  # [D, L] drinks most like each, nearest first
    best: Ints  # [N, 2 + 8 + 8] who, size, drinks, how long each tail is put off
    notes: Ints  # [10]


def new_walk(num_drinks: int, like: Ints) -> Walk:
    """Give a walk with room for every drink in a build of its own."""
    n = num_drinks + 8
    return Walk(
        order=zeros(n),
        trial=zeros(n),
        spare=zeros(n),
        in_use=zeros(n),
        build_of=zeros(num_drinks),
        like=like,
        best=zeros(n, 2 + 2 * MOST_DRINKS),
        notes=zeros(10),
    )


def room(bench: Bench) -> tuple[Slots, Clock]:
    """Give slots and a clock of a search's own."""
    slots = new_slots(len(bench.drinks))
    return slots, new_clock(bench, len(slots.builds))


@inner
def _copy(slots: Slots, walk: Walk, source: int) -> int:
    """Copy a build's drinks and person into a spare slot; gives the slot."""
    used = walk.notes[NUM_USED]
    slot = walk.spare[used]
    walk.notes[NUM_USED] = used + 1
    n = slots.builds[source, SIZE] if source >= 0 else 0
    slots.builds[slot, SIZE] = n
    slots.builds[slot, WHO] = slots.builds[source, WHO] if source >= 0 else 0
    for i in range(n):
        slots.items[slot, i, DRINK] = slots.items[source, i, DRINK]
    for i in range(MOST_DRINKS):
        slots.tail[slot, i, TAIL_WAIT] = 0
    return int(slot)


@inner
def _take_out(slots: Slots, slot: int, at: int) -> int:
    """Take the drink at a position out of a build; gives the drink."""
    drink = slots.items[slot, at, DRINK]
    n = slots.builds[slot, SIZE] - 1
    for i in range(at, n):
        slots.items[slot, i, DRINK] = slots.items[slot, i + 1, DRINK]
    slots.builds[slot, SIZE] = n
    return int(drink)


@inner
def _put_in(slots: Slots, slot: int, at: int, drink: int) -> bool:
    n = slots.builds[slot, SIZE]
    if n >= MOST_DRINKS:
        return False
    for i in range(n, at, -1):
        slots.items[slot, i, DRINK] = slots.items[slot, i - 1, DRINK]
    slots.items[slot, at, DRINK] = drink
    slots.builds[slot, SIZE] = n + 1
    return True


@inner
def _remove_at(walk: Walk, at: int) -> None:
    n = walk.notes[NUM_TRIAL] - 1
    for i in range(at, n):
        walk.trial[i] = walk.trial[i + 1]
    walk.notes[NUM_TRIAL] = n


@inner
def _insert_at(walk: Walk, at: int, slot: int) -> None:
    n = walk.notes[NUM_TRIAL]
    for i in range(n, at, -1):
        walk.trial[i] = walk.trial[i - 1]
    walk.trial[at] = slot
    walk.notes[NUM_TRIAL] = n + 1


@inner
def _near(state: Ints, at: int, n: int) -> int:
    """A position up to six places from `at`, within 0 to n."""
    to = at - FARTHEST_SHIFT + draw(state, 2 * FARTHEST_SHIFT + 1)
    return max(0, min(n, to))


@inner
def _move_drink(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Move a drink into another build, or into a new one."""
    n = walk.notes[NUM]
    drink = draw(state, len(bench.drinks))
    a = walk.build_of[drink]
    source = walk.order[a]
    if slots.builds[source, CLASS] == PINNED:
        return False
    size = slots.builds[source, SIZE]
    opens = draw(state, 100) < OPENS_A_BUILD_PCT
    if opens and size == 1:
        return False
    b = a
    if not opens:
        if draw(state, 100) < JOINS_ITS_LIKE_PCT:
            b = walk.build_of[walk.like[drink, draw(state, walk.like.shape[1])]]
        else:
            b = draw(state, n)
        if b == a or slots.builds[walk.order[b], CLASS] == PINNED:
            return False
    left = _copy(slots, walk, source)
    at = 0
    while slots.items[left, at, DRINK] != drink:
        at += 1
    _take_out(slots, left, at)
    if opens:
        joined = _copy(slots, walk, -1)
        slots.builds[joined, WHO] = draw(state, len(bench.people))
        _put_in(slots, joined, 0, drink)
    else:
        joined = _copy(slots, walk, walk.order[b])
        if not _put_in(slots, joined, draw(state, slots.builds[joined, SIZE] + 1), drink):
            return False
    if not assemble(bench, slots, clock, joined):
        return False
    if size > 1 and not assemble(bench, slots, clock, left):
        return False
    if opens:
        walk.trial[a] = left
        _insert_at(walk, _near(state, a, n), joined)
        return True
    walk.trial[b] = joined
    if size > 1:
        walk.trial[a] = left
    else:
        _remove_at(walk, a)
    return True


@inner
def _swap_drinks(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Swap two drinks of different builds."""
    one = draw(state, len(bench.drinks))
    other = draw(state, len(bench.drinks))
    a, b = walk.build_of[one], walk.build_of[other]
    first, second = walk.order[a], walk.order[b]
    if a == b or PINNED in (slots.builds[first, CLASS], slots.builds[second, CLASS]):
        return False
    left, right = _copy(slots, walk, first), _copy(slots, walk, second)
    for i in range(slots.builds[left, SIZE]):
        if slots.items[left, i, DRINK] == one:
            slots.items[left, i, DRINK] = other
    for i in range(slots.builds[right, SIZE]):
        if slots.items[right, i, DRINK] == other:
            slots.items[right, i, DRINK] = one
    if not assemble(bench, slots, clock, left) or not assemble(bench, slots, clock, right):
        return False
    walk.trial[a], walk.trial[b] = left, right
    return True


@inner
def _shift(walk: Walk, state: Ints) -> bool:
    """Move a build up to six places forward or back."""
    n = walk.notes[NUM]
    a = draw(state, n)
    slot = walk.order[a]
    to = _near(state, a, n - 1)
    if to == a:
        return False
    _remove_at(walk, a)
    _insert_at(walk, to, slot)
    return True


@inner
def _swap_builds(walk: Walk, state: Ints) -> bool:
    n = walk.notes[NUM]
    a, b = draw(state, n), draw(state, n)
    if a == b:
        return False
    walk.trial[a], walk.trial[b] = walk.order[b], walk.order[a]
    return True


@inner
def _hand_to(bench: Bench, slots: Slots, clock: Clock, walk: Walk, at: int, person: int) -> bool:
    """Give a build to another person."""
    slot = walk.order[at]
    if slots.builds[slot, CLASS] == PINNED or slots.builds[slot, WHO] == person:
        return False
    given = _copy(slots, walk, slot)
    slots.builds[given, WHO] = person
    walk.trial[at] = given
    return bool(assemble(bench, slots, clock, given))


@inner
def _swap_people(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Swap the people of two builds, and their places in the list too half of the time."""
    n = walk.notes[NUM]
    a, b = draw(state, n), draw(state, n)
    one, other = walk.order[a], walk.order[b]
    who, whom = slots.builds[one, WHO], slots.builds[other, WHO]
    if who == whom:
        return False
    if not _hand_to(bench, slots, clock, walk, a, whom):
        return False
    if not _hand_to(bench, slots, clock, walk, b, who):
        return False
    if draw(state, 2):
        walk.trial[a], walk.trial[b] = walk.trial[b], walk.trial[a]
    return True


@inner
def _reorder(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Change the finishing order inside a build."""
    a = draw(state, walk.notes[NUM])
    slot = walk.order[a]
    n = slots.builds[slot, SIZE]
    if n < 2 or slots.builds[slot, CLASS] == PINNED:
        return False
    changed = _copy(slots, walk, slot)
    drink = _take_out(slots, changed, draw(state, n))
    _put_in(slots, changed, draw(state, n), drink)
    walk.trial[a] = changed
    return bool(assemble(bench, slots, clock, changed))


@inner
def _merge(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Put all drinks of a build into another."""
    drink = draw(state, len(bench.drinks))
    a = walk.build_of[drink]
    b = walk.build_of[walk.like[drink, draw(state, walk.like.shape[1])]]
    first, second = walk.order[a], walk.order[b]
    if a == b or PINNED in (slots.builds[first, CLASS], slots.builds[second, CLASS]):
        return False
    joined = _copy(slots, walk, second)
    for i in range(slots.builds[first, SIZE]):
        at = slots.builds[joined, SIZE]
        if not _put_in(slots, joined, at, slots.items[first, i, DRINK]):
            return False
    if not assemble(bench, slots, clock, joined):
        return False
    walk.trial[b] = joined
    _remove_at(walk, a)
    return True


@inner
def _split(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Make two builds of one, the second by anyone and near the first."""
    n = walk.notes[NUM]
    a = draw(state, n)
    source = walk.order[a]
    size = slots.builds[source, SIZE]
    if size < 2 or slots.builds[source, CLASS] == PINNED:
        return False
    at = 1 + draw(state, size - 1)
    left, right = _copy(slots, walk, source), _copy(slots, walk, -1)
    for _ in range(size - at):
        _put_in(slots, right, slots.builds[right, SIZE], _take_out(slots, left, at))
    slots.builds[right, WHO] = slots.builds[source, WHO]
    if draw(state, 2):
        slots.builds[right, WHO] = draw(state, len(bench.people))
    if not assemble(bench, slots, clock, left) or not assemble(bench, slots, clock, right):
        return False
    walk.trial[a] = left
    _insert_at(walk, _near(state, a, n), right)
    return True


@inner
def _longest(row: Ints) -> int:
    """How long a tail may be put off."""
    return int(min(LONG_DS, row[2] - row[1]) if row[2] >= 0 else LONG_DS)


@inner
def _put_off(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Put a tail of the trial off until something else of its person is through, or no longer."""
    n = walk.notes[NUM_TRIAL]
    a, b = draw(state, n), draw(state, n)
    slot, other = walk.trial[a], walk.trial[b]
    num_tails = slots.builds[slot, NUM_TAILS]
    if num_tails == 0 or slots.builds[slot, CLASS] == PINNED:
        return False
    changed = _copy(slots, walk, slot)
    if not assemble(bench, slots, clock, changed):
        return False
    for i in range(num_tails):
        slots.tail[changed, i, TAIL_WAIT] = slots.tail[slot, i, TAIL_WAIT]
    tail = draw(state, num_tails)
    if slots.tail[changed, tail, TAIL_WAIT] > 0 and draw(state, 2):
        slots.tail[changed, tail, TAIL_WAIT] = 0
        walk.trial[a] = changed
        return True
    if slots.builds[other, WHO] != slots.builds[slot, WHO]:
        return False
    piece = draw(state, 1 + slots.builds[other, NUM_TAILS])
    if a == b and piece in (0, tail + 1):
        return False
    # Put off for long, alone or with its likes, to see when the other build is through without it,
    # and then until just then.
    with_likes = draw(state, 2)
    for i in range(num_tails):
        if i == tail or with_likes:
            slots.tail[changed, i, TAIL_WAIT] = _longest(slots.tail[changed, i])
    walk.trial[a] = changed
    row = slots.tail[changed, tail]
    most, wait = row[TAIL_WAIT], 0
    if lay(bench, slots, clock, walk.trial, n):
        wait = _through(bench, slots, clock, walk.trial[b], piece)
        wait -= clock.start[changed] + row[0] + row[1]
    if not 0 < wait <= most:
        walk.trial[a] = slot
        return False
    for i in range(num_tails):
        slots.tail[changed, i, TAIL_WAIT] = slots.tail[slot, i, TAIL_WAIT]
    row[TAIL_WAIT] = wait
    return True


@inner
def _through(bench: Bench, slots: Slots, clock: Clock, slot: int, piece: int) -> int:
    """When a stretch of a laid build ends: its main block, or one of its tails."""
    if piece == 0:
        return int(clock.start[slot] + slots.builds[slot, MAIN])
    tail = clock.tails[slot, piece - 1]
    pace = bench.people[tail[TAIL_WHO], PACE]
    return int(tail[TAIL_START] + paced(slots.tail[slot, piece - 1, 3], pace))


@inner
def propose(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Try one random move; False where it changes nothing or may not be.

    What runs by itself now and then has its tail put off in the same move: the list is often worth
    having only so.
    """
    n = walk.notes[NUM]
    walk.notes[NUM_TRIAL] = n
    walk.notes[NUM_USED] = 0
    for i in range(n):
        walk.trial[i] = walk.order[i]
    has_tails = bench.house[HAS_TAILS]
    if has_tails and draw(state, 100) < PUTS_OFF_ALONE_PCT:
        return bool(_put_off(bench, slots, clock, walk, state))
    if not _change(bench, slots, clock, walk, state):
        return False
    if has_tails and draw(state, 100) < PUTS_OFF_TOO_PCT:
        _put_off(bench, slots, clock, walk, state)
    return True


@inner
def _change(bench: Bench, slots: Slots, clock: Clock, walk: Walk, state: Ints) -> bool:
    """Change who makes what together, in which order."""
    n = walk.notes[NUM]
    kind = draw(state, 100)
    if kind < 36:
        return bool(_move_drink(bench, slots, clock, walk, state))
    if kind < 46:
        return bool(_swap_drinks(bench, slots, clock, walk, state))
    if kind < 64:
        return bool(_shift(walk, state))
    if kind < 74:
        return bool(_swap_builds(walk, state))
    if kind < 82:
        person = draw(state, len(bench.people))
        return bool(_hand_to(bench, slots, clock, walk, draw(state, n), person))
    if kind < 88:
        return bool(_swap_people(bench, slots, clock, walk, state))
    if kind < 94:
        return bool(_reorder(bench, slots, clock, walk, state))
    if kind < 97:
        return bool(_merge(bench, slots, clock, walk, state))
    return bool(_split(bench, slots, clock, walk, state))
