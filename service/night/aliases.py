"""Words that people at a bar said the meaning of: remembered as marks, whatever the menu becomes.

An alias is a mark whose key is what it is about and the word, and whose words are the id it stands
for; for a spirit with its mixer and measure they are these three with ``+`` between. One whose
recipe or ingredient is not on the menu waits until it is there again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import datetime

from service.naming import Aliases, Meant, Poured, folded

from .records import Mark, MarkKind

PLUS = "+"


def alias_mark(meant: Meant, word: str, stands_for: str, now: datetime) -> Mark:
    """Write an alias down; the same word said anew takes the place of what it was."""
    return Mark(
        kind=MarkKind.ALIAS,
        key=f"{meant.value} {folded(word)}",
        since=now,
        words=f"{stands_for}\t{' '.join(word.split())}",
    )


def aliases_of(marks: Iterable[Mark]) -> Aliases:
    """Give what a bar's marks of kind alias say."""
    found: dict[Meant, dict[str, str]] = {meant: {} for meant in Meant}
    for mark in marks:
        meant, _, bare = mark.key.partition(" ")
        found[Meant(meant)][bare] = stands_for(mark)
    poured = {word: poured_of(said) for word, said in found[Meant.POURED].items()}
    return Aliases(recipes=found[Meant.RECIPE], ingredients=found[Meant.INGREDIENT], poured=poured)


def poured_words(poured: Poured) -> str:
    """Write a spirit, its mixer and its measure as an alias keeps them."""
    return PLUS.join((poured.spirit, poured.mixer, poured.measure)).rstrip(PLUS)


def poured_of(said: str) -> Poured:
    """Read what `poured_words` wrote."""
    spirit, mixer, measure = [*said.split(PLUS), "", ""][:3]
    return Poured(spirit=spirit, mixer=mixer, measure=measure)


def stands_for(mark: Mark) -> str:
    """Give the id an alias stands for."""
    return mark.words.partition("\t")[0]


def word_of(mark: Mark) -> str:
    """Give the word of an alias as it was printed."""
    return mark.words.partition("\t")[2]


def alias_id(mark: Mark) -> str:
    """Give the id of an alias for an address: its word may hold any letter there is."""
    return f"w-{hashlib.sha256(mark.key.encode()).hexdigest()[:16]}"
