"""The print port with real sockets: slow, split and broken senders, noise, several at once."""

from __future__ import annotations

import asyncio
import contextlib
import sqlite3
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from escpos.printer import Network  # type: ignore[import-untyped]

from service.printing.profile import Ends
from tests.service.conftest import BAR
from tests.service.process import free_port

from .tills import CUT, PROFILE, alerts, one, paper, printing, with_prints

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio

WITHIN_S = 10.0


@pytest.fixture
async def till(tmp_path: Path, saltmarch: Bar) -> AsyncIterator[Served]:
    async with printing(tmp_path / "night.db", saltmarch) as served:
        yield served


def port_of(served: Served) -> int:
    prints = served.floor.desks[BAR].state.bar.prints
    assert prints is not None
    assert prints.address is not None
    return prints.address.port


async def connect(served: Served) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    return await asyncio.open_connection("127.0.0.1", port_of(served))


async def send(served: Served, *pieces: bytes, pause_s: float = 0.0) -> None:
    _, writer = await connect(served)
    for piece in pieces:
        writer.write(piece)
        await writer.drain()
        await asyncio.sleep(pause_s)
    writer.close()
    await writer.wait_closed()


async def prints(served: Served, num: int) -> list[dict[str, Any]]:
    """Wait for so many prints; give them in the order they came."""
    found: list[dict[str, Any]] = []
    for _ in range(int(WITHIN_S / 0.02)):
        found = (await served.get("/prints?limit=200")).json()["prints"]
        if len(found) >= num:
            break
        await asyncio.sleep(0.02)
    assert len(found) == num, found
    return list(reversed(found))


async def said_of(served: Served) -> list[dict[str, Any]]:
    """Wait for an alert about a port or printer."""
    for _ in range(100):
        if found := await alerts(served, "printer"):
            return found
        await asyncio.sleep(0.02)
    raise AssertionError("nothing is said")


def numbers(found: list[dict[str, Any]]) -> list[str]:
    return [row["number"] for row in found]


async def test_a_ticket_in_one_piece(till: Served) -> None:
    await send(till, paper(214, "2 Salt Ferry"))
    (found,) = await prints(till, 1)
    assert (found["became"], found["number"], found["sender"]) == ("ticket", "214", "127.0.0.1")
    assert (await till.get("/prints")).json()["port"] == f"127.0.0.1:{port_of(till)}"
    assert (await till.get(f"/prints/{found['id']}")).json()["lines"][3] == "2 Salt Ferry"


async def test_a_slow_till_sends_byte_by_byte(till: Served) -> None:
    await send(till, *(bytes((byte,)) for byte in paper(214, "2 Salt Ferry")), pause_s=0.002)
    (found,) = await prints(till, 1)
    assert (found["became"], found["number"]) == ("ticket", "214")


async def test_many_tickets_in_one_connection_and_one_piece(till: Served) -> None:
    await send(till, b"".join(paper(n, "1 Salt Ferry") for n in range(214, 219)))
    found = await prints(till, 5)
    assert numbers(found) == ["214", "215", "216", "217", "218"]
    assert await alerts(till, "gap") == []


async def test_quiet_ends_a_ticket_where_nothing_is_cut(tmp_path: Path, saltmarch: Bar) -> None:
    quiet = replace(PROFILE, paper=replace(PROFILE.paper, ends=(Ends.QUIET,), quiet_s=0.2))
    async with printing(tmp_path / "night.db", saltmarch, profile=quiet) as till:
        _, writer = await connect(till)
        writer.write(paper(214, "1 Salt Ferry").removesuffix(CUT))
        await prints(till, 1)
        writer.write(paper(215, "1 Salt Ferry").removesuffix(CUT))
        await writer.drain()
        found = await prints(till, 2)
        assert [row["became"] for row in found] == ["ticket", "ticket"]
        writer.close()


async def test_a_connection_cut_in_the_middle_is_kept_and_shown(
    tmp_path: Path, saltmarch: Bar
) -> None:
    by_cut = replace(PROFILE, paper=replace(PROFILE.paper, ends=(Ends.CUT,)))
    async with printing(tmp_path / "night.db", saltmarch, profile=by_cut) as till:
        await send(till, paper(214, "2 Salt Ferry", "1 Cold Harbour")[:-20])
        (found,) = await prints(till, 1)
        assert found["became"] == "incomplete"
        (alert,) = await alerts(till, "print")
        assert alert["words"] == "a print broke off, from till bar"
        assert "2 Salt Ferry" in alert["lines"]
        assert (await till.order())["rounds"] == []
        # Nobody has to type it again: what is there can be taken.
        assert alert["can_be_taken"]
        answer = await till.post(f"/prints/{alert['print']}/take")
        assert answer.status_code == 201
        assert answer.json()["prints"][0]["said"].startswith("ticket 214: 2 × Salt Ferry")
        assert await alerts(till, "print") == []
        assert (await till.post(f"/prints/{alert['print']}/take")).status_code == 409


