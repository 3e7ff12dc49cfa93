"""Printer bytes to events: by length, in pieces of any size, with what is not known said."""

from __future__ import annotations

from itertools import pairwise
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.printing.commands import BY_LEAD
from service.printing.events import (
    Code,
    CodeKind,
    Cut,
    DrawerPulse,
    Event,
    FormFeed,
    LineEnd,
    Picture,
    Reset,
    StatusRequest,
    Style,
    Tab,
    Text,
    Unknown,
)
from service.printing.scanner import Scanner

# Lengths as the published command references give them, each command with sample parameters.
SILENT = (
    *(b"\x1b \x05", b"\x1b2", b"\x1b3\x1e", b"\x1b%\x01", b"\x1b?\x41", b"\x1bT\x01", b"\x1bU\x01"),
    *(b"\x1bV\x01", b"\x1br\x01", b"\x1b{\x01", b"\x1bW" + bytes(8), b"\x1bc5\x01", b"\x1b<"),
    *(b"\x1bD\x08\x10\x00", b"\x1b&\x03AB\x02abcdef\x01xyz", b"\x1b(A\x04\x000123", b"\x1bS"),
    *(b"\x1c&", b"\x1c.", b"\x1c!\x04", b"\x1c-\x01", b"\x1cC\x00", b"\x1cW\x01", b"\x1cS\x01\x02"),
    *(b"\x1c2\x77\x21" + b"d" * 72, b"\x1c?\x77\x21", b"\x1c(A\x02\x00ab"),
    b"\x1cq\x01\x01\x00\x01\x00" + b"d" * 8,
    b"\x1cg1\x00\x00\x00\x00\x00\x03\x00abc",
    *(b"\x1d$\x01\x02", b"\x1d\\\x01\x02", b"\x1dH\x02", b"\x1dh\x50", b"\x1dw\x02", b"\x1df\x00"),
    *(b"\x1dL\x10\x00", b"\x1dW\x00\x02", b"\x1dP\x00\x00", b"\x1d:", b"\x1d^\x01\x02\x00"),
    *(b"\x1db\x01", b"\x1dc", b"\x1dx\x01", b"\x1dz0\x05\x05", b"\x1dg0\x00\x14\x00"),
    *(b"\x1dC0\x03\x01", b"\x1dC1\x01\x00\x05\x00\x01\x01", b"\x1dC2\x01\x00", b"\x1dC;1;9;1;1;1;"),
    *(b"\x1d*\x01\x02" + b"d" * 16, b"\x1d(K\x02\x00\x32\x06", b"\x1d(N\x02\x0001"),
    *(b"\x1d(L\x02\x0004", b"\x1d(k\x04\x001A2\x00", b"\x1d(k\x05\x001P0ab"),
    *(b"\x10\x14\x02\x01\x08", b"\x10\x14\x08\x01\x03\x14\x01\x06\x02\x08"),
    *(b"\x10\x14\x03\x01\x02\x03\x04\x05", b"\x1b!\x00", b"\x1d!\x00", b"\x1bM\x00"),
    *(b"\x1bE\x00", b"\x1bG\x00", b"\x1b-\x00", b"\x1ba\x00", b"\x1bR\x00", b"\x1dB\x00"),
)
SAYING: tuple[tuple[bytes, Event], ...] = (
    (b"\x1b@", Reset()),
    (b"\x1dV\x00", Cut()),
    (b"\x1dV1", Cut()),
    (b"\x1dVA\x10", Cut()),
    (b"\x1dVB\x00", Cut()),
    (b"\x1bi", Cut()),
    (b"\x1bm", Cut()),
    (b"\x0c", FormFeed()),
    (b"\x1bp\x00\x19\xfa", DrawerPulse()),
    (b"\x10\x14\x01\x00\x01", DrawerPulse()),
    (b"\x1bd\x05", LineEnd(count=5)),
    (b"\x1bJ\x40", LineEnd()),
    (b"\x1b$\x20\x01", Tab(dots=288)),
    (b"\x1b\\\x20\x01", Tab()),
    (b"\x10\x04\x01", StatusRequest(command=b"\x10\x04\x01", name="DLE EOT", asked=1)),
    (b"\x10\x04\x07\x01", StatusRequest(command=b"\x10\x04\x07\x01", name="DLE EOT", asked=7)),
    (b"\x10\x05\x01", StatusRequest(command=b"\x10\x05\x01", name="DLE ENQ", asked=1)),
    (b"\x1dr1", StatusRequest(command=b"\x1dr1", name="GS r", asked=49)),
    (b"\x1dI\x01", StatusRequest(command=b"\x1dI\x01", name="GS I", asked=1)),
    (b"\x1da\xff", StatusRequest(command=b"\x1da\xff", name="GS a", asked=255)),
    (b"\x1bv", StatusRequest(command=b"\x1bv", name="ESC v")),
    (b"\x1bu\x00", StatusRequest(command=b"\x1bu\x00", name="ESC u")),
    (b"\x1b*\x00\x03\x00abc", Picture(width=3, height=8, bytes=3)),
    (b"\x1b*\x21\x02\x00abcdef", Picture(width=2, height=24, bytes=6)),
    (b"\x1dv0\x00\x02\x00\x03\x00abcdef", Picture(width=16, height=3, bytes=6)),
    (b"\x1d8L\x0c\x00\x00\x000p0\x01\x011\x08\x00\x02\x00ab", Picture(width=8, height=2, bytes=2)),
    (b"\x1cp\x01\x00", Picture(is_stored=True)),
    (b"\x1d/\x00", Picture(is_stored=True)),
    (b"\x1dk\x04ABC\x00", Code(kind=CodeKind.BARCODE, bytes=3)),
    (b"\x1dkI\x04{BAB", Code(kind=CodeKind.BARCODE, bytes=4)),
    (b"\x1d(k\x03\x001Q0", Code(kind=CodeKind.SQUARE, bytes=3)),
)


