"""Two machines in a row with room to wait between them: Johnson's rule.

Source: S. M. Johnson, "Optimal two- and three-stage production schedules with setup times
included", Naval Research Logistics Quarterly 1 (1954), 61-68. Jobs that are shorter on the first
machine go first, the shortest of them soonest; the others last, the longest on the second machine
soonest.

What stands for the machines is of capacity one in the whole bar and takes hands: the only open
bottle, from which a glass is coated so many times, and the only flame, over which the drink is
then finished for so long. A bartender may do other work between the two, as a job may wait.

Unattended steps do not give this problem: what runs by itself starts as the hands end, without
waiting (see `test_no_wait`), and how long it runs belongs to the house, not to the recipe. For the
same reason no job shop benchmark (ft06, la01) maps: a drink has one stretch of hands and after it
one that finishes, not a chain of five or more, each on an equipment and with seconds of its own.
"""

from __future__ import annotations

import random

import pytest

from solver.baselines import by_the_ticket
from solver.counter import Flame, HouseRules, PutFirst
from solver.exact import improve
from solver.goal import TIE
from solver.menu import Garnish, GarnishWork, Ingredient, Menu, Method, Pour, Recipe, Stage
from solver.search import Search
from solver.snapshot import Snapshot
from solver.timing import Engine
from solver.timing.arrays import LAST
from solver.units import DS_PER_S
from solver.verify import verify
from tests.outside.bar import MOVES, PATIENCE_S, with_people
from tests.outside.flow_shop import Jobs, by_enumeration, by_johnson
from tests.solver.makers import A_DAY_S, counter, glass, only, snapshot, ticket

NUM_PEOPLE = 3
"""Enough in the known instances. With two, 28 and 43 become 29 and 44: whoever coats a glass also
lights it, so that the one to coat the next may be at the flame."""


def bottle_then_flame(jobs: Jobs, num_people: int = NUM_PEOPLE) -> Snapshot:
    """A drink for each job: so many coats from the one bottle, then so many seconds alight.

    Ends of less than a minute in whole seconds: one second more of the end then costs more than
    any earlier rounds could save in the mean (64 against 1), so that `clear` is what counts.
    """
    recipes = tuple(
        Recipe(
            id=f"{first}-{second}",
            name=f"{first} and {second} s",
            method=Method.FLAMED,
            pours=(
                *[Pour(ingredient="rum", amount="1 dash", at=Stage.COAT)] * first,
                Pour(ingredient="spice", amount=f"{second * 10 - 1} dash", at=Stage.TOP),
            ),
            glass="glass",
            garnishes=(Garnish(name="peel", work=GarnishWork.FLAMED),),
            hold_limit_s=7200,
        )
        for first, second in dict.fromkeys(jobs)
    )
    at = counter(
        glasses=(glass("glass", 300),),
        one_bottle=("rum",),
        flame=Flame(allowed=True),
        rules=HouseRules(
            next_line_pct=0,
            drinks_per_build=1,
            same_mix_per_build=1,
            mixes_per_build=1,
            put_first=PutFirst.CLEAR,
        ),
    )
    snap = snapshot(
        *(ticket(f"j{n + 1}", f"{a}-{b}", promise_s=A_DAY_S) for n, (a, b) in enumerate(jobs)),
        menu=Menu(
            ingredients=(Ingredient(id="rum", name="Rum"), Ingredient(id="spice", name="Spice")),
            recipes=recipes,
        ),
        standards=only(coat=1, dash=0.1, garnish_flamed=0.1),
        counter=at,
    )
    return with_people(snap, num_people)


def clear_s(snap: Snapshot) -> float:
    """When the last drink is made, as the search and the exact solver have it; proven."""
    engine = Engine(snap)
    search = Search(engine, by_the_ticket(engine), seed=1)
    search.run(lambda: search.num_tried / MOVES)
    exact = improve(engine, search.drafts(), limit_s=PATIENCE_S, deterministic_work=None, seed=1)
    assert exact.is_proven
    assert exact.cost // TIE == search.cost // TIE
    assert verify(snap, engine.plan(exact.drafts, "exact")) == ()
    return int(engine.clock.tickets[:, LAST].max()) / DS_PER_S


@pytest.mark.parametrize(
    ("jobs", "value"),
    [
        ([(1, 7), (3, 6), (7, 5), (5, 4), (10, 2)], 28),
        ([(5, 8), (3, 9), (8, 7), (7, 2), (4, 6)], 35),
        ([(3, 8), (12, 10), (5, 9), (2, 6), (9, 3), (11, 1)], 43),
    ],
)
def test_known_instances(jobs: Jobs, value: int) -> None:
    """The values are confirmed by enumeration."""
    assert by_johnson(jobs) == by_enumeration(jobs) == value
    assert clear_s(bottle_then_flame(jobs)) == value


@pytest.mark.parametrize("seed", range(4))
def test_random_instances(seed: int) -> None:
    """Four jobs and four bartenders: nobody is ever missing."""
    rng = random.Random(seed)
    jobs = [(rng.randint(1, 12), rng.randint(1, 12)) for _ in range(4)]
    assert by_johnson(jobs) == by_enumeration(jobs) < 60
    assert clear_s(bottle_then_flame(jobs, 4)) == by_johnson(jobs)
