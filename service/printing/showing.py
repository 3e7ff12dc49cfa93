"""How lines of a print may be shown: with what a screen or a log must not say taken out."""

from __future__ import annotations

from .lexicon import Lexicon
from .marks import mark_of
from .paper import PaperLine
from .prints import PrintedLine, Role
from .redaction import redacted
from .words import squeezed

OF_PERSONS = (Role.HEAD, Role.CARD, Role.HOUSE, Role.UNREAD, Role.ASIDE)
"""Lines on which a label may name somebody."""


def shown(lexicon: Lexicon, text: str) -> str:
    """Write a text as doubts may quote it: redacted."""
    return redacted(squeezed(text), labels=lexicon.person, values=lexicon.taken_out(text))


def printed_line(
    lexicon: Lexicon, line: PaperLine, role: Role, items: tuple[int, ...]
) -> PrintedLine:
    """Put a line of paper with its role; "customer copy" marks a print and names nobody."""
    is_person = role in OF_PERSONS and mark_of(lexicon, line.text) is None
    preview = redacted(
        line.text,
        labels=lexicon.person if is_person else None,
        values=lexicon.taken_out(line.text),
    )
    return PrintedLine(
        text=line.text,
        preview=preview,
        role=role,
        items=items,
        is_bold=line.is_bold,
        is_large=line.is_large,
    )
