"""What is long closed leaves memory, and nothing that anybody still needs does."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest

from tests.service.conftest import BAR, HandClock, planned, serving

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio
HOURS = 3600.0


async def test_closed_tickets_leave_memory_and_stay_in_the_store(served: Served) -> None:
    old = await served.ticket("cold-harbour")
    await served.done(f"/tickets/{old['id']}/gone")
    unread = await served.ticket("gibberish")
    await served.done("/events", {"event": "person_off", "person": "tam", "minutes": 30})
    served.clock.advance(9 * HOURS)
    young = await served.ticket("slate-roof")
    desk = served.floor.desks[BAR]
    before = desk.state.revision
    await desk.forget(served.clock.now())
    assert set(desk.state.tickets) == {unread["id"], young["id"]}
    assert not desk.state.marks
    assert desk.state.revision == before, "nothing that a screen shows has changed"
    kept = (await served.get(f"/tickets/{old['id']}")).json()
    assert [drink["state"] for drink in kept["drinks"]] == ["gone"]
    assert len((await served.get("/tickets?state=all")).json()["tickets"]) == 3
    again = await served.post(
        "/tickets",
        {
            "number": old["number"],
            "business_day": old["business_day"],
            "channel": "floor",
            "lines": [{"recipe": "cold-harbour"}],
        },
        **{"Idempotency-Key": "another"},
    )
    assert (again.status_code, again.json()["is_known"]) == (200, True)
    assert again.json()["drinks"] == kept["drinks"]


async def test_an_open_or_held_drink_is_never_forgotten(served: Served) -> None:
    await served.ticket("cold-harbour")
    order = await served.settled()
    await served.done(f"/builds/{planned(order)[0]['id']}/start")
    waiting = await served.ticket("slate-roof")
    served.clock.advance(9 * HOURS)
    desk = served.floor.desks[BAR]
    before = desk.state
    await desk.forget(served.clock.now())
    assert desk.state is before
    assert waiting["id"] in desk.state.tickets


async def test_taps_are_kept_for_undo_and_then_forgotten(tmp_path: Path, saltmarch: Bar) -> None:
    clock, database = HandClock(), tmp_path / "night.db"
    async with serving(database, saltmarch, clock, remember_s=60.0) as served:
        for recipe in ("cold-harbour", "slate-roof"):
            ticket = await served.ticket(recipe)
            await served.done(f"/tickets/{ticket['id']}/gone", {"screen": "left"})
    clock.advance(HOURS)
    async with serving(database, saltmarch, clock, remember_s=60.0) as served:
        await asyncio.sleep(0.3)
        await served.done("/undo", {"screen": "left"})
    clock.advance(9 * HOURS)
    async with serving(database, saltmarch, clock, remember_s=60.0) as served:
        await asyncio.sleep(0.3)
        assert (await served.post("/undo", {"screen": "left"})).status_code == 409
