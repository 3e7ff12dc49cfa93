"""What a mix needs once per build: bottles reached for, first glasses, trips, clean hands."""

from __future__ import annotations

from solver.counter import GlassPlace, Station
from solver.menu import (
    Ice,
    Ingredient,
    Mix,
    Place,
    Pouring,
)
from solver.snapshot import Snapshot
from solver.standards import Standards


def setups(snapshot: Snapshot, station: Station, mix: Mix) -> dict[str, int]:
    """Give what a mix needs once per build, however many of it are made, and its base time.

    Keys are distinct per thing, so that a build's set-up is the sum over the union of its
    mixes: each bottle reached for, the first glass of a kind, the first rim and garnish of a
    kind, washing hands after eggs.
    """
    s, menu, counter = snapshot.standards, snapshot.menu, snapshot.counter
    found: dict[str, int] = {}
    for name in mix.ingredients:
        ingredient = menu.ingredient(name)
        found[f"reach:{name}"] = _reach_ds(s, station, ingredient)
        if ingredient.pours in (Pouring.EGG_PARTED, Pouring.EGG_WHOLE):
            found["hands"] = s["egg_hands"]
    shelf = counter.by_glass[mix.glass].place is GlassPlace.BACK_SHELF
    found[f"glass:{mix.glass}"] = (
        s["glass_first"] - s["glass_more"] + (s["glass_back_shelf"] if shelf else 0)
    )
    if mix.rim:
        found[f"rim:{mix.rim}"] = s["rim_first"] - s["rim_more"]
    for garnish in mix.garnishes:
        found[f"garnish:{garnish.name}"] = s["garnish_setup"]
    return found


def trips(snapshot: Snapshot, station: Station, mix: Mix) -> tuple[Ice, ...]:
    """Give the ices of a mix that are not at this station's hand."""
    counter = snapshot.counter
    return tuple(
        ice
        for ice in dict.fromkeys((mix.ice, mix.serve_ice))
        if not station.has_ice(ice) and counter.shared_well(ice) is not None
    )


_NO_REACH = (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.MACHINE, Pouring.GUN)


def _reach_ds(s: Standards, station: Station, ingredient: Ingredient) -> int:
    if ingredient.pours in _NO_REACH:
        return 0
    if ingredient.lives is Place.SPEED_RAIL and ingredient.id in station.lacks:
        return s["reach_other_station"]
    return s[f"reach_{ingredient.lives.value}"]
