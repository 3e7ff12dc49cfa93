"""What can be made now, by whom, and why the rest is set aside."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.builds import build_id
from solver.counter import Flame, Vessel, Well
from solver.errors import BadValue, InvalidSnapshot
from solver.menu import Ice, Method
from solver.snapshot import (
    BlockRun,
    GlassesBack,
    InHand,
    Presence,
    Shortage,
    Snapshot,
    num_open_drinks,
    rail_of,
)
from solver.tickets import Drink, Line
from tests.solver.makers import (
    GLASSES,
    counter,
    glass,
    line,
    person,
    snapshot,
    station,
    ticket,
)


def ready(snap: Snapshot) -> list[str]:
    return [drink.id for drink in rail_of(snap).drinks]


def reasons(snap: Snapshot) -> dict[str, str]:
    return {entry.drink: entry.reason for entry in rail_of(snap).set_aside}


def begun(*drinks: str, who: str = "ana") -> InHand:
    run = BlockRun(index=0, person=who, start_s=-5)
    return InHand(build=build_id(drinks), person=who, drinks=drinks, blocks=(run,))


class TestOrder:
    def test_oldest_round_first_ties_by_id(self) -> None:
        snap = snapshot(
            ticket("c", "ale", placed_s=-5), ticket("b", "ale"), ticket("a", "ale", "lager")
        )
        assert ready(snap) == ["c1", "a1", "a2", "b1"]

    def test_made_drinks_and_those_in_hand_do_not_wait(self) -> None:
        drinks = (Drink(id="a1", made_s=-9), Drink(id="a2", line=1), Drink(id="a3", line=2))
        snap = snapshot(ticket("a", "ale", "lager", "sour", drinks=drinks), in_hand=(begun("a2"),))
        rail = rail_of(snap)
        assert [drink.id for drink in rail.drinks] == ["a3"]
        assert set(rail.in_hand) == {"a2"}
        assert rail.in_hand["a2"].people == ("ana",)
        assert num_open_drinks(snap) == 2

    def test_a_drink_already_made_in_a_build_in_hand_is_known_still(self) -> None:
        drinks = (Drink(id="a1", made_s=-1), Drink(id="a2", line=1))
        snap = snapshot(ticket("a", "ale", "lager", drinks=drinks), in_hand=(begun("a1", "a2"),))
        assert set(rail_of(snap).in_hand) == {"a1", "a2"}

    def test_an_empty_rail(self) -> None:
        rail = rail_of(snapshot())
        assert (rail.drinks, rail.set_aside, rail.in_hand) == ((), (), {})


@pytest.mark.parametrize(
    ("wanted", "changes", "said"),
    [
        ("nothing", {}, "a recipe of the menu"),
        (Line(spirit="lemon"), {}, "a spirit"),
        ("sour", {"short": (Shortage(ingredient="gin", left=0),)}, "Gin is 86"),
        ("lit", {"counter": counter(flame=Flame())}, "flame is off"),
        (
            "lit",
            {"counter": counter(flame=Flame(allowed=True, off_above_open_drinks=0))},
            "too full for a flame",
        ),
        ("lit", {"counter": counter(people=(person(trained_for_flame=False),))}, "trained"),
        ("lit", {"counter": counter(stations=(station(clear_place=False),))}, "clear place"),
        (
            "stirred",
            {"counter": counter(people=(person(not_trained_on=(Method.STIRRED,)),))},
            "not trained on stirred",
        ),
        (line("foam", allergies=("egg",)), {}, "egg is in the drink itself"),
        (line("sour", allergies=(" Gin ",)), {}, "Gin"),
        ("sour", {"people_on": ()}, "nobody is on the floor"),
        ("sour", {"counter": counter(stations=(station(tin_sets=0),))}, "no tin set"),
        ("sour", {"counter": counter(stations=(station(kits=0),))}, "no kit"),
        ("stirred", {"counter": counter(stations=(station(mixing_glasses=0),))}, "mixing glass"),
        ("frozen", {"counter": counter(stations=(station(jars=0),))}, "no jar"),
        ("frozen", {"counter": counter(blenders=0)}, "no blender"),
        ("blaze", {"counter": counter(stations=(station(mugs=0),))}, "no mugs"),
        ("lager", {"counter": counter(taps=())}, "no tap pours Lager"),
        ("stout", {"counter": counter(settling_places=0)}, "no place for Stout to settle"),
        ("coffee", {"counter": counter(coffee_groups=0)}, "coffee machine"),
        ("coffee", {"counter": counter(coffee_grinders=0)}, "grinder"),
        (
            "swizzled",
            {"counter": counter(stations=(station(wells=(Well(ice=Ice.CUBED),)),))},
            "no crushed ice",
        ),
        ("sour", {"counter": counter(glasses=(glass("rocks", 300),))}, "no glass called coupe"),
        ("sour", {"counter": counter(glasses=(glass("coupe", 80),))}, "90 ml do not fit"),
        (
            "sour",
            {"counter": counter(glasses=(glass("coupe", 180, clean=0),))},
            "no clean coupe left",
        ),
    ],
)
def test_what_cannot_be_made_says_why(
    wanted: str | Line, changes: dict[str, Any], said: str
) -> None:
    snap = snapshot(ticket("a", wanted), **changes)
    assert ready(snap) == []
    assert said in reasons(snap)["a1"]


def test_a_ticket_held_back_waits_with_all_its_drinks() -> None:
    snap = snapshot(ticket("a", "sour", "ale", is_on_hold=True), ticket("b", "ale"))
    assert ready(snap) == ["b1"]
    assert set(reasons(snap)) == {"a1", "a2"}
    assert "held back" in reasons(snap)["a1"]


def test_a_note_or_an_allergy_elsewhere_is_made_alone() -> None:
    snap = snapshot(ticket("a", line("sour", allergies=("egg",)), line("sour", note="!"), "sour"))
    assert [drink.is_alone for drink in rail_of(snap).drinks] == [True, True, False]


def test_a_person_may_confirm_the_allergen_in_the_drink() -> None:
    wanted = line("foam", allergies=("egg",), is_confirmed=True)
    rail = rail_of(snapshot(ticket("a", wanted)))
    assert [drink.is_alone for drink in rail.drinks] == [True]


class TestPeople:
    def test_only_those_who_may(self) -> None:
        people = (
            person("ana", trained_for_flame=False),
            person("ben", "two"),
            person("cleo", "three", not_trained_on=(Method.STIRRED,)),
        )
        snap = snapshot(
            ticket("a", "lit", "stirred", "ale"),
            counter=counter(3, people=people),
            people_on=(Presence(person="ben", from_s=60), Presence(person="ana")),
        )
        by_drink = {drink.id: drink.people for drink in rail_of(snap).drinks}
        assert by_drink == {"a1": ("ben",), "a2": ("ben", "ana"), "a3": ("ben", "ana")}

    def test_vessels_of_the_home_station_count(self) -> None:
        stations = (station("one"), station("two", tin_sets=0, kits=0, shared_with="one"))
        snap = snapshot(ticket("a", "sour"), counter=counter(2, stations=stations))
        assert rail_of(snap).drinks[0].people == ("ana", "ben")

    def test_a_shared_well_will_do(self) -> None:
        at = counter(
            stations=(station(wells=(Well(ice=Ice.CUBED),)),),
            shared_wells=(Well(ice=Ice.CRUSHED),),
        )
        assert ready(snapshot(ticket("a", "swizzled"), counter=at)) == ["a1"]

    def test_a_different_reason_for_each_is_told_for_all(self) -> None:
        people = (
            person("ana", not_trained_on=(Method.SHAKEN,)),
            person("ben", "two"),
        )
        at = counter(2, people=people, stations=(station(), station("two", tin_sets=0)))
        said = reasons(snapshot(ticket("a", "sour"), counter=at))["a1"]
        assert "not trained on shaken" in said
        assert "no tin set" in said


class TestShort:
    def test_a_countdown_goes_to_the_oldest(self) -> None:
        snap = snapshot(
            ticket("b", "sour", placed_s=-9),
            ticket("a", "sour", "foam"),
            short=(Shortage(ingredient="gin", left=2),),
        )
        assert ready(snap) == ["b1", "a1"]
        assert reasons(snap) == {"a2": "Gin is 86"}

    def test_what_is_in_hand_has_its_share_first(self) -> None:
        snap = snapshot(
            ticket("a", "sour", "sour"),
            in_hand=(begun("a2"),),
            short=(Shortage(ingredient="gin", left=1),),
        )
        assert ready(snap) == []

    def test_a_bottle_on_its_way(self) -> None:
        snap = snapshot(ticket("a", "sour", "ale"), short=(Shortage(ingredient="gin", back_s=90),))
        assert [drink.release_ds for drink in rail_of(snap).drinks] == [900, 0]

    def test_the_last_of_the_old_bottle_needs_no_waiting(self) -> None:
        snap = snapshot(
            ticket("a", "sour", "sour"), short=(Shortage(ingredient="gin", left=1, back_s=90),)
        )
        assert [drink.release_ds for drink in rail_of(snap).drinks] == [0, 900]

    def test_glasses_from_the_washer(self) -> None:
        few = (*(g for g in GLASSES if g.id != "coupe"), glass("coupe", 180, clean=1))
        snap = snapshot(
            ticket("a", *["sour"] * 4),
            counter=counter(glasses=few),
            glasses_back=(
                GlassesBack(glass="coupe", count=1, back_s=60),
                GlassesBack(glass="coupe", count=1, back_s=30),
            ),
        )
        assert [drink.release_ds for drink in rail_of(snap).drinks] == [0, 300, 600]
        assert list(reasons(snap)) == ["a4"]

    def test_chilled_glasses_go_to_chilled_drinks_and_the_rest_is_chilled_by_ice(self) -> None:
        snap = snapshot(ticket("a", *["cold sour"] * 3))
        assert [d.mix.chill_by_ice for d in rail_of(snap).drinks] == [False, False, True]

    def test_a_shortage_says_something(self) -> None:
        with pytest.raises(BadValue, match="0 for an 86"):
            Shortage(ingredient="gin")


class TestMistakes:
    def test_a_drink_twice(self) -> None:
        with pytest.raises(InvalidSnapshot, match="a1"):
            snapshot(ticket("a", "sour"), replace(ticket("a", "sour"), id="b"))

    def test_a_person_nobody_knows(self) -> None:
        with pytest.raises(InvalidSnapshot, match="zoe"):
            snapshot(people_on=(Presence(person="zoe"),))

    def test_a_build_in_hand_of_unknown_drinks_or_by_nobody(self) -> None:
        with pytest.raises(InvalidSnapshot, match="on the rail"):
            snapshot(in_hand=(begun("a1"),))
        with pytest.raises(InvalidSnapshot, match="with people"):
            snapshot(ticket("a", "sour"), in_hand=(begun("a1", who="zoe"),))
        with pytest.raises(BadValue, match="the first too"):
            replace(begun("a1"), blocks=())

    def test_another_format(self) -> None:
        with pytest.raises(BadValue, match="snapshot format 1"):
            snapshot(format=2)


def test_a_vessel_is_spoken_with_spaces() -> None:
    """A reason is a sentence of the bar, not a name of the code."""
    at = counter(stations=(station(mixing_glasses=0),))
    said = reasons(snapshot(ticket("a", "stirred"), counter=at))["a1"]
    assert Vessel.MIXING_GLASS.value not in said
