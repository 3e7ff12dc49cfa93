"""Brute force: the cheapest of all plans the engine can lay, for a handful of drinks.

Every way to split the drinks into builds, every finishing order, every person, every sequence;
each list is laid by `Engine.lay`, the one definition of timing, and nothing is pruned by thought.
Lists that differ only in drinks that nothing tells apart (same round, mix and release), or in a
finishing order that the engine groups into the same one, are laid once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, permutations, product

from solver.baselines import pinned_drafts
from solver.timing import Draft, Engine, Laid
from solver.timing.arrays import MAIN, NUM_TAILS, PACE
from solver.units import paced_ds

MOST_LISTS = 400_000


@dataclass(frozen=True, kw_only=True)
class Best:
    """The cheapest list, its cost, and how many were laid."""

    drafts: tuple[Draft, ...]
    cost: int
    num_laid: int


def best_of_all(engine: Engine, *, puts_off: bool = True) -> Best:
    """Give the cheapest list of builds there is, pinned builds kept as they are.

    They are laid before all others, so that only their own sequence matters.
    """
    pins = pinned_drafts(engine)
    pinned = {drink for draft in pins for drink in draft.drinks}
    loose = frozenset(range(engine.num_drinks)) - pinned
    best: tuple[tuple[Draft, ...], Laid] | None = None
    num_laid = 0
    lists = list(_lists(Builds(engine, loose), loose))
    for plain in ((*first, *rest) for first in permutations(pins) for rest in lists):
        for drafts in _put_off(engine, plain) if puts_off else (plain,):
            laid = engine.lay(drafts)
            num_laid += 1
            assert num_laid <= MOST_LISTS, "too many drinks to try everything"
            if laid is not None and (best is None or laid.rank < best[1].rank):
                best = drafts, laid
    assert best is not None, "nothing can be laid"
    return Best(drafts=best[0], cost=best[1].cost, num_laid=num_laid)


LONG_DS = 6000
"""A tail put off for so long is out of the way of everything else."""


def _put_off(engine: Engine, drafts: tuple[Draft, ...]) -> Iterator[tuple[Draft, ...]]:
    """Give a list as it is, and with its tails put off for what else their person does.

    A tail is put off for long, to see when the others are through without it, and then until just
    then.
    """
    yield drafts
    if engine.lay(drafts) is None:
        return
    num_tails = [int(engine.slots.builds[slot, NUM_TAILS]) for slot in range(len(drafts))]
    choices = [
        list(product(*(_waits(engine, drafts, slot, tail) for tail in range(count))))
        for slot, count in enumerate(num_tails)
    ]
    for waits_ds in product(*choices):
        if any(map(any, waits_ds)):
            yield tuple(
                replace(draft, waits_ds=waits)
                for draft, waits in zip(drafts, waits_ds, strict=True)
            )


def _waits(engine: Engine, drafts: tuple[Draft, ...], slot: int, tail: int) -> list[int]:
    """How long a tail may be put off: not at all, or until another build or tail is through.

    Through without this tail, or without any tail of the list.
    """
    found = {0}
    for is_off in (lambda at: at == (slot, tail), lambda _: True):
        engine.lay(drafts)
        limits = [
            [_most_ds(row) for row in engine.slots.tail[n, : int(count)].tolist()]
            for n, count in enumerate(engine.slots.builds[: len(drafts), NUM_TAILS])
        ]
        row = engine.slots.tail[slot, tail].tolist()
        off = [
            replace(d, waits_ds=tuple(m * is_off((n, t)) for t, m in enumerate(limits[n])))
            for n, d in enumerate(drafts)
        ]
        if engine.lay(off) is None:
            continue
        ready = int(engine.clock.start[slot]) + row[0] + row[1]
        for other, draft in enumerate(drafts):
            if draft.person != drafts[slot].person:
                continue
            own = tail + 1 if other == slot else None
            waits = (
                through - ready
                for piece, through in enumerate(_through_ds(engine, other))
                if own is None or piece not in (0, own)
            )
            found |= {wait for wait in waits if 0 < wait <= limits[slot][tail]}
    return sorted(found)


def _through_ds(engine: Engine, slot: int) -> Iterator[int]:
    """When each stretch of a laid build ends."""
    slots, clock = engine.slots, engine.clock
    yield int(clock.start[slot] + slots.builds[slot, MAIN])
    for tail in range(int(slots.builds[slot, NUM_TAILS])):
        at, who = (int(x) for x in clock.tails[slot, tail])
        yield at + paced_ds(int(slots.tail[slot, tail, 3]), int(engine.bench.people[who, PACE]))


def _most_ds(row: Sequence[int]) -> int:
    return min(LONG_DS, row[2] - row[1]) if row[2] >= 0 else LONG_DS


class Builds:
    """The builds there may be, by their first drink taken: each set with its people and orders."""

    def __init__(self, engine: Engine, drinks: frozenset[int]) -> None:
        self._engine = engine
        self._known: dict[frozenset[int], list[Draft]] = {}
        rail = engine.packed.rail.drinks
        self.kind = [(d.ticket, d.mix, d.is_alone, d.release_ds, d.people) for d in rail]
        for size in range(1, len(drinks) + 1):
            for chosen in combinations(sorted(drinks), size):
                self._known[frozenset(chosen)] = list(self._drafts(chosen))

    def of(self, drinks: frozenset[int]) -> list[Draft]:
        return self._known[drinks]

    def _drafts(self, drinks: tuple[int, ...]) -> Iterator[Draft]:
        mixes = [drink.mix for drink in self._engine.packed.rail.drinks]
        for person in range(self._engine.num_people):
            if self._engine.hands_ds(person, drinks) is None:
                continue
            seen = set()
            for order in permutations(drinks):
                first = list(dict.fromkeys(mixes[drink] for drink in order))
                grouped = sorted(order, key=lambda drink: first.index(mixes[drink]))
                looks = tuple(self.kind[drink] for drink in grouped)
                if looks not in seen:
                    seen.add(looks)
                    yield Draft(person=person, drinks=tuple(grouped))


def _lists(builds: Builds, left: frozenset[int]) -> Iterator[tuple[Draft, ...]]:
    """Give every sequence of builds of these drinks."""
    if not left:
        yield ()
        return
    seen = set()
    for size in range(1, len(left) + 1):
        for chosen in combinations(sorted(left), size):
            drinks = frozenset(chosen)
            looks = tuple(sorted(map(repr, (builds.kind[drink] for drink in chosen))))
            if looks in seen:
                continue
            seen.add(looks)
            for draft in builds.of(drinks):
                for rest in _lists(builds, left - drinks):
                    yield (draft, *rest)
