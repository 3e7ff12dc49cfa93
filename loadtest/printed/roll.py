"""A till's evening on a roll of paper: tickets, and everything else that a till prints."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from .layout import Layout
from .orders import Item, Order, only_food, order
from .paper import Paper
from .parts import card_slip, shift_report, test_print
from .truth import Drink, Kind, Print, Role

EVENING = datetime(2027, 2, 12, 18, 0, tzinfo=UTC)
FIRST_NUMBER = 101
ENOUGH = 60
"""A bar that looks through so many prints finds three to teach from."""


@dataclass(slots=True, kw_only=True)
class Roll:
    """What one till prints, one print after the other.

    Parameters
    ----------
    layout : Layout
    seed : int
    at : datetime
        When it begins.
    apart : timedelta
        Between two prints.
    number : int
        Of the next ticket.
    most_drinks : int
        Drinks on a ticket, at most; 0 for as many as a party orders.
    """

    layout: Layout
    seed: int
    at: datetime = EVENING
    apart: timedelta = timedelta(seconds=47)
    number: int = FIRST_NUMBER
    most_drinks: int = 0
    _rng: random.Random = field(init=False)
    _open: list[Order] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        self._rng = random.Random(f"{self.layout.name} {self.seed}")

    def next_ticket(self) -> Print:
        """Print a new ticket."""
        made = order(self._rng, number=self._next_number(), at=self._later())
        if not self.layout.has_food:
            made.items = made.drinks
        if self.layout.is_single:
            made.items = [replace(item, quantity=1) for item in made.items for _ in _each(item)]
        if self.most_drinks:
            made.items = made.drinks[: self.most_drinks]
            for item in made.items:
                item.quantity = 1
        self._open.append(made)
        return self._printed(made)

    def next_print(self) -> Print:
        """Print whatever comes next: mostly a ticket, or something about an earlier one."""
        roll = self._rng.random()
        if roll < 0.84 or len(self._open) < 3:
            return self.next_ticket()
        if roll < 0.94:
            return self._about_earlier()
        return self._no_drinks()

    def _about_earlier(self) -> Print:
        kind = self._rng.choice((Kind.REPRINT, Kind.VOID, Kind.CORRECTION))
        earlier = self._open[self._rng.randrange(-min(8, len(self._open)), 0)]
        made = replace(earlier, kind=kind)
        if kind is Kind.CORRECTION:
            made.at = self._later()
            made.items = [replace(item) for item in earlier.items]
            made.items[0].quantity = 1 if self.layout.is_single else made.items[0].quantity % 4 + 1
        elif kind is Kind.VOID:
            made.at = self._later()
        return self._printed(made)

    def _no_drinks(self) -> Print:
        says = self._rng.choice(
            ("food", "shift report", "test print", "card slip", "pulse", "picture")
        )
        if says == "food" and self.layout.has_food:
            made = only_food(self._rng, number=self._next_number(), at=self._later())
            return self._printed(made)
        paper = self.layout.paper()
        at = self._later()
        kind = Kind.NO_DRINKS
        match says:
            case "shift report":
                shift_report(paper, self._rng, at)
            case "test print":
                test_print(paper)
            case "card slip" | "food":
                says = "card slip"
                card_slip(paper, self._rng, at)
            case "pulse":
                paper.pulse()
                return self._bare(paper, kind, at, says)
            case _:
                kind = Kind.PICTURE
                paper.picture(8 * self.layout.columns, 320)
        self.layout.finish(paper)
        return self._bare(paper, kind, at, says)

    def _bare(self, paper: Paper, kind: Kind, at: datetime, says: str) -> Print:
        return Print(
            layout=self.layout.name,
            kind=kind,
            data=paper.data,
            inked=tuple(paper.inked),
            at=at,
            says=says,
        )

    def _printed(self, made: Order) -> Print:
        layout = self.layout
        paper = layout.paper()
        layout.write(paper, made, layout.words)
        layout.finish(paper)
        facts = {key: value for row in paper.inked for key, value in row.facts}
        drinks: tuple[Drink, ...] = layout.words.drinks(made)
        return Print(
            layout=layout.name,
            kind=made.kind if made.drinks else Kind.NO_DRINKS,
            data=paper.data,
            inked=tuple(paper.inked),
            at=made.at,
            number=facts.get("number", ""),
            place=facts.get("place", ""),
            server=facts.get("server", ""),
            till=facts.get("till", ""),
            is_floor=made.is_floor,
            drinks=drinks,
            says=made.kind.value if made.drinks else "food alone",
        )

    def _next_number(self) -> int:
        self.number += 1
        return self.number - 1

    def _later(self) -> datetime:
        self.at += self.apart
        return self.at


def _each(item: Item) -> range:
    return range(1 if item.food else item.quantity)


def samples(layout: Layout, *, seed: int = 1) -> tuple[Print, ...]:
    """Give three prints to teach a profile from, picked as the README tells a bar to.

    Tickets that between them hold a change, an allergy, more than one drink and, where dishes are
    printed too, a dish; table and bar seat.
    """
    roll = Roll(layout=layout, seed=seed)
    found = [roll.next_ticket() for _ in range(ENOUGH)]
    picked: list[Print] = []
    wanted = {"change", "allergy", "several", "seat", "table"} | (
        {"food"} if layout.has_food else set()
    )
    while len(picked) < 3:
        best = max(
            (one for one in found if one not in picked),
            key=lambda one: (len(_shows(one) & wanted), len(one.inked)),
        )
        picked.append(best)
        wanted -= _shows(best)
    return tuple(picked)


def _shows(one: Print) -> set[str]:
    shown = {"table" if one.is_floor else "seat"}
    shown |= {"change"} if any(drink.changes for drink in one.drinks) else set()
    shown |= {"allergy"} if any(drink.allergies for drink in one.drinks) else set()
    shown |= {"several"} if len(one.drinks) > 2 else set()
    return shown | ({"food"} if any(row.role is Role.FOOD for row in one.inked) else set())


def tickets(layout: Layout, count: int, *, seed: int = 2) -> Iterator[Print]:
    """Give a till's evening; another seed than the samples'."""
    roll = Roll(layout=layout, seed=seed)
    for _ in range(count):
        yield roll.next_print()
