"""Whose ticket it is: number, place, server, till and time, by labels or by the profile's lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from .lexicon import FACTS, FIELDS, Lexicon
from .patterns import whole
from .prints import Printed
from .times import find_time
from .words import DECORATION, bare, folded, squeezed

_GAP = re.compile(r"\s{2,}|\s[/|·•]\s|\t")
_PARTED = re.compile(r"\s[-–]{1,2}\s|,\s|;\s?|\s?[|·•]\s?|\s/\s?|(?<=\w)/\s")
"""Signs that may part facts, or belong to one of them."""
_PERSONS = re.compile(r"\s*\(\d{1,3}[^()]*\)$")
_FILLED = re.compile(r"[._]{3,}")
_AMOUNT = re.compile(r"[^\w]?\d{1,6}[.,]\d{2}")
_BEFORE_CLOCK = re.compile(r"(?P<word>[^\W\d_]+)[.:]?\s?(?=\d{1,2}\.\d{2}(?!\d))")
_OWN_WORD = re.compile(r"[^\W\d_]{3,}")
_CELL = re.compile(r"\S+(?:\s\S+)*")
FEWEST_CELLS = 2
"""Labels beside each other, with their values under them."""
LONGEST_PLACE, LONGEST_NAME, LONGEST_SPOT = 28, 40, 4
MOST_PLACE_WORDS, MOST_NAME_WORDS = 2, 4
"""Words before a place's number, and words of a name, at most."""


@dataclass(slots=True, kw_only=True)
class HeadLine:
    """What one line of the head says.

    Attributes
    ----------
    facts : dict of str to str
        Of ``number``, ``place``, ``server`` and ``till``.
    printed : Printed or None
    others : tuple of str
        Values of labels of which nobody asks.
    leftover : str
        What of it was not understood.
    """

    facts: dict[str, str] = field(default_factory=dict)
    printed: Printed | None = None
    others: tuple[str, ...] = ()
    leftover: str = ""


def read_head(lexicon: Lexicon, text: str) -> HeadLine | None:
    """Read a line as one of the head; None where it says nothing of the kind.

    What the labels leave over is asked of the profile's own lines; where these do not fit either,
    it stays left over, and is said.
    """
    text = unfilled(text)
    for pattern in lexicon.twice if " / " in text else ():
        text = pattern.sub(r"\1/\2", text)
    line = _by_labels(lexicon, text)
    if line is not None and not line.leftover:
        return line
    if _PARTED.search(text):
        parted = _by_labels(lexicon, _PARTED.sub("   ", text))
        if parted is not None and not parted.leftover:
            return parted
    return _by_templates(lexicon, text) or line


def read_below(lexicon: Lexicon, text: str, below: str) -> HeadLine | None:
    """Read a line of labels alone with the values that stand under them; None where it is none."""
    cells = list(_CELL.finditer(text))
    starts = [one.start() for one in cells]
    are_under = all(below[a : a + 1].strip() and not below[:a][-1:].strip() for a in starts)
    if len(cells) < FEWEST_CELLS or not are_under:
        return None
    if not all(is_label(lexicon, one.group()) for one in cells):
        return None
    ends = [*starts[1:], len(below)]
    values = [below[a:b].strip() for a, b in zip(starts, ends, strict=True)]
    line = HeadLine()
    for label, value in zip(cells, values, strict=True):
        read = _by_labels(lexicon, f"{label.group()}: {value}")
        if read is None or read.leftover:
            return None
        line.facts |= read.facts
        line.printed = joined_times(line.printed, read.printed) if read.printed else line.printed
    return line if line.facts else None


def unfilled(text: str) -> str:
    """Give a line without the dots or lines that lead from a label to its value."""
    return _FILLED.sub(" ", text)


def is_head(lexicon: Lexicon, text: str) -> bool:
    """Whether a line is one of the head and nothing of it is left over."""
    head = read_head(lexicon, text)
    return head is not None and not head.leftover


def is_said(lexicon: Lexicon, text: str) -> bool:
    """Whether it is one that says a fact, and nothing is left over."""
    head = read_head(lexicon, text)
    return head is not None and bool(head.facts) and not head.leftover


def has_sign(lexicon: Lexicon, text: str) -> bool:
    """Whether a line has a number, or a sign behind its label, as facts mostly do."""
    plain = bare(text)
    found = (pattern.match(plain) for pattern in lexicon.labels.values())
    signed = (plain[one.end("word") : one.end()].strip() for one in found if one)
    return ":" in plain or any(map(str.isdigit, plain)) or any(signed)


def place_alone(text: str) -> str:
    """Give the place that a line by itself may be: a word or two and a number, ``VIP 21``."""
    words = bare(text).split()
    is_place = 1 < len(words) <= MOST_PLACE_WORDS + 1 and words[-1].isdecimal()
    is_short = is_place and len(words[-1]) <= LONGEST_SPOT
    return " ".join(words) if is_short and all(map(_OWN_WORD.fullmatch, words[:-1])) else ""


