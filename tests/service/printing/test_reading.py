"""A print becomes a ticket: head, kind, and every line with its role."""

from __future__ import annotations

from datetime import time
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.printing.prints import PrintKind, Role, Sort
from service.printing.profile import (
    Channels,
    Head,
    Items,
    Marks,
    Paper,
    Place,
    Profile,
    QuantityAt,
    Sections,
)
from service.printing.reading import read_print
from solver.tickets import Channel

from .tickets import CUT, HEAD, bytes_of, only, profile, read, roles


def test_a_ticket() -> None:
    found = read("2 Salt Ferry", "1 x Long Meadow", "   no soda", "3x pint of stout")
    assert found.kind is PrintKind.DRINKS
    assert (found.number, found.place, found.server) == ("214", "Table 12", "Ana")
    assert found.channel is Channel.FLOOR
    assert found.printed is not None
    assert (found.printed.at, found.printed.day) == (time(21, 4), None)
    assert [(item.quantity, item.name) for item in found.items] == [
        *((2, "Salt Ferry"), (1, "Long Meadow")),
        (3, "pint of stout"),
    ]
    assert found.items[1].changes == ({"leave_out": "soda"},)
    assert found.items[1].rows == (4, 5)
    assert found.is_sure
    assert [line.role for line in found.lines] == [
        *(Role.HEAD, Role.HEAD, Role.RULE, Role.ITEM, Role.ITEM, Role.CHANGE, Role.ITEM),
    ]


@pytest.mark.parametrize(
    ("line", "fact", "value"),
    [
        ("ORDER: 0107", "number", "0107"),
        ("Check #3-107", "number", "3-107"),
        ("#88", "number", "88"),
        ("Bon-Nr.: 160", "number", "160"),
        ("Commande n° 2201", "number", "2201"),
        ("TABLE: 9 (4 pers.)", "place", "TABLE: 9"),
        ("TBL 17 / MO / TILL 3", "place", "TBL 17"),
        ("Bar seat: 8     Till 2", "place", "Bar seat: 8"),
        ("Tisch 4       Bedienung: Jürgen", "server", "Jürgen"),
        ("Table 4 Server Mary Ann Till 2", "server", "Mary Ann"),
        ("Kasse 2", "till", "2"),
        ("PRINTED 18:06 ON TILL 1", "till", "1"),
        ("Taken by Ana   12 Feb 2027, 18:29", "server", "Ana"),
    ],
)
def test_facts_by_their_labels(line: str, fact: str, value: str) -> None:
    till = profile(head=Head(lines=("{place} / {server} / TILL {till}",)))
    found = read_print(bytes_of(line, "1 Salt Ferry"), till)
    assert getattr(found, fact) == value
    assert found.is_sure, found.doubts


def test_a_line_without_labels_as_the_profile_says() -> None:
    till = profile(head=Head(lines=("{place} {number} {time} {server}",)))
    found = read_print(bytes_of("T2 157 18:44 Siân", "1 Salt Ferry"), till)
    assert (found.place, found.number, found.server) == ("T2", "157", "Siân")
    assert found.printed is not None
    assert found.printed.at == time(18, 44)


def test_patterns_reach_where_words_do_not() -> None:
    head = Head(
        number=Place(patterns=(r"\*(?P<value>\d+)\* .*",)), till=Place(always="front"), lines=()
    )
    till = profile(head=head, items=Items(patterns=(r"\[(?P<quantity>\d{1,2})\] (?P<name>.+)",)))
    found = read_print(bytes_of("*214* somewhere", "[2] Salt Ferry"), till)
    assert (found.number, found.till) == ("214", "front")
    assert (only(found).quantity, only(found).name) == (2, "Salt Ferry")


def test_what_the_head_does_not_explain_is_marked() -> None:
    found = read_print(bytes_of("Ticket 4    Zebra", "Zebra crossing", "1 Salt Ferry"), profile())
    assert [doubt for doubt in found.doubts if "'Zebra'" in doubt]
    assert [doubt for doubt in found.doubts if "'Zebra crossing'" in doubt]
    assert found.lines[1].role is Role.UNREAD


def test_what_is_said_of_a_line_names_no_guest() -> None:
    found = read("1 Salt Ferry", "Guest: Ana Bell", "mail ana@saltmarch.example")
    assert len(found.doubts) == 2
    said = " ".join((*found.doubts, *found.preview))
    assert "Bell" not in said
    assert "saltmarch" not in said


def test_two_numbers_on_one_print_are_marked() -> None:
    assert "two numbers: 214 and 215" in read("1 Salt Ferry", "Ticket 215").doubts


