"""A bound on Σ weight × end on equal machines that every plan respects.

Source: W. L. Eastman, S. Even, I. M. Isaacs, "Bounds for the optimal scheduling of n jobs on m
processors", Management Science 11 (1964), 268-279: with M(1) the optimum on one machine and M(n)
that on as many machines as jobs, M(m) >= M(1)/m + (m - 1)/(2m) · M(n).
"""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest

from tests.outside.bar import solve, with_people
from tests.solver.makers import reduction_snapshot


def smith(jobs: list[tuple[int, int]]) -> int:
    """Optimum on one machine of jobs (seconds, weight)."""
    end = total = 0
    for seconds, weight in sorted(jobs, key=lambda job: Fraction(*job)):
        end += seconds
        total += weight * end
    return total


def least(jobs: list[tuple[int, int]], machines: int) -> Fraction:
    apart = sum(seconds * weight for seconds, weight in jobs)
    return Fraction(smith(jobs), machines) + Fraction((machines - 1) * apart, 2 * machines)


def by_enumeration(jobs: list[tuple[int, int]], machines: int) -> int:
    def total(given: tuple[int, ...]) -> int:
        on = list(zip(jobs, given, strict=True))
        return sum(smith([job for job, at in on if at == machine]) for machine in range(machines))

    return min(map(total, product(range(machines), repeat=len(jobs))))


JOBS = list(zip([3, 1, 4, 2, 5, 2], [1, 2, 3, 1, 4, 2], strict=True))


@pytest.mark.parametrize(
    ("machines", "value", "bound"), [(2, 65, Fraction(257, 4)), (3, 52, Fraction(50))]
)
def test_known_instances(machines: int, value: int, bound: Fraction) -> None:
    """65 against 64.25 on two machines, 52 against 50 on three; enumeration confirms the optima."""
    assert (by_enumeration(JOBS, machines), least(JOBS, machines)) == (value, bound)
    seconds, weights = zip(*JOBS, strict=True)
    snap = with_people(reduction_snapshot(seconds, weights=weights), machines)
    assert solve(snap).total_s == value


@pytest.mark.parametrize("seed", range(4))
def test_random_instances(seed: int) -> None:
    rng = random.Random(seed)
    jobs = [(rng.randint(1, 20), rng.randint(1, 4)) for _ in range(6)]
    seconds, weights = zip(*jobs, strict=True)
    answer = solve(with_people(reduction_snapshot(seconds, weights=weights), 2))
    assert answer.total_s == by_enumeration(jobs, 2)
    assert answer.total_s >= least(jobs, 2)
