"""Intervals: against printed examples, against SciPy, and by how often they cover the truth."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from solver.errors import BadValue
from solver.rush.intervals import (
    CHANCE_ONLY,
    Interval,
    nights_needed,
    paired_difference,
    paired_ratio,
    t_interval,
)

FIGURES = st.floats(min_value=1.0, max_value=2000.0)
PAIRS = st.lists(st.tuples(FIGURES, FIGURES), min_size=2, max_size=40)

# Student's sleep data (Biometrika 6, 1908): additional hours of sleep by two drugs, ten patients.
# The paired 95% interval, -2.4598858 to -0.7001142, is the one R prints for it in its example of
# t.test; recomputed below with SciPy as well.
FIRST_DRUG = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
SECOND_DRUG = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)


def test_students_own_example() -> None:
    found = paired_difference(FIRST_DRUG, SECOND_DRUG)
    assert found is not None
    assert found.mean == pytest.approx(-1.58)
    assert (found.low, found.high) == pytest.approx((-2.4598858, -0.7001142), abs=1e-7)


@given(PAIRS)
def test_the_interval_is_scipys(pairs: list[tuple[float, float]]) -> None:
    ours, theirs = zip(*pairs, strict=True)
    found = paired_difference(ours, theirs)
    differences = [a - b for a, b in pairs]
    assert found is not None
    if len(set(differences)) == 1:
        return
    expected = stats.t.interval(
        0.95, len(pairs) - 1, loc=sum(differences) / len(pairs), scale=stats.sem(differences)
    )
    assert (found.low, found.high) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_one_night_says_nothing_about_chance() -> None:
    assert t_interval([300.0]) == Interval(mean=300.0, low=None, high=None, nights=1)
    assert t_interval([300.0]).half_width is None
    assert not t_interval([300.0]).holds(300.0)


def test_no_night_is_refused() -> None:
    with pytest.raises(BadValue):
        t_interval([])


def test_a_night_without_the_figure_is_left_out_of_the_pairs() -> None:
    found = paired_difference([1.0, None, 3.0, 5.0], [0.0, 1.0, None, 2.0])
    assert found is not None
    assert (found.mean, found.nights) == (2.0, 2)
    assert paired_difference([None], [1.0]) is None


def test_pairs_are_of_the_same_nights() -> None:
    with pytest.raises(BadValue):
        paired_difference([1.0, 2.0], [1.0])


@given(PAIRS)
def test_the_ratio_turned_round_is_one_over_it(pairs: list[tuple[float, float]]) -> None:
    ours, theirs = zip(*pairs, strict=True)
    there, back = paired_ratio(ours, theirs), paired_ratio(theirs, ours)
    assert there is not None
    assert back is not None
    assert there.mean == pytest.approx(1 / back.mean)
    assert there.low is not None
    assert back.high is not None
    assert there.low == pytest.approx(1 / back.high)


def test_a_constant_ratio_is_found_exactly() -> None:
    found = paired_ratio([150.0, 225.0, 300.0, 0.0], [200.0, 300.0, 400.0, 10.0])
    assert found is not None
    assert (found.mean, found.low, found.high) == pytest.approx((0.75, 0.75, 0.75))
    assert found.nights == 3


def test_a_narrower_interval_wants_more_nights() -> None:
    pilot = [float(value) for value in FIRST_DRUG]
    needed = [nights_needed(pilot, within=within) for within in (4.0, 1.0, 0.5, 0.1)]
    assert needed[0] == len(pilot)
    assert needed == sorted(needed)
    # Half the width, four times the nights, but for rounding up.
    assert needed[2] == pytest.approx(4 * needed[1], abs=4)


def test_as_many_nights_as_needed_make_it_as_narrow_as_asked() -> None:
    rng = random.Random(3)
    pilot = [rng.gauss(500, 40) for _ in range(20)]
    needed = nights_needed(pilot, within=10.0)
    values = pilot + [rng.gauss(500, 40) for _ in range(needed - 20)]
    half = t_interval(values, pilot=20).half_width
    assert half is not None
    assert half <= 10.0
    fewer = t_interval(values[:-1], pilot=20).half_width
    assert fewer is not None
    assert fewer > 10.0


@pytest.mark.parametrize("within", [0.0, -1.0, math.nan])
def test_a_width_that_cannot_be(within: float) -> None:
    with pytest.raises(BadValue):
        nights_needed([1.0, 2.0], within=within)


def test_the_words_beside_every_interval() -> None:
    assert "chance" in CHANCE_ONLY
    assert "not time standards that are wrong" in CHANCE_ONLY
