"""What stands on the paper: a print's bytes as lines of text with their looks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from .codepages import COMMON, decoded
from .events import (
    PLAIN,
    Code,
    CodeKind,
    Cut,
    DrawerPulse,
    Event,
    FormFeed,
    LineEnd,
    Picture,
    StatusRequest,
    Style,
    Tab,
    Text,
    Unknown,
)
from .profile import WIDEST, Paper
from .scanner import Scanner

MOST_LINES = 1000
"""Lines of one print that are read; a longer one is kept whole as bytes, and said to be long."""
MOST_SAID = 5
TAB_STOP = 8
DOTS_A_COLUMN = 12
"""Dots of a character of the usual font; from the published references."""
_BAD = "\N{REPLACEMENT CHARACTER}"
_CODE_WORDS = {CodeKind.BARCODE: "[barcode]", CodeKind.SQUARE: "[square code]"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """One line on paper.

    Attributes
    ----------
    text : str
        Without spaces at its end.
    columns : int
        Places it takes: a wide character takes two or more.
    is_bold, is_large, is_centred : bool
        Whether most of its text is.
    is_code : bool
        A picture or a code, said in square brackets.
    doubt : str
        Why its text may be wrong, in words; empty where nothing speaks for it.
    """

    text: str
    columns: int = 0
    is_bold: bool = False
    is_large: bool = False
    is_centred: bool = False
    is_code: bool = False
    doubt: str = ""


_FRAMED = re.compile(r"([|!¦║│*#])(?!\1).*(?<!\1)\1")
FEWEST_FRAMED = 3
"""Lines between two strokes that make a frame."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """All that a print puts on paper.

    Attributes
    ----------
    lines : tuple of PaperLine
        Blank ones too.
    pictures, drawer_pulses, requests : int
        How many there are.
    doubts : tuple of str
        What was no text and no command we know, and what did not fit.
    """

    lines: tuple[PaperLine, ...]
    pictures: int = 0
    drawer_pulses: int = 0
    requests: int = 0
    doubts: tuple[str, ...] = ()

    @property
    def inked(self) -> Iterator[PaperLine]:
        """Lines with text on them."""
        return (line for line in self.lines if line.text and not line.is_code)


def unframed(sheet: Sheet) -> Sheet:
    """Give a sheet without the strokes at both edges, where they stand around most of it."""
    rows = [line.text for line in sheet.inked]
    framed = [text for text in rows if _FRAMED.fullmatch(text)]
    is_one = len(framed) >= FEWEST_FRAMED and len({len(text) for text in framed}) == 1
    if not is_one or len(framed) * 2 <= len(rows):
        return sheet
    edge = 1 + min(len(text[1:]) - len(text[1:].lstrip()) for text in framed)
    lines = (
        replace(line, text=line.text[edge:-1].rstrip()) if _FRAMED.fullmatch(line.text) else line
        for line in sheet.lines
    )
    return replace(sheet, lines=tuple(lines))


def read_paper(data: bytes, paper: Paper) -> Sheet:
    """Put a print's bytes on paper.

    Parameters
    ----------
    data : bytes
        One print; with its `begins_with` before it, where it has one.
    paper : Paper
        The profile's part about paper.
    """
    scanner = Scanner()
    writer = _Writer(paper)
    for event in scanner.feed(data):
        writer.put(event)
    for event in scanner.finish():
        writer.put(event)
    return writer.sheet()


class _Writer:
    """A print head: it knows its line and its column."""

    def __init__(self, paper: Paper) -> None:
        self._paper = paper
        self._lines: list[PaperLine] = []
        self._parts: list[tuple[str, Style]] = []
        self._doubt = ""
        self._returned = False
        self._column = 0
        self._num_over = 0
        self._pictures = self._pulses = self._requests = 0
        self._is_in_picture = False
        self._why: dict[str, int] = {}

    def put(self, event: Event) -> None:
        if not isinstance(event, Picture | LineEnd):
            self._is_in_picture = False
        match event:
            case Text():
                self._text(event)
            case LineEnd(count=0):
                self._returned = True
            case LineEnd(count=count):
                self._feed(count)
            case Tab(dots=dots):
                self._tab(dots)
            case Picture():
                self._picture(event)
            case Code(kind=kind):
                self._flush()
                self._add(PaperLine(text=_CODE_WORDS[kind], is_code=True))
            case Cut() | FormFeed():
                self._flush()
            case DrawerPulse():
                self._pulses += 1
            case StatusRequest():
                self._requests += 1
            case Unknown(why=why):
                self._why[why] = self._why.get(why, 0) + 1
                self._doubt = self._doubt or f"beside it: {why}"
            case _:
                pass

    def sheet(self) -> Sheet:
        self._flush()
        doubts = list(self._why)[:MOST_SAID]
        if more := len(self._why) - len(doubts):
            doubts.append(f"and {more} more of such")
        if self._num_over:
            doubts.append(f"{self._num_over:,} lines after the first {MOST_LINES:,} were not read")
        return Sheet(
            lines=tuple(self._lines),
            pictures=self._pictures,
            drawer_pulses=self._pulses,
            requests=self._requests,
            doubts=tuple(doubts),
        )

    def _text(self, event: Text) -> None:
        if self._returned:
            self._overprint(event)
            return
        text, doubt = self._decoded(event)
        self._doubt = self._doubt or doubt
        self._parts.append((text, event.style))
        self._column += len(text) * event.style.width

    def _overprint(self, event: Text) -> None:
        """Go back to the beginning of the line: the same once more is bold, other text is new."""
        self._returned = False
        before = "".join(text for text, _ in self._parts).strip()
        if before and before != self._decoded(event)[0].strip():
            self._flush()
        else:
            self._parts.clear()
            self._column = 0
        self._text(event)

    def _decoded(self, event: Text) -> tuple[str, str]:
        style, paper = event.style, self._paper
        if event.raw.isascii() and not style.country and paper.text == "by code page":
            return event.raw.decode("ascii"), ""
        number = paper.code_page if style.code_page is None else style.code_page
        codec = paper.code_pages.get(number) or COMMON.get(number, "")
        doubt = ""
        if paper.text != "by code page":
            codec = paper.text
        elif not codec:
            codec = "cp437"
            if not event.raw.isascii():
                doubt = f"code page {number} is not known; name it under paper, code_pages"
        text = decoded(event.raw, codec, style.country)
        if not text.isprintable():
            text = "".join(
                sign if sign.isprintable() else " " if sign == "\xa0" else _BAD for sign in text
            )
        if _BAD in text:
            doubt = f"some of its characters are not in {codec}"
        return text, doubt

    def _feed(self, count: int) -> None:
        self._returned = False
        if self._is_in_picture and not self._parts:
            return  # Dots are sent line by line; these are no lines of text.
        self._flush(is_blank_kept=True)
        for _ in range(count - 1):
            self._add(PaperLine(text=""))

    def _tab(self, dots: int | None) -> None:
        column = self._column
        if dots is None:
            pad = TAB_STOP - column % TAB_STOP
        else:
            pad = min(dots // DOTS_A_COLUMN, WIDEST) - column
        # Two spaces at least: it is another column.
        if column or pad > 0:
            wide = max(pad, 2 if column else 0)
            self._parts.append((" " * wide, PLAIN))
            self._column += wide

    def _picture(self, event: Picture) -> None:
        self._flush()
        if self._is_in_picture:
            return
        self._is_in_picture = True
        self._pictures += 1
        size = f" {event.width} × {event.height} dots" if event.width and event.height else ""
        self._add(PaperLine(text=f"[picture{size}]", is_code=True))

    def _flush(self, *, is_blank_kept: bool = False) -> None:
        text = "".join(text for text, _ in self._parts)
        self._returned, self._column = False, 0
        if not text.strip():
            if is_blank_kept:
                self._add(PaperLine(text=""))
            self._parts.clear()
            return
        line = self._line(text.rstrip())
        if len(line.text) <= WIDEST:
            self._add(line)
        else:
            for at in range(0, len(line.text), WIDEST):
                self._add(replace(line, text=line.text[at : at + WIDEST].rstrip(), columns=WIDEST))
        self._parts.clear()
        self._doubt = ""

    def _line(self, text: str) -> PaperLine:
        inked = [(len(part.strip()), style) for part, style in self._parts]
        half = sum(count for count, _ in inked) / 2
        return PaperLine(
            text=text,
            columns=sum(len(part) * style.width for part, style in self._parts),
            is_bold=sum(count for count, style in inked if style.bold) > half,
            is_large=sum(n for n, s in inked if s.width > 1 or s.height > 1) > half,
            is_centred=sum(count for count, style in inked if style.align == 1) > half,
            doubt=self._doubt,
        )

    def _add(self, line: PaperLine) -> None:
        if len(self._lines) < MOST_LINES:
            self._lines.append(line)
        elif line.text:
            self._num_over += 1
