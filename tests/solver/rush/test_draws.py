"""Chance by name: the same for the same name, and spread as it says."""

from __future__ import annotations

import statistics

import pytest

from solver.rush.draws import Draws
from solver.rush.scenario import Scatter, Spread

MANY = range(20_000)


def test_a_draw_depends_on_its_name_and_on_nothing_before_it() -> None:
    one, other = Draws(7), Draws(7)
    first = one.share("patience", "t0001")
    for n in range(100):
        other.share("something else", n)
    assert other.share("patience", "t0001") == first
    assert Draws(8).share("patience", "t0001") != first
    assert one.share("patience", "t0002") != first
    # The parts of a name do not run together.
    assert one.share("a", "bc") != one.share("ab", "c")


def test_shares_are_spread_evenly() -> None:
    draws = Draws(1)
    shares = [draws.share(n) for n in MANY]
    assert min(shares) > 0
    assert max(shares) < 1
    assert statistics.mean(shares) == pytest.approx(0.5, abs=0.01)
    assert statistics.pvariance(shares) == pytest.approx(1 / 12, abs=0.003)


@pytest.mark.parametrize(
    ("scatter", "variation"),
    [
        (Scatter(spread=Spread.LOGNORMAL, variation=0.28), 0.28),
        (Scatter(spread=Spread.EXPONENTIAL), 1.0),
        (Scatter(spread=Spread.ERLANG, stages=4), 0.5),
    ],
)
def test_factors_are_1_on_average(scatter: Scatter, variation: float) -> None:
    draws = Draws(3)
    factors = [draws.factor(scatter, "step", n) for n in MANY]
    assert min(factors) > 0
    assert statistics.mean(factors) == pytest.approx(1.0, abs=0.03)
    assert statistics.pstdev(factors) == pytest.approx(variation, rel=0.05)


def test_without_scatter_every_step_takes_its_standard() -> None:
    assert Draws(1).factor(Scatter(spread=Spread.NONE), "step") == 1.0


def test_what_happens_in_so_many_of_a_hundred() -> None:
    draws = Draws(5)
    assert sum(draws.happens(20, n) for n in MANY) / len(MANY) == pytest.approx(0.2, abs=0.01)
    assert not any(draws.happens(0, n) for n in range(1000))
    assert all(draws.happens(100, n) for n in range(1000))
    assert all(3 <= draws.between(3, 5, n) <= 5 for n in range(1000))
