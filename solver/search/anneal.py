"""Simulated annealing over lists of builds, in short compiled chunks.

Each chunk runs at one temperature and returns, so that its caller can look at the clock, stop,
or cool. All of it is in whole numbers; the same seed and the same number of moves give the same
plan anywhere.

Source: Kirkpatrick, Gelatt, Vecchi 1983, Science 220(4598):671-680; the moves are our own.
"""

from __future__ import annotations

from solver.goal import TIE
from solver.timing.arrays import (
    DRINK,
    EXCESS,
    MOST_DRINKS,
    NUM_TAILS,
    SIZE,
    TAIL_WAIT,
    WHO,
    Bench,
    Clock,
    Ints,
    Slots,
)
from solver.timing.compiling import entry, inner
from solver.timing.lay import lay
from solver.timing.score import score

from .chance import accepts
from .moves import (
    BEST_COST,
    BEST_STARVES,
    COST,
    NUM,
    NUM_BEST,
    NUM_SPARE,
    NUM_TAKEN,
    NUM_TRIAL,
    NUM_TRIED,
    Walk,
    propose,
)


@inner
def _locate(slots: Slots, walk: Walk) -> None:
    """Note for every drink which build it is in, and which slots nobody uses."""
    walk.in_use[:] = 0
    for i in range(walk.notes[NUM]):
        slot = walk.order[i]
        walk.in_use[slot] = 1
        for j in range(slots.builds[slot, SIZE]):
            walk.build_of[slots.items[slot, j, DRINK]] = i
    spare = 0
    for slot in range(len(walk.in_use)):
        if not walk.in_use[slot]:
            walk.spare[spare] = slot
            spare += 1
    walk.notes[NUM_SPARE] = spare


@inner
def _keep_best(slots: Slots, walk: Walk, starves: bool) -> None:
    n = walk.notes[NUM]
    walk.notes[BEST_COST] = walk.notes[COST]
    walk.notes[BEST_STARVES] = starves
    walk.notes[NUM_BEST] = n
    for i in range(n):
        slot = walk.order[i]
        walk.best[i, 0] = slots.builds[slot, WHO]
        walk.best[i, 1] = slots.builds[slot, SIZE]
        for j in range(MOST_DRINKS):
            walk.best[i, 2 + j] = slots.items[slot, j, DRINK]
            is_tail = j < slots.builds[slot, NUM_TAILS]
            wait = slots.tail[slot, j, TAIL_WAIT] if is_tail else 0
            walk.best[i, 2 + MOST_DRINKS + j] = wait


@inner
def _take(slots: Slots, walk: Walk, cost: int) -> None:
    """Make the trial the present list."""
    n = walk.notes[NUM_TRIAL]
    for i in range(n):
        walk.order[i] = walk.trial[i]
    walk.notes[NUM] = n
    walk.notes[COST] = cost
    walk.notes[NUM_TAKEN] += 1
    _locate(slots, walk)


@entry
def begin_walk(bench: Bench, slots: Slots, clock: Clock, walk: Walk) -> bool:
    """Lay the first list, whose builds stand assembled in ``order``; False where it cannot be."""
    n = walk.notes[NUM]
    if not lay(bench, slots, clock, walk.order, n):
        return False
    walk.notes[COST] = score(bench, clock)
    _locate(slots, walk)
    _keep_best(slots, walk, clock.notes[EXCESS] > 0)
    return True


@entry
def chunk(
    bench: Bench,
    slots: Slots,
    clock: Clock,
    walk: Walk,
    state: Ints,
    patience: Ints,
    temperature: int,
    num_moves: int,
) -> int:
    """Try `num_moves` moves at one temperature; gives the best cost so far.

    A list in which nobody starves is better than any in which somebody does.
    """
    for _ in range(num_moves):
        walk.notes[NUM_TRIED] += 1
        if not propose(bench, slots, clock, walk, state):
            continue
        if not lay(bench, slots, clock, walk.trial, walk.notes[NUM_TRIAL]):
            continue
        cost = score(bench, clock)
        starves = clock.notes[EXCESS] > 0
        worse_by = (cost - walk.notes[COST]) // TIE
        if cost <= walk.notes[COST] or accepts(state, patience, worse_by, temperature):
            _take(slots, walk, cost)
            if starves == walk.notes[BEST_STARVES]:
                is_better = cost < walk.notes[BEST_COST]
            else:
                is_better = not starves
            if is_better:
                _keep_best(slots, walk, starves)
    return int(walk.notes[BEST_COST])
