"""What was read off a print: who it is for, what was ordered, and what every line on it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum
from typing import Any

from solver.tickets import Channel


class PrintKind(StrEnum):
    """What a print is for the bar."""

    DRINKS = "drinks"
    """A ticket with drinks, or with lines that may be drinks."""
    NO_DRINKS = "no_drinks"
    """A ticket of food alone."""
    VOID = "void"
    """The whole ticket of this number is void."""
    REPRINT = "reprint"
    """The same ticket once more: nothing new is to be made."""
    CORRECTION = "correction"
    """A change to an earlier ticket; each item says whether it comes or goes."""
    TEST = "test"
    DRAWER = "drawer"
    """A pulse to the cash drawer and nothing on paper."""
    REPORT = "report"
    CARD_SLIP = "card_slip"
    PICTURE = "picture"
    """Pictures and no text: nothing can be read off it."""
    EMPTY = "empty"
    """Nothing on paper: status requests, feeding, blank lines."""
    UNKNOWN = "unknown"
    """Text, and no drink, food or mark found in it: a person has to look."""


class Role(StrEnum):
    """What one printed line is. Every line of a print has exactly one."""

    BLANK = "blank"
    RULE = "rule"
    """A line of dashes or the like."""
    HEAD = "head"
    """It holds the number, place, seat, server, till or time."""
    SECTION = "section"
    """A heading over drinks or food."""
    MARK = "mark"
    """It says what the print is: void, reprint, correction, test, report, card slip."""
    ITEM = "item"
    """The first line of something ordered; `PrintedLine.item` says which."""
    GOES_ON = "goes_on"
    """The rest of the line above, which did not fit."""
    CHANGE = "change"
    ALLERGY = "allergy"
    NOTE = "note"
    """Words under an item, or for all of the ticket, that a person has to read."""
    MONEY = "money"
    """Totals, discounts, tax, payment."""
    HOUSE = "house"
    """What the house always prints: its name, thanks, an address."""
    CARD = "card"
    """Card or guest data; the text is redacted."""
    CODE = "code"
    """A barcode, a square code or a picture."""
    ASIDE = "aside"
    """A line of a print that is no ticket: of a report, a card slip, a test."""
    UNREAD = "unread"
    """Not understood, and said so in `Print.doubts`."""


class Sort(StrEnum):
    """What an item is."""

    DRINK = "drink"
    FOOD = "food"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedLine:
    """One line on paper.

    Attributes
    ----------
    text : str
        As printed, without spaces at its end; card and guest data are NOT taken out. Keep it
        where raw prints are kept, show `preview` instead.
    preview : str
        The same for screens and logs: redacted.
    role : Role
    items : tuple of int
        Positions in `Print.items` that this line belongs to; empty for a line of the whole
        print. Two where a print has two columns of items.
    is_bold, is_large : bool
        Whether most of it is.
    """

    text: str
    preview: str
    role: Role
    items: tuple[int, ...] = ()
    is_bold: bool = False
    is_large: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something ordered, as the paper says it.

    Attributes
    ----------
    sort : Sort
    quantity : int
        1 or more, also where it is taken off.
    name : str
        As printed, without quantity, price and changes; continued lines are joined.
    changes : tuple of dict
        As a ticket line's ``changes`` in JSON, but ingredients are still words from paper:
        ``{"leave_out": "salt"}``, ``{"swap": {"take_out": "lime", "put_in": "lemon"}}``,
        ``{"add": {"ingredient": "soda"}}`` (``amount`` only where the paper says one),
        ``{"double": True}``, ``{"on_the_rocks": True}``, ``{"straight_up": True}``,
        ``{"no_ice": True}``.
    allergies : tuple of str
    note : str
        Words under the item that are no change the profile knows.
    is_void : bool
        Taken off: this many of it are not wanted any more.
    seat : str
        Where the paper has it beside or over single items.
    rows : tuple of int
        Positions in `Print.lines` of everything that belongs to it.
    doubts : tuple of str
        What is not sure about it, in words; such an item has to be looked at by a person.
    """

    sort: Sort
    quantity: int
    name: str
    changes: tuple[dict[str, Any], ...] = ()
    allergies: tuple[str, ...] = ()
    note: str = ""
    is_void: bool = False
    seat: str = ""
    rows: tuple[int, ...] = ()
    doubts: tuple[str, ...] = ()

    def as_line(self) -> dict[str, Any]:
        """Give it in the form of a ticket's line in JSON; names are still words from paper."""
        line: dict[str, Any] = {"recipe": self.name, "quantity": self.quantity}
        if self.changes:
            line["changes"] = [dict(change) for change in self.changes]
        if self.allergies:
            line["allergies"] = list(self.allergies)
        if self.note:
            line["note"] = self.note
        return line


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """When a print says it was printed.

    Attributes
    ----------
    text : str
        As printed.
    day : datetime.date or None
        None where there is only a time.
    at : datetime.time or None
        By the bar's own clock; None where there is only a day.
    other_day : datetime.date or None
        What the day is where day and month stand the other way round; None where that is no day.
    """

    text: str
    day: date | None = None
    at: time | None = None
    other_day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """One print, read.

    Attributes
    ----------
    kind : PrintKind
    number, till, place, seat, server : str
        As printed; empty where the print does not say.
    channel : Channel or None
        By the place and the profile's rules; None where neither says.
    printed : Printed or None
    items : tuple of Item
        Drinks, food and what may be either, in printed order.
    lines : tuple of PrintedLine
        Every line on paper, in order. Nothing is dropped.
    note : str
        Words for the whole ticket, at no item.
    allergies : tuple of str
        For the whole ticket, at no item: they concern every drink of it.
    doubts : tuple of str
        What was not understood, in words, the whole print over; items carry their own.
    pictures, drawer_pulses : int
        How many there are.
    correction_replaces : bool
        Of a correction: its items are the whole ticket anew. False: its items are what comes
        and, where `Item.is_void`, what goes.
    """

    kind: PrintKind
    number: str = ""
    till: str = ""
    place: str = ""
    seat: str = ""
    server: str = ""
    channel: Channel | None = None
    printed: Printed | None = None
    items: tuple[Item, ...] = ()
    lines: tuple[PrintedLine, ...] = ()
    note: str = ""
    allergies: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    pictures: int = 0
    drawer_pulses: int = 0
    correction_replaces: bool = False

    @property
    def drinks(self) -> tuple[Item, ...]:
        """What the bar has to look at: drinks, and what may be one."""
        return tuple(item for item in self.items if item.sort is not Sort.FOOD)

    @property
    def preview(self) -> tuple[str, ...]:
        """The print line by line for screens and logs: redacted."""
        return tuple(line.preview for line in self.lines)

    @property
    def is_sure(self) -> bool:
        """Whether nothing on it has to be looked at by a person."""
        return not self.doubts and not any(item.doubts for item in self.items)
