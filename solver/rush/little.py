"""Little's law, held exactly against a night's log.

Over a stretch that begins and ends with nobody in the system, the rounds in the system, summed
over time, are the rounds' times in the system, summed over rounds: L·T = Σ W, whatever happened.
The left side comes from a count that was kept while the night ran, the right side from the log of
each round, so a round that is lost, counted twice or timed wrongly shows.

Source: Little 1961, Oper. Res. 9:383-387; that it holds exactly on such stretches: Stidham 1974,
Oper. Res. 22:417-421 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from .night import Night


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch from empty to empty, in whole milliseconds.

    Attributes
    ----------
    from_ms, to_ms : int
    num_rounds : int
        Placed in it.
    area_ms : int
        Rounds in the system, summed over time, from the count.
    waited_ms : int
        Times in the system, summed over rounds, from the log.
    """

    from_ms: int
    to_ms: int
    num_rounds: int
    area_ms: int
    waited_ms: int

    @property
    def gap_ms(self) -> int:
        """What the law is broken by; 0 is right."""
        return abs(self.area_ms - self.waited_ms)


def stretches_of(night: Night) -> tuple[Stretch, ...]:
    """Give every stretch of a night from empty to empty."""
    steps = [(round(at_s * 1000), count) for at_s, count in night.in_system]
    spans = [
        (round(r.placed_s * 1000), round(r.over_s * 1000))
        for r in night.rounds
        if r.over_s is not None
    ]
    found = []
    begun_ms, area_ms = 0, 0
    for (at_ms, count), (next_ms, next_count) in pairwise(steps):
        if count == 0:
            begun_ms, area_ms = next_ms, 0
        area_ms += count * (next_ms - at_ms)
        if next_count == 0 and count > 0:
            inside = [span for span in spans if begun_ms <= span[0] < next_ms]
            waited_ms = sum(over_ms - placed_ms for placed_ms, over_ms in inside)
            found.append(
                Stretch(
                    from_ms=begun_ms,
                    to_ms=next_ms,
                    num_rounds=len(inside),
                    area_ms=area_ms,
                    waited_ms=waited_ms,
                )
            )
    return tuple(found)


def little_law_error(night: Night) -> float:
    """Give the largest share by which the law is broken on any stretch; 0 is exact."""
    return max((s.gap_ms / max(1, s.area_ms) for s in stretches_of(night)), default=0.0)
