"""What marks mean: small facts that somebody tapped, taken into the counter a plan is made for.

========================  ==========================  ======================  ===================
kind                      key                         number                  more
========================  ==========================  ======================  ===================
stock                     ingredient                  left (0: 86), or None
well_out                  station or shared / ice
well_filled               station or shared / ice
vessel_out                station / vessel            how many
person                    person                      0 off the floor, 1 on
flame                     house                       1 allowed, 0 off
glasses                   glass                       clean                   chilled
glasses_washing           glass                       how many come back
washer                    build / number / station
                          / vessel                    how many come back
serving                   person
alias                     recipe or ingredient, word
till                      till, before its numbers    last number seen
gap                       till, first and last        first missing           last missing
print                     id of a print
printer                   what is wrong with it
clock                     till                        minutes ahead of ours
held_up                   till                        minutes a print was
                                                      ahead (below 0)
========================  ==========================  ======================  ===================

The words of an alias are the id it stands for and the word as it was printed; those of a till are
the business day of its last number; those of a print, printer or clock are what an alert says
(none: nothing, or somebody has seen it), and under a print's what stands on the paper. The number
of a print is 1 where it can be taken as it is, its more 1 where it may be a second print.

A stock mark with a time and no number is a bottle on its way. Countdowns are never written down
again: what is left is the number less the drinks made since, so that undo stays simple.
"""

from __future__ import annotations

from collections import Counter as Tally
from dataclasses import replace
from datetime import datetime

from solver.counter import Counter, Station, Vessel
from solver.errors import BadValue
from solver.kept import Kept
from solver.menu import Menu, Mix
from solver.snapshot import GlassesBack, InWasher, Presence, Shortage
from solver.tickets import mix_of
from solver.units import to_ds, to_s

from .records import DrinkRecord, Mark, MarkKind, TicketRecord
from .state import BarState

VESSEL_FIELDS: dict[Vessel, str] = {
    Vessel.TIN_SET: "tin_sets",
    Vessel.MIXING_GLASS: "mixing_glasses",
    Vessel.JAR: "jars",
    Vessel.MUGS: "mugs",
    Vessel.KIT: "kits",
}
SHARED = "shared"
"""Stands for a station in the key of a well that belongs to none."""


def seconds_from(moment: datetime, at: datetime) -> float:
    """Give a time in seconds from a moment, a multiple of 0.1."""
    return to_s(to_ds((at - moment).total_seconds()))


def mix_now(state: BarState, drink: DrinkRecord) -> Mix | None:
    """Give a drink's mix by the menu as it is now; None where the menu does not know it."""
    return mix_of_drink(state.bar.menu, state.tickets[drink.ticket], drink)


def mix_of_drink(menu: Menu, ticket: TicketRecord, drink: DrinkRecord) -> Mix | None:
    """Give the mix of a drink of a ticket; None where the menu does not know it."""
    line = ticket.line_of(drink.line).line
    try:
        return mix_of(menu, line) if line else None
    except BadValue:
        return None


def mixes_made_since(state: BarState, since: datetime) -> list[Mix]:
    """Give the mixes of the drinks made after a time."""
    made = [d for d in state.drinks.values() if d.made_at is not None and d.made_at > since]
    return [mix for drink in made if (mix := mix_now(state, drink)) is not None]


def shortages(state: BarState, now: datetime) -> tuple[Shortage, ...]:
    """Give what is short: bottles on their way, 86s, countdowns less what was made since."""
    found = []
    for mark in state.marks_of(MarkKind.STOCK, now):
        if mark.key not in state.bar.menu.by_ingredient:
            continue
        left = mark.number
        if left:
            made = mixes_made_since(state, mark.since)
            left = max(0, left - sum(mark.key in mix.ingredients for mix in made))
        back_s = seconds_from(now, mark.until) if mark.until else None
        if left is not None or back_s is not None:
            found.append(Shortage(ingredient=mark.key, back_s=back_s, left=left))
    return tuple(found)


def off_the_floor(state: BarState, now: datetime) -> dict[str, Mark]:
    """Give the mark of everybody who is off the floor, by person."""
    return {mark.key: mark for mark in state.marks_of(MarkKind.PERSON, now) if not mark.number}


def people_on(state: BarState, now: datetime) -> tuple[Presence, ...]:
    """Give who is on the floor, and from when; who serves a round is free when it is paid."""
    off = off_the_floor(state, now)
    serving = {mark.key: mark.until for mark in state.marks_of(MarkKind.SERVING, now)}
    found = []
    for person in state.bar.counter.people:
        mark = off.get(person.id)
        if mark is not None and mark.until is None:
            continue
        free_at = mark.until if mark is not None else serving.get(person.id)
        from_s = max(0.0, seconds_from(now, free_at)) if free_at else 0.0
        found.append(Presence(person=person.id, from_s=from_s))
    return tuple(found)


