"""Words that people at a bar said the meaning of: remembered as marks, whatever the menu becomes.

An alias is a mark whose key is what it is about and the word, and whose words are the id it stands
for. One whose recipe or ingredient is not on the menu waits until it is there again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime

from service.naming import Aliases, Meant, folded

from .records import Mark, MarkKind


def alias_mark(meant: Meant, word: str, stands_for: str, now: datetime) -> Mark:
    """Write an alias down; the same word said anew takes the place of what it was."""
    return Mark(
        kind=MarkKind.ALIAS,
        key=f"{meant.value} {folded(word)}",
        since=now,
        words=f"{stands_for}\t{' '.join(word.split())}",
    )


def aliases_of(marks: Mapping[str, Mark]) -> Aliases:
    """Give the aliases among a bar's marks."""
    found: dict[Meant, dict[str, str]] = {Meant.RECIPE: {}, Meant.INGREDIENT: {}}
    for mark in marks.values():
        if mark.kind is MarkKind.ALIAS:
            meant, _, bare = mark.key.partition(" ")
            found[Meant(meant)][bare] = stands_for(mark)
    return Aliases(recipes=found[Meant.RECIPE], ingredients=found[Meant.INGREDIENT])


def stands_for(mark: Mark) -> str:
    """Give the id an alias stands for."""
    return mark.words.partition("\t")[0]


def word_of(mark: Mark) -> str:
    """Give the word of an alias as it was printed."""
    return mark.words.partition("\t")[2]


def alias_id(mark: Mark) -> str:
    """Give the id of an alias for an address: its word may hold any letter there is."""
    return f"w-{hashlib.sha256(mark.key.encode()).hexdigest()[:16]}"
