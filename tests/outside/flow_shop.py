"""Two machines in a row with room to wait between them, as the textbooks have it.

Source: S. M. Johnson, "Optimal two- and three-stage production schedules with setup times
included", Naval Research Logistics Quarterly 1 (1954), 61-68.
"""

from __future__ import annotations

from itertools import permutations

Jobs = list[tuple[int, int]]
"""Seconds of each job on the first machine and on the second."""


def end_of(jobs: Jobs) -> int:
    """When the second machine is done with jobs in this order."""
    first_done = second_done = 0
    for first, second in jobs:
        first_done += first
        second_done = max(second_done, first_done) + second
    return second_done


def by_johnson(jobs: Jobs) -> int:
    """Shortest on the first machine goes first, shortest on the second last, and so on inwards."""
    early = sorted(job for job in jobs if job[0] <= job[1])
    late = sorted((job for job in jobs if job[0] > job[1]), key=lambda job: -job[1])
    return end_of([*early, *late])


def by_enumeration(jobs: Jobs) -> int:
    """Every order; on two machines the same order on both is always among the best."""
    return min(end_of(list(order)) for order in permutations(jobs))
