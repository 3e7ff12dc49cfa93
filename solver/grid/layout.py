"""Draws the pour grid of a build: what is reached for, into which vessel, and how much.

Amounts are what the hand measures: a vessel's are those of all its drinks together, a glass's
are per glass ("2 × 50 ml").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from solver.builds import VESSEL_OF, Load, loads_of
from solver.counter import Counter, Vessel
from solver.menu import Ingredient, Menu, Mix, Place, Pour, Stage
from solver.snapshot import RailDrink
from solver.units import TOP, Amount

from .order import Part, Reach, in_reaching_order, part_of
from .words import (
    agitation_words,
    amount_words,
    caution_words,
    change_words,
    garnish_words,
    glass_words,
    strain_words,
)

VESSEL_NAMES: dict[Vessel, str] = {
    Vessel.TIN_SET: "tin",
    Vessel.MIXING_GLASS: "mixing glass",
    Vessel.JAR: "jar",
    Vessel.MUGS: "mugs",
}
STAGE_VERBS: dict[Stage, str] = {
    Stage.MUDDLE: "muddle",
    Stage.FLOAT: "float",
    Stage.COAT: "coat",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One vessel with its drinks, or the glasses of one mix that needs none.

    Attributes
    ----------
    vessel : str
        ``"tin 1"``; numbered only where the build has several of the kind. ``"glass"`` or
        ``"3 glasses"`` where a drink is made in its glass.
    drinks : tuple of str
        Ids in finishing order.
    name : str
        What the drinks are.
    changes : tuple of str
        What differs from the recipe, in words.
    method, agitation, strain, glass : str
        In words; empty where there is nothing to do.
    garnishes, cautions, allergies : tuple of str
    note : str
        What the server wrote and nobody could read as a change.
    """

    vessel: str
    drinks: tuple[str, ...]
    name: str
    changes: tuple[str, ...]
    method: str
    agitation: str
    strain: str
    glass: str
    garnishes: tuple[str, ...]
    cautions: tuple[str, ...]
    allergies: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One bottle.

    Attributes
    ----------
    ingredient, name : str
    lives : Place
    part : Part
        Whether it starts something, is measured, or goes on last.
    cells : tuple of str
        What each column takes, aligned with the grid's columns; empty for nothing.
    """

    ingredient: str
    name: str
    lives: Place
    part: Part
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PourGrid:
    """A build, drawn. Rows stand in reaching order, columns in finishing order."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


def pour_grid(menu: Menu, counter: Counter, drinks: Sequence[RailDrink]) -> PourGrid:
    """Draw the pour grid of one build.

    Parameters
    ----------
    menu : Menu
    counter : Counter
        For the names of its glasses and its rule for flame.
    drinks : sequence of RailDrink
        The build's drinks in finishing order.
    """
    by_id = {drink.id: drink for drink in drinks}
    places = _places(loads_of([d.id for d in drinks], [d.mix for d in drinks]))
    columns = tuple(
        _column(menu, counter, place, [by_id[drink] for drink in place.drinks]) for place in places
    )
    reaches = in_reaching_order(_reaches(menu, [place.mix for place in places]))
    rows = tuple(
        Row(
            ingredient=reach.ingredient.id,
            name=reach.ingredient.name,
            lives=reach.ingredient.lives,
            part=reach.part,
            cells=tuple(
                _cell(reach.ingredient, taken, place)
                for taken, place in zip(reach.pours, places, strict=True)
            ),
        )
        for reach in reaches
    )
    return PourGrid(columns=columns, rows=rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    vessel: str
    mix: Mix
    drinks: tuple[str, ...]


def _places(loads: Sequence[Load]) -> list[_Placed]:
    """Name the columns; glasses of one mix stand together in one."""
    kinds = [VESSEL_OF.get(load.mix.method) for load in loads]
    numbers: dict[Vessel, int] = {}
    places: list[_Placed] = []
    for mix, group in groupby(loads, key=lambda load: load.mix):
        vessel = VESSEL_OF.get(mix.method)
        if vessel is None:
            drinks = tuple(drink for load in group for drink in load.drinks)
            words = "glass" if len(drinks) == 1 else f"{len(drinks)} glasses"
            places.append(_Placed(vessel=words, mix=mix, drinks=drinks))
            continue
        for load in group:
            numbers[vessel] = numbers.get(vessel, 0) + 1
            number = f" {numbers[vessel]}" if kinds.count(vessel) > 1 else ""
            words = f"{VESSEL_NAMES[vessel]}{number}"
            places.append(_Placed(vessel=words, mix=mix, drinks=load.drinks))
    return places


def _reaches(menu: Menu, mixes: Sequence[Mix]) -> list[Reach]:
    """One reach per bottle and part, in order of first appearance."""
    taken: dict[tuple[str, Part], list[list[Pour]]] = {}
    turns: dict[tuple[str, Part], list[int]] = {}
    for at, mix in enumerate(mixes):
        for turn, pour in enumerate(mix.pours):
            key = (pour.ingredient, part_of(mix, menu.ingredient(pour.ingredient), pour))
            columns = taken.setdefault(key, [[] for _ in mixes])
            if not columns[at]:
                turns.setdefault(key, [0] * len(mixes))[at] = turn
            columns[at].append(pour)
    return [
        Reach(
            ingredient=menu.ingredient(key[0]),
            part=key[1],
            pours=tuple(tuple(pours) for pours in columns),
            turns=tuple(turns[key]),
        )
        for key, columns in taken.items()
    ]


def _cell(ingredient: Ingredient, pours: Sequence[Pour], place: _Placed) -> str:
    said = []
    for (unit, stage), group in groupby(pours, key=lambda pour: (pour.measured.unit, pour.at)):
        quantity = sum(pour.measured.quantity for pour in group)
        # What goes into the glass, before or after mixing, is measured glass by glass.
        into_vessel = place.mix.method in VESSEL_OF and stage in (Stage.MEASURE, Stage.MUDDLE)
        times = 1 if into_vessel else len(place.drinks)
        whole = quantity * len(place.drinks) if into_vessel else quantity
        words = amount_words(ingredient, Amount(quantity=whole, unit=unit))
        if times > 1 and words != TOP:
            words = f"{times} × {words.removeprefix('a ')}"
        said.append(f"{words} {STAGE_VERBS.get(stage, '')}".strip())
    return " + ".join(said)


def _column(menu: Menu, counter: Counter, place: _Placed, drinks: Sequence[RailDrink]) -> Column:
    mix = place.mix
    lines = [drink.line for drink in drinks]
    recipe = menu.by_recipe.get(lines[0].recipe)
    changes = [change_words(menu, change) for line in lines for change in line.changes]
    return Column(
        vessel=place.vessel,
        drinks=place.drinks,
        name=mix.name,
        changes=tuple(dict.fromkeys(changes)),
        method=mix.method.value.replace("_", " "),
        agitation=agitation_words(mix, counter),
        strain=strain_words(mix),
        glass=glass_words(mix, counter),
        garnishes=tuple(garnish_words(garnish) for garnish in mix.garnishes),
        cautions=caution_words(mix, recipe.cautions if recipe else ()),
        allergies=tuple(dict.fromkeys(a for line in lines for a in line.allergies)),
        note="; ".join(dict.fromkeys(line.note for line in lines if line.note.strip())),
    )
