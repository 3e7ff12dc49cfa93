"""Tills whose clocks are off, and prints that a till held back: from when tickets count."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import FIRST_EVENING

from .tills import alerts, one, paper, post, printing, ticket_of

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


@pytest.fixture
async def till(tmp_path: Path, saltmarch: Bar) -> AsyncIterator[Served]:
    async with printing(tmp_path / "night.db", saltmarch) as served:
        yield served


def by_its_clock(served: Served, ahead_min: int) -> str:
    """The time that a till prints now, in the bar's own time."""
    return f"{served.clock.now() + timedelta(minutes=ahead_min):%H:%M}"


async def waits_min(served: Served, found: dict[str, Any]) -> float:
    """For how many minutes the ticket of a print counts as waiting."""
    record = served.floor.desks["saltmarch"].state.tickets[found["ticket"]]
    return (served.clock.now() - record.placed_at) / timedelta(minutes=1)


@pytest.mark.parametrize("ahead_min", [6, 11, 20, 60, 300, -6, -60, -300])
async def test_a_clock_that_is_off_moves_no_ticket(till: Served, ahead_min: int) -> None:
    found = await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, ahead_min)))
    assert await waits_min(till, found) == 0
    record = till.floor.desks["saltmarch"].state.tickets[found["ticket"]]
    assert record.business_day == FIRST_EVENING.date().isoformat()
    (alert,) = await alerts(till, "clock")
    way = "ahead of" if ahead_min > 0 else "behind"
    how_far = f"{abs(ahead_min)} minutes" if abs(ahead_min) < 180 else "5 hours"
    assert alert["words"].startswith(f"the clock of till bar is {how_far} {way} the bar's: set it")


async def test_a_clock_is_said_once_and_tapped_away(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, 60)))
    (alert,) = await alerts(till, "clock")
    await till.done(f"/alerts/{alert['id']}/seen", {"screen": "left"})
    assert await alerts(till, "clock") == []
    till.clock.advance(600)
    found = await one(till, paper(215, "1 Salt Ferry", at=by_its_clock(till, 61)))
    assert await waits_min(till, found) == 0
    assert await alerts(till, "clock") == []
    # Off by something else, it is said anew; set right, it is not said any more.
    await one(till, paper(216, "1 Salt Ferry", at=by_its_clock(till, -30)))
    assert len(await alerts(till, "clock")) == 1
    await one(till, paper(217, "1 Salt Ferry", at=by_its_clock(till, 0)))
    assert await alerts(till, "clock") == []


async def test_a_void_finds_its_ticket_by_a_clock_that_is_ahead(till: Served) -> None:
    found = await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, 60)))
    void = await one(till, paper(214, "1 Salt Ferry", mark="VOID", at=by_its_clock(till, 60)))
    assert (void["became"], void["ticket"]) == ("void", found["ticket"])


@pytest.mark.parametrize("ahead_min", [-4, 0, 4])
async def test_a_few_minutes_are_no_clock_that_is_off(till: Served, ahead_min: int) -> None:
    found = await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, ahead_min)))
    assert await waits_min(till, found) == max(0, -ahead_min)
    assert await alerts(till, "clock") == []


async def test_what_came_in_one_go_was_held_up_and_counts_from_its_paper(till: Served) -> None:
    late = [
        paper(214 + n, "1 Salt Ferry", at=by_its_clock(till, -m)) for n, m in ((0, 40), (1, 25))
    ]
    answer = await post(till, b"".join(late))
    waits = [await waits_min(till, found) for found in answer.json()["prints"]]
    assert waits == [40, 25]
    assert await alerts(till, "clock") == []


async def test_two_rounds_in_one_go_by_a_slow_clock_were_not_held_up(till: Served) -> None:
    late = [paper(214 + n, "1 Salt Ferry", at=by_its_clock(till, -60 + n)) for n in (0, 1)]
    answer = await post(till, b"".join(late))
    waits = [await waits_min(till, found) for found in answer.json()["prints"]]
    assert waits == [0, 0]
    assert len(await alerts(till, "clock")) == 1


async def test_one_late_print_of_a_clock_known_to_be_right_was_held_up(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, 0)))
    till.clock.advance(3600)
    found = await one(till, paper(215, "1 Salt Ferry", at=by_its_clock(till, -20)))
    assert await waits_min(till, found) == 20
    assert await alerts(till, "clock") == []


async def test_prints_that_go_on_to_be_late_by_the_same_are_a_clock(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, 0)))
    till.clock.advance(3600)
    await one(till, paper(215, "1 Salt Ferry", at=by_its_clock(till, -60)))
    till.clock.advance(420)
    found = await one(till, paper(216, "1 Salt Ferry", at=by_its_clock(till, -60)))
    assert await waits_min(till, found) == 0
    assert len(await alerts(till, "clock")) == 1


async def test_the_next_evening_an_hour_behind_is_a_clock(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", at=by_its_clock(till, 0)))
    till.clock.advance(20 * 3600)
    found = await one(till, paper(1, "1 Salt Ferry", at=by_its_clock(till, -60)))
    assert await waits_min(till, found) == 0
    assert len(await alerts(till, "clock")) == 1


async def test_a_reprint_says_nothing_of_the_clock(till: Served) -> None:
    found = await one(till, paper(214, "1 Salt Ferry", mark="REPRINT", at=by_its_clock(till, -30)))
    assert await alerts(till, "clock") == []
    assert (await ticket_of(till, found))["number"] == "214"
