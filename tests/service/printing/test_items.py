"""What was ordered and what stands under it: quantities, changes, allergies, notes, voids."""

from __future__ import annotations

from typing import Any

import pytest

from service.printing.prints import PrintKind, Role
from service.printing.profile import Changes, Items, Paper, QuantityAt

from .tickets import only, profile, read, roles

KNOWN = profile(changes=Changes(ingredients=("soda", "orange bitters", "dry gin", "vodka")))


@pytest.mark.parametrize(
    ("said", "change"),
    [
        ("no salt", {"leave_out": "salt"}),
        ("- NO LEMON JUICE", {"leave_out": "LEMON JUICE"}),
        ("W/O sugar syrup", {"leave_out": "sugar syrup"}),
        ("ohne Zucker", {"leave_out": "Zucker"}),
        ("add soda", {"add": {"ingredient": "soda"}}),
        ("add 2 dash soda", {"add": {"ingredient": "soda", "amount": "2 dash"}}),
        ("+ soda", {"add": {"ingredient": "soda"}}),
        ("extra orange bitters", {"add": {"ingredient": "orange bitters"}}),
        ("sub vodka for dry gin", {"swap": {"take_out": "dry gin", "put_in": "vodka"}}),
        ("Vodka instead of Dry Gin", {"swap": {"take_out": "Dry Gin", "put_in": "Vodka"}}),
        ("dry gin > vodka", {"swap": {"take_out": "dry gin", "put_in": "vodka"}}),
        ("vodka for dry gin", {"swap": {"take_out": "dry gin", "put_in": "vodka"}}),
        ("DOUBLE", {"double": True}),
        ("* on the rocks *", {"on_the_rocks": True}),
        ("(up)", {"straight_up": True}),
        ("no ice", {"no_ice": True}),
    ],
)
def test_changes(said: str, change: dict[str, Any]) -> None:
    found = read("1 Salt Ferry", f"   {said}", till=KNOWN)
    assert only(found).changes == (change,)
    assert (only(found).note, found.is_sure) == ("", True)


@pytest.mark.parametrize(
    "said",
    ["with the starters", "extra cold", "birthday, bring together", "not before 9", "+ love"],
)
def test_what_is_no_change_is_a_note(said: str) -> None:
    item = only(read("1 Salt Ferry", f"   {said}", till=KNOWN))
    assert item.changes == ()
    assert item.note in (said, said.removeprefix("+ "))


def test_several_changes_on_one_line() -> None:
    item = only(read("1 Salt Ferry", "   no salt, no ice; double"))
    assert item.changes == ({"leave_out": "salt"}, {"no_ice": True}, {"double": True})
    item = only(read("1 Salt Ferry", "   no salt, birthday"))
    assert (item.changes, item.note) == ((), "no salt, birthday")


@pytest.mark.parametrize(
    ("said", "allergies"),
    [
        ("ALLERGY: milk", ("milk",)),
        ("!ALLERGY MILK!", ("MILK",)),
        ("** ALLERGY: gluten, celery **", ("gluten", "celery")),
        ("allergic to nuts and egg", ("nuts", "egg")),
        ("NUT ALLERGY", ("NUT",)),
        ("Allergie: Sellerie & Ei", ("Sellerie", "Ei")),
        ("ALLERGY", ("ALLERGY",)),
    ],
)
def test_allergies(said: str, allergies: tuple[str, ...]) -> None:
    found = read("1 Salt Ferry", f"   {said}")
    assert only(found).allergies == allergies
    assert roles(found) == [Role.ITEM, Role.ALLERGY]


def test_an_allergy_at_no_drink_is_the_whole_tickets() -> None:
    found = read("ALLERGY: nuts", "1 Salt Ferry", "1 Long Meadow")
    assert found.allergies == ("nuts",)
    assert all(item.allergies == () for item in found.items)


