"""Sums by quarter of an hour, and things that are held: the night's bookkeeping."""

from __future__ import annotations

from collections.abc import Iterable

import simpy

from .arrivals import QUARTER_S
from .night import Quarters

QUARTER_MS = QUARTER_S * 1000


class Tally:
    """Milliseconds, weighted, by quarter of an hour; what comes after the last is in the last."""

    def __init__(self, num_quarters: int) -> None:
        self._ms = [0] * max(1, num_quarters)

    def add(self, from_ms: int, to_ms: int, weight: int = 1) -> None:
        """Count a stretch, half-open."""
        last = len(self._ms) - 1
        while from_ms < to_ms:
            quarter = min(from_ms // QUARTER_MS, last)
            end_ms = to_ms if quarter == last else min(to_ms, (quarter + 1) * QUARTER_MS)
            self._ms[quarter] += weight * (end_ms - from_ms)
            from_ms = end_ms

    @property
    def seconds(self) -> Quarters:
        """The sums so far, in seconds."""
        return tuple(ms / 1000 for ms in self._ms)

    @property
    def is_empty(self) -> bool:
        """Whether nothing was counted."""
        return not any(self._ms)


class Standing:
    """How many of something stand or are held, over time.

    Parameters
    ----------
    env : simpy.Environment
    num_quarters : int
    """

    def __init__(self, env: simpy.Environment, num_quarters: int) -> None:
        self.tally = Tally(num_quarters)
        self.most = 0
        self._env = env
        self._count = 0
        self._since_ms = 0

    def add(self, by: int) -> None:
        """Count so many more from now on, or less."""
        now = int(self._env.now)
        if self._count:
            self.tally.add(self._since_ms, now, self._count)
        self._since_ms = now
        self._count += by
        self.most = max(self.most, self._count)

    def close(self) -> None:
        """Count what still stands, at the end of the night."""
        self.add(0)


class Stuff(Standing):
    """Vessels of a kind, a machine, a tap, a well: held one by one, first come first served.

    Parameters
    ----------
    env : simpy.Environment
    name : str
    capacity : int
        1 or more.
    num_quarters : int
    """

    def __init__(self, env: simpy.Environment, name: str, capacity: int, num_quarters: int) -> None:
        super().__init__(env, num_quarters)
        self.name = name
        self.capacity = capacity
        self._resource = simpy.Resource(env, capacity)

    @property
    def num_free(self) -> int:
        """How many nobody holds or waits for."""
        return self.capacity - self._resource.count - len(self._resource.queue)

    def ask(self) -> simpy.resources.resource.Request:
        """Ask for one; the request is an event that comes when it is there."""
        return self._resource.request()

    def begin_use(self) -> None:
        """Count one as held from now on."""
        self.add(1)

    def end_use(self) -> None:
        """Count one less as held from now on."""
        self.add(-1)

    def give(self, request: simpy.resources.resource.Request) -> None:
        """Give one back, or stop waiting for it."""
        if request.triggered:
            self._resource.release(request)
        else:
            request.cancel()


class Steps:
    """A count over time, as steps: from each moment on, how many."""

    def __init__(self) -> None:
        self._steps: list[tuple[int, int]] = [(0, 0)]

    @property
    def now(self) -> int:
        """The count as it is."""
        return self._steps[-1][1]

    def add(self, at_ms: int, by: int) -> None:
        """Change the count at a moment, no sooner than the last."""
        count = self.now + by
        if self._steps[-1][0] == at_ms:
            self._steps.pop()
        self._steps.append((at_ms, count))

    @property
    def seconds(self) -> tuple[tuple[float, int], ...]:
        """The steps so far, in seconds."""
        return tuple((at_ms / 1000, count) for at_ms, count in self._steps)


def overlap_ms(stretches: Iterable[tuple[int, int]], from_ms: int, to_ms: int) -> int:
    """Give how much of a stretch is covered by others that do not overlap each other."""
    return sum(max(0, min(end, to_ms) - max(begin, from_ms)) for begin, end in stretches)
