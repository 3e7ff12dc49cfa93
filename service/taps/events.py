"""What happens at a bar: glass in a well, a keg blown, people and vessels off and back, flame."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from service.errors import BadTicket, Conflict, NotFound, did_you_mean
from service.night.flames import flames_now, off_words
from service.night.marks import SHARED, VESSEL_FIELDS, mix_now
from service.night.records import DrinkState, Mark, MarkKind
from service.night.state import Draft
from solver.counter import Vessel

from .said import Said, names_of, person_of, station_words
from .stock import Stock, set_stock


class Happening(StrEnum):
    """Events that somebody can post."""

    GLASS_IN_WELL = "glass_in_well"
    WELL_BACK = "well_back"
    WELL_FILLED = "well_filled"
    KEG_BLOWN = "keg_blown"
    KEG_BACK = "keg_back"
    PERSON_OFF = "person_off"
    PERSON_ON = "person_on"
    VESSEL_OUT = "vessel_out"
    VESSEL_BACK = "vessel_back"
    FLAME = "flame"
    GLASSES = "glasses"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event with what it is about; fields an event does not need stay empty."""

    event: Happening
    station: str = ""
    ice: str = ""
    ingredient: str = ""
    person: str = ""
    vessel: str = ""
    glass: str = ""
    count: int = 1
    clean: int | None = None
    chilled: int = 0
    washing: int = 0
    minutes: float | None = None
    allowed: bool | None = None


STANDS = timedelta(minutes=15)
"""A made drink that nobody tapped gone is taken to stand at the bar this long; common practice."""

A_SHIFT = timedelta(hours=12)
"""How long it counts that somebody said they are on the floor."""

KEG_MINUTES = 5.0
"""A keg changed by a barback, where nobody says how long; common practice."""

NEEDS: dict[Happening, tuple[str, ...]] = {
    Happening.GLASS_IN_WELL: ("ice",),
    Happening.WELL_BACK: ("ice",),
    Happening.WELL_FILLED: ("ice",),
    Happening.KEG_BLOWN: ("ingredient",),
    Happening.KEG_BACK: ("ingredient",),
    Happening.PERSON_OFF: ("person",),
    Happening.PERSON_ON: ("person",),
    Happening.VESSEL_OUT: ("station", "vessel"),
    Happening.VESSEL_BACK: ("station", "vessel"),
    Happening.FLAME: ("allowed",),
    Happening.GLASSES: ("glass", "clean"),
}


def happen(draft: Draft, event: Event) -> Said:
    """Take an event into the bar's state."""
    missing = [name for name in NEEDS[event.event] if getattr(event, name) in ("", None)]
    if missing:
        raise BadTicket(
            f"expected {' and '.join(missing)} with {event.event.value}; came nothing",
            errors=[{"path": f"/{name}", "detail": "missing"} for name in missing],
        )
    return _DO[event.event](draft, event)


def _glass_in_well(draft: Draft, event: Event) -> Said:
    key, words = _well(draft, event)
    beside = _beside(draft, event)
    draft.put(Mark(kind=MarkKind.WELL_OUT, key=key, since=draft.now, drinks=beside))
    bin_them = names_of(draft.drinks[name] for name in beside)
    said = f"glass in the {words}: out at once; empty it, melt what is left, wipe it"
    said += f"; bin and make anew what stands beside it: {bin_them}" if bin_them else ""
    return Said(words=said, drinks=beside)


def _well_back(draft: Draft, event: Event) -> Said:
    key, words = _well(draft, event)
    if draft.mark(MarkKind.WELL_OUT, key) is None:
        raise Conflict(f"expected a well that is out; the {words} is not")
    draft.drop("mark", f"{MarkKind.WELL_OUT.value} {key}")
    return Said(words=f"{words} is back")


def _well_filled(draft: Draft, event: Event) -> Said:
    key, words = _well(draft, event)
    draft.put(Mark(kind=MarkKind.WELL_FILLED, key=key, since=draft.now))
    return Said(words=f"{words} is full")


