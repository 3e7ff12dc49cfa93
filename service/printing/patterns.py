"""Regular expressions of a profile: held against a whole line, and refused where they could hang.

A pattern sees one line without the spaces around it and with single spaces between words, at most
`LONGEST` characters. The most steps a backtracking matcher can need for it are counted from its
repeats; nested repeats, repeats of alternatives and back references, whose steps grow without such
a bound, are refused.
"""

from __future__ import annotations

import re
from functools import lru_cache
from math import factorial

from solver.errors import BadValue

LONGEST = 96
MOST_STEPS = 4_000_000
"""Some tens of milliseconds in the worst case; usual patterns need a few hundred."""
LONGEST_PATTERN = 200

_REPEAT = re.compile(r"([*+?])|\{(\d*)(,?)(\d*)\}")
_GROUP = re.compile(r"\(\?(?:P<(\w+)>|:|[=!]|<[=!]|>|P=|\(|#|[a-zA-Z-]+[:)])?")


def check_pattern(pattern: str, *, needs: str) -> None:
    """Refuse what is no pattern, lacks its group or could take too long (`BadValue`).

    Parameters
    ----------
    pattern : str
    needs : str
        A named group that it must have.
    """
    if len(pattern) > LONGEST_PATTERN:
        raise BadValue(f"a pattern of at most {LONGEST_PATTERN} signs", pattern)
    try:
        found = re.compile(pattern)
    except re.error as error:
        hint = f"{error.msg}" + ("" if error.pos is None else f" at sign {error.pos + 1}")
        raise BadValue("a regular expression", pattern, hint) from None
    if needs not in found.groupindex:
        raise BadValue(f"a pattern with a group (?P<{needs}>…)", pattern)
    if most_steps(pattern) > MOST_STEPS:
        hint = "use fewer * and +, or limits such as {1,3}; spaces between words come as one"
        raise BadValue("a pattern that is quick on any line", pattern, hint)


def whole(pattern: str, text: str) -> dict[str, str] | None:
    """Hold a checked pattern against a line; give its named groups, or None.

    A line longer than `LONGEST` fits no pattern.
    """
    text = " ".join(text.split())
    if len(text) > LONGEST:
        return None
    found = compiled(pattern).fullmatch(text)
    return None if found is None else {k: v or "" for k, v in found.groupdict().items()}


@lru_cache(maxsize=512)
def compiled(pattern: str) -> re.Pattern[str]:
    """Compile a pattern once, capitals not regarded."""
    return re.compile(pattern, re.IGNORECASE)


def most_steps(pattern: str) -> float:
    """Count the most steps that a backtracking matcher may take on a line of `LONGEST` characters.

    The product of the choices of every repeat and alternative in it; open repeats share one line,
    so n of them have at most LONGEST^n / n! ways to divide it.

    Raises
    ------
    BadValue
        For what has no such bound: repeats in repeats, alternatives in repeats, back references.
    """
    walk = _Walk(pattern)
    walk.go()
    return walk.steps / factorial(walk.num_open)


class _Walk:
    """Reads a pattern that `re` has compiled, group by group."""

    def __init__(self, pattern: str) -> None:
        self.pattern = pattern
        self.at = 0
        self.steps = 1.0
        self.num_open = 0
        self.has_choice = [False]

    def go(self) -> None:
        while self.at < len(self.pattern):
            self._atom()

    def _atom(self) -> None:
        sign = self.pattern[self.at]
        if sign == "(":
            self._open()
            return
        is_group = sign == ")"
        inner = False
        if is_group:
            self.at += 1
            inner = self.has_choice.pop()
            self.has_choice[-1] |= inner
        elif sign == "[":
            self._character_class()
        elif sign == "\\":
            self._escape()
        else:
            self.at += 1
            if sign == "|":
                self.steps *= 2
                self.has_choice[-1] = True
                return
        self._repeat(inner)

    def _open(self) -> None:
        found = _GROUP.match(self.pattern, self.at)
        opening = found.group() if found else "("
        if opening.startswith(("(?P=", "(?(", "(?#")) or opening.endswith(")"):
            raise self._refused("without back references, conditions, comments or flags")
        self.at += len(opening)
        self.has_choice.append(False)

    def _character_class(self) -> None:
        self.at += 2 if self.pattern[self.at + 1] == "^" else 1
        self.at += 1  # The first sign in a class is itself, also where it is a bracket.
        if self.pattern[self.at - 1] == "\\":
            self.at += 1
        while self.pattern[self.at] != "]":
            self.at += 2 if self.pattern[self.at] == "\\" else 1
        self.at += 1

    def _escape(self) -> None:
        if self.pattern[self.at + 1].isdigit():
            raise self._refused("without back references")
        self.at += 2

    def _repeat(self, inner_has_choice: bool) -> None:
        found = _REPEAT.match(self.pattern, self.at)
        if found is None or found.group() in ("{}", "{,}"):
            return
        self.at = found.end()
        least, most = _limits(found)
        if inner_has_choice and most > 1:
            raise self._refused("without repeats or alternatives within a repeat")
        self.steps *= max(1, most - least + 1)
        self.num_open += most == LONGEST
        self.has_choice[-1] |= most != least
        if self.pattern[self.at : self.at + 1] in ("?", "+"):
            self.at += 1  # Lazy or possessive.

    def _refused(self, words: str) -> BadValue:
        hint = "match the words around it, or give label words instead"
        return BadValue(f"a pattern {words}", self.pattern, hint)


def _limits(found: re.Match[str]) -> tuple[int, int]:
    sign, least, comma, most = found.groups()
    if sign:
        return {"*": (0, LONGEST), "+": (1, LONGEST), "?": (0, 1)}[sign]
    low = int(least or 0)
    high = (int(most) if most else LONGEST) if comma else low
    return min(low, LONGEST), min(high, LONGEST)
