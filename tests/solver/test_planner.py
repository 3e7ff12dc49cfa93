"""The planner's promises: always an answer, verified, never worse than a baseline or a hint."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from solver.baselines import BASELINES
from solver.counter import HouseRules
from solver.errors import BadValue, CannotPlan
from solver.goal import TIE, made_times_ds, measures_of, num_crowded, rounds_of
from solver.plan import Plan
from solver.planner import (
    Budget,
    baseline_plan,
    in_time,
    insert,
    make_plan,
    repaired,
    warm_up,
    with_fair_bound,
)
from solver.snapshot import Away, Pinned, Presence, Shortage, Snapshot, rail_of
from solver.timing import Engine
from solver.verify import verify
from tests.solver.families import KINDS, small
from tests.solver.makers import begun, counter, reduction_snapshot, snapshot, ticket
from tests.solver.strategies import snapshots

COUNTED = Budget(limit_ms=None, moves=1500)
PROVING = Budget(limit_ms=None, moves=1500, exact_work=5.0)


def no_clock() -> float:
    """A planner that counts moves looks at no clock."""
    raise AssertionError("the clock was looked at")


def stopped() -> float:
    return 0.0


class Ticking:
    """A clock that goes on by so much each time it is looked at."""

    def __init__(self, step_s: float) -> None:
        self.now_s = 0.0
        self.step_s = step_s

    def __call__(self) -> float:
        self.now_s += self.step_s
        return self.now_s


def planned(snap: Snapshot, budget: Budget = COUNTED, **more: Any) -> Plan:
    return make_plan(snap, budget, clock=no_clock, **more)


class TestBudget:
    @pytest.mark.parametrize(
        "wrong",
        [
            {"limit_ms": None},
            {"limit_ms": 250, "moves": 10},
            {"limit_ms": 0},
            {"limit_ms": 4_000_000},
            {"limit_ms": None, "moves": 0},
        ],
    )
    def test_is_by_the_clock_or_by_moves(self, wrong: dict[str, Any]) -> None:
        with pytest.raises(BadValue):
            Budget(**wrong)


class TestMakePlan:
    @settings(max_examples=60)
    @given(snapshots())
    def test_keeps_every_rule_and_is_no_worse_than_what_does(self, snap: Snapshot) -> None:
        rail = rail_of(snap)
        if not (rail.drinks or snap.in_hand) or (rail.drinks and not snap.people_on):
            with pytest.raises(CannotPlan):
                planned(snap)
            return
        plan = planned(snap, Budget(limit_ms=None, moves=400))
        fair = [other for name in BASELINES if not verify(snap, other := baseline_plan(snap, name))]
        broken = {finding.rule for finding in verify(snap, plan)}
        assert broken <= ({"starving"} if not fair else set())
        assert all(plan.cost <= other.cost for other in fair if plan.cost_with_pins is None)
        again = planned(snap, Budget(limit_ms=None, moves=1), previous=plan)
        if not broken and plan.cost_with_pins is None:
            assert again.cost <= plan.cost

    @pytest.mark.parametrize("kind", sorted(KINDS))
    def test_proves_a_short_rail(self, kind: str) -> None:
        snap = small(kind, 3)
        plan = planned(snap, PROVING)
        assert verify(snap, plan) == ()
        proven = {"shared", "flame", "people", "contention", "bar top", "six"}
        assert plan.is_proven or kind not in proven

    def test_counted_moves_give_the_same_plan_again(self) -> None:
        snap = small("six", 1)
        assert planned(snap) == planned(snap)
        assert planned(snap, PROVING) == planned(snap, PROVING)

    def test_more_moves_are_no_worse(self) -> None:
        snap = with_fair_bound(small("people", 2))
        few, many = (planned(snap, Budget(limit_ms=None, moves=n)) for n in (1, 5000))
        assert many.cost <= few.cost

    def test_a_limit_that_is_over_at_once_still_gives_a_plan(self) -> None:
        """Every look at the clock costs a second, the limit is a millisecond."""
        snap = small("six", 1)
        plan = make_plan(snap, Budget(limit_ms=1), clock=Ticking(1.0))
        assert verify(snap, plan) == ()
        assert plan.planner in BASELINES

    def test_a_previous_plan_is_a_hint(self) -> None:
        snap = small("six", 1)
        best = planned(snap, PROVING)
        again = planned(snap, Budget(limit_ms=None, moves=1), previous=best)
        assert again.cost == best.cost

    def test_nothing_can_be_made(self) -> None:
        snap = snapshot(ticket("a", "sour"), short=(Shortage(ingredient="gin", left=0),))
        with pytest.raises(CannotPlan) as told:
            planned(snap)
        assert told.value.reasons == ("Gin is 86",)

    def test_nobody_is_there(self) -> None:
        snap = snapshot(ticket("a", "sour"), people_on=())
        with pytest.raises(CannotPlan) as told:
            planned(snap)
        assert told.value.reasons == ("nobody is on the floor",)

    def test_the_rail_is_empty(self) -> None:
        with pytest.raises(CannotPlan) as told:
            planned(snapshot())
        assert told.value.reasons == ("the rail is empty",)

    def test_only_builds_in_hand(self) -> None:
        snap = snapshot(ticket("a", "sour"), in_hand=(begun("a1", -5.0),))
        plan = planned(snap)
        assert [build.is_in_hand for build in plan.builds] == [True]
        assert verify(snap, plan) == ()

    def test_what_cannot_be_made_is_set_aside(self) -> None:
        snap = snapshot(ticket("a", "sour", "wine"), short=(Shortage(ingredient="gin", left=0),))
        plan = planned(snap)
        assert [(one.drink, one.reason) for one in plan.set_aside] == [("a1", "Gin is 86")]
        assert verify(snap, plan) == ()


SLOW = ticket("a", "flip", "foam", "flip", "foam")


class TestPins:
    """Ana sees four slow drinks next, and five guests wait for a glass of wine."""

    def seen(self, **rules: Any) -> Snapshot:
        pin = Pinned(person="ana", drinks=("a1", "a3", "a2", "a4"))
        return snapshot(
            SLOW,
            *(ticket(t, "wine") for t in "bcdef"),
            ticket("g", "neat"),
            ticket("h", "lager"),
            pinned=(pin,),
            counter=counter(rules=replace(counter().rules, **rules)),
        )

    def test_what_is_seen_as_next_stays(self) -> None:
        snap = self.seen(steady_margin_pct=90)
        plan = planned(snap)
        assert plan.cost_with_pins is None
        assert plan.builds[0].is_pinned
        assert verify(snap, plan) == ()

    def test_what_fits_only_as_next_stays_next(self) -> None:
        """Ana leaves in 620 s; Ben comes in 590, and j31, which goes first, waits for him.

        Were j11 not shown as next, Ana would have to wait for j31 to begin, and then leave.
        """
        snap = reduction_snapshot([40, 400, 400], num_people=2)
        first, *urgent = snap.tickets
        snap = replace(
            snap,
            tickets=(first, *(replace(one, overtaken=3) for one in urgent)),
            people_on=(
                Presence(person="ana", away=(Away(from_s=620),)),
                Presence(person="ben", from_s=590),
            ),
            pinned=(Pinned(person="ana", drinks=("j11",)),),
        )
        plan = planned(snap)
        shown = [(build.person, build.is_pinned) for build in plan.builds]
        assert shown == [("ana", True), ("ana", False), ("ben", False)]
        assert verify(snap, plan) == ()

    def test_unless_the_gain_is_worth_it(self) -> None:
        snap = self.seen(steady_margin_pct=5)
        plan = planned(snap)
        assert plan.cost_with_pins is not None
        assert plan.cost // TIE * 100 < plan.cost_with_pins // TIE * 95
        assert not any(build.is_pinned for build in plan.builds)
        assert verify(snap, plan) == ()


class TestInsert:
    def test_the_rest_of_the_order_stays(self) -> None:
        """A lager comes in: the builds there were keep their people and their sequence."""
        before = small("people", 1)
        plan = planned(before)
        new = replace(before, tickets=(*before.tickets, ticket("z", "lager")))
        inserted = insert(new, plan, clock=stopped)
        assert verify(new, inserted) == ()
        assert inserted.planner == "inserted"
        for who in ("ana", "ben"):
            was = [b.drinks for b in plan.builds if b.person == who]
            now = [b.drinks for b in inserted.builds if b.person == who and b.drinks != ("z1",)]
            assert now == was

    def test_a_round_of_equals_goes_into_one_build(self) -> None:
        before = snapshot(ticket("a", "wine"))
        new = snapshot(ticket("a", "wine"), ticket("b", "sour", "sour", "sour"))
        inserted = insert(new, planned(before), clock=stopped)
        assert ("b1", "b2", "b3") in [build.drinks for build in inserted.builds]

    def test_without_a_plan_the_cheapest_baseline(self) -> None:
        snap = small("people", 1)
        cheapest = min((baseline_plan(snap, name) for name in BASELINES), key=lambda p: p.cost)
        assert insert(snap, None, clock=stopped).cost == cheapest.cost

    @settings(max_examples=40)
    @given(snapshots(least_tickets=2))
    def test_keeps_every_rule(self, snap: Snapshot) -> None:
        """The newest round comes in last; what is begun or pinned of it never was in the plan."""
        newest = max(snap.tickets, key=lambda one: one.placed_s)
        gone = {drink.id for drink in newest.drinks}
        before = replace(
            snap,
            tickets=tuple(one for one in snap.tickets if one is not newest),
            in_hand=tuple(b for b in snap.in_hand if gone.isdisjoint(b.drinks)),
            pinned=(),
        )
        try:
            previous = planned(before, Budget(limit_ms=None, moves=200))
            plan = insert(snap, previous, clock=stopped)
        except CannotPlan:
            return
        assert {finding.rule for finding in verify(snap, plan)} <= {"starving"}

    def test_time_being_up_is_no_excuse(self) -> None:
        before, new = small("six", 0), small("six", 0)
        new = replace(new, tickets=(*new.tickets, ticket("z", "wine", "ale")))
        inserted = insert(new, planned(before), clock=Ticking(5.0))
        assert verify(new, inserted) == ()


class TestRepaired:
    def test_drops_what_is_gone_and_keeps_the_rest(self) -> None:
        before = snapshot(ticket("a", "sour"), ticket("b", "tall"), ticket("c", "wine"))
        plan = planned(before)
        after = snapshot(ticket("a", "sour"), ticket("c", "wine"))
        engine = Engine(after)
        drafts = repaired(engine, plan)
        names = [engine.packed.rail.drinks[d].id for draft in drafts for d in draft.drinks]
        was = [d for build in plan.builds for d in build.drinks if d != "b1"]
        assert names == was


class TestFairBound:
    def test_is_by_the_tickets_worst(self) -> None:
        snap = small("shared", 2)
        worst_s = measures_of(snap, baseline_plan(snap, "by the ticket")).worst_s
        assert with_fair_bound(snap).worst_by_ticket_s == worst_s

    @pytest.mark.parametrize("changes", [{"people_on": ()}, {"tickets": ()}])
    def test_is_none_where_there_is_nothing_to_plan(self, changes: dict[str, Any]) -> None:
        assert with_fair_bound(replace(small("shared", 2), **changes)).worst_by_ticket_s is None


class TestInTime:
    def test_the_youngest_round_is_given_up(self) -> None:
        """10, 20 and 30 s by one pair of hands: two fit before 45 s, and they came first."""
        snap = reduction_snapshot([10, 20, 30])
        placed = (-30.0, -20.0, -10.0)
        rounds = tuple(replace(t, placed_s=at) for t, at in zip(snap.tickets, placed, strict=True))
        snap = in_time(replace(snap, tickets=rounds, hard_stop_s=45.0))
        assert snap.too_late == ("j31",)
        plan = planned(snap)
        assert verify(snap, plan) == ()
        assert [entry.drink for entry in plan.set_aside] == ["j31"]

    def test_a_stop_far_off_gives_nothing_up(self) -> None:
        snap = replace(reduction_snapshot([10, 20, 30]), hard_stop_s=60.0)
        assert in_time(snap).too_late == ()
        assert in_time(replace(snap, hard_stop_s=None)).too_late == ()

    def test_what_was_given_up_comes_back_oldest_first(self) -> None:
        """Four of 10, 10, 20 and 30 s; with 45 s the first three fit, with 25 s two."""
        snap = reduction_snapshot([10, 20, 10, 30])
        placed = (-40.0, -20.0, -30.0, -10.0)
        rounds = tuple(replace(t, placed_s=at) for t, at in zip(snap.tickets, placed, strict=True))
        snap = replace(snap, tickets=rounds)
        near, far = replace(snap, hard_stop_s=25.0), replace(snap, hard_stop_s=45.0)
        given_up = in_time(near).too_late
        assert len(given_up) == 2
        assert in_time(near, given_up).too_late == given_up
        assert in_time(far, given_up).too_late == in_time(far).too_late
        assert set(in_time(far).too_late) < set(given_up)
        assert in_time(far, ["j0-of-another-night"]) == in_time(far)
        assert in_time(replace(snap, hard_stop_s=None), given_up).too_late == ()

    def test_without_giving_anything_up_there_is_no_plan(self) -> None:
        with pytest.raises(CannotPlan, match="before the hard stop"):
            planned(replace(reduction_snapshot([10, 20, 30]), hard_stop_s=45.0))


class TestBreaks:
    def test_the_other_takes_what_does_not_fit_before_a_break(self) -> None:
        """Ana rests from 10 s on: 20 s of work are ben's, or come after it."""
        snap = reduction_snapshot([20, 20], num_people=2)
        ana = replace(snap.people_on[0], away=(Away(from_s=10.0, until_s=500.0),))
        snap = replace(snap, people_on=(ana, snap.people_on[1]))
        for name in BASELINES:
            assert verify(snap, baseline_plan(snap, name)) == ()
        assert {build.person for build in planned(snap).builds} == {"ben"}

    def test_arms_rest_while_something_is_stirred(self) -> None:
        snap = snapshot(ticket("a", "sour"), ticket("b", "tall"))
        snap = replace(snap, people_on=(Presence(person="ana", shake_from_s=30.0),))
        first = min(planned(snap).builds, key=lambda build: build.start_s)
        assert (first.drinks, first.start_s) == (("b1",), 0.0)

    def test_a_full_pass_finishes_a_round_first(self) -> None:
        """Two rounds of two: with room for one glass neither waits for the other's half."""
        rules = HouseRules(pass_room=1, pass_price=1000, drinks_per_build=1, mixes_per_build=1)
        rules = replace(rules, same_mix_per_build=1)
        snap = snapshot(
            ticket("a", "tall", "sour"), ticket("b", "tall", "sour"), counter=counter(rules=rules)
        )
        plan = planned(snap)
        rounds = rounds_of(snap, rail_of(snap), made_times_ds(plan))
        assert num_crowded(rounds, 1) == 0


class TestOthers:
    def test_a_baseline_by_its_name(self) -> None:
        assert baseline_plan(small("shared", 2), "look-ahead").planner == "look-ahead"
        with pytest.raises(BadValue, match="look-ahead"):
            baseline_plan(small("shared", 2), "look ahead")

    def test_others_plan_while_it_warms_up(self) -> None:
        found: list[Plan] = []

        def plan() -> None:
            found.append(insert(small("shared", 2), None, clock=lambda: 0.0))

        other = threading.Thread(target=plan)
        warm_up(small("shared", 2), can_plan=other.start)
        other.join()
        assert found == [insert(small("shared", 2), None, clock=lambda: 0.0)]
