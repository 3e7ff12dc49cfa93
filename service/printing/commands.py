"""How long every command of the common printer language is, and what it means for reading.

Each reader is a generator that follows the published command reference from left to right: it
yields the number of bytes it wants next, or minus the number it wants skipped unseen, and ends by
returning its event. Lengths that the bytes themselves declare are believed up to
`LARGEST_PAYLOAD`.

Source: the ESC/POS command references as their publisher gives them to the public (from memory,
held against the bytes of python-escpos in the tests).
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from .events import (
    Code,
    CodeKind,
    Cut,
    DrawerPulse,
    Event,
    LineEnd,
    Picture,
    Reset,
    StatusRequest,
    Tab,
)

LARGEST_PAYLOAD = 2_000_000
"""Bytes of one picture; a page of 80 mm paper a metre long has about half of that."""
LONGEST_CODE = 255
LONGEST_COUNTER = 40
"""Characters of a serial counter's five numbers, each up to 65,535."""
LONGEST_REQUEST = 64

DLE, ESC, FS, GS = 0x10, 0x1B, 0x1C, 0x1D


@dataclass(frozen=True, slots=True, kw_only=True)
class Set:
    """A setting of the printer that reading keeps track of."""

    what: str
    value: int


class TooLong(Exception):
    """A command declares more bytes than any print has; it is not believed."""

    def __init__(self, declared: int) -> None:
        super().__init__(declared)
        self.declared = declared


class NoSuchCommand(Exception):
    """No command that we know the length of."""


Reader: TypeAlias = Generator[int, bytes, "Event | Set | None"]


def _little(raw: bytes) -> int:
    return int.from_bytes(raw, "little")


def _payload(size: int) -> int:
    """Give what to yield to skip a payload."""
    if size > LARGEST_PAYLOAD:
        raise TooLong(size)
    return -size


def _fixed(count: int) -> Callable[[], Reader]:
    def read() -> Reader:
        yield count
        return None

    return read


def _setting(what: str) -> Callable[[], Reader]:
    def read() -> Reader:
        return Set(what=what, value=(yield 1)[0])

    return read


def _set(what: str, value: int) -> Callable[[], Reader]:
    def read() -> Reader:
        yield 0
        return Set(what=what, value=value)

    return read


def _event(count: int, event: Event) -> Callable[[], Reader]:
    def read() -> Reader:
        yield count
        return event

    return read


def _asks(name: str, lead: bytes, count: int = 1) -> Callable[[], Reader]:
    def read() -> Reader:
        rest = yield count
        return StatusRequest(command=lead + rest, name=name, asked=rest[0] if rest else 0)

    return read


def _feeds_lines() -> Reader:
    return LineEnd(count=max(1, (yield 1)[0]))


def _moves_to() -> Reader:
    return Tab(dots=_little((yield 2)))


def _dle_eot() -> Reader:
    asked = yield 1
    if asked[0] in (7, 8, 18):
        asked += yield 1
    return StatusRequest(command=b"\x10\x04" + asked, name="DLE EOT", asked=asked[0])


def _dle_dc4() -> Reader:
    lengths = {1: 2, 2: 2, 3: 5, 7: 1, 8: 7}
    which = (yield 1)[0]
    if which not in lengths:
        raise NoSuchCommand
    rest = yield lengths[which]
    if which == 7:
        return StatusRequest(command=b"\x10\x14\x07" + rest, name="DLE DC4", asked=rest[0])
    return DrawerPulse() if which == 1 else None


def _columns() -> Reader:
    mode, low, high = yield 3
    width, tall = low + 256 * high, mode in (32, 33)
    size = width * (3 if tall else 1)
    yield _payload(size)
    return Picture(width=width, height=24 if tall else 8, bytes=size)


def _own_characters() -> Reader:
    height, first, last = yield 3
    for _ in range(first, last + 1):
        width = (yield 1)[0]
        yield _payload(height * width)
    return None


def _tab_stops() -> Reader:
    for _ in range(33):
        if (yield 1) == b"\0":
            return None
    raise NoSuchCommand


def _two_length_bytes() -> Reader:
    yield _payload(_little((yield 3)[1:]))
    return None


def _gs_bracket() -> Reader:
    head = yield 3
    family, size = head[0], _little(head[1:])
    if family == ord("H") and 2 <= size <= LONGEST_REQUEST:
        rest = yield size
        return StatusRequest(command=b"\x1d(" + head + rest, name="GS ( H", asked=rest[1])
    if family in b"Lk" and size >= 2:
        function = (yield 2)[1]
        if family == ord("k"):
            yield _payload(size - 2)
            # Function 81 of a symbol prints what was stored before.
            return Code(kind=CodeKind.SQUARE, bytes=size) if function == 81 else None
        return (yield from _graphics(function, size - 2))
    yield _payload(size)
    return None


def _graphics(function: int, size: int) -> Reader:
    """Graphics by function: 112 and 113 store dots in the print buffer, 2 and 50 print them."""
    if function == 112 and size >= 8:
        head = yield 8
        yield _payload(size - 8)
        return Picture(width=_little(head[4:6]), height=_little(head[6:8]), bytes=size - 8)
    yield _payload(size)
    if function == 113:
        return Picture(bytes=size)
    # Function 69 and 85 print graphics that are kept in the printer.
    return Picture(is_stored=True) if function in (69, 85) else None


