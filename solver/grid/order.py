"""The order in which the bottles of a build are reached for, each bottle once.

What takes time by itself (stout, coffee) and what coats a glass comes first; then everything
that is measured; what goes onto a finished drink, what foams and what fizzes comes last. Within
the measuring, a bottle that several vessels share comes early wherever that harms none of them.

Source: common practice. Sugar meets water or juice before spirit and ice; a fruit or leaf is
muddled before spirit; egg goes in last, so that no bottle is touched with egg on the hands; beer
is drawn last, for its head.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from solver.menu import Ingredient, Kind, Method, Mix, Place, Pour, Pouring, Stage


class Part(StrEnum):
    """The three stretches of a pour grid, from its top to its foot."""

    FIRST = "first"
    POUR = "pour"
    LAST = "last"


_NEAREST = tuple(Place)
_LONGEST_ALONE = (Pouring.SETTLING_TAP, Pouring.MACHINE)
_MUDDLED, _SWEET, _WET, _OTHER, _STRONG, _EGG, _BEER = range(7)
_TURN_OF_KIND: dict[Kind, int] = {
    Kind.SYRUP: _SWEET,
    Kind.JUICE: _WET,
    Kind.MIXER: _WET,
    Kind.LIQUEUR: _STRONG,
    Kind.WINE: _STRONG,
    Kind.SPIRIT: _STRONG,
    Kind.DAIRY: _STRONG,
    Kind.EGG: _EGG,
    Kind.BEER: _BEER,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """One bottle in one part of the grid, and what each column takes of it.

    Attributes
    ----------
    ingredient : Ingredient
    part : Part
    pours : tuple of tuple of Pour
        Aligned with the columns; empty where a column takes none.
    turns : tuple of int
        Where each column's recipe first names it, aligned with `pours`.
    """

    ingredient: Ingredient
    part: Part
    pours: tuple[tuple[Pour, ...], ...]
    turns: tuple[int, ...]

    @property
    def num_columns(self) -> int:
        """How many columns take some of it."""
        return sum(1 for taken in self.pours if taken)


def part_of(mix: Mix, ingredient: Ingredient, pour: Pour) -> Part:
    """Say in which part of the grid a pour stands."""
    if ingredient.pours in (Pouring.SETTLING_TAP, Pouring.MACHINE) or pour.at is Stage.COAT:
        return Part.FIRST
    if pour.at in (Stage.TOP, Stage.FLOAT):
        return Part.LAST
    if mix.method in (Method.DRAUGHT, Method.POURED) or ingredient.pours is Pouring.SPARKLING:
        return Part.LAST
    return Part.POUR


def in_reaching_order(reaches: Sequence[Reach]) -> list[Reach]:
    """Sort the bottles of a grid.

    Parameters
    ----------
    reaches : sequence of Reach
        In order of first appearance, which breaks the last tie.
    """
    ordered: list[Reach] = []
    for part in Part:
        left = [reach for reach in reaches if reach.part is part]
        while left:
            # In a circle (a syrup muddled here, measured there) nothing is free: the tie decides.
            free = [one for one in left if not any(_goes_before(o, one) for o in left)] or left
            chosen = min(free, key=lambda one: (*_preference(one), reaches.index(one)))
            ordered.append(chosen)
            left.remove(chosen)
    return ordered


def _goes_before(first: Reach, second: Reach) -> bool:
    """Whether some vessel that takes both must have `first` before `second`."""
    if first.part is Part.LAST:
        # A top fills what is left: what goes onto a drink keeps its recipe's order.
        both = zip(first.turns, second.turns, first.pours, second.pours, strict=True)
        return any(one < other for one, other, a, b in both if a and b)
    return any(
        _harms(_turn(second, b), _turn(first, a))
        for a, b in zip(first.pours, second.pours, strict=True)
        if a and b
    )


def _harms(turn: int, before: int) -> bool:
    """Whether a bottle of one turn would do harm if it went in before one of the turn `before`."""
    if _OTHER in (turn, before):
        return before == _MUDDLED or turn >= _EGG
    return before < turn


def _turn(reach: Reach, pours: Sequence[Pour]) -> int:
    if any(pour.at is Stage.MUDDLE for pour in pours):
        return _MUDDLED
    return _TURN_OF_KIND.get(reach.ingredient.kind, _OTHER)


def _preference(reach: Reach) -> tuple[int, int, int]:
    one = reach.ingredient
    if reach.part is Part.FIRST:
        waits = _LONGEST_ALONE.index(one.pours) if one.pours in _LONGEST_ALONE else 2
        return (waits, 0, 0)
    turn = _TURN_OF_KIND.get(one.kind, _OTHER)
    return (-reach.num_columns, turn, _NEAREST.index(one.lives))