def scan(*pieces: bytes) -> list[Event]:
    scanner = Scanner()
    return [event for piece in pieces for event in scanner.feed(piece)] + scanner.finish()


def joined(events: list[Event]) -> list[Event]:
    """Runs may come in several events where they came in several pieces."""
    found: list[Event] = []
    for event in events:
        last = found[-1] if found else None
        if isinstance(event, Text) and isinstance(last, Text) and last.style == event.style:
            found[-1] = Text(raw=last.raw + event.raw, style=event.style)
        elif isinstance(event, Unknown) and isinstance(last, Unknown) and "passed" in event.why:
            found[-1] = Unknown(raw=(last.raw + event.raw)[:16], why=event.why)
        else:
            found.append(event)
    return found


@pytest.mark.parametrize("command", SILENT)
def test_what_only_sets_is_passed_by_its_length(command: bytes) -> None:
    assert scan(command + b"gin\n") == [Text(raw=b"gin"), LineEnd()]


@pytest.mark.parametrize(("command", "event"), SAYING)
def test_what_says_something_is_an_event_and_no_byte_more(command: bytes, event: Event) -> None:
    assert scan(command + b"gin") == [event, Text(raw=b"gin")]


@pytest.mark.parametrize(("command", "event"), SAYING)
def test_a_command_may_come_byte_by_byte(command: bytes, event: Event) -> None:
    pieces = [command[at : at + 1] for at in range(len(command))]
    assert scan(*pieces) == [event]


def test_a_cut_within_a_picture_is_a_part_of_the_picture() -> None:
    assert scan(b"\x1dv0\x00\x01\x00\x06\x00\x1dV\x00\x1dVA!") == [
        Picture(width=8, height=6, bytes=6),
        Text(raw=b"!"),
    ]


@pytest.mark.parametrize(
    ("settings_", "style"),
    [
        (b"\x1bE\x01", Style(bold=True)),
        (b"\x1b!\x38", Style(bold=True, width=2, height=2)),
        (b"\x1b!\x81", Style(underline=True, font=1)),
        (b"\x1d!\x12", Style(width=2, height=3)),
        (b"\x1ba\x01", Style(align=1)),
        (b"\x1ba1", Style(align=1)),
        (b"\x1bt\x10\x1bR\x02", Style(code_page=16, country=2)),
        (b"\x1dB\x01\x1b-\x02", Style(inverse=True, underline=True)),
    ],
)
def test_styles(settings_: bytes, style: Style) -> None:
    scanner = Scanner()
    assert scanner.feed(settings_ + b"gin") == [Text(raw=b"gin", style=style)]
    again = Scanner()
    again.feed(scanner.begins_with)
    assert again.style == style


