"""Batches on one machine, each with a set-up, its jobs ready when the batch is.

Sources: E. G. Coffman, M. Yannakakis, M. J. Magazine, C. Santos, "Batch sizing and job sequencing
on a single machine", Annals of Operations Research 26 (1990), 135-147; C. Santos, M. J. Magazine,
"Batching in single operation manufacturing systems", Operations Research Letters 4 (1985),
99-103. One family, no limit on a batch: jobs go shortest first, and the batches are stretches of
that order, found by dynamic programming. A build is a batch, reading it the set-up, and every
drink's seconds go into measuring, so that all are made at the end. Eight drinks at most share.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from itertools import permutations

import pytest

from solver.snapshot import Snapshot
from tests.outside.bar import ready_together, solve
from tests.solver.makers import reduction_snapshot


def batched(seconds: list[int], setup: int) -> Snapshot:
    snap = reduction_snapshot(seconds, setup_s=setup, per_build=8)
    return ready_together(snap)


def by_dynamic_programming(seconds: list[int], setup: int) -> int:
    """Least Σ end: everything not made yet waits for each batch's set-up and seconds."""
    jobs = sorted(seconds)

    @cache
    def rest(first: int) -> int:
        if first == len(jobs):
            return 0
        waiting = len(jobs) - first
        return min(
            waiting * (setup + sum(jobs[first:after])) + rest(after)
            for after in range(first + 1, len(jobs) + 1)
        )

    return rest(0)


def splits(jobs: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    if not jobs:
        yield []
        return
    for size in range(1, len(jobs) + 1):
        for others in splits(jobs[size:]):
            yield [jobs[:size], *others]


def by_enumeration(seconds: list[int], setup: int) -> int:
    """Every order, split in every way."""
    best = None
    for order in permutations(seconds):
        for batches in splits(order):
            end = total = 0
            for batch in batches:
                end += setup + sum(batch)
                total += len(batch) * end
            best = total if best is None else min(best, total)
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(8))
def test_random_instances(seed: int) -> None:
    rng = random.Random(seed)
    seconds = [rng.randint(1, 30) for _ in range(5)]
    setup = rng.choice([0, 2, 10, 40])
    value = by_dynamic_programming(seconds, setup)
    assert value == by_enumeration(seconds, setup)
    assert solve(batched(seconds, setup)).total_s == value


@pytest.mark.parametrize("seed", [21, 22])
def test_six_drinks(seed: int) -> None:
    rng = random.Random(seed)
    seconds = [rng.randint(1, 30) for _ in range(6)]
    setup = rng.choice([5, 20])
    assert solve(batched(seconds, setup)).total_s == by_dynamic_programming(seconds, setup)


def test_equal_jobs() -> None:
    """Batch sizes of equal jobs fall by set-up over job time from one batch to the next.

    Source: Santos and Magazine 1985: six jobs of 1 s with a set-up of 1 s go in batches of 3, 2, 1.
    """
    answer = solve(batched([1] * 6, 1))
    assert sorted(map(len, answer.builds)) == [1, 2, 3]
    assert answer.total_s == by_dynamic_programming([1] * 6, 1) == by_enumeration([1] * 6, 1)


@pytest.mark.parametrize("seed", range(3))
def test_drinks_made_one_by_one_need_one_set_up(seed: int) -> None:
    """Item availability, as the bar has it: one build, shortest first, nothing gained by splitting.

    Source: the same papers treat it as another problem; this case follows from Smith's rule.
    """
    rng = random.Random(seed)
    seconds = [rng.randint(1, 30) for _ in range(5)]
    answer = solve(reduction_snapshot(seconds, setup_s=7, per_build=8))
    end, total = 7, 0
    for job in sorted(seconds):
        end += job
        total += end
    assert answer.total_s == total
    assert len(answer.builds) == 1
