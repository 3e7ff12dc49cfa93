"""What the simulated screen knows: hours ahead, as the service's snapshot does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pytest

from solver.errors import EngineFault
from solver.menu import Method
from solver.plan import Plan
from solver.planner import Again
from solver.rush.guests import Patience, SecondThoughts
from solver.rush.live import counted
from solver.rush.night import DrinkEnd, Night
from solver.rush.scenario import Break, Policy, Rush, Scatter, Searching, Shift, Spread, Taps
from solver.rush.simulate import simulate
from solver.rush.troubles import CalledAway, Troubles
from solver.snapshot import Presence, Snapshot

from .small import small_rush

STOP_S = 3600.0
EVEN = {
    "scatter": Scatter(spread=Spread.NONE),
    "taps": Taps(after_s=0, late_pct=0, never_pct=0),
    "patience": Patience(bar_top_s=None),
    "second_thoughts": SecondThoughts(void_pct=0, swap_pct=0, one_more_pct=0),
}
TAMS_BREAK = (Shift(person="ruth"), Shift(person="tam", breaks=(Break(at="19:10", minutes=5),)))


@dataclass(frozen=True, slots=True)
class Seen:
    """A snapshot and its plan, with the moment in seconds from the doors."""

    at_s: float
    snapshot: Snapshot
    plan: Plan

    def presence(self, person: str) -> Presence | None:
        return next((one for one in self.snapshot.people_on if one.person == person), None)


def watched(rush: Rush, *, seed: int = 1) -> tuple[Night, list[Seen]]:
    """A night by the live planner, with everything the planner was shown."""
    seen: list[Seen] = []
    plans = counted(60)

    def looks(snapshot: Snapshot, previous: Plan | None) -> Again:
        again = plans(snapshot, previous)
        assert snapshot.hard_stop_s is not None
        at_s = rush.scenario.hard_stop_s - snapshot.hard_stop_s
        seen.append(Seen(at_s, snapshot, again.plan))
        return again

    night = simulate(rush, seed=seed, plans=looks)
    assert night is not None
    assert not night.planning.broken
    assert len(seen) == night.planning.calls > 50
    return night, seen


def a_rush(**more: Any) -> Rush:
    told = {"an_hour": 120.0, "searching": Searching(moves=60, verify_pct=100), **more}
    return small_rush(**told)


def test_the_screen_knows_the_end_of_service() -> None:
    _, seen = watched(a_rush())
    for one in seen:
        assert one.snapshot.last_orders_s == pytest.approx(1800 - one.at_s, abs=0.11)


def test_breaks_and_the_end_of_a_shift_are_known_ahead() -> None:
    shifts = (*TAMS_BREAK, Shift(person="ines", since="19:06", until="19:20"))
    _, seen = watched(a_rush(shifts=shifts))
    for one in seen:
        tam, ines = one.presence("tam"), one.presence("ines")
        assert tam is not None
        if one.at_s < 599:
            assert (tam.from_s, len(tam.away)) == (0, 1) or tam.from_s < 120
            assert tam.away[0].from_s == pytest.approx(600 - one.at_s, abs=0.2)
            assert tam.away[0].until_s == pytest.approx(900 - one.at_s, abs=0.2)
        if one.at_s > 800:
            assert tam.away == ()
        if one.at_s < 359:
            # She comes within a while: what waits longer than that can be hers.
            assert ines is not None
            assert ines.from_s == pytest.approx(360 - one.at_s, abs=0.2)
        if one.at_s < 1199:
            assert ines is not None
            assert [away.until_s for away in ines.away] == [None]
            assert ines.leaves_s == pytest.approx(1200 - one.at_s, abs=0.2)
        if one.at_s > 1500:
            assert ines is None
    assert any(600 < one.at_s < 800 for one in seen)
    # Whoever rests is known to come back.
    resting = [one.presence("tam") for one in seen if 700 < one.at_s < 850]
    assert all(tam is not None and 0 < tam.from_s <= 300 for tam in resting)


def test_who_comes_in_an_hour_is_not_counted_on_yet() -> None:
    shifts = (*TAMS_BREAK, Shift(person="ines", since="19:25"))
    _, seen = watched(a_rush(shifts=shifts))
    assert all((one.presence("ines") is None) == (one.at_s < 300) for one in seen)


def test_being_called_away_is_not_known_ahead() -> None:
    called = Troubles(called_away=(CalledAway(person="ruth", at="19:12", for_s=120),))
    _, seen = watched(a_rush(troubles=called))
    assert all(presence.away == () for one in seen for presence in one.snapshot.people_on)
    gone = [one.presence("ruth") for one in seen if 760 < one.at_s < 830]
    assert any(ruth is not None and ruth.from_s > 0 for ruth in gone)


def test_arms_that_shook_in_a_row_rest_on_the_screen() -> None:
    rush = a_rush()
    counter = rush.house.counter
    few = replace(counter, rules=replace(counter.rules, shakes_in_a_row=2, rest_s=90))
    _, seen = watched(replace(rush, house=replace(rush.house, counter=few)))
    rests = [p.shake_from_s for one in seen for p in one.snapshot.people_on if p.shake_from_s]
    assert rests
    # At most the rest, after a build that is still in hand.
    assert max(rests) < 90 + 300


@pytest.mark.parametrize("policy", list(Policy))
def test_nothing_is_begun_that_runs_into_a_break(policy: Policy) -> None:
    """With even hands, whoever rests at ten past has all made by then but what runs alone."""
    runs_alone = {Method.DRAUGHT, Method.FLAMED, Method.COFFEE, Method.BLENDED}
    for seed in (1, 2):
        rush = a_rush(an_hour=240.0, shifts=TAMS_BREAK, **EVEN)
        night = simulate(rush, seed=seed, policy=policy)
        assert night is not None
        mine = [d for one in night.rounds for d in one.drinks if d.person == "tam"]
        mine = [d for d in mine if d.method not in runs_alone]
        begun = [d for d in mine if d.begun_s is not None and d.begun_s < 600]
        assert len(begun) >= 3
        assert all(d.made_s is not None and d.made_s <= 601 for d in begun), policy
        # And comes back to it.
        assert any(d.begun_s is not None and d.begun_s >= 900 for d in mine)


def test_a_shift_that_began_before_the_doors_is_there_from_the_doors() -> None:
    shifts = (Shift(person="ruth", since="18:00", until="20:30"), Shift(person="tam"))
    found = simulate(a_rush(shifts=shifts, an_hour=40.0), seed=1, policy=Policy.BY_THE_TICKET)
    assert found is not None
    on = {person.person: sum(person.on_s) for person in found.people}
    assert on["ruth"] == on["tam"] == found.ended_s
    assert on["ines"] == 0


def test_what_comes_too_late_for_the_hard_stop_is_set_aside() -> None:
    rush = a_rush(
        an_hour=300.0,
        last_orders="19:10",
        hard_stop="19:12",
        patience=Patience(bar_top_s=None),
        searching=Searching(moves=20, verify_pct=20),
    )
    night, seen = watched(rush)
    assert night.ended_s == 12 * 60
    late = [one for one in seen if one.snapshot.too_late]
    assert late
    for one in late:
        planned = {drink for build in one.plan.builds for drink in build.drinks}
        assert planned.isdisjoint(one.snapshot.too_late)
    open_at_the_end = [
        one for one in night.rounds if any(d.end is DrinkEnd.OPEN for d in one.drinks)
    ]
    assert open_at_the_end


def test_a_search_that_fails_leaves_the_order_as_it_stands_and_is_told() -> None:
    plans, calls = counted(60), []

    def fails(snapshot: Snapshot, previous: Plan | None) -> Again:
        calls.append(snapshot)
        if len(calls) in (20, 21, 60):
            raise EngineFault("a list cannot be laid")
        return plans(snapshot, previous)

    night = simulate(a_rush(), seed=1, plans=fails)
    assert night is not None
    assert all(one.over_s is not None for one in night.rounds)
    assert len(night.planning.broken) == 3
    assert all("of the night 1: a list cannot" in words for words in night.planning.broken)


def test_without_shifts_the_hours_of_the_counter_count() -> None:
    rush = a_rush(an_hour=40.0)
    hours: dict[str, dict[str, Any]] = {
        "ruth": {"shift": "18:00-01:00", "breaks": ("19:10-19:15",)},
        "tam": {"shift": "11:00-18:30"},
        "ines": {"shift": "19:06-19:20"},
    }
    people = tuple(replace(one, **hours[one.id]) for one in rush.house.counter.people)
    counter = replace(rush.house.counter, people=people)
    house = replace(rush.house, counter=counter)
    found = simulate(replace(rush, house=house), seed=1, policy=Policy.BY_THE_TICKET)
    assert found is not None
    on = {person.person: sum(person.on_s) for person in found.people}
    assert on["ruth"] == pytest.approx(found.ended_s - 300, abs=1e-6)
    assert on["tam"] == 0
    assert 14 * 60 <= on["ines"] < 14 * 60 + 240
    # What the scenario says goes before it.
    told = replace(rush.scenario, shifts=(Shift(person="tam"),))
    assert [one.person for one in replace(rush, house=house, scenario=told).shifts] == ["tam"]
