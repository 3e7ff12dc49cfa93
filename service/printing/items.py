"""What was ordered, on its line: a quantity, a name, and perhaps a price."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from solver.tickets import LARGEST_QUANTITY

from .lexicon import Lexicon
from .paper import PaperLine
from .patterns import whole
from .profile import QuantityAt
from .words import bare, folded, squeezed

_MONEY = r"[£$€¥₺₽?¤]|eur|chf|kr|sek|dkk|nok|usd|gbp|aud|nzd|zł|pln|kč|czk|ft|huf|lei|r\$|c\$|a\$"
"""What stands beside an amount; a printer without its sign prints a question mark."""
_SUM = rf"[-–+]?(?:{_MONEY})? ?[-–]?\d{{1,6}}(?:[.,' ]\d{{3}})?[.,]\d{{2}}"
_PRICE = re.compile(
    r"(?<=\S)(?P<gap>\s+)(?:(?:@|à|á|a|je|per|ea|each)\s*)?"
    rf"(?:(?P<price>{_SUM}-?(?: ?(?:%|{_MONEY}))?(?: [A-Z*])?)|[(\[](?P<inner>{_SUM})[)\]])$",
    re.IGNORECASE,
)
_BEFORE = re.compile(
    r"(?P<minus>[-–−]\s?)?(?P<quantity>\d{1,4})(?:[.,]0{1,3})?"
    r"(?:(?:x\s*|\sx\s+|\s?[×*]\s*)(?=\D)|\s{0,4}[:|)=–-]\s*(?=[^\W\d_])|\.\s+|\s+)"
    r"(?:@\s?[£$€]?\d{1,4}[.,]\d{2}\s+)?(?P<name>[^\s@].*)",
    re.IGNORECASE,
)
_TIMES_BEFORE = re.compile(
    r"(?P<minus>[-–−]\s?)?[x×*]\s?(?P<quantity>\d{1,4})\s*(?:[:|)–-]\s*|\s)(?P<name>\S.*)",
    re.IGNORECASE,
)
_IN_BRACKETS = re.compile(
    r"(?:\[\s?[x×*]?\s?(?P<quantity>\d{1,4})\s?[x×*]?\s?\]"
    r"|\(\s?[x×*]?\s?(?P<other>\d{1,4})\s?[x×*]?\s?\)|<\s?(?P<third>\d{1,4})\s?>)\s*(?P<name>\S.*)",
    re.IGNORECASE,
)
_AFTER = re.compile(
    r"(?P<name>\S.*?)\s*(?<![^\W\d_])(?:[x×*]\s?(?P<quantity>\d{1,4})|(?<=\s)(?P<third>\d{1,4})\s?[x×*])",
    re.IGNORECASE,
)
_AFTER_IN_BRACKETS = re.compile(
    r"(?P<name>\S.*?)\s*(?:\[\s?[x×*]?\s?(?P<quantity>\d{1,4})\s?[x×*]?\s?\]"
    r"|\(\s?[x×*]?\s?(?P<other>\d{1,4})\s?[x×*]?\s?\)|<\s?(?P<third>\d{1,4})\s?>)",
    re.IGNORECASE,
)
_AFTER_SIGN = re.compile(
    r"(?P<name>\S.*?[^\s\d])(?P<sign>\s?[:|=,]|\s[-–/])\s*(?P<quantity>\d{1,4})"
)
_AFTER_GAP = re.compile(
    r"(?P<name>\S.*?)(?P<gap>\s{2,}|\s?(?:[.·_]\s?){3,}|\s[.·_]{1,2}\s)(?P<minus>[-–−])?[x×*]?\s?(?P<quantity>\d{1,4})",
    re.IGNORECASE,
)
"""Dots may lead from the name to the quantity."""
_NEXT_COLUMN = re.compile(r"\s{2,}(?=\d{1,2}(?:\s?[x×]\s*|\s+)[^\W\d_])", re.IGNORECASE)


_PRICE_FIRST = re.compile(
    rf"\s*(?P<price>{_SUM}(?: ?(?:{_MONEY}))?)\s+(?=[x×*(\[]?\s?\d{{1,3}}[\s)\]x×*]\s?\S)",
    re.IGNORECASE,
)
MOST_PRICES = 3
"""On one line: of one, of all, with a letter for the tax between."""
TAKEN_OFF = "is it a drink that goes, or a discount?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """An item's first line.

    Attributes
    ----------
    quantity : int
    name : str
    is_void : bool
        Taken off, by a minus or a word before it.
    sort : str
        ``drink`` or ``food`` where a sign before it says so, else empty.
    room : int or None
        Columns left for the name before the price or quantity behind it; None where there is none.
    doubt : str
    is_bare : bool
        There is no quantity; it is taken for one.
    seat : str
        The guest's, where it stands at the line's edge.
    is_at_gap : bool
        Only a gap, dots or a sign stand before the quantity: ``Table: 12`` looks like that too.
    """

    quantity: int
    name: str
    is_void: bool = False
    sort: str = ""
    room: int | None = None
    doubt: str = ""
    is_bare: bool = False
    is_at_gap: bool = False
    seat: str = ""


_EACH = re.compile(r"\s*@\s?[£$€]?\d{1,4}[.,]\d{2}$")
"""The price of one, behind the name."""


def without_price(text: str) -> tuple[str, str, int | None]:
    """Give a line without the price at its end, the price, and the room between them."""
    price, room = "", None
    for _ in range(MOST_PRICES):
        found = _PRICE.search(text)
        if found is None or not text[: found.start()].strip():
            break
        text, room = text[: found.start()], len(found["gap"]) - 1
        price = price or squeezed(found["price"] or found["inner"])
    if not price and (found := _PRICE_FIRST.match(text)):
        # It stands in its own column before the quantity.
        return " " * found.end() + text[found.end() :].rstrip(), squeezed(found["price"]), None
    return text.rstrip(), price, room


AMOUNT = re.compile(
    rf"(?:[x×*]\s?(?P<one>\d{{1,3}})|(?P<two>\d{{1,3}})\s?(?:[x×*@]|st[kc]?\.?|pcs)"
    rf"|=(?P<three>\d{{1,3}}))"
    rf"(?:\s*(?:à|á|a|@|je|each|ea|per|at)?\s*{_SUM}(?: ?(?:{_MONEY}))?)?"
    rf"(?:\s+=?\s*{_SUM}(?: ?(?:{_MONEY}))?)?",
    re.IGNORECASE,
)
"""How many, alone on the line under a drink: ``6 x 8,80    52,80``; ``=3`` stands for ``Qty 3``."""
_MAY_COUNT = re.compile(
    r"(?:[^\W\d_]{1,12}[.:]?\s*)?[x×(]?\d{1,2}[)x×]?(?:\s*[^\W\d_]{1,12}[.:]?)?", re.IGNORECASE
)
_CODE = re.compile(r"[#A-Za-z]{0,3}-?\d{2,8}[\s.:|-]+(?=[^\W\d_])")
_RUNNING = re.compile(r"\d{1,2}[.)]\s+(?=[x×(\[]?\s?\d{1,3}\s?[)\]x×*]?\s?[^\W_])")
"""Items that are counted down the paper: ``1) 2 x Salt Ferry``."""
SEAT_BEFORE = re.compile(
    r"[(\[]?(?P<seat>[A-Za-z]{1,2}\d{1,2})[)\]]?[\s:.|-]+(?=[x×(\[]?\s?\d{1,3}\D)"
)
"""A guest's seat before a quantity."""
EDGE_SIGN = re.compile(r"(?<=\S)\s{2,}(?P<sign>[(\[<]?[^\W\d]{1,3}[)\]>]?|[^\w\s]{1,2})$")
"""A sign or letter at the edge that says who makes it: ``2 Olives      (K)``."""
_GUEST = re.compile(r"(?<=\S)\s{2,}(?P<seat>(?![xX]\d)[A-Za-z]{1,2}\d{1,2})$")
"""A guest's seat at the edge."""


