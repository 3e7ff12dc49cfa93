"""How full the ice wells are: what they hold, less what was made since they were last filled.

An estimate: nobody weighs ice. It is said, and never keeps anybody from a well.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from solver.counter import Station, Well
from solver.menu import ice_kg

from .hours import DAY_BEGINS_H, business_date, instant
from .marks import mix_now
from .records import MarkKind
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
        for well in station.wells:
            used = _used_kg(state, station, well, now)
            left_kg = well.capacity_kg - sum(used)
            if UNTOLD * well.capacity_kg < left_kg < LOW * well.capacity_kg and used:
                a_drink_kg = sum(used) / len(used)
                left = max(0, int(left_kg / a_drink_kg)) if a_drink_kg else 0
                found.append(Level(station=station, well=well, left_kg=left_kg, drinks_left=left))
    return found


def _used_kg(state: BarState, station: Station, well: Well, now: datetime) -> list[float]:
    """Give what each drink made at a station took out of a well since it was full."""
    zone = state.bar.timezone
    since = instant(business_date(now, zone), DAY_BEGINS_H * 3600, zone)
    filled = state.marks.get(f"{MarkKind.WELL_FILLED.value} {station.id}/{well.ice.value}")
    if filled is not None:
        since = max(since, filled.since)
    people = {p.id for p in state.bar.counter.people if p.station == station.id}
    made_here = {d for b in state.builds.values() if b.person in people for d in b.drinks}
    taken = []
    for name in sorted(made_here):
        drink = state.drinks.get(name)
        if drink is None or drink.made_at is None or drink.made_at <= since:
            continue
        mix = mix_now(state, drink)
        kg = ice_kg(mix).get(well.ice, 0.0) if mix is not None else 0.0
        if kg:
            taken.append(kg)
    return taken
