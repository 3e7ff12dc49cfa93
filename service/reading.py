"""Reads what a till wrote: a line as it came becomes a drink of the menu, or stays unread.

Nothing is lost here: what cannot be read is kept word for word, with the reason and the nearest
names of the menu, until somebody says what it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from service.files.schemas import LINE
from service.night.records import LineRecord
from solver.errors import BadValue
from solver.menu import Kind, Menu
from solver.tickets import LARGEST_QUANTITY, Line, mix_of

from .errors import nearest

POURED_KINDS = (Kind.SPIRIT, Kind.LIQUEUR, Kind.WINE)
MIXER_KINDS = (Kind.MIXER, Kind.JUICE, Kind.BEER)


def read_line(menu: Menu, line_id: str, raw: Mapping[str, Any], quantity: int) -> LineRecord:
    """Read one line; the record says why where it cannot be read.

    Parameters
    ----------
    menu : Menu
    line_id : str
    raw : mapping
        The line as it came.
    quantity : int
        How many of it; within 1 to 60, checked before.
    """
    named = {key: value for key, value in raw.items() if value not in (None, "")}
    unread = ""
    near: tuple[str, ...] = ()
    for key, names in (
        ("recipe", recipe_names(menu)),
        ("spirit", ingredient_names(menu, POURED_KINDS)),
        ("mixer", ingredient_names(menu, MIXER_KINDS)),
    ):
        word = named.get(key)
        if not isinstance(word, str):
            continue
        found = names.get(word.strip().casefold())
        if found is None:
            near = tuple(nearest(word, names))
            unread = f"expected a {key} of the menu; came {word!r}"
            break
        named[key] = found
    if not unread:
        try:
            line: Line = LINE.validate_python({**named, "quantity": quantity})
            mix_of(menu, line)
        except ValidationError as error:
            unread = "; ".join(_words(fault["loc"], fault["msg"]) for fault in error.errors())
        except BadValue as error:
            unread = str(error)
        else:
            return LineRecord(id=line_id, raw=dict(raw), quantity=quantity, line=line)
    return LineRecord(id=line_id, raw=dict(raw), quantity=quantity, unread=unread, nearest=near)


def recipe_names(menu: Menu) -> dict[str, str]:
    """Give every spelling a ticket may use for a recipe, lower case, with its id."""
    spelled = {a.casefold(): r.id for r in menu.recipes for a in (*r.aliases, r.name)}
    return spelled | {recipe.id.casefold(): recipe.id for recipe in menu.recipes}


def ingredient_names(menu: Menu, kinds: tuple[Kind, ...]) -> dict[str, str]:
    """Give every spelling a ticket may use for an ingredient of these kinds, with its id."""
    found = [row for row in menu.ingredients if row.kind in kinds]
    return {r.name.casefold(): r.id for r in found} | {r.id.casefold(): r.id for r in found}


def drink_name(menu: Menu, line: Line) -> str:
    """Name a line's drink as the menu does."""
    return mix_of(menu, line).name


def said(raw: Mapping[str, Any]) -> str:
    """Write an unread line as a person would read it: "recipe harbor sour, note extra cold"."""
    skip = ("quantity", "is_confirmed")
    words = [f"{key} {value}" for key, value in raw.items() if value and key not in skip]
    only = raw.get("recipe") if len(words) == 1 else None
    return str(only) if only else ", ".join(words)


def quantity_fault(quantity: object) -> str:
    """Say why a quantity cannot be; empty when it can."""
    expected = f"expected a whole number from 1 to {LARGEST_QUANTITY}; came {quantity!r}"
    if isinstance(quantity, bool) or not isinstance(quantity, int):
        return f"{expected}; write how many as a number"
    if not 1 <= quantity <= LARGEST_QUANTITY:
        return f"{expected}; nothing was kept: send the ticket again with the right number"
    return ""


def _words(loc: tuple[str | int, ...], message: str) -> str:
    where = ".".join(str(part) for part in loc)
    return f"{where}: {message.removeprefix('Value error, ')}" if where else message
