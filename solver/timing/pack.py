"""From a snapshot to flat arrays: the one place that does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, dataclass, field
from itertools import accumulate

import numpy as np

from solver.builds import VESSEL_OF, Load, drinks_per_vessel, is_one_handed, must_wash
from solver.counter import PutFirst, Vessel
from solver.errors import InvalidSnapshot
from solver.goal import hold_limit_ds, urgent_tickets, worst_allowed_ds
from solver.menu import Method, Mix, Pouring
from solver.snapshot import InHand, Rail, RailDrink, Snapshot, by_age, rail_of, why_not_by
from solver.tickets import Channel, Ticket
from solver.units import paced_ds, to_ds
from solver.work import (
    BLENDER,
    COFFEE_GRINDER,
    COFFEE_GROUP,
    FLAME,
    SETTLING_PLACE,
    TILL,
    Hold,
    Work,
    bottle_resource,
    capacities,
    load_times,
    serving_ds,
    setups,
    tap_resource,
    trips,
    vessel_resource,
    wash_ds,
    well_resource,
    work_of,
)

from .arrays import (
    IS_REACH,
    MOST_DRINKS,
    NEVER,
    ONE_BOTTLE,
    PAIR_DRAUGHT,
    PAIR_NONE,
    PAIR_SHAKE,
    PAIR_STIR,
    SET_UP_DS,
    WASHES,
    Bench,
    Ints,
    zeros,
)

OVERRUN_DS = 50
"""A block that runs past its planned end is taken to end this much after the moment."""

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


@dataclass(slots=True, kw_only=True)
class _InHandRows:
    """Columns of what builds in hand and the washer still take, as they are gathered."""

    fixed: list[tuple[int, int, int, int, int, int]] = field(default_factory=list)
    busy: list[tuple[int, int, int]] = field(default_factory=list)
    held: list[tuple[int, int, int]] = field(default_factory=list)
    tails: list[tuple[int, int, int, int]] = field(default_factory=list)
    tail_holds: list[list[tuple[int, int, int, int]]] = field(default_factory=list)
    tail_names: list[tuple[int, int]] = field(default_factory=list)

    def tail_rows(self) -> list[tuple[int, ...]]:
        """Give the pending tails with their stretches of holds."""
        ends = list(accumulate(len(holds) for holds in self.tail_holds))
        return [
            (*tail, end - len(holds), end)
            for tail, holds, end in zip(self.tails, self.tail_holds, ends, strict=True)
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningBlock:
    """Where a begun block of a build in hand stands; deciseconds from the moment."""

    person: str
    start_ds: int
    end_ds: int
    is_done: bool


def running_blocks(snapshot: Snapshot, build: InHand, work: Work) -> dict[int, RunningBlock]:
    """Give start and expected end of every block of a build in hand that has begun.

    A block that should have ended is taken to end `OVERRUN_DS` from now, never in the past.

    Raises
    ------
    InvalidSnapshot
        When a block is said to have begun that the build does not have.
    """
    found = {}
    for run in build.blocks:
        if run.index >= len(work.blocks):
            most = len(work.blocks) - 1
            raise InvalidSnapshot(f"blocks 0 to {most} of build {build.build}", run.index)
        pace = snapshot.counter.by_person[run.person].pace_pct
        start = to_ds(run.start_s)
        end = start + paced_ds(work.blocks[run.index].base_ds, pace)
        end = min(end, 0) if run.is_done else max(end, OVERRUN_DS)
        found[run.index] = RunningBlock(
            person=run.person, start_ds=start, end_ds=end, is_done=run.is_done
        )
    return found


def pack(snapshot: Snapshot, rail: Rail | None = None) -> Packed:
    """Turn a snapshot into arrays."""
    rail = rail_of(snapshot) if rail is None else rail
    counter = snapshot.counter
    on_floor = tuple(present.person for present in snapshot.people_on)
    absent = _absent_with_a_flame(snapshot, rail)
    people = (*on_floor, *absent)
    stations = {station.id: i for i, station in enumerate(counter.stations)}
    tickets = tuple(by_age(snapshot))
    capacity = capacities(counter)
    resources = {name: i for i, name in enumerate(capacity)}
    mixes = _Mixes(snapshot, rail, resources)
    rows, works = _in_hand(snapshot, rail, tickets, people, resources)
    urgent = urgent_tickets(snapshot)
    ticket_idx = {ticket.id: i for i, ticket in enumerate(tickets)}
    at = {person.id: person for person in counter.people}
    drinks = rail.drinks
    free_from = [max(0, to_ds(p.from_s)) for p in snapshot.people_on] + [0] * len(absent)
    bench = Bench(
        people=_table(
            [
                [at[name].pace_pct, from_ds, stations[at[name].station], int(name in absent)]
                for name, from_ds in zip(people, free_from, strict=True)
            ],
            4,
        ),
        may=_table([[int(p in d.people) for p in people] for d in drinks], len(people)),
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
        house=_house(snapshot, resources),
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


def _house(snapshot: Snapshot, resources: dict[str, int]) -> Ints:
    s, rules = snapshot.standards, snapshot.counter.rules
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
        ],
        dtype=np.int64,
    )


def _tickets(snapshot: Snapshot, rail: Rail, tickets: Sequence[Ticket]) -> Ints:
    served = {ticket.id for ticket in served_tickets(snapshot, rail)}
    rows = []
    for ticket in tickets:
        promise = to_ds(ticket.promise_s)
        allowed = worst_allowed_ds(snapshot, promise)
        rows.append(
            [
                to_ds(ticket.placed_s),
                promise,
                ticket.weight,
                NEVER if allowed is None else allowed,
                sum(drink.ticket == ticket.id for drink in rail.drinks),
                int(ticket.id in served),
            ]
        )
    return _table(rows, 6)


def _only_bottle(resources: dict[str, int], set_up: str) -> int:
    name = bottle_resource(set_up.removeprefix("reach:"))
    return resources.get(name, -1) if set_up.startswith("reach:") else -1


class _Mixes:
    """The columns of Bench that are per mix; a mix made alone counts as its own."""

    def __init__(self, snapshot: Snapshot, rail: Rail, resources: dict[str, int]) -> None:
        self._resources = resources
        self._known: dict[tuple[Mix, bool], int] = {}
        for drink in rail.drinks:
            self._known.setdefault((drink.mix, drink.is_alone), len(self._known))
        keys = list(self._known)
        menu, rules = snapshot.menu, snapshot.counter.rules
        stretches = self._set_ups(snapshot, [mix for mix, _ in keys])
        rows = []
        for (mix, alone), stretch in zip(keys, stretches, strict=True):
            taps = [*_pouring(snapshot, mix, Pouring.TAP, resources), -1, -1][:2]
            settling = [*_pouring(snapshot, mix, Pouring.SETTLING_TAP, resources), -1][:1]
            rows.append(
                [
                    drinks_per_vessel(mix),
                    _VESSELS.index(VESSEL_OF[mix.method]) if mix.method in VESSEL_OF else -1,
                    int(alone),
                    int(mix.method is Method.FLAMED),
                    _PAIR_KIND.get(mix.method, PAIR_NONE),
                    int(must_wash(mix, rules.wash_for, is_alone=alone)),
                    int(mix.has_coffee),
                    *taps,
                    *settling,
                    *stretch,
                ]
            )
        self.mixes = _table(rows, 12)
        self.times = zeros(len(keys), MOST_DRINKS + 1, 14)
        for m, (mix, _) in enumerate(keys):
            for size in range(1, 1 + min(drinks_per_vessel(mix), rules.same_mix_per_build)):
                times = load_times(
                    snapshot.standards,
                    menu,
                    mix,
                    size,
                    washes=bool(self.mixes[m, WASHES]),
                    no_throw=snapshot.counter.flame.no_throw,
                )
                one_handed = is_one_handed(Load(mix=mix, drinks=("",) * size))
                self.times[m, size] = [*astuple(times), int(one_handed)]
        wells = [
            [[resources[well_resource(i)] for i in trips(snapshot, w, mix)] for mix, _ in keys]
            for w in snapshot.counter.stations
        ]
        self.trip = zeros(len(wells), len(keys), 2) - 1
        for w, row in enumerate(wells):
            for m, found in enumerate(row):
                self.trip[w, m, : len(found)] = found

    def _set_ups(self, snapshot: Snapshot, mixes: Sequence[Mix]) -> list[tuple[int, int]]:
        """Fill the set-ups; gives each mix its stretch of them."""
        stations = snapshot.counter.stations
        needed = [[setups(snapshot, station, mix) for station in stations] for mix in mixes]
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
        return self._known[drink.mix, drink.is_alone]


def _pouring(
    snapshot: Snapshot, mix: Mix, pouring: Pouring, resources: dict[str, int]
) -> list[int]:
    poured = [snapshot.menu.ingredient(name) for name in mix.ingredients]
    return [resources[tap_resource(i.id)] for i in poured if i.pours is pouring]


def _in_hand(
    snapshot: Snapshot,
    rail: Rail,
    tickets: Sequence[Ticket],
    people: Sequence[str],
    resources: dict[str, int],
) -> tuple[_InHandRows, tuple[Work, ...]]:
    rows = _InHandRows()
    works = []
    made_at = {d.id: d.made_s for t in tickets for d in t.drinks}
    ticket_idx = {ticket.id: i for i, ticket in enumerate(tickets)}
    in_hand = {name for build in snapshot.in_hand for name in build.drinks}
    open_rounds = {drink.ticket for drink in (*rail.drinks, *rail.in_hand.values())}
    for i, ticket in enumerate(tickets):
        for made in ticket.drinks if ticket.id in open_rounds else ():
            if made.made_s is not None and made.id not in in_hand:
                hold_ds = hold_limit_ds(snapshot.menu, ticket.lines[made.line])
                rows.fixed.append((i, to_ds(made.made_s), -1, 0, hold_ds, -1))
    for position, build in enumerate(snapshot.in_hand):
        drinks = {name: rail.in_hand[name] for name in build.drinks}
        work = work_of(snapshot, build.person, [drinks[name] for name in build.drinks])
        works.append(work)
        running = running_blocks(snapshot, build, work)
        tail_of: dict[int, int] = {}
        for block in work.blocks:
            if block.index not in running:
                tail_of[block.index] = len(rows.tails)
                begun = running[0]
                pace = snapshot.counter.by_person[begun.person].pace_pct
                earliest = begun.start_ds + paced_ds(block.anchor_base_ds, pace) + block.alone_ds
                mixes = [drinks[name].mix for name, _ in block.made]
                owner, anyones = _who_finishes(snapshot, people, build.person, mixes)
                anyones |= int(block.is_anyones)
                rows.tails.append((owner, max(0, earliest), block.base_ds, anyones))
                rows.tail_holds.append([])
                rows.tail_names.append((position, block.index))
        for run in running.values():
            if run.person in people and run.end_ds > 0:
                rows.busy.append((people.index(run.person), run.start_ds, run.end_ds))
        for block in work.blocks:
            for name, offset in block.made:
                drink = drinks[name]
                tail = tail_of.get(block.index, -1)
                recorded_s = made_at[name]
                at, who = NEVER, -1
                if tail < 0:
                    run = running[block.index]
                    at = expected_made_ds(snapshot, run, offset, recorded_s)
                    who = people.index(run.person) if run.person in people else -1
                elif recorded_s is not None:
                    tail, at = -1, to_ds(recorded_s)
                hold_ds = to_ds(drink.mix.hold_limit_s)
                rows.fixed.append((ticket_idx[drink.ticket], at, tail, offset, hold_ds, who))
        for hold in work.holds:
            # What left the counter while it was held, a tap say, holds nobody up any more.
            if hold.resource in resources:
                _held(snapshot, rows, resources[hold.resource], hold, work, running, tail_of)
    for away in snapshot.in_washer:
        name = vessel_resource(snapshot.counter.vessel_home(away.station), away.vessel)
        rows.held.extend([(resources[name], 0, max(0, to_ds(away.back_s)))] * away.count)
    return rows, tuple(works)


def _absent_with_a_flame(snapshot: Snapshot, rail: Rail) -> tuple[str, ...]:
    """Give who left the floor with a flamed drink in hand that nobody else may light.

    The drink stays theirs in the plan: it waits for them, or for somebody to put it back.
    """
    on_floor = {present.person for present in snapshot.people_on}
    found = []
    for build in snapshot.in_hand:
        mixes = [rail.in_hand[name].mix for name in build.drinks]
        burns = any(mix.has_flame for mix in mixes)
        if build.person not in on_floor and burns and not _able(snapshot, mixes):
            found.append(build.person)
    return tuple(dict.fromkeys(found))


def _able(snapshot: Snapshot, mixes: Sequence[Mix]) -> list[str]:
    """Give who on the floor may make all of these."""
    people = snapshot.counter.by_person
    return [
        present.person
        for present in snapshot.people_on
        if not any(why_not_by(snapshot, people[present.person], mix) for mix in mixes)
    ]


def _who_finishes(
    snapshot: Snapshot, people: Sequence[str], owner: str, mixes: Sequence[Mix]
) -> tuple[int, int]:
    """Give who finishes a tail, as a position, and 1 where anyone may: its owner if on the floor.

    Where the owner has left, anyone; but only somebody who may make it lights a flame.
    """
    if owner in people:
        return people.index(owner), 0
    if any(mix.has_flame for mix in mixes):
        return people.index(_able(snapshot, mixes)[0]), 0
    return 0, 1


def expected_made_ds(
    snapshot: Snapshot, run: RunningBlock, offset_base_ds: int, made_s: float | None
) -> int:
    """Give when a drink of a begun block is, or is expected to be, made."""
    if made_s is not None:
        return to_ds(made_s)
    pace = snapshot.counter.by_person[run.person].pace_pct
    computed = run.start_ds + paced_ds(offset_base_ds, pace)
    return min(computed, 0) if run.is_done else max(computed, OVERRUN_DS)


def _held(
    snapshot: Snapshot,
    rows: _InHandRows,
    resource: int,
    hold: Hold,
    work: Work,
    running: dict[int, RunningBlock],
    tail_of: dict[int, int],
) -> None:
    """Write down one hold of a build in hand: already known, or ending with a pending tail."""
    if hold.to_block in tail_of:
        since = hold.from_base_ds if hold.from_block == hold.to_block else -1
        rows.tail_holds[tail_of[hold.to_block]].append(
            (resource, since, hold.to_base_ds, hold.extra_ds)
        )
        return
    paces = {person.id: person.pace_pct for person in snapshot.counter.people}
    begun, ended = running[hold.from_block], running[hold.to_block]
    since = begun.start_ds + paced_ds(hold.from_base_ds, paces[begun.person])
    until = ended.start_ds + paced_ds(hold.to_base_ds, paces[ended.person])
    if hold.to_base_ds == work.blocks[hold.to_block].base_ds:
        until = ended.end_ds
    until += hold.extra_ds
    if until > 0 and until > since:
        rows.held.append((resource, since, until))
