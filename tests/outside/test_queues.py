"""The simulator as a textbook's queue, against formulas that nobody here made.

Source of the formulas: Erlang C for the queue M/M/c (Erlang 1917) and Pollaczek-Khinchine for
M/G/1 (Pollaczek 1930, Khinchine 1932), as in any text on queues. The case of 360 calls in half an
hour, 240 seconds each, 55 agents is a usual worked example of call centres. `erlang_c` and
`pollaczek_khinchine` recompute every value from the formulas.
"""

from __future__ import annotations

import math

import pytest

from solver.rush.scenario import Scatter, Spread

from .clerks import Queue, rush_of, rush_of_machines, waited

SEEDS = range(1, 11)


def erlang_c(clerks: int, load: float) -> float:
    """The chance to wait: load is arrivals times service."""
    below = sum(load**k / math.factorial(k) for k in range(clerks))
    last = load**clerks / math.factorial(clerks) * clerks / (clerks - load)
    return last / (below + last)


def pollaczek_khinchine(rho: float, service_s: float, squared_variation: float) -> float:
    """The mean wait of M/G/1."""
    return rho * service_s * (1 + squared_variation) / (2 * (1 - rho))


@pytest.mark.parametrize(
    ("clerks", "arrivals", "services", "chance", "mean"),
    [(2, 3.0, 2.0, 0.642857, 0.642857), (3, 2.5, 1.0, 0.702247, 1.404494)],
)
def test_erlang_c(
    clerks: int, arrivals: float, services: float, chance: float, mean: float
) -> None:
    # Ten seconds to the unit of time: a night counts milliseconds.
    unit_s = 10.0
    queue = Queue(clerks=clerks, arrivals_a_s=arrivals / unit_s, service_s=unit_s / services)
    assert erlang_c(clerks, arrivals / services) == pytest.approx(chance, abs=1e-6)
    assert chance / (clerks * services - arrivals) == pytest.approx(mean, abs=1e-6)
    found = waited(queue, rush_of(queue), SEEDS)
    assert found.share.holds(chance)
    assert found.mean_s.holds(mean * unit_s)
    # An interval that holds anything says nothing.
    assert found.share.half < 0.03
    assert found.mean_s.half < 0.25 * mean * unit_s


def test_erlang_c_of_fifty_five() -> None:
    calls, of_s, service_s, agents = 360, 1800.0, 240.0, 55
    load = calls / of_s * service_s
    chance = erlang_c(agents, load)
    mean_s = chance * service_s / (agents - load)
    assert chance == pytest.approx(0.238701, abs=1e-6)
    assert mean_s == pytest.approx(8.184, abs=1e-3)
    queue = Queue(clerks=agents, arrivals_a_s=calls / of_s, service_s=service_s, hours=4)
    found = waited(queue, rush_of_machines(queue), SEEDS)
    assert found.share.holds(chance)
    assert found.mean_s.holds(mean_s)
    assert found.share.half < 0.05
    assert found.mean_s.half < 0.5 * mean_s


@pytest.mark.parametrize(
    ("scatter", "squared_variation", "wait"),
    [
        (Scatter(spread=Spread.NONE), 0.0, 2.0),
        (Scatter(spread=Spread.ERLANG, stages=2), 0.5, 3.0),
        (Scatter(spread=Spread.EXPONENTIAL), 1.0, 4.0),
        (Scatter(spread=Spread.LOGNORMAL, variation=0.5), 0.25, 2.5),
    ],
)
def test_pollaczek_khinchine(scatter: Scatter, squared_variation: float, wait: float) -> None:
    unit_s, rho = 8.0, 0.8
    assert pollaczek_khinchine(rho, 1.0, squared_variation) == pytest.approx(wait)
    queue = Queue(clerks=1, arrivals_a_s=rho / unit_s, service_s=unit_s, scatter=scatter)
    found = waited(queue, rush_of(queue), SEEDS)
    assert found.mean_s.holds(wait * unit_s)
    assert found.mean_s.half < 0.25 * wait * unit_s
    assert found.share.holds(rho)
