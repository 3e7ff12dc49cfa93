"""The base times of one vessel's fill, from its mix, its size and the time standards."""

from __future__ import annotations

from dataclasses import dataclass

from solver.builds import (
    VESSEL_OF,
)
from solver.menu import (
    GarnishWork,
    Ice,
    Ingredient,
    Kind,
    Menu,
    Method,
    Mix,
    Pour,
    Pouring,
    Stage,
    Strain,
)
from solver.standards import Standards


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTimes:
    """Base times of one vessel's fill, in deciseconds; see the fields' comments."""

    start_ds: int  # hands that start what runs alone, before gathering
    measure_ds: int  # measuring and muddling into this vessel
    run_ds: int  # filling and starting the blender, once everything is measured
    prepare_ds: int  # in the tail before agitating: emptying chilled glasses, the flame itself
    agitate_ds: int  # ice in, agitate, open; for draught the pour
    pair_extra_ds: int  # what this load adds when it shares the wave before it
    glass_ds: int  # each glass: ice, strain, top, garnish
    glass_prep_ds: int  # each glass: fetched, rimmed, lined, coated
    rinse_ds: int
    alone_ds: int  # -1 where nothing runs alone and the load has no tail
    window_ds: int  # -1 where nothing spoils by waiting
    flame_at_ds: int  # where in glass_ds (or in prepare_ds, for a flamed drink) the flame begins
    flame_ds: int  # how long it burns; 0 for none

    @property
    def has_tail(self) -> bool:
        """Whether the load is finished in a block of its own."""
        return self.alone_ds >= 0


def load_times(
    standards: Standards, menu: Menu, mix: Mix, size: int, *, washes: bool, no_throw: bool = False
) -> LoadTimes:
    """Give the base times of a vessel that holds `size` drinks of a mix.

    Parameters
    ----------
    standards : Standards
    menu : Menu
    mix : Mix
    size : int
        Drinks in the vessel, 1 or more.
    washes : bool
        A clean spare is taken and the vessel goes to the washer.
    no_throw : bool
        The house does not throw burning drinks.
    """
    s = standards
    settles = poured_by(menu, mix, Pouring.SETTLING_TAP)
    start_ds, alone, window_ds, prepare_ds = 0, -1, -1, 0
    flame_at_ds = flame_ds = 0
    if settles:
        start_ds, alone = s["stout_pour"], s["stout_settle"]
        window_ds = s["stout_window"]
        prepare_ds = s["stout_top"]
    if mix.has_coffee:
        start_ds, alone = start_ds + s["coffee_hands"], max(alone, s["coffee_draw"])
        prepare_ds += s["coffee_finish"]
    if mix.method is Method.BLENDED:
        alone = max(alone, s["blend_alone"])
    if mix.chill_by_ice:
        start_ds, alone = start_ds + s["chill_hands"] * size, max(alone, s["chill_alone"])
        prepare_ds += s["chill_dump"] * size
    if mix.method is Method.FLAMED:
        start_ds, alone = start_ds + s["mugs_warm_hands"], max(alone, s["mugs_warm_alone"])
        flame_at_ds = prepare_ds + s["flame_clear"] + s["flame_measure"]
        flame_ds = s["flame_light"] + (0 if no_throw else s["flame_throw"]) + s["flame_snuff"]
        prepare_ds = flame_at_ds + flame_ds + s["flame_pour"]
    glass_ds, burns_at_ds, burns_ds = _glass_ds(s, menu, mix, size)
    if mix.method is not Method.FLAMED:
        flame_at_ds, flame_ds = burns_at_ds, burns_ds
    elif burns_ds:
        flame_ds = prepare_ds - flame_at_ds + burns_at_ds + burns_ds
    agitate_ds, pair_extra_ds = _agitate_ds(s, menu, mix)
    return LoadTimes(
        start_ds=start_ds,
        measure_ds=0 if mix.method is Method.FLAMED else _measure_ds(s, menu, mix, size),
        run_ds=s["blend_start"] if mix.method is Method.BLENDED else 0,
        prepare_ds=prepare_ds,
        agitate_ds=agitate_ds,
        pair_extra_ds=pair_extra_ds,
        glass_ds=glass_ds,
        glass_prep_ds=_glass_prep_ds(s, mix),
        rinse_ds=_rinse_ds(s, mix, washes=washes),
        alone_ds=alone,
        window_ds=window_ds,
        flame_at_ds=flame_at_ds,
        flame_ds=flame_ds,
    )


