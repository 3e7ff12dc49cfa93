"""A clock that runs faster than the world, so that a Friday need not take a Friday."""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta

from service.clock import Clock


class PacedClock:
    """Begins at the present and runs `pace` times as fast.

    Wall time is paced: what the service stores and what the screens show. Durations are not: a
    search that may take 250 ms takes 250 ms of this machine whatever the guests do.

    Parameters
    ----------
    clock : Clock
        The clock of this machine.
    pace : float
        Seconds of the demo in one second of the world.
    """

    def __init__(self, clock: Clock, pace: float) -> None:
        self.pace = pace
        self._clock = clock
        self._began = clock.now()
        self._pulse = clock.monotonic()

    def now(self) -> datetime:
        """Give the demo's wall time, aware, in UTC."""
        return self._began + timedelta(seconds=self.pace * (self._clock.monotonic() - self._pulse))

    def monotonic(self) -> float:
        """Give this machine's monotonic seconds."""
        return self._clock.monotonic()

    async def sleep(self, seconds: float) -> None:
        """Wait for so many seconds of the demo."""
        await asyncio.sleep(max(0.0, seconds) / self.pace)

    async def sleep_until(self, moment: datetime) -> None:
        """Wait until a time of the demo."""
        await self.sleep((moment - self.now()).total_seconds())
