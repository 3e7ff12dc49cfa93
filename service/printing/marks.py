"""What a print says about itself: void, reprint, correction, test, report, card slip."""

from __future__ import annotations

from .heads import read_head
from .lexicon import Lexicon
from .prints import PrintKind
from .words import bare, tokens, unaccented

NO_TICKET = (PrintKind.TEST, PrintKind.REPORT, PrintKind.CARD_SLIP)


def mark_of(lexicon: Lexicon, text: str) -> PrintKind | None:
    """Give what a line marks its print as; None where it is no such line.

    A mark stands alone on its line, beside words such as "order", or beside a number or a time:
    "Void Where Prohibited" may be a drink. Marks of several words may go on as they like.
    """
    text = unaccented(text)
    if lexicon.mark_words.isdisjoint(tokens(text)):
        return None
    plain = bare(text)
    for kind, words, long_words in lexicon.marks:
        found = words.search(plain)
        if found is None:
            continue
        begins = kind in NO_TICKET and long_words.match(plain) is not None
        if begins or _says_no_more(lexicon, plain, found.start(), found.end()):
            is_copy = kind is PrintKind.VOID and _is_copy(lexicon, plain, found.group())
            return PrintKind.REPRINT if is_copy else kind
    # "Weg damit / storniert": one half says it.
    halves = text.split(" / ") if " / " in text else ()
    return next(filter(None, (mark_of(lexicon, half) for half in halves)), None)


def _is_copy(lexicon: Lexicon, plain: str, said: str) -> bool:
    """Whether a copy is not to be made again: its ticket stands."""
    words = next(words for kind, words, _ in lexicon.marks if kind is PrintKind.REPRINT)
    return said.casefold().startswith("do not") and words.search(plain) is not None


def _says_no_more(lexicon: Lexicon, plain: str, start: int, end: int) -> bool:
    rest = f"{plain[:start]}  {plain[end:]}"
    for _, words, _ in lexicon.marks:
        rest = words.sub(" ", rest)
    rest = lexicon.fillers.sub(" ", rest)
    if not any(map(str.isalpha, rest)):
        # A quantity before it makes it a drink of that name; "2nd copy" has none.
        return start == 0 or not plain[:1].isdigit()
    head = read_head(lexicon, plain[:start] + "  " + plain[end:])
    is_said = head is not None and bool(head.facts or head.printed)
    return head is not None and is_said and not head.leftover
