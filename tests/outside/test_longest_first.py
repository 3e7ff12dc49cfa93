"""The instances on which longest first is as bad as it gets, and their optimum all the same.

Source: R. L. Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied
Mathematics 17 (1969), 416-429: longest first ends within 4/3 - 1/(3m) of the optimum, and these
instances reach it. The goal puts an empty rail first, so that the plan's end is what counts.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from solver.counter import PutFirst
from tests.outside.bar import solve, with_people
from tests.solver.makers import reduction_snapshot

INSTANCES = [
    (2, [3, 3, 2, 2, 2], 6),
    (3, [5, 5, 4, 4, 3, 3, 3], 9),
    (4, [7, 7, 6, 6, 5, 5, 4, 4, 4], 12),
]


def longest_first(seconds: list[int], machines: int) -> int:
    free = [0] * machines
    for job in sorted(seconds, reverse=True):
        free[free.index(min(free))] += job
    return max(free)


def by_enumeration(seconds: list[int], machines: int) -> int:
    """Every assignment, the first job on the first machine."""
    best = sum(seconds)
    for given in product(range(machines), repeat=len(seconds) - 1):
        load = [0] * machines
        load[0] = seconds[0]
        for job, machine in zip(seconds[1:], given, strict=True):
            load[machine] += job
        best = min(best, max(load))
    return best


@pytest.mark.parametrize(("machines", "seconds", "value"), INSTANCES)
def test_known_instances(machines: int, seconds: list[int], value: int) -> None:
    """Optima of 6, 9 and 12, confirmed by enumeration; longest first takes 4/3 - 1/(3m) of them."""
    assert by_enumeration(seconds, machines) == value
    worst = Fraction(longest_first(seconds, machines), value)
    assert worst == Fraction(4, 3) - Fraction(1, 3 * machines)
    snap = with_people(reduction_snapshot(seconds, put_first=PutFirst.CLEAR), machines)
    assert solve(snap).clear_s == value
