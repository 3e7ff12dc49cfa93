"""Passing time plans anew; what came while the planner got ready is planned; searches wait."""

from __future__ import annotations

import asyncio
import math
import subprocess
import sys
import threading
import time
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from service.night.marks import seconds_from
from service.night.moment import shifted, snapshot_of
from service.planning.aside import StepAside
from service.planning.quick import WARMING_UP, Planned, is_worth_showing, what_stands
from service.planning.task import has_time_passed
from tests.service.conftest import BAR, HandClock, here, planned, serving

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def test_a_planned_start_that_passes_plans_anew(served: Served) -> None:
    await served.ticket("cold-harbour")
    await served.settled()
    state, now = served.floor.desks[BAR].state, served.clock.now()
    assert not has_time_passed(state, now, 5.0)
    assert not has_time_passed(state, now + timedelta(seconds=5), 5.0)
    assert has_time_passed(state, now + timedelta(seconds=6), 5.0)


async def test_a_planned_end_that_passes_plans_anew(served: Served) -> None:
    await served.ticket("cold-harbour")
    order = await served.settled()
    build = planned(order)[0]
    await served.done(f"/builds/{build['id']}/start")
    state, now = served.floor.desks[BAR].state, served.clock.now()
    assert state.order is not None
    assert state.order.plan is not None
    end_s = state.order.plan.builds[0].end_s
    assert not has_time_passed(state, now + timedelta(seconds=end_s + 4), 5.0)
    assert has_time_passed(state, now + timedelta(seconds=end_s + 6), 5.0)


async def test_a_bottle_that_must_be_here_plans_anew(served: Served) -> None:
    await served.ticket("cold-harbour")
    await served.put("/stock/gin", {"state": "bottle_out", "minutes": 1})
    await served.done("/events", {"event": "person_off", "person": "tam", "minutes": 1})
    state = served.floor.desks[BAR].state
    later = served.clock.now() + timedelta(seconds=66)
    assert state.order is not None
    quiet = replace(state, order=replace(state.order, plan=None))
    assert has_time_passed(quiet, later, 5.0)
    assert not has_time_passed(quiet, later - timedelta(seconds=7), 5.0)


async def test_time_alone_moves_the_order(tmp_path: Path, saltmarch: Bar) -> None:
    clock = HandClock()
    async with serving(tmp_path / "n.db", saltmarch, clock, time_replan_s=0.1) as served:
        await served.ticket("cold-harbour")
        before = planned(await served.settled())[0]
        clock.advance(30)
        after = before
        for _ in range(200):
            if after["planned_start"] != before["planned_start"]:
                break
            await asyncio.sleep(0.02)
            after = planned(await served.order())[0]
        assert after["planned_start"] >= "2027-02-12T21:00:30.0Z"
        assert after["id"] == before["id"]


async def test_what_comes_before_the_planner_is_ready_is_kept_and_planned(
    served: Served,
) -> None:
    desk = served.floor.desks[BAR]
    desk.can_plan = False
    found = await served.ticket("cold-harbour")
    assert found["expected"] is None
    order = await served.order()
    assert [alert["words"] for alert in order["alerts"]] == [WARMING_UP]
    desk.warmed()
    order = await served.settled()
    assert (len(planned(order)), order["alerts"]) == (1, [])


async def test_only_news_are_worth_showing(served: Served) -> None:
    for _ in range(3):
        await served.ticket("cold-harbour", "slate-roof")
    await served.settled()
    order = served.floor.desks[BAR].state.order
    assert order is not None
    assert order.plan is not None
    same = Planned(moment=order.moment, plan=order.plan)
    assert not is_worth_showing(order, same)
    later = order.moment + timedelta(seconds=60)
    moved = Planned(moment=later, plan=shifted(order.plan, order.moment, later))
    assert not is_worth_showing(order, moved), "the same times, counted from another moment"
    assert is_worth_showing(order, replace(same, moment=later)), "everything a minute later"
    assert is_worth_showing(order, replace(same, plan=None))
    fewer = replace(order.plan, builds=order.plan.builds[1:])
    assert is_worth_showing(order, replace(same, plan=fewer))


async def test_what_stands_of_a_plan_is_true(served: Served) -> None:
    first = await served.ticket("cold-harbour", "slate-roof")
    await served.ticket("lager-pint")
    await served.settled()
    order = served.floor.desks[BAR].state.order
    assert order is not None
    await served.done(f"/tickets/{first['id']}/void")
    snapshot = snapshot_of(served.floor.desks[BAR].state, served.clock.now())
    left = what_stands(snapshot, order.plan)
    names = [served.floor.desks[BAR].state.drinks[d].name for b in left.builds for d in b.drinks]
    assert names == ["pint of lager"]
    assert what_stands(snapshot, None).builds == ()


async def test_a_searched_plan_for_a_bar_that_changed_is_put_into_the_present(
    served: Served,
) -> None:
    for _ in range(4):
        await served.ticket("cold-harbour", "slate-roof")
    await served.settled()
    desk = served.floor.desks[BAR]
    old = desk.state
    assert old.order is not None
    await served.ticket("lager-pint")
    desk.show(Planned(moment=old.order.moment, plan=old.order.plan), old.version)
    order = await served.settled()
    drinks = {d for b in planned(order) for d in b["drinks"] if isinstance(d, str)}
    drinks |= {d["id"] for b in planned(order) for d in b["drinks"] if isinstance(d, dict)}
    assert len(drinks) == 9
    assert any(here(order, person)["next"] for person in ("ruth", "tam", "ines"))


def test_searches_wait_while_somebody_is_served() -> None:
    aside = StepAside(HandClock())
    looked: list[float] = []
    with aside.serving():
        began = time.monotonic()
        search = threading.Thread(target=lambda: looked.append(aside.search_clock()))
        search.start()
        time.sleep(0.05)
        assert looked == []
    search.join(2)
    assert looked[0] - began >= 0.05
    began = time.monotonic()
    aside.search_clock()
    assert time.monotonic() - began < 0.05


def test_a_search_finds_its_time_is_up_once_all_is_over() -> None:
    aside = StepAside(HandClock())
    with aside.serving():
        aside.stop()
        assert aside.search_clock() == math.inf


def test_seconds_are_tenths() -> None:
    now = HandClock().now()
    assert seconds_from(now, now + timedelta(seconds=1.26)) == 1.3
    assert seconds_from(now, now - timedelta(seconds=0.04)) == 0.0


@pytest.mark.parametrize("module", ["service.cli", "service.app", "service.demo.run"])
def test_the_page_waits_for_no_planner(module: str) -> None:
    """What compiles and proves takes seconds to import: that goes on beside the first answers."""
    heavy = "{'numba', 'ortools', 'pandas', 'matplotlib', 'scipy'}"
    said = f"import sys, {module}; print(sorted({heavy} & sys.modules.keys()))"
    ran = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