def poured_by(menu: Menu, mix: Mix, pouring: Pouring) -> tuple[str, ...]:
    """Give the ingredients of a mix that come out this way."""
    return tuple(name for name in mix.ingredients if menu.ingredient(name).pours is pouring)


def _scoop_ds(s: Standards, ice: Ice) -> int:
    match ice:
        case Ice.NONE:
            return 0
        case Ice.CRUSHED:
            return s["scoop_crushed"]
        case Ice.BLOCK:
            return s["ice_block"]
        case _:
            return s["scoop"]


def _measure_ds(s: Standards, menu: Menu, mix: Mix, size: int) -> int:
    """Seconds to measure everything that goes in before agitating, into one vessel."""
    total = 0
    for pour in mix.pours:
        if pour.at in (Stage.MEASURE, Stage.MUDDLE):
            total += _pour_ds(s, menu.ingredient(pour.ingredient), pour, size)
    return total + _muddle_ds(s, menu, mix)


def _muddle_ds(s: Standards, menu: Menu, mix: Mix) -> int:
    muddled = [menu.ingredient(pour.ingredient) for pour in mix.pours if pour.at is Stage.MUDDLE]
    if not muddled:
        return 0
    if any(ingredient.pours is Pouring.CUBE for ingredient in muddled):
        return s["muddle_cube"]
    if any(ingredient.kind is Kind.FRUIT for ingredient in muddled):
        return s["muddle_fruit"]
    return s["muddle_leaf"]


_BY_PIECE = {
    Pouring.CUBE: "cube",
    Pouring.PRESSED: "pressed",
    Pouring.EGG_PARTED: "egg_parted",
    Pouring.EGG_READY: "egg_ready",
    Pouring.EGG_WHOLE: "egg_whole",
}
_BY_GLASS = {
    Pouring.GUN: "top_gun",
    Pouring.BOTTLE: "top_bottle",
    Pouring.SPARKLING: "top_sparkling",
    Pouring.WINE: "wine_glass",
    Pouring.LEAVES: "leaves",
}
_SPOONS = ("bar spoon", "teaspoon", "tablespoon")


def _pour_ds(s: Standards, ingredient: Ingredient, pour: Pour, size: int) -> int:
    """Seconds to pour one ingredient for `size` drinks into one vessel."""
    amount = pour.measured
    pieces = max(1, round(amount.quantity)) * size
    if ingredient.pours in (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.MACHINE):
        return 0
    if ingredient.pours in _BY_PIECE:
        return s[_BY_PIECE[ingredient.pours]] * pieces
    if ingredient.pours is Pouring.BOTTLE and ingredient.kind in (Kind.BEER, Kind.WINE):
        return s["bottle_open"] * size
    if ingredient.pours in _BY_GLASS:
        return s[_BY_GLASS[ingredient.pours]] * size
    if amount.unit == "dash":
        return s["dash"] * pieces
    if amount.unit in _SPOONS or ingredient.pours is Pouring.SPOONED:
        return s["bar_spoon"] * pieces
    if amount.is_top:
        return s["top_bottle"] * size
    return _jigger_ds(s, ingredient.pours, amount.ml * size)


def _jigger_ds(s: Standards, pours: Pouring, total_ml: float) -> int:
    """Seconds of jigger loads: full ones of 60 ml, and a small or a large one for the rest."""
    if pours is Pouring.FREE:
        return round(s["free_pour"] * total_ml / 50)
    full, rest_ml = divmod(round(total_ml, 1), 60)
    loads = int(full) + (rest_ml > 0)
    if pours is Pouring.THICK:
        return s["measure_thick"] * loads
    ds = s["measure_large"] * int(full)
    if rest_ml > 0:
        ds += s["measure_small"] if rest_ml <= 30 else s["measure_large"]
    return ds + (s["measure_capped"] * loads if pours is Pouring.CAPPED else 0)


