"""The prep list: how much to have ready, by how sure one wants to be.

An average would run out on every second night. To be 90% sure is to have as much as 9 of 10
nights use: the k-th smallest of n nights, k = ⌈0.9 (n + 1)⌉, covers the next one with at least that
chance, whatever the amounts are distributed like; where k is more than n, more nights are needed.

Source: order statistics as distribution-free prediction bounds, a textbook result (S. S. Wilks,
Ann. Math. Statist. 12, 1941; from memory). Bottles of
700 ml, of wine 750, of beer 330: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from solver.errors import BadValue
from solver.menu import Kind, Pouring

from .results import AmountRow, PolicyResults
from .scenario import House

SURE = (0.5, 0.8, 0.9, 0.95, 0.99)
BOTTLE_ML = {Kind.SPIRIT: 700.0, Kind.LIQUEUR: 700.0, Kind.WINE: 750.0, Kind.BEER: 330.0}
FROM_THE_WALL = (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.GUN)


class Part(StrEnum):
    """Parts of the list, in the order in which a bar prepares."""

    JUICES = "juices"
    SYRUPS = "syrups"
    FRUIT = "cut fruit and garnishes"
    COLD = "eggs, dairy, herbs"
    BOTTLES = "bottles"
    KEGS = "kegs and the gun"
    OTHER = "what else is poured"
    ICE = "ice"
    GLASSES = "glasses, most in use at once"


PART_OF = {
    Kind.JUICE: Part.JUICES,
    Kind.SYRUP: Part.SYRUPS,
    Kind.FRUIT: Part.FRUIT,
    Kind.HERB: Part.COLD,
    Kind.EGG: Part.COLD,
    Kind.DAIRY: Part.COLD,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PrepRow:
    """How much of one thing to have ready.

    Attributes
    ----------
    part, name, unit : str
        The unit is ``litres``, ``pieces``, ``glasses``, ``kg``, or ``bottles``.
    average : float
        What a night uses on average: for comparison, not to prepare.
    by_sure : mapping of str to (float or None)
        The amount for ``"50"``, ``"80"``, ``"90"``, ``"95"``, ``"99"`` of 100 nights; None where
        too few nights were run to say.
    stock : float or None
        What the house has, where the counter says.
    """

    part: str
    name: str
    unit: str
    average: float
    by_sure: Mapping[str, float | None]
    stock: float | None = None


def prep_list(
    house: House, results: PolicyResults, sure: Sequence[float] = SURE
) -> tuple[PrepRow, ...]:
    """Give the prep list of a night, part by part.

    Parameters
    ----------
    house : House
    results : PolicyResults
        Of the policy that the house works by; nights without what was short show too little.
    sure : sequence of float
        How sure, each above 0 and below 1.
    """
    order = list(Part)
    rows = [_row(house, row, sure) for row in results.used]
    return tuple(sorted(rows, key=lambda row: (order.index(Part(row.part)), -row.average)))


def amount_for(by_night: Sequence[float], sure: float) -> float | None:
    """Give the amount that the next night will not exceed, with a chance of at least `sure`.

    Parameters
    ----------
    by_night : sequence of float
        What each night used, ascending.
    sure : float

    Returns
    -------
    float or None
        None where so few nights cannot say.

    Raises
    ------
    BadValue
        When `sure` is not between 0 and 1.
    """
    if not 0 < sure < 1:
        raise BadValue("how sure to be, above 0 and below 1", sure)
    # Rounded first: 0.9 · 10 is 9.000000000000002 in some orders of multiplying.
    place = math.ceil(round(sure * (len(by_night) + 1), 9))
    return by_night[place - 1] if place <= len(by_night) else None


def nights_for(sure: float) -> int:
    """Give how many nights are needed to say an amount for `sure`."""
    return math.ceil(round(sure / (1 - sure), 9))


def sure_key(sure: float) -> str:
    """Give the key of a level in `PrepRow.by_sure`: ``"90"``."""
    return f"{100 * sure:g}"


def _row(house: House, row: AmountRow, sure: Sequence[float]) -> PrepRow:
    part, name, unit, each = _part(house, row)
    amounts = {level: amount_for(row.by_night, level) for level in sure}
    glass = house.counter.by_glass.get(row.name) if part is Part.GLASSES else None
    return PrepRow(
        part=part.value,
        name=name,
        unit=unit,
        average=row.amount.mean / each,
        by_sure={
            sure_key(level): None if amount is None else amount / each
            for level, amount in amounts.items()
        },
        stock=None if glass is None else float(glass.clean + glass.chilled),
    )


def _part(house: House, row: AmountRow) -> tuple[Part, str, str, float]:
    """Give the part, name and unit of one thing, and how much one of the unit is."""
    if row.unit == "kg":
        return Part.ICE, f"{row.name} ice", "kg", 1.0
    if row.unit == "glasses":
        return Part.GLASSES, house.counter.by_glass[row.name].name, row.unit, 1.0
    ingredient = house.menu.by_ingredient.get(row.name)
    if ingredient is None:
        return Part.FRUIT, row.name, row.unit, 1.0
    if row.unit == "ml" and ingredient.pours in FROM_THE_WALL:
        return Part.KEGS, ingredient.name, "litres", 1000.0
    if row.unit == "ml" and ingredient.kind in BOTTLE_ML:
        return Part.BOTTLES, ingredient.name, "bottles", BOTTLE_ML[ingredient.kind]
    part = PART_OF.get(ingredient.kind, Part.OTHER)
    if row.unit == "ml":
        return part, ingredient.name, "litres", 1000.0
    return part, ingredient.name, row.unit, 1.0
