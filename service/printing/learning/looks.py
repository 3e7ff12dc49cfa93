"""How the paper and the items on it look: what ends a ticket, its width, code page, quantities."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from service.printing import vocabulary as common
from service.printing.codepages import COMMON, decoded
from service.printing.events import Text
from service.printing.items import (
    EDGE_SIGN,
    SEAT_BEFORE,
    digits_in,
    quantity_in,
    read_item,
    without_price,
    without_seat,
)
from service.printing.lexicon import lexicon_of
from service.printing.paper import Sheet
from service.printing.profile import Ends, Items, Paper, Profile, QuantityAt
from service.printing.scanner import Scanner
from service.printing.splitting import End, RawPrint
from service.printing.times import find_time
from service.printing.words import squeezed

from .samples import Known

WIDTHS = (24, 32, 33, 40, 42, 44, 48, 56, 64)
"""Characters on a line of common printers; common practice."""
GUESSED = ("utf-8", "cp858", "cp1252", "cp850", "cp437", "iso8859-15", "cp852", "cp1250")
_NUMERO = re.compile(r"(?<![^\W_])n[°º](?=[\s.:])", re.IGNORECASE)
USUAL = frozenset("éèêëàâäáåãçñöôóòõøüûùúîïíìæœß")
"""Letters of many tongues; others are less likely."""
_SIGNED = re.compile(r"(?P<sign>[^\s\d]{1,3})\s(?P<rest>\d{1,2}(?:\s?[x×*]|\s).*)", re.IGNORECASE)
_TWO = re.compile(
    r"\d{1,2}(?:\s?[x×]\s*|\s+)[^\W\d_].*?\s{2,}(?=\d{1,2}(?:\s?[x×]\s*|\s+)[^\W\d_])"
)


_COUNT_BEFORE = re.compile(
    r"(?P<lead>\D*?)[x×*(\[<]{0,2}\s?\d{1,3}(?P<tail>\D{0,8}?)", re.IGNORECASE
)
_COUNT_BEHIND = re.compile(r"(?P<lead>\D*?)\d{1,3}(?P<tail>\D{0,8}?)")
_CODED = re.compile(r"(?P<lead>.*?)(?<!\S)[#A-Za-z]{0,3}-?\d{3,8}[\s.:|-]+")
"""What stands before a name that has a code of the till; two digits are a quantity's."""
_RUNNING = re.compile(r"^\d{1,2}[.)]\s+(?=\S*\d)")
_WORD = re.compile(r"[^\W\d_]{2,}")
FEWEST_NAMED = 2
"""Lines with a drink of the menu from which something is told."""


def paper_of(prints: Sequence[RawPrint]) -> tuple[Paper, list[str]]:
    """Propose the part about paper, without its width, and say what is unsure."""
    ends = {row.ended for row in prints}
    unsure = []
    if ends == {End.CUT}:
        paper = Paper(ends=(Ends.CUT,))
    elif ends == {End.FEED}:
        paper = Paper(ends=(Ends.FEED,))
    elif ends == {End.QUIET}:
        paper = Paper(ends=(Ends.QUIET,))
    else:
        paper = Paper()
        unsure.append(
            "some samples end with a cut and some do not; a ticket ends by cut, or by quiet"
        )
    if End.QUIET in ends:
        unsure.append(
            "no cut and no form feed ends these tickets: they end when the till has been quiet for"
            f" {paper.quiet_s:g} s; a slow till may need more under paper, quiet_s"
        )
    return _with_codec(prints, paper, unsure), unsure


def _with_codec(prints: Sequence[RawPrint], paper: Paper, unsure: list[str]) -> Paper:
    """Propose what text is in where the till names no code page, or one that is not common."""
    accented: dict[int | None, bytes] = {}
    for row in prints:
        for event in Scanner().feed(row.begins_with + row.data):
            page = event.style.code_page if isinstance(event, Text) else 0
            if isinstance(event, Text) and not event.raw.isascii() and page not in COMMON:
                accented[page] = accented.get(page, b"") + event.raw + b"\n"
    likely = {page: max(GUESSED, key=partial(_likely, raw)) for page, raw in accented.items()}
    if None in likely:
        unsure.append(f"the till names no code page; by its accents the text is in {likely[None]}")
        return replace(paper, text=likely[None])
    pages = {page: codec for page, codec in sorted(likely.items()) if page is not None}
    unsure += [
        f"code page {page} of this printer is not a common one; by its accents it is {codec}"
        for page, codec in pages.items()
    ]
    return replace(paper, code_pages=pages)


