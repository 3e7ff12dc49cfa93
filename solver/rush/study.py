"""A rush on many nights: policies that meet the same guests, compared night by night."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .arrivals import QUARTER_S
from .figures import Figures, Stretch, figures_of
from .replications import (
    Asked,
    Run,
    Running,
    ShouldStop,
    Stopped,
    Trial,
    note_of,
    run_nights,
)
from .results import HEADLINE, Results, compared, results_of, whole_of
from .scenario import Policy, Rush
from .simulate import simulate

HOUR_S = 4 * QUARTER_S


@dataclass(frozen=True, slots=True, kw_only=True)
class NightJob:
    """One night to simulate: all that a worker needs to know."""

    rush: Rush
    policy: Policy
    seed: int
    busiest: Stretch


def night_figures(job: NightJob, should_stop: ShouldStop) -> Figures:
    """Simulate a night and give its figures; what a worker does.

    Raises
    ------
    Stopped
    """
    night = simulate(
        job.rush,
        seed=job.seed,
        policy=job.policy,
        go_on=lambda _share: not should_stop(),
    )
    if night is None:
        raise Stopped
    return figures_of(night, busiest=job.busiest)


def study(rush: Rush, policies: Sequence[Policy], asked: Asked, running: Running) -> Results | None:
    """Run a rush by each policy on the same nights.

    With one policy, `Asked.within` is about its own ``p90_s``; with several about the difference
    of ``p90_s`` between the first and each of the others.

    Parameters
    ----------
    rush : Rush
    policies : sequence of Policy
        One or more; the first is compared with the others.
    asked : Asked
    running : Running

    Returns
    -------
    Results or None
        None where not one night was whole.
    """
    busiest = busiest_hour(rush)
    first, others = policies[0], policies[1:]

    def job(policy: Policy, seed: int) -> NightJob:
        return NightJob(rush=rush, policy=policy, seed=seed, busiest=busiest)

    def watched(nights: Mapping[Policy, Sequence[Figures]]) -> dict[str, Sequence[float]]:
        p90 = {policy: [headline(night) for night in nights[policy]] for policy in policies}
        if not others:
            return {first.value: [value for value in p90[first] if value is not None]}
        return {
            other.value: [
                ours - theirs
                for ours, theirs in zip(p90[first], p90[other], strict=True)
                if ours is not None and theirs is not None
            ]
            for other in others
        }

    trial = Trial(of=tuple(policies), job=job, work=night_figures, watched=watched)
    run = run_nights(trial, asked, running)
    return _results(rush, run, asked, busiest) if run.num_nights else None


def headline(night: Figures) -> float | None:
    """Give the figure that a run is judged by: ``p90_s`` of the whole night."""
    return whole_of(night)[HEADLINE]


def busiest_hour(rush: Rush) -> Stretch:
    """Give the hour in which most is ordered, as the scenario expects it, from a quarter on."""
    ordered = [0.0] * (rush.scenario.num_quarters + 4)
    for at_s, drinks in _expected(rush):
        ordered[min(int(at_s // QUARTER_S), len(ordered) - 1)] += drinks
    first = max(range(len(ordered) - 3), key=lambda quarter: sum(ordered[quarter : quarter + 4]))
    return Stretch(from_s=first * QUARTER_S, until_s=first * QUARTER_S + HOUR_S)


def clocks_of(rush: Rush) -> tuple[str, ...]:
    """Give when each quarter of an hour begins."""
    scenario = rush.scenario
    return tuple(scenario.clock_at(quarter * QUARTER_S) for quarter in range(scenario.num_quarters))


def _expected(rush: Rush) -> list[tuple[float, float]]:
    """Moments and how many drinks are expected there."""
    if rush.past:
        return [(one.at_s, float(one.num_drinks)) for one in rush.past]
    guests = rush.scenario.guests
    rows = [
        (quarter * QUARTER_S, guests.scale * rate / 4)
        for quarter, rate in enumerate(guests.drinks_an_hour)
    ]
    shares = sum(size.share_pct for size in guests.sizes)
    a_round = (
        sum(size.share_pct * sum(size.drinks) / len(size.drinks) for size in guests.sizes) / shares
    )
    return rows + [
        (rush.scenario.at_s(crowd.at), a_round * crowd.rounds) for crowd in guests.crowds
    ]


def _results(rush: Rush, run: Run[Policy, Figures], asked: Asked, busiest: Stretch) -> Results:
    scenario = rush.scenario
    first, *others = run.nights
    clocks = clocks_of(rush)
    return Results(
        scenario=scenario.name,
        house=rush.house.name or rush.house.id,
        doors=scenario.doors,
        last_orders=scenario.last_orders,
        busiest=scenario.clock_at(busiest.from_s),
        seed=asked.seed,
        nights=run.num_nights,
        pilot=run.pilot,
        ended=run.ended.value,
        note=note_of(run.ended),
        policies=tuple(
            results_of(policy.value, nights, clocks, run.pilot)
            for policy, nights in run.nights.items()
        ),
        compared=tuple(
            compared((first.value, run.nights[first]), (other.value, run.nights[other]), run.pilot)
            for other in others
        ),
    )
