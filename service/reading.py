"""Reads what a till wrote: a line as it came becomes a drink of the menu, or stays unread.

Nothing is lost here: what cannot be read is kept word for word, with the reason and the nearest
names of the menu, until somebody says what it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from service.files.bars import Finding, near
from service.files.kinds import came_words
from service.files.schemas import LINE
from service.files.translate import findings_of, from_bad_value, place_words
from service.night.records import LineRecord
from solver.errors import BadValue
from solver.menu import Menu
from solver.tickets import LARGEST_QUANTITY, Line, mix_of

from .drink_names import with_drink
from .naming import (
    MIXER_KINDS,
    NO_ALIASES,
    POURED_KINDS,
    Aliases,
    Spelled,
    drink_spelled,
    ingredients_spelled,
    recipes_spelled,
)

CONFIRMED = "is_confirmed"
"""Only a person at the bar sets this, for a drink that is there; a posted line cannot."""


def read_line(
    menu: Menu,
    line_id: str,
    raw: Mapping[str, Any],
    quantity: int,
    *,
    aliases: Aliases = NO_ALIASES,
) -> LineRecord:
    """Read one line; the record says why where it cannot be read.

    Parameters
    ----------
    menu : Menu
    line_id : str
    raw : mapping
        The line as it came.
    quantity : int
        How many of it; within 1 to 60, checked before.
    aliases : Aliases
        Words that people at this bar said the meaning of.
    """
    record = LineRecord(id=line_id, raw=dict(raw), quantity=quantity)
    named = {key: v for key, v in raw.items() if v not in (None, "") and key != CONFIRMED}
    named = with_drink(menu, aliases, named)
    for key, names in (
        ("recipe", recipes_spelled(menu, aliases)),
        ("spirit", ingredients_spelled(menu, aliases, POURED_KINDS)),
        ("mixer", ingredients_spelled(menu, aliases, MIXER_KINDS)),
    ):
        word = named.get(key)
        if not isinstance(word, str):
            continue
        found = names.id_of(word)
        if found is None:
            unread = f"expected a {key} of the menu; came {came_words(word)}"
            return replace(record, unread=unread, nearest=names.near(word), word=word)
        named[key] = found
    unknown: list[tuple[str, Spelled]] = []
    if isinstance(recipe := named.get("recipe"), str) and named.get("changes"):
        inside = drink_spelled(menu, aliases, menu.by_recipe[recipe])
        anything = ingredients_spelled(menu, aliases)
        spelled = {"leave_out": inside, "take_out": inside}
        spelled |= {"ingredient": anything, "put_in": anything}
        named["changes"] = _with_ids(named["changes"], spelled, unknown)
    found_line = _read(menu, {**named, "quantity": quantity})
    if isinstance(found_line, Line):
        return replace(record, line=found_line)
    if not unknown:
        return replace(record, unread=found_line)
    word, names = unknown[0]
    return replace(record, unread=found_line, nearest=names.near(word), word=word)


def _with_ids(
    part: Any,  # noqa: ANN401 (whatever a till sent)
    spelled: Mapping[str, Spelled],
    unknown: list[tuple[str, Spelled]],
) -> Any:  # noqa: ANN401
    """Give changes with ids for their words; words that are not known are added to `unknown`."""
    if isinstance(part, list | tuple):
        return [_with_ids(row, spelled, unknown) for row in part]
    if not isinstance(part, Mapping):
        return part
    named = {}
    for key, value in part.items():
        names = spelled.get(key)
        if names is None or not isinstance(value, str):
            named[key] = _with_ids(value, spelled, unknown)
        elif (known := names.id_of(value)) is not None:
            named[key] = known
        else:
            named[key] = value
            if value:
                unknown.append((value, names))
    return named


def _read(menu: Menu, named: Mapping[str, Any]) -> Line | str:
    """Give the line of a drink that can be mixed, or say why there is none."""
    try:
        line = LINE.validate_python(named)
    except ValidationError as error:
        return "; ".join(_words(one, named) for one in findings_of(error, LINE, named))
    try:
        mix_of(menu, line)
    except BadValue as error:
        found = from_bad_value(error, (), {})
        return replace(found, hint=found.hint or _near_in_drink(menu, line, error.came)).words
    return line


def said(raw: Mapping[str, Any]) -> str:
    """Write an unread line as a person would read it: "harbor sour, no eggwhite, note extra cold".

    How many of it there are is not said: that stands beside it.
    """
    words = [_drink_words(raw)]
    for key, value in raw.items():
        if not value or key in ("recipe", "spirit", "mixer", "quantity", "measure", CONFIRMED):
            continue
        rows = value if isinstance(value, list) else [value]
        if key == "changes":
            words += [change_words(row) for row in rows]
        elif key == "allergies":
            words.append(f"allergy {', '.join(map(_plain, rows))}")
        else:
            words.append(f"{key.replace('_', ' ')} {_plain(value)}")
    return ", ".join(filter(None, words)) or "nothing on the line"


def _drink_words(raw: Mapping[str, Any]) -> str:
    measure = raw.get("measure")
    names = [_plain(raw[key]) for key in ("recipe", "spirit", "mixer") if raw.get(key)]
    return (f"{_plain(measure)} " if measure else "") + " and ".join(names)


def change_words(change: object) -> str:
    """Say one change as it came, whether or not it can be read."""
    match change:
        case {"leave_out": str(name)}:
            return f"no {name}"
        case {"swap": {"take_out": str(out), "put_in": str(name)}}:
            return f"{name} instead of {out}"
        case {"add": {"ingredient": str(name), "amount": amount}}:
            return f"add {_plain(amount)} {name}"
        case {"add": {"ingredient": str(name)}}:
            return f"add {name}"
    return _plain(change)


def _plain(value: object) -> str:
    """Write any part of a document without brackets and quotes."""
    if isinstance(value, Mapping):
        rows = [(str(key).replace("_", " "), one) for key, one in value.items()]
        return ", ".join(
            key if one is True else f"{key} {_plain(one)}".strip() for key, one in rows
        )
    if isinstance(value, list | tuple):
        return ", ".join(map(_plain, value))
    if value is None or isinstance(value, bool):
        return {None: "nothing", True: "yes", False: "no"}[value]
    return str(value)


def quantity_fault(quantity: object) -> str:
    """Say why a quantity cannot be; empty when it can."""
    expected = f"expected a whole number from 1 to {LARGEST_QUANTITY}; came {came_words(quantity)}"
    if isinstance(quantity, bool) or not isinstance(quantity, int):
        return f"{expected}; write how many as a number"
    if not 1 <= quantity <= LARGEST_QUANTITY:
        return f"{expected}; nothing was kept: send the ticket again with the right number"
    return ""


def _words(finding: Finding, raw: Mapping[str, Any]) -> str:
    where = place_words(finding.at, raw)
    return f"{where}: {finding.words}" if where else finding.words


def _near_in_drink(menu: Menu, line: Line, came: object) -> str:
    """Give the names that a change may have meant: of the drink, else of the menu."""
    recipe = menu.by_recipe.get(line.recipe)
    if recipe is None or not isinstance(came, str):
        return ""
    outs = {change.leave_out for change in line.changes}
    outs |= {change.swap.take_out for change in line.changes if change.swap}
    pours = [pour.ingredient for pour in recipe.pours]
    inside = [*pours, *(one.name for one in recipe.garnishes), recipe.rim]
    return near(came, filter(None, inside) if came in outs else menu.by_ingredient)