def _likely(raw: bytes, codec: str) -> float:
    """Score a decoding: Latin letters within words are likely, boxes and signs are not."""
    text = decoded(raw, codec)
    score = 3.0 * len(_NUMERO.findall(text))
    for at, sign in enumerate(text):
        if sign.isascii():
            continue
        name = unicodedata.name(sign, "")
        around = text[max(0, at - 1) : at] + text[at + 1 : at + 2]
        if sign.isalpha() and name.startswith("LATIN"):
            if any(one.isdigit() for one in around):
                score -= 1.0
                continue
            near = any(one.isalpha() for one in around)
            if not near and around.strip() == "":
                score -= 1.0  # A letter by itself is rather a sign of another page.
                continue
            weight = near + (sign.lower() in USUAL)
            same_case = all(one.isupper() == sign.isupper() for one in around if one.isalpha())
            score += 1.0 + weight + 0.5 * same_case
        elif sign in "£€":
            score += 2.0
        elif sign in "»«·•–×°º":
            score += 0.5
        else:
            score -= 2.0
    return score


def width_of(sheets: Sequence[Sheet], unsure: list[str]) -> int:
    """Propose the width of the paper in characters."""
    rules: Counter[int] = Counter()
    widest = 0
    for sheet in sheets:
        for line in sheet.inked:
            widest = max(widest, line.columns)
            text = line.text.strip()
            if len(text) >= WIDTHS[0] - 4 and len(set(text)) == 1 and not text[0].isalnum():
                rules[line.columns] += 1
    if rules and max(rules) >= widest:
        return max(rules)
    width = next((one for one in WIDTHS if one >= widest), widest)
    unsure.append(f"no line of dashes shows the width; the widest line has {widest}, so {width}")
    return min(width, 96)


def items_of(sheets: Sequence[Sheet], known: Known, unsure: list[str]) -> Items:
    """Propose how items look."""
    told = _by_names(sheets, known)
    counts: Counter[QuantityAt] = Counter()
    for sheet in sheets:
        for line in sheet.inked:
            for where, name in _items_in(line.text):
                counts[where] += 3 if known.is_drink(name) else 1
    if told is not None:
        _say_words(told, unsure)
        counts = Counter({told.quantity: 1} if told.quantity is not QuantityAt.NOWHERE else ())
    if not counts:
        unsure.append("no line has a quantity; a line is taken for one drink")
        return Items(quantity=QuantityAt.NOWHERE, bare_is_one=True)
    # Before is what most tills do: it wins where both are as often.
    quantity = max(counts, key=lambda where: (counts[where], where is QuantityAt.BEFORE))
    items = replace(told or Items(), quantity=quantity)
    if quantity is QuantityAt.BEFORE:
        items = _edge_signs(sheets, known, _signs(sheets, known, items, unsure), unsure)
    items = replace(items, indent=_indent(sheets, items, known))
    return _columns(sheets, items)


def _by_names(sheets: Sequence[Sheet], known: Known) -> Items | None:
    """Tell by the lines with a drink of the menu where the quantity stands and what is beside it.

    None where there are too few of them.
    """
    before: list[tuple[str, str]] = []
    behind: list[tuple[str, str]] = []
    bare = codes = seats = 0
    for before_name, rest in _around_names(sheets, known):
        lead = before_name
        if seat := SEAT_BEFORE.match(f"{lead}."):
            seats += 1
            lead = lead[seat.end() :]
        if coded := _CODED.fullmatch(lead):
            codes += 1
            lead = coded["lead"]
        if found := _COUNT_BEFORE.fullmatch(lead):
            before.append((found["lead"], found["tail"]))
        elif found := _COUNT_BEHIND.fullmatch(rest):
            behind.append((found["lead"], found["tail"]))
        elif not any(map(str.isdigit, lead + rest)):
            bare += 1
    num = len(before) + len(behind) + bare
    if num < FEWEST_NAMED:
        return None
    if bare > len(before) + len(behind):
        return Items(quantity=QuantityAt.NOWHERE, bare_is_one=True)
    rows = before if len(before) >= len(behind) else behind
    words = {squeezed(word) for row in rows for part in row for word in _WORD.findall(part)}
    words -= {"x", "X"}
    words = {word for word in words if sum(word in " ".join(row) for row in rows) * 2 > len(rows)}
    bullets: tuple[str, ...] = ()
    if rows is before:
        signs = Counter(row[0].strip() for row in rows)
        sign, count = signs.most_common(1)[0]
        if sign and not any(map(str.isalnum, sign)) and count * 2 > len(rows) and sign not in "[(<":
            bullets = (sign,)
    quantity = QuantityAt.BEFORE if rows is before else QuantityAt.AFTER
    return Items(
        quantity=quantity,
        bullets=bullets,
        codes=codes * 2 > num,
        seats=seats * 2 > num,
        quantity_words=tuple(sorted(word.casefold() for word in words)),
    )


def _around_names(sheets: Sequence[Sheet], known: Known) -> Iterator[tuple[str, str]]:
    """Give what stands before and behind the name of a drink, for every line with one."""
    for sheet in sheets:
        for line in sheet.inked:
            text = without_seat(without_price(line.text)[0].strip())[0]
            text = _RUNNING.sub("", text)
            if (span := known.find(text)) is not None:
                yield text[: span[0]], text[span[1] :]


