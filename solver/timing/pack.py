"""From a snapshot to flat arrays: the one place that does it."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import accumulate

import numpy as np

from solver.builds import VESSEL_OF, Load, drinks_per_vessel, is_one_handed, must_wash
from solver.counter import PutFirst, Vessel
from solver.goal import hard_stop_ds, next_line_pct, urgent_tickets, worst_allowed_ds
from solver.kept import Kept
from solver.menu import Method, Mix, Pouring
from solver.snapshot import Rail, RailDrink, Snapshot, by_age, rail_of
from solver.tickets import Channel, Ticket
from solver.units import DS_PER_S, to_ds
from solver.work import (
    BLENDER,
    COFFEE_GRINDER,
    COFFEE_GROUP,
    FLAME,
    SETTLING_PLACE,
    TILL,
    LoadTimes,
    Work,
    bottle_resource,
    capacities,
    needs_of,
    serving_ds,
    tap_resource,
    times_of,
    trips_of,
    vessel_resource,
    wash_ds,
    well_resource,
)

from .arrays import (
    ALONE,
    IS_REACH,
    MAY,
    MOST_DRINKS,
    NEVER,
    ONE_BOTTLE,
    PAIR_DRAUGHT,
    PAIR_NONE,
    PAIR_SHAKE,
    PAIR_STIR,
    SET_UP_DS,
    STAYS,
    Bench,
    Ints,
    zeros,
)
from .in_hand import absent_with_a_flame, in_hand_rows

_PAIR_KIND = {
    Method.SHAKEN: PAIR_SHAKE,
    Method.STIRRED: PAIR_STIR,
    Method.DRAUGHT: PAIR_DRAUGHT,
}
_PUT_FIRST = {PutFirst.MEAN: 0, PutFirst.WORST: 1, PutFirst.CLEAR: 2}
_VESSELS = tuple(Vessel)


@dataclass(slots=True, kw_only=True)
class Packed:
    """A snapshot, its rail, and the arrays; indexes of the arrays are positions in the tuples."""

    snapshot: Snapshot
    rail: Rail
    bench: Bench
    people: tuple[str, ...]
    tickets: tuple[Ticket, ...]
    hand_works: tuple[Work, ...]
    tails: tuple[tuple[int, int], ...]  # build in hand (position) and block of each pending tail


def pack(snapshot: Snapshot, rail: Rail | None = None) -> Packed:
    """Turn a snapshot into arrays."""
    rail = rail_of(snapshot) if rail is None else rail
    counter = snapshot.counter
    on_floor = tuple(present.person for present in snapshot.people_on)
    absent = absent_with_a_flame(snapshot, rail)
    people = (*on_floor, *absent)
    stations = {station.id: i for i, station in enumerate(counter.stations)}
    tickets = tuple(by_age(snapshot))
    capacity = capacities(counter)
    resources = {name: i for i, name in enumerate(capacity)}
    mixes = _Mixes(snapshot, rail, resources)
    rows, works = in_hand_rows(snapshot, rail, tickets, people, resources)
    urgent = urgent_tickets(snapshot)
    ticket_idx = {ticket.id: i for i, ticket in enumerate(tickets)}
    at = {person.id: person for person in counter.people}
    drinks = rail.drinks
    free_from = [max(0, to_ds(p.from_s)) for p in snapshot.people_on] + [0] * len(absent)
    shake_from = {p.person: max(0, to_ds(p.shake_from_s)) for p in snapshot.people_on}
    bench = Bench(
        people=_table(
            [
                [
                    at[name].pace_pct,
                    from_ds,
                    stations[at[name].station],
                    int(name in absent),
                    shake_from.get(name, 0),
                ]
                for name, from_ds in zip(people, free_from, strict=True)
            ],
            5,
        ),
        away=_table(_away(snapshot, people), 3),
        may=_table([[_may(d, p) for p in people] for d in drinks], len(people)),
        drinks=_table(
            [
                [
                    mixes.index_of(d),
                    ticket_idx[d.ticket],
                    d.release_ds,
                    int(d.channel is Channel.FLOOR),
                    int(d.ticket in urgent),
                    to_ds(d.mix.hold_limit_s),
                ]
                for d in drinks
            ],
            6,
        ),
        mixes=mixes.mixes,
        times=mixes.times,
        set_up=mixes.set_up,
        set_ups=mixes.set_ups,
        stations=_stations(snapshot, resources),
        trip=mixes.trip,
        capacity=np.array(list(capacity.values()), dtype=np.int64),
        house=_house(snapshot, resources, rail, [row[0] for row in rows.fixed], mixes),
        tickets=_tickets(snapshot, rail, tickets),
        fixed=_table(rows.fixed, 6),
        busy=_table(rows.busy, 3),
        held=_table(rows.held, 3),
        tails=_table(rows.tail_rows(), 6),
        tail_hold=_table([hold for holds in rows.tail_holds for hold in holds], 4),
    )
    return Packed(
        snapshot=snapshot,
        rail=rail,
        bench=bench,
        people=people,
        tickets=tickets,
        hand_works=works,
        tails=tuple(rows.tail_names),
    )


def served_tickets(snapshot: Snapshot, rail: Rail) -> tuple[Ticket, ...]:
    """Give the bar-top rounds that this plan completes, and so hands over and takes money for."""
    if not snapshot.counter.tills:
        return ()
    aside = {entry.drink for entry in rail.set_aside}
    return tuple(
        ticket
        for ticket in by_age(snapshot)
        if ticket.channel is Channel.BAR_TOP
        and any(drink.made_s is None for drink in ticket.drinks)
        and not any(drink.id in aside for drink in ticket.drinks)
    )


def _away(snapshot: Snapshot, people: Sequence[str]) -> list[tuple[int, int, int]]:
    return [
        (
            people.index(present.person),
            to_ds(away.from_s),
            NEVER if away.until_s is None else to_ds(away.until_s),
        )
        for present in snapshot.people_on
        for away in present.away
    ]


def _may(drink: RailDrink, person: str) -> int:
    if person not in drink.people:
        return 0
    return STAYS if person in drink.stays else MAY


def _table(rows: Sequence[Sequence[int]], width: int) -> Ints:
    return np.array(rows, dtype=np.int64).reshape(len(rows), width)


def _stations(snapshot: Snapshot, resources: dict[str, int]) -> Ints:
    counter = snapshot.counter
    rows = []
    for station in counter.stations:
        home = counter.by_station[counter.vessel_home(station.id)]
        held = [resources[vessel_resource(home.id, vessel)] for vessel in _VESSELS]
        count = [home.num_vessels(vessel) for vessel in _VESSELS]
        rows.append([int(station.at_pass), station.mat, *held, *count])
    return _table(rows, 12)


def _house(
    snapshot: Snapshot,
    resources: dict[str, int],
    rail: Rail,
    fixed_tickets: Sequence[int],
    mixes: _Mixes,
) -> Ints:
    s, rules = snapshot.standards, snapshot.counter.rules
    tickets = by_age(snapshot)
    num_floor = sum(drink.channel is Channel.FLOOR for drink in rail.drinks)
    num_floor += sum(tickets[i].channel is Channel.FLOOR for i in fixed_tickets)
    return np.array(
        [
            s["read_build"],
            s["read_drink"],
            s["walk_pass"],
            s["shared_well_trip"],
            wash_ds(s),
            s["coffee_draw"],
            s["blend_alone"],
            serving_ds(snapshot),
            rules.drinks_per_build,
            rules.mixes_per_build,
            rules.bottles_per_build,
            rules.same_mix_per_build,
            _PUT_FIRST[rules.put_first],
            rules.sit_price,
            resources[COFFEE_GRINDER],
            resources[COFFEE_GROUP],
            resources[BLENDER],
            resources[SETTLING_PLACE],
            resources[FLAME],
            resources[TILL] if snapshot.counter.tills else -1,
            rules.pass_room,
            rules.pass_price * DS_PER_S,
            num_floor,
            int((mixes.times[:, 1, ALONE] >= 0).any()) if rail.drinks else 0,
            len(snapshot.people_on),
            next_line_pct(snapshot),
        ],
        dtype=np.int64,
    )


def _tickets(snapshot: Snapshot, rail: Rail, tickets: Sequence[Ticket]) -> Ints:
    served = {ticket.id for ticket in served_tickets(snapshot, rail)}
    rows = []
    stop = hard_stop_ds(snapshot)
    num_open = Tally(drink.ticket for drink in rail.drinks)
    for ticket in tickets:
        promise = to_ds(ticket.promise_s)
        allowed = worst_allowed_ds(snapshot, promise)
        if stop is not None:
            allowed = min(NEVER if allowed is None else allowed, stop - to_ds(ticket.placed_s))
        rows.append(
            [
                to_ds(ticket.placed_s),
                promise,
                ticket.weight,
                NEVER if allowed is None else allowed,
                num_open[ticket.id],
                int(ticket.id in served),
                int(ticket.channel is Channel.FLOOR),
            ]
        )
    return _table(rows, 7)


def _only_bottle(resources: dict[str, int], set_up: str) -> int:
    name = bottle_resource(set_up.removeprefix("reach:"))
    return resources.get(name, -1) if set_up.startswith("reach:") else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """What Bench says of one mix but for its set-ups' places; the same in every snapshot."""

    mix: Mix
    row: tuple[int, ...]
    times: Ints  # [9, 14]
    trip: Ints  # [W, 2]
    needs: tuple[dict[str, int], ...]  # by station


