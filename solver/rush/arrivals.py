"""Who comes on a Friday, when, and with what round.

Tickets arrive as a Poisson process whose rate changes by the quarter of an hour.

Source: common practice, no measurement: a house of 3 bartenders and a barback, about 750 drinks
in the five hours from 19:00. How often a guest changes a drink, names an allergy or leaves a
note is from memory.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from solver.errors import BadValue
from solver.menu import Change, Ice, Menu
from solver.tickets import Channel, Line

from .mix import one_drink, tastes_of

QUARTER_S = 900
DRINKS_AN_HOUR: tuple[int, ...] = (
    *(50, 60, 70, 80),
    *(90, 100, 110, 120),
    *(140, 150, 160, 170),
    *(190, 230, 240, 220),
    *(220, 210, 200, 190),
    *(170, 150, 190, 0),
)
"""By quarter of an hour from the opening of the doors at 19:00; the last orders come at 00:30."""

BUSIEST_S = 13 * QUARTER_S
"""From here on the room is fullest: a quarter past ten."""

SIZES: tuple[tuple[tuple[int, ...], int], ...] = (
    ((1,), 22),
    ((2,), 40),
    ((3,), 14),
    ((4,), 13),
    ((5, 6), 8),
    ((8, 9, 10), 3),
)
"""Drinks on a ticket, and in how many of 100 tickets."""

DRINKS_A_TICKET = sum(sum(sizes) / len(sizes) * pct for sizes, pct in SIZES) / 100
BAR_TOP = 0.60
SAME_AS_FIRST = 0.40
CHANGED = 0.06
WITH_ALLERGY = 0.015
WITH_NOTE = 0.01
SEATS, TABLES = 16, 22
ALLERGIES: tuple[str, ...] = ("nuts", "milk", "egg", "peanuts", "sesame")
NOTES: tuple[str, ...] = (
    "with a candle, it is her birthday",
    "in the tall glass from last time",
    "she says you know how",
    "half as sweet as usual",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """One ticket as it is placed.

    Attributes
    ----------
    at_s : float
        Seconds from the opening of the doors.
    channel : Channel
    place : str
        A seat at the bar or a table.
    lines : tuple of Line
    """

    at_s: float
    channel: Channel
    place: str
    lines: tuple[Line, ...]

    @property
    def num_drinks(self) -> int:
        """Drinks ordered."""
        return sum(line.quantity for line in self.lines)


def friday(
    menu: Menu,
    *,
    seed: int,
    from_s: float = 0.0,
    until_s: float = len(DRINKS_AN_HOUR) * QUARTER_S,
    scale: float = 1.0,
) -> Iterator[Arrival]:
    """Give the tickets of a Friday between two moments, in order; the same for the same seed.

    Parameters
    ----------
    menu : Menu
    seed : int
    from_s, until_s : float
        Seconds from the opening of the doors, half-open.
    scale : float
        How much fuller than this house's Friday; 1.0 is about 750 drinks.

    Raises
    ------
    BadValue
        When the stretch is empty or the scale is not above 0.
    """
    if not 0 <= from_s < until_s:
        raise BadValue("0 <= from_s < until_s", (from_s, until_s))
    if scale <= 0:
        raise BadValue("a scale above 0", scale)
    rng = random.Random(seed)
    tastes = tastes_of(menu)
    if not tastes.shares:
        raise BadValue("a menu with something to order", menu.recipes)
    at_s = from_s
    while (later_s := _next_s(at_s, until_s, scale, rng)) is not None:
        at_s = later_s
        is_bar_top = rng.random() < BAR_TOP
        num_drinks = _size(rng)
        first = one_drink(tastes, rng)
        drinks = [first]
        drinks += [
            first if rng.random() < SAME_AS_FIRST else one_drink(tastes, rng)
            for _ in range(num_drinks - 1)
        ]
        yield Arrival(
            at_s=at_s,
            channel=Channel.BAR_TOP if is_bar_top else Channel.FLOOR,
            place=f"seat {rng.randint(1, SEATS)}"
            if is_bar_top
            else f"table {rng.randint(1, TABLES)}",
            lines=_lines([wished(menu, drink, rng) for drink in drinks]),
        )


def _next_s(at_s: float, until_s: float, scale: float, rng: random.Random) -> float | None:
    """Walk through the quarters until a unit of expected tickets, drawn anew, is used up."""
    left = rng.expovariate(1.0)
    while at_s < until_s:
        quarter = int(at_s // QUARTER_S)
        if quarter >= len(DRINKS_AN_HOUR):
            return None
        end_s = min((quarter + 1) * QUARTER_S, until_s)
        tickets_a_s = scale * DRINKS_AN_HOUR[quarter] / DRINKS_A_TICKET / 3600
        if left < tickets_a_s * (end_s - at_s):
            return at_s + left / tickets_a_s
        left -= tickets_a_s * (end_s - at_s)
        at_s = end_s
    return None


def _size(rng: random.Random) -> int:
    (sizes,) = rng.choices([sizes for sizes, _ in SIZES], [pct for _, pct in SIZES])
    return rng.choice(sizes)


def wished(
    menu: Menu,
    line: Line,
    rng: random.Random,
    *,
    changed: float = CHANGED,
    allergy: float = WITH_ALLERGY,
    note: float = WITH_NOTE,
) -> Line:
    """Add what this guest wants otherwise, which is mostly nothing; the chances are of 1."""
    changes, allergic, notes = rng.random() < changed, rng.random() < allergy, rng.random() < note
    if changes and line.recipe and (change := _change(menu, line.recipe, rng)):
        line = replace(line, changes=(change,))
    if allergic:
        line = replace(line, allergies=(rng.choice(ALLERGIES),))
    if notes:
        line = replace(line, note=rng.choice(NOTES))
    return line


def _change(menu: Menu, recipe_id: str, rng: random.Random) -> Change | None:
    recipe = menu.by_recipe[recipe_id]
    can = [Change(leave_out=garnish.name) for garnish in recipe.garnishes]
    if recipe.chilled and menu.rocks_glass:
        can.append(Change(on_the_rocks=True))
    if recipe.serve_ice is not Ice.NONE:
        can.append(Change(no_ice=True))
    return rng.choice(can) if can else None


def _lines(drinks: list[Line]) -> tuple[Line, ...]:
    """Put equal drinks on one line."""
    counted: dict[Line, int] = {}
    for drink in drinks:
        counted[drink] = counted.get(drink, 0) + 1
    return tuple(replace(line, quantity=count) for line, count in counted.items())
