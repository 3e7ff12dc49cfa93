"""Single changes: each changes what it says and nothing else, and costs what the house says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.errors import BadValue
from solver.menu import Ice, Place
from solver.rush.changes import ON_THE_RAIL, with_bartender
from solver.rush.costs import Costs
from solver.rush.menu_changes import asked_for, hands_s
from solver.rush.scenario import Barback, Rush, Shift
from solver.rush.what_if import single_changes

from .small import house, small_rush, with_menu

COSTS = Costs(
    bartender_hour=18, barback_hour=14, tin_set=30, blender=450, well=900, batch=7, nights=150
)


@pytest.fixture(scope="module")
def rush() -> Rush:
    return small_rush(an_hour=300, costs=COSTS)


@pytest.fixture(scope="module")
def changed(rush: Rush) -> dict[str, Rush]:
    return {one.id: one.rush for one in single_changes(rush, seed=1)}


def test_every_change_that_the_house_can_make(rush: Rush) -> None:
    rows = single_changes(rush, seed=1)
    batches = [one.id for one in rows if one.id.startswith("batch-")]
    assert len(batches) == 2
    assert [one.id for one in rows if one.id not in batches] == [
        "bartender-well",
        "bartender-left",
        "bartender-right",
        "barback",
        "tins",
        "blender",
        "crushed-well",
        "crushed-left",
        "rail",
        "posts",
        "shorter",
    ]
    assert all(one.rush != rush for one in rows)


def test_what_they_cost(rush: Rush) -> None:
    costs = {one.id: one.cost for one in single_changes(rush, seed=1)}
    # An hour of a night from 19:00 to 20:00; three places with tins; over 150 nights.
    assert (costs["bartender-well"], costs["barback"]) == (18.0, 14.0)
    assert costs["tins"] == pytest.approx(3 * 30 / 150)
    assert (costs["blender"], costs["crushed-left"]) == (3.0, 6.0)
    assert (costs["rail"], costs["posts"], costs["shorter"]) == (0.0, 0.0, 0.0)


def test_a_house_that_does_not_say_what_things_cost() -> None:
    rows = single_changes(small_rush(an_hour=300), seed=1)
    assert all(one.cost in (None, 0.0) for one in rows)


def test_hands(changed: dict[str, Rush], rush: Rush) -> None:
    (person,) = changed["bartender-left"].scenario.more_people
    assert (person.station, person.pace) == ("left", 1.0)
    assert changed["barback"].scenario.barbacks == (Barback(), Barback())
    assert changed["bartender-left"].house == rush.house


def test_one_more_bartender_keeps_the_shifts_of_the_others() -> None:
    ruth = Shift(person="ruth", until="19:45")
    found = with_bartender(small_rush(shifts=(ruth,)), "well", "more")
    assert found.scenario.shifts == (ruth, Shift(person="more"))


def test_equipment(changed: dict[str, Rush], rush: Rush) -> None:
    before, tins = rush.house.counter, changed["tins"].house.counter
    assert [s.tin_sets for s in tins.stations] == [s.tin_sets + 1 for s in before.stations]
    blender = changed["blender"].house.counter
    assert blender.blenders == before.blenders + 1
    assert not before.by_station["left"].has_ice(Ice.CRUSHED)
    assert changed["crushed-left"].house.counter.by_station["left"].has_ice(Ice.CRUSHED)


def test_layout(changed: dict[str, Rush], rush: Rush) -> None:
    before, after = rush.house.menu.by_ingredient, changed["rail"].house.menu.by_ingredient
    moved = [name for name in before if before[name] != after[name]]
    assert len(moved) == 4
    assert {before[name].lives for name in moved} <= {Place.BACK_BAR, Place.STORE}
    assert {after[name].lives for name in moved} == {Place.SPEED_RAIL}
    asked = asked_for(rush, 1).ingredients
    # Wine stays where it is; of bottles for the rail, none that stays is asked for more.
    left = [
        n for n, one in after.items() if one.lives is Place.BACK_BAR and one.kind in ON_THE_RAIL
    ]
    assert min(asked[n] for n in moved) >= max(asked.get(n, 0) for n in left)


def test_a_shorter_menu_leaves_the_slowest_out(changed: dict[str, Rush], rush: Rush) -> None:
    weights = changed["shorter"].scenario.guests.recipe_weight
    assert len(weights) == 5
    assert set(weights.values()) == {0.0}
    asked = asked_for(changed["shorter"], 1).recipes
    assert not set(weights) & set(asked)
    assert set(weights) <= set(asked_for(rush, 1).recipes)


def test_a_batch_pours_the_same_and_takes_less(changed: dict[str, Rush], rush: Rush) -> None:
    before = hands_s(rush)
    for name, found in changed.items():
        if not name.startswith("batch-"):
            continue
        recipe = name.removeprefix("batch-")
        was, now = (r.house.menu.by_recipe[recipe] for r in (rush, found))
        assert len(now.pours) < len(was.pours)
        volumes = [sum(pour.measured.ml for pour in one.pours) for one in (was, now)]
        assert volumes[0] == pytest.approx(volumes[1], abs=0.1)
        assert hands_s(found)[recipe] < before[recipe]
        bottle = found.house.menu.by_ingredient[name]
        parts = {pour.ingredient for pour in was.pours} - {pour.ingredient for pour in now.pours}
        allergens = {a for part in parts for a in rush.house.menu.by_ingredient[part].allergens}
        assert set(bottle.allergens) == allergens


def test_only_what_keeps_goes_into_a_batch(changed: dict[str, Rush], rush: Rush) -> None:
    fresh = {"juice", "egg", "dairy", "herb", "fruit"}
    for name, found in changed.items():
        if name.startswith("batch-"):
            recipe = name.removeprefix("batch-")
            was, now = (
                {p.ingredient for p in r.house.menu.by_recipe[recipe].pours} for r in (rush, found)
            )
            kinds = {rush.house.menu.by_ingredient[part].kind.value for part in was - now}
            assert not kinds & fresh


def test_a_house_without_crushed_ice_or_blender_is_not_sold_one() -> None:
    rush = small_rush(an_hour=300)
    counter = rush.house.counter
    plain = replace(
        counter,
        blenders=0,
        shared_wells=(),
        stations=tuple(replace(s, jars=0, wells=s.wells[:1]) for s in counter.stations),
    )
    menu = rush.house.menu
    few = tuple(r for r in menu.recipes if Ice.CRUSHED not in (r.ice, r.serve_ice))
    smaller = with_menu(rush, replace(menu, recipes=few))
    found = single_changes(replace(smaller, house=replace(smaller.house, counter=plain)), seed=1)
    ids = {one.id for one in found}
    assert "blender" not in ids
    assert not any(name.startswith("crushed") for name in ids)


def test_hands_a_drink_takes() -> None:
    found = hands_s(small_rush())
    assert set(found) == {recipe.id for recipe in house().menu.recipes}
    assert all(3 < seconds < 240 for seconds in found.values())


def test_costs_that_cannot_be() -> None:
    with pytest.raises(BadValue):
        Costs(tin_set=-1)
    with pytest.raises(BadValue):
        Costs(nights=0)
