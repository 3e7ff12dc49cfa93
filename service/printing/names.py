"""A drink's name on paper: whether it is whole, and what is said of the drink behind it.

Some tills print changes on the drink's own line, ``Hedge Lane, no ice`` or ``Hedge Lane (no ice)``.
A name is cut there only where what stands before is one that the profile or the menu knows.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from rapidfuzz import fuzz, process

from service.drink_names import JOINING, MEASURES
from service.naming import folded as plain

from .changes import Said, read_said
from .lexicon import FEWEST_LETTERS, Lexicon
from .prints import Role
from .words import DECORATION, folded, squeezed, tokens

SIZED = frozenset(
    (
        *("size", "format", "glass", "measure", "pour", "serve", "shot", "portion", "dose"),
        *("taille", "verre", "glas", "mass", "menge", "vaso", "medida", "misura", "bicchiere"),
    )
)
"""Words beside a measure that say nothing more."""
LIKE = 85
"""Of 100: how like a word is to one that is spelled otherwise."""
_BEHIND = re.compile(r"\s*[,;(\[]|\s[-–+/*>]\s?")
_PIECES = re.compile(r"[,;()\[\]]|(?<!\S)[/>*](?!\S)|(?<=[\s(])(?=[+-]\s)")
_BETWEEN = re.compile(r"[\s&+/,]+")
_OPEN, _CLOSED = re.compile(r"[(\[]"), re.compile(r"[)\]]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What is known of the names of drinks.

    Attributes
    ----------
    lexicon : Lexicon
    is_name : callable or None
        Whether a text is the name of a drink, where the menu can be asked.
    """

    lexicon: Lexicon
    is_name: Callable[[str], bool] | None = None

    def is_known(self, name: str) -> bool:
        """Whether this is the name of a drink, or of a spirit with its mixer."""
        return self._is_named(name) or self.undoubled(name) is not None

    def is_like(self, name: str) -> bool:
        """Whether it may be the name of a drink that is misspelled, cut off or not on the menu."""
        word, lexicon = folded(name), self.lexicon
        begins = (" ".join(word.split()[: at + 1]) for at in range(len(word.split())))
        if any(one in lexicon.ingredients for one in begins):
            return True
        words = (one for one in tokens(name) if len(one) >= FEWEST_LETTERS)
        return any(
            process.extractOne(one, lexicon.drink_words, scorer=fuzz.ratio, score_cutoff=LIKE)
            for one in words
        )

    def joins(self, rest: str) -> bool:
        """Whether a line begins with a word between a spirit and its mixer: ``with cola``."""
        first = next(filter(None, _BETWEEN.split(rest)), "")
        return plain(first) in JOINING or rest[:1] in "&/"

    def undoubled(self, name: str) -> str | None:
        """Give a name without the profile's own word for a double; None where it has none."""
        found = self.lexicon.doubles.search(name)
        if found is None or self._is_named(name):
            return None
        rest = squeezed(f"{name[: found.start()]} {name[found.end() :]}")
        return rest if self._is_named(rest) else None

    def _is_named(self, name: str) -> bool:
        if folded(name) in self.lexicon.drinks or (self.is_name is not None and self.is_name(name)):
            return True
        return self._is_poured(name)

    def is_whole(self, name: str) -> bool:
        """Whether it is such a name, and all that is said behind it is understood."""
        if self.is_known(name):
            return True
        _, said = self.parted(name)
        return bool(said) and all(one.role is not Role.NOTE for one in said)

    def is_settled(self, name: str) -> bool:
        """Whether it is whole, and every ingredient that is named behind it is known."""
        if self.is_known(name):
            return True
        _, said = self.parted(name)
        return bool(said) and all(
            one.role is not Role.NOTE and self.lexicon.knows(one.changes) for one in said
        )

    def begins(self, name: str) -> bool:
        """Whether a name that is known goes on from this; or a bracket in it is still open."""
        if len(_OPEN.findall(name)) > len(_CLOSED.findall(name)):
            return True
        word = folded(name) + " "
        return any(one.startswith(word) for one in self.lexicon.drinks)

    def sized(self, name: str, text: str) -> Said | None:
        """Give what a line says that is the measure of a spirit and a mixer: ``Large``."""
        words = [plain(word) for word in text.rpartition(":")[2].strip(DECORATION).split()]
        sizes = {MEASURES.get(word) for word in words if word not in SIZED}
        size = sizes.pop() if len(sizes) == 1 else None
        if size is None or not self._is_poured(name):
            return None
        return Said(role=Role.CHANGE, changes=({"double": True},) if size == "double" else ())

    def parted(self, name: str) -> tuple[str, list[Said]]:
        """Give the name alone, and what is said of the drink behind it."""
        if (rest := self.undoubled(name)) is not None:
            return rest, [Said(role=Role.CHANGE, changes=({"double": True},))]
        if self._is_named(name):
            return name, []
        for found in reversed(list(_BEHIND.finditer(name))):
            head = name[: found.start()].strip()
            if head and self.is_known(head):
                pieces = [one.strip() for one in _PIECES.split(name[found.start() :])]
                said = [read_said(self.lexicon, one) for one in pieces if one]
                head, more = self.parted(head)
                return (head, more + said) if said else (name, [])
        return name, []

    def _is_poured(self, name: str) -> bool:
        """Whether these are a spirit and a mixer, with a measure perhaps."""
        words = [word for word in _BETWEEN.split(name.casefold()) if plain(word)]
        words = [word for word in words if plain(word) not in MEASURES]
        known = self.lexicon.ingredients
        for at in range(1, len(words)):
            rest = words[at + 1 :] if plain(words[at]) in JOINING else words[at:]
            if " ".join(words[:at]) in known and " ".join(rest) in known:
                return True
        return False
