"""Real short nights, run again and again: results, comparisons, the busiest hour."""

from __future__ import annotations

import pytest

from solver.rush.arrivals import QUARTER_S, Arrival
from solver.rush.figures import Figures
from solver.rush.guests import Crowd, Guests, Replay
from solver.rush.intervals import paired_difference, t_interval
from solver.rush.replications import Asked, InThisProcess, Progress, Running, night_seed
from solver.rush.results import Results, whole_of
from solver.rush.scenario import Policy, Rush
from solver.rush.study import (
    NightJob,
    busiest_hour,
    clocks_of,
    night_figures,
    study,
)
from solver.tickets import Channel, Line

from .small import house, small_rush

TICKET, ROUND = Policy.BY_THE_TICKET, Policy.BY_THE_ROUND
NIGHTS = 4


def running(told: list[Progress] | None = None) -> Running:
    told = [] if told is None else told
    return Running(runner=InThisProcess(), clock=lambda: 0.0, on_progress=told.append)


@pytest.fixture(scope="module")
def rush() -> Rush:
    return small_rush()


@pytest.fixture(scope="module")
def nights(rush: Rush) -> dict[Policy, list[Figures]]:
    busiest = busiest_hour(rush)
    return {
        policy: [
            night_figures(
                NightJob(rush=rush, policy=policy, seed=night_seed(5, n), busiest=busiest),
                lambda: False,
            )
            for n in range(NIGHTS)
        ]
        for policy in (TICKET, ROUND)
    }


@pytest.fixture(scope="module")
def results(rush: Rush) -> Results:
    found = study(rush, (TICKET, ROUND), Asked(nights=NIGHTS, seed=5), running())
    assert found is not None
    return found


def test_every_figure_is_the_interval_of_the_nights_own(
    results: Results, nights: dict[Policy, list[Figures]]
) -> None:
    for policy in results.policies:
        rows = [whole_of(night) for night in nights[Policy(policy.policy)]]
        for name in ("p90_s", "within_promise", "made", "sat_too_long", "busiest_mean_s"):
            values = [value for row in rows if (value := row[name]) is not None]
            assert policy.whole[name] == t_interval(values), name


def test_policies_are_compared_night_by_night(
    results: Results, nights: dict[Policy, list[Figures]]
) -> None:
    (found,) = results.compared
    assert (found.ours, found.theirs) == ("by the ticket", "by the round")
    ours, theirs = ([whole_of(n)["p90_s"] for n in nights[p]] for p in (TICKET, ROUND))
    assert found.difference["p90_s"] == paired_difference(ours, theirs)


def test_policies_meet_the_same_guests(nights: dict[Policy, list[Figures]]) -> None:
    for ours, theirs in zip(nights[TICKET], nights[ROUND], strict=True):
        assert ours.group().rounds == theirs.group().rounds


def test_a_night_is_the_same_again(rush: Rush, nights: dict[Policy, list[Figures]]) -> None:
    job = NightJob(rush=rush, policy=TICKET, seed=night_seed(5, 0), busiest=busiest_hour(rush))
    assert night_figures(job, lambda: False) == nights[TICKET][0]


def test_quantiles_are_those_of_all_nights_together(
    results: Results, nights: dict[Policy, list[Figures]]
) -> None:
    policy = results.policies[0]
    times_s = sorted(time_s for night in nights[TICKET] for time_s in night.times_s)
    assert len(policy.quantiles_s) == 101
    assert (policy.quantiles_s[0], policy.quantiles_s[100]) == (times_s[0], times_s[-1])


def test_groups_and_clocks(results: Results) -> None:
    policy = results.policies[0]
    assert [row.clock for row in policy.queue] == ["19:00", "19:15", "19:30", "19:45"]
    by_quarter = [
        row.figures["rounds"].mean
        for row in policy.groups
        if row.when == "quarter" and not row.channel
    ]
    assert sum(by_quarter) == pytest.approx(policy.whole["rounds"].mean)
    # Nobody orders after last orders.
    assert by_quarter[2:] == [0.0, 0.0]


def test_shares_of_waiting_add_up(results: Results) -> None:
    for policy in results.policies:
        shares = [row.share.mean for row in policy.waits if row.share is not None]
        assert sum(shares) == pytest.approx(1.0)


def test_no_person_is_named(results: Results) -> None:
    text = repr(results)
    assert all(person.id not in text for person in house().counter.people if len(person.id) > 3)


def test_progress_names_the_difference(rush: Rush) -> None:
    told: list[Progress] = []
    study(rush, (TICKET, ROUND), Asked(nights=3), running(told))
    assert (told[-1].done, told[-1].of) == (6, 6)
    assert list(told[-1].running) == ["by the round"]


def test_stopped_before_the_first_night(rush: Rush) -> None:
    stopped = Running(runner=InThisProcess(), clock=lambda: 0.0, should_stop=lambda: True)
    assert study(rush, (TICKET,), Asked(nights=3), stopped) is None


def test_stopped_inside_a_night(rush: Rush) -> None:
    looks = iter([False])
    stop = Running(runner=InThisProcess(), clock=lambda: 0.0, should_stop=lambda: next(looks, True))
    assert study(rush, (TICKET,), Asked(nights=3), stop) is None


def test_the_busiest_hour_of_the_rates() -> None:
    rates = (10.0,) * 6 + (90.0, 100.0, 110.0, 95.0) + (20.0,) * 6
    rush = small_rush(guests=Guests(drinks_an_hour=rates), last_orders="23:00", hard_stop="23:30")
    assert busiest_hour(rush).from_s == 6 * QUARTER_S
    assert clocks_of(rush)[6] == "20:30"


def test_a_train_makes_its_hour_the_busiest() -> None:
    rates = (60.0,) * 12
    guests = Guests(drinks_an_hour=rates, crowds=(Crowd(at="21:40", rounds=40),))
    rush = small_rush(guests=guests, last_orders="22:00", hard_stop="22:30")
    found = busiest_hour(rush)
    assert found.holds(rush.scenario.at_s("21:40"))


def test_the_busiest_hour_of_past_tickets() -> None:
    line = Line(spirit="gin", mixer="tonic")
    past = tuple(
        Arrival(at_s=at_s, channel=Channel.BAR_TOP, place="", lines=(line,))
        for at_s in (10, 4000, 4100, 4200)
    )
    told = small_rush(last_orders="21:00", hard_stop="21:30").scenario
    rush = Rush(
        house=house(),
        scenario=type(told)(
            name="again",
            bar="",
            last_orders="21:00",
            hard_stop="21:30",
            replay=Replay(tickets="past.jsonl"),
        ),
        past=past,
    )
    found = busiest_hour(rush)
    assert all(found.holds(one.at_s) for one in past[1:])
