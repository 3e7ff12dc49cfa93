"""Shortest first on equal machines makes the sum of ends least.

Source: R. W. Conway, W. L. Maxwell, L. W. Miller, "Theory of Scheduling" (Addison-Wesley, 1967),
section 5-3. Each bartender is a machine.
"""

from __future__ import annotations

import random
from itertools import product

import pytest

from tests.outside.bar import solve
from tests.solver.makers import reduction_snapshot


def shortest_first(seconds: list[int], machines: int) -> int:
    free = [0] * machines
    total = 0
    for job in sorted(seconds):
        at = free.index(min(free))
        free[at] += job
        total += free[at]
    return total


def by_enumeration(seconds: list[int], machines: int) -> int:
    """Every assignment; on one machine the shortest goes first, by Smith's rule."""
    best = None
    for given in product(range(machines), repeat=len(seconds)):
        total = 0
        for machine in range(machines):
            own = sorted(p for p, at in zip(seconds, given, strict=True) if at == machine)
            total += sum(p * (len(own) - n) for n, p in enumerate(own))
        best = total if best is None else min(best, total)
    assert best is not None
    return best


@pytest.mark.parametrize(
    ("seconds", "machines", "value"),
    [([1, 2, 3, 4, 5], 2, 22), ([2, 3, 5, 7, 9, 12, 4], 3, 58)],
)
def test_known_instances(seconds: list[int], machines: int, value: int) -> None:
    """The values are confirmed by enumeration."""
    assert by_enumeration(seconds, machines) == shortest_first(seconds, machines) == value
    assert solve(reduction_snapshot(seconds, num_people=machines)).total_s == value


@pytest.mark.parametrize("seed", range(4))
def test_random_instances(seed: int) -> None:
    rng = random.Random(seed)
    seconds = [rng.randint(1, 40) for _ in range(6)]
    machines = rng.choice([2, 3])
    answer = solve(reduction_snapshot(seconds, num_people=machines))
    assert answer.total_s == shortest_first(seconds, machines) == by_enumeration(seconds, machines)
