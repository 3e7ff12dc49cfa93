"""Orders as tills print them that nobody met before: once not read at first contact."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.drink_names import drink_named
from service.files import SAMPLES, read_bar
from service.naming import NO_ALIASES
from service.printing.changes import read_said
from service.printing.items import amount_in, quantity_in
from service.printing.lexicon import lexicon_of
from service.printing.prints import PrintKind, Role, Sort
from service.printing.profile import Head, QuantityAt
from service.printing.reading import read_print
from solver.menu import Menu

from .contact import NAMED, RULE, taught
from .tickets import bytes_of, only, read


@pytest.fixture(scope="module")
def menu() -> Menu:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu


# ---- What is ordered ----------------------------------------------------------------------------


def test_a_letter_at_the_edge_says_who_makes_it(menu: Menu) -> None:
    rows = [
        (
            f"Ticket {n}   Table 4   18:0{n % 10}",
            f"{'2  Salt Ferry':<30}(B)",
            f"{'1  Slate Roof':<30}(B)",
            f"{'3  ' + dish:<30}(K)",
        )
        for n, dish in ((134, "Olives"), (135, "Crumbed kelp"), (138, "Side salad"))
    ]
    found = taught(menu, *rows)
    assert found.profile.items.drink_signs == ("(B)",)
    assert found.profile.items.food_signs == ("(K)",)
    last = read_print(
        bytes_of("Ticket 9   Table 1", f"{'1  Cloudless':<30}(B)", f"{'2  Whelks':<30}(K)"),
        found.profile,
    )
    assert [(item.name, item.sort) for item in last.items] == [
        ("Cloudless", Sort.DRINK),
        ("Whelks", Sort.FOOD),
    ]
    assert last.is_sure


def test_a_minus_before_a_quantity_with_its_word(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", "2 of Salt Ferry", "1 of Slate Roof")
        for n in (134, 135, 138)
    ]
    profile = taught(menu, *rows).profile
    item = read_print(bytes_of("Ticket 9   Table 1", "-3 of Salt Ferry"), profile).items[0]
    assert (item.quantity, item.name, item.is_void) == (3, "Salt Ferry", True)


@pytest.mark.parametrize(
    ("size", "changes"),
    [
        ("Large", ({"double": True},)),
        ("SIZE: SINGLE", ()),
        ("Small", ()),
        ("grand format", ({"double": True},)),
    ],
)
def test_the_measure_may_stand_under_a_spirit_and_its_mixer(
    size: str, changes: tuple[dict[str, bool], ...]
) -> None:
    found = read_print(bytes_of("Ticket 9", "2 dry gin/tonic", f"   {size}"), NAMED)
    assert found.items[0].changes == changes
    assert (found.items[0].note, found.lines[2].role) == ("", Role.CHANGE)


def test_a_size_under_anything_else_stays_a_note() -> None:
    found = read_print(bytes_of("Ticket 9", "2 Salt Ferry", "   Large"), NAMED)
    assert (found.items[0].changes, found.items[0].note) == ((), "Large")


def test_a_guests_place_may_stand_before_the_quantity(menu: Menu) -> None:
    rows = [
        (
            f"Ticket {n}   Table 4   18:0{n % 10}",
            RULE,
            "P1 2 Salt Ferry",
            f"P2 1 {dish}",
            "P1 3 coffee",
        )
        for n, dish in ((134, "Olives"), (135, "Crumbed kelp"), (138, "Side salad"))
    ]
    profile = taught(menu, *rows).profile
    assert profile.items.seats
    found = read_print(bytes_of("Ticket 9   Table 1", "P3 4 Cloudless", "P12 1 Whelks"), profile)
    assert [(item.seat, item.quantity, item.name) for item in found.items] == [
        ("P3", 4, "Cloudless"),
        ("P12", 1, "Whelks"),
    ]


@pytest.mark.parametrize(
    ("line", "many"),
    [
        ("QTY 3   EACH 9.50              28.50", 3),
        ("Qty: 12", 12),
        ("Anzahl 2  je 9,50   19,00", 2),
        ("Qty x4", 4),
        ("not before 9", None),
        ("3 of them cold", None),
    ],
)
def test_how_many_may_be_said_in_words_below_the_name(line: str, many: int | None) -> None:
    assert amount_in(lexicon_of(NAMED), line) == many


def test_a_number_below_a_name_without_one_is_asked() -> None:
    till = replace(NAMED, items=replace(NAMED.items, quantity=QuantityAt.NOWHERE, bare_is_one=True))
    found = read_print(bytes_of("Ticket 9", "Salt Ferry", "   hoev 3      28.50"), till)
    assert any("may say how many" in doubt for doubt in found.items[0].doubts)
    found = read_print(bytes_of("Ticket 9", "Salt Ferry", "   not before 9"), till)
    assert not found.items[0].doubts


def test_a_short_word_with_a_number_at_the_foot_is_the_houses(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", RULE, "2. Salt Ferry", RULE, f"{n % 7} pars.")
        for n in (134, 135, 138)
    ]
    profile = taught(menu, *rows).profile
    found = read_print(bytes_of("Ticket 9   Table 1", "1. Cloudless", RULE, "8 pars."), profile)
    assert [item.name for item in found.items] == ["Cloudless"]


@pytest.mark.parametrize("name", ["double/dubbele", "double"])
def test_a_measure_may_be_said_in_two_tongues(menu: Menu, name: str) -> None:
    assert drink_named(menu, NO_ALIASES, f"{name} bourbon cola") == {
        "spirit": "bourbon",
        "mixer": "cola",
        "measure": "double",
    }
    assert drink_named(menu, NO_ALIASES, "double/single bourbon cola") is None


def test_headings_without_signs_where_nothing_has_a_quantity(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", RULE, *drinks, *dishes)
        for n, drinks, dishes in (
            (134, ("From the spout", "Salt Ferry", "Salt Ferry"), ("From the hob", "Olives")),
            (135, ("From the spout", "Cloudless", "coffee"), ()),
            (138, ("From the spout", "Slate Roof"), ("From the hob", "Side salad", "Olives")),
        )
    ]
    profile = taught(menu, *rows).profile
    assert profile.sections.drinks == ("from the spout",)
    assert profile.sections.food == ("from the hob",)
    # A drink and a dish alone are no headings.
    rows = [(f"Ticket {n}   Table 4", RULE, "Salt Ferry", "coffee") for n in (1, 2, 3)]
    assert taught(menu, *rows).profile.sections.drinks == ()


def test_two_words_below_a_drink_are_nobodys_name() -> None:
    till = replace(
        NAMED,
        head=Head(lines=("{server}",)),
        items=replace(NAMED.items, quantity=QuantityAt.AFTER),
    )
    found = read_print(bytes_of("Ticket 9", "Renée", "Salt Ferry ... 2", "dark rum y"), till)
    assert (found.server, found.lines[-1].role) == ("Renée", Role.UNREAD)


@pytest.mark.parametrize("gap", [" . ", " .. ", " ... ", "  "])
def test_a_dot_or_two_may_lead_to_the_quantity(gap: str) -> None:
    found = quantity_in(f"double gin & tonic{gap}2", QuantityAt.AFTER)
    assert found is not None
    assert (found["name"], found["quantity"]) == ("double gin & tonic", "2")


def test_prices_before_quantities(menu: Menu) -> None:
    rows = [
        (
            f"Ticket {n}   Table 4   18:0{n % 10}",
            RULE,
            "  19,00 2 Salt Ferry",
            f" 105,60 {n % 7} coffee",
        )
        for n in (134, 135, 138)
    ]
    found = taught(menu, *rows)
    assert found.profile.items.quantity is QuantityAt.BEFORE
    assert [item.quantity for item in found.prints[0].items] == [2, 1]
    last = read_print(bytes_of("Ticket 9   Table 1", "   9,50 3 Cloudless"), found.profile)
    assert [(item.quantity, item.name) for item in last.items] == [(3, "Cloudless")]


def test_a_line_with_a_drink_is_never_the_houses(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", RULE, "2 Salt Ferry", "xx 7 / 2 pint of lager")
        for n in (134, 135, 138)
    ]
    assert not any("lager" in one for one in taught(menu, *rows).profile.house)


def test_strokes_between_quantity_and_name() -> None:
    found = read_print(bytes_of("Ticket 9", "2   | Salt Ferry", "12  | Slate Roof"), NAMED)
    assert [(item.quantity, item.name) for item in found.items] == [
        (2, "Salt Ferry"),
        (12, "Slate Roof"),
    ]


def test_a_count_in_brackets_at_the_foot_is_the_houses(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", RULE, "2 Salt Ferry", "", f"( {n % 7} to make )")
        for n in (134, 135, 138)
    ]
    profile = taught(menu, *rows).profile
    found = read_print(bytes_of("Ticket 9   Table 1", "1 Cloudless", "", "( 8 to make )"), profile)
    assert found.is_sure
    assert found.lines[-1].role is Role.HOUSE


# ---- What is said of it -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "changes"),
    [
        ("Option: no ice", ({"no_ice": True},)),
        ("option = leave out lime juice", ({"leave_out": "lime juice"},)),
        (
            "Wish: tequila instead of dry gin",
            ({"swap": {"take_out": "dry gin", "put_in": "tequila"}},),
        ),
        ("lime juice out", ({"leave_out": "lime juice"},)),
        ("soda: added", ({"add": {"ingredient": "soda"}},)),
        ("lime juice yok", ({"leave_out": "lime juice"},)),
        ("sans/zonder lime juice", ({"leave_out": "lime juice"},)),
        ("sur glace/op ijs", ({"on_the_rocks": True},)),
        ("s/ gelo", ({"no_ice": True},)),
        (
            "tequila pour/voor dry gin",
            ({"swap": {"take_out": "dry gin", "put_in": "tequila"}},),
        ),
        ("/ - lime juice", ({"leave_out": "lime juice"},)),
        ("> + soda", ({"add": {"ingredient": "soda"}},)),
        ("+ilman jäitä", ({"no_ice": True},)),
        ("s ledem", ({"on_the_rocks": True},)),
        ("tupla", ({"double": True},)),
        ("dry gin yerine tequila", ({"swap": {"take_out": "dry gin", "put_in": "tequila"}},)),
    ],
)
def test_changes_as_other_tills_say_them(line: str, changes: tuple[dict[str, object], ...]) -> None:
    assert read_said(lexicon_of(NAMED), line).changes == changes


@pytest.mark.parametrize(
    "line", ["Guest: on the terrace", "all hands out", "Note: no ice", "s notes"]
)
def test_what_only_looks_like_a_change_stays_a_note(line: str) -> None:
    assert read_said(lexicon_of(NAMED), line).role is Role.NOTE


@pytest.mark.parametrize(
    "line", ["!ALG nuts", "Alerji: nuts", "Allergeeni: nuts", "alergická na: nuts"]
)
def test_any_word_of_an_allergy_is_one(line: str) -> None:
    said = read_said(lexicon_of(NAMED), line)
    assert (said.role, said.allergies) == (Role.ALLERGY, ("nuts",))


def test_a_count_before_a_change_is_the_drinks_or_is_asked() -> None:
    found = only(read("1 Slate Roof", "   1 x no soda"))
    assert (found.changes, found.doubts) == (({"leave_out": "soda"},), ())
    found = only(read("3 Slate Roof", "   3 x no soda"))
    assert (found.changes, found.doubts) == (({"leave_out": "soda"},), ())
    # One of three, or each of the three?
    assert only(read("3 Slate Roof", "   1 x no soda")).doubts


def test_a_count_before_all_changes_is_learned(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", "3 Slate Roof", f"   1 x {what}", "1 Salt Ferry")
        for n, what in ((134, "no ice"), (135, "double"), (138, "no ice"))
    ]
    found = taught(menu, *rows)
    assert found.profile.changes.bullets == ("1 x",)
    assert any("'1 x'" in one for one in found.unsure)
    item = read_print(bytes_of("Ticket 9   Table 1", *rows[0][1:]), found.profile).items[0]
    assert (item.changes, item.doubts) == (({"no_ice": True},), ())


def test_a_word_behind_an_ingredient_is_learned_by_what_is_in_the_drink(menu: Menu) -> None:
    recipe = next(one for one in menu.recipes if one.id == "slate-roof")
    inside = [menu.ingredient(pour.ingredient).name for pour in recipe.pours]
    rows = [
        ("Ticket 1   18:01", RULE, "2 Slate Roof", f"   {inside[0]} vrk", "   soda zup"),
        ("Ticket 2   18:04", RULE, "2 Slate Roof", f"   {inside[1]} vrk"),
        ("Ticket 3   18:09", RULE, "2 Slate Roof", f"   {inside[0]} vrk"),
    ]
    found = taught(menu, *rows)
    assert found.profile.changes.leave_out == ("{} vrk",)
    assert found.profile.changes.add == ("{} zup",)
    item = read_print(bytes_of("Ticket 9", "1 Slate Roof", f"   {inside[1]} vrk"), found.profile)
    assert item.items[0].changes == ({"leave_out": inside[1]},)


@pytest.mark.parametrize(
    ("mark", "kind"),
    [
        ("* MITÄTÖITY *", PrintKind.VOID),
        ("Remove from order", PrintKind.VOID),
        ("This order is cancelled", PrintKind.VOID),
        ("This is a copy, do not make it", PrintKind.REPRINT),
        ("REPRINT - DO NOT MAKE", PrintKind.REPRINT),
        ("DO NOT MAKE", PrintKind.VOID),
        ("This order was changed to:", PrintKind.CORRECTION),
        ("KOPIO", PrintKind.REPRINT),
        ("másolat", PrintKind.REPRINT),
        ("WEG DAMIT / STORNIERT", PrintKind.VOID),
        ("Changed since", PrintKind.CORRECTION),
        ("NOW READS", PrintKind.CORRECTION),
        ("düzeltme", PrintKind.CORRECTION),
    ],
)
def test_marks_of_more_tongues(mark: str, kind: PrintKind) -> None:
    assert read(mark, "2 Salt Ferry").kind is kind
