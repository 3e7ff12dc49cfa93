"""The log of a night, written when it is over."""

from __future__ import annotations

from solver.tickets import Channel

from .bar import PASS, WASHER, Bar
from .holding import kind_of
from .night import (
    DrinkEnd,
    DrinkLog,
    Night,
    PersonLog,
    PlanningLog,
    ResourceKind,
    RoundLog,
    UseLog,
    WaitLog,
    WaitsFor,
)
from .records import DrinkNow, PersonNow, RoundNow
from .scenario import Policy

_POST_OF = {Channel.FLOOR: "service_well", Channel.BAR_TOP: "bar_top"}


def written(bar: Bar, policy: Policy, seed: int, planning: PlanningLog) -> Night:
    """Write the night down."""
    scenario = bar.scenario
    for person in bar.people.values():
        if person.is_on:
            person.on.add(person.on_since_ms, bar.now)
    for stuff in (*bar.stuff.values(), bar.washer, bar.on_pass):
        stuff.close()
    for round_ in bar.rounds:
        _count_waits(bar, round_)
    return Night(
        scenario=scenario.name,
        house=bar.rush.house.name or bar.rush.house.id,
        policy=policy,
        seed=seed,
        doors=scenario.doors,
        counted_from_s=scenario.counted_from_s,
        last_orders_s=scenario.last_orders_s,
        hard_stop_s=scenario.hard_stop_s,
        ended_s=bar.now / 1000,
        num_quarters=bar.num_quarters,
        rounds=tuple(_round(bar, round_) for round_ in bar.rounds),
        people=tuple(_person(one) for one in bar.people.values()),
        uses=_uses(bar),
        waits=tuple(
            WaitLog(what=what, name=name, waited_s=tally.seconds)
            for (what, name), tally in sorted(bar.waits.items(), key=lambda row: row[0])
            if not tally.is_empty
        ),
        wells=bar.wells.logs(),
        glasses=bar.glasses.logs(),
        used=bar.shelf.logs(),
        in_system=bar.in_system.seconds,
        open_drinks=bar.open_drinks.seconds,
        planning=planning,
        mishaps=tuple(bar.mishaps),
    )


def _count_waits(bar: Bar, round_: RoundNow) -> None:
    """Share out what each drink of a round waited: first what was missing, the rest for hands."""
    for drink in round_.drinks:
        until_ms = drink.begun_ms
        if until_ms is None:
            until_ms = bar.now if drink.ended_ms is None else drink.ended_ms
        at_ms = drink.ordered_ms
        for since_ms, to_ms, what, name in sorted(drink.waited, key=lambda row: row[:2]):
            begin_ms, end_ms = max(since_ms, at_ms), min(to_ms, until_ms)
            if end_ms > begin_ms:
                bar.count_wait(WaitsFor.HANDS, _hands(bar, drink), at_ms, begin_ms)
                bar.count_wait(what, name, begin_ms, end_ms)
                at_ms = end_ms
        bar.count_wait(WaitsFor.HANDS, _hands(bar, drink), at_ms, until_ms)
        if drink.made_ms is not None and round_.last_made_ms is not None:
            bar.count_wait(WaitsFor.ROUND, round_.channel.value, drink.made_ms, round_.last_made_ms)


def _hands(bar: Bar, drink: DrinkNow) -> str:
    """Name whose hands a drink waits for: the station that pours for its channel, or all."""
    post = _POST_OF[drink.round.channel]
    found = [station.id for station in bar.counter.stations if post in station.posts]
    return found[0] if len(found) == 1 else drink.round.channel.value


def _round(bar: Bar, one: RoundNow) -> RoundLog:
    return RoundLog(
        ticket=one.id,
        number=one.number,
        place=one.coming.place,
        channel=one.channel,
        placed_s=one.placed_ms / 1000,
        promise_s=one.promise_s,
        last_made_s=_s(one.last_made_ms),
        gave_up_s=_s(one.gave_up_ms),
        served_s=_s(one.served_ms),
        gone_s=_s(one.gone_ms),
        over_s=_s(one.over_ms),
        overtaken=one.overtaken,
        is_counted=one.placed_ms >= bar.scenario.counted_from_s * 1000,
        drinks=tuple(_drink(bar, drink, one) for drink in one.drinks),
    )


def _drink(bar: Bar, one: DrinkNow, round_: RoundNow) -> DrinkLog:
    build = one.build
    sat_ms = 0
    if one.end is DrinkEnd.MADE and one.made_ms is not None and round_.last_made_ms is not None:
        sat_ms = round_.last_made_ms - one.made_ms
    changes = f" ({', '.join(one.mix.changes)})" if one.mix.changes else ""
    return DrinkLog(
        id=one.id,
        ticket=round_.id,
        mix=one.mix.name + changes,
        recipe=one.line.recipe,
        method=one.mix.method.value,
        ordered_s=one.ordered_ms / 1000,
        end=one.end,
        begun_s=_s(one.begun_ms),
        made_s=_s(one.made_ms),
        ended_s=_s(one.ended_ms),
        sat_s=sat_ms / 1000,
        hold_limit_s=one.mix.hold_limit_s,
        build="" if build is None else build.id,
        person="" if build is None else build.person,
        station="" if build is None else bar.people[build.person].person.station,
        num_together=0 if build is None else len(build.drinks),
        is_remake=one.is_remake,
    )


def _person(one: PersonNow) -> PersonLog:
    making = tuple(
        total - stood
        for total, stood in zip(one.making.seconds, one.stood_in_build.seconds, strict=True)
    )
    return PersonLog(
        person=one.id,
        station=one.person.station,
        on_s=one.on.seconds,
        making_s=making,
        serving_s=one.serving.seconds,
        errand_s=one.errand.seconds,
        standing_s=one.standing.seconds,
        num_builds=one.num_builds,
        num_drinks=one.num_drinks,
    )


def _uses(bar: Bar) -> tuple[UseLog, ...]:
    rows = []
    for station in bar.counter.stations:
        here = [one for one in bar.people.values() if one.person.station == station.id]
        busy = [0.0] * max(1, bar.num_quarters)
        for one in here:
            for tally in (one.making, one.serving, one.errand):
                busy = [a + b for a, b in zip(busy, tally.seconds, strict=True)]
        rows.append(
            UseLog(
                name=f"station@{station.id}",
                kind=ResourceKind.STATION,
                capacity=len(here),
                held_s=tuple(round(s, 3) for s in busy),
                most_held=len(here),
            )
        )
    for name, stuff in bar.stuff.items():
        rows.append(
            UseLog(
                name=name,
                kind=kind_of(name),
                capacity=stuff.capacity,
                held_s=stuff.tally.seconds,
                most_held=stuff.most,
            )
        )
    rows.append(
        UseLog(
            name=WASHER,
            kind=ResourceKind.WASHER,
            capacity=0,
            held_s=bar.washer.tally.seconds,
            most_held=bar.washer.most,
        )
    )
    rows.append(
        UseLog(
            name=PASS,
            kind=ResourceKind.PASS,
            capacity=bar.counter.rules.pass_room,
            held_s=bar.on_pass.tally.seconds,
            most_held=bar.on_pass.most,
        )
    )
    return tuple(rows)


def _s(ms: int | None) -> float | None:
    return None if ms is None else ms / 1000
