"""What a validation found, in the words of the bar: what was expected, what came, what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from solver.errors import BadValue

from .bars import Finding, near
from .kinds import came_for, came_words, expected_words

At = tuple[str | int, ...]

ONE_OF: dict[str, str] = {
    "people": "person",
    "glasses": "glass",
    "pours": "pour",
    "lines": "line",
    "changes": "change",
    "garnishes": "garnish",
    "stations": "station",
    "wells": "well",
    "shared_wells": "shared well",
    "ingredients": "ingredient",
    "recipes": "recipe",
    "allergens": "allergen",
    "allergies": "allergy",
    "taps": "tap",
    "lacks": "lacking",
    "tickets": "ticket",
    "drinks": "drink",
    "in_hand": "build in hand",
    "builds": "build",
    "blocks": "block",
    "people_on": "person on",
    "short": "shortage",
    "crowds": "crowd",
    "drinks_an_hour": "drinks_an_hour, quarter",
    "sizes": "size",
    "shifts": "shift",
    "breaks": "break",
    "barbacks": "barback",
    "more_people": "person",
    "runs_out": "what runs out",
    "kegs_blown": "keg",
    "glass_in_wells": "glass in a well",
    "called_away": "person called away",
    "standards": "time standard",
    "rows": "time standard",
}
"""One of a list, by the list's name."""

GROUPS = ("menu", "counter", "standards", "rows", "bar")
"""Keys that say nothing new once a thing below them is named."""

UNKNOWN_KEYS = ("unexpected_keyword_argument", "extra_forbidden", "unexpected_positional_argument")
_COMMA = re.compile(r"\s*\d+,\d+(\s*[a-z][a-z ]*)?\s*")
_AFTER_COMMA = re.compile(r"\d+\s*[a-z][a-z ]*")
"""An amount with a decimal comma, and what YAML leaves of one after `{amount: 1,`."""


def findings_of(error: ValidationError, adapter: TypeAdapter[Any], data: object) -> list[Finding]:
    """Give every finding of a validation, in the words of the bar.

    Parameters
    ----------
    error : ValidationError
    adapter : TypeAdapter
        What the data was held against; its names are offered for unknown keys.
    data : Any
        The plain data that was validated.
    """
    return findings_of_rows(error.errors(include_url=False), adapter, data)


def findings_of_rows(
    rows: Iterable[ErrorDetails],
    adapter: TypeAdapter[Any] | None,
    data: object,
    *,
    named: str = "names with values",
) -> list[Finding]:
    """Give every finding of a validation that somebody else ran.

    Parameters
    ----------
    rows : iterable of ErrorDetails
        With places that begin at `data`.
    adapter : TypeAdapter or None
        None where the names and values there are cannot be known.
    data : Any
    named : str
        What names with values are called in this document.
    """
    names = _Names(adapter)
    return [_finding(row, names, data, named) for row in rows]


def place_words(at: At, data: object) -> str:
    """Say where something stands: "recipe cold-harbour, pour 2 (gin), amount".

    Parameters
    ----------
    at : tuple of (str or int)
        Keys and positions that lead to it.
    data : Any
        The document.
    """
    said: list[str] = []
    parent = ""
    for part in at:
        data = _step(data, part)
        if isinstance(part, int):
            if said and said[-1] == parent:
                said.pop()
            said.append(_nth(parent, part, data))
        elif parent in ("standards", "rows"):
            said[-1:] = [f"time standard {part}"]
        else:
            # As it is spelled in the file: that is where it has to be found.
            said.append(part)
        parent = str(part)
    while len(said) > 1 and at[0] in GROUPS and said[0] in GROUPS:
        said.pop(0)
    return ", ".join(said)


def from_bad_value(error: BadValue, at: At, data: object) -> Finding:
    """Turn a solver's refusal into a finding, at the value that it speaks of if that is found."""
    only = "id" if " id once" in error.expected else ""
    found = _deeper(_walk(data, at), error.came, only)
    hint = error.hint
    if isinstance(error.came, str) and _COMMA.fullmatch(error.came):
        hint = f"write {error.came.strip().replace(',', '.')}"
    return Finding(
        at=(*at, *found), expected=error.expected, came=came_words(error.came), hint=hint
    )


def _finding(row: ErrorDetails, names: _Names, data: object, named: str) -> Finding:
    at, kind, came = tuple(row["loc"]), row["type"], row["input"]
    inner = row.get("ctx", {}).get("error")
    if isinstance(inner, BadValue):
        return from_bad_value(inner, at, data)
    if kind in ("missing", "missing_argument", "missing_keyword_only_argument"):
        expected = f"{str(at[-1]).replace('_', ' ')} to be given" if at else named
        said = names.meaning(at)
        return Finding(at=at, expected=expected, came="nothing", hint=said)
    comma = _parted(_walk(data, at[:-1])) if at else ""
    if comma and (kind in UNKNOWN_KEYS or at[-1] == "amount"):
        hint = f"write {comma}"
        return Finding(at=at, expected="a point before tenths", came="a comma", hint=hint)
    if kind in UNKNOWN_KEYS:
        known = names.known(at[:-1])
        hint = near(str(at[-1]), known) or "remove it"
        expected = "only names that are known here"
        return Finding(at=at, expected=expected, came=f"'{at[-1]}'", hint=hint)
    if kind in ("enum", "literal_error"):
        choices = str(row["ctx"]["expected"]).replace("''", "nothing").replace("'", "")
        hint = near(str(came), choices.replace(" or ", ", ").split(", ")) if came else ""
        expected = f"one of {choices}"
        hint = hint if hint.startswith("did you mean") else ""
        return Finding(at=at, expected=expected, came=came_words(came), hint=hint)
    if kind == "dataclass_type":
        named = f"{named} ({', '.join(names.known(at)[:8])})"
    expected = expected_words(kind, row.get("ctx", {}), row["msg"], named=named)
    hint = _hint(kind, at, came) or (_add_one(names.is_needed(at)) if _wants_list(row) else "")
    return Finding(at=at, expected=expected, came=came_for(kind, came), hint=hint)


