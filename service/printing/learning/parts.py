"""The head's labels and lines, headings, and what the house always prints."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from service.printing import labels as common
from service.printing.prints import Item, Print, Role, Sort
from service.printing.profile import Place, Profile, QuantityAt
from service.printing.times import day_order, find_time
from service.printing.words import bare, folded, is_centred, squeezed

from .samples import Known

SHORT = 5
"""Letters of a word such as ``pers.``, which is near a drink's name by chance."""
MOSTLY = 0.8
"""Share of what stands under a heading that has to be of one sort."""
_SEAT = re.compile(r"(?P<label>[^\W\d_][^\d]{0,14}?)[\s:#.]*(?P<value>\d{1,2})")
_GAPS = re.compile(r"(\s{2,}|\s[/|·•–-]\s)")
_LABELLED = re.compile(r"(?P<label>[^\W\d_][^\d]{0,14}?)[\s:#.]*(?:n[°ºo]\.?\s*)?\d[\w/-]{0,9}")
_HALF = re.compile(r"(?<!\d)\d{1,2}(?:[:.]\d{2}){0,2} ?[ap]\.?m?\b", re.IGNORECASE)
_DIGITS = re.compile(r"\d+")


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
        told.append(key if len(texts) > 1 or "#" in key else texts.pop())
        if texts:
            unsure.append(f"'{rows[0][key]}' is passed over: it says nothing of a drink")
    return replace(profile, house=(*profile.house, *told))


def _skeletons(read: Print, known: Known) -> dict[str, str]:
    """Give the lines of a print that may be the house's, by what stays when digits are left out.

    A line that looks like an item is one only below all drinks of the menu: ``7 couverts``.
    """
    found = {}
    drinks = [row for row, line in enumerate(read.lines) if known.holds_drink(line.text)]
    last = max(drinks, default=len(read.lines))
    for row, line in enumerate(read.lines):
        may_be = line.role is Role.UNREAD and not known.holds_drink(line.text)
        # A note as far left as drinks, below all of them: "( 7 to make )".
        is_left = line.role is Role.NOTE and not line.text.startswith(" ")
        may_be |= is_left and row > last and _DIGITS.search(line.text[:4]) is not None
        if line.role is Role.ITEM and known.drinks and len(line.items) == 1:
            is_below = row > last and any(map(str.isdigit, line.text))
            item = read.items[line.items[0]]
            # Right under drinks, or under a heading, it may be a dish.
            apart = {one.role for one in read.lines[last + 1 : row]} & {Role.RULE, Role.BLANK}
            is_dish = item.sort is Sort.FOOD and Role.RULE not in apart
            may_be = (
                is_below and bool(apart) and not is_dish and not _may_be_drink(known, item.name)
            )
        if may_be and any(map(str.isalpha, line.text)):
            found[_DIGITS.sub("#", folded(line.text))] = folded(line.text)
    return found


def _may_be_drink(known: Known, name: str) -> bool:
    """Whether a name is a drink's or like one; a short word is like too many."""
    return known.is_drink(name) or (len(bare(name)) > SHORT and known.is_near(name))


def food_of(profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]) -> Profile:
    """Take for food what is not on the menu, where neither heading nor sign tells it apart."""
    items = profile.items
    has_signs = bool(items.food_signs or items.drink_signs)
    has_headings = any(line.role is Role.SECTION for read in prints for line in read.lines)
    if not known.drinks or has_signs or has_headings:
        return profile
    if not any(known.is_drink(item.name) for read in prints for item in read.items):
        return profile  # Where no drink is known either, nothing tells dishes from drinks.
    names = sorted({folded(item.name) for read in prints for item in read.items})
    food = tuple(name for name in names if not known.is_near(name))
    if not food:
        return profile
    unsure.append(f"not on the menu, and taken for food: {', '.join(food)}")
    unsure.append(
        "dishes stand among the drinks: is all that the menu does not know food? Then set "
        "otherwise: food under sections (a drink that is not on the menu is passed over then); "
        "with otherwise: unsure somebody is asked each time"
    )
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
        bare_rows = _bare_headings(profile, read, known)
        for row, line in enumerate(read.lines):
            text = folded(line.text)
            may_be = line.role is Role.UNREAD or (
                line.role is Role.NOTE
                and (is_centred(line.text, profile.paper.width) or line.text[:1] in "[(-=*<")
            )
            is_framed = (
                line.role is Role.ITEM and _is_framed(line.text) and not known.is_drink(text)
            )
            may_be &= not known.begins(text)
            if (may_be or is_framed or row in bare_rows) and not any(map(str.isdigit, text)):
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
    has_sections = all(
        any(line.role is Role.SECTION or seen[folded(line.text)] > 1 for line in read.lines)
        for read in prints
    )
    # Where no sample has a drink that is known, nothing tells dishes from drinks.
    has_drinks = any(one for found in under.values() for one in found) or any(
        known.is_drink(item.name) for read in prints for item in read.items
    )
    for heading, found in sorted(under.items() if has_drinks else ()):
        share = sum(found) / len(found)
        # A heading is on several prints, with one sort below.
        is_sure = share >= MOSTLY or share <= 1 - MOSTLY
        # Dishes may be on one sample alone, under a heading as drinks have one on all.
        is_heading = is_sure and (seen[heading] > 1 or (share == 0 and has_sections))
        if not known.drinks or not is_heading or _is_in_head(prints, heading):
            continue
        (drinks if share >= MOSTLY else food).append(heading)
        unsure.append(f"under '{heading}' stand {'drinks' if share >= MOSTLY else 'food'}")
    told = replace(profile.sections, drinks=tuple(drinks), food=tuple(food))
    return replace(profile, sections=told)


def _bare_headings(profile: Profile, read: Print, known: Known) -> set[int]:
    """Give the rows of lines that may be headings where no item has a quantity.

    One above all drinks, and one below all of them with something else under it.
    """
    if profile.items.quantity is not QuantityAt.NOWHERE:
        return set()
    rows = [(item.rows[0], known.is_drink(item.name)) for item in read.items]
    drinks = [place for place, (_, is_drink) in enumerate(rows) if is_drink]
    if not drinks:
        return set()
    first, last = drinks[0], drinks[-1]
    found = {rows[0][0]} if first == 1 else set()
    return found | ({rows[last + 1][0]} if last + 2 < len(rows) else set())


def _is_framed(text: str) -> bool:
    """Whether signs stand on both sides of a line: ``- From the stove -``."""
    plain = text.strip()
    return len(plain) > 2 and not plain[0].isalnum() and not plain[-1].isalnum()


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
