"""Recipes, changes, and the mix that is really in a drink."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.errors import BadValue
from solver.menu import (
    Change,
    Garnish,
    Ice,
    Ingredient,
    Menu,
    Method,
    Mix,
    Pour,
    Recipe,
    Stage,
    Swap,
    recipe_mix,
    spirit_mixer_mix,
)
from tests.solver.makers import menu


def mix(recipe: str, *changes: Change) -> Mix:
    house = menu()
    return recipe_mix(house, house.by_recipe[recipe], changes)


def amounts(made: Mix) -> dict[str, str]:
    return {pour.ingredient: pour.amount for pour in made.pours}


def test_a_mix_without_changes_is_the_recipe() -> None:
    made = mix("sour")
    assert amounts(made) == {"gin": "50 ml", "lemon": "25 ml", "syrup": "15 ml"}
    assert (made.liquid_ml, made.allergens, made.changes) == (90.0, (), ())
    assert made == mix("sour")
    assert hash(made) == hash(mix("sour"))


def test_pieces_add_their_liquid_and_tops_do_not() -> None:
    assert mix("foam").liquid_ml == 50 + 25 + 15 + 30
    assert mix("tall").liquid_ml == 50
    assert mix("stirred").liquid_ml == 91.8  # two dashes of 0.9 ml


def test_allergens_are_those_of_everything_in_it() -> None:
    assert mix("foam").allergens == ("egg",)
    house = menu()
    nutty = Garnish(name="nutmeg", allergens=("nuts",))
    recipe = replace(house.by_recipe["cream"], garnishes=(nutty,))
    assert recipe_mix(house, recipe).allergens == ("milk", "nuts")


@pytest.mark.parametrize(
    ("recipe", "caution"),
    [
        ("foam", "has_raw_egg"),
        ("flip", "has_raw_egg"),
        ("cream", "has_dairy"),
        ("lit", "has_flame"),
        ("blaze", "has_flame"),
        ("coffee", "has_coffee"),
    ],
)
def test_cautions_are_computed(recipe: str, caution: str) -> None:
    assert getattr(mix(recipe), caution)
    assert not getattr(mix("sour"), caution)


class TestChanges:
    def test_leave_out_an_ingredient_a_garnish_or_a_rim(self) -> None:
        made = mix("foam", Change(leave_out="egg-white"))
        assert "egg-white" not in amounts(made)
        assert (made.allergens, made.has_raw_egg) == ((), False)
        assert made.changes == ("no egg-white",)
        assert mix("sour", Change(leave_out="wedge")).garnishes == ()
        house = menu()
        rimmed = replace(house.by_recipe["sour"], rim="sugar")
        assert recipe_mix(house, rimmed, (Change(leave_out="sugar"),)).rim == ""

    def test_swap_keeps_the_amount(self) -> None:
        made = mix("sour", Change(swap=Swap(take_out="gin", put_in="rye")))
        assert amounts(made)["rye"] == "50 ml"
        assert "gin" not in amounts(made)
        assert made.changes == ("rye instead of gin",)

    def test_add(self) -> None:
        made = mix("sour", Change(add=Pour(ingredient="bitters", amount="2 dash")))
        assert amounts(made)["bitters"] == "2 dash"
        assert made.liquid_ml == 91.8

    def test_double_doubles_the_spirits_alone(self) -> None:
        made = mix("sour", Change(double=True))
        assert amounts(made) == {"gin": "100 ml", "lemon": "25 ml", "syrup": "15 ml"}

    def test_on_the_rocks_and_straight_up(self) -> None:
        rocks = mix("sour", Change(on_the_rocks=True))
        assert (rocks.glass, rocks.serve_ice, rocks.chilled) == ("rocks", Ice.CUBED, False)
        up = mix("lit", Change(straight_up=True))
        assert (up.glass, up.serve_ice, up.chilled) == ("coupe", Ice.NONE, True)

    def test_no_ice(self) -> None:
        assert mix("tall", Change(no_ice=True)).serve_ice is Ice.NONE

    def test_changes_follow_each_other(self) -> None:
        swap = Change(swap=Swap(take_out="gin", put_in="rye"))
        made = mix("sour", swap, Change(double=True))
        assert amounts(made)["rye"] == "100 ml"
        assert made.changes == ("rye instead of gin", "double")

    @pytest.mark.parametrize(
        ("change", "named"),
        [
            (Change(leave_out="cream"), "cream"),
            (Change(swap=Swap(take_out="cream", put_in="rye")), "cream"),
            (Change(swap=Swap(take_out="gin", put_in="absinthe")), "absinthe"),
            (Change(add=Pour(ingredient="absinthe", amount="1 dash")), "absinthe"),
        ],
    )
    def test_what_is_not_there_is_refused_by_name(self, change: Change, named: str) -> None:
        with pytest.raises(BadValue, match=named):
            mix("sour", change)

    def test_one_change_says_one_thing(self) -> None:
        with pytest.raises(BadValue, match="two entries"):
            Change(double=True, no_ice=True)
        with pytest.raises(BadValue, match="exactly one"):
            Change()


class TestSpiritAndMixer:
    def test_single_and_double(self) -> None:
        for measure, amount in (("single", "25 ml"), ("double", "50 ml")):
            made = spirit_mixer_mix(
                menu(), spirit="gin", mixer="tonic", measure=measure, garnish=""
            )
            assert amounts(made) == {"gin": amount, "tonic": "top"}
            assert made.pours[1].at is Stage.TOP
            assert [garnish.name for garnish in made.garnishes] == ["wedge"]

    def test_a_spirit_alone_on_ice(self) -> None:
        made = spirit_mixer_mix(menu(), spirit="rum", mixer="", measure="single", garnish="")
        assert (amounts(made), made.garnishes) == ({"rum": "25 ml"}, ())
        assert made.serve_ice is Ice.CUBED

    def test_another_garnish(self) -> None:
        made = spirit_mixer_mix(
            menu(), spirit="rum", mixer="ginger", measure="single", garnish="orange"
        )
        assert [garnish.name for garnish in made.garnishes] == ["orange"]

    @pytest.mark.parametrize(("spirit", "mixer"), [("lemon", "tonic"), ("gin", "rum")])
    def test_what_is_no_spirit_or_no_mixer_is_refused(self, spirit: str, mixer: str) -> None:
        with pytest.raises(BadValue, match=r"a spirit|a mixer"):
            spirit_mixer_mix(menu(), spirit=spirit, mixer=mixer, measure="single", garnish="")

    def test_a_house_may_not_pour_them(self) -> None:
        with pytest.raises(BadValue, match="pours spirits with mixers"):
            spirit_mixer_mix(
                menu(spirit_and_mixer=None),
                spirit="gin", mixer="tonic", measure="single", garnish="",
            )  # fmt: skip


class TestMistakes:
    def test_an_unknown_ingredient_in_a_recipe(self) -> None:
        pours = (Pour(ingredient="absinthe", amount="1 dash"),)
        odd = Recipe(id="odd", name="Odd", method=Method.BUILT, pours=pours, glass="rocks")
        with pytest.raises(BadValue, match=r"odd.*absinthe"):
            Menu(ingredients=(Ingredient(id="gin", name="Gin"),), recipes=(odd,))

    def test_an_id_twice(self) -> None:
        gin = Ingredient(id="gin", name="Gin")
        with pytest.raises(BadValue, match="every ingredient id once"):
            Menu(ingredients=(gin, gin), recipes=())

    def test_an_amount_that_is_none(self) -> None:
        with pytest.raises(BadValue, match="lots"):
            Pour(ingredient="gin", amount="lots")

    def test_an_unknown_allergen(self) -> None:
        with pytest.raises(BadValue, match="gluten"):
            Ingredient(id="x", name="X", allergens=("dust",))

    @pytest.mark.parametrize("changes", [{"pours": ()}, {"hold_limit_s": 5}, {"serves": 0}])
    def test_a_recipe_that_cannot_be(self, changes: dict[str, Any]) -> None:
        with pytest.raises(BadValue, match="expected"):
            replace(menu().by_recipe["sour"], **changes)
