"""What single cells of a till's CSV say: how many, where it went, whether it was taken off."""

from __future__ import annotations

import re

from solver.tickets import LARGEST_QUANTITY, Channel

TAKEN_OFF = ("void", "voided", "refund", "refunded", "cancelled", "canceled", "storno", "removed")
YES = ("yes", "y", "true", "1", "x")
BAR_TOP = re.compile(r"\b(bar|seat|stool|counter|theke|tresen|comptoir)", re.IGNORECASE)
FLOOR = re.compile(
    r"\b(floor|table|tbl|tisch|t ?\d|dining|restaurant|terrace|terrasse|garden|room|saal|salle)",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"([-+−]?)\s*(\d+)(?:[.,]0+)?\s*[x×]?", re.IGNORECASE)


class NotAQuantity(ValueError):
    """A cell that does not say how many; says what was expected."""


def quantity_in(text: str) -> int:
    """Read how many; less than nothing was taken off, and an empty cell is one.

    Raises
    ------
    NotAQuantity
    """
    if not text:
        return 1
    found = _NUMBER.fullmatch(text)
    many = int(found[2]) if found else 0
    if not found or not 1 <= many <= LARGEST_QUANTITY:
        raise NotAQuantity(
            f"expected how many, a whole number from 1 to {LARGEST_QUANTITY} "
            f"(with a minus where it was taken off); came {text!r}"
        )
    return -many if found[1] in ("-", "−") and found[1] else many


def is_taken_off(state: str, heading: str) -> bool:
    """Whether a row says that what it names was taken off again.

    Parameters
    ----------
    state : str
        The cell.
    heading : str
        Of its column: under "void" a plain yes says it too.
    """
    said = state.strip().casefold()
    names = any(word in heading.casefold() for word in ("void", "refund", "cancel"))
    return any(said.startswith(word) for word in TAKEN_OFF) or (names and said in YES)


def channel_in(area: str, place: str, place_heading: str) -> Channel | None:
    """Find out where a round went; None where nothing tells.

    Parameters
    ----------
    area : str
        What the column of channels says.
    place : str
        Table or seat.
    place_heading : str
        A bare number under "table" is a table.
    """
    for text in (area.replace("_", " "), place):
        if BAR_TOP.search(text):
            return Channel.BAR_TOP
        if FLOOR.search(text):
            return Channel.FLOOR
    if place and BAR_TOP.search(place_heading):
        return Channel.BAR_TOP
    return Channel.FLOOR if place and FLOOR.search(place_heading) else None


def parts_of(text: str) -> list[str]:
    """Give the single things of a cell that lists several."""
    return [part.strip() for part in re.split(r"[;|\n]|,(?!\d)", text) if part.strip()]
