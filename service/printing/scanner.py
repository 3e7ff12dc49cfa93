"""Printer bytes to events, in pieces of any size and without keeping more than one command.

What is skipped is skipped by its length. Where no length is known, that is said (`Unknown`) and
reading goes on behind the two bytes of the command; nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from .commands import BY_LEAD, NoSuchCommand, Reader, Set, TooLong
from .events import (
    PLAIN,
    Event,
    FormFeed,
    LineEnd,
    Reset,
    Style,
    Tab,
    Text,
    Unknown,
)

_TEXT = re.compile(rb"[\x20-\x7e\x80-\xff]+")
_IGNORED = re.compile(rb"\x00+")
_STRAY = re.compile(rb"[\x01-\x08\x0b\x0e\x0f\x11-\x1a\x1e\x1f\x7f]+")
_SIGNS: dict[int, Event] = {0x09: Tab(), 0x0A: LineEnd(), 0x0D: LineEnd(count=0)}
MOST_SHOWN = 16
NAMES = {0x10: "DLE", 0x1B: "ESC", 0x1C: "FS", 0x1D: "GS"}


class Scanner:
    """Reads one stream of printer bytes.

    Attributes
    ----------
    style : Style
        In force for the next text.
    """

    def __init__(self) -> None:
        self.style: Style = PLAIN
        self._is_page = False
        self._prints = True
        self._lead = 0
        self._reader: Reader | None = None
        self._wants = 0
        self._held = bytearray()
        self._seen = bytearray()
        self._skipping = 0

    def feed(self, data: bytes) -> list[Event]:
        """Give the events of the next piece; a command cut in two waits for its rest."""
        return [event for event, _ in self.feed_at(data)]

    def feed_at(self, data: bytes) -> Iterator[tuple[Event, int]]:
        """Give each event with the place in `data` just behind it."""
        at = 0
        while at < len(data):
            if self._skipping:
                step = min(self._skipping, len(data) - at)
                self._skipping -= step
                at += step
                event = None if self._skipping else self._advance(b"")
            elif self._reader is not None:
                step = min(self._wants - len(self._held), len(data) - at)
                self._held += data[at : at + step]
                at += step
                event = None if len(self._held) < self._wants else self._take()
            elif self._lead:
                event = self._begin(data[at])
                at += 1
            else:
                event, at = self._plain(data, at)
            if event is not None:
                yield event, at

    def finish(self) -> list[Event]:
        """End the stream, or one print of it; say what was left half, and begin anew.

        Settings of the printer stay: see `begins_with`.
        """
        if not self._lead:
            return []
        missing = self._skipping or max(1, self._wants - len(self._held))
        said = f"the print ended within a command; at least {missing} bytes are missing"
        return [self._unknown(said)]

    @property
    def begins_with(self) -> bytes:
        """The shortest bytes that put a fresh printer into the settings now in force.

        A till may set its code page once and then print tickets all night.
        """
        style, said = self.style, b""
        if style.code_page is not None:
            said += bytes((0x1B, 0x74, style.code_page))
        if style.country:
            said += bytes((0x1B, 0x52, style.country))
        if style.font:
            said += bytes((0x1B, 0x4D, style.font))
        if style.align:
            said += bytes((0x1B, 0x61, style.align))
        if style.bold:
            said += b"\x1bE\x01"
        if style.underline:
            said += b"\x1b-\x01"
        if style.inverse:
            said += b"\x1dB\x01"
        if (style.width, style.height) != (1, 1):
            said += bytes((0x1D, 0x21, (style.width - 1) << 4 | (style.height - 1)))
        if self._is_page:
            said += b"\x1bL"
        return said if self._prints else said + b"\x1b=\x02"

    def _plain(self, data: bytes, at: int) -> tuple[Event | None, int]:
        """Read outside of any command."""
        found = _TEXT.match(data, at)
        if found is not None:
            # What goes to a customer's display is on no paper.
            text = Text(raw=found.group(), style=self.style)
            return (text if self._prints else None), found.end()
        byte = data[at]
        if byte in BY_LEAD:
            self._lead = byte
            return None, at + 1
        if byte in _SIGNS:
            return (_SIGNS[byte] if self._prints else None), at + 1
        if byte == 0x0C:
            was_page, self._is_page = self._is_page, False
            return (LineEnd() if was_page else FormFeed()), at + 1
        if (found := _IGNORED.match(data, at)) is not None:
            return None, found.end()
        if (found := _STRAY.match(data, at)) is not None:
            said = "bytes that are no text and no command; they were passed over"
            return Unknown(raw=found.group()[:MOST_SHOWN], why=said), found.end()
        raise AssertionError(byte)  # Every byte is text, a lead, a sign or stray.

    def _begin(self, code: int) -> Event | None:
        make = BY_LEAD[self._lead].get(code)
        self._seen = bytearray((self._lead, code))
        if make is None:
            return self._unknown(f"{self._name()} is a command of unknown length")
        self._reader = make()
        return self._advance(None)

    def _take(self) -> Event | None:
        held = bytes(self._held)
        self._held.clear()
        self._seen += held[: MOST_SHOWN - len(self._seen)]
        return self._advance(held)

    def _advance(self, held: bytes | None) -> Event | None:
        """Hand the reader what it wanted; give its event when it is done."""
        reader = self._reader
        if reader is None:
            return None
        try:
            wants = next(reader) if held is None else reader.send(held)
            while wants == 0:
                wants = reader.send(b"")
        except StopIteration as done:
            self._rest()
            return self._applied(done.value)
        except TooLong as error:
            return self._unknown(
                f"{self._name()} announces {error.declared:,} bytes; no print has so many, and they"
                " were not waited for"
            )
        except NoSuchCommand:
            return self._unknown(f"{self._name()} is a command of unknown length")
        self._wants, self._skipping = (wants, 0) if wants > 0 else (0, -wants)
        return None

    def _rest(self) -> None:
        self._reader, self._lead, self._wants, self._skipping = None, 0, 0, 0
        self._held.clear()

    def _unknown(self, why: str) -> Unknown:
        raw = bytes(self._seen[:MOST_SHOWN]) or bytes((self._lead,))
        self._rest()
        self._seen.clear()
        return Unknown(raw=raw, why=why)

    def _name(self) -> str:
        code = self._seen[1]
        return f"{NAMES[self._seen[0]]} {chr(code) if 0x20 < code < 0x7F else f'{code:02X}'}"

    def _applied(self, found: Event | Set | None) -> Event | None:
        if isinstance(found, Set):
            self._set(found.what, found.value)
            return None
        if isinstance(found, Reset):
            self.style, self._is_page, self._prints = PLAIN, False, True
        elif isinstance(found, LineEnd | Tab) and not self._prints:
            return None
        return found

    def _set(self, what: str, value: int) -> None:
        match what:
            case "page":
                self._is_page = bool(value)
            case "devices":
                self._prints = bool(value & 1)
            case _:
                self.style = _styled(self.style, what, value)


@lru_cache(maxsize=1024)
def _styled(style: Style, what: str, value: int) -> Style:
    """Give a style after one setting; a till sets the same few all night."""
    found = style
    match what:
        case "mode":
            found = replace(
                style,
                font=value & 1,
                bold=bool(value & 8),
                height=1 + (value >> 4 & 1),
                width=1 + (value >> 5 & 1),
                underline=bool(value & 128),
            )
        case "size":
            found = replace(style, width=1 + (value >> 4 & 7), height=1 + (value & 7))
        case "bold":
            found = replace(style, bold=bool(value & 1))
        case "inverse":
            found = replace(style, inverse=bool(value & 1))
        case "underline":
            found = replace(style, underline=value not in (0, 48))
        case "font":
            # The digits "0" and "1" are allowed too, here and below.
            found = replace(style, font=value & 3)
        case "align":
            found = replace(style, align=value & 3)
        case "code_page":
            found = replace(style, code_page=value)
        case "country":
            found = replace(style, country=value)
    return found
