"""What stands on paper as lines of a ticket: names meet the menu, changes become changes.

A name or an ingredient that only comes near something waits in the tray for a person. Any other
word is a note: it stays with its drink, which is made alone and shown loudly.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from service.drink_names import with_drink
from service.naming import Aliases, Spelled, drink_spelled, ingredients_spelled
from service.night.records import LineRecord
from service.printing.prints import Item, Print
from service.printing.redaction import redacted
from service.reading import change_words, quantity_fault, read_line
from solver.menu import Kind, Menu

_NOBODY = re.compile(r"(?!)")


def line_of(menu: Menu, aliases: Aliases, line_id: str, item: Item, found: Print) -> LineRecord:
    """Read one item of a print.

    Parameters
    ----------
    menu : Menu
    aliases : Aliases
    line_id : str
    item : Item
    found : Print
        The print it stands on: its allergies and notes for all count for every drink.
    """
    raw = came(item, found)
    printed = tuple(found.lines[row].preview for row in item.rows)
    if fault := quantity_fault(item.quantity):
        return LineRecord(id=line_id, raw=raw, quantity=1, unread=fault, printed=printed)
    record = _read(menu, aliases, line_id, raw)
    if item.doubts:
        near = (record.line.recipe,) if record.line and record.line.recipe else record.nearest
        record = replace(
            record, line=None, unread="; ".join(item.doubts), nearest=near, word=item.name
        )
    return replace(record, raw=raw, printed=printed)


def came(item: Item, found: Print) -> dict[str, Any]:
    """Give an item as a line came: the same item of the same print is the same line."""
    raw = {key: _shown(value) for key, value in item.as_line().items()}
    allergies = dict.fromkeys((*item.allergies, *found.allergies))
    note = _shown("; ".join(filter(None, (item.note, found.note))))
    return (
        raw
        | ({"allergies": list(allergies)} if allergies else {})
        | ({"note": note} if note else {})
    )


def _shown(value: object) -> Any:  # noqa: ANN401 (what came)
    """Take card numbers, e-mail and phone numbers out of a text."""
    return redacted(value, labels=_NOBODY) if isinstance(value, str) else value


def _read(menu: Menu, aliases: Aliases, line_id: str, raw: Mapping[str, Any]) -> LineRecord:
    quantity = raw["quantity"]
    named = _named(menu, aliases, raw)
    record = read_line(menu, line_id, named, quantity, aliases=aliases)
    is_named = bool(named.get("spirit")) or named.get("recipe") in menu.by_recipe
    if record.line is not None or not is_named or record.word:
        return record
    # The drink is known, and a change that it cannot have is not: it is said aloud with the drink.
    bare = {key: value for key, value in named.items() if key != "changes"}
    noted = _noted(bare, (change_words(row) for row in named.get("changes", ())))
    return read_line(menu, line_id, noted, quantity, aliases=aliases)


def _named(menu: Menu, aliases: Aliases, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Give a line with its drink as the menu has it, and words that are no change as a note."""
    named = with_drink(menu, aliases, raw)
    changes = list(named.pop("changes", ()))
    recipe = menu.by_recipe.get(named.get("recipe", ""))
    if recipe is None:
        if named.get("spirit") and {"double": True} in changes:
            changes.remove({"double": True})
            named["measure"] = "double"
        if named.get("spirit"):
            return _noted(named, map(change_words, changes))
        return named | ({"changes": changes} if changes else {})
    inside = drink_spelled(menu, aliases, recipe)
    anything = ingredients_spelled(menu, aliases)
    kept = []
    for change in changes:
        whole = _whole(menu, change, anything)
        if whole is None or any(
            names.id_of(word) is None and not names.is_near(word)
            for word, names in _words(whole, inside, anything)
        ):
            named = _noted(named, [change_words(change)])
        else:
            kept.append(whole)
    return named | ({"changes": kept} if kept else {})


def _whole(menu: Menu, change: Mapping[str, Any], anything: Spelled) -> Mapping[str, Any] | None:
    """Give a change with an amount where it adds something; None where nobody can know how much."""
    match change:
        case {"add": {"ingredient": str(word), **more}} if "amount" not in more:
            known = anything.id_of(word)
            # A mixer is topped up; of anything else the paper would have to say how much.
            is_mixer = known is not None and menu.ingredient(known).kind is Kind.MIXER
            return {"add": {"ingredient": word, "amount": "top", "at": "top"}} if is_mixer else None
    return change


def _words(
    change: Mapping[str, Any], inside: Spelled, anything: Spelled
) -> list[tuple[str, Spelled]]:
    """Give the words of a change that stand for an ingredient, with the names they may be."""
    match change:
        case {"leave_out": str(word)}:
            return [(word, inside)]
        case {"swap": {"take_out": str(out), "put_in": str(put)}}:
            return [(out, inside), (put, anything)]
        case {"add": {"ingredient": str(word)}}:
            return [(word, anything)]
    return []


def _noted(line: Mapping[str, Any], words: Iterable[str]) -> dict[str, Any]:
    """Give a line with words added to its note."""
    note = "; ".join(filter(None, (line.get("note", ""), *words)))
    return {**line, "note": note} if note else dict(line)
