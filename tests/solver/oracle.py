"""Brute force: the cheapest of all plans the engine can lay, for a handful of drinks.

Every way to split the drinks into builds, every finishing order, every person, every sequence;
each list is laid by `Engine.lay`, the one definition of timing, and nothing is pruned by thought.
Lists that differ only in drinks that nothing tells apart (same round, mix and release), or in a
finishing order that the engine groups into the same one, are laid once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, permutations

from solver.baselines import pinned_drafts
from solver.timing import Draft, Engine, Laid

MOST_LISTS = 400_000


@dataclass(frozen=True, kw_only=True)
class Best:
    """The cheapest list, its cost, and how many were laid."""

    drafts: tuple[Draft, ...]
    cost: int
    num_laid: int


def best_of_all(engine: Engine) -> Best:
    """Give the cheapest list of builds there is, pinned builds kept as they are.

    They are laid before all others, so that only their own sequence matters.
    """
    pins = pinned_drafts(engine)
    pinned = {drink for draft in pins for drink in draft.drinks}
    loose = frozenset(range(engine.num_drinks)) - pinned
    best: tuple[tuple[Draft, ...], Laid] | None = None
    num_laid = 0
    lists = list(_lists(Builds(engine, loose), loose))
    for drafts in ((*first, *rest) for first in permutations(pins) for rest in lists):
        laid = engine.lay(drafts)
        num_laid += 1
        assert num_laid <= MOST_LISTS, "too many drinks to try everything"
        if laid is not None and (best is None or laid.rank < best[1].rank):
            best = drafts, laid
    assert best is not None, "nothing can be laid"
    return Best(drafts=best[0], cost=best[1].cost, num_laid=num_laid)


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
