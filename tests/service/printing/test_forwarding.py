"""What the real printer behind the port does not get is counted, and said until somebody saw it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest

from service.printing.forwarding import MOST_WAITING, Forwarder
from service.printing.house import Address
from tests.service.conftest import BAR
from tests.service.process import free_port

from .tills import alerts, one, paper, printing

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.bars import Bar

pytestmark = pytest.mark.anyio


async def test_what_is_too_much_to_wait_is_counted_and_said() -> None:
    said: list[str] = []

    async def tell(_words: str) -> None:
        return

    async def tell_dropped(words: str) -> None:
        said.append(words)

    address = Address(host="127.0.0.1", port=free_port())
    forwarder = Forwarder(address, tell, tell_dropped)
    for number in range(MOST_WAITING + 3):
        forwarder.put(b"%d" % number)
    for _ in range(500):
        if said:
            break
        await asyncio.sleep(0.01)
    assert (forwarder.num_dropped, forwarder.num_waiting) == (3, MOST_WAITING)
    assert said[0].startswith(f"3 prints were not passed on to the printer at {address}: ")
    await forwarder.close()
    assert (forwarder.num_dropped, forwarder.num_waiting) == (MOST_WAITING + 3, 0)
    assert said[1].startswith(f"{MOST_WAITING + 3} prints were not passed on")


async def test_what_waits_at_a_stop_is_said_after_the_start(tmp_path: Path, saltmarch: Bar) -> None:
    forward = f"127.0.0.1:{free_port()}"
    async with printing(tmp_path / "night.db", saltmarch, forward_to=forward) as till:
        await one(till, paper(214, "1 Salt Ferry"))
        await one(till, paper(215, "1 Salt Ferry"))
        assert (await till.get("/prints")).json()["waiting_for_printer"] == 2
    async with printing(tmp_path / "night.db", saltmarch, forward_to=forward) as till:
        said = await alerts(till, "printer")
        (lost,) = [row for row in said if row["words"].startswith("2 prints were not passed on")]
        assert forward in lost["words"]
        await one(till, paper(216, "1 Salt Ferry"))
        # That the printer is right again brings none back: it stays until somebody has seen it.
        path = f"/v1/bars/{BAR}/alerts/{lost['id']}/seen"
        assert (await till.client.post(path)).status_code == 200
        assert lost["words"] not in [row["words"] for row in await alerts(till, "printer")]
        assert (await till.get("/prints")).json()["not_passed_on"] == 0
