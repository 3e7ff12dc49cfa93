"""The head's labels and lines, headings, and what the house always prints."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from service.printing import vocabulary as common
from service.printing.heads import read_head
from service.printing.lexicon import lexicon_of
from service.printing.patterns import whole
from service.printing.prints import Item, Print, Role
from service.printing.profile import Place, Profile, template_pattern
from service.printing.times import find_time
from service.printing.words import bare, folded, squeezed
from solver.errors import BadValue

from .samples import Known

_TOKEN = re.compile(r"\S+")
_SEAT = re.compile(r"(?P<label>[^\W\d_][^\d]{0,14}?)[\s:#.]*(?P<value>\d{1,2})")
_GAPS = re.compile(r"(\s{2,}|\s[/|·•]\s)")
_DIGITS = re.compile(r"\d+")


def head_lines(profile: Profile, prints: Sequence[Print], unsure: list[str]) -> Profile:
    """Propose whole lines of the head for what has no label."""
    missing = _missing(prints)
    lines: list[str] = []
    for read in prints:
        for line in read.lines:
            if any(_reads(template, line.text) for template in lines):
                continue
            # Each fact stands once on a ticket.
            left = {name for name in missing if not any(f"{{{name}}}" in one for one in lines)}
            if line.role is Role.HEAD and _has_leftover(profile, line.text):
                template = _template(profile, line.text, left)
            elif line.role is Role.UNREAD and "number" in left and bare(line.text).isdecimal():
                template = "{number}"
            else:
                continue
            if template and _reads(template, line.text):
                lines.append(template)
    for template in lines:
        parts = [part for part in re.findall(r"\{(\w+)\}", template) if part != "any"]
        has = "has" if len(parts) == 1 else "have"
        unsure.append(
            f"a line of the head is read as '{template}': {', '.join(parts)} {has} no label"
        )
    return replace(profile, head=replace(profile.head, lines=tuple(lines)))


def other_labels(profile: Profile, prints: Sequence[Print], unsure: list[str]) -> Profile:
    """Find labels of the head that nobody asks for: a word and a number, on most samples."""
    found: Counter[str] = Counter()
    for read in prints:
        labels = set()
        for line in read.lines:
            head = read_head(lexicon_of(profile), line.text) if line.role is Role.HEAD else None
            for part in head.leftover.split(" / ") if head else ():
                if match := _SEAT.fullmatch(part):
                    labels.add(match["label"].casefold().strip())
        found.update(labels)
    told = tuple(sorted(label for label, count in found.items() if count * 2 > len(prints)))
    unsure += [f"'{label}' and what stands behind it in the head is passed over" for label in told]
    return replace(profile, head=replace(profile.head, other=Place(labels=told)))


def _reads(template: str, text: str) -> bool:
    """Whether a template is one that may be written down, and fits the line it was made from."""
    try:
        return whole(template_pattern(template), text) is not None
    except BadValue:
        return False


def _missing(prints: Sequence[Print]) -> set[str]:
    """Give the fields that no label brings on most of the samples."""
    half = len(prints) / 2
    return {
        name
        for name in ("number", "place", "server")
        if sum(bool(getattr(read, name)) for read in prints) <= half
    }


def _has_leftover(profile: Profile, text: str) -> bool:
    head = read_head(lexicon_of(profile), text)
    return head is not None and bool(head.leftover)


def _template(profile: Profile, text: str, missing: set[str]) -> str:
    """Write a line with its parts named, as far as their looks tell; empty where they do not."""
    lexicon = lexicon_of(profile)
    said = []
    left = set(missing)
    for index, part in enumerate(_GAPS.split(text.strip())):
        if index % 2 == 1:
            said.append(squeezed(part) if part.strip() else " ")
            continue
        printed, rest = find_time(part, day_first=profile.head.day_first)
        if printed is None and (head := read_head(lexicon, part)) and not head.leftover:
            said.append(_labelled(part, head.facts))
            continue
        words = squeezed(rest[: _first_gap(part, rest)]).split()
        words_behind = squeezed(rest[_first_gap(part, rest) :]).split()
        before = _named(words, left)
        behind = _named(words_behind, left)
        if before is None or behind is None:
            return ""
        said.append(" ".join([*before, *(["{time}"] if printed else []), *behind]))
    return re.sub(r"\{time\}(?: \{time\})+", "{time}", squeezed(" ".join(said)))


def _first_gap(part: str, rest: str) -> int:
    """Give where the time that was blanked out of a part begins."""
    return next((at for at, sign in enumerate(part) if sign != rest[at]), len(part))


def _labelled(part: str, facts: dict[str, str]) -> str:
    (name, value), *more = facts.items()
    if more:
        return "{any}"
    if name == "place":
        return "{place}"
    return part.strip().replace(value, "{" + name + "}", 1)


def _named(words: list[str], left: set[str]) -> list[str] | None:
    """Name words by their looks: digits number, letters with digits place, letters server."""
    found: list[str] = []
    letters = [word for word in words if not any(map(str.isdigit, word))]
    for word in words:
        has_digits, has_letters = any(map(str.isdigit, word)), any(map(str.isalpha, word))
        if has_digits and has_letters and "place" in left:
            name = "place"
        elif has_digits and not has_letters and "number" in left:
            name = "number"
        elif not has_digits and "server" in left:
            name = "server"
        elif not has_digits and found and found[-1] == "{server}" and len(letters) > 1:
            continue  # A server of two names.
        else:
            return None
        left.discard(name)
        found.append("{" + name + "}")
    return found


def seats_of(profile: Profile, texts: Sequence[Sequence[str]]) -> Profile:
    """Find lines over the items of one guest: a word for guests with another number each time."""
    labels: set[str] = set()
    for sheet in texts:
        values: dict[str, set[str]] = {}
        for text in sheet:
            if match := _SEAT.fullmatch(bare(text)):
                values.setdefault(match["label"].casefold().strip(), set()).add(match["value"])
        # "Seat 3" alone is where the whole ticket goes.
        labels |= {
            label
            for label, found in values.items()
            if label in common.GUESTS and (len(found) > 1 or label not in common.PLACE)
        }
    if not labels:
        return profile
    seat = Place(labels=tuple(sorted(labels)))
    return replace(profile, head=replace(profile.head, seat=seat))


def wraps_of(profile: Profile, prints: Sequence[Print], known: Known) -> Profile:
    """See whether long names go on in the next line: some do, or some are cut off there."""
    whole, cut = 0, 0
    for read in prints:
        for item in read.items:
            rest = [read.lines[row].text for row in item.rows if _goes_on_name(read, item, row)]
            if rest:
                first = item.name.removesuffix(" " + squeezed(" ".join(rest)))
                is_whole = known.is_name(item.name)
                whole += is_whole
                cut += known.is_name(first) and not is_whole
    # Nothing was seen, or both: it may be either.
    if bool(whole) == bool(cut):
        return profile
    return replace(profile, paper=replace(profile.paper, wraps=whole > 0))


def _goes_on_name(read: Print, item: Item, row: int) -> bool:
    """Whether a line is the rest of the item's name, and not of what stands under it."""
    before = [one for one in item.rows if one < row]
    return read.lines[row].role is Role.GOES_ON and all(
        read.lines[one].role in (Role.ITEM, Role.GOES_ON) for one in before
    )