_TIMES = tuple(row.name for row in fields(LoadTimes))
MOST_COLUMNS = 2000
_columns: Kept[dict[tuple[int, bool], _Columns]] = Kept(dict)


def _columns_of(snapshot: Snapshot, mix: Mix, alone: bool, resources: dict[str, int]) -> _Columns:
    known = _columns.of(snapshot.menu, snapshot.counter.fixed, snapshot.standards)
    found = known.get((id(mix), alone))
    if found is None:
        if len(known) >= MOST_COLUMNS:
            known.clear()
        found = known[id(mix), alone] = _new_columns(snapshot, mix, alone, resources)
    return found


def _new_columns(snapshot: Snapshot, mix: Mix, alone: bool, resources: dict[str, int]) -> _Columns:
    stations, rules = snapshot.counter.stations, snapshot.counter.rules
    taps = [*_pouring(snapshot, mix, Pouring.TAP, resources), -1, -1][:2]
    settling = [*_pouring(snapshot, mix, Pouring.SETTLING_TAP, resources), -1][:1]
    row = (
        drinks_per_vessel(mix),
        _VESSELS.index(VESSEL_OF[mix.method]) if mix.method in VESSEL_OF else -1,
        int(alone),
        int(mix.method is Method.FLAMED),
        _PAIR_KIND.get(mix.method, PAIR_NONE),
        int(must_wash(mix, rules.wash_for, is_alone=alone)),
        int(mix.has_coffee),
        *taps,
        *settling,
    )
    times = zeros(MOST_DRINKS + 1, 14)
    for size in range(1, 1 + min(drinks_per_vessel(mix), rules.same_mix_per_build)):
        one_handed = is_one_handed(Load(mix=mix, drinks=("",) * size))
        found = times_of(snapshot, mix, size, is_alone=alone)
        times[size] = [*(getattr(found, name) for name in _TIMES), int(one_handed)]
    trip = zeros(len(stations), 2) - 1
    for w, station in enumerate(stations):
        wells = [resources[well_resource(ice)] for ice in trips_of(snapshot, station, mix)]
        trip[w, : len(wells)] = wells
    needs = tuple(needs_of(snapshot, station, mix) for station in stations)
    return _Columns(mix=mix, row=row, times=times, trip=trip, needs=needs)


