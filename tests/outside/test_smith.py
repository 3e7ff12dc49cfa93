"""Smith's rule: on one machine, jobs in the order of time over weight make Σ weight × end least.

Source: W. E. Smith, "Various optimizers for single-stage production", Naval Research Logistics
Quarterly 3 (1956), 59-66. One bartender is the machine, a drink of each round a job.
"""

from __future__ import annotations

import random
from itertools import accumulate, permutations

import pytest

from tests.outside.bar import solve
from tests.solver.makers import reduction_snapshot


def total(jobs: list[tuple[int, int]]) -> int:
    """Σ weight × end of jobs (seconds, weight) in this order."""
    ends = accumulate(seconds for seconds, _ in jobs)
    return sum(weight * end for (_, weight), end in zip(jobs, ends, strict=True))


def by_enumeration(jobs: list[tuple[int, int]]) -> int:
    return min(total(list(order)) for order in permutations(jobs))


def test_known_instance() -> None:
    """p = 3, 1, 4, 2 and w = 1, 2, 3, 1: order 2, 3, 4, 1 with Σ wC = 34, as enumeration says."""
    seconds, weights = [3, 1, 4, 2], [1, 2, 3, 1]
    assert by_enumeration(list(zip(seconds, weights, strict=True))) == 34
    answer = solve(reduction_snapshot(seconds, weights=weights))
    assert answer.total_s == 34
    assert answer.order == ["j21", "j31", "j41", "j11"]


@pytest.mark.parametrize("seed", range(6))
def test_random_instances(seed: int) -> None:
    rng = random.Random(seed)
    jobs = [(rng.randint(1, 30), rng.randint(1, 5)) for _ in range(6)]
    in_order = sorted(jobs, key=lambda job: job[0] / job[1])
    assert total(in_order) == by_enumeration(jobs)
    answer = solve(reduction_snapshot([p for p, _ in jobs], weights=[w for _, w in jobs]))
    assert answer.total_s == total(in_order)