def amount_in(lexicon: Lexicon, text: str) -> int | None:
    """Give how many a line under a drink says there are of it; None where it says no such thing."""
    plain = text.strip()
    if word := lexicon.worded_before.match(plain):
        plain = f"={plain[word.end() :].lstrip('x×([')}"
    found = AMOUNT.fullmatch(plain)
    return None if found is None else int(found["one"] or found["two"] or found["three"])


def may_count(text: str) -> bool:
    """Whether a line is a number, with a word beside it perhaps, that may say how many."""
    return _MAY_COUNT.fullmatch(without_price(text)[0].strip()) is not None


def without_seat(text: str) -> tuple[str, str]:
    """Give a line without a guest's seat at its edge, and the seat."""
    found = _GUEST.search(text)
    return (text, "") if found is None else (text[: found.start()], found["seat"])


def without_code(lexicon: Lexicon, name: str) -> str:
    """Take a till's code off a name: ``0142  Windlass``.

    Where the profile does not say that names have codes, only off a drink that is known.
    """
    found = _CODE.match(name)
    if found is None:
        return name
    rest = name[found.end() :]
    return rest if lexicon.profile.items.codes or folded(rest) in lexicon.drinks else name


def without_words(lexicon: Lexicon, text: str) -> str:
    """Take off what stands around a quantity and means nothing: a bullet, ``Qty:``, ``pcs``."""
    if found := _RUNNING.match(text):
        text = text[found.end() :]
    text = text[lexicon.item_bullets.match(text).end() :]  # type: ignore[union-attr]
    if lexicon.profile.items.quantity is QuantityAt.AFTER:
        found = lexicon.worded_after.fullmatch(text)
        if found is None or not (found["before"] or found["behind"]):
            return text
        return f"{found['name']} x{found['quantity']}"
    if found := lexicon.worded_before.match(text):
        text = text[found.end() :]
    minus = text[:1] if text[:1] in "-–−" else ""
    plain = text[len(minus) :].lstrip()
    found = lexicon.worded_behind.match(plain)
    return text if found is None else f"{minus}{found['quantity']} {plain[found.end() :]}"


