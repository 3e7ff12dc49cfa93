"""What may stand in a drink's way, fact by fact, and the snapshot with a fact put right."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from solver.counter import Station
from solver.errors import BadValue
from solver.snapshot import Presence, Snapshot
from solver.tickets import Drink, Ticket

Change = Callable[[Snapshot], Snapshot]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing that is so and may keep a drink from being made.

    Attributes
    ----------
    words : str
        The fact, as it is said at the bar: "Rye is 86".
    to_mend : str
        What would put it right: "more Rye".
    put_right : callable
        Gives a snapshot in which it is put right.
    """

    words: str
    to_mend: str
    put_right: Change


def mend(snapshot: Snapshot, facts: Iterable[Fact]) -> Snapshot:
    """Give the snapshot with these facts put right."""
    for fact in facts:
        snapshot = fact.put_right(snapshot)
    return snapshot


def find(snapshot: Snapshot, drink_id: str) -> tuple[Ticket, Drink]:
    """Give a drink and its ticket.

    Raises
    ------
    BadValue
        When the snapshot has no such drink.
    """
    for ticket in snapshot.tickets:
        for drink in ticket.drinks:
            if drink.id == drink_id:
                return ticket, drink
    raise BadValue("a drink of the snapshot", drink_id)


def place(station: Station) -> str:
    """Say a station."""
    return station.name or station.id


def on_counter(**fields: Any) -> Change:  # noqa: ANN401 (fields of `Counter`)
    """Change fields of the counter."""
    return lambda s: replace(s, counter=replace(s.counter, **fields))


def at_station(station_id: str, change: Callable[[Station], Station]) -> Change:
    """Change one station."""

    def changed(snapshot: Snapshot) -> Snapshot:
        stations = tuple(
            change(one) if one.id == station_id else one for one in snapshot.counter.stations
        )
        return on_counter(stations=stations)(snapshot)

    return changed


def of_person(person_id: str, **fields: Any) -> Change:  # noqa: ANN401 (fields of `Person`)
    """Change one person."""

    def changed(snapshot: Snapshot) -> Snapshot:
        people = tuple(
            replace(one, **fields) if one.id == person_id else one
            for one in snapshot.counter.people
        )
        return on_counter(people=people)(snapshot)

    return changed


def of_glass(glass_id: str, clean: int) -> Change:
    """Have this many clean glasses of a kind."""

    def changed(snapshot: Snapshot) -> Snapshot:
        glasses = tuple(
            replace(one, clean=clean) if one.id == glass_id else one
            for one in snapshot.counter.glasses
        )
        return on_counter(glasses=glasses)(snapshot)

    return changed


def of_ticket(ticket_id: str, change: Callable[[Ticket], Ticket]) -> Change:
    """Change one ticket."""
    return lambda s: replace(
        s, tickets=tuple(change(one) if one.id == ticket_id else one for one in s.tickets)
    )


def without_shortage(ingredient: str) -> Change:
    """Have enough of an ingredient."""
    return lambda s: replace(
        s, short=tuple(short for short in s.short if short.ingredient != ingredient)
    )


def with_person(person_id: str) -> Change:
    """Have a person on the floor."""
    return lambda s: replace(s, people_on=(*s.people_on, Presence(person=person_id)))
