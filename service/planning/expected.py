"""When to tell a person that a round will be done.

Steps scatter by about a quarter around their time standard (common practice). A stretch of work
of `planned_s` is a chain of stretches of about a minute each, whose scatter adds up as the root
of the sum of squares::

    margin_s = 0.84 x 0.25 x sqrt(planned_s x 60)

0.84 is the normal distribution's 80% point: four times in five the round is done by then. Rounds
that have not been placed yet are not counted. People are told whole minutes, never seconds.
"""

from __future__ import annotations

import math
from datetime import datetime, timedelta

POINT_80 = 0.84
SCATTER = 0.25
STRETCH_S = 60.0


def margin_s(planned_s: float) -> float:
    """Give what to add to a planned time from now, in seconds, so that 80% of rounds make it."""
    return POINT_80 * SCATTER * math.sqrt(max(0.0, planned_s) * STRETCH_S)


def expected_at(moment: datetime, planned_s: float) -> datetime:
    """Give the 80% time of something planned `planned_s` from a moment, up to a whole second."""
    at = moment + timedelta(seconds=planned_s + margin_s(planned_s))
    return at.replace(microsecond=0) + timedelta(seconds=1 if at.microsecond else 0)


def whole_minutes(now: datetime, at: datetime) -> int:
    """Give the minutes until a time as a person is told them: whole, rounded up, at least 1."""
    return max(1, math.ceil((at - now).total_seconds() / 60))