@pytest.mark.parametrize(
    ("place", "channel"),
    [("Bar 3", Channel.BAR_TOP), ("Table 9", Channel.FLOOR), ("Booth 2", Channel.FLOOR)],
)
def test_channels_by_place(place: str, channel: Channel) -> None:
    assert read_print(bytes_of(place, "1 Salt Ferry"), profile()).channel is channel


def test_channels_as_the_profile_says() -> None:
    channels = Channels(bar_top=("room 1*",), otherwise=Channel.FLOOR)
    for place, channel in (("Room 12", Channel.BAR_TOP), ("Room 4", Channel.FLOOR)):
        found = read_print(bytes_of(place, "1 Salt Ferry"), profile(channels=channels))
        assert found.channel is channel


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("*** VOID ***", PrintKind.VOID),
        ("VOIDED ORDER", PrintKind.VOID),
        ("== STORNO ==", PrintKind.VOID),
        ("REPRINT", PrintKind.REPRINT),
        ("COPY - NOT A NEW ORDER", PrintKind.REPRINT),
        ("* Duplicate ticket *", PrintKind.REPRINT),
        ("CORRECTION", PrintKind.CORRECTION),
        ("---- CHANGED ORDER ----", PrintKind.CORRECTION),
    ],
)
def test_marks_of_a_whole_print(line: str, kind: PrintKind) -> None:
    found = read_print(bytes_of(line, *HEAD, "1 Salt Ferry"), profile())
    assert (found.kind, found.is_sure, found.number) == (kind, True, "214")
    assert found.lines[0].role is Role.MARK


@pytest.mark.parametrize("name", ["Void of Reason", "Carbon Copy", "The Duplicate", "Copy Cat"])
def test_a_drink_may_be_called_like_a_mark(name: str) -> None:
    found = read(f"1 {name}")
    assert (found.kind, only(found).name) == (PrintKind.DRINKS, name)


def test_a_word_that_means_something_else_here() -> None:
    till = profile(not_here=("copy",), items=Items(quantity=QuantityAt.NOWHERE))
    assert only(read("COPY", till=till)).name == "COPY"


@pytest.mark.parametrize(
    ("lines", "kind"),
    [
        (("PRINTER TEST", "1 line", "2 lines"), PrintKind.TEST),
        (("SHIFT REPORT", "12 Salt Ferry   114.00"), PrintKind.REPORT),
        (("END OF DAY", "Table 4   12"), PrintKind.REPORT),
        (("CARD SALE", "**** **** **** 2216", "AMOUNT  60.41"), PrintKind.CARD_SLIP),
        (("MERCHANT COPY", "Ticket 4"), PrintKind.CARD_SLIP),
        ((), PrintKind.EMPTY),
        (("hello",), PrintKind.UNKNOWN),
    ],
)
def test_what_is_no_ticket(lines: tuple[str, ...], kind: PrintKind) -> None:
    found = read_print(bytes_of(*lines), profile())
    assert (found.kind, found.items) == (kind, ())


def test_a_customer_copy_below_drinks_is_the_drinks_all_the_same() -> None:
    found = read("1 Salt Ferry", "TOTAL   9.50", "CUSTOMER COPY", "**** **** **** 2216")
    assert (found.kind, only(found).name) == (PrintKind.DRINKS, "Salt Ferry")
    assert roles(found) == [Role.ITEM, Role.MONEY, Role.CARD, Role.CARD]


def test_a_pulse_and_a_picture() -> None:
    assert read_print(b"\x1bp\x00\x19\xfa", profile()).kind is PrintKind.DRAWER
    picture = b"\x1dv0\x00\x02\x00\x03\x00abcdef" + CUT
    found = read_print(picture, profile())
    assert (found.kind, found.pictures, found.drinks) == (PrintKind.PICTURE, 1, ())


def test_food_by_heading_sign_and_name() -> None:
    sections = Sections(food=("from the pass",))
    items = Items(food_signs=("F",), food=("olives",))
    till = profile(sections=sections, items=items)
    found = read("1 Olives", "1 Salt Ferry", "F 2 Chips", "FROM THE PASS", "3 Pie", till=till)
    assert [item.sort for item in found.items] == [Sort.FOOD, Sort.DRINK, Sort.FOOD, Sort.FOOD]
    assert [item.name for item in found.drinks] == ["Salt Ferry"]
    alone = read("KITCHEN", "3 Pie", "   no peas", till=till)
    assert alone.kind is PrintKind.NO_DRINKS


def test_guests_have_their_seats() -> None:
    till = profile(head=Head(seat=Place(labels=("guest", "seat"))))
    found = read("Guest 1", "1 Salt Ferry", "Seat 2", "1 Long Meadow", till=till)
    assert [item.seat for item in found.items] == ["1", "2"]
    assert (found.place, found.is_sure) == ("Table 12", True)


