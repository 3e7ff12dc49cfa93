"""What tills print that nobody met before: each of these was once not read at first contact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.drink_names import drink_named
from service.files import SAMPLES, read_bar
from service.naming import NO_ALIASES
from service.printing.changes import read_said
from service.printing.heads import read_below, read_head
from service.printing.items import amount_in, quantity_in
from service.printing.learning import Proposal, learn
from service.printing.lexicon import lexicon_of
from service.printing.prints import PrintKind, Role, Sort
from service.printing.profile import Changes, Head, Items, Profile, QuantityAt
from service.printing.reading import read_print
from service.printing.times import find_time
from solver.menu import Menu

from .tickets import bytes_of, only, read

RULE = "-" * 42
NAMED = Profile(
    name="till",
    items=Items(drinks=("Salt Ferry", "Slate Roof")),
    changes=Changes(ingredients=("lime juice", "dry gin", "tequila", "tonic", "soda", "egg white")),
)


@pytest.fixture(scope="module")
def menu() -> Menu:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu


def taught(menu: Menu, *tickets: Sequence[str]) -> Proposal:
    return learn([bytes_of(*rows) for rows in tickets], name="till", menu=menu)


# ---- The head -----------------------------------------------------------------------------------


def test_labels_may_stand_over_their_values() -> None:
    found = read_print(
        bytes_of(
            "CHIT        PLACE       GUESTS      CREW",
            "114         T20         6           Björn",
            "2 Salt Ferry",
        ),
        NAMED,
    )
    assert (found.number, found.place, found.server) == ("114", "T20", "Björn")
    assert [item.quantity for item in found.items] == [2]
    assert [line.role for line in found.lines[:2]] == [Role.HEAD, Role.HEAD]


def test_labels_over_something_else_are_no_labels_of_it() -> None:
    lexicon = lexicon_of(NAMED)
    assert read_below(lexicon, "TABLE     SERVER", "2 Salt Ferry") is None
    assert read_below(lexicon, "TABLE     SERVER", "") is None
    assert read_below(lexicon, "   TABLE", "   4") is None


@given(st.text(max_size=40), st.text(max_size=40))
def test_any_two_lines_may_be_asked_for_labels(text: str, below: str) -> None:
    found = read_below(lexicon_of(NAMED), text, below)
    assert found is None or found.facts


def test_a_word_for_a_time_before_it_makes_an_hour_with_a_point_one() -> None:
    head = read_head(lexicon_of(NAMED), "Tilaus 1160 klo 18.47")
    assert head is not None
    assert head.printed is not None
    assert (head.facts, head.printed.at, head.leftover) == ({"number": "1160"}, time(18, 47), "")
    price = read_head(lexicon_of(NAMED), "Tilaus 1160 of 18.47")
    assert price is None or price.printed is None


def test_a_day_with_a_space_behind_each_point() -> None:
    found, rest = find_time("12. 2. 2027 18:32 Mo", day_first=True)
    assert found is not None
    assert (found.day, found.at, rest.strip()) == (date(2027, 2, 12), time(18, 32), "Mo")
    assert find_time("1. 2 Salt Ferry 2027", day_first=True)[0] is None


def test_months_of_more_tongues() -> None:
    for text in ("7 dicembre 2027", "7 dic 2027", "7 desember 2027", "7 décembre 2027"):
        found, _ = find_time(text, day_first=True)
        assert found is not None
        assert found.day == date(2027, 12, 7), text


def test_a_place_whose_word_nobody_knows_is_told_by_its_line(menu: Menu) -> None:
    rows = [
        (f"{place}      NO.{n}", f"@18:0{n % 10} {server}", "2 Salt Ferry")
        for n, place, server in (
            (134, "STOOL 9", "Mo"),
            (135, "QUOIN 2", "Ana"),
            (138, "QUOIN 7", "Pia"),
        )
    ]
    found = taught(menu, *rows)
    assert [one.place for one in found.prints] == ["STOOL 9", "QUOIN 2", "QUOIN 7"]
    again = read_print(
        bytes_of("QUOIN 21      NO.0155", "@19:10 Tam", "1 Cloudless"), found.profile
    )
    assert (again.place, again.number, again.server) == ("QUOIN 21", "0155", "Tam")


def test_a_place_is_found_where_other_samples_have_theirs(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   18:0{n % 10}", f"For {place} (party of {n % 7})", "2 Salt Ferry")
        for n, place in ((134, "TABLE 9"), (135, "QUOIN 2"), (138, "TABLE 12"))
    ]
    found = taught(menu, *rows)
    assert [one.place for one in found.prints] == ["TABLE 9", "QUOIN 2", "TABLE 12"]
    assert all(one.is_sure for one in found.prints)


@pytest.mark.parametrize("label", ["Zonk     ", "Sunday at"])
def test_a_label_far_before_its_colon_or_like_a_drink_is_one(menu: Menu, label: str) -> None:
    rows = [
        (f"Ticket {n}   Table 4   18:0{n % 10}", f"{label}: {server}", "2 Salt Ferry")
        for n, server in ((134, "Mo"), (135, "Ana"), (138, "Pia"))
    ]
    found = taught(menu, *rows)
    assert [one.server for one in found.prints] == ["Mo", "Ana", "Pia"]


@pytest.mark.parametrize(
    ("line", "fact", "value"),
    [
        ("Commande/Bestelling 00107", "number", "00107"),
        ("Table/Tafel 7", "place", "Table/Tafel 7"),
        ("Serveur / Bediening: Mo", "server", "Mo"),
    ],
)
def test_a_label_in_two_tongues(line: str, fact: str, value: str) -> None:
    head = read_head(lexicon_of(NAMED), line)
    assert head is not None
    assert (head.facts, head.leftover) == ({fact: value}, "")


def test_a_word_before_a_time_is_no_half_of_the_day(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}   Table 4", f"12/02/2027 am 18:0{n % 10}", "2 Salt Ferry")
        for n in (134, 135, 138)
    ]
    found = taught(menu, *rows)
    assert found.profile.head.day_first
    assert found.prints[0].printed is not None
    assert found.prints[0].printed.day == date(2027, 2, 12)


def test_an_hour_with_a_point_behind_a_name_is_no_money(menu: Menu) -> None:
    rows = [
        (f"TAB NO {n}", "TABLE 4", f"STAFF {name} - 18.4{n % 10}", RULE, "2 Salt Ferry")
        for n, name in ((134, "Ana"), (135, "Mo"), (138, "Pia"))
    ]
    found = taught(menu, *rows)
    assert [one.server for one in found.prints] == ["Ana", "Mo", "Pia"]
    assert [one.printed.at for one in found.prints if one.printed] == [
        *(time(18, 44), time(18, 45)),
        time(18, 48),
    ]


def test_dishes_below_a_heading_are_no_labels_of_a_place(menu: Menu) -> None:
    rows = [
        (
            f"Ticket {n}   18:0{n % 10}",
            f"Crew : {name}, {spot}",
            "Drinks",
            "Salt Ferry ......... 2",
            "Food",
            f"Bread and butter ... {n % 3 + 1}",
        )
        for n, name, spot in ((134, "Ana", "S8"), (135, "Mo", "T2"), (138, "Pia", "S12"))
    ]
    found = taught(menu, *rows)
    assert [one.place for one in found.prints] == ["S8", "T2", "S12"]
    assert [one.server for one in found.prints] == ["Ana", "Mo", "Pia"]


def test_a_sentence_around_name_and_place(menu: Menu) -> None:
    rows = [
        (f"{name} took this order at {place}", f"Ticket {n}  18:0{n % 10}", RULE, "2 Salt Ferry")
        for n, name, place in (
            (134, "Ana", "Quoin 8"),
            (135, "Mo", "Ledge 2"),
            (138, "Pia", "Quoin 3"),
        )
    ]
    found = taught(menu, *rows)
    assert [(one.server, one.place) for one in found.prints] == [
        *(("Ana", "Quoin 8"), ("Mo", "Ledge 2")),
        ("Pia", "Quoin 3"),
    ]


def test_a_weekday_that_is_not_the_days_is_a_name() -> None:
    found, rest = find_time("Mo 12.02.2027 18:04", day_first=True)
    assert found is not None
    assert (found.day, rest.strip()) == (date(2027, 2, 12), "Mo")
    found, rest = find_time("Fr 12.02.2027 18:04", day_first=True)
    assert found is not None
    assert (found.day, rest.strip()) == (date(2027, 2, 12), "")


def test_strokes_around_a_ticket_are_a_frame(menu: Menu) -> None:
    def framed(*rows: str) -> list[str]:
        return [f"+{'-' * 40}+", *(f"| {row:<38} |" for row in rows), f"+{'-' * 40}+"]

    rows = [
        framed(
            f"Table 4   Ticket {n}   18:0{n % 10}",
            "From the spout",
            f"{'2 x Salt Ferry':<30}   19.00",
            "    no ice",
            f"{'1 x Cloudless':<30}    9.50",
        )
        for n in (134, 135, 138)
    ]
    found = taught(menu, *rows)
    assert found.profile.sections.drinks == ("from the spout",)
    assert [(item.quantity, item.name) for item in found.prints[0].items] == [
        (2, "Salt Ferry"),
        (1, "Cloudless"),
    ]
    assert found.prints[0].items[0].changes == ({"no_ice": True},)
    # What a person sees is what stands on the paper.
    assert found.prints[0].lines[1].text.startswith("| Table 4")


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
