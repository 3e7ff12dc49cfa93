"""The simulator against ciw, a general library of simulated queues, on the same network.

Two bartenders with lognormal hands and nothing shared are ciw's node of two servers with lognormal
service. Both simulate the same evenings, with chance of their own; over 20 of them each, the
intervals of the mean wait and of the chance to wait have to overlap.
"""

from __future__ import annotations

import math
import statistics

import ciw  # type: ignore[import-untyped]  # it has no types

from solver.rush.scenario import Policy, Scatter, Spread
from solver.rush.simulate import simulate

from .clerks import Interval, Queue, interval_of, rush_of, waits_of

SEEDS = range(1, 21)
VARIATION = 0.6
QUEUE = Queue(
    clerks=2,
    arrivals_a_s=0.14,
    service_s=10.0,
    scatter=Scatter(spread=Spread.LOGNORMAL, variation=VARIATION),
    hours=2,
)
HOUR_S = 3600.0


def by_ciw(seed: int) -> list[float]:
    """One evening by ciw: the wait of everyone who came after the warm-up."""
    spread = math.log1p(VARIATION**2)
    mean = math.log(QUEUE.service_s) - spread / 2
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Exponential(rate=QUEUE.arrivals_a_s)],
        service_distributions=[ciw.dists.Lognormal(mean=mean, sd=math.sqrt(spread))],
        number_of_servers=[QUEUE.clerks],
    )
    ciw.seed(seed)
    simulation = ciw.Simulation(network)
    until_s = QUEUE.hours * HOUR_S
    # Past last orders too: whoever came before them is served.
    simulation.simulate_until_max_time(until_s + HOUR_S)
    return [
        record.waiting_time
        for record in simulation.get_all_records()
        if QUEUE.warm_up_s <= record.arrival_date < until_s
    ]


def ours(seed: int) -> list[float]:
    """The same evening by us."""
    night = simulate(rush_of(QUEUE), seed=seed, policy=Policy.BY_THE_TICKET)
    assert night is not None
    return waits_of(night)


def overlap(one: Interval, other: Interval) -> bool:
    return abs(one.mean - other.mean) <= one.half + other.half


def test_the_same_network_by_ciw() -> None:
    theirs, mine = [by_ciw(seed) for seed in SEEDS], [ours(seed) for seed in SEEDS]
    for figure in (statistics.mean, lambda waits: sum(w > 1e-9 for w in waits) / len(waits)):
        one, other = (interval_of([figure(night) for night in nights]) for nights in (theirs, mine))
        assert overlap(one, other)
        # Not because they are wide.
        assert max(one.half, other.half) < 0.4 * one.mean
