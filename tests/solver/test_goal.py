"""The goal, who is urgent and who starves; every figure is worked by hand in deciseconds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.counter import HouseRules, PutFirst
from solver.goal import (
    TIE,
    RoundTimes,
    cost_of,
    hands_price,
    measures_of,
    num_crowded,
    round_cost,
    rounds_of,
    urgent_tickets,
    work_ds_of,
    worst_allowed_ds,
)
from solver.snapshot import Shortage, rail_of
from solver.tickets import Drink
from tests.solver.makers import by_hand, hand, reduction_snapshot, snapshot, ticket


def times(*made: tuple[int, int], **changes: Any) -> RoundTimes:
    usual: dict[str, Any] = {"ticket": "a", "placed_ds": 0, "promise_ds": 10_000, "weight": 1}
    return RoundTimes(**(usual | changes), made=made)


class TestRoundCost:
    def test_in_time_it_is_the_time_to_the_last_drink(self) -> None:
        assert round_cost(times((300, 900), (500, 900)), 2) == 500

    def test_it_counts_from_the_placing_and_by_the_weight(self) -> None:
        assert round_cost(times((500, 900), placed_ds=-100, weight=3), 2) == 1800

    @pytest.mark.parametrize(
        ("waited", "late"),
        [
            (100, 0),
            (101, 1),
            (150, 50),
            (151, 51 + 1),
            (201, 101 + 51 + 1),
            (400, 300 + 250 + 200 + 150 + 100 + 50),
            (600, 500 + 450 + 400 + 350 + 300 + 250 + 200),
        ],
    )
    def test_late_costs_more_past_each_step_of_the_promise(self, waited: int, late: int) -> None:
        assert round_cost(times((waited, 9000), promise_ds=200), 2) == waited + late

    def test_sitting_past_the_hold_limit_is_priced(self) -> None:
        """Made at 100 and 500, held 150: the first sits 250 too long."""
        round_times = times((100, 150), (500, 150))
        assert round_times.sat_ds == 250
        assert round_cost(round_times, 2) == 500 + 2 * 250
        assert round_cost(times((350, 150), (500, 150)), 2) == 500


class TestPass:
    """Made, hold limit: glasses stand on the pass until their round is whole."""

    def test_a_glass_stands_until_its_round_is_whole(self) -> None:
        """b1 finds a1 there, and a2 (which makes a whole) finds b1."""
        rounds = (
            times((100, 900), (300, 900), is_floor=True),
            times((200, 900), (400, 900), ticket="b", is_floor=True),
        )
        assert num_crowded(rounds, 2) == 0
        assert num_crowded(rounds, 1) == 1  # at 200: a1 and b1

    def test_what_goes_over_the_bar_does_not_stand_there(self) -> None:
        assert num_crowded((times((100, 900), (200, 900), (300, 900)),), 1) == 0

    def test_a_glass_too_many_has_its_price(self) -> None:
        rounds = (times((100, 900), (200, 900), (300, 900), is_floor=True),)
        rules = HouseRules(pass_room=1, pass_price=7)
        free = cost_of(HouseRules(), rounds, 0)
        assert cost_of(rules, rounds, 0) - free == 7 * 10 * TIE

    def test_without_a_number_there_is_always_room(self) -> None:
        rounds = (times((100, 900), (200, 900), (300, 900), is_floor=True),)
        assert cost_of(HouseRules(pass_price=9), rounds, 0) == cost_of(HouseRules(), rounds, 0)


class TestCost:
    ROUNDS = (times((300, 900)), times((500, 900), ticket="b"))

    def test_the_sum_and_the_end_of_everything_for_ties(self) -> None:
        assert cost_of(HouseRules(), self.ROUNDS, 0) == 800 * TIE + 500

    def test_the_worst_first(self) -> None:
        rules = HouseRules(put_first=PutFirst.WORST)
        assert cost_of(rules, self.ROUNDS, 0) == (64 * 500 + 400) * TIE + 500

    def test_an_empty_rail_first(self) -> None:
        rules = HouseRules(put_first=PutFirst.CLEAR)
        assert cost_of(rules, self.ROUNDS, 0) == (64 * 500 + 400) * TIE + 500

    def test_hands_are_on_top(self) -> None:
        assert cost_of(HouseRules(), self.ROUNDS, 210) == (800 + 210) * TIE + 500

    def test_nothing_to_make_costs_nothing(self) -> None:
        assert cost_of(HouseRules(), (), 0) == 0

    def test_what_was_made_before_the_moment_ends_at_the_moment(self) -> None:
        assert cost_of(HouseRules(), [times((-50, 900), placed_ds=-200)], 0) == 150 * TIE


class TestHands:
    """A second of one pair of hands, for that person's share of the line that comes next."""

    @pytest.mark.parametrize(
        ("people", "rounds", "price"), [(3, 20, 5), (3, 6, 1), (3, 5, 0), (3, 3, 0), (1, 4, 3)]
    )
    def test_cost_more_the_longer_the_line(self, people: int, rounds: int, price: int) -> None:
        snap = reduction_snapshot([1], num_people=people, next_line_pct=100)
        assert hands_price(snap, rounds) == price

    def test_cost_nothing_once_nobody_comes(self) -> None:
        snap = reduction_snapshot([1], next_line_pct=100)
        assert hands_price(replace(snap, last_orders_s=1), 4) == 3
        assert hands_price(replace(snap, last_orders_s=0), 4) == 0
        assert hands_price(reduction_snapshot([1], next_line_pct=0), 4) == 0

    def test_the_house_says_how_long_the_next_line_is(self) -> None:
        assert hands_price(reduction_snapshot([1], next_line_pct=250), 4) == 7

    def test_what_is_in_hand_is_begun_already(self) -> None:
        snap = reduction_snapshot([3, 1])
        plan = by_hand(snap, hand("ana", "j21"), hand("ana", "j11", 1))
        assert work_ds_of(plan) == 40
        held = replace(plan.builds[0], is_in_hand=True)
        assert work_ds_of(replace(plan, builds=(held, *plan.builds[1:]))) == 30


