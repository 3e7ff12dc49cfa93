"""The search and the exact solver against brute force, on small snapshots of every kind."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings

from solver.baselines import BASELINES
from solver.exact import Exact, improve
from solver.goal import TIE
from solver.search import Search
from solver.snapshot import Snapshot, rail_of
from solver.timing import Draft, Engine
from solver.verify import verify
from tests.solver.families import KINDS, small
from tests.solver.makers import counter, snapshot, ticket
from tests.solver.oracle import Best, best_of_all
from tests.solver.strategies import snapshots

MOVES = 50_000
CASES = [(kind, seed) for kind in KINDS for seed in range(2 if kind == "six" else 5)]


@cache
def solved(kind: str, seed: int) -> tuple[Engine, Best]:
    engine = Engine(small(kind, seed))
    return engine, best_of_all(engine)


def cheapest_baseline(engine: Engine) -> list[Draft]:
    """Where every planner begins here."""

    def cost(drafts: list[Draft]) -> int:
        laid = engine.lay(drafts)
        assert laid is not None
        return laid.cost

    return min((rule(engine) for rule in BASELINES.values()), key=cost)


class TestOracle:
    def test_counts_every_list_of_two_drinks(self) -> None:
        """Apart in two sequences, together in two finishing orders."""
        assert (
            best_of_all(Engine(snapshot(ticket("a", "sour"), ticket("b", "stirred")))).num_laid == 4
        )

    def test_lays_twins_once(self) -> None:
        """Two equal drinks of a round: one after the other, or together."""
        assert best_of_all(Engine(snapshot(ticket("a", "sour", "sour")))).num_laid == 2

    def test_every_person(self) -> None:
        """Two drinks of two mixes by two people: 2 sequences x 4, and 2 orders x 2 together."""
        two = snapshot(ticket("a", "sour"), ticket("b", "stirred"), counter=counter(2))
        assert best_of_all(Engine(two)).num_laid == 12

    @pytest.mark.parametrize(("kind", "seed"), CASES)
    def test_its_plan_keeps_the_rules(self, kind: str, seed: int) -> None:
        engine, best = solved(kind, seed)
        plan = engine.plan(best.drafts, "oracle")
        assert verify(engine.packed.snapshot, plan) == ()
        assert plan.cost == best.cost


class TestSearch:
    @pytest.mark.parametrize(("kind", "seed"), CASES)
    def test_finds_the_best(self, kind: str, seed: int) -> None:
        engine, best = solved(kind, seed)
        search = Search(engine, cheapest_baseline(engine), seed=1)
        search.run(lambda: search.num_tried / MOVES)
        assert search.cost == best.cost

    @settings(max_examples=60)
    @given(snapshots())
    def test_finds_the_best_of_anything_small(self, snap: Snapshot) -> None:
        """Also where no plan keeps every round from starving, or where few do.

        No list with its tails as early as they fit is cheaper; one that puts them off may be.
        """
        rail = rail_of(snap)
        if not snap.people_on or not 1 <= len(rail.drinks) <= 5 - len(snap.people_on):
            return
        engine = Engine(snap, rail)
        best = best_of_all(engine, puts_off=False)
        search = Search(engine, cheapest_baseline(engine), seed=1)
        search.run(lambda: search.num_tried / MOVES)
        assert search.cost <= best.cost


@cache
def exact_of(kind: str, seed: int) -> Exact:
    engine, _ = solved(kind, seed)
    drafts = cheapest_baseline(engine)
    return improve(engine, drafts, limit_s=20.0, deterministic_work=None, seed=1)


class TestExact:
    @pytest.mark.parametrize(("kind", "seed"), CASES)
    def test_finds_the_best(self, kind: str, seed: int) -> None:
        _, best = solved(kind, seed)
        exact = exact_of(kind, seed)
        assert exact.cost >= best.cost
        assert exact.bound is not None
        assert exact.bound <= best.cost // TIE
        assert exact.is_proven == (exact.cost // TIE == exact.bound)
        # What is in hand is finished as early as it can be: no list puts that off.
        if kind != "in hand":
            assert exact.is_proven
            assert exact.cost // TIE == best.cost // TIE
