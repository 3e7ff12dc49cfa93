"""When a bar-top round is handed over, and by whom; numbers worked by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.plan import Plan, Serving
from solver.snapshot import Presence, Shortage, Snapshot
from solver.tickets import Channel, Drink
from tests.solver.makers import (
    begun,
    by_hand,
    counter,
    hand,
    only,
    person,
    rules_broken,
    serving,
    snapshot,
    ticket,
    with_begun,
    with_block,
)

LAGER = only(draught_pint=10, serve_bar_top=25)


def over_the_bar(*recipes: str, **changes: Any) -> Snapshot:
    """One bar-top round, ana and ben on the floor, one till."""
    at = counter(2, tills=1)
    usual = {"standards": LAGER, "counter": at} | changes
    return snapshot(ticket("a", *recipes, channel=Channel.BAR_TOP), **usual)


class TestServing:
    @pytest.mark.parametrize(("start_s", "expected"), [(10, set()), (9.9, {"serving"})])
    def test_after_the_last_drink(self, start_s: float, expected: set[str]) -> None:
        snap = over_the_bar("lager", "ale")
        hands = (hand("ana", "a1"), hand("ben", "a2"))
        plan = by_hand(snap, *hands, servings=[serving(snap, "a", "ben", start_s)])
        # Before 10 s ben pours still, so only ben's serving there needs his hands twice.
        assert rules_broken(snap, plan) - {"hands"} == expected

    def test_by_whoever_finished_it(self) -> None:
        """Ana is done at 10 s, Ben at 12 s."""
        snap = over_the_bar("lager", "ale")
        hands = (hand("ana", "a1"), hand("ben", "a2", 2))
        for who, expected in (("ben", set()), ("ana", {"serving"})):
            plan = by_hand(snap, *hands, servings=[serving(snap, "a", who, 12)])
            assert rules_broken(snap, plan) == expected

    @pytest.mark.parametrize("who", ["ana", "ben"])
    def test_either_of_two_who_finished_together(self, who: str) -> None:
        snap = over_the_bar("lager", "ale")
        hands = (hand("ana", "a1"), hand("ben", "a2"))
        plan = by_hand(snap, *hands, servings=[serving(snap, "a", who, 10)])
        assert rules_broken(snap, plan) == set()

    def test_by_whoever_topped_the_stout(self) -> None:
        stout = only(stout_pour=20, stout_settle=105, stout_window=240, stout_top=9)
        snap = over_the_bar("stout", standards=stout)
        plan = by_hand(snap, hand("ana", "a1"))
        for who, expected in (("ben", set()), ("ana", {"serving"})):
            served = [serving(snap, "a", who, 134)]
            topped = with_block(snap, replace(plan, servings=tuple(served)), 0, 1, person="ben")
            assert rules_broken(snap, topped) == expected

    def test_before_its_person_starts_another_build(self) -> None:
        """Ana's round is done at 10 s: served until 35 s, then her next pint, while Ben pours."""
        both = (ticket("a", "lager", channel=Channel.BAR_TOP), ticket("b", "ale"))
        snap = snapshot(*both, standards=LAGER, counter=counter(2, tills=1))
        kept = by_hand(
            snap, hand("ana", "a1"), hand("ana", "b1", 35), servings=[serving(snap, "a", "ana", 10)]
        )
        assert rules_broken(snap, kept) == set()
        after = [serving(snap, "a", "ana", 20)]
        refused = by_hand(snap, hand("ana", "a1"), hand("ana", "b1", 10), servings=after)
        assert rules_broken(snap, refused) == {"serving"}
        by_ben = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", 10), servings=after)
        assert rules_broken(snap, by_ben) == set()

    def test_forgotten_or_twice_is_refused(self) -> None:
        snap = over_the_bar("lager")
        once, later = serving(snap, "a", "ana", 10), serving(snap, "a", "ana", 35)
        for servings in ([], [once, later]):
            plan = by_hand(snap, hand("ana", "a1"), servings=servings)
            assert rules_broken(snap, plan) == {"serving"}

    @pytest.mark.parametrize("end_s", [34.9, 35.1])
    def test_shorter_and_longer_are_refused(self, end_s: float) -> None:
        snap = over_the_bar("lager")
        wrong = Serving(ticket="a", person="ana", start_s=10, end_s=end_s)
        plan = by_hand(snap, hand("ana", "a1"), servings=[wrong])
        assert rules_broken(snap, plan) == {"serving"}

    def test_it_goes_at_the_pace_of_its_person(self) -> None:
        people = (person("ana", pace=1.4), person("ben", "two"))
        snap = over_the_bar("lager", counter=counter(2, tills=1, people=people))
        served = Serving(ticket="a", person="ana", start_s=14, end_s=49)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"), servings=[served])) == set()

    def test_nobody_and_nothing_known_is_refused(self) -> None:
        snap = over_the_bar("lager")
        by_nobody = Serving(ticket="a", person="zoe", start_s=10, end_s=35)
        plan = by_hand(snap, hand("ana", "a1"), servings=[by_nobody])
        assert rules_broken(snap, plan) == {"serving"}
        good = serving(snap, "a", "ana", 10)
        of_nothing = Serving(ticket="zz", person="ben", start_s=50, end_s=75)
        plan = by_hand(snap, hand("ana", "a1"), servings=[good, of_nothing])
        assert rules_broken(snap, plan) == {"serving"}

    @pytest.mark.parametrize("wrong", [float("nan"), 10.05])
    def test_its_times_are_tenths(self, wrong: float) -> None:
        snap = over_the_bar("lager")
        served = Serving(ticket="a", person="ana", start_s=wrong, end_s=35)
        plan = by_hand(snap, hand("ana", "a1"), servings=[served])
        assert rules_broken(snap, plan) == {"time"}

    def test_the_floor_is_not_served_here(self) -> None:
        snap = snapshot(ticket("a", "lager"), standards=LAGER, counter=counter(tills=1))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()
        served = [serving(snap, "a", "ana", 10)]
        plan = by_hand(snap, hand("ana", "a1"), servings=served)
        assert rules_broken(snap, plan) == {"serving"}

    def test_without_a_till_nobody_is_served(self) -> None:
        snap = over_the_bar("lager", counter=counter(2))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()
        plan = by_hand(snap, hand("ana", "a1"), servings=[serving(snap, "a", "ana", 10)])
        assert rules_broken(snap, plan) == {"serving"}

    def test_a_round_with_a_drink_set_aside_is_not_served_yet(self) -> None:
        snap = over_the_bar("lager", "sour", short=(Shortage(ingredient="gin", left=0),))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()

    def test_a_round_whose_first_drink_is_made_is_served_after_its_last(self) -> None:
        base = over_the_bar("lager", "ale")
        drinks = (Drink(id="a1", made_s=-3), Drink(id="a2", line=1))
        snap = replace(base, tickets=(replace(base.tickets[0], drinks=drinks),))
        served = [serving(snap, "a", "ana", 10)]
        assert rules_broken(snap, by_hand(snap, hand("ana", "a2"), servings=served)) == set()