def _keg_blown(draft: Draft, event: Event) -> Said:
    minutes = KEG_MINUTES if event.minutes is None else event.minutes
    said = set_stock(draft, _tap(draft, event), Stock.BOTTLE_OUT, minutes=minutes, left=None)
    return Said(words=said.words.replace("bottle out", "keg blown"), drinks=said.drinks)


def _keg_back(draft: Draft, event: Event) -> Said:
    return set_stock(draft, _tap(draft, event), Stock.BACK, minutes=None, left=None)


def _person_off(draft: Draft, event: Event) -> Said:
    person = person_of(draft, event.person)
    until = draft.now + timedelta(minutes=event.minutes) if event.minutes else None
    draft.put(Mark(kind=MarkKind.PERSON, key=person, since=draft.now, until=until, number=0))
    held = [
        draft.drinks[name]
        for build in draft.in_hand()
        if build.person == person
        for name in build.drinks
        if draft.drinks[name].is_open
    ]
    words = f"{station_words(draft, person)} is off the floor"
    words += f" for {event.minutes:g} minutes" if event.minutes else ""
    if held:
        words += f"; in hand there: {names_of(held)}; finish it, put it back or say it is made"
    return Said(words=words, drinks=tuple(drink.id for drink in held))


def _person_on(draft: Draft, event: Event) -> Said:
    person = person_of(draft, event.person)
    # Also in what should be a break or after a shift: whoever says so is believed.
    until = draft.now + A_SHIFT
    draft.put(Mark(kind=MarkKind.PERSON, key=person, since=draft.now, until=until, number=1))
    return Said(words=f"{station_words(draft, person)} is on the floor")


def _vessel_out(draft: Draft, event: Event) -> Said:
    key, words, there = _vessel(draft, event)
    before = draft.mark(MarkKind.VESSEL_OUT, key)
    out = (before.number or 0 if before else 0) + event.count
    if out > there:
        raise Conflict(f"expected at most {there} {words}; {out} would be out")
    draft.put(Mark(kind=MarkKind.VESSEL_OUT, key=key, since=draft.now, number=out))
    return Said(words=f"{out} of {there} {words} out")


def _vessel_back(draft: Draft, event: Event) -> Said:
    key, words, there = _vessel(draft, event)
    before = draft.mark(MarkKind.VESSEL_OUT, key)
    out = (before.number or 0 if before else 0) - event.count
    if out < 0:
        raise Conflict(f"expected {event.count} {words} to be out; fewer are")
    draft.drop("mark", f"{MarkKind.VESSEL_OUT.value} {key}")
    if out:
        draft.put(Mark(kind=MarkKind.VESSEL_OUT, key=key, since=draft.now, number=out))
    return Said(words=f"{there - out} of {there} {words} here")


def _flame(draft: Draft, event: Event) -> Said:
    allowed = bool(event.allowed)
    if allowed and not draft.bar.counter.flame.allowed:
        raise Conflict(
            "flame is off in this house: only the counter's own settings can allow it, where "
            "local codes and licensed practice do"
        )
    draft.drop("mark", f"{MarkKind.FLAME.value} house")
    if not allowed:
        draft.put(Mark(kind=MarkKind.FLAME, key="house", since=draft.now, number=0))
    if allowed:
        return Said(words="flame is on again")
    flames = flames_now(draft.state, draft.now)
    drinks = tuple(drink for flame in flames for drink in flame.drinks)
    return Said(words=off_words(flames, draft.now), drinks=drinks)


