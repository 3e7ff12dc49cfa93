"""What a Friday's guests drink: shares by kind of drink, favourites, spirits with mixers.

Source: common practice, no measurement. The shares are of drinks, in percent; five recipes are
half of the cocktails.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from solver.menu import Ice, Kind, Menu, Method, Mix, Place, Pouring, Recipe, recipe_mix
from solver.tickets import Line, Measure


class Sort(StrEnum):
    """Kinds of drink that a Friday counts."""

    SHAKEN = "shaken"
    EGG_OR_CREAM = "egg_or_cream"
    STIRRED = "stirred"
    BUILT = "built"
    CRUSHED = "crushed"
    DRAUGHT = "draught"
    STOUT = "stout"
    BOTTLE = "bottle"
    WINE = "wine"
    COFFEE = "coffee"
    BLENDED = "blended"
    FLAME = "flame"
    SHOT = "shot"


SHARE_PCT: dict[Sort, float] = {
    Sort.SHAKEN: 27,
    Sort.EGG_OR_CREAM: 4,
    Sort.STIRRED: 11,
    Sort.BUILT: 22,
    Sort.CRUSHED: 3,
    Sort.DRAUGHT: 12,
    Sort.STOUT: 2,
    Sort.BOTTLE: 3,
    Sort.WINE: 8,
    Sort.COFFEE: 3,
    Sort.BLENDED: 1.5,
    Sort.FLAME: 0.5,
    Sort.SHOT: 3,
}
MIXED: tuple[Sort, ...] = (
    Sort.SHAKEN,
    Sort.EGG_OR_CREAM,
    Sort.STIRRED,
    Sort.CRUSHED,
    Sort.BLENDED,
    Sort.FLAME,
)
"""The cocktails, for the favourites' half."""

FAVOURITES: dict[Sort, int] = {Sort.SHAKEN: 3, Sort.STIRRED: 1, Sort.EGG_OR_CREAM: 1}
FAVOURITES_OF_MIXED = 0.5
SPIRIT_AND_MIXER_OF_BUILT = 0.75
DOUBLES = 0.25


def sort_of(menu: Menu, recipe: Recipe) -> Sort:
    """Say which kind of drink a recipe is."""
    mix = recipe_mix(menu, recipe)
    by_method = {
        Method.BLENDED: Sort.BLENDED,
        Method.COFFEE: Sort.COFFEE,
        Method.FLAMED: Sort.FLAME,
        Method.SWIZZLED: Sort.CRUSHED,
        Method.DRAUGHT: _drawn(menu, mix),
        Method.POURED: _poured(menu, mix),
    }
    if mix.method in by_method:
        return by_method[mix.method]
    if mix.has_raw_egg or mix.has_dairy:
        return Sort.EGG_OR_CREAM
    if mix.serve_ice is Ice.CRUSHED:
        return Sort.CRUSHED
    if mix.method in (Method.STIRRED, Method.THROWN):
        return Sort.STIRRED
    return Sort.BUILT if mix.method is Method.BUILT else Sort.SHAKEN


def _drawn(menu: Menu, mix: Mix) -> Sort:
    poured = [menu.ingredient(name).pours for name in mix.ingredients]
    return Sort.STOUT if Pouring.SETTLING_TAP in poured else Sort.DRAUGHT


def _poured(menu: Menu, mix: Mix) -> Sort:
    kinds = [menu.ingredient(name).kind for name in mix.ingredients]
    if Kind.BEER in kinds:
        return Sort.BOTTLE
    return Sort.WINE if Kind.WINE in kinds else Sort.SHOT


@dataclass(frozen=True, slots=True, kw_only=True)
class Tastes:
    """What is drawn from: recipes by kind, which of them are favourites, spirits and mixers.

    Attributes
    ----------
    shares : tuple of (Sort, float)
        Kinds that the menu has, with their weights.
    recipes : mapping of Sort to tuple of str
    favourites : frozenset of str
        Recipe ids.
    favourite_chance : float
        Chance that a drink of a kind with favourites is one of them.
    spirits, mixers : tuple of str
    weight : mapping of str to float
        How much more often than its like a recipe is asked for; 1 where it is not named.
    """

    shares: tuple[tuple[Sort, float], ...]
    recipes: dict[Sort, tuple[str, ...]]
    favourites: frozenset[str]
    favourite_chance: float
    spirits: tuple[str, ...]
    mixers: tuple[str, ...]
    weight: Mapping[str, float] = field(default_factory=dict)


