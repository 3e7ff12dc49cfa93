"""Whose ticket it is: number, place, server, till and time, by labels or by the profile's lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from .lexicon import FACTS, FIELDS, Lexicon
from .patterns import whole
from .prints import Printed
from .times import find_time
from .words import DECORATION, bare, squeezed

_GAP = re.compile(r"\s{2,}|\s[/|·•]\s|\t")
_DASHES = re.compile(r"\s[-–]\s")
_PERSONS = re.compile(r"\s*\(\d{1,3}[^()]*\)$")
LONGEST_PLACE, LONGEST_NAME = 28, 40
SMALL_WORDS = frozenset(("on", "at", "the", "to", "of", "for", "in", "um", "am", "le", "la", "à"))
"""Words between facts that say nothing by themselves: ``PRINTED 18:06 ON TILL 1``."""


@dataclass(slots=True, kw_only=True)
class HeadLine:
    """What one line of the head says.

    Attributes
    ----------
    facts : dict of str to str
        Of ``number``, ``place``, ``server`` and ``till``.
    printed : Printed or None
    leftover : str
        What of it was not understood.
    """

    facts: dict[str, str] = field(default_factory=dict)
    printed: Printed | None = None
    leftover: str = ""


def read_head(lexicon: Lexicon, text: str) -> HeadLine | None:
    """Read a line as one of the head; None where it says nothing of the kind."""
    line = _by_labels(lexicon, text)
    if line is not None and not line.leftover:
        return line
    if _DASHES.search(text):
        parted = _by_labels(lexicon, _DASHES.sub("   ", text))
        if parted is not None and not parted.leftover:
            return parted
    for template in lexicon.templates:
        if found := whole(template, text):
            named = _by_template(lexicon, found)
            if named is not None:
                return named
    return line


def _by_labels(lexicon: Lexicon, text: str) -> HeadLine | None:
    line = _by_patterns(lexicon, text)
    day_first = lexicon.profile.head.day_first
    printed, rest = find_time(text, day_first=day_first)
    line.printed = line.printed or printed
    leftovers = []
    is_head = line.printed is not None
    for part in _GAP.split(rest):
        for name, value in _labelled(lexicon, part):
            is_head |= name in (*FACTS, "other")
            if name == "":
                leftovers.append(bare(value))
            elif name in FACTS:
                line.facts.setdefault(name, value)
            elif name == "time" and bare(value):
                leftovers.append(bare(value))
    if not line.facts and not is_head:
        return None
    has_patterns = any(getattr(lexicon.profile.head, name).patterns for name in FIELDS)
    said = [one for one in leftovers if one.casefold() not in SMALL_WORDS and _has_word(one)]
    line.leftover = "" if has_patterns else " / ".join(said)
    return line


def _has_word(text: str) -> bool:
    return any(map(str.isalnum, text))


def _by_template(lexicon: Lexicon, found: dict[str, str]) -> HeadLine | None:
    line = HeadLine(facts={name: squeezed(v) for name, v in found.items() if name != "time"})
    if "time" in found:
        day_first = lexicon.profile.head.day_first
        line.printed, rest = find_time(found["time"], day_first=day_first)
        if line.printed is None or bare(rest):
            return None
    return line


def _by_patterns(lexicon: Lexicon, text: str) -> HeadLine:
    line = HeadLine()
    head = lexicon.profile.head
    for name in FIELDS:
        for pattern in getattr(head, name).patterns:
            found = whole(pattern, text)
            if found and found["value"]:
                if name == "time":
                    line.printed, _ = find_time(found["value"], day_first=head.day_first)
                else:
                    line.facts.setdefault(name, squeezed(found["value"]))
    return line


def _labelled(lexicon: Lexicon, part: str) -> Iterator[tuple[str, str]]:
    """Give the facts of one part of a line by their labels, and what is left under no name."""
    part = squeezed(part)
    at = len(part) - len(part.lstrip(DECORATION.replace("#", "")))
    while at < len(part):
        label = _label_at(lexicon, part, at)
        if label is None:
            end = _next_label(lexicon, part, at + 1)
            yield "", part[at:end]
            at = end
            continue
        name, value_at = label
        end = _next_label(lexicon, part, value_at + 1)
        value = part[value_at:end].strip()
        fact, rest = _fact(name, value, part[at:end].strip())
        yield (name, fact) if fact or name == "time" else ("", part[at:end])
        if rest:
            yield "", rest
        at = end


def _label_at(lexicon: Lexicon, part: str, at: int) -> tuple[str, int] | None:
    """Give the field whose label begins here, and where its value begins; the longest wins."""
    best: tuple[int, str, int] | None = None
    for name in FIELDS:
        found = lexicon.labels[name].match(part, at)
        if found and (best is None or found.end("word") > best[0]):
            best = (found.end("word"), name, found.end())
    return None if best is None else (best[1], best[2])


def _next_label(lexicon: Lexicon, part: str, at: int) -> int:
    """Find where the next label with a value behind it begins; the end where there is none."""
    found = lexicon.any_label.search(part, at)
    return len(part) if found is None else found.start()


def _fact(name: str, value: str, whole_part: str) -> tuple[str, str]:
    """Give the fact and what of its value is left; nothing where this is no such value."""
    first, _, rest = value.partition(" ")
    if name in ("number", "other"):
        token = first.strip(DECORATION)
        return (token, rest) if any(map(str.isdigit, token)) else ("", "")
    if name == "place":
        # Behind it, some tills print how many they are.
        value, whole_part = _PERSONS.sub("", value), _PERSONS.sub("", whole_part)
        is_one = any(map(str.isdigit, value)) or " " not in value
        fits = bool(value) and is_one and len(whole_part) <= LONGEST_PLACE
        return (whole_part.strip(DECORATION), "") if fits else ("", "")
    if name == "server":
        fits = bool(value) and len(value) <= LONGEST_NAME and any(map(str.isalpha, value))
        return (value, "") if fits else ("", "")
    if name == "till":
        return (first.strip(DECORATION), rest) if first else ("", "")
    return value, ""
