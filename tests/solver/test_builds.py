"""What may share a build, and how drinks fall into vessels."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.builds import (
    Load,
    build_id,
    drinks_per_vessel,
    fills,
    is_one_handed,
    loads_of,
    must_wash,
    vessels_needed,
    why_not_here,
    why_not_together,
)
from solver.counter import HouseRules, Vessel
from solver.drinks.allergens import WASH_FOR
from solver.menu import Mix, Pour, recipe_mix
from tests.solver.makers import counter, menu, station


def mix(recipe: str, scale_ml: float | None = None) -> Mix:
    """The mix of a recipe, or the same of another liquid volume."""
    house = menu()
    made = recipe_mix(house, house.by_recipe[recipe])
    if scale_ml is None:
        return made
    pours = (Pour(ingredient=made.pours[0].ingredient, amount=f"{scale_ml} ml"),)
    return type(made)(
        name=made.name,
        method=made.method,
        pours=pours,
        glass=made.glass,
        liquid_ml=scale_ml,
        has_raw_egg=made.has_raw_egg,
        has_dairy=made.has_dairy,
    )


def test_a_builds_identity_is_a_hash_of_its_drinks_in_any_order() -> None:
    # SHA-256 of "a", a line feed and "b", worked out with sha256sum.
    assert build_id(["b", "a"]) == build_id(("a", "b")) == "b-7e18f737311b"
    assert build_id(["a", "b", "c"]) != build_id(["a", "b"])


@pytest.mark.parametrize(
    ("recipe", "ml", "drinks"),
    [
        ("sour", 90, 3),  # 270 ml of a tin set
        ("sour", 91, 2),
        ("foam", 90, 2),  # 180 with egg
        ("cream", 91, 1),  # 180 with cream
        ("stirred", 95, 2),  # 190 of a mixing glass
        ("stirred", 95.1, 1),
        ("frozen", 90, 5),  # 900 of a jar, in the end, after the ice (1.8 times)
        ("sour", 30, 8),  # nobody splits a tin over more than eight glasses
        ("sour", 400, 1),
        ("blaze", 60, 1),  # a drink to a pair of mugs
        ("lager", 500, 1),
    ],
)
def test_working_volumes(recipe: str, ml: float, drinks: int) -> None:
    """Source of the volumes: common practice."""
    assert drinks_per_vessel(mix(recipe, ml)) == drinks


@given(st.integers(1, 40), st.integers(1, 8))
def test_fills_use_the_fewest_vessels_evenly_fuller_first(num: int, most: int) -> None:
    sizes = fills(num, most)
    assert sum(sizes) == num
    assert len(sizes) == -(-num // most)
    assert list(sizes) == sorted(sizes, reverse=True)
    assert max(sizes) - min(sizes) <= 1


def test_loads_follow_the_finishing_order() -> None:
    sour, tall = mix("sour"), mix("tall")
    loads = loads_of(["a", "b", "c", "d", "e"], [sour, sour, sour, sour, tall])
    assert [load.drinks for load in loads] == [("a", "b"), ("c", "d"), ("e",)]
    assert [load.mix for load in loads] == [sour, sour, tall]
    assert [load.fill_ml for load in loads] == [180, 180, 50]


@pytest.mark.parametrize(
    ("recipe", "num", "expected"),
    [
        ("sour", 2, True),  # 180 ml
        ("sour", 3, False),  # a full tin takes both hands
        ("foam", 1, False),
        ("cream", 1, False),
        ("long sour", 1, False),
        ("thrown", 1, False),
        ("stirred", 2, True),
        ("tall", 1, False),
    ],
)
def test_what_one_hand_shakes_or_stirs(recipe: str, num: int, expected: bool) -> None:
    load = Load(mix=mix(recipe), drinks=tuple("abcdefgh"[:num]))
    assert is_one_handed(load) == expected


@pytest.mark.parametrize(
    ("recipe", "is_alone", "expected"),
    [
        ("sour", False, False),
        ("sour", True, True),
        ("foam", False, True),
        ("cream", False, True),
        ("stirred", False, False),  # sulphites are on the label and call for no clean kit
        ("lager", True, False),  # no vessel, nothing to wash
    ],
)
def test_what_goes_to_the_washer(recipe: str, is_alone: bool, expected: bool) -> None:
    assert must_wash(mix(recipe), WASH_FOR, is_alone=is_alone) == expected


def test_the_house_says_which_allergens_call_for_clean_kit() -> None:
    assert must_wash(mix("stirred"), ("sulphites",), is_alone=False)
    assert not must_wash(mix("foam"), (), is_alone=False)


def test_vessels_and_one_kit() -> None:
    loads = loads_of(
        list("abcde"), [mix(r) for r in ("sour", "rye sour", "stirred", "tall", "ale")]
    )
    assert vessels_needed(loads) == {Vessel.TIN_SET: 2, Vessel.MIXING_GLASS: 1, Vessel.KIT: 1}
    assert vessels_needed(loads_of(["a"], [mix("tall")])) == {}


class TestTogether:
    RULES = HouseRules()

    def why(self, recipes: str, bottles: int = 1, alone: bool = False) -> str:
        mixes = [mix(recipe) for recipe in recipes.split(", ")]
        marks = [alone, *[False] * (len(mixes) - 1)]
        return why_not_together(self.RULES, mixes, marks, bottles)

    @pytest.mark.parametrize(
        ("recipes", "bottles"),
        [
            ("sour", 20),
            ("sour, sour, sour, sour, sour, sour", 20),
            ("sour, tall, lager, lager", 8),
            ("blaze, blaze", 2),
        ],
    )
    def test_may(self, recipes: str, bottles: int) -> None:
        assert self.why(recipes, bottles) == ""

    @pytest.mark.parametrize(
        ("recipes", "bottles", "said"),
        [
            ("sour, sour, sour, sour, sour, sour, sour", 3, "7 drinks of 1 mixes"),
            ("sour, sour, sour, tall, tall", 4, "5 drinks of 2 mixes"),
            ("sour, tall, lager, ale", 6, "4 mixes"),
            ("sour, tall", 9, "9 bottles"),
            ("blaze, sour", 5, "flamed"),
        ],
    )
    def test_may_not(self, recipes: str, bottles: int, said: str) -> None:
        assert said in self.why(recipes, bottles)

    def test_an_allergy_alone_and_not_in_company(self) -> None:
        assert self.why("sour", alone=True) == ""
        assert "made alone" in self.why("sour, sour", alone=True)


class TestHere:
    def test_a_mat_and_vessels_that_are_enough(self) -> None:
        loads = loads_of(["a", "b"], [mix("sour"), mix("stirred")])
        here = station(mat=2, tin_sets=1, mixing_glasses=1, kits=1)
        assert why_not_here(counter(stations=(here,)), here, loads) == ""

    @pytest.mark.parametrize(
        ("short", "said"),
        [
            ({"mat": 1}, "landing mat"),
            ({"tin_sets": 0}, "tin_set"),
            ({"mixing_glasses": 0}, "mixing_glass"),
            ({"kits": 0}, "kit"),
        ],
    )
    def test_what_is_missing_is_named(self, short: dict[str, Any], said: str) -> None:
        loads = loads_of(["a", "b"], [mix("sour"), mix("stirred")])
        here = station(**short)
        assert said in why_not_here(counter(stations=(here,)), here, loads)

    def test_each_stout_needs_a_place_to_settle_before_any_is_topped(self) -> None:
        loads = loads_of(["a", "b"], [mix("stout"), mix("stout")])
        here = station()
        assert why_not_here(counter(stations=(here,), settling_places=2), here, loads) == ""
        why = why_not_here(counter(stations=(here,), settling_places=1), here, loads)
        assert why == "2 settling places are needed at once and the bar has 1"
