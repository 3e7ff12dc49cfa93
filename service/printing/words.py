"""Words on paper: compared without capitals, spare spaces and the signs that decorate them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from fnmatch import translate
from functools import lru_cache

DECORATION = " \t*-=_~#.!:<>[](){}|+•·»«/\\"
FEWEST_CENTRED = 4
"""Spaces before a line that may have been centred by them."""
KEPT_READY = 256
"""Lists of words whose patterns are kept: profiles mostly differ in few of them."""
_NEVER = re.compile(r"(?!)")
_NUMBER = r"(?:#|#?\d[\d.,:/-]*)"
AFTER_WORD = r"[\s:.=#>\])|\-–]*"
"""What may stand between a label or a change word and what it speaks of."""


def squeezed(text: str) -> str:
    """Give text with single spaces."""
    return " ".join(text.split())


def bare(text: str) -> str:
    """Give text without the signs around it: ``** VOID **`` is ``VOID``."""
    return squeezed(text.strip(DECORATION))


def folded(text: str) -> str:
    """Give text as it is compared: bare, and without capitals."""
    return bare(text).casefold()


def unaccented(text: str) -> str:
    """Give text without accents: many tills print capitals without them."""
    if text.isascii():
        return text
    parts = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


def is_centred(text: str, width: int) -> bool:
    """Whether a line looks centred by the spaces before it."""
    indent = len(text) - len(text.lstrip())
    return indent >= FEWEST_CENTRED and abs(indent - (width - len(text))) <= 1


def any_of(words: Iterable[str]) -> re.Pattern[str]:
    """Give a pattern of any of these words, whole ones, the longest first; never of nothing."""
    return _any_of(tuple(words))


@lru_cache(maxsize=KEPT_READY)
def _any_of(words: tuple[str, ...]) -> re.Pattern[str]:
    told = sorted({squeezed(word) for word in words if word.strip()}, key=lambda w: (-len(w), w))
    return re.compile("|".join(map(_word, told)), re.IGNORECASE) if told else _NEVER


def starting(words: Iterable[str], *, then: str = "") -> re.Pattern[str]:
    """Give a pattern of any of these words with what may stand behind it, to match at the start.

    Parameters
    ----------
    words : iterable of str
    then : str
        A regular expression of what may also stand between the word and what it speaks of.
    """
    found = any_of(words)
    if found is _NEVER:
        return found
    return re.compile(f"(?P<word>{in_two_tongues(found.pattern)}){AFTER_WORD}{then}", re.IGNORECASE)


def in_two_tongues(pattern: str) -> str:
    """Let a word stand once more in another tongue behind a stroke: ``Serveur/Bediening``."""
    return rf"(?:{pattern})(?:\s?/\s?(?:{pattern}))?"


def tokens(text: str) -> set[str]:
    """Give the words of a line, small, without the signs around them."""
    return {word.strip(DECORATION) for word in text.casefold().split()}


def first_words(words: Iterable[str]) -> frozenset[str]:
    """Give the first word of each, as `tokens` gives words: none of them, none of the words."""
    return frozenset(word.casefold().split()[0].strip(DECORATION) for word in words if word.strip())


def globs(words: Iterable[str]) -> re.Pattern[str]:
    """Give a pattern of whole folded lines: ``*`` for anything, ``#`` for a number."""
    return _globs(tuple(words))


@lru_cache(maxsize=KEPT_READY)
def _globs(words: tuple[str, ...]) -> re.Pattern[str]:
    told = [_glob(word) for word in words if word.strip()]
    return re.compile("|".join(told), re.IGNORECASE) if told else _NEVER


def _glob(word: str) -> str:
    """Translate one; at most three stars are heeded, so that no line takes long."""
    plain = squeezed(word.casefold())
    head, *rest = re.split(r"\*+", plain)
    if len(rest) > 3:
        plain = "*".join([head, *rest[:2], "".join(rest[2:])])
    return translate(re.sub(r"([\[?])", "[\\1]", plain)).replace(r"\#", _NUMBER)


def _word(word: str) -> str:
    said = re.escape(word).replace(r"\ ", r"\s+")
    before = r"(?<![^\W_])" if word[0].isalnum() else ""
    behind = r"(?![^\W\d_]|['’][^\W\d_])" if word[-1].isalnum() else ""
    return before + said + behind
