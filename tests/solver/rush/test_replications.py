"""Running nights: which, how many, in what order, and how often their intervals are right."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import count
from typing import Any

import pytest

from solver.errors import BadValue
from solver.rush.intervals import CHANCE_ONLY, paired_difference, paired_ratio, t_interval
from solver.rush.replications import (
    Asked,
    Ended,
    InThisProcess,
    Progress,
    Run,
    Running,
    ShouldStop,
    Stopped,
    Trial,
    night_seed,
    note_of,
    run_nights,
)

RUNS = 1000
TRUE_MEAN_S = 500.0
SKEW = 0.25


def one_night(seed: int, _should_stop: ShouldStop) -> float:
    """A night's p90 as nights have it: lognormal about a known mean."""
    factor = random.Random(seed).lognormvariate(-(SKEW**2) / 2, SKEW)
    return TRUE_MEAN_S * factor


def two_policies(job: tuple[str, int], should_stop: ShouldStop) -> float:
    """Two policies that meet the same guests: 60 s apart, whatever the night."""
    which, seed = job
    own = random.Random(f"{which}{seed}").gauss(0, 10)
    return one_night(seed, should_stop) + own + (60 if which == "by the ticket" else 0)


def of_one(found: Mapping[str, Sequence[float]]) -> dict[str, Sequence[float]]:
    return {"p90": found["night"]}


NIGHTS = Trial(of=("night",), job=lambda _which, seed: seed, work=one_night, watched=of_one)


def run(
    asked: Asked,
    trial: Trial[str, Any, float] = NIGHTS,
    **more: Callable[..., Any],
) -> Run[str, float]:
    ticks = count()
    more.setdefault("clock", lambda: float(next(ticks)))
    return run_nights(trial, asked, Running(runner=InThisProcess(), **more))


def covered(asked: Callable[[int], Asked]) -> float:
    """The share of 1,000 runs, each with its own seed, whose interval holds the true mean."""
    held = 0
    for seed in range(RUNS):
        found = run(asked(seed))
        held += t_interval(found.nights["night"], pilot=found.pilot).holds(TRUE_MEAN_S)
    return held / RUNS


def test_a_set_number_of_nights_covers_as_often_as_it_says() -> None:
    assert 0.93 <= covered(lambda seed: Asked(nights=20, seed=seed)) <= 0.97


def test_running_until_narrow_covers_as_often_as_it_says() -> None:
    assert 0.93 <= covered(lambda seed: Asked(nights=20, within=40.0, seed=seed)) <= 0.97


def test_running_until_time_is_up_covers_as_often_as_it_says() -> None:
    # The clock ticks at every look, so that time is up somewhere in the second stage.
    assert 0.93 <= covered(lambda seed: Asked(nights=20, within=20.0, time_s=61, seed=seed)) <= 0.97


def a_fifth_sooner(job: tuple[str, int], should_stop: ShouldStop) -> float:
    """Two policies on the same nights; a night's own ratio scatters about 0.8 by a tenth."""
    which, seed = job
    base = one_night(seed, should_stop)
    own = random.Random(f"own {seed}").lognormvariate(0, 0.1)
    return base if which == "theirs" else 0.8 * base * own


PAIRS = Trial(
    of=("ours", "theirs"),
    job=lambda which, seed: (which, seed),
    work=a_fifth_sooner,
    watched=lambda found: {
        "gain": [a - b for a, b in zip(found["ours"], found["theirs"], strict=True)]
    },
)


@pytest.mark.parametrize("asked", [{"nights": 20}, {"nights": 20, "within": 20.0}])
def test_pairs_cover_as_often_as_they_say(asked: dict[str, Any]) -> None:
    # The mean of a lognormal factor of median 1 and scatter 0.1 is exp(0.1² / 2).
    gain_s = TRUE_MEAN_S * (0.8 * math.exp(0.1**2 / 2) - 1)
    differences = ratios = 0
    for seed in range(RUNS):
        found = run(Asked(seed=seed, **asked), PAIRS)
        ours, theirs = found.nights["ours"], found.nights["theirs"]
        difference = paired_difference(ours, theirs, pilot=found.pilot)
        ratio = paired_ratio(ours, theirs, pilot=found.pilot)
        assert difference is not None
        assert ratio is not None
        differences += difference.holds(gain_s)
        ratios += ratio.holds(0.8)
    assert 0.93 <= differences / RUNS <= 0.97
    assert 0.93 <= ratios / RUNS <= 0.97


def test_stopping_at_the_first_narrow_look_would_cover_too_seldom() -> None:
    """Why the run has two stages: the naive rule, on the same nights, falls short."""
    held = 0
    for seed in range(RUNS):
        values: list[float] = []
        for night in count():
            values.append(one_night(night_seed(seed, night), lambda: False))
            half = t_interval(values).half_width
            if half is not None and len(values) >= 5 and half <= 40.0:
                break
        held += t_interval(values).holds(TRUE_MEAN_S)
    assert held / RUNS < 0.93


