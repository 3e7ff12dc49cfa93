"""Lines of the head whose parts have no labels: told apart by their looks, written as templates."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import time

from service.printing.heads import (
    LONGEST_SPOT,
    HeadLine,
    is_label,
    read_head,
    unfilled,
    with_time_found,
)
from service.printing.lexicon import Lexicon, lexicon_of
from service.printing.patterns import whole
from service.printing.prints import Print, Role
from service.printing.profile import Profile, template_pattern
from service.printing.times import find_time
from service.printing.words import DECORATION, folded, squeezed
from solver.errors import BadValue

from .heads import PARTING, Zone, has_digit, heads_items, rises, unknown_in, zones_of
from .samples import Known

_PART = re.compile(r"\{\w+\}")
_BRACKETS = re.compile(r"[(\[<{*\"']*(?P<word>.*?)[)\]>}*\"']*")


def head_lines(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Propose whole lines of the head for what has no label."""
    lexicon = lexicon_of(profile)
    zones = zones_of(prints, known)
    missing = {
        name for name in ("number", "place", "server") if not all(getattr(r, name) for r in prints)
    }
    has_time = all(read.printed and read.printed.at for read in prints)
    looks = _looks_of(lexicon, zones, missing)
    lines = _known_lines(profile, zones, looks, is_missing="place" in missing)
    for zone in zones:
        left = {name for name in missing if not getattr(zone.read, name)}
        left -= {part for line in zone.lines for part in _read_by(lexicon, lines, line.text)}
        for line in zone.lines:
            if (line.role is Role.ITEM and line in zone.below) or any(
                reads(lexicon, template, line.text) for template in lines
            ):
                continue
            head = read_head(lexicon, line.text)
            if head is not None and not head.leftover:
                continue
            text = unfilled(line.text)
            template = _template(profile, text, set(left), looks, is_due=not has_time)
            is_heading = not any(part in template for part in ("{number}", "{time}"))
            if is_heading and heads_items(zone, line, known):
                continue  # "From the well" is a heading, and nobody's name.
            if template and reads(lexicon, template, text):
                lines.append(template)
    for template in lines:
        parts = [part for part in re.findall(r"\{(\w+)\}", template) if part != "any"]
        has = "has" if len(parts) == 1 else "have"
        unsure.append(
            f"a line of the head is read as '{template}': {', '.join(parts)} {has} no label"
        )
    return replace(profile, head=replace(profile.head, lines=(*profile.head.lines, *lines)))


def _known_lines(
    profile: Profile, zones: Sequence[Zone], looks: Callable[[str], str], *, is_missing: bool
) -> list[str]:
    """Write lines of which all is known and that show where the place stands on other tickets."""
    lexicon = lexicon_of(profile)
    lines: list[str] = []
    for line in (line for zone in zones for line in zone.lines):
        head = read_head(lexicon, line.text)
        if head is None or head.leftover:
            continue
        if line.role is Role.ITEM or any(reads(lexicon, one, line.text) for one in lines):
            continue
        template = _framed(head, line.text)
        if not template and is_missing:
            template = _worded(profile, line.text, looks)
        lines += [template] if template else []
    return lines


def _read_by(lexicon: Lexicon, lines: Sequence[str], text: str) -> list[str]:
    """Give the facts that the first of some templates that fits a line finds in it."""
    found = next((one for one in lines if reads(lexicon, one, text)), "")
    return re.findall(r"\{(\w+)\}", found)


def _framed(head: HeadLine, text: str) -> str:
    """Write a place with signs on both sides as a line: on other tickets its word is another."""
    place, plain = head.facts.get("place", ""), squeezed(text)
    is_alone = set(head.facts) == {"place"} and not head.others and head.printed is None
    if not is_alone or place not in plain:
        return ""
    before, _, behind = plain.partition(place)
    is_framed = len(before.strip()) > 1 and len(behind.strip()) > 1
    has_word = any(map(str.isalnum, before + behind))
    return f"{before}{{place}}{behind}" if is_framed and not has_word else ""


def _worded(profile: Profile, text: str, looks: Callable[[str], str]) -> str:
    """Write a place with words of the till around it as a line: ``For Hatch 8 (party of 2)``."""
    text = unfilled(text)
    template = _template(profile, text, set(), looks, is_due=False)
    rest = _PART.sub(" ", template)
    is_worded = "{place}" in template and any(map(str.isalpha, rest))
    return template if is_worded and reads(lexicon_of(profile), template, text) else ""


def reads(lexicon: Lexicon, template: str, text: str) -> bool:
    """Whether a template is one that may be written down, and fits the line it was made from."""
    _, timed = with_time_found(lexicon, text, is_due="{time}" in template)
    try:
        return whole(template_pattern(template), timed) is not None
    except BadValue:
        return False


