"""Three sample prints teach a profile: what varies, what stays, what the menu knows."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from service.files import SAMPLES, read_bar
from service.files.on_disk import read_profile
from service.printing.learning import Proposal, learn, profile_text
from service.printing.prints import PrintKind, Sort
from service.printing.profile import Ends, QuantityAt
from service.printing.reading import read_print
from solver.errors import BadValue
from solver.menu import Menu

from .tickets import bytes_of

RULE = "-" * 40


@pytest.fixture(scope="module")
def menu() -> Menu:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu


def taught(menu: Menu | None, *tickets: Sequence[str]) -> Proposal:
    return learn([bytes_of(*rows) for rows in tickets], name="till", menu=menu)


USUAL = tuple(
    ("OUR HOUSE", f"Ticket {number}   {place}", f"{server}   {at}", RULE, *items)
    for number, place, server, at, *items in (
        (101, "Table 4", "Ana", "18:04", "2 Salt Ferry", "   no salt", "Covers 2"),
        (102, "Table 11", "Mo", "18:09", "1 Long Meadow", "Covers 14"),
        (107, "Bar 3", "Siân", "18:11", "6 Slate Roof", "Covers 3"),
    )
)


def test_the_same_samples_teach_the_same(menu: Menu) -> None:
    assert profile_text(taught(menu, *USUAL)) == profile_text(taught(menu, *USUAL))


def test_what_stays_is_the_houses_and_what_varies_without_a_label_is_named(menu: Menu) -> None:
    found = taught(menu, *USUAL)
    assert found.profile.house == ("our house",)
    assert found.profile.head.lines == ("{server} {time}",)
    assert found.profile.paper.width == len(RULE)
    assert found.profile.paper.ends == (Ends.CUT,)
    assert [read.server for read in found.prints] == ["Ana", "Mo", "Siân"]
    assert any("'{server} {time}'" in one for one in found.unsure)
    assert all(read.is_sure for read in found.prints)


def test_a_learned_profile_is_a_file_that_can_be_read(menu: Menu, tmp_path: Path) -> None:
    found = taught(menu, *USUAL)
    path = tmp_path / "till.yaml"
    path.write_text(profile_text(found), encoding="utf-8")
    again = read_profile(path)
    assert again == found.profile
    read = read_print(bytes_of("OUR HOUSE", "Ticket 9   Bar 1", "Jo 23:58", "1 Cloudless"), again)
    assert (read.number, read.server, read.is_sure) == ("9", "Jo", True)


def test_the_side_of_the_quantity(menu: Menu) -> None:
    rows = [(f"Ticket {n}", "Table 4", f"Salt Ferry x{n}", "Slate Roof x1") for n in (1, 2, 3)]
    assert taught(menu, *rows).profile.items.quantity is QuantityAt.AFTER
    rows = [(f"Ticket {n}", "Table 4", f"{n} Salt Ferry", "1 Slate Roof") for n in (1, 2, 3)]
    assert taught(menu, *rows).profile.items.quantity is QuantityAt.BEFORE


def test_a_sign_before_an_ingredient_is_learned_by_what_is_in_the_drink(menu: Menu) -> None:
    rows = (
        ("Ticket 1", "2 Salt Ferry", "   - sugar syrup", "   >> soda"),
        ("Ticket 2", "1 Long Meadow", "   - honey syrup"),
        ("Ticket 3", "1 Slate Roof"),
    )
    found = taught(menu, *rows)
    assert found.profile.changes.leave_out == ("-",)
    assert found.profile.changes.add == (">>",)
    assert found.prints[0].items[0].changes == (
        {"leave_out": "sugar syrup"},
        {"add": {"ingredient": "soda"}},
    )
    without = taught(None, *rows)
    assert without.profile.changes.leave_out == ()
    assert any("'-' stands before words" in one for one in without.unsure)


def test_a_word_that_may_mean_anything_stays_one(menu: Menu) -> None:
    rows = [(f"Ticket {n}", "2 Salt Ferry", "   extra soda", "   + soda") for n in (1, 2, 3)]
    found = taught(menu, *rows)
    assert found.profile.changes.add == ()
    assert found.prints[0].items[0].changes == ({"add": {"ingredient": "soda"}},) * 2
    (item,) = read_print(bytes_of("1 Salt Ferry", "   extra cold"), found.profile).items
    assert (item.changes, item.note) == ((), "extra cold")


def test_a_swap_in_other_words(menu: Menu) -> None:
    rows = [(f"Ticket {n}", "2 Salt Ferry", "   mezcal, never tequila") for n in (1, 2, 3)]
    found = taught(menu, *rows)
    assert found.profile.changes.swap == ("{put_in}, never {take_out}",)
    assert found.prints[0].items[0].changes == (
        {"swap": {"take_out": "tequila", "put_in": "mezcal"}},
    )


def test_headings_by_what_stands_under_them(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}", "Table 4", "FROM US", "2 Salt Ferry", "FROM THE STOVE", "1 Pie", "1 Chips")
        for n in (1, 2, 3)
    ]
    found = taught(menu, *rows)
    assert found.profile.sections.drinks == ("from us",)
    assert found.profile.sections.food == ("from the stove",)
    assert [item.sort for item in found.prints[0].items] == [Sort.DRINK, Sort.FOOD, Sort.FOOD]


def test_guests_signs_and_columns(menu: Menu) -> None:
    rows = [
        (f"Ticket {n}", "Table 4", "Guest 1", "2 Salt Ferry", "Guest 2", "F 1 Pie", "1 Slate Roof")
        for n in (1, 2, 3)
    ]
    found = taught(menu, *rows).profile
    assert (found.head.seat.labels, found.items.food_signs) == (("guest",), ("F",))
    two = [(f"Ticket {n}", "2 Salt Ferry        1 Slate Roof") for n in (1, 2, 3)]
    assert (taught(menu, *two).profile.items.columns, found.items.columns) == (2, 1)


@pytest.mark.parametrize("codec", ["cp1252", "utf-8", "cp858"])
def test_a_till_that_names_no_code_page(menu: Menu, codec: str) -> None:
    names = ("Siân", "Renée", "Jürgen")
    data = [f"Ticket {n}\nServer: {name}\n1 Salt Ferry\n\x0c" for n, name in enumerate(names, 1)]
    found = learn([row.encode(codec) for row in data], name="till", menu=menu)
    assert [read.server for read in found.prints] == list(names)
    assert found.profile.paper.ends == (Ends.FEED,)
    assert any("names no code page" in one for one in found.unsure)


def test_a_number_alone_and_what_may_be_a_heading(menu: Menu) -> None:
    rows = [
        (str(n), "TABLE: 9 (4 pers.)", name, "1 Salt Ferry", "SENT 21:04")
        for n, name in ((214, "ANA"), (215, "MO"), (219, "PIA"))
    ]
    found = taught(menu, *rows)
    assert [(read.number, read.place) for read in found.prints] == [
        *(("214", "TABLE: 9"), ("215", "TABLE: 9")),
        ("219", "TABLE: 9"),
    ]
    assert not any(read.server for read in found.prints)
    assert any("no sample shows a server" in one for one in found.unsure)
    assert any("'ANA" in one for one in found.unsure)
    rows = [(*head[:2], f"{head[2]}   12-feb   7:02PM", *head[3:]) for head in rows]
    assert [read.server for read in taught(menu, *rows).prints] == ["ANA", "MO", "PIA"]


def test_a_code_page_of_a_number_that_only_this_printer_has(menu: Menu) -> None:
    rows = [
        b"\x1bt\xc8"
        + f"Ticket {n}\nTable {n}\nServer: {name}\n1 Salt Ferry\n".encode("cp1252")
        + b"\x1dV\x00"
        for n, name in enumerate(("Siân", "Renée", "Jürgen"), 1)
    ]
    found = learn(rows, name="till", menu=menu)
    assert found.profile.paper.code_pages == {200: "cp1252"}
    assert [read.server for read in found.prints] == ["Siân", "Renée", "Jürgen"]
    assert all(read.is_sure for read in found.prints)
    assert any("code page 200" in one for one in found.unsure)


def test_labels_that_no_common_word_is(menu: Menu) -> None:
    rows = [
        (f"Zettel {n}00   Nische {n}", f"Feuer {n}", RULE, f"{n} Salt Ferry", RULE, f"{n} Teller")
        for n in (1, 2, 3)
    ]
    found = taught(menu, *rows)
    head = found.profile.head
    assert (head.number.labels, head.place.labels) == (("zettel",), ("nische",))
    assert head.other.labels == ("feuer",)
    assert [read.place for read in found.prints] == ["Nische 1", "Nische 2", "Nische 3"]
    assert found.profile.house == ("# teller",)
    assert all(read.is_sure for read in found.prints)
    assert sum("in the head" in one for one in found.unsure) == 3


@pytest.mark.parametrize(
    "form",
    ["{name} .......... {n}", "[{n}] {name}", "({n}) {name}", "{n} @ 9.50  {name}   28.50"],
)
def test_dots_brackets_and_prices_of_one(menu: Menu, form: str) -> None:
    rows = [(f"Ticket {n}", form.format(n=n, name="Salt Ferry")) for n in (1, 2, 3)]
    found = taught(menu, *rows)
    items = [(item.quantity, item.name) for read in found.prints for item in read.items]
    assert items == [(1, "Salt Ferry"), (2, "Salt Ferry"), (3, "Salt Ferry")]


def test_every_glass_on_a_line_of_its_own(menu: Menu) -> None:
    glasses = ("Salt Ferry", "Salt Ferry", "  no salt", "Slate Roof")
    found = taught(menu, *((f"Ticket {n}", f"Table {n}", *glasses) for n in (1, 2, 3)))
    assert found.profile.items.quantity is QuantityAt.NOWHERE
    assert [item.quantity for item in found.prints[0].items] == [1, 1, 1]
    assert all(read.is_sure for read in found.prints)


def test_food_that_nothing_tells_apart(menu: Menu) -> None:
    rows = [(f"Ticket {n}", "1 Salt Ferry", "2 Buttered toast") for n in (1, 2, 3)]
    found = taught(menu, *rows)
    assert found.profile.items.food == ("buttered toast",)
    assert [item.sort for item in found.prints[0].items] == [Sort.DRINK, Sort.FOOD]
    assert any("taken for food: buttered toast" in one for one in found.unsure)


def test_headings_that_spaces_centre(menu: Menu) -> None:
    ours, theirs = " " * 14 + "From the bar", " " * 12 + "From the kitchen"
    rows = [(f"Ticket {n}", RULE, ours, "2 Salt Ferry", theirs, "1 Pie") for n in (1, 2, 3)]
    found = taught(menu, *rows)
    assert [item.sort for item in found.prints[0].items] == [Sort.DRINK, Sort.FOOD]


def test_the_order_of_day_and_month(menu: Menu) -> None:
    def first(*days: str) -> bool:
        rows = [(f"Ticket {n}", day, "1 Salt Ferry") for n, day in enumerate(days, 1)]
        return taught(menu, *rows).profile.head.day_first

    assert first("03/04/2027 18:04", "03/04/2027 18:05", "13/04/2027 18:06")
    assert not first("03/04/2027 18:04", "03/04/2027 18:05", "03/13/2027 18:06")
    assert not first(*["03/04/2027 6:04 PM"] * 3)


def test_one_file_may_hold_many_prints(menu: Menu) -> None:
    found = learn([b"".join(bytes_of(*rows) for rows in USUAL)], name="till", menu=menu)
    assert found.profile == taught(menu, *USUAL).profile


def test_too_few_and_pictures(menu: Menu) -> None:
    with pytest.raises(BadValue, match="3 prints or more with text on them"):
        learn([bytes_of("Ticket 1", "1 Salt Ferry")], name="till", menu=menu)
    picture = b"\x1dv0\x00\x01\x00\x01\x00a\x1dVA\x00"
    with pytest.raises(BadValue) as error:
        learn([picture] * 3, name="till", menu=menu)
    assert "set the till to print text" in error.value.hint


@pytest.mark.parametrize("data", [b"", b"\x1b", b"\x00" * 50, bytes(range(256)) * 3, b"1 a\n" * 9])
def test_any_three_files_teach_or_say_why_not(data: bytes, menu: Menu) -> None:
    try:
        found = learn([data] * 3, name="till", menu=menu)
    except BadValue as error:
        said = error.hint
    else:
        said = profile_text(found)
    assert said


def test_the_samples_of_the_house(menu: Menu) -> None:
    folder = SAMPLES / "prints"
    files = [(folder / f"ticket-{place}.bin").read_bytes() for place in (1, 2, 3)]
    found = learn(files, name="saltmarch", menu=menu)
    assert profile_text(found) == (folder / "saltmarch.yaml").read_text(encoding="utf-8")
    kinds = {
        "void": PrintKind.VOID,
        "reprint": PrintKind.REPRINT,
        "correction": PrintKind.CORRECTION,
        "food-alone": PrintKind.NO_DRINKS,
        "test-print": PrintKind.TEST,
        "shift-report": PrintKind.REPORT,
        "card-slip": PrintKind.CARD_SLIP,
        "picture": PrintKind.PICTURE,
    }
    for name, kind in kinds.items():
        read = read_print((folder / f"{name}.bin").read_bytes(), found.profile)
        assert (name, read.kind, read.is_sure) == (name, kind, True)


def test_codes_before_names_are_learned(menu: Menu) -> None:
    rows = [("0107  Salt Ferry   2", "0115  Windlass   1"), ("0121  Long Meadow   1",)] * 2
    tickets = [
        (f"Ticket {n}", "Table 4", f"18:0{n}", RULE, *items) for n, items in enumerate(rows, 1)
    ]
    found = taught(menu, *tickets)
    assert found.profile.items.codes
    assert "a number before every name is taken for the till's own, and passed over" in found.unsure
    assert {item.name for read in found.prints for item in read.items} == {
        *("Salt Ferry", "Windlass", "Long Meadow"),
    }


def test_a_place_between_signs_has_another_word_on_other_tickets(menu: Menu) -> None:
    tickets = [
        (f"Ticket {n}", f">>> {place} <<<", f"18:0{n}", RULE, "2 Salt Ferry")
        for n, place in ((1, "Bar 4"), (2, "Bar 11"), (3, "Table 2"))
    ]
    found = taught(menu, *tickets)
    read = read_print(
        bytes_of("Ticket 9", ">>> Alcove 21 <<<", "18:09", RULE, "1 Windlass"), found.profile
    )
    assert (read.place, read.is_sure) == ("Alcove 21", True)


def test_the_only_line_that_nobody_knows_is_the_place_and_that_is_said(menu: Menu) -> None:
    found = taught(menu, *USUAL)
    read = read_print(
        bytes_of("OUR HOUSE", "Ticket 109", "Alcove 21", "18:20", RULE, "1 Windlass"),
        found.profile,
    )
    assert (read.place, read.doubts) == ("Alcove 21", ("'Alcove 21' was taken for the place",))


def test_a_label_may_hold_a_word_that_is_another_label(menu: Menu) -> None:
    tickets = [
        (f"Ticket {n}", f"Guest at : {place}", f"18:0{n}", RULE, "2 Salt Ferry")
        for n, place in ((1, "Bar 4"), (2, "Room 211"), (3, "Room 202"))
    ]
    assert [read.place for read in taught(menu, *tickets).prints] == [
        "Bar 4",
        "Room 211",
        "Room 202",
    ]


def test_dishes_among_drinks_are_asked_about(menu: Menu) -> None:
    found = taught(menu, *((*rows, "1 Fish & chips") for rows in USUAL))
    assert found.profile.sections.otherwise == "unsure"
    assert any("otherwise: food under sections" in one for one in found.unsure)
