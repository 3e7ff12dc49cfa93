"""The head's labels and lines, headings, and what the house always prints."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from service.printing import vocabulary as common
from service.printing.heads import read_head
from service.printing.lexicon import lexicon_of
from service.printing.patterns import whole
from service.printing.prints import Item, Print, PrintedLine, Role
from service.printing.profile import Place, Profile, template_pattern
from service.printing.times import day_order, find_time
from service.printing.words import bare, folded, is_centred, squeezed
from solver.errors import BadValue

from .samples import Known

MOSTLY = 0.8
"""Share of what stands under a heading that has to be of one sort."""
_SEAT = re.compile(r"(?P<label>[^\W\d_][^\d]{0,14}?)[\s:#.]*(?P<value>\d{1,2})")
_GAPS = re.compile(r"(\s{2,}|\s[/|·•–-]\s)")
_LABELLED = re.compile(r"(?P<label>[^\W\d_][^\d]{0,14}?)[\s:#.]*(?:n[°ºo]\.?\s*)?\d[\w/-]{0,9}")
_HALF = re.compile(r"\d ?[ap]m\b", re.IGNORECASE)
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


def labels_of(profile: Profile, prints: Sequence[Print], unsure: list[str]) -> Profile:
    """Find labels that no common word is: a word and a number, in the head.

    Where a ticket shows no number or no place otherwise, that is what it is; else nobody asks.
    """
    found: dict[str, list[Print]] = {}
    for read in prints:
        labels = (match["label"].casefold().strip() for match in _left_of(profile, read))
        for label in dict.fromkeys(labels):
            found.setdefault(label, []).append(read)
    told: dict[str, list[str]] = {"number": [], "place": [], "other": []}
    # The first on paper that is on every sample is the number, the next the place, once a ticket.
    placed: set[int] = set()
    for label, where in found.items():
        is_on_all = len(where) == len(prints)
        if is_on_all and not told["number"] and not any(read.number for read in where):
            told["number"].append(label)
        elif not any(read.place or id(read) in placed for read in where):
            told["place"].append(label)
            placed |= set(map(id, where))
        elif is_on_all:
            told["other"].append(label)
    for name, words in (("number", "number"), ("place", "place"), ("other", "")):
        said = f"is taken for the {words}" if words else "is passed over"
        unsure += [f"what stands behind '{label}' in the head {said}" for label in told[name]]
    number, place, other = (Place(labels=tuple(told[name])) for name in told)
    head = replace(profile.head, number=number, place=place, other=other)
    return replace(profile, head=head)


def _left_of(profile: Profile, read: Print) -> Iterator[re.Match[str]]:
    """Give words with a number in the head of a print that were not understood."""
    for line in read.lines:
        head = read_head(lexicon_of(profile), line.text)
        if line.role is Role.HEAD and head is not None:
            parts = head.leftover.split(" / ")
        elif line.role is Role.UNREAD and line in _before_items(read):
            parts = _GAPS.split(line.text.strip())[::2]
        else:
            continue
        yield from filter(None, map(_LABELLED.fullmatch, parts))


def _before_items(read: Print) -> Sequence[PrintedLine]:
    first = min((item.rows[0] for item in read.items), default=len(read.lines))
    return read.lines[:first]


def day_first_of(profile: Profile, texts: Sequence[str], unsure: list[str]) -> Profile:
    """Tell whether the day stands before the month, as far as the samples show."""
    told = day_order(texts)
    days = [found for text in texts if (found := find_time(text, day_first=True)[0])]
    if told is None and any(found.other_day for found in days):
        # Common practice: where clocks say am and pm beside figures, the month comes first.
        told = not any(_HALF.search(text) for text in texts)
        order = "day, month" if told else "month, day"
        unsure.append(f"'{next(f.text for f in days if f.other_day)}' is read as {order}")
    if told is None or told == profile.head.day_first:
        return profile
    return replace(profile, head=replace(profile.head, day_first=told))


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
    rows = [_skeletons(read, known) for read in prints]
    told = []
    for key in (key for key in rows[0] if all(key in row for row in rows)):
        texts = {row[key] for row in rows}
        told.append(key if len(texts) > 1 else texts.pop())
        if texts:
            unsure.append(f"'{rows[0][key]}' is passed over: it says nothing of a drink")
    return replace(profile, house=tuple(told))


def _skeletons(read: Print, known: Known) -> dict[str, str]:
    """Give the lines of a print that may be the house's, by what stays when digits are left out.

    A line that looks like an item is one only below all items and a line of dashes, and where a
    menu is there to say that it is no drink: ``7 couverts``.
    """
    found = {}
    for line, above in zip(read.lines, (None, *read.lines), strict=False):
        may_be = line.role is Role.UNREAD
        if line.items and known.drinks and above is not None and above.role is Role.RULE:
            (place, *more) = line.items
            is_last = not more and place == len(read.items) - 1 and len(read.items) > 1
            may_be = is_last and not known.is_near(read.items[place].name)
        if may_be and any(map(str.isalpha, line.text)):
            found[_DIGITS.sub("#", folded(line.text))] = folded(line.text)
    return found


def food_of(profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]) -> Profile:
    """Take for food what is not on the menu, where neither heading nor sign tells it apart."""
    items = profile.items
    has_signs = bool(items.food_signs or items.drink_signs)
    has_headings = any(line.role is Role.SECTION for read in prints for line in read.lines)
    if not known.drinks or has_signs or has_headings:
        return profile
    names = sorted({folded(item.name) for read in prints for item in read.items})
    food = tuple(name for name in names if not known.is_near(name))
    if not food:
        return profile
    unsure.append(f"not on the menu, and taken for food: {', '.join(food)}")
    sections = replace(profile.sections, otherwise="unsure")
    return replace(profile, items=replace(items, food=food), sections=sections)


def sections_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Find headings that no common word names: the same on some prints, with items under them."""
    under: dict[str, list[bool]] = {}
    seen: Counter[str] = Counter()
    for read in prints:
        heading, headings = "", set()
        for line in read.lines:
            text = folded(line.text)
            may_be = line.role is Role.UNREAD or (
                line.role is Role.NOTE and is_centred(line.text, profile.paper.width)
            )
            if may_be and not any(map(str.isdigit, text)):
                heading = text
            elif line.role is Role.ITEM and heading:
                name = read.items[line.items[0]].name
                under.setdefault(heading, []).append(known.is_drink(name))
                headings.add(heading)
            elif line.role is not Role.ITEM:
                heading = ""
        seen.update(headings)
    drinks: list[str] = []
    food: list[str] = []
    for heading, found in sorted(under.items()):
        share = sum(found) / len(found)
        # A heading is on several prints, with one sort below.
        is_heading = seen[heading] > 1 and (share >= MOSTLY or share <= 1 - MOSTLY)
        if not known.drinks or not is_heading or _is_in_head(prints, heading):
            continue
        (drinks if share >= MOSTLY else food).append(heading)
        unsure.append(f"under '{heading}' stand {'drinks' if share >= MOSTLY else 'food'}")
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