@pytest.mark.parametrize(
    ("line", "quantity", "name"),
    [
        ("2 Salt Ferry", 2, "Salt Ferry"),
        ("2x Salt Ferry", 2, "Salt Ferry"),
        ("12 × Salt Ferry", 12, "Salt Ferry"),
        ("1 Salt Ferry                9.50", 1, "Salt Ferry"),
        ("1x dark rum tonic         4,80 €", 1, "dark rum tonic"),
        ("1 cask-strength whisky, neat", 1, "cask-strength whisky, neat"),
        ("1 7 Seas", 1, "7 Seas"),
    ],
)
def test_quantities_before(line: str, quantity: int, name: str) -> None:
    found = read(line)
    assert (only(found).quantity, only(found).name, found.is_sure) == (quantity, name, True)


@pytest.mark.parametrize(
    ("line", "quantity", "name"),
    [
        ("Salt Ferry x3", 3, "Salt Ferry"),
        ("Salt Ferry      12", 12, "Salt Ferry"),
        ("7 Seas x 1", 1, "7 Seas"),
    ],
)
def test_quantities_after(line: str, quantity: int, name: str) -> None:
    found = read(line, till=profile(items=Items(quantity=QuantityAt.AFTER)))
    assert (only(found).quantity, only(found).name) == (quantity, name)
    assert found.place == "Table 12"


def test_a_list_that_is_numbered_is_marked() -> None:
    till = profile(items=Items(quantity=QuantityAt.NOWHERE))
    assert "begins with a number" in only(read("2. Salt Ferry", till=till)).doubts[0]


def test_the_price_of_one_is_no_name() -> None:
    assert only(read("2 Salt Ferry @9.50        19.00")).name == "Salt Ferry"


def test_a_change_below_a_quantity_at_the_right_edge_is_sure() -> None:
    till = profile(items=Items(quantity=QuantityAt.AFTER))
    found = read("Salt Ferry                     2", "  sans sel", till=till)
    assert (only(found).changes, found.is_sure) == (({"leave_out": "sel"},), True)


@pytest.mark.parametrize("quantity", ["0", "61", "999"])
def test_a_quantity_that_cannot_be_is_marked(quantity: str) -> None:
    item = only(read(f"{quantity} Salt Ferry"))
    assert "a quantity from 1 to 60 was expected" in item.doubts[0]


def test_a_line_without_a_quantity_is_marked_or_one_as_the_profile_says() -> None:
    found = read("Salt Ferry")
    assert (found.items, found.kind) == ((), PrintKind.UNKNOWN)
    assert "the line 'Salt Ferry' was not understood" in found.doubts
    found = read("Salt Ferry", till=profile(items=Items(bare_is_one=True)))
    assert (only(found).quantity, found.is_sure) == (1, True)


@pytest.mark.parametrize("line", ["-2 Salt Ferry", "VOID 2 Salt Ferry", "2 Salt Ferry  -19.00"])
def test_an_item_that_goes(line: str) -> None:
    void, stays = read(line, "1 Long Meadow").items
    assert (void.is_void, void.quantity, void.name) == (True, 2, "Salt Ferry")
    assert not stays.is_void
    # By the price alone it may be a discount.
    assert [bool(one.doubts) for one in (void, stays)] == ["-19" in line, False]


def test_a_void_under_an_item_is_the_items_and_one_at_the_left_below_is_asked() -> None:
    found = read("2 Salt Ferry", "   ** VOID **", "1 Long Meadow")
    assert [item.is_void for item in found.items] == [True, False]
    assert (found.kind, found.is_sure) == (PrintKind.DRINKS, True)
    found = read("2 Salt Ferry", "VOID")
    assert found.kind is PrintKind.VOID
    assert "the whole ticket or the last one?" in found.doubts[0]


