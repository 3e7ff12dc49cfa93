"""Single changes of hands, equipment and layout, each a rush of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from solver.counter import Counter, Person, Post, Station, Well
from solver.menu import Ice, Kind, Place

from .scenario import Barback, Rush, Shift

ONE_MORE = "one-more"
STANDARD_PACE = 1.0
BOTTLES_MOVED = 4
WELL_KG = 12.0
ON_THE_RAIL = (Kind.SPIRIT, Kind.LIQUEUR, Kind.SYRUP, Kind.BITTERS, Kind.JUICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing done otherwise.

    Attributes
    ----------
    id, words : str
    rush : Rush
        The rush with it.
    cost : float or None
        For one night, in the house's money (`Costs`); None where the house does not say.
    """

    id: str
    words: str
    rush: Rush
    cost: float | None = None


def hands_changes(rush: Rush) -> Iterator[Change]:
    """Give one more bartender at each station, and one more barback, all night."""
    scenario, costs = rush.scenario, rush.scenario.costs
    hours = scenario.hard_stop_s / 3600
    for station in rush.house.counter.stations:
        yield Change(
            id=f"bartender-{station.id}",
            words=f"one more bartender: {station_words(station)}",
            rush=with_bartender(rush, station.id, ONE_MORE),
            cost=None if costs.bartender_hour is None else costs.bartender_hour * hours,
        )
    yield Change(
        id="barback",
        words="one more barback",
        rush=replace(rush, scenario=replace(scenario, barbacks=(*barbacks_of(rush), Barback()))),
        cost=None if costs.barback_hour is None else costs.barback_hour * hours,
    )


def equipment_changes(rush: Rush) -> Iterator[Change]:
    """Give more tins, a blender, crushed ice at the hand."""
    counter, costs = rush.house.counter, rush.scenario.costs
    with_tins = [station.id for station in counter.stations if station.tin_sets]
    if with_tins:
        yield Change(
            id="tins",
            words="one more set of tins at each place",
            rush=_with_stations(
                rush, {i: _more(counter.by_station[i], tin_sets=1) for i in with_tins}
            ),
            cost=costs.a_night(None if costs.tin_set is None else costs.tin_set * len(with_tins)),
        )
    with_jars = [station.id for station in counter.stations if station.jars]
    if with_jars:
        jars = {i: _more(counter.by_station[i], jars=1) for i in with_jars}
        more = _with_stations(rush, jars)
        yield Change(
            id="blender",
            words="one more blender, with jars",
            rush=_with_counter(more, replace(more.house.counter, blenders=counter.blenders + 1)),
            cost=costs.a_night(costs.blender),
        )
    has_crushed = any(well.ice is Ice.CRUSHED for well in counter.shared_wells) or any(
        station.has_ice(Ice.CRUSHED) for station in counter.stations
    )
    for station in counter.stations if has_crushed else ():
        if not station.has_ice(Ice.CRUSHED):
            well = Well(ice=Ice.CRUSHED, capacity_kg=WELL_KG)
            yield Change(
                id=f"crushed-{station.id}",
                words=f"a second crushed-ice well: {station_words(station)}",
                rush=_with_stations(
                    rush, {station.id: replace(station, wells=(*station.wells, well))}
                ),
                cost=costs.a_night(costs.well),
            )


def layout_changes(rush: Rush, reached: Mapping[str, int]) -> Iterator[Change]:
    """Give what can be done by moving things.

    Parameters
    ----------
    rush : Rush
    reached : mapping of str to int
        How many drinks ask for each ingredient.
    """
    counter, menu = rush.house.counter, rush.house.menu
    far = [
        one
        for one in menu.ingredients
        if one.lives in (Place.BACK_BAR, Place.STORE) and one.kind in ON_THE_RAIL
    ]
    wanted = sorted((one for one in far if reached.get(one.id)), key=lambda one: -reached[one.id])
    if moved := wanted[:BOTTLES_MOVED]:
        ids = {one.id for one in moved}
        rows = tuple(
            replace(one, lives=Place.SPEED_RAIL) if one.id in ids else one
            for one in menu.ingredients
        )
        names = ", ".join(one.name for one in moved)
        yield Change(
            id="rail",
            words=f"on the speed rail: {names}",
            rush=replace(rush, house=replace(rush.house, menu=replace(menu, ingredients=rows))),
            cost=0.0,
        )
    if any(len(station.posts) < len(Post) for station in counter.stations):
        both = {s.id: replace(s, posts=tuple(Post)) for s in counter.stations}
        yield Change(
            id="posts",
            words="every place pours for the floor and for the bar top",
            rush=_with_stations(rush, both),
            cost=0.0,
        )


def with_bartender(rush: Rush, station: str, name: str) -> Rush:
    """Give the rush with one more bartender of standard pace at a station, all night.

    Parameters
    ----------
    rush : Rush
    station, name : str
        Ids; the name is new.
    """
    scenario = rush.scenario
    person = Person(id=name, station=station, pace=STANDARD_PACE)
    shifts = scenario.shifts and (*scenario.shifts, Shift(person=name))
    more = (*scenario.more_people, person)
    return replace(rush, scenario=replace(scenario, more_people=more, shifts=shifts))


def barbacks_of(rush: Rush) -> tuple[Barback, ...]:
    """Give the barbacks of the night: as the scenario says, or as many as the counter has."""
    told = rush.scenario.barbacks
    return (Barback(),) * rush.house.counter.barbacks if told is None else told


def station_words(station: Station) -> str:
    """Say which place it is."""
    return station.name or station.id


def _more(station: Station, **counts: int) -> Station:
    more = {name: getattr(station, name) + count for name, count in counts.items()}
    return replace(station, **more)


def _with_stations(rush: Rush, stations: Mapping[str, Station]) -> Rush:
    rows = tuple(stations.get(one.id, one) for one in rush.house.counter.stations)
    return _with_counter(rush, replace(rush.house.counter, stations=rows))


def _with_counter(rush: Rush, counter: Counter) -> Rush:
    return replace(rush, house=replace(rush.house, counter=counter))
