"""Shifts in quarters of an hour, and the rota that keeps the promise with the fewest hands."""

from __future__ import annotations

from itertools import count
from typing import Any

import pytest

from solver.errors import BadValue
from solver.rush.guests import Guests
from solver.rush.replications import Asked, InThisProcess, Running
from solver.rush.rota import Rota, find_rota
from solver.rush.scenario import Barback, Break, Policy, Rush, Shift
from solver.rush.turns import LEAST_SHIFT, Staff, Turn, counts, everybody, shorter, with_staff

from .small import small_rush

TICKET = Policy.BY_THE_TICKET
LONG: dict[str, Any] = {"last_orders": "23:30", "hard_stop": "00:00"}
QUARTERS = 20


def running() -> Running:
    return Running(runner=InThisProcess(), clock=lambda: 0.0)


def long_rush(rates: tuple[float, ...], **more: Any) -> Rush:
    return small_rush(guests=Guests(drinks_an_hour=rates), **LONG, **more)


def test_everybody_all_night_where_the_scenario_says_nothing() -> None:
    staff = everybody(small_rush(**LONG))
    assert [turn.person for turn in staff.turns] == ["ruth", "tam", "ines"]
    assert {(turn.since, turn.until) for turn in staff.turns} == {(0, QUARTERS)}
    assert staff.barbacks == (Turn(person="", since=0, until=QUARTERS),)
    assert staff.quarters == 4 * QUARTERS


def test_shifts_of_the_scenario_in_whole_quarters() -> None:
    told = (Shift(person="ruth", since="19:40", until="23:20"), Shift(person="tam"))
    staff = everybody(small_rush(shifts=told, barbacks=(Barback(since="20:00"),), **LONG))
    assert (staff.turns[0].since, staff.turns[0].until) == (2, 18)
    assert staff.barbacks[0].since == 4


def test_there_and_back() -> None:
    rush = small_rush(**LONG)
    turns = (Turn(person="ruth", since=0, until=20), Turn(person="tam", since=4, until=18))
    staff = Staff(turns=turns, barbacks=(Turn(person="", since=2, until=20),))
    told = with_staff(rush, staff)
    assert everybody(told) == staff
    assert told.scenario.shifts == (
        Shift(person="ruth"),
        Shift(person="tam", since="20:00", until="23:30"),
    )


def test_breaks_stay_where_they_are_in_a_shift() -> None:
    early, late = Break(at="19:30"), Break(at="22:00")
    rush = small_rush(shifts=(Shift(person="ruth", breaks=(early, late), pace=1.2),), **LONG)
    staff = Staff(turns=(Turn(person="ruth", since=4, until=20),), barbacks=())
    (shift,) = with_staff(rush, staff).scenario.shifts
    assert (shift.breaks, shift.pace) == ((late,), 1.2)


def test_every_shorter_staff_has_somebody_there() -> None:
    turns = (Turn(person="ruth", since=0, until=20), Turn(person="tam", since=0, until=20))
    staff = Staff(turns=turns, barbacks=(Turn(person="", since=0, until=20),))
    cuts, found = zip(*shorter(staff, 4, 20, leaves_out=True), strict=True)
    assert len(set(cuts)) == len(cuts)
    assert [one.quarters for one in found] == sorted(one.quarters for one in found)
    assert all(min(counts(one.turns, 20)) >= 1 for one in found)
    # Either bartender out or cut at either end, and the same of the barback.
    assert len(found) == 9
    alone = Staff(turns=turns[:1], barbacks=())
    assert list(shorter(alone, 4, 20, leaves_out=True)) == []


def test_nobody_comes_for_less_than_the_least_shift() -> None:
    turns = (
        Turn(person="ruth", since=0, until=20),
        Turn(person="tam", since=0, until=LEAST_SHIFT),
    )
    found = list(shorter(Staff(turns=turns, barbacks=()), 1, 20, leaves_out=False))
    assert all(turn.quarters >= LEAST_SHIFT for _, one in found for turn in one.turns)


@pytest.fixture(scope="module")
def evening() -> Rota:
    # Quiet, then a rush for two, then quiet.
    rates = (15.0,) * 6 + (60.0,) * 8 + (15.0,) * 4
    found = find_rota(long_rush(rates), TICKET, Asked(nights=3), running(), goal=0.8)
    assert found is not None
    return found


def test_fewer_hands_that_keep_the_promise(evening: Rota) -> None:
    assert evening.is_found
    assert evening.hours < evening.hours_before == 20.0
    assert min(evening.bartenders) >= 1
    assert max(evening.bartenders) <= 3
    assert sum(evening.bartenders) + sum(evening.barbacks) == 4 * evening.hours
    assert sum(shift.hours for shift in evening.shifts) == evening.hours


def test_it_is_held_against_fresh_nights(evening: Rota) -> None:
    assert evening.fresh_nights == 3
    assert [hour.clock for hour in evening.by_hour] == ["19:00", "20:00", "21:00", "22:00", "23:00"]
    assert evening.looked_at > 5


def test_shifts_name_places_and_nobody(evening: Rota) -> None:
    places = {"service well, at the pass", "bar top, left", "bar top, right", "barback"}
    assert {shift.who for shift in evening.shifts} <= places


def test_a_rush_that_wants_more_than_everybody() -> None:
    told: dict[str, Any] = {
        "last_orders": "20:30",
        "hard_stop": "21:00",
        "shifts": (Shift(person="ruth"),),
    }
    rush = small_rush(guests=Guests(drinks_an_hour=(70.0,) * 6), **told)
    found = find_rota(rush, TICKET, Asked(nights=3), running(), goal=0.85)
    assert found is not None
    assert found.is_found
    assert max(found.bartenders) > 1
    assert found.hours_before == 2 * 2.0


def test_time_is_up() -> None:
    ticks = count()
    hurried = Running(runner=InThisProcess(), clock=lambda: float(next(ticks)))
    rush = long_rush((20.0,) * 18)
    found = find_rota(rush, TICKET, Asked(nights=2, time_s=4.0), hurried, goal=0.5)
    assert found is not None
    assert found.looked_at <= 5


def test_stopped_before_a_rota() -> None:
    stopped = Running(runner=InThisProcess(), clock=lambda: 0.0, should_stop=lambda: True)
    assert find_rota(small_rush(), TICKET, Asked(nights=2), stopped) is None


@pytest.mark.parametrize("goal", [0.0, 1.0, 1.5])
def test_a_goal_that_cannot_be(goal: float) -> None:
    with pytest.raises(BadValue):
        find_rota(small_rush(), TICKET, Asked(nights=2), running(), goal=goal)
