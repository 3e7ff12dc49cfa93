"""Tickets and their lines."""

from __future__ import annotations

from typing import Any

import pytest

from solver.counter import HouseRules
from solver.errors import BadValue
from solver.menu import Change, Method
from solver.tickets import Channel, Drink, Line, Measure, mix_of, promise_s
from tests.solver.makers import line, menu, ticket


@pytest.mark.parametrize("quantity", [0, 61, 500])
def test_a_slip_of_the_finger_is_refused(quantity: int) -> None:
    with pytest.raises(BadValue, match="several lines or tickets"):
        line("sour", quantity=quantity)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({}, "one of the two"),
        ({"recipe": "sour", "spirit": "gin"}, "one of the two"),
        ({"recipe": "sour", "mixer": "tonic"}, "a spirit beside the mixer"),
        ({"spirit": "gin", "changes": (Change(double=True),)}, "only beside a recipe"),
    ],
)
def test_a_line_is_a_recipe_or_a_spirit(given: dict[str, Any], said: str) -> None:
    with pytest.raises(BadValue, match=said):
        Line(**given)


def test_an_allergy_or_a_note_keeps_a_drink_apart() -> None:
    assert not line("sour").is_alone
    assert not line("sour", note="  ").is_alone
    assert line("sour", note="as always").is_alone
    assert line("sour", allergies=("egg",)).is_alone


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"placed_s": 0.1}, "at or before the snapshot's moment"),
        ({"weight": 0}, "weight"),
        ({"promise_s": 0}, "promise"),
        ({"drinks": (Drink(id="a1", line=1),)}, "drink a1"),
    ],
)
def test_a_ticket_that_cannot_be_says_why(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(BadValue, match=said):
        ticket("a", "sour", **changes)


def test_the_mix_of_a_line() -> None:
    house = menu()
    assert mix_of(house, line("sour", changes=(Change(double=True),))).changes == ("double",)
    spirit = Line(spirit="gin", mixer="tonic", measure=Measure.DOUBLE)
    assert mix_of(house, spirit).name == "double Gin and Tonic"
    with pytest.raises(BadValue, match=r"a recipe of the menu.*nothing"):
        mix_of(house, line("nothing"))


@pytest.mark.parametrize(
    ("channel", "methods", "seconds"),
    [
        (Channel.BAR_TOP, {Method.SHAKEN}, 360),
        (Channel.FLOOR, {Method.SHAKEN}, 600),
        (Channel.FLOOR, {Method.DRAUGHT, Method.POURED}, 180),
        (Channel.FLOOR, {Method.DRAUGHT, Method.SHAKEN}, 600),
        (Channel.BAR_TOP, set(), 360),
    ],
)
def test_the_houses_promise(channel: Channel, methods: set[Method], seconds: int) -> None:
    assert promise_s(HouseRules(), channel, frozenset(methods)) == seconds
