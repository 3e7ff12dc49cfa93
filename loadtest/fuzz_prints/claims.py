"""What has to hold of any bytes at all; each claim fails by `AssertionError`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from service.printing.events import Event, StatusRequest, Text, Unknown
from service.printing.paper import MOST_LINES, Sheet, read_paper
from service.printing.prints import Print, PrintKind, Role
from service.printing.profile import WIDEST, Ends, Items, Paper, Profile, QuantityAt
from service.printing.reading import read_print
from service.printing.scanner import MOST_SHOWN, Scanner
from service.printing.splitting import End, RawPrint, Splitter

PROFILES = (
    Profile(name="usual"),
    Profile(
        name="after",
        paper=Paper(ends=(Ends.FEED, Ends.CUT)),
        items=Items(quantity=QuantityAt.AFTER, columns=2, column_at=24),
    ),
    Profile(
        name="bare",
        paper=Paper(ends=(Ends.QUIET,), text="utf-8", width=32),
        items=Items(quantity=QuantityAt.NOWHERE, bare_is_one=True),
    ),
)


def hold(data: bytes, parts: Sequence[bytes] = ()) -> None:
    """Hold every claim about bytes, which came in these parts.

    Raises
    ------
    AssertionError
        With what does not hold.
    """
    parts = parts or [data[at : at + 1] for at in range(len(data))]
    assert joined(events(parts)) == joined(events([data])), "pieces are read otherwise than a whole"
    for profile in PROFILES:
        whole = prints([data], profile.paper)
        assert prints(parts, profile.paper) == whole, "pieces end prints elsewhere than a whole"
        assert b"".join(one.data for one in whole) == data, "bytes are lost between prints"
        for one in whole:
            sheet = read_paper(one.begins_with + one.data, profile.paper)
            check_sheet(sheet)
            check_print(read_print(one.data, profile, begins_with=one.begins_with), sheet)


def events(parts: Iterable[bytes]) -> list[Event]:
    """Give the events of bytes that come in parts."""
    scanner = Scanner()
    found = [event for part in parts for event in scanner.feed(part)]
    return found + scanner.finish()


def joined(found: Iterable[Event]) -> list[Event]:
    """Give events with runs put together that came in several, as the scanner says they may."""
    made: list[Event] = []
    for event in found:
        last = made[-1] if made else None
        if isinstance(event, Text) and isinstance(last, Text) and event.style == last.style:
            made[-1] = Text(raw=last.raw + event.raw, style=event.style)
        elif isinstance(event, Unknown) and isinstance(last, Unknown) and event.why == last.why:
            made[-1] = Unknown(raw=(last.raw + event.raw)[:MOST_SHOWN], why=event.why)
        else:
            made.append(event)
    return made


def prints(parts: Iterable[bytes], paper: Paper) -> list[RawPrint]:
    """Give the prints of a connection that broke off behind these parts."""
    splitter = Splitter(paper)
    found = [one for part in parts for one in splitter.feed(part)]
    last = splitter.finish(End.BROKEN)
    return [one for one in found if not isinstance(one, StatusRequest)] + ([last] if last else [])


def check_sheet(sheet: Sheet) -> None:
    """Hold what is on paper to its bounds."""
    assert len(sheet.lines) <= MOST_LINES, "more lines than are read"
    for line in sheet.lines:
        assert len(line.text) <= WIDEST, "a line wider than any paper"
        assert "\n" not in line.text, "a line end within a line"
        assert line.text == line.text.rstrip(" "), "spaces at the end of a line"


def check_print(read: Print, sheet: Sheet) -> None:
    """Hold what was read to what is on paper: every line stays, and nothing goes unseen."""
    assert [line.text for line in read.lines] == [line.text for line in sheet.lines], "lines go"
    for line in read.lines:
        assert all(0 <= item < len(read.items) for item in line.items), "a line of no item"
        assert line.role is not Role.UNREAD or read.doubts, "a line that nobody is told of"
    for place, item in enumerate(read.items):
        assert item.quantity >= 1, "less than one of something"
        assert item.name.strip(), "an item without a name"
        assert item.rows, "an item that stands nowhere"
        assert all(place in read.lines[row].items for row in item.rows), "an item of other lines"
    if read.kind is PrintKind.UNKNOWN:
        assert read.doubts, "not understood, and nobody is told"
