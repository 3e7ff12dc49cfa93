"""Nights that cost no core, to see what spreading nights costs by itself.

In a file of its own, so that a worker finds them by their name.
"""

from __future__ import annotations

import time

from solver.rush.figures import Figures
from solver.rush.replications import ShouldStop
from solver.rush.study import NightJob, night_figures

WAITS_S = 0.25
_kept: list[Figures] = []


def same_night(job: NightJob, should_stop: ShouldStop) -> Figures:
    """Give the figures of the first night that this worker was asked for, again and again."""
    if not _kept:
        _kept.append(night_figures(job, should_stop))
    return _kept[0]


def waiting_night(job: NightJob, should_stop: ShouldStop) -> Figures:
    """The same, after a quarter of a second in which nothing is done."""
    time.sleep(WAITS_S)
    return same_night(job, should_stop)