def test_money_is_no_drink() -> None:
    lines = ("2 Salt Ferry      19.00", "Happy hour        -2.00", "TOTAL             17.00")
    found = read(*lines, "VAT 20%  2.83", "CARD   17.00", "2 Discount   -4.00")
    assert (only(found).quantity, only(found).name) == (2, "Salt Ferry")
    assert roles(found)[1:5] == [Role.MONEY] * 4


def test_settings_of_an_earlier_print_may_be_said() -> None:
    data = b"1 caf\xe9\n"
    assert only(read_print(data, profile(), begins_with=b"\x1bt\x10")).name == "café"


def test_a_correction_says_whether_it_is_the_whole_ticket() -> None:
    lines = ("CORRECTION", *HEAD, "1 Salt Ferry")
    assert read_print(bytes_of(*lines), profile()).correction_replaces
    marks = Marks(correction_replaces=False)
    assert not read_print(bytes_of(*lines), profile(marks=marks)).correction_replaces


@pytest.mark.parametrize(
    "under",
    ["   no salt, no salt, no salt,", "   word word word word word", "   sub a for b for c"],
)
def test_many_full_lines_under_a_drink_take_time_by_their_number(under: str) -> None:
    def seconds(count: int) -> float:
        found = []
        data = bytes_of("1 Salt Ferry", *([under] * count))
        for _ in range(3):
            began = process_time()
            read_print(data, profile())
            found.append(process_time() - began)
        return min(found)

    # Eight times the lines; one text that grows by every line would take 64 times as long.
    assert seconds(800) < 24 * seconds(100) + 0.1


LIKE_LABELS = (
    *("Course Correction", "Page Boy", "People of the Marsh", "Uninvited Guests", "Night Cover"),
    *("Bar Lemonade", "Table Talk", "Host's Choice", "Service Bell", "Cash Flow", "Thanks a Lot"),
    *("Item of Clothing", "Till Tomorrow", "Tax Haven", "Change of Heart", "Order of Chaos"),
)


@pytest.mark.parametrize("name", LIKE_LABELS)
@pytest.mark.parametrize(
    ("quantity", "form"),
    [
        (QuantityAt.NOWHERE, "{}"),
        (QuantityAt.NOWHERE, "{}          9.50"),
        (QuantityAt.BEFORE, "1 {}"),
        (QuantityAt.BEFORE, "1 {}        9.50"),
        (QuantityAt.AFTER, "{} x1"),
        (QuantityAt.AFTER, "{}       1"),
    ],
)
def test_a_drink_may_be_called_like_a_label(name: str, quantity: QuantityAt, form: str) -> None:
    found = read("1 Salt Ferry x1", form.format(name), till=profile(items=Items(quantity=quantity)))
    assert found.items[-1].name == name


def test_what_may_be_the_head_or_a_drink_is_marked() -> None:
    till = profile(items=Items(quantity=QuantityAt.NOWHERE))
    found = read_print(bytes_of("Ticket 4", "Bar Lemonade", "Salt Ferry"), till)
    assert any("'Bar Lemonade' was taken for a line of the head" in one for one in found.doubts)


words = st.sampled_from(
    ["2 Salt Ferry", "Table", "VOID", "no salt", "12", "x", "ALLERGY", "\x1bE\x01", "  ", "TOTAL"]
)
line_of_words = st.lists(st.one_of(words, st.text(max_size=6)), max_size=6).map(" ".join)


@given(rows=st.lists(line_of_words, max_size=12), quantity=st.sampled_from(list(QuantityAt)))
@settings(max_examples=300, deadline=None)
def test_every_line_on_paper_has_a_role_and_every_item_its_lines(
    rows: list[str], quantity: QuantityAt
) -> None:
    data = "\n".join(rows).encode("cp858", errors="replace")
    till = Profile(name="till", paper=Paper(width=24), items=Items(quantity=quantity, columns=2))
    found = read_print(data, till)
    for place, item in enumerate(found.items):
        assert item.rows
        assert all(place in found.lines[row].items for row in item.rows)
        assert 1 <= item.quantity <= 60
    for line in found.lines:
        is_item = line.role in (Role.ITEM, Role.CHANGE, Role.GOES_ON)
        assert bool(line.items) or not is_item
        if line.role is Role.UNREAD:
            assert found.doubts


@given(data=st.binary(max_size=1500))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_read(data: bytes) -> None:
    began = process_time()
    read_print(data, profile())
    assert process_time() - began < 0.5
