"""The one file that reads a clock.

Wall time is UTC and is what is stored; durations are measured on the monotonic clock, because a
wall clock jumps.
"""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """What the service asks about time; tests pass one that they move by hand."""

    def now(self) -> datetime:
        """Give the wall time, aware, in UTC."""
        ...

    def monotonic(self) -> float:
        """Give seconds on a clock that never goes back."""
        ...


class SystemClock:
    """The clock of this machine."""

    def now(self) -> datetime:
        """Give the wall time, aware, in UTC."""
        return datetime.now(UTC)

    def monotonic(self) -> float:
        """Give seconds on a clock that never goes back."""
        return time.monotonic()