def house_of(profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]) -> Profile:
    """Take lines that are the same on every sample, or the same but for digits, for the house's."""
    rows = [
        {_skeleton(line.text): line for line in read.lines if _is_open(line.role)}
        for read in prints
    ]
    always = [key for key in rows[0] if all(key in row for row in rows)]
    told = []
    for key in always:
        is_drink = known.is_drink(key) and not known.ingredients
        if is_drink or not any(map(str.isalpha, key)):
            continue
        texts = {folded(row[key].text) for row in rows}
        told.append(key if len(texts) > 1 else texts.pop())
        if texts:
            unsure.append(
                f"'{squeezed(rows[0][key].text)}' is passed over: it says nothing of a drink"
            )
    return replace(profile, house=tuple(told))


def _is_open(role: Role) -> bool:
    return role is Role.UNREAD


def _skeleton(text: str) -> str:
    return _DIGITS.sub("*", folded(text))


def sections_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Find headings that no common word names, by what stands under them."""
    under: dict[str, list[bool]] = {}
    for read in prints:
        heading = ""
        for line in read.lines:
            if line.role is Role.UNREAD:
                heading = folded(line.text)
            elif line.role in (Role.SECTION, Role.HEAD):
                heading = ""
            elif line.role is Role.ITEM and heading and not any(map(str.isdigit, heading)):
                name = read.items[line.items[0]].name
                under.setdefault(heading, []).append(known.is_drink(name))
    drinks: list[str] = []
    food: list[str] = []
    for heading, found in sorted(under.items()):
        if not known.drinks or _is_in_head(prints, heading):
            continue
        is_drinks = sum(found) * 2 >= len(found)
        (drinks if is_drinks else food).append(heading)
        unsure.append(f"under '{heading}' stand {'drinks' if is_drinks else 'food'}")
    told = replace(profile.sections, drinks=tuple(drinks), food=tuple(food))
    return replace(profile, sections=told)


def _is_in_head(prints: Iterable[Print], heading: str) -> bool:
    """Whether a line stands in the head of some print: then it is the house's, not a heading."""
    for read in prints:
        for line in read.lines:
            if folded(line.text) == heading:
                break
            if line.role is Role.ITEM or line.role is Role.SECTION:
                return False
        else:
            continue
        after = [row.role for row in read.lines[read.lines.index(line) :]]
        if Role.HEAD in after[: after.index(Role.ITEM)] if Role.ITEM in after else True:
            return True
    return False
