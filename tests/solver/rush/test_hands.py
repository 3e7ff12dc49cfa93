from __future__ import annotations

import statistics

import pytest

from solver.errors import BadValue
from solver.rush.hands import Hands


def test_steps_scatter_around_their_standard() -> None:
    hands = Hands(seed=7)
    taken = [hands.takes_s([10.0]) for _ in range(20_000)]
    assert statistics.mean(taken) == pytest.approx(10.0, rel=0.01)
    assert statistics.stdev(taken) / statistics.mean(taken) == pytest.approx(0.28, abs=0.01)
    assert min(taken) > 0


def test_many_steps_scatter_less_than_one() -> None:
    hands = Hands(seed=7)
    whole = [hands.takes_s([10.0] * 16) for _ in range(4_000)]
    # Sixteen independent steps: a quarter of one step's variation.
    assert statistics.stdev(whole) / statistics.mean(whole) == pytest.approx(0.07, abs=0.005)


def test_a_machine_is_exact() -> None:
    assert Hands(seed=1, variation=0).takes_s([3.0, 2.5]) == pytest.approx(5.5)


def test_a_tap_comes_late_and_is_forgotten_at_times() -> None:
    hands = Hands(seed=3)
    taps = [hands.taps_after_s() for _ in range(5_000)]
    assert statistics.median(taps) == pytest.approx(1.5, abs=0.1)
    assert sum(1 for tap in taps if tap > 8) / len(taps) == pytest.approx(0.05, abs=0.01)


def test_the_same_seed_works_the_same() -> None:
    assert [Hands(seed=5).takes_s([4.0]) for _ in range(2)] == [Hands(seed=5).takes_s([4.0])] * 2


def test_a_wild_variation_is_refused() -> None:
    with pytest.raises(BadValue, match="variation"):
        Hands(seed=1, variation=1.5)