def _parted(row: object) -> str:
    """Give the amount that a comma parted in two, as it should be; empty where none did."""
    if not isinstance(row, Mapping) or not isinstance(row.get("amount"), int):
        return ""
    rest = [key for key in row if isinstance(key, str) and _AFTER_COMMA.fullmatch(key)]
    return f"{row['amount']}.{rest[0]}" if rest else ""


def _wants_list(row: ErrorDetails) -> bool:
    """Whether a list was wanted and nothing is there."""
    return row["type"] in ("tuple_type", "list_type", "too_short") and row["input"] in (
        None,
        [],
        "",
    )


def _add_one(is_needed: bool) -> str:
    return "add one" if is_needed else "add one, or remove the name"


def _hint(kind: str, at: At, came: object) -> str:
    is_number = isinstance(came, int | float) and not isinstance(came, bool)
    if kind == "string_type" and at and at[-1] == "amount" and is_number:
        return f"write the unit too, such as '{came:g} ml'"
    if kind == "string_type" and (is_number or isinstance(came, bool)):
        return f'put it in quotes: "{came_words(came)}"'
    if kind == "string_too_long":
        return "shorten it"
    if kind == "too_long":
        return "send the rest apart"
    if kind == "timezone_aware":
        return "add Z for UTC, or an offset such as +01:00"
    return ""


class _Names:
    """The names and meanings of a document's fields, read off its JSON Schema."""

    def __init__(self, adapter: TypeAdapter[Any] | None) -> None:
        self._adapter = adapter
        self._schema: dict[str, Any] | None = {} if adapter is None else None

    def known(self, at: At) -> list[str]:
        return list(self._part(at).get("properties", {}))

    def is_needed(self, at: At) -> bool:
        """Whether a field has to be there."""
        return bool(at) and at[-1] in self._part(at[:-1]).get("required", ())

    def meaning(self, at: At) -> str:
        """Give the values a missing field may take, where they are a few."""
        choices = self._part(at).get("enum", ())
        return f"one of {', '.join(map(str, choices))}" if choices else ""

    def _part(self, at: At) -> dict[str, Any]:
        if self._schema is None and self._adapter is not None:
            self._schema = self._adapter.json_schema(mode="validation")
        part = self._plain(self._schema or {})
        for step in at:
            if isinstance(step, int):
                part = self._plain(part.get("items", {}))
            else:
                below = part.get("properties", {}).get(step) or part.get("additionalProperties")
                part = self._plain(below if isinstance(below, dict) else {})
        return part

    def _plain(self, part: dict[str, Any]) -> dict[str, Any]:
        """Follow a reference, and an "or nothing"."""
        choices = [one for one in part.get("anyOf", ()) if one.get("type") != "null"]
        if len(choices) == 1:
            part = choices[0]
        if self._schema is not None and "$ref" in part:
            found: dict[str, Any] = self._schema.get("$defs", {})[part["$ref"].rpartition("/")[2]]
            return found
        return part


def _nth(of: str, index: int, data: object) -> str:
    one = ONE_OF.get(of, of.replace("_", " "))
    name = ""
    if isinstance(data, Mapping):
        keys = ("id", "ingredient", "number", "recipe", "spirit", "name", "person", "ice")
        name = next((str(data[k]) for k in keys if isinstance(data.get(k), str | int)), "")
    if name and of in ("recipes", "ingredients", "glasses", "stations", "people", "drinks"):
        return f"{one} {name}"
    return f"{one} {index + 1}" + (f" ({name})" if name else "")


def _step(data: object, part: str | int) -> object:
    if isinstance(data, Mapping):
        return data.get(part)
    if isinstance(data, Sequence) and not isinstance(data, str) and isinstance(part, int):
        return data[part] if part < len(data) else None
    return None


def _walk(data: object, at: At) -> object:
    for part in at:
        data = _step(data, part)
    return data


def _deeper(data: object, value: object, only: str = "") -> At:
    """Find the way to the last place at or below `data` where a text or number stands.

    `only` is the one key that counts, empty for any.
    """
    if not isinstance(value, str | int | float) or isinstance(value, bool):
        return ()
    found: At = ()
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(data, Mapping):
        pairs = list(data.items())
    elif isinstance(data, list):
        pairs = list(enumerate(data))
    for key, below in pairs:
        is_alike = isinstance(below, str) is isinstance(value, str) and not isinstance(below, bool)
        if is_alike and below == value and only in ("", key):
            found = (key,)
        elif isinstance(below, Mapping | list) and (way := _deeper(below, value, only)):
            found = (key, *way)
    return found
