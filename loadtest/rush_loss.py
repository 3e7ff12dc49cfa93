"""What a counted budget loses against the service's own limit by the clock, on the same nights.

A rush counts moves, so that a night is the same on every machine; the service plans for a quarter
of a second. Here the same nights are simulated with both, and compared night by night. The limit
is held by this process's own time on its core (CPU), so that other programs on the machine take
nothing from it: as in a service that has a core to itself. The time of the night stands still
while a plan is made, for both.

Part of `loadtest.rush_speed`, by ``--against-live``.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence

from solver.plan import Plan
from solver.planner import Again, Budget, make_plan, with_fair_bound
from solver.rush.figures import Stretch, figures_of
from solver.rush.intervals import Interval, paired_difference, paired_ratio
from solver.rush.live import Plans
from solver.rush.results import whole_of
from solver.rush.scenario import Rush
from solver.rush.simulate import simulate
from solver.rush.study import busiest_hour
from solver.snapshot import Snapshot

Whole = Mapping[str, float | None]
"""Figures of one whole night by name."""

RATIOS = ("busiest_p90_s", "p90_s", "mean_s")
"""Times to last drink, compared as ratios: above 1 the counted budget is later."""


def by_the_clock(limit_ms: int) -> Plans:
    """Give who plans as the service does, with so many milliseconds of this process's time."""

    def plans(snapshot: Snapshot, previous: Plan | None) -> Again:
        bounded = with_fair_bound(snapshot)
        budget = Budget(limit_ms=limit_ms)
        plan = make_plan(bounded, budget, clock=time.process_time, previous=previous)
        return Again(snapshot=bounded, plan=plan)

    return plans


def against_live(rush: Rush, seeds: Sequence[int], limit_ms: int) -> dict[str, object]:
    """Simulate nights with both budgets, print each, and give the paired loss.

    Parameters
    ----------
    rush : Rush
    seeds : sequence of int
    limit_ms : int
        The service's limit for one plan.
    """
    busiest = busiest_hour(rush)
    counted: list[Whole] = []
    live: list[Whole] = []
    for seed in seeds:
        counted.append(_whole(rush, seed, busiest, None))
        live.append(_whole(rush, seed, busiest, by_the_clock(limit_ms)))
        print(f"seed {seed}: {_words(counted[-1])} counted; {_words(live[-1])} live", flush=True)
    said: dict[str, object] = {
        "nights": len(counted),
        "seeds": [seeds[0], seeds[-1]],
        "moves": rush.scenario.searching.moves,
        "limit_ms": limit_ms,
    }
    for name in RATIOS:
        pair = ([night[name] for night in nights] for nights in (counted, live))
        said[f"{name}_ratio"] = _interval(paired_ratio(*pair))
    kept = ([night["within_promise"] for night in nights] for nights in (counted, live))
    said["within_promise_difference"] = _interval(paired_difference(*kept))
    return said


def _whole(rush: Rush, seed: int, busiest: Stretch, plans: Plans | None) -> Whole:
    night = simulate(rush, seed=seed, clock=time.process_time, plans=plans)
    assert night is not None  # nobody stops it
    return whole_of(figures_of(night, busiest=busiest))


def _words(night: Whole) -> str:
    times = ", ".join(f"{name} {night[name] or 0:.0f}" for name in RATIOS)
    took = f"{night['plans'] or 0:.0f} plans in {night['planning_s'] or 0:.0f} s"
    return f"{times}, within promise {night['within_promise'] or 0:.3f} ({took})"


def _interval(found: Interval | None) -> list[float] | None:
    """Give mean and ends, rounded; the mean alone of one night."""
    ends = () if found is None else (found.mean, found.low, found.high)
    return [round(value, 3) for value in ends if value is not None] or None
