"""Plausible moments of a busy bar, the same for the same seed: what plan quality is measured on.

Guests come as on the Friday of `solver.rush`; the oldest of a full rail has waited about as long
as the house promises. Every bartender mostly has a build in hand that began 10 to 30 s ago.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.files.bars import Bar
from solver.builds import build_id, loads_of, why_not_here, why_not_together
from solver.errors import BadValue
from solver.rush.arrivals import BUSIEST_S, Arrival, friday
from solver.snapshot import (
    BlockRun,
    InHand,
    Presence,
    RailDrink,
    Snapshot,
    num_open_drinks,
    rail_of,
    why_not_by,
)
from solver.tickets import Channel, Drink, Line, Ticket, glasses_each, mix_of, promise_s
from solver.units import paced_ds, to_s
from solver.work import setups, work_of

MOMENT = "2025-02-07T22:20:00Z"
"""A Friday; a label that no plan depends on."""

FIRST_NUMBER = 201
MADE_BEFORE = 0.3
HAS_A_BUILD_IN_HAND = 0.8
LEAST_BLOCK_S = 20.0
BEGAN_S = (10.0, 30.0)


def random_snapshot(bar: Bar, seed: int, open_drinks: int, bartenders: int) -> Snapshot:
    """Give one moment of a bar.

    Parameters
    ----------
    bar : Bar
    seed : int
        The same seed gives the same moment.
    open_drinks : int
        Drinks that are not made yet, those in hand included.
    bartenders : int
        How many of the counter's people are on, the first ones.

    Raises
    ------
    BadValue
        When the counter has fewer people, or nothing is open.
    """
    people = bar.counter.people
    if not 1 <= bartenders <= len(people):
        raise BadValue(f"1 to {len(people)} bartenders of {bar.name}", bartenders)
    if open_drinks < 1:
        raise BadValue("1 or more open drinks", open_drinks)
    rng = random.Random(seed)
    empty = Snapshot(
        bar=bar.id,
        moment=MOMENT,
        menu=bar.menu,
        standards=bar.standards,
        counter=bar.counter,
        people_on=tuple(Presence(person=person.id) for person in people[:bartenders]),
        tickets=(),
    )
    rounds = list(_rounds(empty, rng, open_drinks))
    oldest_s = bar.counter.rules.promise_bar_top_s * min(1.0, open_drinks / (8 * bartenders))
    tickets = _tickets(empty, rounds, oldest_s * rng.uniform(0.75, 1.0), rng)
    return with_builds_in_hand(replace(empty, tickets=tickets), rng)


def with_builds_in_hand(
    snapshot: Snapshot, rng: random.Random, chance: float = HAS_A_BUILD_IN_HAND
) -> Snapshot:
    """Put a build of the oldest drinks into most bartenders' hands.

    Only builds that hold nothing but their own station's vessels, so that no two of them want
    the same tap, blender or bottle.
    """
    taken: set[str] = set()
    found: list[InHand] = []
    rail = rail_of(snapshot).drinks
    for present in snapshot.people_on:
        if rng.random() >= chance:
            continue
        drinks = next_for(snapshot, rail, present.person, taken)
        if not drinks:
            continue
        person = snapshot.counter.by_person[present.person]
        main = work_of(snapshot, person.id, drinks).blocks[0]
        lasts_s = to_s(paced_ds(main.base_ds, person.pace_pct))
        began_s = round(rng.uniform(BEGAN_S[0], min(BEGAN_S[1], 0.8 * lasts_s)), 1)
        ids = tuple(drink.id for drink in drinks)
        taken.update(ids)
        run = BlockRun(index=0, person=person.id, start_s=-began_s)
        found.append(
            InHand(
                build=build_id(ids),
                person=person.id,
                drinks=ids,
                blocks=(run,),
                chilled_by_ice=tuple(d.id for d in drinks if d.mix.chill_by_ice),
            )
        )
    return replace(snapshot, in_hand=tuple(found))


def next_for(
    snapshot: Snapshot, rail: Sequence[RailDrink], person: str, taken: set[str]
) -> list[RailDrink]:
    """Give the drinks of the oldest round that this person would take up together; may be none."""
    free = [d for d in rail if d.id not in taken and person in d.people and not d.release_ds]
    for first in free:
        build = [first]
        for other in free:
            if other.ticket == first.ticket and other is not first:
                tried = _finishing_order([*build, other])
                build = tried if _may_share(snapshot, person, tried) else build
        work = work_of(snapshot, person, build)
        pace = snapshot.counter.by_person[person].pace_pct
        is_own = all("@" in hold.resource for hold in work.holds)
        if is_own and to_s(paced_ds(work.blocks[0].base_ds, pace)) >= LEAST_BLOCK_S:
            return build
    return []


def _may_share(snapshot: Snapshot, person: str, drinks: Sequence[RailDrink]) -> bool:
    counter = snapshot.counter
    station = counter.by_station[counter.by_person[person].station]
    mixes = [drink.mix for drink in drinks]
    bottles = {
        name
        for mix in mixes
        for name in setups(snapshot, station, mix)
        if name.startswith("reach:")
    }
    alone = [drink.is_alone for drink in drinks]
    loads = loads_of([drink.id for drink in drinks], mixes)
    return not (
        why_not_together(counter.rules, mixes, alone, len(bottles))
        or why_not_here(counter, station, loads)
    )


def _finishing_order(drinks: Sequence[RailDrink]) -> list[RailDrink]:
    """Put drinks of one mix together, in order of first appearance."""
    groups: dict[object, list[RailDrink]] = {}
    for drink in drinks:
        groups.setdefault(drink.mix, []).append(drink)
    return [drink for group in groups.values() for drink in group]


def _rounds(
    empty: Snapshot, rng: random.Random, open_drinks: int
) -> Iterator[tuple[Arrival, tuple[Line, ...], int]]:
    """Give rounds until so many drinks are open: arrival, lines, and how many are made already."""
    left = open_drinks
    for arrival in friday(empty.menu, seed=rng.randrange(2**31), from_s=BUSIEST_S / 2, scale=2.0):
        lines: list[Line] = []
        room = left
        for line in arrival.lines:
            glasses = glasses_each(empty.menu, line)
            fits = min(line.quantity, room // glasses)
            if fits and _can_be_made(empty, line, open_drinks):
                lines.append(replace(line, quantity=fits))
                room -= fits * glasses
        if not lines:
            continue
        is_older_half = left > open_drinks / 2
        has_two = left - room > 1
        made = 1 if is_older_half and has_two and rng.random() < MADE_BEFORE else 0
        yield arrival, tuple(lines), made
        left = room + made
        if not left:
            return


def _can_be_made(empty: Snapshot, line: Line, open_drinks: int) -> bool:
    mix = mix_of(empty.menu, line)
    flame = empty.counter.flame
    if mix.has_flame and (not flame.allowed or open_drinks > flame.off_above_open_drinks):
        return False
    people = [empty.counter.by_person[present.person] for present in empty.people_on]
    return any(not why_not_by(empty, person, mix) for person in people)


def _tickets(
    empty: Snapshot,
    rounds: Sequence[tuple[Arrival, tuple[Line, ...], int]],
    oldest_s: float,
    rng: random.Random,
) -> tuple[Ticket, ...]:
    first_s, last_s = rounds[0][0].at_s, rounds[-1][0].at_s
    newest_s = min(rng.uniform(2.0, 20.0), oldest_s)
    stretch = (oldest_s - newest_s) / max(1.0, last_s - first_s)
    return tuple(
        ticket_of(
            empty,
            number=FIRST_NUMBER + index,
            channel=arrival.channel,
            place=arrival.place,
            age_s=newest_s + (last_s - arrival.at_s) * stretch,
            lines=lines,
            made=made,
        )
        for index, (arrival, lines, made) in enumerate(rounds)
    )


def ticket_of(  # noqa: PLR0913 (a ticket has that many sides)
    snapshot: Snapshot,
    *,
    number: int,
    channel: Channel,
    place: str,
    age_s: float,
    lines: tuple[Line, ...],
    made: int = 0,
) -> Ticket:
    """Give a ticket with its drinks, the first `made` of them made half its age ago."""
    methods = frozenset(mix_of(snapshot.menu, line).method for line in lines)
    each = [
        index
        for index, line in enumerate(lines)
        for _ in range(line.quantity * glasses_each(snapshot.menu, line))
    ]
    return Ticket(
        id=f"t-{number}",
        number=str(number),
        channel=channel,
        place=place,
        placed_s=-round(age_s, 1),
        promise_s=promise_s(snapshot.counter.rules, channel, methods),
        lines=lines,
        drinks=tuple(
            Drink(
                id=f"t-{number}-{n}",
                line=index,
                made_s=-round(age_s / 2, 1) if n <= made else None,
            )
            for n, index in enumerate(each, start=1)
        ),
    )


def check_open(snapshot: Snapshot, open_drinks: int) -> Snapshot:
    """Refuse a snapshot with another number of open drinks than it is named for (`BadValue`)."""
    if num_open_drinks(snapshot) != open_drinks:
        raise BadValue(f"{open_drinks} open drinks", num_open_drinks(snapshot))
    return snapshot