def _large_graphics() -> Reader:
    if (yield 1) != b"L":
        raise NoSuchCommand
    size = -_payload(_little((yield 4)))
    if size < 2:
        yield _payload(size)
        return None
    return (yield from _graphics((yield 2)[1], size - 2))


def _downloaded() -> Reader:
    wide, high = yield 2
    yield _payload(wide * high * 8)
    return None


def _counter() -> Reader:
    lengths = {0: 2, 48: 2, 1: 6, 49: 6, 2: 2, 50: 2}
    which = yield 1
    if which == b";":
        num_ends = 0
        for _ in range(LONGEST_COUNTER):
            num_ends += (yield 1) == b";"
            if num_ends == 5:
                return None
        raise NoSuchCommand
    if which[0] not in lengths:
        raise NoSuchCommand
    yield lengths[which[0]]
    return None


def _raster() -> Reader:
    if (yield 1) not in (b"0", b"\0"):
        raise NoSuchCommand
    head = yield 5
    wide, high = _little(head[1:3]), _little(head[3:5])
    yield _payload(wide * high)
    return Picture(width=wide * 8, height=high, bytes=wide * high)


def _cut() -> Reader:
    mode = (yield 1)[0]
    if mode in (0, 1, 48, 49):
        return Cut()
    if mode not in (65, 66, 97, 98, 103, 104):
        raise NoSuchCommand
    yield 1
    # 97, 98: cut later at a set position; the ticket ends there all the same.
    return Cut()


def _barcode() -> Reader:
    system = (yield 1)[0]
    if system <= 6:
        for size in range(LONGEST_CODE + 1):
            if (yield 1) == b"\0":
                return Code(kind=CodeKind.BARCODE, bytes=size)
        raise NoSuchCommand
    if not 65 <= system <= 79:
        raise NoSuchCommand
    size = (yield 1)[0]
    yield _payload(size)
    return Code(kind=CodeKind.BARCODE, bytes=size)


def _kept_pictures() -> Reader:
    for _ in range((yield 1)[0]):
        size = yield 4
        yield _payload(_little(size[:2]) * _little(size[2:]) * 8)
    return None


def _user_data() -> Reader:
    which, *rest = yield 8
    if which not in b"12" or len(rest) != 7:
        raise NoSuchCommand
    if which == ord("1"):
        yield _payload(_little(bytes(rest[5:])))
    return None


def _many(signs: str, reader: Callable[[], Reader]) -> dict[int, Callable[[], Reader]]:
    return {ord(sign): reader for sign in signs}


BY_LEAD: Mapping[int, Mapping[int, Callable[[], Reader]]] = {
    DLE: {
        0x04: _dle_eot,
        0x05: _asks("DLE ENQ", b"\x10\x05"),
        0x14: _dle_dc4,
    },
    ESC: {
        **_many("2<", _fixed(0)),
        **_many(" %3?TUVr{", _fixed(1)),
        **_many("\\", _event(2, Tab())),
        **_many("Bcf", _fixed(2)),
        **_many("W", _fixed(8)),
        **_many("JK", _event(1, LineEnd())),
        **_many("de", _feeds_lines),
        **_many("im", _event(0, Cut())),
        0x0C: _event(0, LineEnd()),
        ord("!"): _setting("mode"),
        ord("$"): _moves_to,
        ord("&"): _own_characters,
        ord("("): _two_length_bytes,
        ord("*"): _columns,
        ord("-"): _setting("underline"),
        ord("="): _setting("devices"),
        ord("@"): _event(0, Reset()),
        ord("D"): _tab_stops,
        ord("E"): _setting("bold"),
        ord("G"): _setting("bold"),
        ord("L"): _set("page", 1),
        ord("M"): _setting("font"),
        ord("R"): _setting("country"),
        ord("S"): _set("page", 0),
        ord("a"): _setting("align"),
        ord("p"): _event(3, DrawerPulse()),
        ord("t"): _setting("code_page"),
        ord("u"): _asks("ESC u", b"\x1bu"),
        ord("v"): _asks("ESC v", b"\x1bv", 0),
    },
    FS: {
        **_many("&.", _fixed(0)),
        **_many("!-CW", _fixed(1)),
        **_many("S?", _fixed(2)),
        ord("("): _two_length_bytes,
        ord("2"): _fixed(74),
        ord("g"): _user_data,
        ord("p"): _event(2, Picture(is_stored=True)),
        ord("q"): _kept_pictures,
    },
    GS: {
        **_many(":c", _fixed(0)),
        **_many("EHTbfhwx", _fixed(1)),
        **_many("$\\LPW", _fixed(2)),
        **_many("^z", _fixed(3)),
        ord("!"): _setting("size"),
        ord("("): _gs_bracket,
        ord("*"): _downloaded,
        ord("/"): _event(1, Picture(is_stored=True)),
        ord("8"): _large_graphics,
        ord("B"): _setting("inverse"),
        ord("C"): _counter,
        ord("I"): _asks("GS I", b"\x1dI"),
        ord("V"): _cut,
        ord("a"): _asks("GS a", b"\x1da"),
        ord("g"): _fixed(4),
        ord("k"): _barcode,
        ord("r"): _asks("GS r", b"\x1dr"),
        ord("v"): _raster,
    },
}
