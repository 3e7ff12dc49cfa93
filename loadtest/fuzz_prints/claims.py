"""What has to hold of any bytes at all; each claim fails by `AssertionError`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from service.printing.events import Event, StatusRequest, Text, Unknown
from service.printing.paper import MOST_LINES, Sheet, read_paper
from service.printing.profile import WIDEST, Ends, Paper
from service.printing.scanner import MOST_SHOWN, Scanner
from service.printing.splitting import End, RawPrint, Splitter

PAPERS = (Paper(), Paper(ends=(Ends.FEED, Ends.CUT)), Paper(ends=(Ends.QUIET,), text="utf-8"))


def hold(data: bytes, parts: Sequence[bytes] = ()) -> None:
    """Hold every claim about bytes, which came in these parts.

    Raises
    ------
    AssertionError
        With what does not hold.
    """
    parts = parts or [data[at : at + 1] for at in range(len(data))]
    assert joined(events(parts)) == joined(events([data])), "pieces are read otherwise than a whole"
    for paper in PAPERS:
        whole = prints([data], paper)
        assert prints(parts, paper) == whole, "pieces end prints elsewhere than a whole"
        assert b"".join(one.data for one in whole) == data, "bytes are lost between prints"
        for one in whole:
            sheet = read_paper(one.begins_with + one.data, paper)
            check_sheet(sheet)


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
