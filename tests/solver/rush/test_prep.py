"""The prep list: how sure is how often it lasts."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import BadValue
from solver.rush.prep import SURE, Part, amount_for, nights_for, prep_list, sure_key
from solver.rush.replications import Asked, InThisProcess, Running
from solver.rush.scenario import Policy
from solver.rush.study import study

from .small import house, small_rush


def test_nine_of_ten_nights_by_hand() -> None:
    nights = [float(n) for n in range(1, 11)]
    # Of ten nights the tenth: ⌈0.9 · 11⌉ = 10. Of nine as well: 0.9 · 10 = 9.
    assert amount_for(nights, 0.9) == 10.0
    assert amount_for(nights[:9], 0.9) == 9.0
    assert amount_for(nights[:8], 0.9) is None
    assert amount_for(nights, 0.5) == 6.0


@pytest.mark.parametrize(("sure", "nights"), [(0.5, 1), (0.8, 4), (0.9, 9), (0.95, 19), (0.99, 99)])
def test_how_many_nights_it_takes(sure: float, nights: int) -> None:
    assert nights_for(sure) == nights
    assert amount_for([1.0] * nights, sure) == 1.0
    assert amount_for([1.0] * (nights - 1), sure) is None


@given(
    st.lists(st.floats(min_value=0, max_value=1e4), min_size=1, max_size=200),
    st.floats(min_value=0.01, max_value=0.99),
    st.floats(min_value=0.01, max_value=0.99),
)
def test_surer_is_never_less(values: list[float], one: float, other: float) -> None:
    values.sort()
    low, high = (amount_for(values, sure) for sure in sorted((one, other)))
    if high is not None:
        assert low is not None
        assert low <= high


def test_the_next_night_is_covered_as_often_as_it_says() -> None:
    rng = random.Random(11)
    lasted = 0
    for _ in range(4000):
        seen = sorted(rng.lognormvariate(3, 0.4) for _ in range(25))
        amount = amount_for(seen, 0.9)
        assert amount is not None
        lasted += rng.lognormvariate(3, 0.4) <= amount
    # 24 of 26 places: 0.923, and never below what was asked.
    assert lasted / 4000 == pytest.approx(24 / 26, abs=0.015)


@pytest.mark.parametrize("sure", [0.0, 1.0, -1.0, 2.0])
def test_one_cannot_be_quite_sure(sure: float) -> None:
    with pytest.raises(BadValue):
        amount_for([1.0], sure)


def test_the_list_of_a_short_night() -> None:
    running = Running(runner=InThisProcess(), clock=lambda: 0.0)
    found = study(small_rush(an_hour=90), (Policy.BY_THE_TICKET,), Asked(nights=9), running)
    assert found is not None
    rows = prep_list(house(), found.policies[0])
    parts = [row.part for row in rows]
    assert parts == sorted(parts, key=[part.value for part in Part].index)
    assert {Part.JUICES, Part.BOTTLES, Part.KEGS, Part.ICE, Part.GLASSES} <= set(parts)
    for row in rows:
        assert set(row.by_sure) == {sure_key(sure) for sure in SURE}
        # Nine nights: enough for 90, too few for 95.
        assert row.by_sure["90"] is not None
        assert row.by_sure["95"] is None
        assert row.average <= row.by_sure["90"]
    rocks = next(row for row in rows if row.name == "rocks glass")
    assert (rocks.unit, rocks.stock) == ("glasses", 72.0)