def test_a_reset_takes_every_setting_back() -> None:
    scanner = Scanner()
    scanner.feed(b"\x1bE\x01\x1bt\x10\x1d!\x11\x1b@")
    assert scanner.style == Style()
    assert scanner.begins_with == b""


@pytest.mark.parametrize("lead", sorted(BY_LEAD))
def test_an_unknown_command_is_said_and_reading_goes_on(lead: int) -> None:
    code = next(byte for byte in range(0x80, 0x100) if byte not in BY_LEAD[lead])
    found = scan(bytes((lead, code)) + b"gin")
    assert isinstance(found[0], Unknown)
    assert "unknown length" in found[0].why
    assert found[1:] == [Text(raw=b"gin")]


def test_more_bytes_than_any_print_has_are_not_waited_for() -> None:
    said, *rest = scan(b"\x1d8L\xff\xff\xff\xff0pgin\x1dV\x00")
    assert isinstance(said, Unknown)
    assert f"{0xFFFFFFFF:,} bytes" in said.why
    assert rest == [Text(raw=b"0pgin"), Cut()]


def test_the_end_within_a_command_is_said_and_the_next_print_begins_anew() -> None:
    scanner = Scanner()
    assert scanner.feed(b"\x1dv0\x00\x02\x00\x03\x00ab") == []
    (said,) = scanner.finish()
    assert isinstance(said, Unknown)
    assert "4 bytes are missing" in said.why
    assert scanner.feed(b"gin") == [Text(raw=b"gin")]


def test_what_goes_to_a_customer_display_is_on_no_paper() -> None:
    assert scan(b"gin\x1b=\x02TOTAL 9.50\n\x1b=\x01\n") == [Text(raw=b"gin"), LineEnd()]


def test_in_page_mode_a_form_feed_prints_the_page() -> None:
    assert scan(b"\x1bLgin\x0c\x0c") == [Text(raw=b"gin"), LineEnd(), FormFeed()]


def pieces_of(data: bytes, cuts: list[int]) -> list[bytes]:
    places = sorted({0, len(data), *(cut % (len(data) + 1) for cut in cuts)})
    return [data[a:b] for a, b in pairwise(places)]


known = st.sampled_from([*SILENT, *(command for command, _ in SAYING)])
bytes_of_a_till = st.lists(
    st.one_of(known, st.binary(max_size=12), st.sampled_from([b"gin\n", b"\xe9t\xe9 ", b"\r\n"]))
).map(b"".join)


@given(data=bytes_of_a_till, cuts=st.lists(st.integers(0, 10_000), max_size=12))
@settings(max_examples=300, deadline=None)
def test_pieces_of_any_size_say_the_same(data: bytes, cuts: list[int]) -> None:
    assert joined(scan(*pieces_of(data, cuts))) == joined(scan(data))


@given(data=st.binary(max_size=400))
@settings(max_examples=300, deadline=None)
def test_any_bytes_are_read_without_a_fault(data: bytes) -> None:
    for event, at in Scanner().feed_at(data):
        assert 0 < at <= len(data)
        assert not isinstance(event, Text) or event.raw


@pytest.mark.parametrize(
    "noise", [b"\x1b", b"\x1d(", b"\x00", b"\x01", b"\x1b\xff", b"\n", b"\x1b&\xff\x00\xff", b"a\n"]
)
def test_time_grows_with_the_bytes_and_no_faster(noise: bytes) -> None:
    def seconds(size: int) -> float:
        scanner = Scanner()
        data = noise * (size // len(noise))
        began = process_time()
        for at in range(0, len(data), 4096):
            scanner.feed(data[at : at + 4096])
        return process_time() - began

    seconds(20_000)
    # Ten times the bytes; a scanner that looks back would take a hundred times as long.
    assert seconds(400_000) < 30 * seconds(40_000) + 0.1