class TestServingWhatIsInHand:
    def test_a_round_made_before_may_be_served_or_not(self) -> None:
        """a is made; its build is in hand for b's sake. Who paid already, the snapshot lacks."""
        made = ticket("a", "lager", channel=Channel.BAR_TOP)
        made = replace(made, drinks=(Drink(id="a1", made_s=-2),))
        snap = snapshot(
            made,
            ticket("b", "ale"),
            standards=LAGER,
            counter=counter(tills=1),
            in_hand=(begun("a1 b1", -12),),
        )
        empty = Plan(planner="by hand", builds=(), cost=0)
        # The two pints side by side: 10 s of work from −12 s on, so taken to end 5 s from now.
        plan = with_begun(snap, empty, (-2, 5), 5)
        assert rules_broken(snap, plan) == set()
        served = (serving(snap, "a", "ana", 5),)
        assert rules_broken(snap, replace(plan, servings=served)) == set()

    @pytest.mark.parametrize(("start_s", "expected"), [(20, set()), (19.9, {"serving"})])
    def test_whoever_finished_it_has_to_be_free(self, start_s: float, expected: set[str]) -> None:
        """Ana's pint ends at 6 s, and something else keeps her until 20 s."""
        on = (Presence(person="ana", from_s=20),)
        snap = over_the_bar("lager", people_on=on, in_hand=(begun("a1", -4),))
        plan = with_begun(snap, Plan(planner="by hand", builds=(), cost=0), (6,), 6)
        served = (serving(snap, "a", "ana", start_s),)
        assert rules_broken(snap, replace(plan, servings=served)) == expected

    def test_anyone_serves_when_whoever_finished_it_left_the_floor(self) -> None:
        snap = over_the_bar("lager", people_on=(Presence(person="ben"),))
        snap = replace(snap, in_hand=(begun("a1", -4),))
        empty = Plan(planner="by hand", builds=(), cost=0)
        served = (serving(snap, "a", "ben", 6),)
        plan = replace(with_begun(snap, empty, (6,), 6), servings=served)
        assert rules_broken(snap, plan) == set()
