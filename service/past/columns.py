"""Which column of a till's CSV is what: headings as tills write them, or as somebody says."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum


class Column(StrEnum):
    """What a column may hold."""

    NUMBER = "number"
    PLACED_AT = "placed_at"
    """Day and time together."""
    DATE = "date"
    TIME = "time"
    DRINK = "drink"
    QUANTITY = "quantity"
    PLACE = "place"
    CHANNEL = "channel"
    SERVER = "server"
    TILL = "till"
    CHANGES = "changes"
    ALLERGIES = "allergies"
    NOTE = "note"
    STATE = "state"
    """Says that a row was taken off again: void, refunded."""


HEADINGS: dict[Column, tuple[str, ...]] = {
    Column.NUMBER: (
        *("number", "ticket", "ticket number", "ticket no", "ticket nr", "ticket id", "order"),
        *("order number", "order no", "order id", "check", "check number", "check no", "receipt"),
        *("receipt number", "receipt no", "transaction", "transaction id", "sale", "sale id", "no"),
        *("nr", "bill", "bill number", "bon", "bon nr", "tab"),
    ),
    Column.PLACED_AT: (
        *("placed at", "placed", "ordered at", "order time", "timestamp", "datetime", "date time"),
        *("date and time", "date/time", "created", "created at", "opened", "opened at", "sent at"),
        *("when", "sale time", "zeitpunkt"),
    ),
    Column.DATE: ("date", "day", "order date", "sale date", "business date", "datum"),
    Column.TIME: ("time", "clock", "hour", "time of day", "uhrzeit", "zeit", "heure"),
    Column.DRINK: (
        *("drink", "item", "item name", "product", "product name", "name", "description", "recipe"),
        *("article", "artikel", "menu item", "line", "line item", "produit"),
    ),
    Column.QUANTITY: (
        *("quantity", "qty", "count", "how many", "number of items", "units", "pieces", "menge"),
        *("anzahl", "quantité", "item qty", "qty sold"),
    ),
    Column.PLACE: (
        *("place", "table", "table number", "table no", "seat", "tisch", "table name", "location"),
        *("table/seat", "stool"),
    ),
    Column.CHANNEL: ("channel", "order type", "service type", "area", "section", "room", "type"),
    Column.SERVER: (
        *("server", "waiter", "clerk", "employee", "staff", "taken by", "user", "bedienung"),
        *("cashier", "serveur", "operator"),
    ),
    Column.TILL: ("till", "register", "terminal", "device", "pos", "kasse", "station"),
    Column.CHANGES: (
        *("changes", "modifiers", "modifier", "modifiers applied", "options", "extras", "mods"),
    ),
    Column.ALLERGIES: ("allergies", "allergy", "allergens", "allergen"),
    Column.NOTE: ("note", "notes", "comment", "comments", "special instructions", "remark"),
    Column.STATE: ("state", "status", "void", "voided", "refunded", "cancelled", "event type"),
}
"""Headings by what they mean, the surest first; common practice of exported tables."""

NEEDED = (Column.DRINK,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Where in a row everything stands.

    Attributes
    ----------
    at : mapping of Column to int
        Positions in a row.
    unused : tuple of str
        Headings that nothing was taken from.
    """

    at: Mapping[Column, int]
    unused: tuple[str, ...]

    def of(self, column: Column, row: Sequence[str]) -> str:
        """Give what a row has in a column, without spaces around it; empty where there is none."""
        position = self.at.get(column)
        return row[position].strip() if position is not None and position < len(row) else ""

    @property
    def missing(self) -> str:
        """What it cannot do without, in words; empty when all is there."""
        words = [f"a column for the {column.value}" for column in NEEDED if column not in self.at]
        if Column.PLACED_AT not in self.at and Column.TIME not in self.at:
            words.append("a column for when it was placed (date and time, in one column or in two)")
        elif Column.PLACED_AT not in self.at and Column.DATE not in self.at:
            words.append("a column for the date beside the time")
        return " and ".join(words)


def plain(heading: str) -> str:
    """Give a heading in small letters, with single spaces for all that is no letter or digit."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading.strip())
    return re.sub(r"[^\w/]+|_+", " ", spaced).strip().casefold()


def columns_of(headings: Sequence[str], said: Mapping[Column, str]) -> Columns:
    """Find out which heading is what.

    Parameters
    ----------
    headings : sequence of str
        The first row of the file.
    said : mapping of Column to str
        Headings that somebody named; they count before all others.

    Raises
    ------
    KeyError
        With the heading that was named and is not there.
    """
    bare = [plain(heading) for heading in headings]
    at: dict[Column, int] = {}
    for column, heading in said.items():
        if plain(heading) not in bare:
            raise KeyError(heading)
        at[column] = bare.index(plain(heading))
    taken = set(at.values())
    for column, known in HEADINGS.items():
        if column in at:
            continue
        for word in known:
            if word in bare and bare.index(word) not in taken:
                at[column] = bare.index(word)
                taken.add(at[column])
                break
    unused = [heading.strip() for i, heading in enumerate(headings) if i not in taken]
    return Columns(at=at, unused=tuple(filter(None, unused)))
