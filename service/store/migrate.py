"""Brings a database to the present layout: numbered SQL files, each applied once, in order."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from importlib import resources


@dataclass(frozen=True, slots=True, kw_only=True)
class Migration:
    """One numbered file."""

    number: int
    name: str
    statements: tuple[str, ...]


class TooNew(Exception):
    """The database was written by a newer version of this program."""


def migrations() -> list[Migration]:
    """Give every migration there is, in order."""
    found = []
    folder = resources.files("service.store") / "migrations"
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if not entry.name.endswith(".sql"):
            continue
        number, _, name = entry.name.removesuffix(".sql").partition("_")
        text = entry.read_text(encoding="utf-8")
        found.append(Migration(number=int(number), name=name, statements=_statements(text)))
    return found


def migrate(connection: sqlite3.Connection, now: datetime) -> int:
    """Apply what is missing, each migration in a transaction of its own.

    Returns
    -------
    int
        The layout's number afterwards.

    Raises
    ------
    TooNew
        When the database is of a layout this version does not know.
    """
    connection.execute(
        "CREATE TABLE IF NOT EXISTS migrations (number INTEGER PRIMARY KEY, name TEXT, since TEXT)"
    )
    present = connection.execute("SELECT coalesce(max(number), 0) FROM migrations").fetchone()[0]
    known = migrations()
    if present > known[-1].number:
        raise TooNew(
            f"this database has layout {present}, written by a newer version; this one knows "
            f"layouts up to {known[-1].number}: install the newer version, or use another file"
        )
    for migration in known:
        if migration.number <= present:
            continue
        connection.execute("BEGIN IMMEDIATE")
        try:
            for statement in migration.statements:
                connection.execute(statement)
            connection.execute(
                "INSERT INTO migrations VALUES (?, ?, ?)",
                (migration.number, migration.name, now.isoformat()),
            )
        except BaseException:
            connection.execute("ROLLBACK")
            raise
        connection.execute("COMMIT")
    return known[-1].number


def _statements(text: str) -> tuple[str, ...]:
    found, part = [], ""
    for line in text.splitlines():
        if line.startswith("--"):
            continue
        part += line + "\n"
        if sqlite3.complete_statement(part):
            found.append(part.strip())
            part = ""
    return tuple(found)
