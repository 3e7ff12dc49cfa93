"""A drink's name: with the till's own words for a measure, codes, and dishes among drinks."""

from __future__ import annotations

import pytest

from service.files import SAMPLES, read_bar
from service.naming import NO_ALIASES
from service.printing.prints import PrintKind, Role, Sort
from service.printing.profile import Changes, Items, Profile, QuantityAt, Sections
from service.taps.on_paper import line_of
from solver.menu import Menu
from solver.tickets import Measure

from .tickets import only, profile, read, roles

DRINKS = ("Salt Ferry", "Windlass", "The Crew's Tray, six chilled shots")
POURED = ("dry gin", "vodka", "tonic", "soda")


@pytest.fixture(scope="module")
def menu() -> Menu:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu


def till(*, double: tuple[str, ...] = (), codes: bool = False, otherwise: str = "drink") -> Profile:
    return profile(
        items=Items(drinks=DRINKS, codes=codes),
        changes=Changes(ingredients=POURED, double=double),
        sections=Sections(otherwise=otherwise),
    )


@pytest.mark.parametrize("said", ["Vodka Soda XXL", "XXL vodka & soda", "vodka XXL with soda"])
def test_a_word_of_the_profile_for_a_double_is_one(said: str, menu: Menu) -> None:
    found = read(f"2 {said}", till=till(double=("xxl",)))
    item = only(found)
    assert item.changes == ({"double": True},)
    line = line_of(menu, NO_ALIASES, "line", item, found).line
    assert line is not None
    assert (line.spirit, line.mixer, line.measure) == ("vodka", "soda", Measure.DOUBLE)


def test_it_doubles_a_recipe_too_and_stands_with_other_changes() -> None:
    item = only(read("1 Windlass XXL, no salt", till=till(double=("xxl",))))
    assert (item.name, item.changes) == ("Windlass", ({"double": True}, {"leave_out": "salt"}))


def test_what_no_profile_calls_a_double_stays_part_of_the_name() -> None:
    item = only(read("2 Vodka Soda XXL", till=till()))
    assert (item.name, item.changes) == ("Vodka Soda XXL", ())
    # The rest has to be known: nobody knows what is doubled here.
    item = only(read("2 Elderflower XXL", till=till(double=("xxl",))))
    assert (item.name, item.changes) == ("Elderflower XXL", ())


@pytest.mark.parametrize("name", ["Windlass", "Dry Gin Tonic", "Something new"])
def test_a_code_before_every_name_is_passed_over(name: str) -> None:
    assert only(read(f"3 0142 {name}", till=till(codes=True))).name == name


def test_a_number_before_a_name_is_kept_where_names_have_no_codes() -> None:
    assert only(read("3 0142 Something new", till=till())).name == "0142 Something new"


@pytest.mark.parametrize(
    ("name", "sort"),
    [
        ("Fish & chips", Sort.FOOD),
        ("Kid's pasta", Sort.FOOD),
        ("Windlass", Sort.DRINK),
        ("double vodka soda", Sort.DRINK),
        ("Windlas", Sort.UNSURE),
        ("double Windlas", Sort.UNSURE),
        ("The Crew's Tray, six chi", Sort.UNSURE),
        ("Vodka Elderflower", Sort.UNSURE),
        ("vodka", Sort.UNSURE),
    ],
)
def test_what_the_menu_does_not_know_is_food_where_the_profile_says_so(
    name: str, sort: Sort
) -> None:
    assert only(read(f"1 {name}", till=till(otherwise="food"))).sort is sort


def test_a_name_goes_on_though_there_was_room() -> None:
    found = read("2 Vodka with", "tonic", "1 dry gin /", "soda", "1 Windlass", till=till())
    assert [item.name for item in found.items] == ["Vodka with tonic", "dry gin / soda", "Windlass"]
    assert roles(found)[:2] == [Role.ITEM, Role.GOES_ON]


def test_a_name_in_two_lines_has_its_quantity_behind_both() -> None:
    after = profile(items=Items(drinks=DRINKS, quantity=QuantityAt.AFTER, indent=0))
    found = read("The Crew's Tray, six chilled", "shots  2", "Windlass  1", till=after)
    assert [(item.quantity, item.name) for item in found.items] == [
        (2, "The Crew's Tray, six chilled shots"),
        (1, "Windlass"),
    ]


def test_an_amount_in_brackets_is_no_part_of_a_name() -> None:
    found = read("2 Windlass         (17.60)", "1 Salt Ferry        [9.50]", till=till())
    assert [item.name for item in found.items] == ["Windlass", "Salt Ferry"]


def test_a_change_in_brackets_goes_on_up_to_its_end() -> None:
    found = read("1 Windlass", "   [vodka instead of dry", "   gin]", "   [no salt]", till=till())
    swap = {"swap": {"take_out": "dry gin", "put_in": "vodka"}}
    assert only(found).changes == (swap, {"leave_out": "salt"})


def test_a_mark_may_begin_with_a_figure() -> None:
    assert read("2.a VIA", "1 Windlass", till=till()).kind is PrintKind.REPRINT
    assert only(read("2 Copy", till=till())).quantity == 2
