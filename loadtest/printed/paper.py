"""Paper: writes with python-escpos's ``Dummy`` printer and notes what each inked line is.

Source of the bytes: python-escpos 3.1 (``escpos.printer.Dummy``), a general library for receipt
printers; nothing of it is ours.
"""

from __future__ import annotations

import textwrap
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from io import StringIO
from typing import Any

from .truth import Inked, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a line is set."""

    bold: bool = False
    wide: bool = False
    tall: bool = False
    underline: int = 0
    invert: bool = False
    align: str = "left"


PLAIN = Style()


class Paper:
    """One print in the making.

    Parameters
    ----------
    columns : int
        Characters on a line of normal width.
    model : str
        The profile of python-escpos: which code page has which number.
    code_page : str
        What text is written in; empty for bytes of `raw_encoding`, with no page named.
    raw_encoding : str
        Python's name of the encoding where the till names no page.
    """

    def __init__(
        self, *, columns: int, model: str, code_page: str = "", raw_encoding: str = ""
    ) -> None:
        self.columns = columns
        self.inked: list[Inked] = []
        self._printer = _dummy(model)
        self._printer.clear()
        self._printer.magic.encoding = None
        self._raw_encoding = raw_encoding
        self._codec = code_page.lower()
        self._style = PLAIN
        self.raw(b"\x1b@")
        if code_page:
            self._printer.charcode(code_page)

    def put(
        self,
        text: str = "",
        role: Role = Role.OTHER,
        *,
        style: Style = PLAIN,
        facts: Iterable[tuple[str, str]] = (),
        quantity: int = 0,
        sent: str = "",
    ) -> None:
        """Print one line; it has to fit. `sent` is what goes out where the printer sets tabs."""
        text = self._as_printed(text)
        facts = [(name, self._as_printed(value)) for name, value in facts]
        room = self.columns // 2 if style.wide else self.columns
        if len(text) > room:
            raise ValueError(f"expected at most {room} characters on a line; came {text!r}")
        self._set(style)
        self._write((sent or text) + "\n")
        if text.strip():
            self.inked.append(
                Inked(text=text.strip(), role=role, facts=tuple(facts), quantity=quantity)
            )

    def _as_printed(self, text: str) -> str:
        """Give a text as on paper: what the code page lacks is printed as a question mark."""
        codec = self._raw_encoding or self._codec
        return text.encode(codec, errors="replace").decode(codec) if codec else text

    def rule(self, sign: str = "-") -> None:
        """Print a line of one sign."""
        self.put(sign * self.columns)

    def both(self, left: str, right: str, width: int | None = None) -> str:
        """Give one line with words at both edges; the left ones are cut to what is left over."""
        width = width or self.columns
        room = width - len(right) - 1
        return f"{left[:room]:<{room}} {right}"

    def raw(self, data: bytes) -> None:
        """Send bytes as they are."""
        self._printer._raw(data)  # noqa: SLF001 (the library's way to send a command it has no name for)

    def cut(self, *, part: bool = False) -> None:
        """Feed and cut."""
        self._set(PLAIN)
        self._printer.cut(mode="PART" if part else "FULL")

    def pulse(self) -> None:
        """Open the drawer."""
        self._printer.cashdraw(2)

    def qr(self, content: str) -> None:
        """Print a code to scan, drawn as a picture."""
        with _hushed():
            self._printer.qr(content, native=False)

    def native_qr(self, content: str) -> None:
        """Print a code to scan that the printer draws by itself."""
        self._printer.qr(content, native=True, size=4)

    def barcode(self, digits: str) -> None:
        """Print a bar code with thirteen digits, which the printer writes under it."""
        with _hushed():
            self._printer.barcode(digits, "EAN13", pos="BELOW")

    def picture(self, width: int, height: int, *, way: str = "bitImageRaster") -> None:
        """Print a picture of nothing in particular."""
        image: Any = import_module("PIL.Image")
        drawn = image.new("1", (width, height), 1)
        for x in range(0, width, 3):
            for y in range(x % 7, height, 5):
                drawn.putpixel((x, y), 0)
        with _hushed():
            self._printer.image(drawn, impl=way)

    @property
    def data(self) -> bytes:
        """All bytes so far."""
        return bytes(self._printer.output)

    def _write(self, text: str) -> None:
        if self._raw_encoding:
            self.raw(text.encode(self._raw_encoding))
        else:
            self._printer.text(text)

    def _set(self, style: Style) -> None:
        if style == self._style:
            return
        self._printer.set(
            bold=style.bold,
            underline=style.underline,
            invert=style.invert,
            align=style.align,
            normal_textsize=not (style.wide or style.tall),
            double_width=style.wide or None,
            double_height=style.tall or None,
        )
        self._style = style


@contextmanager
def _hushed() -> Iterator[None]:
    """Keep what the library says of itself off standard output."""
    with redirect_stdout(StringIO()):
        yield


@cache
def _dummy(model: str) -> Any:  # noqa: ANN401 (the library ships no types)
    with warnings.catch_warnings():
        # A printer whose picture width it does not know is no fault of ours.
        warnings.simplefilter("ignore")
        return import_module("escpos.printer").Dummy(profile=model)


def wrapped(text: str, width: int, *, indent: str = "") -> list[str]:
    """Break words over lines, as a till does that wraps; later lines carry the indent."""
    return textwrap.wrap(text, width, subsequent_indent=indent, break_long_words=True) or [""]


def pounds(pence: int) -> str:
    """Write an amount with a point: ``19.00``."""
    return f"{pence / 100:,.2f}"


def euros(cents: int) -> str:
    """Write an amount as on the continent: ``19,00 €``."""
    return pounds(cents).replace(".", ",") + " €"
