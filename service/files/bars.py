"""A bar as its file says it: who it is, its counter, its menu and its time standards.

`check_bar` holds what no single part can see alone: a recipe's glass stands on the counter and
takes the drink, taps pour what the menu has, a menu that shakes has tins. Each finding names its
place in the bar's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from service.errors import nearest
from service.printing.house import Prints
from solver.builds import TIN_ML, VESSEL_OF
from solver.counter import Counter, Glass, Vessel
from solver.errors import BadValue
from solver.menu import Ice, Menu, Method, Mix, Pouring, Recipe, recipe_mix
from solver.standards import Standards

MUG_ML = 110.0
MOST_ML = {Vessel.TIN_SET: TIN_ML, Vessel.MUGS: MUG_ML}
"""Liquid before ice that one drink may have in its vessel; common practice."""
VESSEL_WORDS = {
    Vessel.TIN_SET: "tin sets",
    Vessel.MIXING_GLASS: "mixing glasses",
    Vessel.JAR: "blender jars",
    Vessel.MUGS: "heatproof mugs",
    Vessel.KIT: "kits (jigger, strainer, fine strainer, spoon)",
}
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar.

    Attributes
    ----------
    id : str
        Small letters, digits and hyphens: it stands in addresses.
    name : str
    timezone : str
        IANA name, such as ``Europe/London``; business days follow it.
    counter, menu, standards
        Its physical side, what it makes, and how long steps take there.
    prints : Prints or None
        What it does with the prints of a till.
    """

    id: str
    name: str
    timezone: str
    counter: Counter
    menu: Menu
    standards: Standards
    prints: Prints | None = None

    def __post_init__(self) -> None:
        check_id(self.id)
        check_timezone(self.timezone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something wrong, or worth a word, at one place of a document.

    Attributes
    ----------
    at : tuple of (str or int)
        Keys and positions that lead to it.
    expected, came : str
        What would have been right, and what is there.
    hint : str
        What to do; empty when the first two say it all.
    """

    at: tuple[str | int, ...]
    expected: str
    came: str
    hint: str = ""

    @property
    def words(self) -> str:
        """The finding as a sentence, without its place."""
        said = f"expected {self.expected}; came {self.came}"
        return f"{said}; {self.hint}" if self.hint else said


def check_id(bar_id: str) -> None:
    """Refuse an id that cannot stand in an address (`BadValue`)."""
    if not _ID.fullmatch(bar_id):
        raise BadValue("an id of small letters, digits and hyphens, such as 'our-bar'", bar_id)


def check_timezone(name: str) -> None:
    """Refuse what is no time zone (`BadValue`)."""
    if not available_timezones():
        return  # This machine has no table of time zones to hold it against.
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        hint = near(name, available_timezones())
        raise BadValue("a time zone, such as 'Europe/London'", name, hint) from None


def near(word: str, names: Iterable[str]) -> str:
    """Say which names come near: "did you mean rocks?"; else list them, if they are few."""
    known = sorted(set(names))
    found = nearest(word, {name: name for name in known}, limit=2)
    if found:
        return f"did you mean {' or '.join(found)}?"
    return f"there is {', '.join(known)}" if 0 < len(known) <= 12 else ""


def check_bar(counter: Counter, menu: Menu) -> list[Finding]:
    """Find what keeps a bar from working; empty when its parts fit together."""
    found = [*_references(counter, menu), *_names_twice(menu)]
    for index, recipe in enumerate(menu.recipes):
        found += _recipe(counter, menu, recipe, ("menu", "recipes", index))
    return found + list(_what_is_lacking(counter, menu))


def warnings_of(counter: Counter, menu: Menu) -> list[Finding]:
    """Find what is allowed and means that some drinks will be set aside."""
    flamed = [recipe.name for recipe in menu.recipes if recipe_mix(menu, recipe).has_flame]
    aside = f"{_some(flamed)} will be set aside" if flamed else "nothing can be flamed"
    if not counter.flame.allowed:
        if not flamed:
            return []
        hint = f"{aside}; local codes and licensed practice decide"
        return [Finding(at=("counter", "flame"), expected="flame allowed", came="off", hint=hint)]
    able = [p for p in counter.people if p.trained_for_flame]
    if not any(counter.by_station[p.station].clear_place for p in able):
        wanted = "somebody trained for flame at a station with a clear place, as flame is allowed"
        return [Finding(at=("counter", "people"), expected=wanted, came="nobody", hint=aside)]
    return []


def _references(counter: Counter, menu: Menu) -> Iterator[Finding]:
    lists: list[tuple[tuple[str | int, ...], tuple[str, ...]]] = [
        (("counter", "taps"), counter.taps),
        (("counter", "one_bottle"), counter.one_bottle),
    ]
    lists += [
        (("counter", "stations", i, "lacks"), s.lacks) for i, s in enumerate(counter.stations)
    ]
    for at, names in lists:
        for index, name in enumerate(names):
            if name not in menu.by_ingredient:
                hint = near(name, menu.by_ingredient)
                yield _no((*at, index), "an ingredient of the menu", name, hint)
    glasses: list[tuple[tuple[str | int, ...], str]] = [
        (("menu", "rocks_glass"), menu.rocks_glass),
        (("menu", "up_glass"), menu.up_glass),
    ]
    if menu.spirit_and_mixer is not None:
        glasses.append((("menu", "spirit_and_mixer", "glass"), menu.spirit_and_mixer.glass))
    for at, name in glasses:
        if name and name not in counter.by_glass:
            yield _no(at, "a glass of the counter", name, near(name, counter.by_glass))


def _names_twice(menu: Menu) -> Iterator[Finding]:
    owner: dict[str, str] = {}
    for index, recipe in enumerate(menu.recipes):
        for name in {recipe.id, recipe.name.lower(), *(a.lower() for a in recipe.aliases)}:
            if owner.setdefault(name, recipe.id) != recipe.id:
                hint = f"{owner[name]} has it too: a ticket could mean either"
                yield _no(("menu", "recipes", index), "every name and alias once", name, hint)


def _recipe(
    counter: Counter, menu: Menu, recipe: Recipe, at: tuple[str | int, ...]
) -> Iterator[Finding]:
    mix = recipe_mix(menu, recipe)
    glass = counter.by_glass.get(recipe.glass)
    if glass is None:
        hint = near(recipe.glass, counter.by_glass)
        yield _no((*at, "glass"), "a glass of the counter", recipe.glass, hint)
    elif mix.liquid_ml > glass.volume_ml:
        yield _too_much(counter, mix, glass, (*at, "glass"))
    vessel = VESSEL_OF.get(mix.method)
    if vessel in MOST_ML and mix.liquid_ml > MOST_ML[vessel]:
        expected = f"at most {MOST_ML[vessel]:g} ml of liquid a drink for {VESSEL_WORDS[vessel]}"
        yield Finding(at=(*at, "pours"), expected=expected, came=f"{mix.liquid_ml:g} ml")
    for key, ice in (("ice", recipe.ice), ("serve_ice", recipe.serve_ice)):
        if not _has_ice(counter, ice):
            hint = f"add a well of {ice.value} ice to a station or to shared_wells"
            yield _no((*at, key), "ice that the counter has", ice.value, hint)
    for index, pour in enumerate(recipe.pours):
        drawn = menu.ingredient(pour.ingredient).pours in (Pouring.TAP, Pouring.SETTLING_TAP)
        if drawn and pour.ingredient not in counter.taps:
            hint = "add it to the counter's taps, or say how else it pours"
            yield _no((*at, "pours", index, "ingredient"), "a tap for it", pour.ingredient, hint)


def _too_much(counter: Counter, mix: Mix, glass: Glass, at: tuple[str | int, ...]) -> Finding:
    larger = [g.name for g in counter.glasses if g.volume_ml >= mix.liquid_ml]
    return Finding(
        at=at,
        expected=f"a glass that takes {mix.liquid_ml:g} ml of liquid",
        came=f"the {glass.name} of {glass.volume_ml:g} ml",
        hint=f"large enough: {', '.join(larger)}" if larger else "no glass here is large enough",
    )


def _has_ice(counter: Counter, ice: Ice) -> bool:
    return counter.shared_well(ice) is not None or any(s.has_ice(ice) for s in counter.stations)


def _what_is_lacking(counter: Counter, menu: Menu) -> Iterator[Finding]:
    """Equipment that the menu needs and nobody on the counter has."""
    mixes = [recipe_mix(menu, recipe) for recipe in menu.recipes]
    homes = {counter.vessel_home(person.station) for person in counter.people}
    stations = [counter.by_station[home] for home in sorted(homes)]
    for vessel in Vessel:
        wanting = [m.name for m in mixes if _needs(m.method, vessel)]
        if wanting and not any(station.num_vessels(vessel) for station in stations):
            yield Finding(
                at=("counter", "stations"),
                expected=f"{VESSEL_WORDS[vessel]} at a station with a bartender",
                came="none",
                hint=f"{_some(wanting)} cannot be made without",
            )
    machines = (
        ("blenders", counter.blenders, [m.name for m in mixes if m.method is Method.BLENDED]),
        ("coffee_groups", counter.coffee_groups, [m.name for m in mixes if m.has_coffee]),
        ("coffee_grinders", counter.coffee_grinders, [m.name for m in mixes if m.has_coffee]),
    )
    for key, count, wanting in machines:
        if wanting and count < 1:
            hint = f"{_some(wanting)} cannot be made without"
            expected = f"1 or more {key.replace('_', ' ')}"
            yield Finding(at=("counter", key), expected=expected, came="none", hint=hint)


def _needs(method: Method, vessel: Vessel) -> bool:
    own = VESSEL_OF.get(method)
    return own is vessel or (vessel is Vessel.KIT and own is not None)


def _some(names: list[str]) -> str:
    """Name the first two and count the rest."""
    rest = len(names) - 2
    return ", ".join(names[:2]) + (f" and {rest} more" if rest > 0 else "")


def _no(at: tuple[str | int, ...], expected: str, came: str, hint: str = "") -> Finding:
    return Finding(at=at, expected=expected, came=f"'{came}'", hint=hint)
