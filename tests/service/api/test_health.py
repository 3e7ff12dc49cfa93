"""Whether it lives, whether it works, and what it counts."""

from __future__ import annotations

import asyncio
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def test_it_lives_and_works(served: Served) -> None:
    assert (await served.client.get("/healthz")).text == "ok\n"
    found = await served.client.get("/readyz")
    assert found.status_code == 200
    ready = found.json()
    assert (ready["is_ready"], ready["search"]) == (True, "ready")
    assert ready["planning_age_s"]["saltmarch"] < 5
    assert (ready["store"]["synchronous"], ready["store"]["quick_check"]) == ("2", "ok")


async def test_a_planning_task_that_ended_is_not_ready(served: Served) -> None:
    await served.floor.tasks["saltmarch"].stop()
    found = await served.client.get("/readyz")
    assert (found.status_code, found.json()["is_ready"]) == (503, False)


async def test_a_service_that_stops_is_not_ready(served: Served) -> None:
    served.floor.stop()
    assert (await served.client.get("/readyz")).status_code == 503


async def test_metrics_are_plain_text_that_counts(served: Served) -> None:
    await served.ticket("cold-harbour", "lager-pint")
    await served.settled()
    found = await served.client.get("/metrics")
    assert found.headers["content-type"].startswith("text/plain; version=0.0.4")
    for line in found.text.splitlines():
        assert re.fullmatch(r'# (HELP|TYPE) \w+ .+|\w+({bar="[\w-]+"})? [\d.e+-]+', line), line
    assert 'threedeep_open_drinks{bar="saltmarch"} 2' in found.text
    assert 'threedeep_asks_total{bar="saltmarch"} 1' in found.text


async def test_a_fault_in_a_search_is_survived(served: Served) -> None:
    task = served.floor.tasks["saltmarch"]
    good = task._settings
    # A limit that no budget takes: the search raises before it begins.
    task._settings = replace(good, limit_ms=0)
    await served.ticket("cold-harbour")
    for _ in range(200):
        if task.figures.faults:
            break
        await asyncio.sleep(0.02)
    assert task.figures.faults == 1
    task._settings = good
    await served.ticket("slate-roof")
    for _ in range(300):
        if task.figures.searches:
            break
        await asyncio.sleep(0.02)
    assert task.figures.searches >= 1
    assert task.is_ready
