"""What may share a build, and how a build's drinks fall into vessels.

A build is a list of drinks in finishing order. Drinks of one mix stand together in it and
share vessels up to the working volume; each vessel's fill is a `Load`.

Source: working volumes and the pairing of hands are common practice.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .counter import Counter, HouseRules, Station, Vessel
from .menu import Method, Mix

TIN_ML = 270.0
TIN_MODEST_ML = 180.0
MIXING_GLASS_ML = 190.0
JAR_ML = 900.0
JAR_ICE_FACTOR = 1.8
"""Blended drinks end at this multiple of their liquid, for the ice in them."""

LARGEST_FILL = 8
"""More drinks than this never share a vessel."""

VESSEL_OF: dict[Method, Vessel] = {
    Method.SHAKEN: Vessel.TIN_SET,
    Method.SHAKEN_LONG: Vessel.TIN_SET,
    Method.DRY_SHAKEN: Vessel.TIN_SET,
    Method.THROWN: Vessel.TIN_SET,
    Method.STIRRED: Vessel.MIXING_GLASS,
    Method.BLENDED: Vessel.JAR,
    Method.FLAMED: Vessel.MUGS,
}
"""Methods that need a vessel; the others are made in the glass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One vessel's fill (or one glass, where no vessel is needed).

    Attributes
    ----------
    mix : Mix
    drinks : tuple of str
        Drink ids in finishing order.
    """

    mix: Mix
    drinks: tuple[str, ...]

    @property
    def fill_ml(self) -> float:
        """Liquid before ice, in millilitres."""
        return self.mix.liquid_ml * len(self.drinks)


def build_id(drinks: Iterable[str]) -> str:
    """Give a build's identity: a hash of its drinks, whatever their order."""
    return "b-" + hashlib.sha256("\n".join(sorted(drinks)).encode()).hexdigest()[:12]


def needs_gentle_fill(mix: Mix) -> bool:
    """Whether foam or cream limits the tin to a modest fill and takes both hands."""
    return mix.has_raw_egg or mix.has_dairy


def drinks_per_vessel(mix: Mix) -> int:
    """Give how many drinks of a mix one vessel takes; at most 2 with coffee in them."""
    if mix.liquid_ml <= 0:
        return 1
    most = 2 if mix.has_coffee else LARGEST_FILL
    return min(most, _by_volume(mix))


