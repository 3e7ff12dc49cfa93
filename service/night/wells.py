"""How full the ice wells are: what they hold, less what was made since they were last filled.

An estimate: nobody weighs ice. It is said, and never keeps anybody from a well.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from operator import itemgetter

from solver.counter import Person, Station, Well
from solver.kept import Kept
from solver.menu import Ice, ice_kg

from .hours import DAY_BEGINS_H, business_date, instant
from .marks import mix_now
from .records import DrinkRecord, MarkKind, TicketRecord
from .state import BarState

LOW = 0.2
"""A well that holds less than this share wants filling."""

UNTOLD = -0.5
"""So far below empty, somebody fills the well and does not say so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """What one station's well holds, about: kilograms, and how many more drinks that is."""

    station: Station
    well: Well
    left_kg: float
    drinks_left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """The ice of one sort that the drinks of a station took: when each was made, and sums."""

    made_at: list[datetime] = field(default_factory=list)
    sum_kg: list[float] = field(default_factory=lambda: [0.0])

    def since(self, at: datetime) -> tuple[float, int]:
        """Give the kilograms used after a time, and by how many drinks."""
        first = bisect_right(self.made_at, at)
        return self.sum_kg[-1] - self.sum_kg[first], len(self.made_at) - first


MadeAt = list[tuple[datetime, Mapping[Ice, float]]]


def low_wells(state: BarState, now: datetime) -> list[Level]:
    """Give the wells that want filling, as far as anybody can tell."""
    found = []
    for station in state.bar.counter.stations:
        used = _used_at(state, station) if station.wells else {}
        for well in station.wells:
            if well.ice not in used:
                continue
            kg, drinks = used[well.ice].since(_full_since(state, station, well, now))
            left_kg = well.capacity_kg - kg
            if UNTOLD * well.capacity_kg < left_kg < LOW * well.capacity_kg and drinks:
                left = max(0, int(left_kg / (kg / drinks)))
                found.append(Level(station=station, well=well, left_kg=left_kg, drinks_left=left))
    return found


def _full_since(state: BarState, station: Station, well: Well, now: datetime) -> datetime:
    """Give when a well was last full: when it was filled, or when the business day began."""
    zone = state.bar.timezone
    since = instant(business_date(now, zone), DAY_BEGINS_H * 3600, zone)
    filled = state.marks.get(f"{MarkKind.WELL_FILLED.value} {station.id}/{well.ice.value}")
    return max(since, filled.since) if filled is not None else since


def _people_at(state: BarState, station: Station) -> list[Person]:
    return [person for person in state.bar.counter.people if person.station == station.id]


MOST_WEIGHED = 20_000
_weighed: Kept[dict[tuple[int, int], tuple[DrinkRecord, TicketRecord, Mapping[Ice, float]]]] = Kept(
    dict
)
"""The ice of drinks weighed before, with one menu, by the identity of the records held here."""

_used: Kept[dict[Ice, Used]] = Kept(dict, most=32)
"""What was used at a station, with one menu, as long as nothing more is made."""


def _used_at(state: BarState, station: Station) -> dict[Ice, Used]:
    """Give what ice was used at a station, by sort."""
    stamps = [state.index.stamps.get(person.id) for person in _people_at(state, station)]
    used = _used.of(state.bar.menu, station, *stamps)
    if not used:
        # All at once: two screens may ask for two orders at the same time.
        used.update(_newly_used(_made_at(state, station)))
    return used


def _newly_used(made: MadeAt) -> dict[Ice, Used]:
    used: dict[Ice, Used] = {}
    for at, ice in sorted(made, key=itemgetter(0)):
        for sort, kg in ice.items():
            if kg:
                of_sort = used.setdefault(sort, Used())
                of_sort.made_at.append(at)
                of_sort.sum_kg.append(of_sort.sum_kg[-1] + kg)
    return used


def _made_at(state: BarState, station: Station) -> MadeAt:
    """Give when each drink was made at a station, and the ice it took."""
    known = _weighed.of(state.bar.menu)
    if len(known) > MOST_WEIGHED:
        known.clear()
    begun, people = state.index.begun, _people_at(state, station)
    builds = [state.builds[name] for who in people for _, name in begun.get(who.id, ())]
    taken: MadeAt = []
    for name in dict.fromkeys(drink for build in builds for drink in build.drinks):
        drink = state.drinks.get(name)
        if drink is None or drink.made_at is None:
            continue
        ticket = state.tickets[drink.ticket]
        key = (id(drink), id(ticket))
        found = known.get(key)
        if found is None:
            mix = mix_now(state, drink)
            found = known[key] = (drink, ticket, ice_kg(mix) if mix is not None else {})
        taken.append((drink.made_at, found[2]))
    return taken
