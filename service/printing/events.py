"""What printer bytes say, one event at a time."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How text is printed.

    Attributes
    ----------
    bold, underline, inverse : bool
    width, height : int
        Times the usual character size, 1 to 8.
    align : int
        0 left, 1 centred, 2 right.
    font : int
        0 is the usual one, 1 the small one; printers may have more.
    code_page : int or None
        The printer's number of the code page that was asked for; None where none was.
    country : int
        The printer's number of the set of national characters; 0 prints ASCII as it is.
    """

    bold: bool = False
    underline: bool = False
    inverse: bool = False
    width: int = 1
    height: int = 1
    align: int = 0
    font: int = 0
    code_page: int | None = None
    country: int = 0


PLAIN = Style()


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A run of characters, still as bytes: the profile says which code pages the printer has.

    A run may come in several events where it came in several pieces.
    """

    raw: bytes
    style: Style = PLAIN


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEnd:
    """The paper moves on to a new line, `count` lines further; 0 for a carriage return alone."""

    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """The next text begins further right.

    Attributes
    ----------
    dots : int or None
        From the left edge, where the command says; None for the next tab stop.
    """

    dots: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The paper is cut, wholly or in part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFeed:
    """The page is fed out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawerPulse:
    """A cash drawer is kicked open; nothing is printed by it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusRequest:
    """The till asks the printer something and waits for an answer.

    Attributes
    ----------
    command : bytes
        The whole request, as it came.
    name : str
        The command's mnemonic, such as ``"DLE EOT"``, ``"GS r"``, ``"GS I"``, ``"ESC v"``.
    asked : int
        Its argument (which status), 0 where it has none.
    """

    command: bytes
    name: str
    asked: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Graphics that are printed, or kept in the printer to be printed by name.

    Attributes
    ----------
    width, height : int
        In dots; 0 where the bytes do not say.
    bytes : int
        Length of its data.
    is_stored : bool
        A picture kept in the printer (a logo) is printed; its data did not come.
    """

    width: int = 0
    height: int = 0
    bytes: int = 0
    is_stored: bool = False


class CodeKind(StrEnum):
    """What a printed code is."""

    BARCODE = "barcode"
    SQUARE = "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A barcode or a square code; its data are never shown, since they may hold anything."""

    kind: CodeKind
    bytes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reset:
    """The printer is set back to its usual settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """Bytes that are no command we know the length of.

    Attributes
    ----------
    raw : bytes
        The first of them, 16 at most.
    why : str
        In words: what was there, and where reading goes on.
    """

    raw: bytes
    why: str


Event: TypeAlias = (
    Text
    | LineEnd
    | Tab
    | Cut
    | FormFeed
    | DrawerPulse
    | StatusRequest
    | Picture
    | Code
    | Reset
    | Unknown
)
