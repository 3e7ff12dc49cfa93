"""Sample prints as sheets of paper, and what the menu knows of the words on them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from service.errors import nearest
from service.naming import MIXER_KINDS, NEAR
from service.printing.paper import Sheet, read_paper, unframed
from service.printing.profile import Ends, Paper
from service.printing.splitting import End, RawPrint, Splitter
from service.printing.words import any_of, folded
from solver.menu import Kind, Menu, Recipe

FEWEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What a menu knows, folded.

    Attributes
    ----------
    drinks : mapping of str to Recipe or None
        Every name and alias; None for what is no recipe (a spirit).
    ingredients : mapping of str to str
        Names of ingredients, garnishes and rims, as they are spelled.
    ids : mapping of str to str
        Names of ingredients to their ids.
    mixers : frozenset of str
        Names of what goes with a spirit.
    named : re.Pattern
        Names of recipes within a line, as `flat` gives it.
    """

    drinks: dict[str, Recipe | None] = field(default_factory=dict)
    ingredients: dict[str, str] = field(default_factory=dict)
    ids: dict[str, str] = field(default_factory=dict)
    mixers: frozenset[str] = frozenset()
    named: re.Pattern[str] = field(default=re.compile(r"(?!)"))

    def find(self, text: str) -> tuple[int, int] | None:
        """Find the name of a recipe in a line: where it begins and ends."""
        found = self.named.search(flat(text))
        return None if found is None else found.span()

    def holds_drink(self, text: str) -> bool:
        """Whether a recipe or a spirit is named in a line."""
        word = folded(text)
        return self.find(text) is not None or any(
            spirit in word for spirit, recipe in self.drinks.items() if recipe is None
        )

    def is_drink(self, name: str) -> bool:
        """Whether a name on paper is on the menu, or holds a spirit of it."""
        word = folded(name)
        if word in self.drinks:
            return True
        return any(spirit in word for spirit, recipe in self.drinks.items() if recipe is None)

    def is_name(self, name: str) -> bool:
        """Whether this is the whole name of a drink, or a spirit and a mixer."""
        word = folded(name)
        if self.drinks.get(word) is not None:
            return True
        spirits = [one for one, recipe in self.drinks.items() if recipe is None and one in word]
        rest = word.replace(max(spirits, key=len), " ", 1) if spirits else ""
        return any(rest.endswith(" " + mixer) for mixer in self.mixers)

    def begins(self, name: str) -> bool:
        """Whether the name of a drink is this or goes on from it."""
        word = folded(name)
        return any(one.startswith(word + " ") or one == word for one in self.drinks)

    def is_near(self, name: str) -> bool:
        """Whether a name is a drink's, or could be one that is misspelled or cut off."""
        named = {word: word for word, recipe in self.drinks.items() if recipe is not None}
        return self.is_drink(name) or bool(nearest(name, named, limit=1, at_least=NEAR))

    def holds(self, recipe: Recipe, ingredient: str) -> bool:
        """Whether a recipe has an ingredient or a garnish of this (folded) name."""
        parts = [pour.ingredient for pour in recipe.pours]
        parts += [garnish.name for garnish in recipe.garnishes] + [recipe.rim]
        return folded(self.ids.get(ingredient, ingredient)) in {folded(part) for part in parts}


FEWEST_LETTERS = 4
"""Of a name that is looked for within a line."""


def flat(text: str) -> str:
    """Give a text small and without accents, as long as before."""
    return "".join(unicodedata.normalize("NFKD", sign)[0].lower()[:1] or sign for sign in text)


def known_of(menu: Menu | None) -> Known:
    """Read a menu's words; none without a menu."""
    if menu is None:
        return Known()
    drinks: dict[str, Recipe | None] = {}
    for recipe in menu.recipes:
        drinks |= {folded(word): recipe for word in (recipe.name, recipe.id, *recipe.aliases)}
    spirits = [row for row in menu.ingredients if row.kind is Kind.SPIRIT]
    drinks |= {folded(row.name): None for row in spirits}
    names = {folded(row.name): row.name for row in menu.ingredients}
    names |= {folded(g.name): g.name for r in menu.recipes for g in r.garnishes}
    names |= {folded(recipe.rim): recipe.rim for recipe in menu.recipes if recipe.rim}
    ids = {folded(row.name): row.id for row in menu.ingredients}
    mixers = frozenset(folded(r.name) for r in menu.ingredients if r.kind in MIXER_KINDS)
    words = [flat(word) for word, recipe in drinks.items() if recipe is not None]
    named = any_of(word for word in words if len(word) >= FEWEST_LETTERS)
    return Known(drinks=drinks, ingredients=names, ids=ids, mixers=mixers, named=named)


ANY_END = Paper(ends=(Ends.CUT, Ends.FEED, Ends.QUIET))


def prints_in(files: Iterable[bytes], paper: Paper = ANY_END) -> list[RawPrint]:
    """Split files into their prints; what is blank is left out."""
    found: list[RawPrint] = []
    for data in files:
        splitter = Splitter(paper)
        rows = splitter.feed(data)
        found += [row for row in rows if isinstance(row, RawPrint)]
        if (last := splitter.finish(End.QUIET)) is not None:
            found.append(last)
    return [row for row in found if not row.is_blank]


def sheets_of(prints: Sequence[RawPrint], paper: Paper) -> list[Sheet]:
    """Put prints on paper."""
    return [unframed(read_paper(row.begins_with + row.data, paper)) for row in prints]