def joined_times(before: Printed | None, found: Printed) -> Printed:
    """Put a day and a time of two lines together; the first of each counts."""
    if before is None:
        return found
    text = before.text if found.text == before.text else f"{before.text} {found.text}"
    day = before if before.day else found
    return Printed(text=text, day=day.day, at=before.at or found.at, other_day=day.other_day)


def _by_templates(lexicon: Lexicon, text: str) -> HeadLine | None:
    for template in lexicon.templates:
        is_due = "(?P<time>" in template
        printed, timed = with_time_found(lexicon, text, is_due=is_due)
        found = whole(template, timed if is_due else text)
        if found is not None and is_due == (printed is not None or "time" in found):
            facts = {name: squeezed(value) for name, value in found.items() if name != "time"}
            if {"server", "place"} <= set(facts) and not _apart(lexicon, facts, text):
                continue
            return HeadLine(facts=facts, printed=printed if is_due else None)
    return None


def _apart(lexicon: Lexicon, facts: dict[str, str], text: str) -> bool:
    """Tell a name from a place beside it by the place's own word: ``Mo   Mesa 18``.

    Without a figure there are only two words, which any heading is too.
    """
    if not any(map(str.isdigit, facts["place"])):
        return False
    line = _by_labels(lexicon, text)
    place = line.facts.get("place", "") if line else ""
    word = place.removesuffix(facts["place"]).strip()
    if word and facts["server"].endswith(f" {word}"):
        facts["server"] = facts["server"].removesuffix(word).strip()
        facts["place"] = place
    return True


def with_time_found(lexicon: Lexicon, text: str, *, is_due: bool) -> tuple[Printed | None, str]:
    """Find the time in a line, and give the line with ``00:00`` in its place."""
    day_first = lexicon.profile.head.day_first
    printed, rest = find_time(text, day_first=day_first)
    if is_due and (printed is None or printed.at is None):
        printed, rest = find_time(text, day_first=day_first, is_due=True)
    if printed is None:
        return None, text
    changed = [at for at, sign in enumerate(text) if sign != rest[at]]
    first, last = changed[0], changed[-1] + 1
    return printed, f"{text[:first]}00:00 {rest[first:last].strip()} {text[last:]}".rstrip()


def _by_labels(lexicon: Lexicon, text: str) -> HeadLine | None:
    line = _by_patterns(lexicon, text)
    head = lexicon.profile.head
    is_due = _is_time_due(lexicon, text)
    printed, rest = find_time(text, day_first=head.day_first, is_due=is_due)
    line.printed = line.printed or printed
    leftovers = []
    is_head = line.printed is not None
    for part in _parts(lexicon, rest):
        for name, value in _labelled(lexicon, part):
            is_head |= name in (*FACTS, "other")
            if name == "":
                leftovers.append(bare(value))
            elif name in FACTS:
                if folded(line.facts.setdefault(name, value)) != folded(value):
                    leftovers.append(bare(value))
            elif name == "other":
                line.others = (*line.others, value)
            elif name == "time" and bare(value):
                leftovers.append(bare(value))
    if not line.facts and not is_head:
        return None
    has_patterns = any(getattr(head, name).patterns for name in FIELDS)
    said = [one for one in leftovers if _has_word(one) and not _is_small(lexicon, one)]
    if line.printed is not None:  # "klo 18.47": its word was left without it.
        said = [one for one in said if not lexicon.labels["time"].fullmatch(one)]
    line.leftover = "" if has_patterns else " / ".join(_trimmed(lexicon, one) for one in said)
    return line


def _is_time_due(lexicon: Lexicon, text: str) -> bool:
    """Whether a word for a time begins a line, or stands right before ``18.04``."""
    label = lexicon.labels["time"]
    words = (found["word"] for found in _BEFORE_CLOCK.finditer(text))
    return label.match(bare(text)) is not None or any(map(label.fullmatch, words))


def _parts(lexicon: Lexicon, text: str) -> Iterator[str]:
    """Give the parts of a line between its gaps; a label and what stands behind a gap are one."""
    label = ""
    parts = _GAP.split(text.strip())
    for at, part in enumerate(parts, 1):
        if label and (not part or _label_at(lexicon, part, 0) is not None):
            yield label
            label = ""
        joined = f"{label} {part}".strip()
        label = ""
        if is_label(lexicon, joined):
            label = joined
        elif (
            at < len(parts)
            and (found := lexicon.last_label.search(joined))
            and not is_label(lexicon, joined[: found.start()].strip())
        ):
            yield joined[: found.start()]
            label = joined[found.start() :]
        else:
            yield joined
    if label:
        yield label


def is_label(lexicon: Lexicon, part: str) -> bool:
    """Whether a part is a label and no more: ``Taken by:``."""
    found = _label_at(lexicon, part.lstrip(DECORATION), 0)
    return found is not None and found[1] >= len(part.lstrip(DECORATION))


def _trimmed(lexicon: Lexicon, text: str) -> str:
    """Take words that say nothing off both ends."""
    words = text.split()
    while len(words) > 1 and _is_small(lexicon, words[-1]):
        words.pop()
    while len(words) > 1 and _is_small(lexicon, words[0]):
        words.pop(0)
    return " ".join(words)


