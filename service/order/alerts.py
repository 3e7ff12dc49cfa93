"""What the whole bar should know now, as sentences, from what people tapped."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from service.api.models import Alert
from service.night.flames import flames_of, left_words, off_words, overlaps
from service.night.hours import break_until
from service.night.marks import SHARED, off_the_floor, shortages
from service.night.records import DrinkState, Mark, MarkKind, OrderRecord
from service.night.state import BarState
from service.night.wells import low_wells
from service.taps.notes import alert_id, paper_of, words_of
from solver.snapshot import Rail, Snapshot


def alerts_of(
    state: BarState, snapshot: Snapshot, rail: Rail, order: OrderRecord
) -> tuple[Alert, ...]:
    """Give the alerts of a bar.

    Parameters
    ----------
    state : BarState
    snapshot, rail
        Of the order's moment.
    order : OrderRecord
        The order they stand in; its trouble is an alert.
    """
    now = order.moment
    found = [Alert(kind="plan", words=order.trouble)] if order.trouble else []
    found += [
        Alert(kind="well", words=_well(state, mark), drinks=mark.drinks)
        for mark in state.marks_of(MarkKind.WELL_OUT, now)
    ]
    found += [Alert(kind="well", words=words) for words in _low_wells(state, now)]
    found += _flames(state, snapshot, rail, now)
    found += [Alert(kind="stock", words=words) for words in _stock(state, now)]
    for mark in state.marks_of(MarkKind.VESSEL_OUT, now):
        station, vessel = mark.key.split("/")
        words = f"{mark.number} {vessel.replace('_', ' ')} of {_station(state, station)} out"
        found.append(Alert(kind="vessel", words=words))
    found += [Alert(kind="person", words=words) for words in _people(state, now)]
    found += [Alert(kind="hours", words=words) for words in _hours(state, snapshot, now)]
    found += _prints(state, now)
    num_unread = sum(line.is_unread for t in state.unread_tickets() for line in t.lines)
    if num_unread:
        lines = "1 line" if num_unread == 1 else f"{num_unread} lines"
        found.append(Alert(kind="unread", words=f"{lines} of a ticket cannot be read"))
    return tuple(found)


def _prints(state: BarState, now: datetime) -> list[Alert]:
    """Say what is wrong with tills, their prints and printers; somebody can tap it away."""
    kinds: dict[MarkKind, Literal["print", "gap", "printer", "clock"]] = {
        MarkKind.PRINT: "print",
        MarkKind.GAP: "gap",
        MarkKind.PRINTER: "printer",
        MarkKind.CLOCK: "clock",
    }
    return [
        Alert(
            kind=kind,
            words=words_of(mark),
            drinks=mark.drinks,
            id=alert_id(mark),
            print=mark.key if kind == "print" else "",
            can_be_taken=kind == "print" and bool(mark.number),
            second=_second(state, mark),
            lines=paper_of(mark),
        )
        for of, kind in kinds.items()
        for mark in state.marks_of(of, now)
        if not _is_settled(state, mark)
    ]


def _is_settled(state: BarState, mark: Mark) -> bool:
    """Whether nothing is left to say: the clock was seen, the second print was taken off."""
    if mark.kind is MarkKind.CLOCK:
        return not mark.words
    drinks = [state.drinks.get(drink) for drink in mark.drinks]
    is_off = all(drink is None or drink.state is DrinkState.VOID for drink in drinks)
    return _asks_of_second(mark) and bool(drinks) and is_off


def _second(state: BarState, mark: Mark) -> str:
    """Give the ticket that may be a second print, while something of it is to be made."""
    drinks = [state.drinks.get(drink) for drink in mark.drinks] if _asks_of_second(mark) else []
    return next((drink.ticket for drink in drinks if drink is not None and drink.is_open), "")


def _asks_of_second(mark: Mark) -> bool:
    return mark.kind is MarkKind.PRINT and bool(mark.more)


def _flames(state: BarState, snapshot: Snapshot, rail: Rail, now: datetime) -> list[Alert]:
    flames = flames_of(state, snapshot, rail)
    said: list[tuple[str, tuple[str, ...]]] = []
    if not snapshot.counter.flame.allowed and (flames or state.marks_of(MarkKind.FLAME, now)):
        said.append((off_words(flames, now), tuple(d for flame in flames for d in flame.drinks)))
    said += [(left_words(state, now, rail, flame), flame.drinks) for flame in flames]
    for one, other in overlaps(flames, now):
        words = f"two flames at once: {one.words} and {other.words}; one waits until one is out"
        said.append((words, (*one.drinks, *other.drinks)))
    return [Alert(kind="flame", words=words, drinks=drinks) for words, drinks in said if words]


def _people(state: BarState, now: datetime) -> list[str]:
    off, zone = off_the_floor(state, now), ZoneInfo(state.bar.timezone)
    said = []
    for person in state.bar.counter.people:
        where = _station(state, person.station)
        if (mark := off.get(person.id)) is not None:
            back = f" until {mark.until.astimezone(zone):%H:%M}" if mark.until else ""
            said.append(f"{where} is off the floor{back}")
        elif (until := break_until(state, person, now)) is not None:
            said.append(f"{where} has a break until {until.astimezone(zone):%H:%M}")
    return said


SOON_S = 1800.0
"""The end of service is said this long before."""


def _hours(state: BarState, snapshot: Snapshot, now: datetime) -> list[str]:
    zone, said = ZoneInfo(state.bar.timezone), []
    for at_s, soon, over in (
        (snapshot.last_orders_s, "last orders at", "last orders were at"),
        (snapshot.hard_stop_s, "nothing is made after", "service ended at"),
    ):
        if at_s is not None and at_s < SOON_S:
            at = (now + timedelta(seconds=at_s)).astimezone(zone)
            said.append(f"{soon if at_s > 0 else over} {at:%H:%M}")
    return said


def _stock(state: BarState, now: datetime) -> list[str]:
    said = []
    for short in shortages(state, now):
        name = state.bar.menu.ingredient(short.ingredient).name
        if short.back_s is not None:
            said.append(f"{name}: bottle out, somebody fetches one")
        elif short.left:
            said.append(f"{name}: enough for {short.left} more")
        else:
            said.append(f"{name} is 86")
    return said


def _low_wells(state: BarState, now: datetime) -> list[str]:
    said = []
    for level in low_wells(state, now):
        where = level.station.name or level.station.id
        left = f"about {level.drinks_left} drinks left" if level.drinks_left else "about empty"
        said.append(f"{level.well.ice.value} ice of {where}: {left}; have it filled")
    return said


def _well(state: BarState, mark: Mark) -> str:
    station, ice = mark.key.split("/")
    where = "shared well" if station == SHARED else _station(state, station)
    return f"glass in the {ice} ice of {where}: out until it is emptied, melted and wiped"


def _station(state: BarState, station_id: str) -> str:
    station = state.bar.counter.by_station.get(station_id)
    return station.name or station.id if station else station_id
