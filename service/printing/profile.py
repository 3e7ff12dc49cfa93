"""A reading profile: how one till prints, as a bar writes it down in YAML.

Words that tills commonly print are known (`vocabulary`); lists of words here add to them. Words are
compared without regard to capitals and to how many spaces stand between them; a sign such as ``:``
or ``#`` after a label is part of no word and may be left out. Where words do not reach, a field
takes regular expressions, held against the whole line (see `patterns`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated

from pydantic import Field as Limits
from pydantic import TypeAdapter, with_config

from service.strict import STRICT, Text
from solver.errors import BadValue
from solver.tickets import Channel

from .codepages import check_codec
from .patterns import check_pattern

WIDEST = 96
"""Characters on a line; tickets are 32 to 64 wide (common practice)."""
MOST_WORDS = 400

Words = Annotated[tuple[Text, ...], Limits(max_length=MOST_WORDS)]


SHAPES = {
    "number": r"(?:[A-Za-z#]{1,4}[-/.]?)?\d[\w/.-]{0,11}",
    "place": r"[^\W\d_][^\d/|]{0,15}\d{0,4}[A-Za-z]?|\d{1,4}",
    "spot": r"[A-Za-z]{1,3}[-./]?\d{1,4}[A-Za-z]?|\d{1,4}[A-Za-z]?",
    "server": r"[^\W\d_][^\d/|:]{0,30}",
    "till": r"[\w-]{1,8}",
    "time": r"00:00",
    "any": r".{1,24}",
}
"""What the parts of a head's line look like; short, so that no line takes long.

A time, however it is printed, is found first and stands as ``00:00`` when a line is held against
it.
"""
_PART = re.compile(r"\{(\w+)\}")
_GROUPS = {"spot": "place"}
"""Parts that are another way to print a fact: a place in short."""


def template_pattern(line: str) -> str:
    """Turn a line such as ``{place} {time} {server}`` into a regular expression.

    Raises
    ------
    BadValue
        For a part that nobody knows, or one that is there twice.
    """
    names = _PART.findall(line)
    known = ", ".join("{" + name + "}" for name in SHAPES)
    if not names or not set(names) <= set(SHAPES):
        raise BadValue(f"a line with parts of {known}", line)
    named = [_GROUPS.get(name, name) for name in names if name != "any"]
    if len(set(named)) < len(named):
        raise BadValue("every part once in a line", line)
    said = ""
    for index, part in enumerate(_PART.split(" ".join(line.split()))):
        if index % 2 == 0:
            said += re.escape(part)
        else:
            said += _shape(part)
    return said


def _shape(part: str) -> str:
    if part == "any":
        return f"(?:{SHAPES[part]})"
    return f"(?P<{_GROUPS.get(part, part)}>{SHAPES[part]})"


class Ends(StrEnum):
    """What ends a ticket; the connection's end always does."""

    CUT = "cut"
    FEED = "feed"
    """A form feed."""
    QUIET = "quiet"
    """Nothing more for a while."""


Expected = Annotated[str, Limits(pattern="^(number|place|server|till)$")]


