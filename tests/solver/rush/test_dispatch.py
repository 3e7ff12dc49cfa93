"""By the ticket, asked drink by drink, against the same rule laid by the timing engine."""

from __future__ import annotations

import statistics

import pytest
import simpy

from solver.rush.at_work import AtWork
from solver.rush.bar import Bar
from solver.rush.dispatch import ByTheTicket
from solver.rush.draws import Draws
from solver.rush.errands import Errands
from solver.rush.guests import Patience, SecondThoughts
from solver.rush.happenings import Happenings
from solver.rush.holding import Held
from solver.rush.planned import ByRule
from solver.rush.scenario import Scatter, Spread

from .small import small_rush

SEEDS = range(1, 7)


def mean_wait(seed: int, *, is_quick: bool) -> float:
    rush = small_rush(
        an_hour=110,
        scatter=Scatter(spread=Spread.NONE),
        patience=Patience(bar_top_s=None),
        second_thoughts=SecondThoughts(void_pct=0, swap_pct=0, one_more_pct=0),
    )
    env = simpy.Environment()
    bar = Bar(env, rush, Draws(seed), hears_all=True)
    held, errands = Held(bar), Errands(bar)
    order = ByTheTicket(bar) if is_quick else ByRule(bar, "by the ticket", lambda: 0.0)
    at_work = {name: AtWork(bar, one, order, held, errands) for name, one in bar.people.items()}
    Happenings(bar, held, errands, at_work)
    env.run(until=2 * 3600 * 1000)
    assert all(one.last_made_ms is not None for one in bar.rounds)
    return statistics.mean((one.last_made_ms or 0) - one.placed_ms for one in bar.rounds) / 1000


def test_the_quick_rule_waits_as_long_as_the_laid_one() -> None:
    quick = [mean_wait(seed, is_quick=True) for seed in SEEDS]
    laid = [mean_wait(seed, is_quick=False) for seed in SEEDS]
    assert statistics.mean(quick) == pytest.approx(statistics.mean(laid), rel=0.05)
