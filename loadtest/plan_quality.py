"""How much sooner rounds are done by the plan than by the ways a bar works today.

Run as ``python -m loadtest.plan_quality [--quick]``. The ratio is the mean time to last drink,
counted from the snapshot's moment (what has passed is nobody's doing), of the plan against
look-ahead on the same snapshot. The last line is one JSON object.

``worse_than_a_fair_baseline`` counts snapshots where the plan costs more, by its own goal, than
a baseline that keeps every rule; ``rules_broken`` counts broken rules in all plans.
"""

from __future__ import annotations

import argparse
import json
import platform
import statistics
import sys
from dataclasses import dataclass

from loadtest.snapshots import random_snapshot
from service.clock import SystemClock
from service.files import SAMPLES, read_bar
from solver.baselines import BASELINES
from solver.goal import measures_of
from solver.planner import Budget, baseline_plan, make_plan, warm_up, with_fair_bound
from solver.snapshot import Snapshot
from solver.verify import verify

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
QUICK = ((40, 3, 250, 20),)
FULL = (
    (40, 3, 50, 40),
    (40, 3, 250, 40),
    (40, 3, 1000, 40),
    (12, 1, 250, 40),
    (29, 2, 250, 40),
    (60, 3, 250, 40),
)
"""Open drinks, bartenders, limit in milliseconds, snapshots."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One snapshot's figures; times in seconds from its moment."""

    seed: int
    plan_s: float
    baselines_s: dict[str, float]
    elapsed_ms: float
    num_broken: int
    is_worse: bool
    fair_baselines: int

    @property
    def vs_look_ahead(self) -> float:
        """The plan's mean time to last drink against look-ahead's."""
        return self.plan_s / self.baselines_s["look-ahead"]

    @property
    def vs_best_baseline(self) -> float:
        """The same against the best baseline."""
        return self.plan_s / min(self.baselines_s.values())


def measure(snapshot: Snapshot, seed: int, limit_ms: int, clock: SystemClock) -> Row:
    """Plan one snapshot within the limit and hold it against the three baselines."""
    begun = clock.monotonic()
    plan = make_plan(snapshot, Budget(limit_ms=limit_ms, seed=seed), clock=clock.monotonic)
    elapsed_ms = (clock.monotonic() - begun) * 1000
    baselines = {name: baseline_plan(snapshot, name) for name in BASELINES}
    fair = [other for other in baselines.values() if not verify(snapshot, other)]
    return Row(
        seed=seed,
        plan_s=measures_of(snapshot, plan).mean_from_now_s,
        baselines_s={n: measures_of(snapshot, p).mean_from_now_s for n, p in baselines.items()},
        elapsed_ms=elapsed_ms,
        num_broken=len(verify(snapshot, plan)),
        is_worse=any(plan.cost > other.cost for other in fair),
        fair_baselines=len(fair),
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="20 snapshots of 40 drinks, 250 ms")
    args = parser.parse_args()
    bar = read_bar(HOUSE)
    clock = SystemClock()
    warm_up(random_snapshot(bar, 1, 4, 2))
    print(f"python {platform.python_version()}, {platform.machine()}, one planner at a time")
    print("drinks people limit_ms | plan s | ratio to look-ahead: median  worst | to best baseline")
    result: dict[str, object] = {}
    for drinks, people, limit_ms, count in QUICK if args.quick else FULL:
        rows = []
        for seed in range(1, count + 1):
            snapshot = with_fair_bound(random_snapshot(bar, seed, drinks, people))
            rows.append(measure(snapshot, seed, limit_ms, clock))
            print(f"\r{seed}/{count}", end="", file=sys.stderr)
        print("\r", end="", file=sys.stderr)
        summary = summarise(rows, drinks, people, limit_ms)
        print(
            f"{drinks:6d} {people:6d} {limit_ms:8d} | {summary['plan_s_median']:6.0f} |"
            f" {summary['vs_look_ahead_median']:.3f}  {summary['vs_look_ahead_max']:.3f} |"
            f" {summary['vs_best_baseline_median']:.3f}"
        )
        if (drinks, people, limit_ms) == (40, 3, 250):
            result = summary
    print(json.dumps(result))


def summarise(rows: list[Row], drinks: int, people: int, limit_ms: int) -> dict[str, object]:
    """Give the figures of one setting, rounded."""
    vs_best = statistics.median(row.vs_best_baseline for row in rows)
    return {
        "snapshots": len(rows),
        "drinks": drinks,
        "bartenders": people,
        "limit_ms": limit_ms,
        "plan_s_median": round(statistics.median(row.plan_s for row in rows), 1),
        "vs_look_ahead_median": round(statistics.median(row.vs_look_ahead for row in rows), 4),
        "vs_look_ahead_max": round(max(row.vs_look_ahead for row in rows), 4),
        "vs_best_baseline_median": round(vs_best, 4),
        "worse_than_a_fair_baseline": sum(row.is_worse for row in rows),
        "fair_baselines": sum(row.fair_baselines for row in rows),
        "rules_broken": sum(row.num_broken for row in rows),
        "elapsed_ms_max": round(max(row.elapsed_ms for row in rows), 1),
    }


if __name__ == "__main__":
    main()
