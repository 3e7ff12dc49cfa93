"""Where a word from a ticket meets the menu: by exact name, then by an alias, never by likeness.

What only comes near is suggested; a person says once that it is so, and the word is an alias of the
bar from then on. Capitals, accents, hyphens, spaces and points are nothing that a name differs by:
a printer knows no accents and cuts where its line ends.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache

from rapidfuzz.distance import Levenshtein

from solver.menu import Kind, Menu, Recipe

from .errors import nearest

POURED_KINDS = (Kind.SPIRIT, Kind.LIQUEUR, Kind.WINE)
MIXER_KINDS = (Kind.MIXER, Kind.JUICE, Kind.BEER)
MOST_NEAR = 3
NEAR = 80.0
"""Likeness of a misspelled word to its name, from 0 to 100, by rapidfuzz's weighted ratio."""
OFFERED = 61.0
"""Likeness from which a name is offered; two letters in common alone make 60."""
SLIP = 0.75
"""Share of letters that stay in a name with a slip: 9 of 12 in "Coco Barge" for "Coconut Barge"."""


class Meant(StrEnum):
    """What a word of a ticket stands for."""

    RECIPE = "recipe"
    INGREDIENT = "ingredient"
    POURED = "poured"
    """A spirit, with its mixer and measure where it has them."""


@lru_cache(maxsize=8192)
def folded(word: str) -> str:
    """Give a spelling without capitals, accents, article and all that is no letter or digit.

    ``"Café d'Été"`` and ``"CAFE D ETE"`` are the same then.
    """
    plain = unicodedata.normalize("NFKD", word.replace("ß", "ss")).casefold().strip()
    # Paper leaves the article out where the line is short.
    plain = plain.removeprefix("the ") or plain
    return "".join(sign for sign in plain if sign.isalnum())


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """A spirit as it is ordered: ids, and a measure where the word says one.

    Attributes
    ----------
    spirit : str
    mixer : str
        Empty for a spirit alone.
    measure : str
        ``single``, ``double``, or empty for the house's usual.
    """

    spirit: str
    mixer: str = ""
    measure: str = ""

    @property
    def as_line(self) -> dict[str, str]:
        """What a ticket's line says of it."""
        rows = {"spirit": self.spirit, "mixer": self.mixer, "measure": self.measure}
        return {key: value for key, value in rows.items() if value}


@dataclass(frozen=True, slots=True, kw_only=True)
class Aliases:
    """Words that people at this bar said the meaning of, folded, with what they stand for."""

    recipes: Mapping[str, str] = field(default_factory=dict)
    ingredients: Mapping[str, str] = field(default_factory=dict)
    poured: Mapping[str, Poured] = field(default_factory=dict)


NO_ALIASES = Aliases()


@dataclass(frozen=True, slots=True, kw_only=True)
class Spelled:
    """Every spelling of some things of the menu.

    Attributes
    ----------
    names : mapping of str to str
        Spelling in small letters to id.
    aliases : mapping of str to str
        Folded words to ids, of this bar.
    """

    names: Mapping[str, str]
    aliases: Mapping[str, str]

    def id_of(self, word: str) -> str | None:
        """Give what a word stands for; None where it is no name, no alias, or could be two."""
        exact = self.names.get(word.strip().casefold())
        if exact is not None:
            return exact
        bare = folded(word)
        if not bare:
            return None
        found = {one for spelling, one in self.names.items() if folded(spelling) == bare}
        if len(found) == 1:
            return found.pop()
        known = self.aliases.get(bare)
        return known if known in self.names.values() else None

    def near(self, word: str) -> tuple[str, ...]:
        """Give the ids whose names come near a word, best first."""
        return tuple(nearest(word, self.names, limit=MOST_NEAR, at_least=OFFERED))

    def is_slip(self, word: str) -> bool:
        """Whether a word is one of these but for a few letters, and no other thing of the house.

        Narrower than `is_near`, by which a soup comes near to a drink.
        """
        wanted = folded(word)
        return any(
            Levenshtein.normalized_similarity(wanted, folded(name)) >= SLIP for name in self.names
        )

    def is_near(self, word: str) -> bool:
        """Whether a word is likely one of these, misspelled: worth asking a person."""
        return bool(nearest(word, self.names, limit=1, at_least=NEAR))


def recipe_names(menu: Menu) -> dict[str, str]:
    """Give every spelling a ticket may use for a recipe, lower case, with its id."""
    spelled = {a.casefold(): r.id for r in menu.recipes for a in (*r.aliases, r.name)}
    return spelled | {recipe.id.casefold(): recipe.id for recipe in menu.recipes}


def ingredient_names(menu: Menu, kinds: Iterable[Kind] = tuple(Kind)) -> dict[str, str]:
    """Give every spelling a ticket may use for an ingredient of these kinds, with its id."""
    found = [row for row in menu.ingredients if row.kind in set(kinds)]
    return {r.name.casefold(): r.id for r in found} | {r.id.casefold(): r.id for r in found}


def names_in(menu: Menu, recipe: Recipe) -> dict[str, str]:
    """Give every spelling of what is in a drink: its ingredients, garnishes and rim."""
    found = {one.name.casefold(): one.name for one in recipe.garnishes}
    if recipe.rim:
        found[recipe.rim.casefold()] = recipe.rim
    for pour in recipe.pours:
        row = menu.ingredient(pour.ingredient)
        found |= {row.name.casefold(): row.id, row.id.casefold(): row.id}
    return found


def recipes_spelled(menu: Menu, aliases: Aliases) -> Spelled:
    """Give the spellings of all recipes."""
    return Spelled(names=recipe_names(menu), aliases=aliases.recipes)


def ingredients_spelled(
    menu: Menu, aliases: Aliases, kinds: Iterable[Kind] = tuple(Kind)
) -> Spelled:
    """Give the spellings of all ingredients of some kinds."""
    return Spelled(names=ingredient_names(menu, kinds), aliases=aliases.ingredients)


def drink_spelled(menu: Menu, aliases: Aliases, recipe: Recipe) -> Spelled:
    """Give the spellings of what is in a drink."""
    return Spelled(names=names_in(menu, recipe), aliases=aliases.ingredients)