def tastes_of(
    menu: Menu,
    *,
    shares: Mapping[Sort, float] = SHARE_PCT,
    weight: Mapping[str, float] | None = None,
) -> Tastes:
    """Give the tastes of a Friday's guests on this menu.

    The first recipes of a kind are its favourites.

    Parameters
    ----------
    menu : Menu
    shares : mapping of Sort to float
        Weights of the kinds of drink.
    weight : mapping of str to float, optional
        As in `Tastes`; a recipe of weight 0 is never asked for.
    """
    weight = weight or {}
    recipes: dict[Sort, tuple[str, ...]] = {}
    for recipe in menu.recipes:
        if weight.get(recipe.id, 1.0) > 0:
            sort = sort_of(menu, recipe)
            recipes[sort] = (*recipes.get(sort, ()), recipe.id)
    kept = {sort: recipes.get(sort, ())[:count] for sort, count in FAVOURITES.items()}
    mixed = sum(shares.get(sort, 0.0) for sort in MIXED if sort in recipes)
    with_favourites = sum(shares.get(sort, 0.0) for sort, ids in kept.items() if ids)
    spirits = _ids(menu, (Kind.SPIRIT,)) if menu.spirit_and_mixer else ()
    mixers = _ids(menu, (Kind.MIXER,)) if menu.spirit_and_mixer else ()
    has_pattern = bool(spirits and mixers)
    return Tastes(
        shares=tuple(
            (sort, share)
            for sort, share in shares.items()
            if share > 0 and (sort in recipes or (sort is Sort.BUILT and has_pattern))
        ),
        recipes=recipes,
        favourites=frozenset(name for ids in kept.values() for name in ids),
        favourite_chance=min(1.0, FAVOURITES_OF_MIXED * mixed / with_favourites)
        if with_favourites
        else 0.0,
        spirits=spirits if has_pattern else (),
        mixers=mixers if has_pattern else (),
        weight=weight,
    )


def _ids(menu: Menu, kinds: Sequence[Kind]) -> tuple[str, ...]:
    """Ids of what a spirit-and-mixer line is made of: what stands at the hand."""
    found = [one for one in menu.ingredients if one.kind in kinds]
    at_hand = [one.id for one in found if one.lives is Place.SPEED_RAIL]
    return tuple(at_hand or [one.id for one in found])


def one_drink(tastes: Tastes, rng: random.Random) -> Line:
    """Draw one drink as a line of quantity 1."""
    sorts = [sort for sort, _ in tastes.shares]
    (sort,) = rng.choices(sorts, [share for _, share in tastes.shares])
    recipes = tastes.recipes.get(sort, ())
    wants_pattern = sort is Sort.BUILT and tastes.spirits
    if wants_pattern and (not recipes or rng.random() < SPIRIT_AND_MIXER_OF_BUILT):
        measure = Measure.DOUBLE if rng.random() < DOUBLES else Measure.SINGLE
        spirit, mixer = rng.choice(tastes.spirits), rng.choice(tastes.mixers)
        return Line(spirit=spirit, mixer=mixer, measure=measure)
    liked = [name for name in recipes if name in tastes.favourites]
    others = [name for name in recipes if name not in tastes.favourites]
    if liked and (not others or rng.random() < tastes.favourite_chance):
        return Line(recipe=_one_of(tastes, liked, rng))
    return Line(recipe=_one_of(tastes, others or liked, rng))


def _one_of(tastes: Tastes, names: Sequence[str], rng: random.Random) -> str:
    if not tastes.weight:
        return rng.choice(names)
    return rng.choices(names, [tastes.weight.get(name, 1.0) for name in names])[0]
