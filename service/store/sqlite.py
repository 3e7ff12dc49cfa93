"""The store in one SQLite file: write-ahead log, synchronous FULL, one writer.

One connection writes, and alone checkpoints; another only reads. Every write is one ``BEGIN
IMMEDIATE`` transaction, so that nothing that was read can change before it is written. With
``synchronous=FULL`` a commit returns after the log was synced: what was acknowledged survives a
pulled plug, which WAL with ``NORMAL`` does not promise.

A lock file beside the database keeps a second process out: each holds a bar's state in memory.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from service.night.prints import Chunk, PrintRecord
from service.night.records import (
    Answer,
    DrinkRecord,
    HouseRecord,
    KeptVersion,
    OrderRecord,
    ShownBuild,
    TapRecord,
    TicketRecord,
    read,
)

from . import looking_back
from .contract import Batch, Kept, KeptNight, KeptRush, Opened
from .migrate import TooNew, migrate
from .writing import save, save_bytes

_ORDER: TypeAdapter[OrderRecord] = TypeAdapter(OrderRecord)
_ANSWER: TypeAdapter[Answer] = TypeAdapter(Answer)
_TAP: TypeAdapter[TapRecord] = TypeAdapter(TapRecord)
_SHOWN: TypeAdapter[ShownBuild] = TypeAdapter(ShownBuild)
_PRINT: TypeAdapter[PrintRecord] = TypeAdapter(PrintRecord)


class StoreTrouble(Exception):
    """The database cannot be used; says why and what to do."""


class SqliteStore:
    """Implements `service.store.Store`.

    Parameters
    ----------
    path : pathlib.Path
        The database file, made where there is none.
    now : datetime
        Stands beside migrations.

    Raises
    ------
    StoreTrouble
        When another process uses the file, it is no database, damaged, or of a newer version.
    """

    def __init__(self, path: Path, *, now: datetime) -> None:
        self._path = path
        self._lock_file = _lock(path)
        try:
            self._writer = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
            self._writer.execute("PRAGMA journal_mode = WAL")
            self._writer.execute("PRAGMA synchronous = FULL")
            self._writer.execute("PRAGMA foreign_keys = ON")
            self._writer.execute("PRAGMA busy_timeout = 2000")
            check = self._writer.execute("PRAGMA quick_check(5)").fetchall()
            if check != [("ok",)]:
                words = "; ".join(str(row[0]) for row in check)
                raise StoreTrouble(f"{path} is damaged ({words}): restore the last backup of it")
            self.layout = migrate(self._writer, now)
            self._reader = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
            self._reader.execute("PRAGMA query_only = ON")
        except (sqlite3.DatabaseError, TooNew) as error:
            os.close(self._lock_file)
            raise StoreTrouble(f"{path} cannot be used as the database: {error}") from error
        self._writing = threading.Lock()
        self._reading = threading.Lock()

    def facts(self) -> dict[str, str]:
        """Give version, journal mode, synchronous level and layout, read back from SQLite."""
        with self._writing:
            journal = self._writer.execute("PRAGMA journal_mode").fetchone()[0]
            synchronous = self._writer.execute("PRAGMA synchronous").fetchone()[0]
        return {
            "database": str(self._path),
            "sqlite": sqlite3.sqlite_version,
            "journal": journal,
            "synchronous": str(synchronous),
            "quick_check": "ok",
            "layout": str(self.layout),
        }

    def houses(self) -> list[HouseRecord]:
        """Give every bar as it was last told."""
        rows = self._all("SELECT bar, name, timezone, epoch FROM bars ORDER BY bar")
        found = []
        for bar, name, timezone, epoch in rows:
            parts = dict(
                self._all(
                    "SELECT part, body FROM versions v WHERE bar = ? AND version ="
                    " (SELECT max(version) FROM versions WHERE bar = v.bar AND part = v.part)",
                    bar,
                )
            )
            found.append(HouseRecord(bar=bar, name=name, timezone=timezone, epoch=epoch, **parts))
        return found

    def opened(self, bar: str, since: datetime) -> Opened:
        """Give what is open or in hand, every mark, and tickets and builds since a time."""
        ids = (
            "SELECT id FROM tickets WHERE bar = :bar AND (placed_at >= :since OR num_unread > 0)"
            " UNION SELECT ticket FROM drinks WHERE bar = :bar AND state IN ('waiting', 'in_hand')"
        )
        asked = {"bar": bar, "since": since.isoformat()}
        with self._reads() as connection:
            found = [
                read(kind, row[0])
                for kind, sql in (
                    ("ticket", f"SELECT body FROM tickets WHERE bar = :bar AND id IN ({ids})"),  # noqa: S608
                    ("drink", f"SELECT body FROM drinks WHERE bar = :bar AND ticket IN ({ids})"),  # noqa: S608
                    (
                        "build",
                        "SELECT body FROM builds WHERE bar = :bar"
                        " AND (state = 'in_hand' OR since >= :since)",
                    ),
                    ("mark", "SELECT body FROM marks WHERE bar = :bar"),
                )
                for row in connection.execute(sql, asked)
            ]
            shown = connection.execute(
                "SELECT body FROM shown WHERE bar = :bar AND since >= :since", asked
            )
            builds = tuple(_SHOWN.validate_json(row[0]) for row in shown)
            order = connection.execute("SELECT body FROM orders WHERE bar = :bar", asked).fetchone()
        return Opened(
            records=tuple(found),
            shown=builds,
            order=_ORDER.validate_json(order[0]) if order else None,
        )

    def commit(self, batch: Batch) -> None:
        """Keep a batch; all of it or nothing."""
        with self._writes() as connection:
            save(connection, batch)

    def answer(self, bar: str, key: str) -> Answer | None:
        """Give what was answered to an idempotency key of a bar."""
        row = self._one("SELECT body FROM answers WHERE bar = ? AND key = ?", bar, key)
        return _ANSWER.validate_json(row[0]) if row else None

    def ticket(self, bar: str, ticket: str) -> Kept | None:
        """Give a ticket by its id."""
        row = self._one("SELECT id, body FROM tickets WHERE bar = ? AND id = ?", bar, ticket)
        return self._kept(bar, row) if row else None

    def same_number(self, bar: str, *, business_day: str, till: str, number: str) -> list[Kept]:
        """Give the tickets of that number, till and business day, in the order they came."""
        rows = self._all(
            "SELECT id, body FROM tickets"
            " WHERE bar = ? AND business_day = ? AND till = ? AND number = ? ORDER BY rowid",
            *(bar, business_day, till, number),
        )
        return [self._kept(bar, row) for row in rows]

    def tickets(self, bar: str, *, before: datetime | None, limit: int) -> list[Kept]:
        """Give the latest tickets, newest first, placed before a time.

        All of one moment or none: more than `limit` where several were placed at once.
        """
        rows = self._all(
            "SELECT id, body FROM tickets WHERE bar = :bar AND placed_at < :before"
            " AND placed_at >= coalesce((SELECT placed_at FROM tickets WHERE bar = :bar"
            " AND placed_at < :before ORDER BY placed_at DESC LIMIT 1 OFFSET :last), '')"
            " ORDER BY placed_at DESC, id DESC",
            {
                "bar": bar,
                "before": _or_never(before),
                "last": limit - 1,
            },
        )
        return [self._kept(bar, row) for row in rows]

    def last_tap(self, bar: str, screen: str) -> TapRecord | None:
        """Give the last tap of a screen that is not undone: the one that was kept last."""
        row = self._one(
            "SELECT body FROM taps WHERE bar = ? AND screen = ? AND is_undone = 0"
            " ORDER BY rowid DESC LIMIT 1",
            *(bar, screen),
        )
        return _TAP.validate_json(row[0]) if row else None

    def num_versions(self, bar: str, part: str) -> int:
        """Count the versions kept of a bar's menu, counter or standards."""
        row = self._one("SELECT count(*) FROM versions WHERE bar = ? AND part = ?", bar, part)
        return int(row[0]) if row else 0

    def versions(self, bar: str, part: str) -> list[KeptVersion]:
        """Give the versions kept of a part, newest first, without their bodies and texts."""
        return looking_back.versions(self._all, bar, part)

    def version(self, bar: str, part: str, version: int) -> KeptVersion | None:
        """Give one version of a part, whole."""
        return looking_back.version(self._all, bar, part, version)

    def house_at(self, bar: str, at: datetime) -> HouseRecord | None:
        """Give a bar as it was told at a time; as it was first told, for times before that."""
        return looking_back.house_at(self._all, bar, at)

    def nights(self, bar: str, limit: int) -> list[tuple[str, int]]:
        """Give the business days with tickets, newest first, each with how many."""
        return looking_back.nights(self._all, bar, limit)

    def night(self, bar: str, business_day: str) -> KeptNight:
        """Give all that is kept of a business day, as it was at one moment."""
        with self._reads() as connection:
            return looking_back.night(
                lambda sql, *values: connection.execute(sql, values).fetchall(), bar, business_day
            )

    def keep_rush(self, rush: KeptRush) -> None:
        """Keep a rush, new or in place of the one with its id; old ones of the bar are dropped."""
        row = (rush.bar, rush.id, rush.state, rush.since.isoformat(), rush.body)
        with self._writing:
            self._writer.execute("BEGIN IMMEDIATE")
            try:
                self._writer.execute(looking_back.KEEP_RUSH, row)
                kept = (rush.bar, rush.bar, looking_back.MOST_RUSHES)
                self._writer.execute(looking_back.DROP_OLD_RUSHES, kept)
            except BaseException:
                self._writer.execute("ROLLBACK")
                raise
            self._writer.execute("COMMIT")

    def rush(self, rush: str) -> KeptRush | None:
        """Give a rush by its id."""
        return next(iter(looking_back.rushes(self._all, "id = ?", rush)), None)

    def rushes(self, bar: str) -> list[KeptRush]:
        """Give the rushes kept of a bar, newest first."""
        return looking_back.rushes(self._all, "bar = ?", bar)

    def unfinished_rushes(self, ended: Sequence[str]) -> list[KeptRush]:
        """Give the rushes of all bars whose state is none of these."""
        signs = ", ".join("?" * len(ended))
        return looking_back.rushes(self._all, f"state NOT IN ({signs})", *ended)

    def forget(self, before: datetime) -> None:
        """Drop answers to idempotency keys, taps with what they changed, and shown builds."""
        with self._writes() as connection:
            connection.execute("DELETE FROM answers WHERE since < ?", (before.isoformat(),))
            connection.execute("DELETE FROM taps WHERE since < ?", (before.isoformat(),))
            connection.execute("DELETE FROM shown WHERE since < ?", (before.isoformat(),))

    def keep_bytes(self, chunks: Sequence[Chunk]) -> None:
        """Keep bytes of tills, all of them or none."""
        with self._writes() as connection:
            save_bytes(connection, chunks)

    def bytes_to_read(self, bar: str) -> list[Chunk]:
        """Give the bytes behind the last print of each stream, in the order they came."""
        rows = self._all(
            "SELECT b.stream, b.position, b.sender, b.since, b.bytes, coalesce(p.done, 0)"
            " FROM print_bytes b LEFT JOIN"
            " (SELECT stream, max(to_byte) AS done FROM prints WHERE bar = ? GROUP BY stream) p"
            " ON p.stream = b.stream"
            " WHERE b.bar = ? AND b.position + length(b.bytes) > coalesce(p.done, 0)"
            " ORDER BY b.rowid",
            *(bar, bar),
        )
        return [
            Chunk(
                bar=bar,
                stream=stream,
                position=max(position, done),
                sender=sender,
                at=datetime.fromisoformat(since),
                data=data[max(0, done - position) :],
            )
            for stream, position, sender, since, data, done in rows
        ]

    def prints(self, bar: str, *, before: datetime | None, limit: int) -> list[PrintRecord]:
        """Give the latest prints, newest first, received before a time.

        All of one moment or none, as with tickets.
        """
        rows = self._all(
            "SELECT body FROM prints WHERE bar = :bar AND since < :before AND became != 'empty'"
            " AND since >= coalesce((SELECT since FROM prints WHERE bar = :bar"
            " AND since < :before AND became != 'empty'"
            " ORDER BY since DESC LIMIT 1 OFFSET :last), '')"
            " ORDER BY since DESC, rowid DESC",
            {"bar": bar, "before": _or_never(before), "last": limit - 1},
        )
        return [_PRINT.validate_json(row[0]) for row in rows]

    def print_of(self, bar: str, print_id: str) -> PrintRecord | None:
        """Give a print by its id."""
        row = self._one("SELECT body FROM prints WHERE bar = ? AND id = ?", bar, print_id)
        return _PRINT.validate_json(row[0]) if row else None

    def bytes_of(self, bar: str, stream: str, from_byte: int, to_byte: int) -> bytes:
        """Give a stretch of a stream, as far as it is kept."""
        rows = self._all(
            "SELECT position, bytes FROM print_bytes WHERE bar = ? AND stream = ?"
            " AND position < ? AND position + length(bytes) > ? ORDER BY position",
            *(bar, stream, to_byte, from_byte),
        )
        return b"".join(
            data[max(0, from_byte - position) : to_byte - position] for position, data in rows
        )

    def forget_prints(self, bar: str, before: datetime) -> None:
        """Drop prints from before a time, with their bytes."""
        asked = (bar, before.isoformat())
        with self._writes() as connection:
            connection.execute("DELETE FROM print_bytes WHERE bar = ? AND since < ?", asked)
            connection.execute("DELETE FROM prints WHERE bar = ? AND since < ?", asked)

    def close(self) -> None:
        """Checkpoint, close, and let another process have the file."""
        with self._writing, self._reading:
            self._reader.close()
            self._writer.close()
            with suppress(OSError):
                os.close(self._lock_file)

    @contextmanager
    def _reads(self) -> Iterator[sqlite3.Connection]:
        """Hold one consistent state for several reads."""
        with self._reading:
            self._reader.execute("BEGIN")
            try:
                yield self._reader
            finally:
                self._reader.execute("COMMIT")

    @contextmanager
    def _writes(self) -> Iterator[sqlite3.Connection]:
        """Hold one transaction: all of it is kept, and synced, or nothing."""
        with self._writing:
            self._writer.execute("BEGIN IMMEDIATE")
            try:
                yield self._writer
                self._writer.execute("COMMIT")
            except BaseException:
                if self._writer.in_transaction:
                    self._writer.execute("ROLLBACK")
                raise

    def _all(self, sql: str, *values: object) -> list[Any]:
        """Read rows; values by position, or one mapping of them by name."""
        named = values[0] if values and isinstance(values[0], dict) else values
        with self._reading:
            return self._reader.execute(sql, named).fetchall()

    def _one(self, sql: str, *values: object) -> Any:  # noqa: ANN401 (a row is what it is)
        with self._reading:
            return self._reader.execute(sql, values).fetchone()

    def _kept(self, bar: str, row: tuple[str, str]) -> Kept:
        ticket = read("ticket", row[1])
        bodies = self._all("SELECT body FROM drinks WHERE bar = ? AND ticket = ?", bar, row[0])
        drinks = {drink.id: drink for drink in (read("drink", body[0]) for body in bodies)}
        assert isinstance(ticket, TicketRecord)  # noqa: S101 (for the types)
        found = tuple(drinks[drink] for drink in ticket.drinks)
        return Kept(ticket=ticket, drinks=tuple(d for d in found if isinstance(d, DrinkRecord)))


def _or_never(before: datetime | None) -> str:
    """Write a time as columns have it; what stands for none comes after every time."""
    return before.astimezone(UTC).isoformat() if before else "9999"


def _lock(path: Path) -> int:
    """Hold the lock file beside the database for as long as this process lives."""
    try:
        import fcntl  # noqa: PLC0415 (not on every system)

        handle = os.open(f"{path}-lock", os.O_RDWR | os.O_CREAT, 0o644)
    except ImportError:
        return os.open(os.devnull, os.O_RDWR)
    except OSError as error:
        raise StoreTrouble(
            f"{path} cannot be used as the database: {error.strerror}; name a file in a folder "
            "that exists and can be written"
        ) from error
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        raise StoreTrouble(
            f"another process is serving from {path}: stop it first, or name another file"
        ) from None
    return handle
