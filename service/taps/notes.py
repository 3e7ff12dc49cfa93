"""Alerts that stay until what is wrong is right again, or somebody has seen them."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import timedelta

from service.errors import NotFound
from service.night.records import Mark, MarkKind
from service.night.state import Draft

from .numbers import gap_words
from .said import Said

SEEN_AWAY = (MarkKind.PRINT, MarkKind.PRINTER, MarkKind.GAP, MarkKind.CLOCK)
"""Kinds of alert that somebody can tap away."""


def alert_id(mark: Mark) -> str:
    """Give the id by which an alert is tapped away: what it is about may hold any sign."""
    return f"a-{hashlib.sha256(mark.id.encode()).hexdigest()[:16]}"


def seen(draft: Draft, wanted: str) -> Said:
    """Take an alert away that somebody has seen."""
    for mark in (mark for kind in SEEN_AWAY for mark in draft.marks_of(kind)):
        if alert_id(mark) == wanted:
            if mark.kind is MarkKind.CLOCK:
                # By how much the clock is off stays known, and so it is not said again.
                draft.put(replace(mark, words=""))
            else:
                draft.drop("mark", mark.id)
            return Said(words=f"seen: {words_of(mark)}")
    raise NotFound(f"expected the id of an alert that can be tapped away; came {wanted!r}")


def words_of(mark: Mark) -> str:
    """Give the sentence of an alert."""
    return gap_words(mark) if mark.kind is MarkKind.GAP else mark.words.partition("\n")[0]


def paper_of(mark: Mark) -> tuple[str, ...]:
    """Give what stands on the paper that an alert is about."""
    return tuple(mark.words.split("\n")[1:]) if mark.kind is MarkKind.PRINT else ()


def note_printer(draft: Draft, key: str, words: str, lasts: timedelta | None = None) -> Said:
    """Say what is wrong with a port or printer; nothing, where it is right again."""
    mark = Mark(
        kind=MarkKind.PRINTER,
        key=key,
        since=draft.now,
        until=draft.now + lasts if lasts else None,
        words=words,
    )
    if words:
        draft.put(mark)
    else:
        draft.drop("mark", mark.id)
    return Said(words=words or f"right again: {key}")
