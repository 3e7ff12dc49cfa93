"""What a rush is: times by the clock on the wall, and what a scenario may not say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.counter import Person
from solver.errors import BadValue
from solver.menu import Ice
from solver.rush.guests import Crowd, Guests, Patience, Replay, RoundSize, SecondThoughts
from solver.rush.scenario import Barback, Break, Rush, Scatter, Scenario, Shift, Supplies, Taps
from solver.rush.troubles import CalledAway, GlassInWell, KegBlown, RunsOut, Troubles

from .small import small_rush


def scenario(**more: object) -> Scenario:
    return Scenario(name="a night", bar="", **more)  # type: ignore[arg-type]


def test_the_night_goes_on_past_midnight() -> None:
    night = scenario(doors="19:00", last_orders="00:30", hard_stop="01:15")
    assert night.at_s("22:10") == 3 * 3600 + 600
    assert night.at_s("22:10:30") == 3 * 3600 + 630
    assert night.last_orders_s == 5.5 * 3600
    assert night.hard_stop_s == 6.25 * 3600
    assert night.num_quarters == 25
    assert [night.clock_at(s) for s in (0, 600, 5.5 * 3600)] == ["19:00", "19:10", "00:30"]


def test_the_warm_up_is_none_unless_it_is_said() -> None:
    assert scenario().counted_from_s == 0
    assert scenario(counted_from="19:30").counted_from_s == 1800


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"doors": "7 pm"}, "a time of the night such as 22:10; came '7 pm'"),
        ({"last_orders": "24:10"}, "a time of the night"),
        ({"last_orders": "01:30", "hard_stop": "01:00"}, "then the hard stop"),
        ({"shifts": (Shift(person="ruth"), Shift(person="ruth"))}, "every person once"),
        ({"guests": Guests(crowds=(Crowd(at="late", rounds=3),))}, "a time of the night"),
        ({"troubles": Troubles(runs_out=(RunsOut(ingredient="x", at="9"),))}, "a time of the"),
    ],
)
def test_refuses(more: dict[str, object], said: str) -> None:
    with pytest.raises(BadValue, match=said):
        scenario(**more)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"guests": Guests(crowds=(Crowd(at="00:40", rounds=3),))}, "19:00 and 00:30"),
        ({"troubles": Troubles(runs_out=(RunsOut(ingredient="x", at="09:00"),))}, "x to run out"),
        ({"troubles": Troubles(called_away=(CalledAway(person="x", at="01:15"),))}, "called away"),
        ({"troubles": Troubles(glass_in_wells=(GlassInWell(station="x", at="18:59"),))}, "glass"),
        ({"shifts": (Shift(person="tam", breaks=(Break(at="17:00"),)),)}, "a break of tam"),
        ({"shifts": (Shift(person="tam", since="23:00", until="23:00"),)}, "leave after coming"),
        ({"shifts": (Shift(person="tam", since="12:00", until="18:00"),)}, "after the doors open"),
        ({"shifts": (Shift(person="tam", until="18:00"),)}, "after the doors open at 19:00"),
        ({"barbacks": (Barback(since="23:00", until="20:00"),)}, "a barback to leave after"),
        ({"shifts": (Shift(person="tam", since="18:00", until="19:00"),)}, "after coming at 19:00"),
        ({"counted_from": "18:00"}, "counted_from between"),
    ],
)
def test_refuses_what_would_never_happen(more: dict[str, object], said: str) -> None:
    with pytest.raises(BadValue, match=said):
        scenario(**more)


@pytest.mark.parametrize(
    ("since", "until"),
    [
        ("", ""),
        ("18:00", "20:00"),
        ("18:00", "02:00"),
        ("23:00", "03:00"),
        ("", "00:10"),
        ("00:10", "01:00"),
    ],
)
def test_takes_shifts_that_begin_before_the_doors_or_end_after_the_last_guest(
    since: str, until: str
) -> None:
    scenario(shifts=(Shift(person="tam", since=since, until=until),))


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: RoundSize(drinks=(), share_pct=1), "rounds of 1 to 30"),
        (lambda: RoundSize(drinks=(1,), share_pct=-1), "a share of 0 or more"),
        (lambda: Crowd(at="22:10", rounds=0), "1 to 1000 rounds"),
        (lambda: Crowd(at="22:10", rounds=1, over_s=-1), "over_s"),
        (lambda: Guests(drinks_an_hour=(-1,)), "drinks an hour"),
        (lambda: Guests(scale=-1), "a scale"),
        (lambda: Guests(sizes=()), "shares above 0"),
        (lambda: Guests(bar_top_pct=101), "bar_top_pct"),
        (lambda: Guests(recipe_weight={"x": -1}), "weights of 0 or more"),
        (lambda: Replay(tickets="x", scale=0), "a scale above 0"),
        (lambda: Patience(bar_top_s=(9, 3)), "a patience"),
        (lambda: SecondThoughts(void_pct=200), "void_pct"),
        (lambda: SecondThoughts(after_s=(9, 3)), "after_s"),
        (lambda: Scatter(variation=9), "a variation"),
        (lambda: Taps(after_s=-1), "after_s"),
        (lambda: Taps(late_pct=60, never_pct=60), "of 100 builds"),
        (lambda: Break(at="22:10", minutes=0), "240 minutes"),
        (lambda: Shift(person="x", pace=0.1), "a pace"),
        (lambda: Supplies(refill_below_pct=100), "refill_below_pct"),
        (lambda: Supplies(glass_back_s=(9, 3)), "glass_back_s"),
        (lambda: Supplies(ice_kg={Ice.CUBED: -1}), "amounts of 0 or more"),
    ],
)
def test_its_parts_refuse(make: object, said: str) -> None:
    with pytest.raises(BadValue, match=said):
        make()  # type: ignore[operator]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"shifts": (Shift(person="nobody"),)}, "people of the counter"),
        ({"more_people": (Person(id="ruth", station="well"),)}, "a new person"),
        ({"more_people": (Person(id="new", station="nowhere"),)}, "a new person"),
        ({"replay": Replay(tickets="x")}, "past tickets"),
        ({"troubles": Troubles(runs_out=(RunsOut(ingredient="x", at="19:10"),))}, "an ingredient"),
        ({"troubles": Troubles(kegs_blown=(KegBlown(tap="x", at="19:10"),))}, "a keg of lager"),
        (
            {"troubles": Troubles(glass_in_wells=(GlassInWell(station="x", at="19:10"),))},
            "a well of cubed ice",
        ),
        ({"troubles": Troubles(called_away=(CalledAway(person="x", at="19:10"),))}, "called away"),
    ],
)
def test_a_rush_holds_its_scenario_against_its_house(more: dict[str, object], said: str) -> None:
    rush = small_rush()
    with pytest.raises(BadValue, match=said):
        Rush(house=rush.house, scenario=replace(rush.scenario, **more))  # type: ignore[arg-type]
