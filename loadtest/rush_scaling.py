"""Nights a second with one worker and with two, on a pool of processes and on a Dask cluster here.

The same nights each time, and the same numbers have to come out. Ways are taken in turn, several
rounds of them, and the quickest round of each counts: another program on the machine would slow
one way down and not the other. Starting the workers is told apart.

Other programs on the machine take cores from the second worker, so what spreading costs by itself
is told too: nights that only wait (`loadtest.rush_tasks`), where two workers should do twice as
many whatever else runs, and nights that are kept and only sent, for this process's CPU time a
night: client and, on the local Dask cluster, scheduler.

What 10,000 nights on 200 cores would take is worked out on paper from these figures: nobody has
run it.

    python -m loadtest.rush_scaling --quick

The last line is one JSON object; times in seconds.
"""

from __future__ import annotations

import argparse
import json
import os
import pickle
import platform
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from loadtest.rush_tasks import same_night, waiting_night
from service.files import SAMPLES, read_rush
from service.rush.cluster import Cluster
from service.rush.pool import Pool, cores
from solver.rush.figures import Figures
from solver.rush.replications import Runner, night_seed
from solver.rush.scenario import Policy, Rush
from solver.rush.study import NightJob, busiest_hour, night_figures

FRIDAY = SAMPLES / "rushes" / "friday.yaml"
PAPER_NIGHTS, PAPER_CORES = 10_000, 200
WAITED, SENT = 24, 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One way of running the nights.

    Attributes
    ----------
    name : str
    workers : int
    start_s, run_s : float
        Until the first nights of a warm-up are done, and then for all nights.
    nights_a_s : float
    """

    name: str
    workers: int
    start_s: float
    run_s: float
    nights_a_s: float


def main(argv: Sequence[str] | None = None) -> None:
    """Measure and print."""
    args = _arguments(argv)
    rush = read_rush(args.scenario)
    policy = Policy(args.policy)
    jobs = _jobs(rush, policy, args.nights)
    expected: list[Figures] | None = None
    best: dict[tuple[str, int], Measured] = {}
    ways = [(name, make, workers) for name, make in RUNNERS for workers in (1, 2)]
    for name, make, workers in ways * args.rounds:
        measured, found = measure(name, workers, make, jobs)
        expected = expected or found
        assert found == expected, "the same nights, and not the same numbers"
        kept = best.setdefault((name, workers), measured)
        best[name, workers] = max(kept, measured, key=lambda one: one.nights_a_s)
        print(
            f"{name}, {workers} at a time: {measured.nights_a_s:.2f} nights a second "
            f"({measured.run_s:.1f} s, after {measured.start_s:.1f} s to start)"
        )
    assert expected is not None
    spread = {name: spreading(name, make, jobs) for name, make in RUNNERS}
    print(
        json.dumps(_summary(best, jobs, expected, policy) | on_paper(best, jobs, expected, spread))
    )


def measure(
    name: str,
    workers: int,
    make: Callable[[int], AbstractContextManager[Runner]],
    jobs: Sequence[NightJob],
) -> tuple[Measured, list[Figures]]:
    """Run the nights once; a night for each worker beforehand, so that all have their kernels."""
    began = time.monotonic()
    with make(workers) as runner:
        warm = [jobs[0]] * (2 * workers)
        list(runner.run(night_figures, warm, _never))
        started = time.monotonic()
        found = dict(runner.run(night_figures, jobs, _never))
        ended = time.monotonic()
    row = Measured(
        name=name,
        workers=workers,
        start_s=started - began,
        run_s=ended - started,
        nights_a_s=len(jobs) / (ended - started),
    )
    return row, [found[n] for n in range(len(jobs))]


def spreading(
    name: str, make: Callable[[int], AbstractContextManager[Runner]], jobs: Sequence[NightJob]
) -> dict[str, float]:
    """Measure what it costs to spread nights, whatever else the machine does."""
    many = [jobs[n % len(jobs)] for n in range(SENT)]
    rates, cpu_ms = [], 0.0
    cpu_ms = 0.0
    for workers in (1, 2):
        with make(workers) as runner:
            list(runner.run(same_night, jobs[: 2 * workers], _never))
            began = time.monotonic()
            list(runner.run(waiting_night, many[:WAITED], _never))
            rates.append(WAITED / (time.monotonic() - began))
            cpu = time.process_time()
            list(runner.run(same_night, many, _never))
            cpu_ms = 1000 * (time.process_time() - cpu) / SENT
    print(
        f"{name}, nights that only wait: {rates[0]:.2f} a second with one worker, {rates[1]:.2f} "
        f"with two; {cpu_ms:.1f} ms of this process a night"
    )
    return {"waiting_speedup": round(rates[1] / rates[0], 2), "task_ms": round(cpu_ms, 1)}


@contextmanager
def dask_of(workers: int) -> Iterator[Runner]:
    """Start a Dask cluster of so many processes on this machine."""
    dask: Any = import_module("distributed")
    with (
        dask.LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            dashboard_address="127.0.0.1:0",
            silence_logs=50,
        ) as cluster,
        Cluster(cluster.scheduler_address) as runner,
    ):
        yield runner


RUNNERS: tuple[tuple[str, Callable[[int], AbstractContextManager[Runner]]], ...] = (
    ("pool", Pool),
    ("dask", dask_of),
)


def _summary(
    best: dict[tuple[str, int], Measured],
    jobs: Sequence[NightJob],
    found: Sequence[Figures],
    policy: Policy,
) -> dict[str, object]:
    return {
        "policy": policy.value,
        "nights": len(jobs),
        "seed": 1,
        "cores_here": cores(),
        "load": round(os.getloadavg()[0], 1),
        "machine": platform.machine(),
        "night_s": round(1 / best["pool", 1].nights_a_s, 3),
        "pool_speedup": round(_speedup(best, "pool"), 2),
        "dask_speedup": round(_speedup(best, "dask"), 2),
        "job_kb": round(len(pickle.dumps(jobs[0])) / 1000, 1),
        "result_kb": round(_result_bytes(found) / 1000, 1),
    }


def on_paper(
    best: dict[tuple[str, int], Measured],
    jobs: Sequence[NightJob],
    found: Sequence[Figures],
    spread: dict[str, dict[str, float]],
) -> dict[str, object]:
    """Work out 10,000 nights on 200 cores: what each part would take if it were alone."""
    night_s, task_ms = 1 / best["pool", 1].nights_a_s, spread["dask"]["task_ms"]
    paper = {
        "nights": PAPER_NIGHTS,
        "cores": PAPER_CORES,
        "hands_s": round(PAPER_NIGHTS * night_s / PAPER_CORES, 1),
        "client_and_scheduler_s": round(PAPER_NIGHTS * task_ms / 1000, 1),
        "sent_mb": round(PAPER_NIGHTS * len(pickle.dumps(jobs[0])) / 1e6, 1),
        "results_mb": round(PAPER_NIGHTS * _result_bytes(found) / 1e6, 1),
    }
    return {"spreading": spread, "on_paper": paper}


def _result_bytes(found: Sequence[Figures]) -> float:
    return len(pickle.dumps(found)) / len(found)


def _speedup(rows: dict[tuple[str, int], Measured], name: str) -> float:
    return rows[name, 2].nights_a_s / rows[name, 1].nights_a_s


def _jobs(rush: Rush, policy: Policy, nights: int) -> list[NightJob]:
    busiest = busiest_hour(rush)
    return [
        NightJob(rush=rush, policy=policy, seed=night_seed(1, night), busiest=busiest)
        for night in range(nights)
    ]


def _never() -> bool:
    return False


def _arguments(argv: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--scenario", type=Path, default=FRIDAY)
    parser.add_argument("--policy", default=Policy.BY_THE_TICKET.value)
    parser.add_argument("--nights", type=int, default=40)
    parser.add_argument("--rounds", type=int, default=4)
    parser.add_argument("--quick", action="store_true", help="fewer nights, under a minute")
    args = parser.parse_args(argv)
    if args.quick:
        args.nights, args.rounds = min(args.nights, 16), 1
    return args


if __name__ == "__main__":
    main()
