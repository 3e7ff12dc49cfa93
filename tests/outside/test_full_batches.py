"""Machines that take several jobs at once, each batch as long as its longest job.

Source: P. Brucker, A. Gladky, H. Hoogeveen, M. Y. Kovalyov, C. N. Potts, T. Tautenhahn,
S. L. van de Velde, "Scheduling a batching machine", Journal of Scheduling 1 (1998), 31-54: to be
done soonest, fill batches with the longest jobs first. Two mixing glasses are stirred at once, and
how long depends on the ice.

Only that much maps. The case 9, 8, 7, 5, 4, 3, 2 with three at once (16) has more different times
than there are ices to stir on, and three glasses at once are more than two hands stir.
"""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from solver.counter import HouseRules, PutFirst, Well
from solver.menu import Ice, Ingredient, Menu, Method, Pour, Recipe
from solver.snapshot import Snapshot
from tests.outside.bar import solve
from tests.solver.makers import A_DAY_S, counter, glass, only, snapshot, station, ticket

SECONDS = {Ice.CUBED: 28, Ice.CRACKED: 18, Ice.CRUSHED: 12}


def stirred(ices: list[Ice], seconds: dict[Ice, int] = SECONDS) -> Snapshot:
    """A stirred drink on each of these ices; nothing takes time but stirring."""
    recipes = tuple(
        Recipe(
            id=ice.value,
            name=ice.value,
            method=Method.STIRRED,
            pours=(Pour(ingredient="rye", amount="100 ml"),),
            glass="glass",
            ice=ice,
            hold_limit_s=7200,
        )
        for ice in SECONDS
    )
    rules = HouseRules(
        next_line_pct=0,
        drinks_per_build=8,
        same_mix_per_build=8,
        mixes_per_build=3,
        put_first=PutFirst.CLEAR,
    )
    at = station(mixing_glasses=8, wells=tuple(Well(ice=ice) for ice in SECONDS))
    return snapshot(
        *(ticket(f"j{n}", ice.value, promise_s=A_DAY_S) for n, ice in enumerate(ices)),
        menu=Menu(ingredients=(Ingredient(id="rye", name="Rye"),), recipes=recipes),
        standards=only(**{f"stir_{ice.value}": float(s) for ice, s in seconds.items()}),
        counter=counter(stations=(at,), glasses=(glass("glass", 300),), rules=rules),
    )


def longest_together(seconds: list[int]) -> int:
    return sum(sorted(seconds, reverse=True)[::2])


def by_enumeration(seconds: list[int]) -> int:
    """Every order cut into pairs."""
    return min(
        sum(max(order[n : n + 2]) for n in range(0, len(order), 2))
        for order in permutations(seconds)
    )


@pytest.mark.parametrize(
    ("ices", "value"),
    [
        ([Ice.CRUSHED, Ice.CUBED, Ice.CUBED, Ice.CRUSHED], 28 + 12),
        ([Ice.CUBED, Ice.CRACKED, Ice.CRUSHED], 28 + 12),
        ([Ice.CRACKED, Ice.CUBED, Ice.CRUSHED, Ice.CRACKED, Ice.CRUSHED], 28 + 18 + 12),
        ([Ice.CUBED, Ice.CUBED, Ice.CUBED, Ice.CRACKED, Ice.CRUSHED, Ice.CRUSHED], 28 + 28 + 12),
    ],
)
def test_longest_together(ices: list[Ice], value: int) -> None:
    seconds = [SECONDS[ice] for ice in ices]
    assert longest_together(seconds) == by_enumeration(seconds) == value
    assert solve(stirred(ices)).clear_s == value


@pytest.mark.parametrize("seed", range(4))
def test_random_instances(seed: int) -> None:
    """Ends of less than a minute in whole seconds, so that `clear` outweighs the mean."""
    rng = random.Random(seed)
    seconds = {ice: rng.randint(1, 18) for ice in SECONDS}
    ices = [rng.choice(list(SECONDS)) for _ in range(5)]
    value = longest_together([seconds[ice] for ice in ices])
    assert value == by_enumeration([seconds[ice] for ice in ices]) < 60
    assert solve(stirred(ices, seconds)).clear_s == value
