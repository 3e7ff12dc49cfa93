"""Planning again and again in a simulation is planning as the service does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.errors import CannotPlan
from solver.planner import Budget, make_plan, plan_again, with_fair_bound
from solver.snapshot import Snapshot
from solver.verify import verify
from tests.solver.makers import counter, snapshot, ticket

ROUNDS = (
    ("sour", "sour", "tall"),
    ("stout", "lager"),
    ("stirred", "sour", "foam"),
    ("tall", "tall", "coffee"),
    ("lager",),
)


def rail(num_people: int) -> Snapshot:
    tickets = [
        ticket(name, *drinks, placed_s=-20.0 * n)
        for n, (name, drinks) in enumerate(zip("abcde", ROUNDS, strict=True))
    ]
    return snapshot(*tickets, counter=counter(num_people))


@pytest.mark.parametrize("num_people", [1, 2, 3])
def test_the_bound_and_the_plan_are_those_of_the_service(num_people: int) -> None:
    snap = rail(num_people)
    again = plan_again(snap, moves=400, previous=None)
    bounded = with_fair_bound(snap)
    assert again.snapshot == bounded
    budget = Budget(limit_ms=None, moves=400)
    plan = make_plan(bounded, budget, clock=lambda: 0.0)
    assert again.plan == plan
    assert verify(again.snapshot, again.plan) == ()


def test_an_earlier_plan_is_where_it_may_begin() -> None:
    # Alone: with two, whoever tops a stout may be another when a plan is laid anew by its starts.
    snap = rail(1)
    first = plan_again(snap, moves=2000, previous=None)
    second = plan_again(snap, moves=1, previous=first.plan)
    assert second.plan.cost <= first.plan.cost


def test_nothing_to_make_is_an_answer() -> None:
    with pytest.raises(CannotPlan, match="nobody is on the floor"):
        plan_again(replace(rail(1), people_on=()), moves=10, previous=None)
