"""Two machines in a row without waiting between them: the no-wait flow shop.

Source: P. C. Gilmore, R. E. Gomory, "Sequencing a one state-variable machine: a solvable case of
the traveling salesman problem", Operations Research 12 (1964), 655-679. A job begins on the second
machine the moment the first is done with it, so that in a given order it is done `second` seconds
after max(`first` of this job, `second` of the job before) more than that one began there.

The only open bottle is the first machine, measured from for so long; the blenders are the second.
Starting them takes a second for every job, which shifts every end. How long a blender runs belongs
to the house and not to the recipe, so that the second time is the same for every job: the one part
of the problem that maps.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import permutations

import pytest

from solver.counter import HouseRules, PutFirst
from solver.menu import Ingredient, Menu, Method, Pour, Recipe
from solver.snapshot import Snapshot
from tests.outside.bar import solve, with_people
from tests.outside.flow_shop import by_johnson
from tests.solver.makers import A_DAY_S, counter, glass, only, snapshot, ticket

STARTED_S = 1

Jobs = Sequence[tuple[int, int]]
"""Seconds at the bottle, and weight."""


def bottle_then_blender(
    jobs: Jobs, blends_s: int, *, blenders: int = 1, put_first: PutFirst = PutFirst.MEAN
) -> Snapshot:
    """A frozen drink for each job, and a bartender for each, so that hands are never missing."""
    recipes = tuple(
        Recipe(
            id=f"{first}",
            name=f"{first} s",
            method=Method.BLENDED,
            pours=(Pour(ingredient="rum", amount=f"{first} dash"),),
            glass="glass",
            hold_limit_s=7200,
        )
        for first in dict.fromkeys(first for first, _ in jobs)
    )
    rules = HouseRules(
        next_line_pct=0,
        drinks_per_build=1,
        same_mix_per_build=1,
        mixes_per_build=1,
        put_first=put_first,
    )
    at = counter(
        glasses=(glass("glass", 300),), one_bottle=("rum",), blenders=blenders, rules=rules
    )
    snap = snapshot(
        *(
            ticket(f"j{n + 1}", f"{first}", weight=weight, promise_s=A_DAY_S)
            for n, (first, weight) in enumerate(jobs)
        ),
        menu=Menu(ingredients=(Ingredient(id="rum", name="Rum"),), recipes=recipes),
        standards=only(dash=1, blend_start=STARTED_S, blend_alone=blends_s),
        counter=at,
    )
    return with_people(snap, len(jobs))


def ends_of(jobs: Jobs, blends_s: int, blenders: int = 1) -> list[int]:
    """When each job is done, in this order; blenders are taken in turn."""
    ends: list[int] = []
    at = STARTED_S
    for n, (first, _) in enumerate(jobs):
        at = max(at + first, ends[n - blenders] if n >= blenders else 0)
        ends.append(at + blends_s)
    return ends


def least_weighted(jobs: Jobs, blends_s: int, blenders: int) -> int:
    def total(order: Jobs) -> int:
        ends = ends_of(order, blends_s, blenders)
        return sum(weight * end for (_, weight), end in zip(order, ends, strict=True))

    return min(map(total, permutations(jobs)))


def least_end(jobs: Jobs, blends_s: int) -> int:
    return min(ends_of(order, blends_s)[-1] for order in permutations(jobs))


@pytest.mark.parametrize("seed", range(6))
def test_weighted_ends(seed: int) -> None:
    rng = random.Random(seed)
    jobs = [(rng.randint(1, 20), rng.randint(1, 4)) for _ in range(4)]
    blends_s, blenders = rng.choice([5, 12, 25]), rng.choice([1, 1, 2])
    answer = solve(bottle_then_blender(jobs, blends_s, blenders=blenders))
    assert answer.total_s == least_weighted(jobs, blends_s, blenders)


@pytest.mark.parametrize(("seconds", "blends_s"), [((1, 1, 9), 4), ((6, 2, 8, 3), 5)])
def test_end(seconds: tuple[int, ...], blends_s: int) -> None:
    """With equal second times the job that is shortest at the bottle goes first, then any.

    That follows from Gilmore and Gomory's sum of max(second, next first), and enumeration
    confirms it. Where jobs could wait between the machines, Johnson's rule would end sooner.
    """
    jobs = [(first, 1) for first in seconds]
    rest = sorted(seconds)[1:]
    value = STARTED_S + min(seconds) + sum(max(first, blends_s) for first in rest) + blends_s
    assert value == least_end(jobs, blends_s) < 60
    assert value > STARTED_S + by_johnson([(first, blends_s) for first in seconds])
    answer = solve(bottle_then_blender(jobs, blends_s, put_first=PutFirst.CLEAR))
    assert answer.clear_s == value
