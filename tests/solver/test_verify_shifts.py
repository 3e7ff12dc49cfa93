"""Rules on bodies and hours, three tests each: kept, refused, still allowed. Worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.errors import BadValue
from solver.snapshot import Away, Pinned, Presence, Snapshot, rail_of
from tests.solver.makers import (
    begun,
    by_hand,
    hand,
    only,
    reduction_snapshot,
    rules_broken,
    snapshot,
    ticket,
    with_begun,
)

REST = Away(from_s=10.0, until_s=20.0)
LEAVES = Away(from_s=10.0)


def bar(*away: Away, num_people: int = 1) -> Snapshot:
    """Two drinks of 5 s each; ana goes away."""
    snap = reduction_snapshot([5, 5], num_people=num_people)
    ana, *others = snap.people_on
    return replace(snap, people_on=(replace(ana, away=away), *others))


class TestBreak:
    def test_before_and_after_it_is_kept(self) -> None:
        snap = bar(REST)
        plan = by_hand(snap, hand("ana", "j11", 5.0), hand("ana", "j21", 20.0))
        assert rules_broken(snap, plan) == set()

    @pytest.mark.parametrize("start_s", [5.1, 10.0, 19.9])
    def test_a_stretch_into_it_is_refused(self, start_s: float) -> None:
        snap = bar(REST)
        plan = by_hand(snap, hand("ana", "j11", 0.0), hand("ana", "j21", start_s))
        assert rules_broken(snap, plan) == {"break"}

    def test_what_is_in_hand_is_finished(self) -> None:
        # What runs past its end is taken to end 5 s from now.
        snap = replace(bar(Away(from_s=1.0, until_s=20.0)), in_hand=(begun("j11", -1),))
        plan = with_begun(snap, by_hand(snap, hand("ana", "j21", 20.0)), (5.0,), 5.0)
        assert rules_broken(snap, plan) == set()

    def test_a_tail_into_it_is_refused(self) -> None:
        """A coffee: 15 s of hands, drawn until 42 s, finished in 7 s."""
        coffee = only(coffee_hands=15, coffee_draw=27, coffee_finish=7)
        plain = snapshot(ticket("a", "coffee"), standards=coffee)
        finish_s = by_hand(plain, hand("ana", "a1")).builds[0].blocks[1].start_s
        at = Away(from_s=finish_s + 1, until_s=finish_s + 30)
        snap = replace(plain, people_on=(Presence(person="ana", away=(at,)),))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == {"break"}
        later = hand("ana", "a1", tails_s=(finish_s + 30,))
        assert rules_broken(snap, by_hand(snap, later)) == set()


class TestEndOfShift:
    def test_who_leaves_works_until_then(self) -> None:
        snap = bar(LEAVES, num_people=2)
        plan = by_hand(snap, hand("ana", "j11", 5.0), hand("ben", "j21", 30.0))
        assert rules_broken(snap, plan) == set()

    def test_and_no_longer(self) -> None:
        snap = bar(LEAVES, num_people=2)
        plan = by_hand(snap, hand("ana", "j11", 5.1), hand("ben", "j21", 30.0))
        assert rules_broken(snap, plan) == {"break"}

    def test_whoever_leaves_last_stays_for_what_waits(self) -> None:
        snap = bar(LEAVES)
        plan = by_hand(snap, hand("ana", "j11", 5.0), hand("ana", "j21", 10.0))
        assert rail_of(snap).drinks[0].stays == ("ana",)
        assert rules_broken(snap, plan) == set()

    def test_of_two_who_leave_the_later_one_stays(self) -> None:
        snap = bar(LEAVES, num_people=2)
        ana, ben = snap.people_on
        snap = replace(snap, people_on=(ana, replace(ben, away=(Away(from_s=9.0),))))
        assert rail_of(snap).drinks[0].stays == ("ana",)

    def test_a_break_that_ends_before_it_begins_is_none(self) -> None:
        with pytest.raises(BadValue, match="ends after it begins"):
            Away(from_s=20.0, until_s=20.0)

    def test_somebody_who_leaves_soon_is_promised_no_next_build(self) -> None:
        snap = replace(bar(LEAVES, num_people=2), pinned=(Pinned(person="ana", drinks=("j11",)),))
        plan = by_hand(snap, hand("ben", "j11", 0.0), hand("ben", "j21", 5.0))
        assert rules_broken(snap, plan) == set()
        late = replace(snap.people_on[0], away=(Away(from_s=3600.0),))
        snap = replace(snap, people_on=(late, snap.people_on[1]))
        assert rules_broken(snap, plan) == {"pinned"}


class TestRest:
    def tired(self) -> Snapshot:
        snap = snapshot(ticket("a", "sour", "tall"))
        return replace(snap, people_on=(Presence(person="ana", shake_from_s=25.0),))

    def test_shaking_after_it_is_kept(self) -> None:
        snap = self.tired()
        plan = by_hand(snap, hand("ana", "a2", 0.0), hand("ana", "a1", 60.0))
        assert rules_broken(snap, plan) == set()

    def test_shaking_before_is_refused(self) -> None:
        snap = self.tired()
        plan = by_hand(snap, hand("ana", "a1", 24.9), hand("ana", "a2", 300.0))
        assert rules_broken(snap, plan) == {"rest"}

    def test_anything_else_is_allowed(self) -> None:
        snap = self.tired()
        plan = by_hand(snap, hand("ana", "a2", 1.0), hand("ana", "a1", 100.0))
        assert rules_broken(snap, plan) == set()

    def test_a_round_that_goes_first_does_not_stop_who_cannot_shake_it_yet(self) -> None:
        snap = snapshot(ticket("f", "sour", overtaken=3), ticket("b", "tall"))
        snap = replace(snap, people_on=(Presence(person="ana", shake_from_s=25.0),))
        plan = by_hand(snap, hand("ana", "b1", 0.0), hand("ana", "f1", 60.0))
        assert rules_broken(snap, plan) == set()
        rested = replace(snap, people_on=(Presence(person="ana"),))
        assert rules_broken(rested, plan) == {"overtaking"}


class TestHardStop:
    def test_made_by_then_is_kept(self) -> None:
        snap = replace(reduction_snapshot([5, 5]), hard_stop_s=10.0)
        plan = by_hand(snap, hand("ana", "j11", 0.0), hand("ana", "j21", 5.0))
        assert rules_broken(snap, plan) == set()

    def test_made_later_is_refused(self) -> None:
        snap = replace(reduction_snapshot([5, 5]), hard_stop_s=9.9)
        plan = by_hand(snap, hand("ana", "j11", 0.0), hand("ana", "j21", 5.0))
        assert rules_broken(snap, plan) == {"hard_stop"}

    def test_what_comes_too_late_is_set_aside(self) -> None:
        snap = replace(reduction_snapshot([5, 5]), hard_stop_s=9.9, too_late=("j21",))
        plan = by_hand(snap, hand("ana", "j11", 0.0))
        assert plan.set_aside[0].reason == "no time is left for it before the hard stop"
        assert rules_broken(snap, plan) == set()

    def test_after_it_nothing_is_made(self) -> None:
        snap = replace(reduction_snapshot([5]), hard_stop_s=0.0)
        rail = rail_of(snap)
        assert not rail.drinks
        assert rail.set_aside[0].reason.startswith("service has ended")

    def test_what_came_after_last_orders_waits_for_a_person(self) -> None:
        early, late = ticket("a", "tall", placed_s=-90.0), ticket("b", "tall", placed_s=-20.0)
        rail = rail_of(snapshot(early, late, last_orders_s=-60.0))
        assert [drink.id for drink in rail.drinks] == ["a1"]
        assert rail.set_aside[0].reason == "ticket b came after last orders"
