"""Rushes over HTTP: started, watched, cancelled, broken off; each in a process of its own."""

from __future__ import annotations

import asyncio
import os
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import httpx
import pytest

from service.files import SAMPLES
from service.manager.child import NICE
from tests.service.conftest import BAR, HandClock, serving
from tests.service.process import serve

if TYPE_CHECKING:
    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio

HALF_AN_HOUR = {
    "name": "half an hour",
    "doors": "19:00",
    "last_orders": "19:30",
    "hard_stop": "20:00",
    "guests": {"drinks_an_hour": [60, 60], "changed_pct": 0},
}
SHORT = {"scenario": HALF_AN_HOUR, "policies": ["by the ticket"], "nights": 3}
ENDLESS = {"policies": ["look-ahead"], "nights": 400, "limit_s": 900}
LIVING = ("waiting", "running")


async def start(served: Served, body: dict[str, Any]) -> dict[str, Any]:
    answer = await served.post("/rushes", body)
    assert answer.status_code == 202, answer.text
    assert answer.headers["location"] == f"/v1/rushes/{answer.json()['rush']}"
    return dict(answer.json())


async def look(served: Served, rush: str) -> dict[str, Any]:
    answer = await served.client.get(f"/v1/rushes/{rush}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def until(served: Served, rush: str, *states: str) -> dict[str, Any]:
    """Look until it stands like that; whatever else it ends as is a failure."""
    for _ in range(1200):
        found = await look(served, rush)
        if found["state"] in states:
            return found
        assert found["state"] in LIVING, found
        await asyncio.sleep(0.1)
    raise AssertionError(f"not {states} in two minutes")


def processes_of(parent: int) -> list[int]:
    found: list[int] = []
    for row in Path(f"/proc/{parent}/task").glob("*/children"):
        found += [int(pid) for pid in row.read_text("utf-8").split()]
    return [pid for pid in found if b"service.manager.child" in command_of(pid)]


def command_of(pid: int) -> bytes:
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b""


async def the_process(parent: int) -> int:
    for _ in range(300):
        if found := processes_of(parent):
            return found[0]
        await asyncio.sleep(0.1)
    pytest.fail("no process of a rush")


async def test_a_rush_from_start_to_results(served: Served) -> None:
    told = await start(served, SHORT)
    assert (told["bar"], told["name"], told["state"]) == (BAR, "half an hour", "waiting")
    found = await until(served, told["rush"], "done")
    results = found["results"]
    assert (results["nights"], results["ended"]) == (3, "the nights that were asked for")
    assert [policy["policy"] for policy in results["policies"]] == ["by the ticket"]
    p90 = results["policies"][0]["whole"]["p90_s"]
    assert p90["low"] <= p90["mean"] <= p90["high"]
    assert "chance" in results["note"]
    assert {row["unit"] for row in results["prep"]} >= {"kg", "glasses"}
    assert found["ended_at"] is not None
    (row,) = (await served.get("/rushes")).json()["rushes"]
    assert (row["rush"], row["state"]) == (told["rush"], "done")

    where = f"/v1/rushes/{told['rush']}"
    first = await served.client.get(where)
    again = await served.client.get(where, headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    late = await served.client.delete(where)
    assert late.status_code == 409
    assert "is done already" in late.json()["detail"]


async def test_one_at_a_time_behind_the_live_planning_and_cancelled_quickly(served: Served) -> None:
    told = await start(served, ENDLESS)
    second = await served.post("/rushes", SHORT)
    assert second.status_code == 409
    assert second.json()["state"]["rush"] == told["rush"]
    assert "wait for it, or cancel it first" in second.json()["detail"]
    process = await the_process(os.getpid())
    for _ in range(100):
        if os.getpriority(os.PRIO_PROCESS, process) >= NICE:
            break
        await asyncio.sleep(0.1)
    assert os.getpriority(os.PRIO_PROCESS, process) >= NICE
    # Meanwhile a ticket is taken and planned as ever.
    began = time.monotonic()
    await served.ticket("cold-harbour")
    assert time.monotonic() - began < 2
    began = time.monotonic()
    answer = await served.client.delete(f"/v1/rushes/{told['rush']}")
    assert answer.status_code == 200, answer.text
    assert answer.json()["state"] == "cancelled"
    # Five seconds are the limit after which it is ended the hard way.
    assert time.monotonic() - began < 7
    assert b"service.manager.child" not in command_of(process)
    again = await served.client.delete(f"/v1/rushes/{told['rush']}")
    assert (again.status_code, again.json()["state"]) == (200, "cancelled")


async def test_a_cancelled_rush_keeps_the_nights_that_were_whole(served: Served) -> None:
    told = await start(served, {**SHORT, "nights": 400})
    for _ in range(600):
        progress = (await look(served, told["rush"]))["progress"]
        if progress and progress["done"] >= 3:
            break
        await asyncio.sleep(0.05)
    answer = await served.client.delete(f"/v1/rushes/{told['rush']}")
    results = answer.json()["results"]
    assert 3 <= results["nights"] < 400
    assert results["ended"] == "cancelled"


@pytest.mark.parametrize(
    ("scenario", "path", "said"),
    [
        ({"guests": {"scale": "full"}}, "/scenario/guests/scale", "expected a number"),
        ({"gests": {}}, "/scenario/gests", "did you mean guests or"),
        ({"doors": "25:00"}, "/scenario", "a time of the night such as 22:10"),
        ({"shifts": [{"person": "jo"}]}, "/scenario/shifts/0/person", "people of the counter"),
        ({"guests": {"scale": 20}}, "/scenario/guests", "1 to 6000 drinks in a night"),
        (
            {"shifts": [{"person": "tam", "since": "23:00", "until": "22:00"}]},
            "/scenario/shifts/0/until",
            "expected tam to leave after coming at 23:00; came '22:00'",
        ),
        (
            {"troubles": {"kegs_blown": [{"tap": "lager", "at": "12:20"}]}},
            "/scenario/troubles/kegs_blown/0/at",
            "a keg of lager to blow between 19:00 and 01:15",
        ),
        (
            {"guests": {"drinks_an_hour": [90, -50]}},
            "/scenario/guests/drinks_an_hour/1",
            "expected 0 to 5000 drinks an hour in every quarter; came -50",
        ),
        ({"replay": {"tickets": "x.jsonl"}}, "/scenario/replay", "as 'night'"),
    ],
)
async def test_what_cannot_be_simulated_is_said_with_its_place(
    served: Served, scenario: dict[str, Any], path: str, said: str
) -> None:
    answer = await served.post("/rushes", {"scenario": scenario})
    assert answer.status_code == 422, answer.text
    (fault, *_) = answer.json()["errors"]
    assert fault["path"].startswith(path)
    assert said in fault["detail"]
    assert (await served.get("/rushes")).json() == {"rushes": []}


async def test_a_usual_friday_can_be_told_back(served: Served) -> None:
    usual = (await served.get("/rushes/usual")).json()
    assert (usual["doors"], len(usual["guests"]["drinks_an_hour"])) == ("19:00", 24)
    told = await start(served, {"scenario": usual, "policies": ["by the ticket"], "nights": 1})
    answer = await served.client.delete(f"/v1/rushes/{told['rush']}")
    assert answer.status_code == 200


async def test_another_bars_rush_waits_for_its_turn(served: Served) -> None:
    own = (SAMPLES / "bars" / "own-bar.yaml").read_text(encoding="utf-8")
    yaml = {"Content-Type": "application/yaml"}
    await served.client.put("/v1/bars/own-bar", content=own, headers=yaml)
    first = await start(served, ENDLESS)
    await until(served, first["rush"], "running")
    second = (await served.client.post("/v1/bars/own-bar/rushes", json=SHORT)).json()
    await asyncio.sleep(0.3)
    found = await look(served, second["rush"])
    assert (found["state"], found["said"].startswith("waits for its turn")) == ("waiting", True)
    await served.client.delete(f"/v1/rushes/{first['rush']}")
    assert (await until(served, second["rush"], "done"))["results"]["house"] == "Our Bar"


async def test_a_night_is_replayed_with_its_own_tickets(served: Served) -> None:
    for _ in range(4):
        ticket = await served.ticket("cold-harbour", "lager-pint")
        served.clock.advance(60)
        for drink in ticket["drinks"]:
            await served.done(f"/drinks/{drink['id']}/already-made")
    body = {"night": "2027-02-12", "policies": ["look-ahead"], "nights": 2}
    told = await start(served, body)
    assert told["night"] == "2027-02-12"
    done = await until(served, told["rush"], "done")
    whole = done["results"]["policies"][0]["whole"]
    assert (whole["rounds"]["mean"], whole["made"]["mean"]) == (4, 8)
    night = (await served.get("/nights/2027-02-12")).json()
    assert (night["replay"]["rush"], night["replay"]["state"]) == (told["rush"], "done")
    nobody = await served.post("/rushes", {**body, "night": "2027-01-01"})
    assert nobody.status_code == 404


async def test_a_rush_that_nobody_started(served: Served) -> None:
    answer = await served.client.get("/v1/rushes/r-nothing")
    assert answer.status_code == 404
    assert "expected the id of a rush; came 'r-nothing'" in answer.json()["detail"]


async def test_a_stopped_service_says_that_its_rush_broke_off(
    tmp_path: Path, saltmarch: Bar
) -> None:
    database = tmp_path / "night.db"
    async with serving(database, saltmarch, HandClock(), is_warm=False) as served:
        told = await start(served, ENDLESS)
        process = await the_process(os.getpid())
    assert b"service.manager.child" not in command_of(process)
    async with serving(database, saltmarch, HandClock(), is_warm=False) as served:
        found = await look(served, told["rush"])
        assert (found["state"], found["results"]) == ("broken_off", None)
        assert "start it again" in found["said"]


def test_a_pulled_plug_is_said_as_well_and_leaves_no_process(tmp_path: Path) -> None:
    with serve(tmp_path, is_warm=False) as process:
        url = f"{process.url}/v1/bars/{BAR}/rushes"
        told = httpx.post(url, json=ENDLESS).raise_for_status().json()
        child = asyncio.run(the_process(process.child.pid))
        process.kill()
    deadline = time.monotonic() + 15
    while b"service.manager.child" in command_of(child) and time.monotonic() < deadline:
        time.sleep(0.1)
    assert b"service.manager.child" not in command_of(child)
    with serve(tmp_path, is_warm=False) as process:
        found = httpx.get(f"{process.url}/v1/rushes/{told['rush']}").json()
        assert found["state"] == "broken_off"
