"""Amounts, and seconds to deciseconds and back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import BadValue
from solver.units import Amount, paced_ds, parse_amount, to_ds, to_s


@pytest.mark.parametrize(
    ("text", "ml"),
    [
        ("50 ml", 50.0),
        ("50ml", 50.0),
        ("22.5 ml", 22.5),
        ("5 cl", 50.0),
        # 231 cubic inches of 16.387064 ml make a US gallon of 128 fluid ounces (NIST SP 811).
        ("1 oz", 231 * 16.387064 / 128),
        ("1 1/2 oz", 1.5 * 231 * 16.387064 / 128),
        ("3/4 fl oz", 0.75 * 231 * 16.387064 / 128),
        ("2 teaspoons", 10.0),  # NIST SP 430
        ("1 tablespoon", 15.0),  # NIST SP 430
        ("2 dashes", 1.8),  # common practice
        ("1 wine glass", 2 * 29.5735295625),  # common practice
        ("1 Pony", 29.5735295625),  # common practice
    ],
)
def test_volumes(text: str, ml: float) -> None:
    assert parse_amount(text).ml == pytest.approx(ml, abs=1e-9)


def test_a_bar_spoon_holds_a_little_less_than_a_teaspoon() -> None:
    """Common practice."""
    assert 3 < parse_amount("1 bar spoon").ml < parse_amount("1 teaspoon").ml


def test_counted_things_and_a_top_have_no_volume_of_their_own() -> None:
    assert parse_amount("8 leaves") == Amount(quantity=8, unit="leaf")
    assert parse_amount("8 leaves").is_counted
    assert parse_amount("8 leaves").ml == 0
    assert parse_amount("top").is_top
    assert parse_amount(" TOP ").ml == 0


@pytest.mark.parametrize(
    "text",
    [
        "",
        "50",
        "ml",
        "50 mil",
        "0 ml",
        "-5 ml",
        "6000 ml",
        "1/0 oz",
        "9" * 400 + " ml",
        "about 50 ml",
    ],
)
def test_what_is_not_an_amount_is_refused_with_an_example_or_the_units(text: str) -> None:
    with pytest.raises(BadValue, match="expected"):
        parse_amount(text)


def test_a_wrong_unit_names_the_right_ones() -> None:
    with pytest.raises(BadValue, match="ml, cl, oz"):
        parse_amount("50 mil")


@given(st.integers(-1_000_000, 1_000_000))
def test_deciseconds_survive_a_round_trip(ds: int) -> None:
    assert to_ds(to_s(ds)) == ds


@given(st.integers(0, 100_000), st.integers(50, 300))
def test_pace_rounds_up_once(base_ds: int, pace_pct: int) -> None:
    paced = paced_ds(base_ds, pace_pct)
    assert paced - 1 < base_ds * pace_pct / 100 <= paced


def test_the_standard_pace_changes_nothing() -> None:
    assert paced_ds(123, 100) == 123
    assert paced_ds(0, 140) == 0