def test_a_long_name_goes_on() -> None:
    till = profile(paper=Paper(width=24, wraps=True))
    found = read("1 cask-strength whisky,", "   neat", "   no ice", till=till)
    assert only(found).name == "cask-strength whisky, neat"
    assert roles(found) == [Role.ITEM, Role.GOES_ON, Role.CHANGE]
    assert found.is_sure


def test_whether_a_name_goes_on_is_asked_where_nobody_knows() -> None:
    till = profile(paper=Paper(width=24))
    (item,) = read("1 cask-strength whisky,", "   neat", till=till).items
    assert item.name == "cask-strength whisky, neat"
    assert "may be the rest of the name, or a note" in item.doubts[0]
    cut = profile(paper=Paper(width=24, wraps=False))
    (item,) = read("1 cask-strength whisky,", "   neat", till=cut).items
    assert (item.name, item.note) == ("cask-strength whisky,", "neat")


def test_a_name_goes_on_before_its_price_too() -> None:
    till = profile(paper=Paper(width=32, wraps=True))
    found = read("1 double white rum and    9.50", "  light tonic", "  no ice", till=till)
    assert only(found).name == "double white rum and light tonic"
    assert only(found).changes == ({"no_ice": True},)


def test_a_long_change_goes_on() -> None:
    till = profile(paper=Paper(width=24, wraps=True))
    item = only(read("1 Salt Ferry", "   sub blended whisky", "     for dry gin", till=till))
    assert item.changes == ({"swap": {"take_out": "dry gin", "put_in": "blended whisky"}},)


def test_a_note_below_a_full_change_is_no_part_of_it() -> None:
    changes = Changes(ingredients=("dark rum", "white rum"))
    till = profile(paper=Paper(width=30), changes=changes)
    item = only(read("1 Windlass", "  sub white rum for dark rum", "  birthday", till=till))
    assert item.changes == ({"swap": {"take_out": "dark rum", "put_in": "white rum"}},)
    assert item.note == "birthday"


def test_a_change_as_far_left_as_drinks_is_marked_unless_the_profile_says_so() -> None:
    found = read("1 Salt Ferry", "no salt")
    assert only(found).changes == ({"leave_out": "salt"},)
    assert "as far left as the drinks" in only(found).doubts[0]
    found = read("1 Salt Ferry", "no salt", till=profile(changes=Changes(indent=0)))
    assert (only(found).changes, found.is_sure) == (({"leave_out": "salt"},), True)


def test_an_item_that_stands_too_far_in_is_marked() -> None:
    found = read("1 Salt Ferry", "      2 Long Meadow")
    assert "may be an item of its own" in only(found).doubts[0]


@pytest.mark.parametrize("column_at", [0, 16])
def test_two_columns(column_at: int) -> None:
    till = profile(items=Items(columns=2, column_at=column_at))
    found = read("2 Salt Ferry    1 Slate Roof", "12 Cloudless    3 Ropemaker", till=till)
    assert [(item.quantity, item.name) for item in found.items] == [
        *((2, "Salt Ferry"), (1, "Slate Roof")),
        *((12, "Cloudless"), (3, "Ropemaker")),
    ]
    assert found.lines[3].items == (0, 1)


def test_changes_in_two_columns() -> None:
    till = profile(items=Items(columns=2, column_at=16))
    found = read("2 Salt Ferry    1 Slate Roof", "  no salt", " " * 18 + "double", till=till)
    assert [item.changes for item in found.items] == [({"leave_out": "salt"},), ({"double": True},)]


def test_the_form_of_a_tickets_line() -> None:
    found = read("2 Salt Ferry", "   no salt", "   ALLERGY: milk", "   birthday", "1 Cloudless")
    assert [item.as_line() for item in found.items] == [
        {
            "recipe": "Salt Ferry",
            "quantity": 2,
            "changes": [{"leave_out": "salt"}],
            "allergies": ["milk"],
            "note": "birthday",
        },
        {"recipe": "Cloudless", "quantity": 1},
    ]
