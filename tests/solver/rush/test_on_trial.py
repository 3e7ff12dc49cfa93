"""A rota's verdict on as few nights as it needs is the one that all nights give."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from solver.rush.guests import Guests
from solver.rush.on_trial import FEW_ROUNDS, HOUR, OnTrial, by_hour, hours
from solver.rush.replications import Asked, InThisProcess, Running
from solver.rush.scenario import Policy, Rush
from solver.rush.study import busiest_hour
from solver.rush.turns import everybody, shorter, with_staff

from .small import small_rush

NIGHTS = 4
RATES = (15.0,) * 6 + (60.0,) * 8 + (15.0,) * 4
LONG: dict[str, Any] = {"last_orders": "23:30", "hard_stop": "00:00"}


@pytest.fixture(scope="module")
def rush() -> Rush:
    return small_rush(guests=Guests(drinks_an_hour=RATES), **LONG)


def trial(rush: Rush, goal: float, *, runner: Any = None, stop_after: int = 10**6) -> OnTrial:
    done: list[int] = []
    running = Running(
        runner=runner or InThisProcess(),
        clock=lambda: 0.0,
        on_progress=lambda progress: done.append(progress.done),
        should_stop=lambda: len(done) >= stop_after,
    )
    return OnTrial(
        policy=Policy.BY_THE_TICKET,
        busiest=busiest_hour(rush),
        asked=Asked(nights=NIGHTS),
        running=running,
        goal=goal,
        doing=lambda: "a rota",
    )


@pytest.mark.parametrize("goal", [0.8, 0.9])
def test_the_verdict_of_all_nights_on_fewer(rush: Rush, goal: float) -> None:
    staff, quarters = everybody(rush), rush.scenario.num_quarters
    quick, whole = trial(rush, goal), trial(rush, goal)
    quick.keeps(with_staff(rush, staff))
    nights, verdicts = 0, []
    for _, less in list(shorter(staff, 8, quarters, leaves_out=True)):
        told = with_staff(rush, less)
        kept, some = quick.keeps(told)
        all_kept, every = whole.keeps(told, all_nights=True)
        assert len(every) == NIGHTS
        assert kept is all_kept
        assert not kept or len(some) == NIGHTS
        verdicts.append(kept)
        nights += len(some)
    assert set(verdicts) == {True, False}, "goals that tell these rotas apart"
    assert nights < NIGHTS * len(verdicts)


def test_hours_hold_every_round_once(rush: Rush) -> None:
    _, nights = trial(rush, 0.5).keeps(rush)
    quarters = rush.scenario.num_quarters
    for night in nights:
        rounds = sum(rounds for _, rounds in hours(night, quarters))
        assert rounds == sum(
            group.times.rounds
            for group in night.groups
            if group.quarter is not None and not group.channel
        )
    shares = by_hour(nights, quarters)
    assert len(shares) == -(-quarters // HOUR)
    assert all(share is None or 0 <= share <= 1 for share in shares)
    few = by_hour(nights[:1], quarters)
    placed = [rounds for _, rounds in hours(nights[0], quarters)]
    assert [share is None for share in few] == [rounds < FEW_ROUNDS for rounds in placed]


def test_told_to_stop_it_keeps_nothing(rush: Rush) -> None:
    kept, nights = trial(rush, 0.01, stop_after=2).keeps(rush)
    assert (kept, len(nights)) == (False, 2)


class Backwards:
    """A runner whose results come from the last night to the first."""

    workers = NIGHTS

    def run(self, work: Any, jobs: Any, should_stop: Any) -> Iterator[tuple[int, Any]]:
        """Give results until told to stop."""
        for position, job in reversed(list(enumerate(jobs))):
            if should_stop():
                return
            yield position, work(job, lambda: False)


def test_no_night_is_left_out_for_having_been_long(rush: Rush) -> None:
    stopped = trial(rush, 0.01, runner=Backwards(), stop_after=2)
    assert stopped.keeps(rush) == (False, ()), "the first night was not done"
    whole = trial(rush, 0.5, runner=Backwards()).keeps(rush)
    assert whole == trial(rush, 0.5).keeps(rush)
