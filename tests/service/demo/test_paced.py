from __future__ import annotations

import asyncio
import time
from datetime import UTC, datetime, timedelta

import pytest

from service.clock import SystemClock
from service.demo.paced import PacedClock

NOON = datetime(2027, 2, 12, 12, tzinfo=UTC)


class ByHand:
    """A clock that is moved by hand."""

    def __init__(self) -> None:
        self.passed_s = 0.0

    def now(self) -> datetime:
        return NOON + timedelta(seconds=self.passed_s)

    def monotonic(self) -> float:
        return 1000.0 + self.passed_s


def test_wall_time_is_paced_and_durations_are_not() -> None:
    world = ByHand()
    clock = PacedClock(world, 4)
    assert (clock.now(), clock.monotonic()) == (NOON, 1000.0)
    world.passed_s = 15
    assert clock.now() == NOON + timedelta(minutes=1)
    assert clock.monotonic() == 1015.0


def test_a_minute_of_the_demo_is_a_minute_over_the_pace() -> None:
    clock = PacedClock(SystemClock(), 200)
    began, moment = time.monotonic(), clock.now() + timedelta(minutes=1)
    asyncio.run(clock.sleep_until(moment))
    assert clock.now() >= moment
    assert time.monotonic() - began == pytest.approx(0.3, abs=0.25)


def test_what_is_past_is_not_waited_for() -> None:
    clock = PacedClock(SystemClock(), 1)
    began = time.monotonic()
    asyncio.run(clock.sleep_until(clock.now() - timedelta(hours=1)))
    assert time.monotonic() - began < 1
