"""Explanations of whatever a bar may look like: none raises, and each says what verify says."""

from __future__ import annotations

from hypothesis import given, settings

from solver.errors import CannotPlan
from solver.explain import explain, facts_about, mend, mendings, together_words, turn_words
from solver.planner import Budget, make_plan
from solver.snapshot import Snapshot, rail_of
from tests.solver.strategies import snapshots


@settings(max_examples=60)
@given(snapshots())
def test_every_plan_is_explained(snap: Snapshot) -> None:
    try:
        plan = make_plan(snap, Budget(limit_ms=None, moves=500), clock=lambda: 0.0)
    except CannotPlan:
        return
    whys = explain(snap, plan)
    assert [one.build for one in whys] == [build.id for build in plan.builds]
    known = {ticket.id for ticket in snap.tickets}
    for one in whys:
        assert together_words(one)
        assert one.turn.before or not turn_words(snap, plan, one).startswith("before")
        assert {shift.ticket for shift in one.turn.rounds} <= known
        assert all(shift.sooner_s for shift in one.turn.rounds)


@settings(max_examples=60)
@given(snapshots())
def test_what_is_set_aside_is_mended_or_nothing_helps(snap: Snapshot) -> None:
    for one in mendings(snap):
        fixed = mend(snap, one.facts or facts_about(snap, one.drink))
        can_be_made = any(drink.id == one.drink for drink in rail_of(fixed).drinks)
        assert can_be_made == bool(one.facts)
