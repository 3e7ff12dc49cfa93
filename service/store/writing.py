"""Writes one batch, row by row, inside the transaction its caller holds."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from pydantic import TypeAdapter

from service.night.prints import Chunk, PrintRecord
from service.night.records import (
    Answer,
    BuildRecord,
    DrinkRecord,
    HouseRecord,
    Mark,
    OrderRecord,
    Record,
    ShownBuild,
    TapRecord,
    TicketRecord,
    WrittenText,
    write,
)

from .contract import Batch

_ORDER: TypeAdapter[OrderRecord] = TypeAdapter(OrderRecord)
_ANSWER: TypeAdapter[Answer] = TypeAdapter(Answer)
_TAP: TypeAdapter[TapRecord] = TypeAdapter(TapRecord)
_SHOWN: TypeAdapter[ShownBuild] = TypeAdapter(ShownBuild)
_PRINT: TypeAdapter[PrintRecord] = TypeAdapter(PrintRecord)
_DROP = {
    "ticket": "DELETE FROM tickets WHERE bar = ? AND id = ?",
    "drink": "DELETE FROM drinks WHERE bar = ? AND id = ?",
    "build": "DELETE FROM builds WHERE bar = ? AND id = ?",
    "mark": "DELETE FROM marks WHERE bar = ? AND id = ?",
}


def save(connection: sqlite3.Connection, batch: Batch) -> None:
    """Write a whole batch; the caller begins and ends the transaction."""
    bar, at = batch.bar, batch.at.isoformat()
    if batch.house is not None:
        _save_house(connection, batch.house, {one.part: one for one in batch.texts}, at)
    for record in batch.put:
        _save_record(connection, bar, record)
    # Drinks before the tickets they belong to.
    for kind, name in sorted(batch.dropped):
        connection.execute(_DROP[kind], (bar, name))
    if batch.tap is not None:
        tap = batch.tap
        connection.execute(
            "INSERT INTO taps (bar, id, screen, is_undone, since, body) VALUES (?, ?, ?, ?, ?, ?)"
            " ON CONFLICT (bar, id) DO UPDATE"
            " SET is_undone = excluded.is_undone, body = excluded.body",
            (
                *(bar, tap.id, tap.screen, int(tap.is_undone)),
                *(tap.at.isoformat(), _TAP.dump_json(tap).decode()),
            ),
        )
    connection.executemany(
        "INSERT INTO shown VALUES (?, ?, ?, ?) ON CONFLICT (bar, id) DO UPDATE"
        " SET since = excluded.since, body = excluded.body",
        [(bar, build.id, at, _SHOWN.dump_json(build).decode()) for build in batch.shown],
    )
    if batch.order is not None:
        connection.execute(
            "INSERT INTO orders VALUES (?, ?, ?) ON CONFLICT (bar) DO UPDATE"
            " SET revision = excluded.revision, body = excluded.body",
            (bar, batch.order.revision, _ORDER.dump_json(batch.order).decode()),
        )
    if batch.answer is not None:
        connection.execute(
            "INSERT INTO answers VALUES (?, ?, ?, ?) ON CONFLICT (bar, key) DO UPDATE"
            " SET since = excluded.since, body = excluded.body",
            (bar, batch.answer.key, at, _ANSWER.dump_json(batch.answer).decode()),
        )
    connection.executemany(
        "INSERT INTO prints VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (bar, id) DO UPDATE"
        " SET became = excluded.became, body = excluded.body",
        [
            (
                *(bar, one.id, one.stream, one.to_byte, one.became.value),
                *(one.received_at.isoformat(), _PRINT.dump_json(one).decode()),
            )
            for one in batch.prints
        ],
    )


def save_bytes(connection: sqlite3.Connection, chunks: Sequence[Chunk]) -> None:
    """Write bytes of tills; the caller begins and ends the transaction."""
    connection.executemany(
        # Offered again where it was not certain that they were kept.
        "INSERT INTO print_bytes VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
        [
            (one.bar, one.stream, one.position, one.sender, one.at.isoformat(), one.data)
            for one in chunks
        ],
    )


def _save_record(connection: sqlite3.Connection, bar: str, record: Record) -> None:
    body = write(record)
    match record:
        case TicketRecord():
            connection.execute(
                "INSERT INTO tickets VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (bar, id)"
                " DO UPDATE SET num_unread = excluded.num_unread, body = excluded.body",
                (
                    *(bar, record.id, record.business_day, record.till, record.number),
                    record.placed_at.isoformat(),
                    sum(line.is_unread for line in record.lines),
                    body,
                ),
            )
        case DrinkRecord():
            connection.execute(
                "INSERT INTO drinks VALUES (?, ?, ?, ?, ?) ON CONFLICT (bar, id) DO UPDATE"
                " SET state = excluded.state, body = excluded.body",
                (bar, record.id, record.ticket, record.state.value, body),
            )
        case BuildRecord():
            connection.execute(
                "INSERT INTO builds VALUES (?, ?, ?, ?, ?) ON CONFLICT (bar, id) DO UPDATE"
                " SET state = excluded.state, since = excluded.since, body = excluded.body",
                (
                    *(bar, record.id, record.state.value),
                    *(record.stretches[0].started_at.isoformat(), body),
                ),
            )
        case Mark():
            connection.execute(
                "INSERT INTO marks VALUES (?, ?, ?) ON CONFLICT (bar, id) DO UPDATE"
                " SET body = excluded.body",
                (bar, record.id, body),
            )


def _save_house(
    connection: sqlite3.Connection, house: HouseRecord, texts: dict[str, WrittenText], at: str
) -> None:
    connection.execute(
        "INSERT INTO bars VALUES (?, ?, ?, ?) ON CONFLICT (bar) DO UPDATE"
        " SET name = excluded.name, timezone = excluded.timezone",
        (house.bar, house.epoch, house.name, house.timezone),
    )
    for part in ("menu", "counter", "standards", "prints"):
        body, written = getattr(house, part), texts.get(part)
        last = connection.execute(
            "SELECT v.version, v.body, t.text FROM versions v LEFT JOIN texts t"
            " ON t.bar = v.bar AND t.part = v.part AND t.version = v.version"
            " WHERE v.bar = ? AND v.part = ? ORDER BY v.version DESC LIMIT 1",
            (house.bar, part),
        ).fetchone()
        is_new = last is None or last[1] != body
        # A comment alone is worth keeping as well.
        if is_new or (written is not None and last[2] != written.text):
            version = last[0] + 1 if last else 1
            row = (house.bar, part, version)
            connection.execute("INSERT INTO versions VALUES (?, ?, ?, ?, ?)", (*row, at, body))
            if written is not None:
                connection.execute(
                    "INSERT INTO texts VALUES (?, ?, ?, ?, ?)", (*row, written.text, written.note)
                )