def in_washer(state: BarState, now: datetime) -> tuple[InWasher, ...]:
    """Give the vessels that are in the washer, and when they come back.

    No more than a station has: where more were let go, those that went in first are back already.
    """
    counter, found = state.bar.counter.by_station, []
    for where, lasting in state.index.washing.items():
        name, vessel = where.split("/")
        station = counter.get(name)
        left = station.num_vessels(Vessel(vessel)) if station else 0
        for until, mark in reversed(lasting):
            if until <= now or not left:
                break
            count = min(left, state.marks[mark].number or 1)
            left -= count
            back_s = seconds_from(now, until)
            found.append(InWasher(station=name, vessel=Vessel(vessel), back_s=back_s, count=count))
    return tuple(sorted(found, key=lambda one: (one.back_s, one.station, one.vessel.value)))


def glasses_back(state: BarState, now: datetime) -> tuple[GlassesBack, ...]:
    """Give the glasses that are in the washer, and when they come back."""
    return tuple(
        GlassesBack(glass=mark.key, count=mark.number or 0, back_s=seconds_from(now, mark.until))
        for mark in state.marks_of(MarkKind.GLASSES_WASHING, now)
        if mark.until is not None and mark.key in state.bar.counter.by_glass
    )


def counter_now(state: BarState, now: datetime) -> Counter:
    """Give the counter with what is out taken out of it."""
    counter = state.bar.counter
    wells_out = frozenset(mark.key for mark in state.marks_of(MarkKind.WELL_OUT, now))
    vessels_out = tuple((m.key, m.number or 0) for m in state.marks_of(MarkKind.VESSEL_OUT, now))
    flames = state.marks_of(MarkKind.FLAME, now)
    may_burn = bool(flames[-1].number) if flames else counter.flame.allowed
    if wells_out or vessels_out or may_burn != counter.flame.allowed:
        # The same object for the same marks: what is known of a counter is found again by it.
        known = _without.of(counter)
        out = (wells_out, vessels_out, may_burn)
        if out not in known:
            known[out] = _with_out(counter, wells_out, dict(vessels_out), may_burn=may_burn)
        counter = known[out]
    counted = _glasses_counted(state, now)
    if not counted:
        return counter
    return replace(
        counter,
        glasses=tuple(
            replace(glass, clean=counted[glass.id][0], chilled=counted[glass.id][1])
            if glass.id in counted
            else glass
            for glass in counter.glasses
        ),
    )


_without: Kept[dict[object, Counter]] = Kept(dict, most=32)


def _with_out(
    counter: Counter, wells_out: frozenset[str], vessels_out: dict[str, int], *, may_burn: bool
) -> Counter:
    return replace(
        counter,
        stations=tuple(_station_now(s, wells_out, vessels_out) for s in counter.stations),
        shared_wells=tuple(
            well for well in counter.shared_wells if f"{SHARED}/{well.ice.value}" not in wells_out
        ),
        flame=replace(counter.flame, allowed=may_burn),
    )


def _station_now(
    station: Station, wells_out: frozenset[str], vessels_out: dict[str, int]
) -> Station:
    left = {
        name: max(0, getattr(station, name) - vessels_out.get(f"{station.id}/{vessel.value}", 0))
        for vessel, name in VESSEL_FIELDS.items()
    }
    wells = tuple(w for w in station.wells if f"{station.id}/{w.ice.value}" not in wells_out)
    return replace(station, wells=wells, **left)


def _glasses_counted(state: BarState, now: datetime) -> dict[str, tuple[int, int]]:
    """Give clean and chilled of every glass somebody counted, less the drinks made since."""
    found = {}
    for mark in state.marks_of(MarkKind.GLASSES, now):
        used = Tally(mix.glass for mix in mixes_made_since(state, mark.since))[mark.key]
        from_chilled = min(mark.more or 0, used)
        washed = state.marks.get(f"{MarkKind.GLASSES_WASHING.value} {mark.key}")
        back = 0
        if washed is not None and washed.since >= mark.since and not washed.holds_at(now):
            back = washed.number or 0
        clean = max(0, (mark.number or 0) + back - (used - from_chilled))
        found[mark.key] = (clean, (mark.more or 0) - from_chilled)
    return found