def test_the_same_seed_gives_the_same_nights() -> None:
    assert run(Asked(nights=5, seed=7)) == run(Asked(nights=5, seed=7))
    assert run(Asked(nights=5, seed=7)) != run(Asked(nights=5, seed=8))


def test_more_nights_begin_with_the_same_ones() -> None:
    fewer, more = run(Asked(nights=5)), run(Asked(nights=9))
    assert more.nights["night"][:5] == fewer.nights["night"]


def test_seeds_of_neighbouring_runs_have_nothing_in_common() -> None:
    seeds = {night_seed(seed, night) for seed in range(30) for night in range(10_000)}
    assert len(seeds) == 300_000


def test_policies_meet_the_same_nights() -> None:
    trial = Trial(
        of=("by the ticket", "look-ahead"),
        job=lambda which, seed: (which, seed),
        work=two_policies,
        watched=lambda found: {
            "gain": [
                a - b for a, b in zip(found["by the ticket"], found["look-ahead"], strict=True)
            ]
        },
    )
    found = run(Asked(nights=20, within=5.0), trial)
    gains = [a - b for a, b in zip(*found.nights.values(), strict=True)]
    # Paired, 60 s stand out of nights that scatter by 125 s after the first twenty or so.
    assert found.ended is Ended.NARROW
    assert found.num_nights < 60
    gain = t_interval(gains, pilot=found.pilot)
    assert gain.half_width is not None
    assert gain.half_width <= 5.0
    assert gain.mean == pytest.approx(60.0, abs=10.0)


def test_enough_nights_are_said_to_be_narrow() -> None:
    found = run(Asked(nights=20, within=40.0))
    assert found.ended is Ended.NARROW
    assert found.pilot == 20
    half = t_interval(found.nights["night"], pilot=20).half_width
    assert half is not None
    assert half <= 40.0


def test_a_run_has_an_end_though_it_is_not_narrow() -> None:
    found = run(Asked(nights=5, within=0.01, most_nights=30))
    assert (found.ended, found.num_nights) == (Ended.MOST, 30)


def test_time_up_keeps_the_first_nights() -> None:
    found = run(Asked(nights=50, time_s=20))
    assert found.ended is Ended.TIME
    assert 0 < found.num_nights < 50
    assert found.nights["night"] == run(Asked(nights=found.num_nights)).nights["night"]


def test_cancelled_while_it_runs() -> None:
    told: list[Progress] = []
    found = run(
        Asked(nights=50),
        on_progress=told.append,
        should_stop=lambda: bool(told and told[-1].done >= 7),
    )
    assert found.ended is Ended.CANCELLED
    assert found.num_nights == 7


def test_cancelled_inside_the_first_night() -> None:
    def stopped(seed: int, _should_stop: ShouldStop) -> float:
        raise Stopped(seed)

    found = run(
        Asked(nights=3),
        Trial(of=("night",), job=lambda _which, seed: seed, work=stopped, watched=of_one),
    )
    assert (found.nights["night"], found.num_nights) == ((), 0)


class OutOfOrder:
    """A runner whose results come from the last to the first and that loses the fourth."""

    workers = 1

    def run(
        self, work: Callable[..., Any], jobs: Iterable[Any], should_stop: ShouldStop
    ) -> Iterator[tuple[int, Any]]:
        """Give results backwards."""
        for position, job in reversed(list(enumerate(jobs))):
            if position != 3:
                yield position, work(job, should_stop)


def test_only_nights_from_the_first_on_count() -> None:
    running = Running(runner=OutOfOrder(), clock=lambda: 0.0)
    found = run_nights(NIGHTS, Asked(nights=10), running)
    assert found.nights["night"] == run(Asked(nights=3)).nights["night"]
    assert found.ended is Ended.TIME


def test_progress_is_told_with_the_interval_so_far() -> None:
    told: list[Progress] = []
    run(Asked(nights=4), on_progress=told.append)
    assert [(one.done, one.of) for one in told] == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert told[-1].running["p90"] == t_interval(run(Asked(nights=4)).nights["night"])
    assert all("narrower than honest" in one.note for one in told)


@pytest.mark.parametrize("ended", list(Ended))
def test_only_who_ended_a_run_by_hand_is_told_of_its_intervals(ended: Ended) -> None:
    words = note_of(ended)
    assert words.startswith(CHANCE_ONLY)
    assert ("narrower than honest" in words) == (ended is Ended.CANCELLED)


@pytest.mark.parametrize(
    "wrong",
    [
        {"nights": 0},
        {"nights": 10_001},
        {"within": 0.0},
        {"nights": 1, "within": 5.0},
        {"time_s": 0.0},
        {"seed": -1},
        {"nights": 40, "most_nights": 30},
    ],
)
def test_what_cannot_be_asked(wrong: dict[str, Any]) -> None:
    with pytest.raises(BadValue):
        Asked(**wrong)