class QuantityAt(StrEnum):
    """Where the quantity of an item stands."""

    BEFORE = "before"
    """``2 Salt Ferry``, ``2x Salt Ferry``."""
    AFTER = "after"
    """``Salt Ferry x2``, ``Salt Ferry      2``."""
    NOWHERE = "nowhere"
    """One line is one drink."""


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """How the bytes become lines.

    Attributes
    ----------
    ends : tuple of Ends
        Any of them ends a ticket.
    quiet_s : float
        After so many seconds without a byte a ticket is ended by quiet.
    width : int
        Characters on a line; 0 where it is not known.
    wraps : bool or None
        Whether what is too long for its line goes on in the next one. None: it may; where it may
        be a note just as well, that is said.
    text : str
        ``by code page`` as printers do, or a codec such as ``utf-8`` that all text is in.
    code_page : int
        The one a print begins with.
    code_pages : mapping of int to str
        Printer's number to codec, where it differs from the common ones.
    """

    ends: tuple[Ends, ...] = (Ends.CUT, Ends.QUIET)
    quiet_s: Annotated[float, Limits(ge=0.1, le=60)] = 1.5
    width: Annotated[int, Limits(ge=0, le=WIDEST)] = 0
    wraps: bool | None = None
    text: Text = "by code page"
    code_page: Annotated[int, Limits(ge=0, le=255)] = 0
    code_pages: Mapping[int, Text] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.ends:
            raise BadValue("at least one of cut, feed, quiet", "nothing")
        if self.text != "by code page":
            check_codec(self.text)
        for codec in self.code_pages.values():
            check_codec(codec)


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one fact of the ticket's head stands.

    Attributes
    ----------
    labels : tuple of str
        Words that stand before it; the value goes to the next wide gap, label or line end.
    patterns : tuple of str
        Regular expressions with a group ``value``, held against the whole line.
    always : str
        What it is where no print ever says.
    """

    labels: Words = ()
    patterns: Words = ()
    always: Text = ""

    def __post_init__(self) -> None:
        for pattern in self.patterns:
            check_pattern(pattern, needs="value")


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """Whose ticket it is.

    Attributes
    ----------
    number, place, server, till, time : Place
        ``time`` also finds a time or day that stands without a label.
    seat : Place
        Labels of lines over the items of one guest: ``Guest 2``.
    other : Place
        Labels of what nobody asks for: how many guests, a page.
    lines : tuple of str
        Whole lines of the head whose parts have no labels, such as
        ``{place} {number} {time} {server}`` or ``{time} {server}``; ``{spot}`` is a place in
        short (``T12``), ``{any}`` is passed over. Spaces may be wider on paper.
    expects : tuple of str
        Of ``number``, ``place``, ``server``, ``till``: what every ticket shows. Where one of them
        is not found on a ticket, that is said.
    where : tuple of str
        Labels of a place that are no part of its name: ``Where: Table 4``.
    words : tuple of str
        Words between facts that say nothing by themselves: ``where``, ``at``.
    day_first : bool
        ``03/04`` is the third of April.
    """

    number: Place = Place()
    place: Place = Place()
    server: Place = Place()
    till: Place = Place()
    time: Place = Place()
    seat: Place = Place()
    other: Place = Place()
    lines: Words = ()
    where: Words = ()
    expects: tuple[Expected, ...] = ()
    words: Words = ()
    day_first: bool = True

    def __post_init__(self) -> None:
        for line in self.lines:
            template_pattern(line)


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """How what was ordered looks.

    Attributes
    ----------
    quantity : QuantityAt
    indent : int
        Spaces before an item, at most; what stands further in belongs to the item above.
    columns : int
        Items beside each other on one line: 1 or 2.
    column_at : int
        Where the second of two columns begins, counted from 0; 0 where it is not known.
    prices : bool
        A price may stand at the right end.
    bare_is_one : bool
        A line without a quantity is one of it; else it is said to be unsure.
    bullets : tuple of str
        Signs before every item that mean nothing.
    codes : bool
        A code of the till stands before every name: ``0142  Windlass``.
    seats : bool
        A guest's place stands before every quantity: ``P1 2 Windlass``.
    quantity_words : tuple of str
        Words beside a quantity that mean nothing else: ``Qty: 3``, ``3 pcs``.
    drink_signs, food_signs : tuple of str
        A sign or letter before the quantity, or at the line's edge, that says which it is:
        ``F 1 x olives``, ``1 olives      (K)``.
    patterns : tuple of str
        Regular expressions with groups ``name`` and, if it has one, ``quantity``.
    drinks, food : tuple of str
        Names known to be one or the other, whatever they stand under.
    """

    quantity: QuantityAt = QuantityAt.BEFORE
    indent: Annotated[int, Limits(ge=0, le=WIDEST)] = 1
    columns: Annotated[int, Limits(ge=1, le=2)] = 1
    column_at: Annotated[int, Limits(ge=0, le=WIDEST)] = 0
    prices: bool = True
    bare_is_one: bool = False
    codes: bool = False
    seats: bool = False
    bullets: Words = ()
    quantity_words: Words = ()
    drink_signs: Words = ()
    food_signs: Words = ()
    patterns: Words = ()
    drinks: Words = ()
    food: Words = ()

    def __post_init__(self) -> None:
        for pattern in self.patterns:
            check_pattern(pattern, needs="name")


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """How changes to a drink are said, in the house's words.

    Attributes
    ----------
    indent : int
        Spaces before a change, at least. 0: they may stand as far left as items.
    bullets : tuple of str
        Signs before a change that mean nothing by themselves.
    leave_out, add : tuple of str
        Words or signs before an ingredient; behind it where ``{}`` stands for it: ``{} out``.
    swap : tuple of str
        With ``{put_in}`` and ``{take_out}``, such as ``sub {put_in} for {take_out}``.
    double, on_the_rocks, straight_up, no_ice : tuple of str
        Whole changes.
    note : tuple of str
        Words before a note; whatever is under an item and no change becomes a note too.
    allergy : tuple of str
        Words before an allergy; what follows is what must not be in the drink.
    ingredients : tuple of str
        Names known when the profile was taught. Words that may mean anything (``with``, ``and``)
        are a change before one of these alone, else a note.
    """

    indent: Annotated[int, Limits(ge=0, le=WIDEST)] = 1
    bullets: Words = ()
    leave_out: Words = ()
    add: Words = ()
    swap: Words = ()
    double: Words = ()
    on_the_rocks: Words = ()
    straight_up: Words = ()
    no_ice: Words = ()
    note: Words = ()
    allergy: Words = ()
    ingredients: Words = ()

    def __post_init__(self) -> None:
        for template in self.swap:
            if template.count("{put_in}") != 1 or template.count("{take_out}") != 1:
                raise BadValue("{put_in} and {take_out}, each once", template)


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Words that say what a print, or a line, is.

    Attributes
    ----------
    void, reprint, correction : tuple of str
        On a line alone they mean the whole print; before or under an item, ``void`` means it.
    test, report, card_slip : tuple of str
        The print is no ticket.
    correction_replaces : bool
        A correction prints the whole ticket anew; else what comes and what goes.
    """

    void: Words = ()
    reprint: Words = ()
    correction: Words = ()
    test: Words = ()
    report: Words = ()
    card_slip: Words = ()
    correction_replaces: bool = True


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """Headings over drinks and over food.

    Attributes
    ----------
    drinks, food : tuple of str
    otherwise : str
        What an item without a heading is: ``drink``, ``food`` or ``unsure``. A drink that the menu
        knows is one under ``food`` and ``unsure`` too, and what is like its names ``unsure``.
    """

    drinks: Words = ()
    food: Words = ()
    otherwise: Annotated[str, Limits(pattern="^(drink|food|unsure)$")] = "drink"


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Channels:
    """Where a round goes, by its place.

    Attributes
    ----------
    bar_top, floor : tuple of str
        Places, ``*`` for anything: ``bar*``, ``table *``, ``3*``.
    otherwise : Channel or None
        Where neither fits; None leaves it to the port's own settings.
    """

    bar_top: Words = ()
    floor: Words = ()
    otherwise: Channel | None = None


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Redact:
    """What no screen and no log may show, beside card numbers, phone numbers and e-mail.

    Attributes
    ----------
    labels : tuple of str
        What follows them on a line is a person's.
    patterns : tuple of str
        Regular expressions with a group ``value`` that is taken out.
    """

    labels: Words = ()
    patterns: Words = ()

    def __post_init__(self) -> None:
        for pattern in self.patterns:
            check_pattern(pattern, needs="value")


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """How one till prints.

    Attributes
    ----------
    name : str
    business_day_ends : int
        The hour by the bar's clock at which a business day ends; usually as `night.hours` has it.
    common_words : bool
        Whether the common words count beside the lists here.
    not_here : tuple of str
        Common words that mean something else in this house, such as the name of a drink.
    house : tuple of str
        Lines the house always prints: its name, an address, thanks; ``*`` for anything,
        ``#`` for a number.
    money : tuple of str
        Words that begin a line of money: totals, tax, discounts, payment.
    """

    name: Text
    business_day_ends: Annotated[int, Limits(ge=0, le=23)] = 6
    common_words: bool = True
    not_here: Words = ()
    paper: Paper = Paper()
    head: Head = Head()
    items: Items = Items()
    changes: Changes = Changes()
    marks: Marks = Marks()
    sections: Sections = Sections()
    channels: Channels = Channels()
    house: Words = ()
    money: Words = ()
    redact: Redact = Redact()


PROFILE: TypeAdapter[Profile] = TypeAdapter(Profile)