def _say_words(items: Items, unsure: list[str]) -> None:
    if items.codes:
        unsure.append("a number before every name is taken for the till's own, and passed over")
    if items.seats:
        unsure.append("what stands before every quantity is taken for the guest's place")
    unsure += [f"'{sign}' before every item is taken to mean nothing" for sign in items.bullets]
    unsure += [f"'{word}' beside a quantity is passed over" for word in items.quantity_words]


def _items_in(text: str) -> list[tuple[QuantityAt, str]]:
    printed, _ = find_time(text, day_first=True)
    if printed is not None:
        return []
    plain = without_price(text)[0].strip()
    signed = _SIGNED.fullmatch(plain)
    rows = [(QuantityAt.BEFORE, signed["rest"] if signed else plain), (QuantityAt.AFTER, plain)]
    found = [(at, quantity_in(row, at)) for at, row in rows]
    return [(at, match["name"]) for at, match in found if match and _is_name(match)]


def _is_name(match: re.Match[str]) -> bool:
    return len(digits_in(match)) <= 2 and match["name"].lstrip("'\"“")[:1].isalpha()


def _signs(sheets: Sequence[Sheet], known: Known, items: Items, unsure: list[str]) -> Items:
    """Find a sign before quantities and what it stands for."""
    names: dict[str, list[str]] = {}
    for sheet in sheets:
        for line in sheet.inked:
            is_timed = find_time(line.text, day_first=True)[0] is not None
            match = _SIGNED.fullmatch("" if is_timed else without_price(line.text)[0].strip())
            item = quantity_in(match["rest"], QuantityAt.BEFORE) if match else None
            if match and item and _may_be_sign(match["sign"]):
                names.setdefault(match["sign"], []).append(item["name"])
    drinks: list[str] = []
    food: list[str] = []
    for sign, found in sorted(names.items()):
        num_drinks = sum(known.is_drink(name) for name in found)
        (drinks if num_drinks * 2 > len(found) else food).append(sign)
        what = "drinks" if num_drinks * 2 > len(found) else "food"
        unsure.append(f"'{sign}' before a quantity ('{squeezed(found[0])}') is taken for {what}")
    return replace(items, drink_signs=tuple(drinks), food_signs=tuple(food))


def _edge_signs(sheets: Sequence[Sheet], known: Known, items: Items, unsure: list[str]) -> Items:
    """Find signs at the edge of every line with a drink, and of those with something else."""
    names: dict[str, list[str]] = {}
    for sheet in sheets:
        for line in sheet.inked:
            text = without_price(line.text)[0].strip() if items.prices else line.text.strip()
            found = EDGE_SIGN.search(text)
            plain = text[: found.start()] if found else text
            item = quantity_in(plain, QuantityAt.BEFORE)
            if item is not None and (found or known.find(plain)):
                names.setdefault(found["sign"] if found else "", []).append(item["name"])
    bare = names.pop("", [])
    drinks = {sign for sign, rows in names.items() if any(map(known.holds_drink, rows))}
    if bare or not drinks or sum(map(len, names.values())) < FEWEST_NAMED:
        return items
    food = tuple(sorted(set(names) - drinks))
    for sign, rows in sorted(names.items()):
        what = "drinks" if sign in drinks else "food"
        unsure.append(f"'{sign}' at the edge ('{squeezed(rows[0])}') is taken for {what}")
    return replace(
        items,
        drink_signs=(*items.drink_signs, *sorted(drinks)),
        food_signs=(*items.food_signs, *food),
    )


def _may_be_sign(text: str) -> bool:
    """Whether a word before a quantity may say what is ordered: no label, no bullet."""
    labels = {word for words in common.FIELDS.values() for word in words} | {*common.QUANTITY}
    return text.casefold().strip(".:") not in labels and bool(text.strip("-–−*+>.#:([{<|"))


def _indent(sheets: Sequence[Sheet], items: Items, known: Known) -> int:
    """Give how far in items stand: right-aligned quantities make it differ by one."""
    lexicon = lexicon_of(Profile(name="looks", items=items))
    indents: Counter[int] = Counter()
    for sheet in sheets:
        for line in sheet.inked:
            is_named = known.find(line.text) is not None and read_item(lexicon, line.text)
            if is_named or any(where is items.quantity for where, _ in _items_in(line.text)):
                indents[len(line.text) - len(line.text.lstrip())] += 1
    if not indents:
        return 0
    usual = max(indents, key=lambda indent: (indents[indent], -indent))
    return max(indent for indent in indents if indent <= usual + 1)


def _columns(sheets: Sequence[Sheet], items: Items) -> Items:
    """Look for two columns of items beside each other."""
    starts: Counter[int] = Counter()
    for sheet in sheets:
        for line in sheet.inked:
            if match := _TWO.match(line.text.strip()):
                starts[match.end() + len(line.text) - len(line.text.lstrip())] += 1
    if starts.total() < 2:
        return items
    (at, count), *_ = starts.most_common(1)
    return replace(items, columns=2, column_at=at if count == starts.total() else 0)
