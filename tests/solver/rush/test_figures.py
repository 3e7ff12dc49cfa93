"""Figures of nights that were written by hand, worked out on paper."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.rush.figures import (
    Amount,
    Figures,
    Stretch,
    When,
    by_quarter,
    figures_of,
    quantiles,
    times_of,
)
from solver.rush.night import Night
from solver.tickets import Channel

from .made import done, drink, night, undone

BUSIEST = Stretch(from_s=900.0, until_s=1800.0)


def figures(one: Night) -> Figures:
    return figures_of(one, busiest=BUSIEST)


def test_times_of_rounds() -> None:
    times = times_of([done(0, took_s) for took_s in (100, 200, 300, 400)])
    assert (times.rounds, times.mean_s, times.worst_s) == (4, 250.0, 400.0)
    # Between the third and the fourth of four, in proportion: 300 + 0.7 · 100.
    assert times.p50_s == 250.0
    assert times.p90_s == pytest.approx(370.0)
    # 400 s is past the promise of 360.
    assert times.within_promise == 0.75


def test_a_promise_is_kept_to_the_second() -> None:
    assert times_of([done(0, 360.0)]).within_promise == 1.0
    assert times_of([done(0, 360.001)]).within_promise == 0.0


def test_given_up_and_left_open_are_promises_that_were_not_kept() -> None:
    times = times_of([done(0, 100), undone(0, gave_up_s=500), undone(0)])
    assert (times.rounds, times.given_up, times.left_open) == (3, 1, 1)
    assert times.within_promise == pytest.approx(1 / 3)
    assert times.mean_s == 100.0


def test_what_was_wholly_taken_back_is_nobodys_wait() -> None:
    assert times_of([done(0, 100), undone(0, over_s=50)]) == times_of([done(0, 100)])


def test_nothing_was_done() -> None:
    times = times_of([])
    assert (times.rounds, times.mean_s, times.p90_s, times.within_promise) == (0, None, None, None)
    assert times_of([undone(0)]).within_promise == 0.0


def test_a_guest_waits_for_the_round_or_until_they_leave() -> None:
    big = done(0, 100, drinks=(drink(1), drink(2), drink(3)))
    # Three guests waited 100 s, one gave up after 500.
    assert times_of([big, undone(0, gave_up_s=500)]).guest_s == (3 * 100 + 500) / 4


def test_groups_are_by_channel_and_by_when_the_round_was_placed() -> None:
    floor = {"channel": Channel.FLOOR, "promise_s": 600}
    found = figures(night([done(10, 60), done(899, 500, **floor), done(900, 30)]))
    assert found.group().rounds == 3
    assert found.group(channel="floor").mean_s == 500.0
    assert found.group(When.QUARTER, quarter=0).rounds == 2
    assert found.group(When.QUARTER, "floor", 1).rounds == 0
    assert found.group(When.BUSIEST).mean_s == 30.0
    assert found.times_s == (30.0, 60.0, 500.0)


def test_rounds_of_the_warm_up_are_left_out() -> None:
    found = figures(night([done(10, 60, is_counted=False), done(900, 30)]))
    assert found.group().rounds == 1
    assert found.times_s == (30.0,)


def test_drinks_that_sat_too_long() -> None:
    sat = (
        drink(1, sat_s=100.0, hold_limit_s=150, num_together=2),
        drink(2, sat_s=170.0, hold_limit_s=150, num_together=2),
        drink(3, sat_s=0.0, num_together=5),
    )
    found = figures(night([done(0, 100, drinks=sat)])).drinks
    assert (found.made, found.sat_too_long, found.sat_beyond_s) == (3, 1, 20.0)
    assert found.a_build == 3.0


def test_who_was_passed_by() -> None:
    rounds = [done(0, 100, overtaken=2), done(0, 541, overtaken=3), undone(0, gave_up_s=300)]
    found = figures(night(rounds)).fairness
    assert (found.overtakes, found.most_overtaken, found.often_overtaken) == (5, 3, 1)
    # 541 s is past 1.5 times 360; who gave up was never served.
    assert found.far_too_late == 2


def test_a_count_by_quarter() -> None:
    # 0 until 300, 2 until 900, 2 until 1200, 4 until 1500, then over.
    mean, most = by_quarter(((300.0, 2), (1200.0, 4)), 2, 1500.0)
    assert mean == (2 * 600 / 900, (2 * 300 + 4 * 300) / 900)
    assert most == (2.0, 4.0)
    assert by_quarter((), 2, 1500.0) == ((0.0, 0.0), (0.0, 0.0))


@given(
    st.lists(
        st.tuples(st.floats(min_value=0, max_value=3599), st.integers(min_value=0, max_value=40)),
        min_size=1,
        max_size=30,
        unique_by=lambda step: step[0],
    )
)
def test_quarters_add_up_to_the_whole(steps: list[tuple[float, int]]) -> None:
    steps.sort()
    ends = [at_s for at_s, _ in steps[1:]] + [3600.0]
    area = math.fsum(n * (end - at_s) for (at_s, n), end in zip(steps, ends, strict=True))
    mean, most = by_quarter(steps, 4, 3600.0)
    assert 900 * math.fsum(mean) == pytest.approx(area)
    assert max(most) == max(n for _, n in steps)


@given(st.lists(st.floats(min_value=0, max_value=5000), min_size=1, max_size=50))
def test_nine_of_ten_do_not_exceed_it(values: list[float]) -> None:
    (p90_s,) = quantiles(values, (0.9,))
    assert p90_s is not None
    at_most = sum(value <= p90_s + 1e-9 for value in values)
    assert at_most >= math.floor(0.9 * (len(values) - 1)) + 1
    assert p90_s == pytest.approx(float(np.percentile(values, 90)))


def test_hands_are_told_by_place_and_never_by_person() -> None:
    hands, tins, washer = figures(night()).uses
    # Two people: 300 + 100 + 50 + 450 of 1800 s, then 200 of 600; standing still is not busy.
    assert hands.name == "hands@well"
    assert hands.by_quarter == pytest.approx((0.5, 1 / 3))
    assert hands.busy == pytest.approx(1100 / 2400)
    # Four sets: 1800 of 3600, then 600 of the 2400 until hands stop.
    assert (tins.by_quarter, tins.busy, tins.most) == ((0.5, 0.25), 0.4, 3)
    assert (washer.busy, washer.most) == (None, 2)
    assert "anna" not in repr(figures(night()))


def test_a_quarter_that_was_hardly_worked_says_nothing() -> None:
    _, tins, _ = figures(night(ended_s=930.0)).uses
    assert tins.by_quarter == (0.5, None)


def test_the_bottleneck_is_a_share_of_what_one_could_have_more_of() -> None:
    rows = {row.what: row for row in figures(night()).waits}
    assert (rows["hands"].share, rows["tap"].share) == (0.75, 0.25)
    assert rows["hands"].by_quarter_s == (200.0, 100.0)
    # Waiting for the round and for what runs by itself stands beside it, each as one.
    assert (rows["round"].share, rows["round"].waited_s) == (None, 5000.0)
    assert (rows["runs_alone"].waited_s, rows["runs_alone"].name) == (117.0, "")
    assert next(row.what for row in figures(night()).waits) == "round"


def test_what_was_used() -> None:
    assert figures(night()).used == (
        Amount(name="gin", amount=700.0, unit="ml"),
        Amount(name="egg", amount=3.0, unit="pieces", short_s=60.0),
        Amount(name="rocks", amount=7, unit="glasses"),
        Amount(name="cubed", amount=12.0, unit="kg"),
    )


def test_ice_by_well() -> None:
    well, top = figures(night()).wells
    assert (well.used_kg, well.refills, well.empty_s) == (9.0, 1, 30.0)
    assert (top.refills, top.empty_s) == (0, 0.0)
