"""A build's place in the order: the plan with it one place later, laid by the engine and judged."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.baselines import BASELINES
from solver.counter import HouseRules
from solver.explain import Order, RoundShift, Turn, explain, why
from solver.goal import TIE, made_times_ds, rounds_of
from solver.plan import Plan
from solver.planner import Budget, baseline_plan, make_plan, with_fair_bound
from solver.snapshot import Snapshot, rail_of
from solver.verify import verify
from tests.solver.families import KINDS, small
from tests.solver.makers import counter, reduction_snapshot, snapshot, ticket

CASES = [(kind, seed) for kind in KINDS for seed in range(3)]


def planned(snap: Snapshot) -> Plan:
    return make_plan(snap, Budget(limit_ms=None, moves=4_000), clock=lambda: 0.0)


def order_of(snap: Snapshot, plan: Plan) -> Order:
    return Order(snap, plan, rail_of(snap))


def mine(plan: Plan, person: str) -> list[str]:
    """Ids of what somebody makes, in turn, what is in hand apart."""
    builds = [b for b in plan.builds if b.person == person and not b.is_in_hand]
    return [b.id for b in sorted(builds, key=lambda b: (b.start_s, b.id))]


def last_ds(snap: Snapshot, plan: Plan) -> dict[str, int]:
    rounds = rounds_of(snap, rail_of(snap), made_times_ds(plan))
    return {times.ticket: times.last_ds for times in rounds}


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_one_place_later_keeps_the_rules(kind: str, seed: int) -> None:
    snap = with_fair_bound(small(kind, seed))
    plan = planned(snap)
    order = order_of(snap, plan)
    for build in plan.builds:
        later = order.one_place_later(build)
        if later is None:
            continue
        assert {fault.rule for fault in verify(later.snapshot, later.plan)} <= {"starving"}
        assert sorted(b.id for b in later.plan.builds) == sorted(b.id for b in plan.builds)
        kept = {pin.person for pin in later.snapshot.pinned}
        assert kept == {pin.person for pin in snap.pinned} - {build.person}


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_what_it_says_is_what_the_two_plans_give(kind: str, seed: int) -> None:
    snap = with_fair_bound(small(kind, seed))
    plan = planned(snap)
    order = order_of(snap, plan)
    assert order.plan.cost == plan.cost, "the list is laid to the plan itself"
    for build in plan.builds:
        turn, later = order.turn_of(build), order.one_place_later(build)
        if later is None:
            assert not turn.rounds
            continue
        now, then = last_ds(snap, plan), last_ds(snap, later.plan)
        said = {shift.ticket: round(shift.sooner_s * 10) for shift in turn.rounds}
        assert said == {name: then[name] - now[name] for name in now if then[name] != now[name]}
        assert turn.gain_s * 10 == later.plan.cost // TIE - plan.cost // TIE


@pytest.mark.parametrize("planner", BASELINES)
@pytest.mark.parametrize("seed", range(3))
def test_baselines_are_explained_whatever_they_break(planner: str, seed: int) -> None:
    snap = with_fair_bound(small("urgent", seed))
    plan = baseline_plan(snap, planner)
    assert [one.build for one in explain(snap, plan)] == [build.id for build in plan.builds]


def test_by_hand() -> None:
    """10 s, 20 s and 40 s, shortest first: after the 20 s, the first ends at 30 instead of 10."""
    snap = reduction_snapshot([10, 20, 40])
    plan = planned(snap)
    first, second, third = explain(snap, plan)
    assert first.turn == Turn(
        before=second.build,
        rounds=(RoundShift(ticket="j1", sooner_s=20), RoundShift(ticket="j2", sooner_s=-10)),
        gain_s=10,
    )
    assert second.turn.before == third.build
    assert third.turn == Turn()


def test_moved_behind_the_next_of_the_same_person() -> None:
    snap = snapshot(*(ticket(name, "tall", "stirred") for name in "abcd"), counter=counter(2))
    plan = planned(snap)
    order = order_of(snap, plan)
    for build in plan.builds:
        later = order.one_place_later(build)
        if later is not None:
            before, after = mine(plan, build.person), mine(later.plan, build.person)
            at = before.index(build.id)
            assert after == [*before[:at], before[at + 1], build.id, *before[at + 2 :]]


def test_a_build_that_fits_where_hands_would_rest_costs_nobody_anything() -> None:
    """The tall drink is made while the first coffee draws, whichever of the two is laid first."""
    bar = counter(rules=HouseRules(next_line_pct=0))
    snap = snapshot(ticket("a", "coffee"), ticket("b", "tall"), ticket("c", "coffee"), counter=bar)
    first, tall, _ = explain(snap, planned(snap))
    assert first.turn.gain_s > 0
    assert tall.drinks == ("b1",)
    assert tall.turn.before
    assert (tall.turn.rounds, tall.turn.gain_s) == ((), 0)


def test_what_is_in_hand_has_no_turn() -> None:
    snap = small("in hand", 1)
    plan = planned(snap)
    held = next(build for build in plan.builds if build.is_in_hand)
    found = why(snap, plan, held.id)
    assert found is not None
    assert found.turn == Turn()


@pytest.mark.parametrize("seed", [0, 3, 4])
def test_what_was_shown_as_next_is_explained_without_its_pin(seed: int) -> None:
    snap = small("pinned", seed)
    plan = planned(snap)
    pinned = next(build for build in plan.builds if build.is_pinned)
    later = order_of(snap, plan).one_place_later(pinned)
    assert later is not None
    assert mine(later.plan, pinned.person)[1] == pinned.id
    assert later.snapshot.pinned == ()


def test_a_build_nobody_planned_has_no_why() -> None:
    snap = reduction_snapshot([10, 20])
    assert why(snap, planned(snap), "b-000000000000") is None


def test_a_plan_that_no_list_gives_is_laid_anew() -> None:
    """Time has passed since it was laid: the order of its builds is explained."""
    snap = reduction_snapshot([10, 20])
    plan = planned(snap)
    late = tuple(
        replace(
            build,
            made_s=tuple(at + 7 for at in build.made_s),
            blocks=tuple(
                replace(block, start_s=block.start_s + 7, end_s=block.end_s + 7)
                for block in build.blocks
            ),
        )
        for build in plan.builds
    )
    assert explain(snap, replace(plan, builds=late)) == explain(snap, plan)