_STIR = {Ice.CRUSHED: "stir_crushed", Ice.CRACKED: "stir_cracked"}


def _agitate_ds(s: Standards, menu: Menu, mix: Mix) -> tuple[int, int]:
    """Seconds to ice and agitate one vessel, and what it adds as the second of a wave."""
    ice = _scoop_ds(s, mix.ice)
    lids = s["close_tin"] + s["open_tin"]
    match mix.method:
        case Method.SHAKEN:
            return ice + lids + s["shake"], ice + lids
        case Method.SHAKEN_LONG:
            return ice + lids + s["shake_long"], ice + lids
        case Method.DRY_SHAKEN:
            dry = s["dry_shake"] + s["dry_open_ice"]
            return dry + lids + s["shake_long"], lids
        case Method.THROWN:
            return ice + s["throw"], ice
        case Method.STIRRED:
            return ice + s[_STIR.get(mix.ice, "stir_cubed")], ice
        case Method.DRAUGHT:
            return _draught_ds(s, menu, mix)
        case _:
            return 0, 0


LARGE_DRAUGHT_ML = 400.0


def _draught_ds(s: Standards, menu: Menu, mix: Mix) -> tuple[int, int]:
    taps = [p for p in mix.pours if menu.ingredient(p.ingredient).pours is Pouring.TAP]
    if not taps:
        return 0, 0
    large = sum(pour.measured.ml for pour in taps) >= LARGE_DRAUGHT_ML
    ds = s["draught_pint"] if large else s["draught_half"]
    return ds, min(ds, s["draught_second_tap"])


def _glass_prep_ds(s: Standards, mix: Mix) -> int:
    ds = s["glass_more"]
    if mix.chilled and not mix.chill_by_ice:
        ds += s["glass_freezer"]
    if mix.warmed:
        ds += s["chill_hands"]
    if mix.lined:
        ds += s["lining"]
    if mix.rim:
        ds += s["rim_more"]
    return ds + s["coat"] * sum(pour.at is Stage.COAT for pour in mix.pours)


_STRAIN = {Strain.SINGLE: "strain", Strain.DOUBLE: "strain_double", Strain.FOAM: "strain_foam"}


def _glass_ds(s: Standards, menu: Menu, mix: Mix, size: int) -> tuple[int, int, int]:
    """Seconds to finish one glass, and when in it a flamed garnish burns and for how long."""
    ds = _scoop_ds(s, mix.serve_ice)
    if mix.method is Method.BLENDED:
        ds += s["blend_pour"]
    elif mix.method is Method.SWIZZLED:
        ds += s["swizzle"]
    elif mix.method is not Method.FLAMED and mix.method in VESSEL_OF:
        ds += s[_STRAIN[mix.strain]] + (s["split_tin"] if size > 1 else 0)
    for pour in mix.pours:
        if pour.at is Stage.FLOAT:
            ds += s["float"]
        elif pour.at is Stage.TOP:
            ds += _pour_ds(s, menu.ingredient(pour.ingredient), pour, 1)
    burns_at_ds = burns_ds = 0
    for garnish in sorted(mix.garnishes, key=lambda g: g.work is GarnishWork.FLAMED):
        one = s[f"garnish_{garnish.work.value}"]
        if garnish.work is GarnishWork.FLAMED:
            burns_at_ds, burns_ds = (ds if not burns_ds else burns_at_ds), burns_ds + one
        ds += one
    return ds, burns_at_ds, burns_ds


def _rinse_ds(s: Standards, mix: Mix, *, washes: bool) -> int:
    if mix.method not in VESSEL_OF:
        return s["clean_spare"] + s["washer_load"] if washes else 0
    if mix.method is Method.BLENDED:
        return s["rinse_jar"] + (s["clean_spare"] if washes else 0)
    return s["clean_spare"] + s["washer_load"] if washes else s["rinse"]
