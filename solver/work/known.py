"""What was worked out before of the work in one house: its menu, counter and time standards.

Every plan of a night asks for the same mixes at the same stations, and most of its builds stood in
the plan before. Mixes are told apart by identity: a menu gives equal mixes as one object.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from solver.builds import must_wash
from solver.counter import Station
from solver.kept import Kept
from solver.menu import Ice, Mix
from solver.snapshot import RailDrink, Snapshot

from .set_ups import setups, trips
from .steps import Work
from .times import LoadTimes, load_times

MOST_WORKS = 2000
MOST_MIXES = 2000


@dataclass(frozen=True, slots=True)
class _House:
    """What is known of one house; every entry holds the objects whose identity is its key."""

    times: dict[tuple[int, int, bool], tuple[Mix, LoadTimes]] = field(default_factory=dict)
    needs: dict[tuple[str, int], tuple[Mix, dict[str, int]]] = field(default_factory=dict)
    trips: dict[tuple[str, int], tuple[Mix, tuple[Ice, ...]]] = field(default_factory=dict)
    works: dict[object, tuple[Sequence[RailDrink], Work]] = field(default_factory=dict)


_houses: Kept[_House] = Kept(_House)


def _house(snapshot: Snapshot) -> _House:
    house = _houses.of(snapshot.menu, snapshot.counter.fixed, snapshot.standards)
    if len(house.works) > MOST_WORKS:
        house.works.clear()
    if len(house.times) > MOST_MIXES or len(house.needs) > MOST_MIXES:
        house.times.clear()
        house.needs.clear()
        house.trips.clear()
    return house


def times_of(snapshot: Snapshot, mix: Mix, size: int, *, is_alone: bool) -> LoadTimes:
    """Give `load_times` of a vessel in this house."""
    known = _house(snapshot).times
    key = (id(mix), size, is_alone)
    found = known.get(key)
    if found is None:
        counter = snapshot.counter
        times = load_times(
            snapshot.standards,
            snapshot.menu,
            mix,
            size,
            washes=must_wash(mix, counter.rules.wash_for, is_alone=is_alone),
            no_throw=counter.flame.no_throw,
        )
        found = known[key] = (mix, times)
    return found[1]


def needs_of(snapshot: Snapshot, station: Station, mix: Mix) -> dict[str, int]:
    """Give `setups` of a mix at a station of this house; not to be changed."""
    known = _house(snapshot).needs
    key = (station.id, id(mix))
    found = known.get(key)
    if found is None:
        found = known[key] = (mix, setups(snapshot, station, mix))
    return found[1]


def trips_of(snapshot: Snapshot, station: Station, mix: Mix) -> tuple[Ice, ...]:
    """Give `trips` of a mix from a station of this house."""
    known = _house(snapshot).trips
    key = (station.id, id(mix))
    found = known.get(key)
    if found is None:
        found = known[key] = (mix, trips(snapshot, station, mix))
    return found[1]


def known_work(snapshot: Snapshot, station: str, drinks: Sequence[RailDrink]) -> Work | None:
    """Give the work of a build at a station, if it was worked out before."""
    found = _house(snapshot).works.get(_key(station, drinks))
    return None if found is None else found[1]


def keep_work(snapshot: Snapshot, station: str, drinks: Sequence[RailDrink], work: Work) -> Work:
    """Keep the work of a build; gives it back."""
    _house(snapshot).works[_key(station, drinks)] = (tuple(drinks), work)
    return work


def _key(station: str, drinks: Sequence[RailDrink]) -> object:
    """Tell builds apart by all of their drinks that work depends on."""
    return (station, *((d.id, id(d.mix), d.is_alone, d.channel) for d in drinks))
