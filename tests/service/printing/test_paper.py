"""What stands on the paper: lines, columns, accents, looks, and what is beside text."""

from __future__ import annotations

import gc
from importlib import import_module
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.printing.paper import MOST_LINES, read_paper
from service.printing.profile import WIDEST, Paper

PAPER = Paper()
# Not ours, and without types.
Dummy = import_module("escpos.printer").Dummy


def texts(data: bytes, paper: Paper = PAPER) -> list[str]:
    return [line.text for line in read_paper(data, paper).lines]


@pytest.mark.parametrize(
    ("page", "number", "text"),
    [
        ("CP437", 0, "Café £5"),
        ("CP850", 2, "Iñes, Björn"),
        ("CP858", 19, "4,80 € für Zoë"),
        ("CP1252", 16, "Crème brûlée – 5 €"),
        ("ISO_8859-15", 40, "Œuf 3 €"),
        ("CP852", 18, "Żubrówka"),
        ("CP866", 17, "водка"),
    ],
)
def test_code_pages_of_another_writer(page: str, number: int, text: str) -> None:
    printer = Dummy()
    printer.charcode(page)
    printer.text(text + "\n")
    assert bytes((0x1B, 0x74, number)) in printer.output
    (line, *_) = read_paper(printer.output, PAPER).lines
    assert (line.text, line.doubt) == (text, "")


def test_looks_of_another_writer() -> None:
    printer = Dummy()
    printer.set(align="center", bold=True, custom_size=True, width=2, height=2)
    printer.text("BAR\n")
    printer.set(align="left", bold=False, normal_textsize=True)
    printer.text("2 Salt Ferry\n")
    head, item, *_ = read_paper(printer.output, PAPER).lines
    assert (head.text, head.is_bold, head.is_large, head.is_centred, head.columns) == (
        *("BAR", True, True, True),
        6,
    )
    assert (item.text, item.is_bold, item.is_large, item.is_centred) == (
        *("2 Salt Ferry", False, False),
        False,
    )


def test_what_another_writer_prints_beside_text() -> None:
    printer = Dummy()
    printer.text("before\n")
    printer.barcode("012345678905", "UPC-A", check=False)
    printer.qr("our menu", native=True)
    printer.cashdraw(2)
    printer.text("after\n")
    printer.cut()
    sheet = read_paper(printer.output, PAPER)
    assert [line.text for line in sheet.lines if line.text] == [
        *("before", "[barcode]", "[square code]"),
        "after",
    ]
    assert (sheet.drawer_pulses, sheet.doubts) == (1, ())


@pytest.mark.parametrize("impl", ["bitImageRaster", "graphics", "bitImageColumn"])
def test_a_picture_is_one_whatever_way_it_is_sent(impl: str) -> None:
    from PIL import Image  # noqa: PLC0415 (comes with the other writer)

    printer = Dummy()
    printer.text("before\n")
    printer.image(Image.new("1", (240, 100)), impl=impl)
    printer.text("after\n")
    sheet = read_paper(printer.output, PAPER)
    assert sheet.pictures == 1
    inked = [line.text for line in sheet.lines if line.text]
    assert (inked[0], inked[-1], len(inked)) == ("before", "after", 3)
    assert inked[1].startswith("[picture")
    assert sheet.doubts == ()


def test_line_ends() -> None:
    assert texts(b"a\r\nb\n\rc\n\nd\x1bd\x02e") == ["a", "b", "c", "", "d", "", "e"]


def test_the_same_text_over_itself_is_one_line_and_other_text_another() -> None:
    assert texts(b"ALLERGY\rALLERGY\n") == ["ALLERGY"]
    assert texts(b"2 gin\r3 rum\n") == ["2 gin", "3 rum"]


def test_tabs_and_places_make_columns() -> None:
    assert texts(b"gin\t2\n") == ["gin     2"]
    assert texts(b"gin\x1b$\xe0\x01" + b"2\n") == ["gin" + " " * 37 + "2"]
    assert texts(b"a long name\x1b$\x18\x00" + b"2\n") == ["a long name  2"]


def test_national_characters() -> None:
    assert texts(b"\x1bR\x02{rger \x1bR\x00{\n") == ["ärger {"]


def test_a_code_page_that_nobody_knows_is_said_where_it_matters() -> None:
    first, second = read_paper(b"\x1bt\xc8plain\ncaf\x82\n", PAPER).lines
    assert first.doubt == ""
    assert "code page 200" in second.doubt
    (line,) = read_paper(b"\x1bt\xc8caf\xe9\n", Paper(code_pages={200: "cp1252"})).lines
    assert (line.text, line.doubt) == ("café", "")


def test_text_that_is_all_in_one_encoding() -> None:
    (line,) = read_paper("Crème brûlée\n".encode(), Paper(text="utf-8")).lines
    assert line.text == "Crème brûlée"


def test_an_unknown_command_marks_the_line_it_is_beside() -> None:
    sheet = read_paper(b"fine\n\x1b\xfegin\nfine too\n", PAPER)
    assert [bool(line.doubt) for line in sheet.lines] == [False, True, False]
    assert len(sheet.doubts) == 1


def test_a_line_without_an_end_is_broken_and_a_print_without_one_is_bounded() -> None:
    sheet = read_paper(b"x" * 1000, PAPER)
    assert "".join(line.text for line in sheet.lines) == "x" * 1000
    assert max(len(line.text) for line in sheet.lines) == WIDEST
    sheet = read_paper(b"a\n" * 5000, PAPER)
    assert len(sheet.lines) == MOST_LINES
    assert any("were not read" in doubt for doubt in sheet.doubts)


@pytest.mark.parametrize("piece", [b"\x1bE\x01a", b"a\t", b"\x1b\xffa", b"a\r", b"\x01a"])
def test_a_line_of_many_pieces_takes_time_by_its_length(piece: bytes) -> None:
    def seconds(count: int) -> float:
        found = []
        # What other tests have left in memory is not this one's time.
        gc.disable()
        for _ in range(3):
            began = process_time()
            read_paper(piece * count, PAPER)
            found.append(process_time() - began)
        gc.enable()
        return min(found)

    # Eight times the pieces; looking at all of them for each would take 64 times as long.
    assert seconds(16_000) < 24 * seconds(2_000) + 0.1


@given(data=st.binary(max_size=600), text=st.sampled_from(["by code page", "utf-8", "gb18030"]))
@settings(max_examples=200, deadline=None)
def test_any_bytes_become_lines_that_a_screen_can_show(data: bytes, text: str) -> None:
    sheet = read_paper(data, Paper(text=text))
    for line in sheet.lines:
        assert line.text.isprintable()
        assert line.text == line.text.rstrip()
        assert len(line.text) <= WIDEST
