"""Reads what a manager looks back on: versions of the set-up, whole nights, simulated rushes.

Each function takes the way to read rows from its store and nothing else of it.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from service.night.records import (
    BuildRecord,
    DrinkRecord,
    HouseRecord,
    KeptVersion,
    TicketRecord,
    read,
)

from .contract import Kept, KeptNight, KeptRush

Rows = Callable[..., list[Any]]

MOST_RUSHES = 60
"""Rushes kept of a bar; one is up to a few hundred kB."""

KEEP_RUSH = (
    "INSERT INTO rushes VALUES (?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE"
    " SET state = excluded.state, body = excluded.body"
)
DROP_OLD_RUSHES = (
    "DELETE FROM rushes WHERE bar = ? AND id NOT IN"
    " (SELECT id FROM rushes WHERE bar = ? ORDER BY since DESC, id DESC LIMIT ?)"
)


def versions(rows: Rows, bar: str, part: str) -> list[KeptVersion]:
    """Give the versions kept of a part, newest first, without their bodies and texts."""
    found = rows(
        "SELECT v.version, v.since, coalesce(t.note, '') FROM versions v LEFT JOIN texts t"
        " ON t.bar = v.bar AND t.part = v.part AND t.version = v.version"
        " WHERE v.bar = ? AND v.part = ? ORDER BY v.version DESC",
        *(bar, part),
    )
    return [
        KeptVersion(
            part=part, version=number, since=datetime.fromisoformat(since), body="", note=note
        )
        for number, since, note in found
    ]


def version(rows: Rows, bar: str, part: str, number: int) -> KeptVersion | None:
    """Give one version of a part, whole."""
    found = rows(
        "SELECT v.since, v.body, coalesce(t.text, ''), coalesce(t.note, '') FROM versions v"
        " LEFT JOIN texts t ON t.bar = v.bar AND t.part = v.part AND t.version = v.version"
        " WHERE v.bar = ? AND v.part = ? AND v.version = ?",
        *(bar, part, number),
    )
    if not found:
        return None
    since, body, text, note = found[0]
    return KeptVersion(
        part=part,
        version=number,
        since=datetime.fromisoformat(since),
        body=body,
        text=text,
        note=note,
    )


def house_at(rows: Rows, bar: str, at: datetime) -> HouseRecord | None:
    """Give a bar as it was told at a time; as it was first told, for times before that."""
    heads = rows("SELECT name, timezone, epoch FROM bars WHERE bar = ?", bar)
    if not heads:
        return None
    parts = dict(
        rows(
            "SELECT part, body FROM versions v WHERE bar = ? AND version = coalesce("
            " (SELECT max(version) FROM versions WHERE bar = v.bar AND part = v.part"
            "  AND since <= ?), 1)",
            *(bar, at.isoformat()),
        )
    )
    name, timezone, epoch = heads[0]
    return HouseRecord(bar=bar, name=name, timezone=timezone, epoch=epoch, **parts)


def nights(rows: Rows, bar: str, limit: int) -> list[tuple[str, int]]:
    """Give the business days with tickets, newest first, each with how many."""
    found = rows(
        "SELECT business_day, count(*) FROM tickets WHERE bar = ? GROUP BY business_day"
        " ORDER BY business_day DESC LIMIT ?",
        *(bar, limit),
    )
    return [(str(day), int(count)) for day, count in found]


def night(rows: Rows, bar: str, business_day: str) -> KeptNight:
    """Give all that is kept of a business day."""
    asked = (bar, business_day)
    of_the_day = "SELECT id FROM tickets WHERE bar = ? AND business_day = ?"
    tickets = [
        _ticket(body)
        for (body,) in rows(
            "SELECT body FROM tickets WHERE bar = ? AND business_day = ? ORDER BY placed_at, id",
            *asked,
        )
    ]
    bodies = rows(
        f"SELECT body FROM drinks WHERE bar = ? AND ticket IN ({of_the_day})",  # noqa: S608
        *(bar, *asked),
    )
    drinks = {drink.id: drink for drink in (_drink(body) for (body,) in bodies)}
    kept = tuple(
        Kept(ticket=ticket, drinks=tuple(drinks[name] for name in ticket.drinks))
        for ticket in tickets
    )
    if not kept:
        return KeptNight(tickets=(), builds=())
    # A build is begun after the first of its rounds was placed, and hours after the last at most.
    began = rows(
        "SELECT body FROM builds WHERE bar = ? AND since >= ? ORDER BY since, id",
        *(bar, min(one.ticket.received_at for one in kept).isoformat()),
    )
    builds = (_build(body) for (body,) in began)
    return KeptNight(
        tickets=kept,
        builds=tuple(build for build in builds if any(name in drinks for name in build.drinks)),
    )


def rushes(rows: Rows, where: str, *values: object) -> list[KeptRush]:
    """Give the rushes that a condition names, newest first."""
    found = rows(
        f"SELECT bar, id, state, since, body FROM rushes WHERE {where}"  # noqa: S608 (our own)
        " ORDER BY since DESC, id DESC",
        *values,
    )
    return [
        KeptRush(bar=bar, id=name, state=state, since=datetime.fromisoformat(since), body=body)
        for bar, name, state, since, body in found
    ]


def _ticket(body: str) -> TicketRecord:
    record = read("ticket", body)
    assert isinstance(record, TicketRecord)  # noqa: S101 (for the types)
    return record


def _drink(body: str) -> DrinkRecord:
    record = read("drink", body)
    assert isinstance(record, DrinkRecord)  # noqa: S101 (for the types)
    return record


def _build(body: str) -> BuildRecord:
    record = read("build", body)
    assert isinstance(record, BuildRecord)  # noqa: S101 (for the types)
    return record