async def test_a_reset_connection_is_kept_and_shown(till: Served) -> None:
    _, writer = await connect(till)
    writer.write(paper(214, "2 Salt Ferry").removesuffix(CUT))
    await writer.drain()
    await asyncio.sleep(0.1)
    writer.transport.abort()
    (found,) = await prints(till, 1)
    assert found["became"] in ("incomplete", "ticket")


async def test_several_tills_at_once_are_not_mixed(till: Served) -> None:
    tickets = [paper(n, "1 Salt Ferry", "1 Cold Harbour") for n in range(301, 313)]
    halves = [(one_paper[:40], one_paper[40:]) for one_paper in tickets]
    await asyncio.gather(*(send(till, *pieces, pause_s=0.02) for pieces in halves))
    found = await prints(till, 12)
    assert {row["became"] for row in found} == {"ticket"}
    assert sorted(numbers(found)) == [str(n) for n in range(301, 313)]
    assert await alerts(till, "gap") == []


async def test_ten_megabytes_of_noise_are_capped_and_said(till: Served) -> None:
    noise = b"lorem ipsum dolor\n" * 600_000
    _, writer = await connect(till)
    writer.write(noise + CUT + paper(214, "1 Salt Ferry"))
    await writer.drain()
    found = await prints(till, 2)
    writer.close()
    assert [row["became"] for row in found] == ["too_long", "ticket"]
    assert found[0]["said"] == "a print went on for 9,800,003 bytes too many"
    assert found[0]["num_bytes"] == len(noise) + len(CUT)
    (alert,) = await alerts(till, "print")
    assert alert["lines"][0] == "lorem ipsum dolor"
    assert len(alert["lines"]) <= 60
    with contextlib.closing(sqlite3.connect(till.floor.settings.database)) as connection:
        (kept,) = connection.execute("SELECT sum(length(bytes)) FROM print_bytes").fetchone()
    assert 1_000_000 <= kept <= 1_200_000


async def test_a_sender_that_is_not_listed_is_not_listened_to(
    tmp_path: Path, saltmarch: Bar
) -> None:
    async with printing(tmp_path / "night.db", saltmarch, senders=("192.168.10.0/28",)) as till:
        reader, writer = await connect(till)
        with contextlib.suppress(OSError):
            writer.write(paper(214, "1 Salt Ferry"))
            assert await reader.read() == b""
        found = await said_of(till)
        assert found[0]["words"].startswith("127.0.0.1 wants to print and is not among the senders")
        assert (await till.get("/prints")).json()["prints"] == []


async def test_a_till_that_finds_no_seat_waits_and_loses_nothing(till: Served) -> None:
    room = till.client._transport.app.state.print_room  # type: ignore[attr-defined]
    port = room.bars[BAR].port
    lines = [await connect(till) for _ in range(66)]
    for (_, writer), number in zip(lines[64:], (214, 215), strict=True):
        writer.write(paper(number, "1 Salt Ferry"))
        await writer.drain()
    await asyncio.sleep(0.2)
    assert port.num_lines == 64
    assert (await till.get("/prints")).json()["prints"] == []
    # One till goes: its seat is taken.
    lines[0][1].close()
    assert numbers(await prints(till, 1)) == ["214"]
    # Another was quiet for long: it has to go.
    next(line for line in port._lines.values() if line.is_idle).heard_at -= 100
    assert numbers(await prints(till, 2)) == ["214", "215"]
    for _, writer in lines:
        writer.close()
        with contextlib.suppress(OSError):
            await writer.wait_closed()


async def test_a_till_that_asks_is_answered(till: Served) -> None:
    """Source: python-escpos, which asks and reads the answers as its users' tills do."""

    def ask() -> tuple[bool, int]:
        printer = Network("127.0.0.1", port=port_of(till), timeout=5)
        try:
            return printer.is_online(), printer.paper_status()
        finally:
            printer.close()

    assert await asyncio.to_thread(ask) == (True, 2)
    assert (await till.get("/prints")).json()["prints"] == []


async def test_requests_in_the_middle_of_a_ticket_are_answered_in_order(till: Served) -> None:
    reader, writer = await connect(till)
    half, rest = paper(214, "1 Salt Ferry")[:30], paper(214, "1 Salt Ferry")[30:]
    process_id = b"\x1d(H\x06\x00\x30\x301234"
    writer.write(half + b"\x10\x04\x01" + rest + b"\x1dr\x01" + b"\x1da\xff" + process_id)
    answer = await asyncio.wait_for(reader.readexactly(1 + 1 + 4 + 7), 5)
    assert answer == b"\x12\x00\x10\x00\x00\x00\x37\x221234\x00"
    (found,) = await prints(till, 1)
    assert found["became"] == "ticket"
    writer.close()