def _by_volume(mix: Mix) -> int:
    match VESSEL_OF.get(mix.method):
        case Vessel.TIN_SET:
            room_ml = TIN_MODEST_ML if needs_gentle_fill(mix) else TIN_ML
            return max(1, int(room_ml // mix.liquid_ml))
        case Vessel.MIXING_GLASS:
            return max(1, int(MIXING_GLASS_ML // mix.liquid_ml))
        case Vessel.JAR:
            return max(1, int(JAR_ML // (mix.liquid_ml * JAR_ICE_FACTOR)))
        case _:
            return 1


def fills(num_drinks: int, per_vessel: int) -> tuple[int, ...]:
    """Split drinks of one mix over the fewest vessels, as evenly as they go, fuller ones first."""
    vessels = -(-num_drinks // per_vessel)
    small, larger = divmod(num_drinks, vessels)
    return (small + 1,) * larger + (small,) * (vessels - larger)


def loads_of(drinks: Sequence[str], mixes: Sequence[Mix]) -> tuple[Load, ...]:
    """Give the loads of a build in finishing order.

    Parameters
    ----------
    drinks : sequence of str
        Ids in finishing order.
    mixes : sequence of Mix
        The mix of each, aligned with `drinks`. Mixes follow each other in order of first
        appearance: drinks of one mix stand together.
    """
    groups: dict[Mix, list[str]] = {}
    for drink, mix in zip(drinks, mixes, strict=True):
        groups.setdefault(mix, []).append(drink)
    loads = []
    for mix, members in groups.items():
        at = 0
        for size in fills(len(members), drinks_per_vessel(mix)):
            loads.append(Load(mix=mix, drinks=tuple(members[at : at + size])))
            at += size
    return tuple(loads)


def is_one_handed(load: Load) -> bool:
    """Whether the load can be shaken or stirred beside another of its method."""
    mix = load.mix
    if mix.method is Method.STIRRED:
        return True
    return (
        mix.method is Method.SHAKEN and not needs_gentle_fill(mix) and load.fill_ml <= TIN_MODEST_ML
    )


def must_wash(mix: Mix, wash_for: Iterable[str], *, is_alone: bool) -> bool:
    """Whether clean kit is taken for this mix, and goes to the washer after it.

    A drink made alone has its own jigger and spoon even where it is made in the glass; a glass
    from the tap touches none.
    """
    if is_alone:
        return mix.method is not Method.DRAUGHT
    return mix.method in VESSEL_OF and any(allergen in mix.allergens for allergen in wash_for)


def vessels_needed(loads: Sequence[Load], *, is_alone: bool = False) -> dict[Vessel, int]:
    """Count vessels by kind, and one kit where there is a vessel or a drink is made alone."""
    counts: dict[Vessel, int] = {}
    for load in loads:
        vessel = VESSEL_OF.get(load.mix.method)
        if vessel is not None:
            counts[vessel] = counts.get(vessel, 0) + 1
    from_tap = all(load.mix.method is Method.DRAUGHT for load in loads)
    if counts or (is_alone and not from_tap):
        counts[Vessel.KIT] = 1
    return counts


def why_not_together(
    rules: HouseRules, mixes: Sequence[Mix], alone: Sequence[bool], bottles: int
) -> str:
    """Say why drinks may not share a build; empty when they may.

    Parameters
    ----------
    rules : HouseRules
    mixes, alone : sequences
        Mix of each drink, and whether it has to be made alone (an allergy or an unread note).
    bottles : int
        Distinct ingredients reached for.

    Notes
    -----
    At most 4 drinks of 3 mixes and 8 bottles, or 6 of one mix; a drink made alone shares with
    nothing; flamed drinks share only with their own mix.
    """
    if len(mixes) <= 1:
        return ""
    if any(alone):
        return "a drink with an allergy or an unread note is made alone"
    different = len(set(mixes))
    most = rules.same_mix_per_build if different == 1 else rules.drinks_per_build
    if len(mixes) > most:
        return f"{len(mixes)} drinks of {different} mixes are more than one head holds ({most})"
    if different > rules.mixes_per_build:
        return f"{different} mixes are more than one head holds ({rules.mixes_per_build})"
    if different > 1 and bottles > rules.bottles_per_build:
        return f"{bottles} bottles are more than one head holds ({rules.bottles_per_build})"
    if different > 1 and any(mix.method is Method.FLAMED for mix in mixes):
        return "a flamed drink shares only with its own mix"
    return ""


def why_not_here(
    counter: Counter, station: Station, loads: Sequence[Load], *, is_alone: bool = False
) -> str:
    """Say why a build's loads cannot be held at a station; empty when they can.

    One build starts all of its coffees, blenders and stouts before it finishes any, so it needs a
    place for each.

    Parameters
    ----------
    counter : Counter
    station : Station
        Where the person stands; its vessels may be counted elsewhere when they are shared.
    loads : sequence of Load
    is_alone : bool
        Its drink is made alone, with a kit of its own.
    """
    home = counter.by_station[counter.vessel_home(station.id)]
    glasses = sum(len(load.drinks) for load in loads)
    if glasses > station.mat:
        return f"{glasses} glasses are more than the landing mat of {station.id} takes"
    for vessel, count in vessels_needed(loads, is_alone=is_alone).items():
        if count > home.num_vessels(vessel):
            held = home.num_vessels(vessel)
            return f"{count} of {vessel.value} are needed and {home.id} has {held}"
    for what, count, held in (
        ("coffee groups", sum(load.mix.has_coffee for load in loads), counter.coffee_groups),
        ("blenders", sum(load.mix.method is Method.BLENDED for load in loads), counter.blenders),
        ("settling places", sum(load.mix.settles for load in loads), counter.settling_places),
    ):
        if count > held:
            return f"{count} {what} are needed at once and the bar has {held}"
    return ""
