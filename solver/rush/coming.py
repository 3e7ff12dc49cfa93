"""Tonight's rounds: who comes when, what they order, how patient they are, what they rethink.

All of it is known before the doors open and does not depend on what the bar does; the simulator
only lets it happen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from solver.tickets import Channel, Line

from .arrivals import QUARTER_S, SEATS, TABLES, Arrival, wished
from .draws import Draws
from .guests import Guests
from .mix import Tastes, one_drink, tastes_of
from .scenario import Rush

AGAIN_WITHIN_S = 120.0
"""Where past tickets are thickened, the second comes within this of the first."""


class Rethink(StrEnum):
    """What guests do to a round after it was placed."""

    VOID = "void"
    SWAP = "swap"
    ONE_MORE = "one more"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thought:
    """One change of mind: when, what, and about which drink of the round (its position)."""

    at_ms: int
    what: Rethink
    drink: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """One round that will be placed.

    Attributes
    ----------
    id : str
        The same for the same seed, whatever the bar does.
    at_ms : int
        Milliseconds from the doors.
    channel : Channel
    place : str
    lines : tuple of Line
        One for each drink, each of quantity 1.
    gives_up_ms : int or None
        When its guests leave, if none of it has been begun.
    thoughts : tuple of Thought
    """

    id: str
    at_ms: int
    channel: Channel
    place: str
    lines: tuple[Line, ...]
    gives_up_ms: int | None
    thoughts: tuple[Thought, ...]


class Orders:
    """What guests of a rush drink: draws one line for a drink, the same for the same drink."""

    def __init__(self, rush: Rush, draws: Draws) -> None:
        self._menu = rush.house.menu
        self._guests: Guests = rush.scenario.guests
        self._draws = draws
        self.tastes: Tastes = tastes_of(
            self._menu, shares=self._guests.mix_pct, weight=self._guests.recipe_weight
        )

    def round(self, ticket: str, count: int) -> tuple[Line, ...]:
        """Draw a round of so many drinks."""
        first = self.drink(ticket, 0)
        lines = [first]
        for n in range(1, count):
            same = self._draws.happens(self._guests.same_as_first_pct, ticket, n, "same")
            lines.append(first if same else self.drink(ticket, n))
        guests = self._guests
        return tuple(
            wished(
                self._menu,
                line,
                self._draws.generator(ticket, n, "wish"),
                changed=guests.changed_pct / 100,
                allergy=guests.allergy_pct / 100,
                note=guests.note_pct / 100,
            )
            for n, line in enumerate(lines)
        )

    def drink(self, ticket: str, n: int, attempt: int = 0) -> Line:
        """Draw one drink; a later attempt where the first is not to be had."""
        return one_drink(self.tastes, self._draws.generator(ticket, n, "drink", attempt))


def tonight(rush: Rush, draws: Draws) -> list[Coming]:
    """Give every round of the night, in the order they are placed."""
    orders = Orders(rush, draws)
    past = _again(rush, draws) if rush.scenario.replay else None
    arrivals = list(past) if past is not None else list(_drawn(rush, draws, orders))
    last_ms = round(rush.scenario.last_orders_s * 1000)
    coming = [_coming(rush, draws, name, arrival) for name, arrival in arrivals]
    kept = [one for one in coming if one.at_ms < last_ms and one.lines]
    return sorted(kept, key=lambda one: (one.at_ms, one.id))


def _drawn(rush: Rush, draws: Draws, orders: Orders) -> Iterator[tuple[str, Arrival]]:
    """Draw the guests of the night: by the rate of each quarter, and the crowds on top."""
    guests = rush.scenario.guests
    per_round = _drinks_a_round(guests)
    for n, at_s in enumerate(_moments(guests, draws, per_round)):
        is_bar_top = draws.happens(guests.bar_top_pct, "t", n, "channel")
        yield _one(f"t{n + 1:04d}", at_s, is_bar_top, guests, draws, orders)
    for c, crowd in enumerate(guests.crowds):
        since_s = rush.scenario.at_s(crowd.at)
        for n in range(crowd.rounds):
            name = f"c{c + 1}-{n + 1:03d}"
            at_s = since_s + draws.between(0, crowd.over_s, name, "at")
            is_bar_top = draws.happens(crowd.bar_top_pct, name, "channel")
            yield _one(name, at_s, is_bar_top, guests, draws, orders)


def _one(
    name: str, at_s: float, is_bar_top: bool, guests: Guests, draws: Draws, orders: Orders
) -> tuple[str, Arrival]:
    sizes = guests.sizes
    rng = draws.generator(name, "size")
    (size,) = rng.choices(sizes, [size.share_pct for size in sizes])
    where = f"seat {rng.randint(1, SEATS)}" if is_bar_top else f"table {rng.randint(1, TABLES)}"
    return name, Arrival(
        at_s=at_s,
        channel=Channel.BAR_TOP if is_bar_top else Channel.FLOOR,
        place=where,
        lines=orders.round(name, rng.choice(size.drinks)),
    )


def _drinks_a_round(guests: Guests) -> float:
    total = sum(size.share_pct for size in guests.sizes)
    return sum(sum(s.drinks) / len(s.drinks) * s.share_pct for s in guests.sizes) / total


def _moments(guests: Guests, draws: Draws, per_round: float) -> Iterator[float]:
    """Walk through the quarters; each round takes a unit of expected rounds, drawn anew."""
    at_s, n = 0.0, 0
    left = -math.log(draws.share("arrival", n))
    for quarter, an_hour in enumerate(guests.drinks_an_hour):
        end_s = (quarter + 1.0) * QUARTER_S
        rate = guests.scale * an_hour / per_round / 3600
        while rate > 0 and left < rate * (end_s - at_s):
            at_s += left / rate
            yield at_s
            n += 1
            left = -math.log(draws.share("arrival", n))
        left -= rate * (end_s - at_s)
        at_s = end_s


def _again(rush: Rush, draws: Draws) -> Iterator[tuple[str, Arrival]]:
    """Give past tickets as they were, or as many times as the scale says."""
    scale = rush.scenario.replay.scale if rush.scenario.replay else 1.0
    for n, arrival in enumerate(rush.past):
        copies = int(scale) + draws.happens(100 * (scale % 1), "again", n)
        for copy in range(copies):
            name = f"p{n + 1:04d}" + (f"-{copy + 1}" if copy else "")
            later_s = draws.between(0, AGAIN_WITHIN_S, name, "later") if copy else 0.0
            lines = tuple(
                replace(line, quantity=1) for line in arrival.lines for _ in range(line.quantity)
            )
            yield name, replace(arrival, at_s=arrival.at_s + later_s, lines=lines)


def _coming(rush: Rush, draws: Draws, name: str, arrival: Arrival) -> Coming:
    at_ms = round(arrival.at_s * 1000)
    patience = rush.scenario.patience
    is_bar_top = arrival.channel is Channel.BAR_TOP
    stretch = patience.bar_top_s if is_bar_top else patience.floor_s
    waits_s = draws.between(*stretch, name, "patience") if stretch else None
    return Coming(
        id=name,
        at_ms=at_ms,
        channel=arrival.channel,
        place=arrival.place,
        lines=arrival.lines,
        gives_up_ms=None if waits_s is None else at_ms + round(waits_s * 1000),
        thoughts=tuple(_thoughts(rush, draws, name, at_ms, len(arrival.lines))),
    )


def _thoughts(rush: Rush, draws: Draws, name: str, at_ms: int, count: int) -> Iterator[Thought]:
    second = rush.scenario.second_thoughts

    def later(*what: str | int) -> int:
        return at_ms + round(1000 * draws.between(*second.after_s, name, *what))

    for n in range(count):
        if draws.happens(second.void_pct, name, n, "void"):
            yield Thought(at_ms=later(n, "void at"), what=Rethink.VOID, drink=n)
        elif draws.happens(second.swap_pct, name, n, "swap"):
            yield Thought(at_ms=later(n, "swap at"), what=Rethink.SWAP, drink=n)
    if draws.happens(second.one_more_pct, name, "one more"):
        yield Thought(at_ms=later("one more at"), what=Rethink.ONE_MORE)
