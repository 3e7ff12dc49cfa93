"""A second look at a document: what one fault would hide of the others, so that all are said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from solver.snapshot import Snapshot
from solver.standards import ROWS

from .bars import Finding, check_bar, near
from .marked import At
from .schemas import BAR_FILE

STAND_IN = {"id": "bar", "name": "bar", "timezone": "UTC"}
"""Who the bar is, where its head cannot be read; no other check looks at it."""


def seen_anyway(data: object, findings: list[Finding]) -> list[Finding]:
    """Find what else is wrong in a bar's file that was refused already.

    Parameters
    ----------
    data : Any
        The whole document, refused.
    findings : list of Finding
        Why.
    """
    if not isinstance(data, dict):
        return []
    menu, counter = _part(data, "menu"), _part(data, "counter")
    found = [*_of_the_rest(data, findings), *_ingredients(menu), *_glasses(menu, counter)]
    return list({one.at: one for one in [*found, *unknown_standards(data)]}.values())


def unknown_standards(data: object) -> Iterator[Finding]:
    """Find time standards of a bar's file that there are not."""
    for name in _part(data, "standards"):
        if name not in ROWS:
            hint = near(str(name), ROWS)
            at: At = ("standards", str(name))
            yield Finding(at=at, expected="a known time standard", came=f"'{name}'", hint=hint)


def unknown_in(snapshot: Snapshot) -> list[Finding]:
    """Find what a snapshot says is short or comes back, and neither menu nor counter knows.

    Parameters
    ----------
    snapshot : Snapshot
        As it was read; the planner would take no notice of such a row.
    """
    ingredients, glasses = snapshot.menu.by_ingredient, snapshot.counter.by_glass
    short = [("short", i, "ingredient", row.ingredient) for i, row in enumerate(snapshot.short)]
    back = [("glasses_back", i, "glass", row.glass) for i, row in enumerate(snapshot.glasses_back)]
    return [
        *_unknown(short, ingredients, "an ingredient of the menu"),
        *_unknown(back, glasses, "a glass of the counter"),
    ]


def _unknown(
    rows: Iterable[tuple[str, int, str, str]], known: Iterable[str], expected: str
) -> Iterator[Finding]:
    names = set(known)
    for key, index, field, name in rows:
        if name not in names:
            hint = near(name, names)
            yield Finding(at=(key, index, field), expected=expected, came=f"'{name}'", hint=hint)


def _of_the_rest(data: dict[str, Any], findings: list[Finding]) -> Iterator[Finding]:
    """Check the bar without its faulty recipes and without who it is, if that is all there is."""
    recipes = _rows(_part(data, "menu"), "recipes")
    faulty = {one.at[2] for one in findings if one.at[:2] == ("menu", "recipes") and one.at[2:]}
    elsewhere = [
        one
        for one in findings
        if one.at[:1] not in (("bar",), ("standards",))
        and not (one.at[:2] == ("menu", "recipes") and one.at[2:])
    ]
    if elsewhere:
        return
    sound = [index for index in range(len(recipes)) if index not in faulty]
    menu = {**_part(data, "menu"), "recipes": [recipes[index] for index in sound]}
    rest = {"bar": STAND_IN, "counter": data.get("counter"), "menu": menu}
    try:
        bar = BAR_FILE.validate_python(rest)
    except ValidationError:
        return
    for one in check_bar(bar.counter, bar.menu):
        match one.at:
            case ("menu", "recipes", int(index), *inside):
                yield replace(one, at=("menu", "recipes", sound[index], *inside))
            case _:
                yield one


def _ingredients(menu: dict[str, Any]) -> Iterator[Finding]:
    """Find pours of ingredients that the menu does not have."""
    known = _ids(menu, "ingredients")
    for i, recipe in enumerate(_rows(menu, "recipes")):
        for j, pour in enumerate(_rows(recipe, "pours")):
            name = pour.get("ingredient")
            if isinstance(name, str) and name not in known:
                yield Finding(
                    at=("menu", "recipes", i, "pours", j, "ingredient"),
                    expected="an ingredient of the menu",
                    came=f"'{name}'",
                    hint=near(name, known) or "add it to the ingredients or correct it",
                )


def _glasses(menu: dict[str, Any], counter: dict[str, Any]) -> Iterator[Finding]:
    """Find glasses of the menu that the counter does not have."""
    known = _ids(counter, "glasses")
    rows = _rows(menu, "recipes")
    named: list[tuple[At, object]] = [
        (("menu", "rocks_glass"), menu.get("rocks_glass")),
        (("menu", "up_glass"), menu.get("up_glass")),
        (("menu", "spirit_and_mixer", "glass"), _part(menu, "spirit_and_mixer").get("glass")),
        *((("menu", "recipes", i, "glass"), row.get("glass")) for i, row in enumerate(rows)),
    ]
    for at, name in named:
        if known and name and isinstance(name, str) and name not in known:
            hint = near(name, known)
            yield Finding(at=at, expected="a glass of the counter", came=f"'{name}'", hint=hint)


def _ids(data: dict[str, Any], key: str) -> list[str]:
    return [row["id"] for row in _rows(data, key) if isinstance(row.get("id"), str)]


def _part(data: object, key: str) -> dict[str, Any]:
    found = data.get(key) if isinstance(data, dict) else None
    return found if isinstance(found, dict) else {}


def _rows(data: dict[str, Any], key: str) -> list[dict[str, Any]]:
    rows = data.get(key)
    return [row if isinstance(row, dict) else {} for row in rows] if isinstance(rows, list) else []
