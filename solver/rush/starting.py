"""What a build needs before it can be begun, and beginning it."""

from __future__ import annotations

from collections.abc import Sequence

from solver.builds import build_id, loads_of
from solver.menu import Ice, Mix
from solver.work import FLAME

from .bar import Bar
from .book import Ware, ices_of
from .holding import Begun, Held, waits_for
from .night import WaitsFor
from .records import BlockNow, BuildNow, DrinkNow, Now, PersonNow
from .supplies import well_name
from .troubles import SHARED

Missing = tuple[WaitsFor, str]


def missing_for(bar: Bar, person: PersonNow, drinks: Sequence[DrinkNow]) -> Missing | None:
    """Say what a build cannot be begun without and has not got now; None where all is there."""
    glasses: dict[str, int] = {}
    for drink in drinks:
        if name := bar.shelf.is_out(drink.mix):
            return WaitsFor.STOCK, name
        glasses[drink.mix.glass] = glasses.get(drink.mix.glass, 0) + 1
        flame = bar.counter.flame
        if drink.mix.has_flame and bar.open_drinks.now > flame.off_above_open_drinks:
            return WaitsFor.FLAME, FLAME
    for glass, count in glasses.items():
        if bar.glasses.num_ready(glass) < count:
            return WaitsFor.GLASS, glass
    if well := bar.wells.short(_ice(bar, person, drinks)):
        bar.wants_ice(well)
        return WaitsFor.ICE, well
    for resource, count in _at_start(bar, person, drinks).items():
        stuff = bar.stuff.get(resource)
        if stuff is not None and stuff.num_free < count:
            return waits_for(resource), resource
    return None


def fitting(bar: Bar, person: PersonNow, drinks: tuple[DrinkNow, ...]) -> tuple[DrinkNow, ...]:
    """Give as many drinks of a build as there are vessels for, if nothing else held any.

    A glass that has to be chilled by hand makes a drink another one, which wants a vessel of its
    own: where chilled glasses went elsewhere since the order was made, the rest is made later.
    """
    while len(drinks) > 1:
        needed = _at_start(bar, person, drinks)
        if all(
            name not in bar.stuff or n <= bar.stuff[name].capacity for name, n in needed.items()
        ):
            break
        drinks = drinks[:-1]
    return drinks


def begin(bar: Bar, person: PersonNow, held: Held, drinks: Sequence[DrinkNow]) -> Begun:
    """Begin a build whose needs are met: it is in somebody's hands from now on."""
    needed = _ice(bar, person, drinks)
    mixes = bar.glasses.as_taken([drink.mix for drink in drinks])
    wares = _wares(bar, drinks)
    for drink in drinks:
        bar.glasses.take(drink.mix)
    work, scripts = bar.book.work(person.id, bar.counter, bar.counter_version, wares)
    ids = [drink.id for drink in drinks]
    build = BuildNow(
        id=build_id(ids),
        person=person.id,
        drinks=list(drinks),
        work=work,
        key=tuple(sorted(ids)),
        num_shaken=_num_shaken(ids, mixes),
        by_ice=tuple(d.id for d, mix in zip(drinks, mixes, strict=True) if mix.chill_by_ice),
    )
    begun = held.begin(build, scripts)
    for drink in drinks:
        drink.now, drink.build = Now.IN_HAND, build
        for name in bar.shelf.pour(bar.book.poured(drink.mix)):
            bar.ran_out(name)
    for well in bar.wells.take(needed):
        bar.wants_ice(well)
    build.blocks[0] = BlockNow(index=0, person=person.id, start_ms=bar.now)
    bar.builds.append(build)
    person.num_builds += 1
    person.builds = [*person.builds, build][-bar.counter.rules.shakes_in_a_row :]
    return begun


def _num_shaken(ids: list[str], mixes: list[Mix]) -> int:
    """Count the vessels of a build that arms shake."""
    shaken = [(name, mix) for name, mix in zip(ids, mixes, strict=True) if mix.is_shaken]
    return len(loads_of([name for name, _ in shaken], [mix for _, mix in shaken]))


def _wares(bar: Bar, drinks: Sequence[DrinkNow]) -> list[Ware]:
    """Give drinks as work sees them, in the glasses that would be taken for them now."""
    mixes = bar.glasses.as_taken([drink.mix for drink in drinks])
    return [bar.ware(drink, mix) for drink, mix in zip(drinks, mixes, strict=True)]


def _at_start(bar: Bar, person: PersonNow, drinks: Sequence[DrinkNow]) -> dict[str, int]:
    work, scripts = bar.book.work(person.id, bar.counter, bar.counter_version, _wares(bar, drinks))
    needed: dict[str, int] = {}
    for i in scripts.at_start:
        name = work.holds[i].resource
        needed[name] = needed.get(name, 0) + 1
    return needed


def _ice(bar: Bar, person: PersonNow, drinks: Sequence[DrinkNow]) -> dict[str, float]:
    """Give the kilograms a build takes of each well: the own one, or the shared one."""
    station = bar.counter.by_station[person.person.station]
    names: list[tuple[str, Ice]] = []
    for drink in drinks:
        for ice in ices_of(drink.mix):
            at = station.id if station.has_ice(ice) else SHARED
            name = well_name(at, ice)
            if name in bar.wells.by_name:
                names.append((name, ice))
    return bar.wells.needed(names)
