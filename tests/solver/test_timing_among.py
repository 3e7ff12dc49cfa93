"""One more build in a list: the place that is found is the best of all, and looked for in time."""

from __future__ import annotations

import pytest

from solver.baselines import by_the_round, look_ahead
from solver.planner.repair import repaired
from solver.timing import Draft, Engine
from tests.solver.families import KINDS, small


def by_hand(engine: Engine, drafts: list[Draft], drinks: tuple[int, ...]) -> list[Draft] | None:
    """Every person at every place, each list laid as a whole; of equals the first."""
    best, best_cost = None, 0
    for at in range(len(drafts), -1, -1):
        for person in range(engine.num_people):
            trial = [*drafts[:at], Draft(person=person, drinks=drinks), *drafts[at:]]
            laid = engine.lay(trial)
            if laid is not None and (best is None or laid.cost < best_cost):
                best, best_cost = trial, laid.cost
    return best


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("seed", range(4))
def test_the_best_place_of_all_is_found(kind: str, seed: int) -> None:
    snap = small(kind, seed)
    for rule in (by_the_round, look_ahead):
        drafts = rule(Engine(snap))
        for out in range(len(drafts)):
            rest = [*drafts[:out], *drafts[out + 1 :]]
            wanted = by_hand(Engine(snap), rest, drafts[out].drinks)
            engine = Engine(snap)
            assert engine.put_in(rest, drafts[out].drinks, lambda: True) == wanted
            # What was tried before does not stand in the way of what comes after.
            laid, again = engine.lay(drafts), Engine(snap).lay(drafts)
            assert laid == again


def test_no_time_is_enough_for_one_place() -> None:
    engine = Engine(small("shared", 1))
    drafts = by_the_round(engine)
    found = engine.put_in(drafts[:-1], drafts[-1].drinks, lambda: False)
    assert found is not None
    assert sorted(d for draft in found for d in draft.drinks) == list(range(engine.num_drinks))


def test_a_plan_without_time_to_repair_has_every_drink() -> None:
    engine = Engine(small("shared", 2))
    plan = engine.plan(by_the_round(engine), "by the round")
    bare = Engine(small("shared", 2))
    empty = type(plan)(planner="x", builds=(), cost=0)
    drafts = repaired(bare, empty, go_on=lambda: False)
    assert sorted(d for draft in drafts for d in draft.drinks) == list(range(bare.num_drinks))
