"""How long a plan may take, and how far a search is in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solver.errors import BadValue
from solver.search import Search

Clock = Callable[[], float]
"""A monotonic clock in seconds, passed in; the solver has none of its own."""

RESERVE_MS = 10.0
RESERVE_PER_DRINK_MS = 0.3
"""Kept back from a limit for laying out, verifying and handing over the final plan; more where the
baselines already took longer than this, which is how a busy machine shows."""

REPAIRING = 0.25
"""Of a limit, after which an earlier plan's new drinks are put where they fit and no more places
are tried: three hundred open drinks would otherwise take seconds."""

EXACT_SOLVING = 0.6
"""Of what is left then, what the solver itself may take; the rest is for building its model."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How long a plan may take: by the clock, or by counted moves for the same plan anywhere.

    Attributes
    ----------
    limit_ms : int or None
        Wall clock from call to verified plan. None with `moves`.
    moves : int or None
        Moves of the local search; no clock is looked at.
    exact_work : float or None
        With `moves`: how much the exact solver may do on a short rail, in its own deterministic
        units; the same plan then only for the same wheel and architecture. None for not at all.
    seed : int
    """

    limit_ms: int | None = 250
    moves: int | None = None
    exact_work: float | None = None
    seed: int = 1

    def __post_init__(self) -> None:
        if (self.limit_ms is None) == (self.moves is None):
            raise BadValue("either limit_ms or moves, the other None", (self.limit_ms, self.moves))
        if self.limit_ms is not None and not 1 <= self.limit_ms <= 3_600_000:
            raise BadValue("limit_ms from 1 to 3600000 milliseconds", self.limit_ms)
        if self.moves is not None and not 1 <= self.moves <= 1_000_000_000:
            raise BadValue("moves from 1 to 1000000000", self.moves)


class Deadline:
    """Turns a budget into the progress of a search."""

    def __init__(self, budget: Budget, clock: Clock) -> None:
        self.seed = budget.seed
        self._budget = budget
        self._clock = clock
        self._start = self._from = self._until = 0.0
        if budget.limit_ms is not None:
            self._start = clock()

    def look(self) -> None:
        """Look at the clock between two steps: whoever gives it may have the search wait."""
        if self._budget.limit_ms is not None:
            self._clock()

    def may_repair(self) -> Callable[[], bool]:
        """Give whether there is time to try more places for what an earlier plan has not."""
        if self._budget.limit_ms is None:
            return lambda: True
        until = self._start + self._budget.limit_ms / 1000 * REPAIRING
        return lambda: self._clock() < until

    def begin(self, num_drinks: int) -> None:
        """Note that the search begins; the reserve is for everything after it."""
        if self._budget.limit_ms is None:
            return
        reserve_ms = RESERVE_MS + RESERVE_PER_DRINK_MS * num_drinks
        self._from = self._clock()
        reserve_s = max(reserve_ms / 1000, self._from - self._start)
        self._until = self._start + self._budget.limit_ms / 1000 - reserve_s

    def progress(self, search: Search, begin: float, end: float) -> Callable[[], float]:
        """Give the progress of a search that may use the stretch from `begin` to `end`."""
        if self._budget.moves is not None:
            return counted(search, max(1, round(self._budget.moves * (end - begin))))
        length = max(1e-9, self._until - self._from)
        start, stop = self._from + begin * length, self._from + end * length
        if self._until <= self._from:
            return lambda: 1.0
        return lambda: (self._clock() - start) / (stop - start)

    def for_exact(self) -> tuple[float | None, float | None]:
        """Give the exact solver's limits: seconds left, or deterministic work; none for neither."""
        if self._budget.limit_ms is None:
            return None, self._budget.exact_work
        left_s = self._until - self._clock()
        return (left_s * EXACT_SOLVING if left_s > 0 else None), None


def counted(search: Search, moves: int) -> Callable[[], float]:
    """Give the progress of a search that may try so many moves."""
    return lambda: search.num_tried / moves
