"""How long all of it will take, said once, when the first nights are done.

Nobody starts a command for a coffee break and waits through the evening. The first night of each
way of working says what a night takes; what comes after it is so many nights more. How many rotas
will be tried nobody knows before: it is said as a guess.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from solver.rush.replications import Progress

SAID_FROM_S = 60.0
USUAL_ROTAS = 60
"""So many rotas are tried as a rule; measured on the sample rushes, more where many work."""


@dataclass(slots=True, kw_only=True)
class Lasting:
    """Tells how long it will take.

    Attributes
    ----------
    ways : int
        Ways of working that are compared; the further questions are asked of the first.
    nights : int
        First nights of each.
    changes, rota_nights : int
        Changes that are ranked, the night as it is counted, and nights a rota is tried on; 0 for
        not asked.
    clock : callable
        Monotonic seconds.
    """

    ways: int
    nights: int
    changes: int
    rota_nights: int
    clock: Callable[[], float]
    _first: tuple[int, float] | None = field(default=None, init=False)
    _is_said: bool = field(default=False, init=False)

    def words(self, progress: Progress) -> str:
        """Give the words, once; empty before there is a night to go by, and for a short run."""
        if self._first is None:
            # Whoever works has started and compiled by now; that is not counted.
            self._first = (progress.done, self.clock())
            return ""
        done, since_s = self._first
        if self._is_said or progress.done < done + self.ways:
            return ""
        self._is_said = True
        job_s = (self.clock() - since_s) / (progress.done - done)
        # The first way of working may be the one that takes most of a night's time.
        more = self.ways * self.nights * self.changes
        rotas = self.ways * self.rota_nights * USUAL_ROTAS
        left_s = job_s * (self.ways * self.nights - progress.done + more + rotas)
        if left_s < SAID_FROM_S:
            return ""
        parts = [f"{self.nights} nights by each way of working"]
        parts += [f"{self.changes - 1} changes on as many"] if self.changes else []
        parts += [f"some {USUAL_ROTAS} rotas on {self.rota_nights}"] if self.rota_nights else []
        most = "up to about" if self.ways > 1 and (more or rotas) else "about"
        return f"this takes {most} {lasting_words(left_s)} more: {', '.join(parts)}"


def lasting_words(seconds: float) -> str:
    """Write a time as somebody says it who guesses: ``12 minutes``, ``2 hours``."""
    minutes = seconds / 60
    if minutes < 10:
        count = max(1, round(minutes))
        return "a minute" if count == 1 else f"{count} minutes"
    if minutes < 100:
        return f"{5 * round(minutes / 5)} minutes"
    return f"{max(2, round(minutes / 60))} hours"
