"""The planner on bars without sharing against PyJobShop, a scheduling library not ours.

Source: PyJobShop 0.0.9 (Lan and Berkhout, "PyJobShop: Solving scheduling problems with constraint
programming in Python", arXiv 2502.13483), solved to optimality; see `job_shop` for the model.

The exact solver's bound has to equal PyJobShop's optimum. The engine may put the finishing of a
coffee, a frozen drink or a stout off for another drink's sake, but begins every build as early as
it fits; PyJobShop may begin one later. The best plan that can be laid costs more now and then: it
is then never called proven, and brute force over everything that can be laid finds no better.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest

from solver.baselines import by_the_ticket
from solver.counter import HouseRules, PutFirst
from solver.exact import Exact, improve
from solver.goal import FIRST, TIE
from solver.search import Search
from solver.snapshot import Snapshot
from solver.timing import Engine
from solver.verify import verify
from tests.outside.bar import MOVES, PATIENCE_S
from tests.outside.job_shop import DRINKS, ROWS, RUN_ALONE, Bar, least
from tests.solver.makers import A_DAY_S, counter, only, person, snapshot, station, ticket
from tests.solver.oracle import best_of_all

SEEDS = range(16)
MOST_STOUTS = 2
"""More of them side by side take the exact solver longer than a test should."""


def random_bar(seed: int, *, may_run_alone: bool = True) -> Bar:
    """Three to six drinks in rounds of one to three, one to three bartenders."""
    rng = random.Random(seed)
    names = [name for name in DRINKS if may_run_alone or name not in RUN_ALONE]
    drinks: list[str] = []
    for _ in range(rng.randint(3, 6)):
        full = drinks.count("stout") == MOST_STOUTS
        drinks.append(rng.choice([name for name in names if name != "stout" or not full]))
    rounds = []
    while drinks:
        size = rng.choice([1, 1, 2, 3])
        rounds.append(tuple(drinks[:size]))
        drinks = drinks[size:]
    return Bar(
        rounds=tuple(rounds),
        weights=tuple(rng.choice([1, 1, 2, 3]) for _ in rounds),
        paces=tuple(rng.choice([8, 10, 10, 12, 14]) for _ in range(rng.randint(1, 3))),
        blenders=rng.choice([1, 1, 2]),
        groups=rng.choice([1, 2]),
        places=rng.choice([1, 2]),
    )


def snapshot_of(bar: Bar, put_first: PutFirst = PutFirst.MEAN) -> Snapshot:
    """The same bar as we write it, with vessels for everybody and no limits of head and hands."""
    names = [f"p{n + 1}" for n in range(len(bar.paces))]
    rules = HouseRules(
        next_line_pct=0,
        drinks_per_build=1,
        same_mix_per_build=1,
        mixes_per_build=1,
        sit_price=0,
        put_first=put_first,
    )
    at = counter(
        stations=tuple(station(f"at {name}", tin_sets=9, jars=9, kits=20) for name in names),
        people=tuple(
            person(name, f"at {name}", pace=tenths / 10)
            for name, tenths in zip(names, bar.paces, strict=True)
        ),
        blenders=bar.blenders,
        coffee_groups=bar.groups,
        coffee_grinders=1,
        settling_places=bar.places,
        rules=rules,
    )
    rounds = zip(bar.rounds, bar.weights, strict=True)
    return snapshot(
        *(
            ticket(f"j{n + 1}", *drinks, weight=weight, promise_s=A_DAY_S)
            for n, (drinks, weight) in enumerate(rounds)
        ),
        counter=at,
        standards=only(**ROWS),
    )


def solve(snap: Snapshot) -> Exact:
    """Search, let the exact solver go on from there, and verify."""
    engine = Engine(snap)
    search = Search(engine, by_the_ticket(engine), seed=1)
    search.run(lambda: search.num_tried / MOVES)
    exact = improve(engine, search.drafts(), limit_s=PATIENCE_S, deterministic_work=None, seed=1)
    assert verify(snap, engine.plan(exact.drafts, "exact")) == ()
    return exact


@cache
def both(seed: int, put_first: PutFirst) -> tuple[int, Exact, Snapshot]:
    """PyJobShop's optimum and our answer, both as the first part of our goal."""
    bar = random_bar(seed)
    if put_first is PutFirst.MEAN:
        snap = snapshot_of(bar)
        return least(bar), solve(snap), snap
    # Our goal divides the sum by the number of rounds and drops the rest: 64·clear + total // n.
    bar = replace(bar, weights=(1,) * len(bar.rounds))
    snap = snapshot_of(bar, PutFirst.CLEAR)
    value = least(bar, clear_weight=FIRST * len(bar.rounds)) // len(bar.rounds)
    return value, solve(snap), snap


CASES = [(seed, put_first) for seed in SEEDS for put_first in (PutFirst.MEAN, PutFirst.CLEAR)]


@pytest.mark.parametrize(("seed", "put_first"), CASES)
def test_bound_equals_the_optimum(seed: int, put_first: PutFirst) -> None:
    value, exact, _ = both(seed, put_first)
    assert exact.bound == value
    assert exact.cost // TIE >= value
    assert exact.is_proven == (exact.cost // TIE == value)


@pytest.mark.parametrize(("seed", "put_first"), CASES)
def test_what_is_not_proven_is_the_best_that_can_be_laid(seed: int, put_first: PutFirst) -> None:
    _, exact, snap = both(seed, put_first)
    engine = Engine(snap)
    if not exact.is_proven and engine.num_drinks + engine.num_people <= 7:
        assert best_of_all(engine).cost // TIE == exact.cost // TIE


def test_nearly_all_are_equal() -> None:
    ratios = [(both(*case)[1].cost // TIE) / both(*case)[0] for case in CASES]
    assert ratios.count(1.0) >= 0.9 * len(CASES)
    assert max(ratios) <= 1.02


@pytest.mark.parametrize("seed", range(100, 108))
def test_always_equal_where_nothing_runs_alone(seed: int) -> None:
    bar = random_bar(seed, may_run_alone=False)
    assert solve(snapshot_of(bar)).cost // TIE == least(bar)
