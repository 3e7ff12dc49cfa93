"""What a simulated Friday takes, and what the live planner is worth on it against look-ahead.

One night is one Friday of the sample house at full size on one core: by the ticket, by look-ahead,
and with the live planner at every event the screen hears of. Times are of this process on its
core (CPU), with the wall clock beside them, so that other programs on the machine do not count.
The budget of the planner is counted moves; with ``--moves`` it can be another than the scenario's.

    python -m loadtest.rush_speed --quick

With ``--against-live`` the counted budget is held against the service's own limit by the clock
instead (`loadtest.rush_loss`): a quarter of a second for each of some 1,400 plans a night, so six
minutes and more a night.

The last line is one JSON object; times in seconds. `p90_vs_look_ahead` is the 90% time to last
drink in the busiest hour, live over look-ahead, on the same nights, on average over them: a few
nights say little, `threedeep rush` gives intervals.
"""

from __future__ import annotations

import argparse
import json
import platform
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from loadtest.rush_loss import against_live
from service.files import SAMPLES, read_rush
from service.planning.task import one_of_some
from service.settings import Settings
from solver.planner import warm_up
from solver.rush.figures import Stretch, When, figures_of
from solver.rush.little import little_law_error
from solver.rush.night import Night
from solver.rush.scenario import Policy, Rush
from solver.rush.simulate import simulate
from solver.rush.study import busiest_hour

RUSHES = SAMPLES / "rushes"
QUICK_NIGHTS, NIGHTS = 1, 8
POLICIES = (Policy.BY_THE_TICKET, Policy.LOOK_AHEAD, Policy.LIVE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """One night and what it took."""

    night: Night
    cpu_s: float
    wall_s: float
    p90_s: float


def main(argv: Sequence[str] | None = None) -> int:
    """Measure and print; the last line is for machines."""
    args = _arguments(argv)
    rush = _with_moves(read_rush(args.rush), args.moves)
    # So that no night pays for what is compiled.
    warm_up(one_of_some(rush.house))
    busiest = busiest_hour(rush)
    seeds = range(args.seed, args.seed + args.nights)
    if args.against_live:
        print(json.dumps(against_live(rush, seeds, Settings().limit_ms)))
        return 0
    print(f"{rush.scenario.name}: {args.nights} nights from seed {args.seed}")
    print(f"python {platform.python_version()}, {platform.machine()}")
    timed = {policy: [_night(rush, policy, s, busiest) for s in seeds] for policy in POLICIES}
    for policy, nights in timed.items():
        print(_words(policy, nights))
    print(json.dumps(_last_line(rush, timed)))
    return 0


def _arguments(argv: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="rush_speed", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="one night of each, under a minute")
    parser.add_argument("--nights", type=int, help="how many nights of each")
    parser.add_argument("--seed", type=int, default=1, help="of the first night")
    parser.add_argument("--moves", type=int, help="counted moves at each event")
    parser.add_argument(
        "--against-live",
        action="store_true",
        help="the counted budget against the service's limit by the clock; minutes a night",
    )
    parser.add_argument("--rush", type=Path, default=RUSHES / "friday.yaml", help="another rush")
    args = parser.parse_args(argv)
    if args.nights is None:
        args.nights = QUICK_NIGHTS if args.quick else NIGHTS
    return args


def _with_moves(rush: Rush, moves: int | None) -> Rush:
    if moves is None:
        return rush
    searching = replace(rush.scenario.searching, moves=moves)
    return replace(rush, scenario=replace(rush.scenario, searching=searching))


def _night(rush: Rush, policy: Policy, seed: int, busiest: Stretch) -> Timed:
    began, cpu = time.perf_counter(), time.process_time()
    night = simulate(rush, seed=seed, policy=policy, clock=time.process_time)
    cpu_s, wall_s = time.process_time() - cpu, time.perf_counter() - began
    assert night is not None  # nobody stops it
    p90_s = figures_of(night, busiest=busiest).group(When.BUSIEST).p90_s
    return Timed(night=night, cpu_s=cpu_s, wall_s=wall_s, p90_s=p90_s or 0.0)


def _num_drinks(night: Night) -> int:
    return sum(len(one.drinks) for one in night.rounds)


def _mean(nights: Sequence[Timed], of: Callable[[Timed], float]) -> float:
    return statistics.mean(of(one) for one in nights)


def _words(policy: Policy, nights: Sequence[Timed]) -> str:
    events = _mean(nights, lambda one: one.night.planning.calls)
    planning_s = _mean(nights, lambda one: one.night.planning.seconds)
    said = f"{policy.value}: {_mean(nights, lambda one: one.cpu_s):.2f} s a night"
    said += f" ({_mean(nights, lambda one: one.wall_s):.2f} s by the wall)"
    if events:
        said += f", {planning_s:.2f} s of it for {events:.0f} plans"
    return f"{said}; busiest p90 {_mean(nights, lambda one: one.p90_s):.0f} s"


def _last_line(rush: Rush, timed: dict[Policy, list[Timed]]) -> dict[str, float | int]:
    live, ahead = timed[Policy.LIVE], timed[Policy.LOOK_AHEAD]
    ratios = [ours.p90_s / theirs.p90_s for ours, theirs in zip(live, ahead, strict=True)]
    every = [one.night for nights in timed.values() for one in nights]
    return {
        "planner_night_s": round(_mean(live, lambda one: one.cpu_s), 2),
        "by_the_ticket_night_s": round(
            _mean(timed[Policy.BY_THE_TICKET], lambda one: one.cpu_s), 3
        ),
        "look_ahead_night_s": round(_mean(ahead, lambda one: one.cpu_s), 2),
        "drinks": round(_mean(live, lambda one: _num_drinks(one.night))),
        "p90_vs_look_ahead": round(statistics.mean(ratios), 3),
        "little_law_error": max(little_law_error(night) for night in every),
        "plans": round(_mean(live, lambda one: one.night.planning.calls)),
        "moves": rush.scenario.searching.moves,
        "nights": len(live),
        "broken": sum(len(one.night.planning.broken) for one in live),
    }


if __name__ == "__main__":
    raise SystemExit(main())
