"""How long all of it will take, said once, when the first nights are done.

Nobody starts a command for a coffee break and waits through the evening. The first night of each
way of working says what a night takes; what comes after it is so many nights more. How many rotas
will be tried nobody knows before: it is said as a guess.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from solver.rush.replications import Progress
from solver.rush.scenario import Policy

SAID_FROM_S = 60.0
USUAL_ROTAS = 100
"""So many rotas are tried, more or less: 109 on two sample Fridays by the ticket; more where many
work."""

NIGHT_TAKES: Mapping[Policy, float] = {
    Policy.LIVE: 6.4,
    Policy.LOOK_AHEAD: 1.3,
    Policy.BY_THE_ROUND: 1.3,
    Policy.BY_THE_TICKET: 0.3,
}
"""What a night takes by one way of working against another: seconds of CPU on the sample Friday
(`loadtest.rush_speed`, 2026-11-25). Only their proportions are used."""


@dataclass(slots=True, kw_only=True)
class Lasting:
    """Tells how long it will take.

    Attributes
    ----------
    ways : tuple of Policy
        Ways of working that are compared; the further questions are asked of the first.
    nights : int
        First nights of each.
    changes, rota_nights : int
        Changes that are ranked, the night as it is counted, and nights a rota is tried on; 0 for
        not asked.
    clock : callable
        Monotonic seconds.
    """

    ways: tuple[Policy, ...]
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
        ways = len(self.ways)
        if self._is_said or progress.done < done + ways:
            return ""
        self._is_said = True
        night_s = ways * (self.clock() - since_s) / (progress.done - done)
        takes = [NIGHT_TAKES[way] for way in self.ways]
        by_first_s = night_s * takes[0] / sum(takes)
        more = self.nights * self.changes + self.rota_nights * USUAL_ROTAS
        left_s = night_s * (self.nights - progress.done / ways) + by_first_s * more
        if left_s < SAID_FROM_S:
            return ""
        parts = [f"{self.nights} nights by each way of working"]
        parts += [f"{self.changes - 1} changes on as many"] if self.changes else []
        parts += [f"some {USUAL_ROTAS} rotas on {self.rota_nights}"] if self.rota_nights else []
        return f"this takes about {lasting_words(left_s)} more: {', '.join(parts)}"


def lasting_words(seconds: float) -> str:
    """Write a time as somebody says it who guesses: ``12 minutes``, ``2 hours``."""
    minutes = seconds / 60
    if minutes < 10:
        count = max(1, round(minutes))
        return "a minute" if count == 1 else f"{count} minutes"
    if minutes < 100:
        return f"{5 * round(minutes / 5)} minutes"
    return f"{max(2, round(minutes / 60))} hours"
