"""What a person would read off a print: every inked line with its role, and the ticket it makes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Kind(StrEnum):
    """What a print is for."""

    TICKET = "ticket"
    REPRINT = "reprint"
    """The same ticket once more: nothing is to be made."""
    VOID = "void"
    """The drinks on it are taken off the ticket of that number."""
    CORRECTION = "correction"
    """The ticket of that number, as it should be now."""
    NO_DRINKS = "no drinks"
    """Food alone, a test print, a shift report, a card slip, a drawer pulse."""
    PICTURE = "picture"
    """A ticket drawn as one picture: nobody but a person can read it."""


class Role(StrEnum):
    """What a printed line is."""

    HEAD = "head"
    """Number, place, server, till or time: one or several of them."""
    DRINK = "drink"
    CHANGE = "change"
    ALLERGY = "allergy"
    NOTE = "note"
    GOES_ON = "goes on"
    """The rest of the line above, which did not fit."""
    AMOUNT = "amount"
    """How many there are of the drink in the line above, and what they cost."""
    FOOD = "food"
    """A dish, or what is said of one."""
    MARK = "mark"
    """Says that this is a reprint, a void, a correction."""
    OTHER = "other"
    """Names of the house, rules, headings, prices, totals, tax, thanks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drink:
    """A line of a ticket: so many of one drink.

    Attributes
    ----------
    recipe, spirit, mixer : str
        Ids of the menu: a recipe, or a spirit and a mixer (which may be empty).
    measure : str
        ``single`` or ``double``, where there is a spirit.
    printed : str
        The name as it stands on the paper, whole.
    is_whole : bool
        The name on the paper is one that the menu knows; not one that was cut off.
    changes : tuple of (str, str, str)
        What is done (``leave_out``, ``swap``, ``add``, ``double``, ``on_the_rocks``,
        ``straight_up``, ``no_ice``) and the ids of the ingredients or names of the garnishes: what
        goes out, what comes in.
    allergies : tuple of str
    note : str
    """

    recipe: str = ""
    spirit: str = ""
    mixer: str = ""
    measure: str = ""
    quantity: int = 1
    printed: str = ""
    is_whole: bool = True
    changes: tuple[tuple[str, str, str], ...] = ()
    allergies: tuple[str, ...] = ()
    note: str = ""

    @property
    def what(self) -> tuple[str, str, str, str]:
        """The drink itself, without how many and what is done to it."""
        return self.recipe, self.spirit, self.mixer, self.measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Inked:
    """One line with ink on it.

    Attributes
    ----------
    text : str
        As it stands on the paper, without spaces at both ends.
    role : Role
    facts : tuple of (str, str)
        What it says of the ticket as a whole: ``number``, ``place``, ``server``, ``till``, ``time``
        (24 hours, ``21:04``) and ``date`` (``2027-02-12``).
    quantity : int
        How many, on the line of a drink.
    """

    text: str
    role: Role
    facts: tuple[tuple[str, str], ...] = ()
    quantity: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """One print: its bytes, and what a person would read."""

    layout: str
    kind: Kind
    data: bytes
    inked: tuple[Inked, ...]
    at: datetime
    number: str = ""
    place: str = ""
    server: str = ""
    till: str = ""
    is_floor: bool = True
    """At a table, not at the bar."""
    drinks: tuple[Drink, ...] = ()
    says: str = ""
    """Which sort of print it is, for reports: ``ticket``, ``card slip``, ``shift report``, …"""
