"""Searches step aside while somebody's tap or ticket is being taken, and end when all is over.

A search that runs in another thread would slow the answer down: both want the interpreter. A
search looks at its clock every few hundred moves; the clock it is given here waits meanwhile.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from service.clock import Clock

LONGEST_WAIT_S = 0.2
"""A search waits no longer than this at a time, whatever happens to the tap."""


class StepAside:
    """Knows whether anybody is being served, and makes searches wait until nobody is."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._num_served = 0
        self._is_calm = threading.Event()
        self._is_calm.set()

    @property
    def is_over(self) -> bool:
        """Whether nobody waits for a search any more."""
        return self._is_over

    def stop(self) -> None:
        """Have every search find that its time is up."""
        self._is_over = True

    _is_over = False

    @contextmanager
    def serving(self) -> Iterator[None]:
        """Have searches wait for as long as the block runs."""
        with self._lock:
            self._num_served += 1
            self._is_calm.clear()
        try:
            yield
        finally:
            with self._lock:
                self._num_served -= 1
                if not self._num_served:
                    self._is_calm.set()

    def search_clock(self) -> float:
        """Give monotonic seconds, once nobody is being served; past all limits after `stop`."""
        if not self._is_over:
            self._is_calm.wait(LONGEST_WAIT_S)
        return math.inf if self._is_over else self._clock.monotonic()