def is_less(price: str) -> bool:
    """Whether a price is taken off the bill."""
    return "-" in price or "–" in price


def is_money(lexicon: Lexicon, text: str) -> bool:
    """Whether a line is one of the bill: a total, a tax, a discount."""
    plain, price, _ = without_price(text)
    if is_less(price) and read_item(lexicon, text) is None:
        return True
    named = lexicon.money.match(bare(text))
    if named is None or not (price or any(map(str.isdigit, plain))):
        return False
    # "Service Bell" may be a drink where drinks have no quantity, or have it behind them.
    is_before = lexicon.profile.items.quantity is QuantityAt.BEFORE
    if not lexicon.takes_bare and (price or is_before):
        return True
    return not any(map(str.isalpha, lexicon.money_words.sub(" ", bare(plain))))


def columns_of(lexicon: Lexicon, text: str) -> list[tuple[int, str]]:
    """Give the parts of a line that stand in columns of items, each with where it begins."""
    items = lexicon.profile.items
    if items.columns == 1:
        return [(0, text)]
    if items.column_at:
        left, right = text[: items.column_at], text[items.column_at :]
        parts = [(0, left.rstrip()), (items.column_at, right.rstrip())]
        return [part for part in parts if part[1].strip()]
    found = _NEXT_COLUMN.search(text, 1)
    if found is None or not text[: found.start()].strip():
        return [(0, text)]
    return [(0, text[: found.start()]), (found.end(), text[found.end() :])]


def read_item(lexicon: Lexicon, text: str) -> Ordered | None:
    """Read a line as an item with a quantity; None where it is none."""
    items = lexicon.profile.items
    for pattern in items.patterns:
        if found := whole(pattern, text):
            return _ordered(found.get("quantity") or "1", found["name"])
    plain, price, room = without_price(text) if items.prices else (text.rstrip(), "", None)
    plain, seat = without_seat(plain.strip())
    if items.seats and (guest := SEAT_BEFORE.match(plain)):
        plain, seat = plain[guest.end() :], guest["seat"]
    sort, plain, room = _signed_behind(lexicon, *_signed(lexicon, plain), room)
    plain = without_words(lexicon, plain)
    is_void = False
    if found_word := lexicon.void_word.match(plain):
        is_void, plain = True, plain[found_word.end() :]
    found_item = quantity_in(plain, items.quantity)
    if found_item is None or not any(map(str.isalpha, found_item["name"])):
        return None
    parts = found_item.groupdict()
    if is_less(price) and lexicon.money.match(found_item["name"]):
        return None
    is_void |= bool(parts.get("minus"))
    is_off = is_less(price)
    ordered = _ordered(digits_in(found_item), without_code(lexicon, found_item["name"]))
    said = f"{price} is taken off the bill: {TAKEN_OFF}" if is_off and not is_void else ""
    return replace(
        ordered,
        is_void=is_void or is_off,
        sort=sort,
        room=len(parts["gap"]) - 1 if parts.get("gap") else room,
        seat=seat,
        is_at_gap=bool(parts.get("gap") or parts.get("sign")),
        doubt=ordered.doubt or said,
    )