async def test_offline_while_nothing_can_be_kept(
    till: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = till.floor.store
    keeps = store.keep_bytes
    is_full = True

    def keep(chunks: Any) -> None:
        if is_full:
            raise sqlite3.OperationalError("database or disk is full")
        keeps(chunks)

    monkeypatch.setattr(store, "keep_bytes", keep)
    reader, writer = await connect(till)
    writer.write(b"\x1da\xff" + paper(214, "1 Salt Ferry"))
    assert await asyncio.wait_for(reader.readexactly(8), 5) == b"\x18\x00\x0c\x00" * 2
    writer.write(b"\x10\x04\x01\x10\x04\x04")
    assert await asyncio.wait_for(reader.readexactly(2), 5) == b"\x1a\x72"
    assert (await till.post("/prints")).status_code == 400
    answer = await till.client.post(f"/v1/bars/{BAR}/prints", content=paper(215, "1 Salt Ferry"))
    assert answer.status_code == 503
    is_full = False
    assert await asyncio.wait_for(reader.readexactly(4), 5) == b"\x10\x00\x00\x00"
    (found,) = await prints(till, 1)
    assert (found["became"], found["number"]) == ("ticket", "214")
    writer.write(b"\x10\x04\x01")
    assert await asyncio.wait_for(reader.readexactly(1), 5) == b"\x12"
    writer.close()


async def test_the_port_follows_what_the_bar_says(till: Served) -> None:
    bar = till.floor.desks[BAR].state.bar
    before, after = port_of(till), free_port()
    moved = with_prints(bar, listen=f"127.0.0.1:{after}")
    await till.floor.tell(moved)
    await eventually(after, is_open=True)
    await eventually(before, is_open=False)
    await till.floor.tell(replace(moved, prints=None))
    await eventually(after, is_open=False)


async def eventually(port: int, *, is_open: bool) -> None:
    for _ in range(200):
        try:
            _, writer = await asyncio.open_connection("127.0.0.1", port)
        except OSError:
            found = False
        else:
            found = True
            writer.close()
        if found is is_open:
            return
        await asyncio.sleep(0.02)
    raise AssertionError((port, is_open))


async def test_a_port_that_is_taken_is_said(
    tmp_path: Path, saltmarch: Bar, caplog: pytest.LogCaptureFixture
) -> None:
    other = await asyncio.start_server(lambda _r, _w: None, "127.0.0.1", 0)
    port = other.sockets[0].getsockname()[1]
    async with other, printing(tmp_path / "night.db", saltmarch, listen=port) as till:
        (alert,) = await alerts(till, "printer")
        assert alert["words"] == (
            f"prints are NOT taken in: port {port} of 127.0.0.1 is taken by another program: end "
            "that one, or name another port under prints: listen"
        )
        (said,) = [row.getMessage() for row in caplog.records if "open_port" in row.getMessage()]
        assert said.endswith(alert["words"])
        assert "Errno" not in said


async def test_a_dead_printer_behind_holds_nobody_up(tmp_path: Path, saltmarch: Bar) -> None:
    dead = free_port()
    forward = f"127.0.0.1:{dead}"
    async with printing(tmp_path / "night.db", saltmarch, forward_to=forward) as till:
        await send(till, paper(214, "1 Salt Ferry"))
        (found,) = await prints(till, 1)
        assert found["became"] == "ticket"
        said = await said_of(till)
        assert said[0]["words"].startswith(f"the printer at {forward} does not take prints")
        # It is switched on: what waited is printed, and the alert goes.
        got = bytearray()

        async def printer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            while data := await reader.read(4096):
                got.extend(data)
            writer.close()

        async with await asyncio.start_server(printer, "127.0.0.1", dead):
            await send(till, paper(215, "1 Salt Ferry"))
            both = paper(214, "1 Salt Ferry") + paper(215, "1 Salt Ferry")
            for _ in range(400):
                if bytes(got) == both and not await alerts(till, "printer"):
                    break
                await asyncio.sleep(0.02)
            assert bytes(got) == both
            assert await alerts(till, "printer") == []


async def test_prints_are_deleted_after_their_days(till: Served) -> None:
    found = await one(till, paper(214, "1 Salt Ferry"))
    room = till.client._transport.app.state.print_room  # type: ignore[attr-defined]
    till.clock.advance(13 * 86400)
    room._forgot_at -= 4000
    await asyncio.sleep(0.3)
    assert (await till.get(f"/prints/{found['id']}")).status_code == 200
    till.clock.advance(2 * 86400)
    room._forgot_at -= 4000
    await asyncio.sleep(0.3)
    assert (await till.get(f"/prints/{found['id']}")).status_code == 404
    with contextlib.closing(sqlite3.connect(till.floor.settings.database)) as connection:
        assert connection.execute("SELECT count(*) FROM print_bytes").fetchone() == (0,)
    assert (await till.get(f"/tickets/{found['ticket']}")).status_code == 200