class _Mixes:
    """The columns of Bench that are per mix; a mix made alone counts as its own."""

    def __init__(self, snapshot: Snapshot, rail: Rail, resources: dict[str, int]) -> None:
        self._resources = resources
        self._index: dict[tuple[int, bool], int] = {}
        known: dict[tuple[Mix, bool], int] = {}
        for drink in rail.drinks:
            key = (id(drink.mix), drink.is_alone)
            if key not in self._index:
                self._index[key] = known.setdefault((drink.mix, drink.is_alone), len(known))
        columns = [_columns_of(snapshot, mix, alone, resources) for mix, alone in known]
        stretches = self._set_ups(snapshot, [found.needs for found in columns])
        self.mixes = _table(
            [
                [*found.row, *stretch, int(found.mix.is_shaken)]
                for found, stretch in zip(columns, stretches, strict=True)
            ],
            13,
        )
        self.times = zeros(len(columns), MOST_DRINKS + 1, 14)
        self.trip = zeros(len(snapshot.counter.stations), len(columns), 2) - 1
        for m, found in enumerate(columns):
            self.times[m] = found.times
            self.trip[:, m] = found.trip

    def _set_ups(
        self, snapshot: Snapshot, needed: Sequence[tuple[dict[str, int], ...]]
    ) -> list[tuple[int, int]]:
        """Fill the set-ups; gives each mix its stretch of them."""
        stations = snapshot.counter.stations
        names = list(dict.fromkeys(name for per_station in needed for name in per_station[0]))
        index = {name: i for i, name in enumerate(names)}
        self.set_up = np.array(
            [index[name] for per_station in needed for name in per_station[0]], dtype=np.int64
        )
        self.set_ups = zeros(len(names), SET_UP_DS + len(stations))
        for name, i in index.items():
            self.set_ups[i, IS_REACH] = name.startswith("reach:")
            self.set_ups[i, ONE_BOTTLE] = _only_bottle(self._resources, name)
        for per_station in needed:
            for w, found in enumerate(per_station):
                for name, ds in found.items():
                    self.set_ups[index[name], SET_UP_DS + w] = ds
        ends = list(accumulate(len(per_station[0]) for per_station in needed))
        return [
            (end - len(per_station[0]), end) for per_station, end in zip(needed, ends, strict=True)
        ]

    def index_of(self, drink: RailDrink) -> int:
        return self._index[id(drink.mix), drink.is_alone]


def _pouring(
    snapshot: Snapshot, mix: Mix, pouring: Pouring, resources: dict[str, int]
) -> list[int]:
    poured = [snapshot.menu.ingredient(name) for name in mix.ingredients]
    return [resources[tap_resource(i.id)] for i in poured if i.pours is pouring]
