"""A bar that is a textbook's machine: what the outside checks plan on, and what comes of it.

`reduction_snapshot` has bartenders for machines and drinks for jobs, each of a few seconds of
hands; lateness, sitting, serving and fairness are switched off. Here are the other shapes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.baselines import by_the_ticket
from solver.exact import improve
from solver.goal import TIE
from solver.menu import Stage
from solver.search import Search
from solver.snapshot import Presence, Snapshot
from solver.timing import Engine
from solver.timing.arrays import LAST
from solver.units import DS_PER_S
from solver.verify import verify
from tests.solver.makers import person, station

MOVES = 15_000
PATIENCE_S = 30.0


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What the planners say of a snapshot.

    Attributes
    ----------
    total_s : float
        The goal's first part in seconds: Σ weight × made time where nothing else is put first.
    clear_s : float
        When the last drink is made.
    order : list of str
        Drinks in the order they are made.
    builds : list of list of str
        The drinks of each build, each list and all of them sorted.
    """

    total_s: float
    clear_s: float
    order: list[str]
    builds: list[list[str]]


def solve(snap: Snapshot) -> Answer:
    """Search, prove, and verify; search and proof have to agree on what is best."""
    engine = Engine(snap)
    start = by_the_ticket(engine)
    search = Search(engine, start, seed=1)
    search.run(lambda: search.num_tried / MOVES)
    exact = improve(engine, start, limit_s=PATIENCE_S, deterministic_work=None, seed=1)
    assert exact.is_proven
    assert search.cost // TIE == exact.cost // TIE
    plan = engine.plan(exact.drafts, "exact")
    assert verify(snap, plan) == ()
    made = [pair for build in plan.builds for pair in zip(build.made_s, build.drinks, strict=True)]
    return Answer(
        total_s=exact.cost // TIE / DS_PER_S,
        clear_s=int(engine.clock.tickets[:, LAST].max()) / DS_PER_S,
        order=[drink for _, drink in sorted(made)],
        builds=sorted(sorted(build.drinks) for build in plan.builds),
    )


def with_people(snap: Snapshot, num_people: int) -> Snapshot:
    """The snapshot with so many equal bartenders, each at a station of their own."""
    names = [f"p{n + 1}" for n in range(num_people)]
    counter = replace(
        snap.counter,
        stations=tuple(station(f"at {name}") for name in names),
        people=tuple(person(name, f"at {name}") for name in names),
    )
    return replace(snap, counter=counter, people_on=tuple(Presence(person=name) for name in names))


def ready_together(snap: Snapshot) -> Snapshot:
    """The snapshot with every drink's seconds spent before any glass of its build is finished.

    Drinks of a build are then made at one moment: batch availability.
    """
    recipes = tuple(
        replace(recipe, pours=tuple(replace(pour, at=Stage.MEASURE) for pour in recipe.pours))
        for recipe in snap.menu.recipes
    )
    return replace(snap, menu=replace(snap.menu, recipes=recipes))