def _is_small(lexicon: Lexicon, text: str) -> bool:
    words = lexicon.small_words
    return folded(text) in words or all(folded(word) in words for word in text.split())


def _has_word(text: str) -> bool:
    return any(map(str.isalnum, text))


def _by_patterns(lexicon: Lexicon, text: str) -> HeadLine:
    line = HeadLine()
    head = lexicon.profile.head
    for name in FIELDS:
        for pattern in getattr(head, name).patterns:
            found = whole(pattern, text)
            if found and found["value"]:
                if name == "time":
                    line.printed, _ = find_time(
                        found["value"], day_first=head.day_first, is_due=True
                    )
                else:
                    line.facts.setdefault(name, squeezed(found["value"]))
    return line


def _labelled(lexicon: Lexicon, part: str) -> Iterator[tuple[str, str]]:
    """Give the facts of one part of a line by their labels, and what is left under no name."""
    part = squeezed(part)
    at = len(part) - len(part.lstrip(DECORATION.replace("#", "")))
    while at < len(part):
        if part[at] in "<([":
            at += 1
            continue
        if found := lexicon.own_words.match(part, at):
            # "Guest at : Room 217": what says nothing may hold a word that is a label elsewhere.
            yield "", found["word"]
            at = found.end()
            continue
        label = _label_at(lexicon, part, at)
        if label is None:
            end = _next_label(lexicon, part, at + 1)
            yield "", part[at:end]
            at = end
            continue
        name, value_at = label
        end = _next_label(lexicon, part, value_at + 1)
        value = part[value_at:end].strip()
        fact, rest = _fact(lexicon, name, value, part[at:value_at])
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


def _fact(lexicon: Lexicon, name: str, value: str, label: str) -> tuple[str, str]:
    """Give the fact and what of its value is left; nothing where this is no such value."""
    first, _, rest = value.partition(" ")
    match name:
        case "number" | "other":
            token = first.strip(DECORATION)
            return (token, rest) if any(map(str.isdigit, token)) else ("", "")
        case "place":
            return _place(lexicon, value, label)
        case "server":
            return _name(lexicon, value)
        case "till":
            return (first.strip(DECORATION), rest) if first else ("", "")
    return value, ""


def _place(lexicon: Lexicon, value: str, label: str) -> tuple[str, str]:
    """Give a place up to its number; without a number it is one word, and no small one."""
    inner = _label_at(lexicon, value, 0)
    if inner is not None and inner[0] == "place" and value[inner[1] :].strip():
        label, value = value[: inner[1]], value[inner[1] :]
    # Behind it, some tills print how many they are.
    words = _PERSONS.sub("", value).split()
    if folded(label) in lexicon.where and not any(map(str.isdigit, value)):
        # Behind such a label any few words are a place: "Where: Long Room".
        is_place = 0 < len(words) <= MOST_PLACE_WORDS + 1 and not _is_small(lexicon, words[0])
        return (" ".join(words).strip(DECORATION), "") if is_place else ("", "")
    at = next((n for n, word in enumerate(words) if any(map(str.isdigit, word))), None)
    if at is None and (len(words) > 1 and not _is_small(lexicon, " ".join(words[1:]))):
        return "", ""
    if not words or (at or 0) > MOST_PLACE_WORDS or _is_small(lexicon, words[0]):
        return "", ""
    before = label
    if at is not None and _AMOUNT.fullmatch(words[at]):
        return "", ""  # "Charge to room   87.85" is money.
    is_signed = label.rstrip()[-1:] in tuple(":=>#.")
    if any(map(_OWN_WORD.search, words[: (at or 0) + 1])):
        before = ""  # "TBL Rail-8" and "Where: Table 4" have their own word.
    elif folded(label) in lexicon.where and (is_signed or at is None):
        before = ""
    # The label as it stands on paper, with its signs.
    here = " ".join(words[: (at or 0) + 1])
    said = f"{before}{here}".strip(DECORATION)
    rest = " ".join(words[(at or 0) + 1 :])
    return (said, rest) if len(said) <= LONGEST_PLACE else ("", "")


def _name(lexicon: Lexicon, value: str) -> tuple[str, str]:
    """Give a name: words without figures, and none that says nothing at their end."""
    words = value.split()
    ends = (
        n
        for n, word in enumerate(words)
        if any(map(str.isdigit, word)) or (n > 0 and word[0] in "<([{-–/|") or n >= MOST_NAME_WORDS
    )
    end = next(ends, len(words))
    # "Pia van Dam" is a name, and the "at" of "by Ana at 18:04" is no part of one.
    while end and _is_small(lexicon, words[end - 1]) and len(words[end - 1].strip(".")) > 1:
        end -= 1
    said = " ".join(words[:end]).strip(DECORATION)
    fits = bool(said) and len(said) <= LONGEST_NAME and any(map(str.isalpha, said))
    return (said, " ".join(words[end:])) if fits else ("", "")