class TestRounds:
    def test_drinks_set_aside_do_not_count_and_made_ones_do(self) -> None:
        drinks = (Drink(id="a1", made_s=-4), Drink(id="a2", line=1), Drink(id="a3", line=2))
        snap = snapshot(
            ticket("a", "ale", "lager", "sour", drinks=drinks, placed_s=-9),
            ticket("b", "sour"),
            short=(Shortage(ingredient="gin", left=0),),
        )
        (found,) = rounds_of(snap, rail_of(snap), {"a2": 100})
        assert found.ticket == "a"
        assert found.made == ((-40, 2100), (100, 2100))
        assert (found.last_ds, found.time_to_last_ds) == (100, 190)

    def test_a_round_made_long_ago_is_left_out(self) -> None:
        snap = snapshot(ticket("a", "ale", drinks=(Drink(id="a1", made_s=-90),)))
        assert rounds_of(snap, rail_of(snap), {}) == []


class TestWorstAllowed:
    def test_the_worst_by_the_ticket_and_a_tenth_or_the_promise(self) -> None:
        snap = replace(snapshot(), worst_by_ticket_s=100.0)
        assert worst_allowed_ds(snap, 600) == 1100
        assert worst_allowed_ds(snap, 1200) == 1200

    def test_without_a_bound(self) -> None:
        assert worst_allowed_ds(snapshot(), 600) is None


@pytest.mark.parametrize(
    ("changes", "is_urgent"),
    [
        ({}, False),
        ({"overtaken": 2}, False),
        ({"overtaken": 3}, True),
        ({"placed_s": -899.9}, False),  # 1.5 × 600 s
        ({"placed_s": -900.0}, True),
        ({"overtaken": 9, "is_on_hold": True}, False),
    ],
)
def test_who_goes_first(changes: dict[str, Any], is_urgent: bool) -> None:
    snap = snapshot(ticket("a", "ale", **changes), ticket("b", "ale"))
    assert urgent_tickets(snap) == ({"a"} if is_urgent else set())


def test_measures_of_a_plan() -> None:
    base = reduction_snapshot([3, 1])
    old = replace(base.tickets[0], placed_s=-10, promise_s=12)
    snap = replace(base, tickets=(old, base.tickets[1]))
    plan = by_hand(snap, hand("ana", "j11"), hand("ana", "j21", 3))
    found = measures_of(snap, plan)
    # 13 s and 4 s from their placings, 3 s and 4 s from the moment
    assert (found.num_rounds, found.num_drinks, found.num_late) == (2, 2, 1)
    assert (found.mean_s, found.mean_from_now_s, found.worst_s) == (8.5, 3.5, 13.0)
    assert (found.clear_s, found.sat_s) == (4.0, 0.0)
