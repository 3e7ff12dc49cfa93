"""The store's contract, and what SQLite in particular has to promise."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from pydantic import TypeAdapter

from service.night.records import (
    Answer,
    BuildRecord,
    BuildState,
    Changed,
    DrinkRecord,
    DrinkState,
    HouseRecord,
    LineRecord,
    Mark,
    MarkKind,
    OrderRecord,
    Record,
    ShownBuild,
    StretchRecord,
    TapRecord,
    TicketRecord,
    WrittenText,
)
from service.store import Batch, KeptRush, SqliteStore, StoreTrouble
from service.store.looking_back import MOST_RUSHES
from service.store.migrate import migrate, migrations
from solver.tickets import Channel, Line

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NOW = datetime(2027, 2, 12, 21, 0, tzinfo=UTC)
HOUSE = HouseRecord(
    bar="b", name="Bar", timezone="UTC", epoch="e-1", menu="{}", counter="{}", standards="{}"
)
LINE = LineRecord(id="t1-l0", raw={"recipe": "x"}, quantity=1, line=Line(recipe="x"))
TICKET = TicketRecord(
    id="t1",
    number="214",
    channel=Channel.FLOOR,
    placed_at=NOW,
    received_at=NOW,
    business_day="2027-02-12",
    promise_s=600,
    lines=(LINE,),
    drinks=("t1-d0",),
)
DRINK = DrinkRecord(id="t1-d0", ticket="t1", line="t1-l0", name="X")
BUILD = BuildRecord(
    id="b-1",
    person="p",
    drinks=("t1-d0",),
    state=BuildState.IN_HAND,
    stretches=(StretchRecord(index=0, person="p", started_at=NOW),),
)
MARK = Mark(kind=MarkKind.STOCK, key="gin", since=NOW, number=0)
ORDER = OrderRecord(revision=3, as_of=NOW, moment=NOW, plan=None)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "night.db"


@pytest.fixture
def store(path: Path) -> Iterator[SqliteStore]:
    found = SqliteStore(path, now=NOW)
    found.commit(Batch(bar="b", at=NOW, house=HOUSE))
    yield found
    found.close()


def test_what_is_acknowledged_was_synced(store: SqliteStore) -> None:
    facts = store.facts()
    assert facts["synchronous"] == "2"
    assert facts["journal"] == "wal"
    assert facts["sqlite"] == sqlite3.sqlite_version


def test_a_batch_comes_back_whole(store: SqliteStore) -> None:
    shown = ShownBuild(id="b-1", person="p", drinks=("t1-d0",))
    records: list[Record] = [TICKET, DRINK, BUILD, MARK]
    store.commit(Batch(bar="b", at=NOW, put=records, shown=[shown], order=ORDER))
    opened = store.opened("b", NOW - timedelta(hours=1))
    assert list(opened.records) == records
    assert (opened.shown, opened.order) == ((shown,), ORDER)


def test_a_batch_that_fails_leaves_nothing(store: SqliteStore) -> None:
    stray = replace(DRINK, ticket="no such ticket")
    with pytest.raises(sqlite3.IntegrityError):
        store.commit(Batch(bar="b", at=NOW, put=[TICKET, stray], order=ORDER))
    opened = store.opened("b", NOW - timedelta(hours=1))
    assert (opened.records, opened.order) == ((), None)
    store.commit(Batch(bar="b", at=NOW, put=[TICKET, DRINK]))
    assert store.ticket("b", "t1") is not None


def test_a_closed_ticket_is_at_hand_only_for_a_while(store: SqliteStore) -> None:
    made = replace(DRINK, state=DrinkState.MADE, made_at=NOW)
    store.commit(Batch(bar="b", at=NOW, put=[TICKET, made]))
    assert store.opened("b", NOW + timedelta(hours=1)).records == ()
    assert len(store.opened("b", NOW - timedelta(hours=1)).records) == 2
    store.commit(Batch(bar="b", at=NOW, put=[DRINK]))
    assert len(store.opened("b", NOW + timedelta(hours=1)).records) == 2, "an open one stays"


def test_an_unread_line_keeps_its_ticket_at_hand(store: SqliteStore) -> None:
    unread = replace(LINE, line=None, unread="nobody can read it")
    store.commit(Batch(bar="b", at=NOW, put=[replace(TICKET, lines=(unread,), drinks=())]))
    assert len(store.opened("b", NOW + timedelta(days=9)).records) == 1


def test_tickets_of_a_number_till_and_day_are_found_in_the_order_they_came(
    store: SqliteStore,
) -> None:
    other = replace(TICKET, id="a2", drinks=())
    store.commit(Batch(bar="b", at=NOW, put=[TICKET, DRINK]))
    store.commit(Batch(bar="b", at=NOW, put=[other]))
    found = store.same_number("b", business_day="2027-02-12", till="", number="214")
    assert [one.ticket for one in found] == [TICKET, other]
    assert found[0].drinks == (DRINK,)
    assert store.same_number("b", business_day="2027-02-13", till="", number="214") == []


def test_tickets_are_listed_newest_first(store: SqliteStore) -> None:
    for n in range(5):
        at = NOW + timedelta(minutes=n)
        ticket = replace(TICKET, id=f"t{n}", number=str(n), placed_at=at, drinks=())
        store.commit(Batch(bar="b", at=NOW, put=[ticket]))
    latest = store.tickets("b", before=None, limit=2)
    assert [kept.ticket.id for kept in latest] == ["t4", "t3"]
    older = store.tickets("b", before=latest[-1].ticket.placed_at, limit=9)
    assert [kept.ticket.id for kept in older] == ["t2", "t1", "t0"]


def test_records_dropped_are_gone(store: SqliteStore) -> None:
    store.commit(Batch(bar="b", at=NOW, put=[TICKET, DRINK, BUILD, MARK]))
    dropped = [("ticket", "t1"), ("build", "b-1"), ("mark", MARK.id), ("drink", "t1-d0")]
    store.commit(Batch(bar="b", at=NOW, dropped=dropped))
    assert store.opened("b", NOW - timedelta(hours=1)).records == ()


def test_the_last_tap_of_a_screen(store: SqliteStore) -> None:
    changed = Changed(kind="drink", id="t1-d0", before=None, after="{}")
    one = TapRecord(id="p-1", screen="left", at=NOW, said="one", changed=(changed,))
    two = replace(one, id="p-2", said="two")
    other = replace(one, id="p-3", screen="right")
    for tap in (one, two, other):
        store.commit(Batch(bar="b", at=NOW, tap=tap))
    assert store.last_tap("b", "left") == two
    store.commit(Batch(bar="b", at=NOW, tap=replace(two, is_undone=True)))
    assert store.last_tap("b", "left") == one
    assert store.last_tap("b", "middle") is None


def test_the_last_tap_is_the_one_kept_last(store: SqliteStore) -> None:
    later = TapRecord(id="p-2", screen="left", at=NOW, said="first", changed=())
    stepped_back = replace(later, id="p-1", said="second", at=NOW - timedelta(seconds=5))
    for tap in (later, stepped_back):
        store.commit(Batch(bar="b", at=tap.at, tap=tap))
    assert store.last_tap("b", "left") == stepped_back


def test_taps_are_forgotten_with_what_they_changed(store: SqliteStore, path: Path) -> None:
    changed = Changed(kind="ticket", id="t1", before=None, after='{"note": "a guest said"}')
    old = TapRecord(id="p-1", screen="left", at=NOW, said="one", changed=(changed,))
    new = replace(old, id="p-2", at=NOW + timedelta(hours=1), changed=())
    for tap in (old, new):
        store.commit(Batch(bar="b", at=tap.at, tap=tap))
    store.forget(NOW + timedelta(seconds=1))
    connection = sqlite3.connect(path)
    bodies = [row[0] for row in connection.execute("SELECT body FROM taps")]
    connection.close()
    assert len(bodies) == 1
    assert "a guest said" not in bodies[0]
    assert store.last_tap("b", "left") == new


def test_taps_of_an_older_layout_get_their_time(path: Path) -> None:
    connection = sqlite3.connect(path, isolation_level=None)
    first = migrations()[0]
    for statement in first.statements:
        connection.execute(statement)
    connection.execute(
        "CREATE TABLE migrations (number INTEGER PRIMARY KEY, name TEXT, since TEXT)"
    )
    connection.execute("INSERT INTO migrations VALUES (1, 'first', '')")
    connection.execute("INSERT INTO bars VALUES ('b', 'e-1', 'Bar', 'UTC')")
    tap = TapRecord(id="p-1", screen="left", at=NOW, said="one", changed=())
    body = TypeAdapter(TapRecord).dump_json(tap).decode()
    connection.execute("INSERT INTO taps VALUES ('b', 'p-1', 'left', 0, ?)", (body,))
    connection.close()
    store = SqliteStore(path, now=NOW)
    store.forget(NOW - timedelta(seconds=1))
    assert store.last_tap("b", "left") == tap
    store.forget(NOW + timedelta(seconds=1))
    assert store.last_tap("b", "left") is None
    store.close()


def test_answers_are_kept_and_forgotten(store: SqliteStore) -> None:
    answer = Answer(key="k", fingerprint="f", at=NOW, status=201, body="{}")
    store.commit(Batch(bar="b", at=NOW, answer=answer))
    store.forget(NOW - timedelta(seconds=1))
    assert store.answer("b", "k") == answer
    assert store.answer("other", "k") is None
    store.forget(NOW + timedelta(seconds=1))
    assert store.answer("b", "k") is None


def test_versions_are_kept_only_when_something_differs(store: SqliteStore) -> None:
    store.commit(Batch(bar="b", at=NOW, house=HOUSE))
    assert store.num_versions("b", "menu") == 1
    store.commit(Batch(bar="b", at=NOW, house=replace(HOUSE, menu='{"x": 1}')))
    assert (store.num_versions("b", "menu"), store.num_versions("b", "counter")) == (2, 1)
    assert store.houses()[0].menu == '{"x": 1}'


def test_a_text_is_kept_beside_its_version(store: SqliteStore) -> None:
    written = WrittenText(part="menu", text="# ours\n{}", note="spring")
    later = NOW + timedelta(hours=1)
    for _ in range(2):
        # The same body, the same text: one version, however often it is told.
        store.commit(Batch(bar="b", at=later, house=HOUSE, texts=[written]))
    assert [(one.version, one.note) for one in store.versions("b", "menu")] == [
        (2, "spring"),
        (1, ""),
    ]
    assert store.num_versions("b", "counter") == 1
    found = store.version("b", "menu", 2)
    assert found is not None
    assert (found.body, found.text, found.since) == ("{}", "# ours\n{}", later)
    assert store.version("b", "menu", 3) is None


def test_a_bar_as_it_was_told_at_a_time(store: SqliteStore) -> None:
    later = NOW + timedelta(hours=1)
    store.commit(Batch(bar="b", at=later, house=replace(HOUSE, menu='{"x": 1}')))
    for at, menu in ((NOW - timedelta(days=1), "{}"), (NOW, "{}"), (later, '{"x": 1}')):
        found = store.house_at("b", at)
        assert found is not None
        assert (found.menu, found.counter) == (menu, "{}")
    assert store.house_at("nobody", NOW) is None


def test_a_business_day_comes_back_with_its_builds_alone(store: SqliteStore) -> None:
    other = replace(TICKET, id="t2", business_day="2027-02-13", drinks=("t2-d0",))
    drink = replace(DRINK, id="t2-d0", ticket="t2")
    theirs = replace(BUILD, id="b-2", drinks=("t2-d0",))
    store.commit(Batch(bar="b", at=NOW, put=[TICKET, DRINK, BUILD, other, drink, theirs]))
    assert store.nights("b", 5) == [("2027-02-13", 1), ("2027-02-12", 1)]
    night = store.night("b", "2027-02-12")
    assert [(one.ticket.id, one.drinks) for one in night.tickets] == [("t1", (DRINK,))]
    assert night.builds == (BUILD,)
    assert store.night("b", "2027-01-01").tickets == ()


def test_rushes_are_kept_found_and_the_oldest_dropped(store: SqliteStore) -> None:
    for n in range(MOST_RUSHES + 3):
        since = NOW + timedelta(minutes=n)
        store.keep_rush(KeptRush(bar="b", id=f"r-{n:03}", state="done", since=since, body="{}"))
    assert store.rush("r-002") is None
    found = store.rushes("b")
    assert (len(found), found[0].id, found[-1].id) == (MOST_RUSHES, "r-062", "r-003")
    store.keep_rush(replace(found[0], state="running", body='{"x": 1}'))
    (running,) = store.unfinished_rushes(["done", "failed"])
    assert (running.id, running.body) == ("r-062", '{"x": 1}')


def test_many_threads_lose_nothing(store: SqliteStore) -> None:
    def write(n: int) -> None:
        ticket = replace(TICKET, id=f"t{n}", number=str(n), drinks=())
        store.commit(Batch(bar="b", at=NOW, put=[ticket]))

    threads = [threading.Thread(target=write, args=(n,)) for n in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(store.tickets("b", before=None, limit=99)) == 20


def test_a_second_process_is_kept_out(store: SqliteStore, path: Path) -> None:
    assert store.facts()["layout"] == str(migrations()[-1].number)
    code = (
        "import sys, datetime, pathlib\n"
        "from service.store import SqliteStore, StoreTrouble\n"
        "try:\n"
        "    SqliteStore(pathlib.Path(sys.argv[1]), now=datetime.datetime.now(datetime.UTC))\n"
        "except StoreTrouble as error:\n"
        "    print(error)\n"
    )
    said = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    ).stdout
    assert "another process is serving" in said


def test_a_file_that_is_no_database_is_named(path: Path) -> None:
    path.write_bytes(b"not a database, but long enough to look at" * 40)
    with pytest.raises(StoreTrouble, match=r"night\.db cannot be used"):
        SqliteStore(path, now=NOW)
    # The refusal let go of the file.
    path.unlink()
    SqliteStore(path, now=NOW).close()


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match="a folder that exists"):
        SqliteStore(tmp_path / "nowhere" / "night.db", now=NOW)


def test_a_database_of_a_newer_version_is_refused(path: Path) -> None:
    SqliteStore(path, now=NOW).close()
    with sqlite3.connect(path) as connection:
        connection.execute("INSERT INTO migrations VALUES (999, 'later', '')")
    connection.close()
    with pytest.raises(StoreTrouble, match="newer version"):
        SqliteStore(path, now=NOW)


def test_migrations_are_numbered_without_gaps_and_run_once(path: Path) -> None:
    assert [one.number for one in migrations()] == list(range(1, len(migrations()) + 1))
    connection = sqlite3.connect(path, isolation_level=None)
    assert migrate(connection, NOW) == migrate(connection, NOW) == migrations()[-1].number
    connection.close()
