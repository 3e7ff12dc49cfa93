"""Heads as tills print them that nobody met before: once not read at first contact."""

from __future__ import annotations

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.files import SAMPLES, read_bar
from service.printing.heads import read_below, read_head
from service.printing.lexicon import lexicon_of
from service.printing.prints import Role
from service.printing.reading import read_print
from service.printing.times import find_time
from solver.menu import Menu

from .contact import NAMED, RULE, taught
from .tickets import bytes_of


@pytest.fixture(scope="module")
def menu() -> Menu:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu


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
