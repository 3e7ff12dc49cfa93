"""Where the name of a whole drink meets the menu: a recipe, or a spirit with its mixer and measure.

The commonest line of all needs no recipe written: ``Gin & Tonic``, ``DBL VODKA SODA``. Every word
of it has to be a name of the menu, or one that joins or measures; nothing is taken by likeness.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from solver.menu import Kind, Menu

from .naming import (
    MIXER_KINDS,
    POURED_KINDS,
    Aliases,
    folded,
    ingredients_spelled,
    recipes_spelled,
)

NEAT_KINDS = (Kind.SPIRIT, Kind.LIQUEUR)
"""What a guest who names only this gets poured by the house's measure; a wine is a recipe."""

DOUBLE = (
    *("double", "dbl", "dble", "doppelt", "dopp", "doppelter", "doppelte"),
    *(
        "doble",
        "doppio",
        "doppia",
        "dubbel",
        "dubbele",
        "dobbel",
        "dobbelt",
        "duplo",
        "dupla",
        "podwojny",
        "podwojna",
        *("tupla", "duble", "dublu", "dvojity", "dvojita", "dvojite", "topelt", "dobla", "dwbl"),
    ),
)
SINGLE = (
    *("single", "sgl", "sngl", "einfach", "einfacher", "simple", "sencillo", "singolo", "enkel"),
    *("enkele", "enkelt"),
)
LARGE = (
    "large",
    "lge",
    "lrg",
    "lg",
    "gr",
    "gross",
    "grosse",
    "grosser",
    "grand",
    "grande",
    "stor",
    "stora",
    "suuri",
    "velky",
    "velka",
    "nagy",
    "mare",
    "buyuk",
    "duzy",
    "duza",
)
SMALL = ("small", "sml", "sm", "kl", "klein", "kleine", "kleiner", "petit", "liten", "lille")
"""A large spirit is a double and a small one a single (common practice); a large wine is not."""

MEASURES = {
    **dict.fromkeys((*DOUBLE, *LARGE), "double"),
    **dict.fromkeys((*SINGLE, *SMALL), "single"),
}
_BETWEEN = re.compile(r"[\s&+/,]+")
JOINING = (
    *("and", "with", "w", "n", "und", "mit", "et", "avec", "y", "con", "e", "met", "en", "med"),
    *("och", "og", "com", "i", "z", "c", "m", "a", "ja", "ve", "és", "es", "și", "si", "eta"),
)
_CUT_OFF = re.compile(r"[&+/,]\s*$")


def drink_named(menu: Menu, aliases: Aliases, name: str) -> dict[str, Any] | None:
    """Give what a name orders, as a ticket's line does; None where it is no name of the menu.

    Parameters
    ----------
    menu : Menu
    aliases : Aliases
    name : str
        ``Cold Harbour``, ``double Salt Ferry``, ``gin & tonic``, ``large vodka/soda``.
    """
    recipes = recipes_spelled(menu, aliases)
    if (recipe := recipes.id_of(name)) is not None:
        return {"recipe": recipe}
    if (said := _said(menu, aliases, name)) is not None:
        return said
    words = [word for word in _BETWEEN.split(name) if folded(word)]
    measures = [folded(word) for word in words if folded(word) in MEASURES]
    if len({MEASURES[word] for word in measures}) == 1:
        measures = measures[:1]  # "double/dubbele" is said in two tongues.
    words = [word for word in words if folded(word) not in MEASURES]
    if len(measures) > 1 or not words:
        return None
    if measures and measures[0] in (*DOUBLE, *SINGLE):
        doubled: list[dict[str, Any]] = [{"double": True}] if measures[0] in DOUBLE else []
        if (recipe := recipes.id_of(" ".join(words))) is not None:
            return {"recipe": recipe, "changes": doubled}
    if menu.spirit_and_mixer is None:
        return None
    measure = {"measure": MEASURES[measures[0]]} if measures else {}
    if (said := _said(menu, aliases, " ".join(words))) is not None:
        return said | measure
    poured = _spirit_and_mixer(menu, aliases, words, name)
    return {**poured, **measure} if poured else None


def _said(menu: Menu, aliases: Aliases, name: str) -> dict[str, Any] | None:
    """Give the spirit and mixer that somebody at this bar said a word means."""
    said = aliases.poured.get(folded(name))
    if said is None or menu.spirit_and_mixer is None:
        return None
    is_there = said.spirit in menu.by_ingredient and (
        not said.mixer or said.mixer in menu.by_ingredient
    )
    return dict(said.as_line) if is_there else None


def with_drink(menu: Menu, aliases: Aliases, line: Mapping[str, Any]) -> dict[str, Any]:
    """Give a ticket's line with its drink by ids, where the name of its recipe says one."""
    word, changes = line.get("recipe"), line.get("changes") or []
    if not isinstance(word, str) or not isinstance(changes, list):
        return dict(line)
    drink = drink_named(menu, aliases, word)
    if drink is None:
        return dict(line)
    changes = [*changes, *drink.pop("changes", ())]
    others = {key: value for key, value in line.items() if key not in ("recipe", "changes")}
    return {**others, **drink, **({"changes": changes} if changes else {})}


def _spirit_and_mixer(
    menu: Menu, aliases: Aliases, words: list[str], name: str
) -> dict[str, Any] | None:
    """Part words into a spirit and a mixer, wherever both are names; or a spirit alone."""
    spirits = ingredients_spelled(menu, aliases, POURED_KINDS)
    mixers = ingredients_spelled(menu, aliases, MIXER_KINDS)
    for at in range(1, len(words)):
        rest = words[at + 1 :] if folded(words[at]) in JOINING else words[at:]
        spirit, mixer = spirits.id_of(" ".join(words[:at])), mixers.id_of(" ".join(rest))
        if spirit and mixer:
            return {"spirit": spirit, "mixer": mixer}
    if _CUT_OFF.search(name) or folded(words[-1]) in JOINING:
        return None  # A mixer was to follow.
    alone = ingredients_spelled(menu, aliases, NEAT_KINDS).id_of(" ".join(words))
    return {"spirit": alone} if alone else None