def _glasses(draft: Draft, event: Event) -> Said:
    glasses = draft.bar.counter.by_glass
    if event.glass not in glasses:
        raise NotFound(
            f"expected a glass of the counter; came {event.glass!r}"
            f"{did_you_mean(event.glass, glasses)}"
        )
    name = glasses[event.glass].name
    clean, key = event.clean or 0, event.glass
    draft.put(
        Mark(kind=MarkKind.GLASSES, key=key, since=draft.now, number=clean, more=event.chilled)
    )
    draft.drop("mark", f"{MarkKind.GLASSES_WASHING.value} {key}")
    words = f"{name}: {clean} clean, {event.chilled} chilled"
    if event.washing:
        back = draft.now + timedelta(minutes=event.minutes if event.minutes is not None else 3.0)
        draft.put(
            Mark(
                kind=MarkKind.GLASSES_WASHING,
                key=key,
                since=draft.now,
                until=back,
                number=event.washing,
            )
        )
        words += f", {event.washing} in the washer"
    return Said(words=words)


def _well(draft: Draft, event: Event) -> tuple[str, str]:
    """Give a well's key and name, or say 404 with the wells there are."""
    counter = draft.bar.counter
    wells = {
        f"{s.id}/{w.ice.value}": f"{w.ice.value} ice of {s.name or s.id}"
        for s in counter.stations
        for w in s.wells
    } | {f"{SHARED}/{w.ice.value}": f"shared {w.ice.value} ice" for w in counter.shared_wells}
    key = f"{event.station or SHARED}/{event.ice}"
    if key not in wells:
        raise NotFound(f"expected a well ({', '.join(wells)}); came {key!r}")
    return key, wells[key]


def _beside(draft: Draft, event: Event) -> tuple[str, ...]:
    """Give the drinks that stand beside a well: in hand or made at its station, or with its ice."""
    state, people = draft.state, draft.bar.counter.by_person
    made_by = {
        name: build.person
        for build in sorted(draft.builds.values(), key=lambda b: (b.stretches[0].started_at, b.id))
        for name in build.drinks
    }
    found = []
    for name in dict.fromkeys((*made_by, *sorted(draft.drinks))):
        drink = draft.drinks.get(name)
        if drink is None:
            continue
        is_new = drink.made_at is None or draft.now - drink.made_at <= STANDS
        if drink.state not in (DrinkState.IN_HAND, DrinkState.MADE) or not is_new:
            continue
        mix, person = mix_now(state, drink), people.get(made_by.get(name, ""))
        takes = mix is not None and event.ice in (mix.ice.value, mix.serve_ice.value)
        if takes if not event.station else person and person.station == event.station:
            found.append(name)
    return tuple(found)


def _tap(draft: Draft, event: Event) -> str:
    taps = draft.bar.counter.taps
    if event.ingredient not in taps:
        raise NotFound(
            f"expected something on tap ({', '.join(taps) or 'nothing is'}); came "
            f"{event.ingredient!r}{did_you_mean(event.ingredient, taps)}"
        )
    return event.ingredient


def _vessel(draft: Draft, event: Event) -> tuple[str, str, int]:
    stations = draft.bar.counter.by_station
    if event.station not in stations:
        raise NotFound(
            f"expected a station ({', '.join(stations)}); came {event.station!r}"
            f"{did_you_mean(event.station, stations)}"
        )
    kinds = {vessel.value: vessel for vessel in Vessel}
    if event.vessel not in kinds:
        raise NotFound(f"expected a vessel ({', '.join(kinds)}); came {event.vessel!r}")
    station = stations[event.station]
    there = getattr(station, VESSEL_FIELDS[kinds[event.vessel]])
    words = f"{event.vessel.replace('_', ' ')} of {station.name or station.id}"
    return f"{event.station}/{event.vessel}", words, there


_DO: dict[Happening, Callable[[Draft, Event], Said]] = {
    Happening.GLASS_IN_WELL: _glass_in_well,
    Happening.WELL_BACK: _well_back,
    Happening.WELL_FILLED: _well_filled,
    Happening.KEG_BLOWN: _keg_blown,
    Happening.KEG_BACK: _keg_back,
    Happening.PERSON_OFF: _person_off,
    Happening.PERSON_ON: _person_on,
    Happening.VESSEL_OUT: _vessel_out,
    Happening.VESSEL_BACK: _vessel_back,
    Happening.FLAME: _flame,
    Happening.GLASSES: _glasses,
}
