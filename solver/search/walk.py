"""The local search as the planner uses it: drafts in, better drafts out, chunk by chunk."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from solver.errors import EngineFault
from solver.goal import TIE
from solver.timing import Draft, Engine
from solver.timing.arrays import (
    CLASS,
    DRINK,
    LAST,
    MIX,
    MOST_DRINKS,
    NEVER,
    PINNED,
    PLACED,
    PUT_FIRST,
    SET_UP_FROM,
    SET_UP_TO,
    SIZE,
    TICKET,
    WHO,
    Ints,
)
from solver.timing.assemble import assemble
from solver.timing.engine import put_off
from solver.timing.score import MEAN

from .anneal import begin_walk, chunk
from .chance import PATIENCE, first_state
from .moves import BEST_COST, NUM, NUM_BEST, NUM_TAKEN, NUM_TRIED, new_walk, room

MOVES_A_CHUNK = 250
HOT_SHARE = 0.15
COLD_SHARE = 0.001
"""Temperatures at the start and the end, as shares of the mean time to last drink of a round.

Not of its cost: the price of hands and of being late would heat a long rail until nothing settles.

Measured on random three-deep snapshots; `loadtest/plan_quality.py` shows what they give.
"""
NUM_LIKE = 8


def search_is_compiled() -> bool:
    """Whether the search's kernels are compiled (or run as plain Python), so that none waits."""
    return bool(getattr(chunk, "signatures", True))


class Search:
    """One annealing walk on one snapshot.

    Parameters
    ----------
    engine : Engine
        Its arrays are read; slots and clock are the search's own.
    drafts : sequence of Draft
        Where to begin; must be layable. Pinned builds are never touched.
    seed : int
    """

    def __init__(self, engine: Engine, drafts: Sequence[Draft], *, seed: int) -> None:
        self._engine = engine
        self._slots, self._clock = room(engine.bench)
        self._walk = new_walk(engine.num_drinks, _most_like(engine))
        self._state = first_state(seed)
        self._pinned = [draft for draft in drafts if draft.is_pinned]
        for slot, draft in enumerate(drafts):
            n = len(draft.drinks)
            self._slots.builds[slot, SIZE] = n
            self._slots.builds[slot, WHO] = draft.person
            self._slots.items[slot, :n, DRINK] = draft.drinks
            if not assemble(engine.bench, self._slots, self._clock, slot):
                raise EngineFault(f"a build to begin with may not be: {draft}")
            put_off(self._slots, slot, draft.waits_ds)
            if draft.is_pinned:
                self._slots.builds[slot, CLASS] = PINNED
            self._walk.order[slot] = slot
        self._walk.notes[NUM] = len(drafts)
        if not begin_walk(engine.bench, self._slots, self._clock, self._walk):
            raise EngineFault("the list to begin with cannot be laid")
        self._round_cost = max(1, self._step())

    def _step(self) -> int:
        """What a round more or less is worth, by the list to begin with.

        What is put first is one figure, not a sum over rounds: a step costs as much of the whole.
        """
        if self._engine.bench.house[PUT_FIRST] != MEAN:
            return self.cost // TIE
        last = self._clock.tickets[:, LAST]
        waited = (last - self._engine.bench.tickets[:, PLACED])[last > -NEVER]
        return int(waited.sum()) // max(1, len(waited))

    @property
    def cost(self) -> int:
        """The best cost so far, with what starving rounds cost."""
        return int(self._walk.notes[BEST_COST])

    @property
    def num_tried(self) -> int:
        """Moves tried so far."""
        return int(self._walk.notes[NUM_TRIED])

    @property
    def num_taken(self) -> int:
        """Moves taken so far."""
        return int(self._walk.notes[NUM_TAKEN])

    def run(self, progress: Callable[[], float]) -> None:
        """Search until `progress` says 1 or more.

        Parameters
        ----------
        progress : callable
            How far the search is, from 0 to 1, by the clock or by moves; asked between chunks.
            It sets the temperature, which falls geometrically.
        """
        while (done := progress()) < 1:
            share = HOT_SHARE * (COLD_SHARE / HOT_SHARE) ** max(0.0, done)
            chunk(
                self._engine.bench,
                self._slots,
                self._clock,
                self._walk,
                self._state,
                PATIENCE,
                max(1, round(self._round_cost * share)),
                MOVES_A_CHUNK,
            )

    def drafts(self) -> list[Draft]:
        """Give the best list so far, in the order its builds are laid."""
        found = []
        for i in range(int(self._walk.notes[NUM_BEST])):
            person, n, *rest = (int(x) for x in self._walk.best[i])
            drinks, waits = tuple(rest[:n]), rest[MOST_DRINKS:]
            while waits and not waits[-1]:
                waits.pop()
            pinned = any(set(pin.drinks) == set(drinks) for pin in self._pinned)
            found.append(
                Draft(person=person, drinks=drinks, is_pinned=pinned, waits_ds=tuple(waits))
            )
        return found


def _most_like(engine: Engine) -> Ints:
    """Give for each drink those it shares most with: its mix, its set-ups, its round."""
    bench = engine.bench
    num = engine.num_drinks
    mixes = bench.drinks[:, MIX]
    needs = np.zeros((len(bench.mixes), len(bench.set_ups)), dtype=np.int64)
    for mix in range(len(bench.mixes)):
        at, to = bench.mixes[mix, SET_UP_FROM], bench.mixes[mix, SET_UP_TO]
        needs[mix, bench.set_up[at:to]] = bench.set_ups[bench.set_up[at:to], 2]
    shared = np.minimum(needs[mixes][:, None, :], needs[mixes][None, :, :]).sum(axis=2)
    shared += 1000 * (mixes[:, None] == mixes[None, :])
    shared += 30 * (bench.drinks[:, TICKET][:, None] == bench.drinks[:, TICKET][None, :])
    np.fill_diagonal(shared, -1)
    nearest = np.argsort(-shared, axis=1, kind="stable")[:, : max(1, min(NUM_LIKE, num - 1))]
    return np.ascontiguousarray(nearest)
