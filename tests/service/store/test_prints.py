"""The store's contract for prints: bytes kept as they come, read once, deleted after their days."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from service.night.prints import Became, Chunk, PrintRecord
from service.store import Batch, SqliteStore

from .test_sqlite import HOUSE, NOW

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

CHUNK = Chunk(bar="b", stream="s1", position=0, at=NOW, sender="till", data=b"abcdef")
PRINT = PrintRecord(
    id="r1",
    stream="s1",
    from_byte=0,
    to_byte=4,
    sender="till",
    received_at=NOW,
    became=Became.TICKET,
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqliteStore]:
    found = SqliteStore(tmp_path / "night.db", now=NOW)
    found.commit(Batch(bar="b", at=NOW, house=HOUSE))
    yield found
    found.close()


def later(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def test_bytes_wait_to_be_read_until_a_print_covers_them(store: SqliteStore) -> None:
    other = replace(CHUNK, position=6, at=later(1), data=b"ghij")
    store.keep_bytes([CHUNK, other, replace(CHUNK, stream="s2", data=b"xyz")])
    assert [chunk.data for chunk in store.bytes_to_read("b")] == [b"abcdef", b"ghij", b"xyz"]
    store.commit(Batch(bar="b", at=NOW, prints=[PRINT]))
    found = store.bytes_to_read("b")
    assert [(one.stream, one.position, one.data) for one in found] == [
        ("s1", 4, b"ef"),
        ("s1", 6, b"ghij"),
        ("s2", 0, b"xyz"),
    ]
    whole = [replace(PRINT, id="r2", from_byte=4, to_byte=10)]
    store.commit(Batch(bar="b", at=NOW, prints=[*whole, replace(PRINT, id="r3", stream="s2")]))
    assert store.bytes_to_read("b") == []
    assert store.bytes_to_read("another bar") == []


def test_a_stretch_of_a_stream_is_given_across_its_pieces(store: SqliteStore) -> None:
    store.keep_bytes([CHUNK, replace(CHUNK, position=6, data=b"ghij")])
    assert store.bytes_of("b", "s1", 0, 10) == b"abcdefghij"
    assert store.bytes_of("b", "s1", 4, 8) == b"efgh"
    assert store.bytes_of("b", "s1", 7, 8) == b"h"
    assert store.bytes_of("b", "s9", 0, 10) == b""


def test_bytes_offered_twice_are_kept_once(store: SqliteStore) -> None:
    store.keep_bytes([CHUNK])
    store.keep_bytes([CHUNK, replace(CHUNK, position=6, data=b"gh")])
    assert store.bytes_of("b", "s1", 0, 99) == b"abcdefgh"


def test_bytes_that_cannot_be_kept_leave_nothing(store: SqliteStore) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        store.keep_bytes([CHUNK, replace(CHUNK, bar="no such bar")])
    assert store.bytes_to_read("b") == []
    store.keep_bytes([CHUNK])
    assert store.bytes_to_read("b") == [CHUNK]


def test_prints_are_listed_newest_first_and_never_cut_within_a_moment(store: SqliteStore) -> None:
    ids = [("r1", 0), ("r2", 1), ("r3", 1), ("r4", 2)]
    rows = [replace(PRINT, id=name, received_at=later(at)) for name, at in ids]
    store.commit(Batch(bar="b", at=NOW, prints=rows))
    store.commit(Batch(bar="b", at=NOW, prints=[replace(PRINT, id="r5", became=Became.EMPTY)]))
    assert [one.id for one in store.prints("b", before=None, limit=1)] == ["r4"]
    assert [one.id for one in store.prints("b", before=None, limit=2)] == ["r4", "r3", "r2"]
    assert [one.id for one in store.prints("b", before=later(1), limit=9)] == ["r1"]
    assert store.print_of("b", "r5") is not None
    assert store.print_of("b", "r6") is None


def test_what_became_of_a_print_may_change(store: SqliteStore) -> None:
    store.commit(Batch(bar="b", at=NOW, prints=[replace(PRINT, became=Became.INCOMPLETE)]))
    store.commit(Batch(bar="b", at=NOW, prints=[PRINT]))
    assert store.prints("b", before=None, limit=9) == [PRINT]


def test_prints_and_bytes_from_before_a_time_are_deleted(store: SqliteStore) -> None:
    store.keep_bytes([CHUNK, replace(CHUNK, stream="s2", at=later(60))])
    rows = [PRINT, replace(PRINT, id="r2", stream="s2", received_at=later(60))]
    store.commit(Batch(bar="b", at=NOW, prints=rows))
    store.forget_prints("b", later(30))
    assert [one.id for one in store.prints("b", before=None, limit=9)] == ["r2"]
    assert store.bytes_of("b", "s1", 0, 9) == b""
    assert store.bytes_of("b", "s2", 0, 3) == b"abc"