def _looks_of(lexicon: Lexicon, zones: Sequence[Zone], missing: set[str]) -> Callable[[str], str]:
    """Tell numbers from places where both have figures and no label: numbers rise with the time."""
    words: dict[str, list[tuple[time | None, str, int]]] = {}
    for n, zone in enumerate(zones):
        at = zone.read.printed.at if zone.read.printed else None
        for line in zone.lines:
            for piece in unknown_in(lexicon, line):
                _, rest = find_time(piece, day_first=True)
                for word in rest.split():
                    if has_digit(word):
                        figures = "".join(filter(str.isdigit, word))
                        words.setdefault(_skeleton(word), []).append((at, figures, n))
    numbers = {
        skeleton
        for skeleton, found in words.items()
        if len({n for *_, n in found}) == len(zones) == len(found)
        and rises([(at, figures) for at, figures, _ in found])
    }
    if len(numbers) > 1:
        # The longest figures of several.
        numbers = {max(numbers, key=lambda one: max(len(f) for _, f, _ in words[one]))}

    # "took this order at" is on all of them, and a name begins with a capital.
    said = [{word for line in zone.lines for word in line.text.split()} for zone in zones]
    constants = {word for word in set.intersection(*said) if word.islower()}

    def named(word: str) -> str:
        """Give the part of a template that a word may be; empty for one that stays."""
        if not has_digit(word):
            return "" if word in constants else "server"
        if "number" in missing and _skeleton(word) in numbers:
            return "number"
        has_letters = any(map(str.isalpha, word))
        return "spot" if has_letters or "number" not in missing else "number"

    return named


def _skeleton(word: str) -> str:
    return re.sub(r"\d+", "#", word.strip(DECORATION)) if has_digit(word) else word


def _template(
    profile: Profile, text: str, left: set[str], named: Callable[[str], str], *, is_due: bool
) -> str:
    """Write a line with its parts named, as far as their looks tell; empty where they do not."""
    lexicon = lexicon_of(profile)
    printed, timed = with_time_found(lexicon, text, is_due=is_due)
    said = []
    for index, part in enumerate(_joined(lexicon, PARTING.split(timed.strip()))):
        if index % 2 == 1:
            said.append(f"{part.rstrip()} " if part.strip() else " ")
            continue
        words = _opened(lexicon, part, left, named, has_time=printed is not None)
        if words is None:
            return ""
        said.append(" ".join(words))
    line = squeezed("".join(said))
    return line if re.search(r"\{(?!any)\w+\}", line) else ""


def _opened(
    lexicon: Lexicon, part: str, left: set[str], named: Callable[[str], str], *, has_time: bool
) -> list[str] | None:
    """Give the words of a part with what labels tell of it, and what its looks tell, left open."""
    head = read_head(lexicon, part)
    text, unknown = part, set(map(folded, part.split()))
    if head is not None:
        unknown = {folded(word) for word in head.leftover.split()}
        for name, value in head.facts.items():
            text = text.replace(value, "{" + name + "}", 1)
            left.discard(name)
        for value in head.others:
            text = text.replace(value, "{any}", 1)
    words: list[str] = []
    rest = text.split()
    for at, word in enumerate(rest):
        if words[-1:] == ["{place}"] and word.isdecimal() and rest[at - 1] != "{place}":
            continue
        if has_time and "00:00" in word:
            words.append(word.replace("00:00", "{time}", 1))
        elif "{" in word or folded(word) not in unknown:
            words.append(word)
        elif "place" in left and _is_spot(lexicon, rest[at : at + 2], named):
            left.discard("place")
            words.append("{place}")
        else:
            found = _named(lexicon, word, left, named, words[-1:] == ["{server}"])
            if found is None:
                return None
            words += [found] if found else []
    return words


def _is_spot(lexicon: Lexicon, words: list[str], named: Callable[[str], str]) -> bool:
    """Whether these are a word and a figure, as of a place whose word nobody knows: ``Vault 3``."""
    if len(words) < 2 or not words[0].isalpha() or folded(words[0]) in lexicon.small_words:
        return False
    is_short = words[1].isdecimal() and len(words[1]) <= LONGEST_SPOT
    return is_short and named(words[1]) != "number"


def _joined(lexicon: Lexicon, parts: list[str]) -> list[str]:
    """Put a label and the value behind its gap or its dash together again."""
    found: list[str] = []
    for part in parts:
        if len(found) >= 2 and is_label(lexicon, found[-2]) and found[-1].strip() in ("", "-", "–"):
            found[-2:] = [squeezed(f"{found[-2]} {found[-1]} {part}")]
        else:
            found.append(part)
    return found


def _named(
    lexicon: Lexicon,
    word: str,
    left: set[str],
    named: Callable[[str], str],
    is_behind_server: bool,
) -> str | None:
    """Name a word by its looks; empty for the rest of a name, None where no name is left."""
    inner = _BRACKETS.fullmatch(word)
    core = inner["word"] if inner else word
    if not any(map(str.isalnum, core)) or folded(core) in lexicon.small_words:
        return word
    name = named(core)
    if not name:
        return word
    if name == "server" and is_behind_server:
        return ""
    fact = "place" if name == "spot" else name
    if fact not in left:
        return None
    left.discard(fact)
    return word.replace(core, "{" + name + "}", 1)