def quantity_in(text: str, at: QuantityAt) -> re.Match[str] | None:
    """Match a line without its price as a quantity and a name; None where it is none."""
    if at is QuantityAt.BEFORE:
        return (
            _BEFORE.fullmatch(text) or _TIMES_BEFORE.fullmatch(text) or _IN_BRACKETS.fullmatch(text)
        )
    if at is QuantityAt.AFTER:
        patterns = (_AFTER_GAP, _AFTER, _AFTER_IN_BRACKETS, _AFTER_SIGN)
        return next((found for one in patterns if (found := one.fullmatch(text))), None)
    return None


def digits_in(found: re.Match[str]) -> str:
    """Give the quantity of such a match, wherever it stands in it."""
    parts = found.groupdict()
    return parts.get("quantity") or parts.get("other") or parts.get("third") or ""


def read_wrapped(lexicon: Lexicon, line: PaperLine, below: PaperLine) -> Ordered | None:
    """Read an item whose name fills its line, so that its quantity stands in the next one."""
    profile = lexicon.profile
    indent = len(below.text) - len(below.text.lstrip())
    is_after = profile.items.quantity is QuantityAt.AFTER and profile.items.columns == 1
    if not is_after or not below.text:
        return None
    if indent <= profile.items.indent and not _begins_drink(lexicon, line.text, below.text):
        return None
    if (line.is_large, line.is_bold) != (below.is_large, below.is_bold):
        return None
    plain, price, _ = without_price(line.text)
    scale = max(1, line.columns // max(1, len(line.text)))
    behind = len(line.text[len(plain) :].strip()) + 1 if price else 0
    rest = below.text.split()
    has_room = len(plain) + 1 + len(rest[0]) <= profile.paper.width // scale - behind
    if has_room or read_item(lexicon, plain) is not None:
        return None
    return read_item(lexicon, f"{plain.strip()} {below.text.strip()}")


def _begins_drink(lexicon: Lexicon, text: str, below: str) -> bool:
    """Whether the name of a drink begins in one line and ends, with its quantity, in the next."""
    item = read_item(lexicon, f"{text.strip()} {below.strip()}")
    return item is not None and folded(item.name) in lexicon.drinks


def read_bare_item(lexicon: Lexicon, text: str) -> Ordered | None:
    """Read a line without a quantity as one of what it names."""
    items = lexicon.profile.items
    plain, price, room = without_price(text) if items.prices else (text.rstrip(), "", None)
    sort, name = _signed(lexicon, plain.strip())
    if not any(map(str.isalpha, name)):
        return None
    is_sure = items.bare_is_one or items.quantity is QuantityAt.NOWHERE
    doubt = "" if is_sure else "there is no quantity; it was taken for one"
    if name[:1].isdigit():
        doubt = "it begins with a number, which was not taken for its quantity"
    return Ordered(
        quantity=1,
        name=squeezed(without_code(lexicon, name)),
        sort=sort,
        room=room,
        is_void=is_less(price),
        doubt=doubt,
        is_bare=True,
    )


def _signed(lexicon: Lexicon, text: str) -> tuple[str, str]:
    """Take a sign before the quantity off, with what it says."""
    first, _, rest = text.partition(" ")
    if rest and first.casefold() in lexicon.food_signs:
        return "food", rest.strip()
    if rest and first.casefold() in lexicon.drink_signs:
        return "drink", rest.strip()
    return "", text


def _signed_behind(
    lexicon: Lexicon, sort: str, text: str, room: int | None
) -> tuple[str, str, int | None]:
    """Take a sign at the line's edge off, with what it says and the room before it."""
    found = None if sort else EDGE_SIGN.search(text)
    if found is None:
        return sort, text, room
    for name, signs in (("food", lexicon.food_signs), ("drink", lexicon.drink_signs)):
        if found["sign"].casefold() in signs:
            return name, text[: found.start()], len(found.group()) - len(found["sign"]) - 1
    return sort, text, room


def _ordered(quantity: str, name: str) -> Ordered:
    count = int(quantity) if quantity.isdecimal() else 0
    said = f"a quantity from 1 to {LARGEST_QUANTITY} was expected; the paper says {quantity}"
    return Ordered(
        quantity=min(max(count, 1), LARGEST_QUANTITY),
        name=squeezed(_EACH.sub("", name)),
        doubt="" if 1 <= count <= LARGEST_QUANTITY else said,
    )
