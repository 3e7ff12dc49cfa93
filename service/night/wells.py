"""How full the ice wells are: what they hold, less what was made since they were last filled.

An estimate: nobody weighs ice. It is said, and never keeps anybody from a well.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from solver.counter import Station, Well
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


def low_wells(state: BarState, now: datetime) -> list[Level]:
    """Give the wells that want filling, as far as anybody can tell."""
    found = []
    for station in state.bar.counter.stations:
        made = _made_at(state, station) if station.wells else []
        for well in station.wells:
            since = _full_since(state, station, well, now)
            kg = [ice.get(well.ice, 0.0) for made_at, ice in made if made_at > since]
            used = [one for one in kg if one]
            left_kg = well.capacity_kg - sum(used)
            if UNTOLD * well.capacity_kg < left_kg < LOW * well.capacity_kg and used:
                a_drink_kg = sum(used) / len(used)
                left = max(0, int(left_kg / a_drink_kg)) if a_drink_kg else 0
                found.append(Level(station=station, well=well, left_kg=left_kg, drinks_left=left))
    return found


def _full_since(state: BarState, station: Station, well: Well, now: datetime) -> datetime:
    """Give when a well was last full: when it was filled, or when the business day began."""
    zone = state.bar.timezone
    since = instant(business_date(now, zone), DAY_BEGINS_H * 3600, zone)
    filled = state.marks.get(f"{MarkKind.WELL_FILLED.value} {station.id}/{well.ice.value}")
    return max(since, filled.since) if filled is not None else since


MadeAt = list[tuple[datetime, Mapping[Ice, float]]]
MOST_WEIGHED = 20_000
_weighed: Kept[dict[tuple[int, int], tuple[DrinkRecord, TicketRecord, Mapping[Ice, float]]]] = Kept(
    dict
)
"""The ice of drinks weighed before, with one menu, by the identity of the records held here."""


_made: Kept[MadeAt] = Kept(list, most=32)
"""What was made at a station, with one menu, as long as nothing more is made."""


def _made_at(state: BarState, station: Station) -> MadeAt:
    """Give when each drink was made at a station, and the ice it took."""
    taken = _made.of(state.index.made_stamp, state.bar.menu, station)
    if not taken:
        # All at once: two screens may ask for two orders at the same time.
        taken[:] = _newly_made_at(state, station)
    return taken


def _newly_made_at(state: BarState, station: Station) -> MadeAt:
    known = _weighed.of(state.bar.menu)
    if len(known) > MOST_WEIGHED:
        known.clear()
    people = [p.id for p in state.bar.counter.people if p.station == station.id]
    builds = [state.builds[name] for who in people for _, name in state.index.begun.get(who, ())]
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
