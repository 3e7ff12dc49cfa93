"""What another menu, counter or table of standards would change, in a line each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from service.files.bars import Bar
from service.files.parts import Part

MOST_NAMED = 8
ONE = {
    "recipes": "recipe",
    "ingredients": "ingredient",
    "stations": "station",
    "people": "person",
    "glasses": "glass",
    "shared_wells": "shared well",
}


def changes(before: Bar, after: Bar, part: Part) -> tuple[str, ...]:
    """Say what differs between a bar and the bar with a new part; empty when nothing does."""
    if part is Part.STANDARDS:
        rows = _rows("time standard", before.standards.rows, after.standards.rows)
        return tuple(_shortened(rows))
    found: list[str] = []
    old, new = getattr(before, part.value), getattr(after, part.value)
    for field in fields(old):
        was, now = getattr(old, field.name), getattr(new, field.name)
        if not field.init or was == now:
            continue
        if field.name in ONE:
            found += _rows(ONE[field.name], _by_id(was), _by_id(now)) or ["another order of them"]
        else:
            found.append(f"{field.name.replace('_', ' ')} changed")
    return tuple(_shortened(found))


def _rows(one: str, was: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    return [
        *(f"{one} {name} added" for name in now if name not in was),
        *(f"{one} {name} removed" for name in was if name not in now),
        *(f"{one} {name} changed" for name in now if name in was and was[name] != now[name]),
    ]


def _by_id(rows: Iterable[Any]) -> dict[str, Any]:
    return {
        getattr(row, "id", "") or str(getattr(row, "ice", i)): row for i, row in enumerate(rows)
    }


def _shortened(found: list[str]) -> Iterator[str]:
    yield from found[:MOST_NAMED]
    if (more := len(found) - MOST_NAMED) > 0:
        yield f"and {more} more"
