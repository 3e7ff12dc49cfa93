"""Tonight's rounds: known before the doors open, and the same whatever the bar does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.rush.arrivals import Arrival
from solver.rush.coming import Coming, Rethink, tonight
from solver.rush.draws import Draws
from solver.rush.guests import Crowd, Guests, Patience, Replay, RoundSize, SecondThoughts
from solver.rush.mix import Sort, sort_of
from solver.rush.scenario import Rush
from solver.tickets import Channel, Line

from .small import house, small_rush

SEEDS = range(30)


def nights(rush: Rush) -> list[list[Coming]]:
    return [tonight(rush, Draws(seed)) for seed in SEEDS]


def test_they_come_in_order_and_before_last_orders() -> None:
    for coming in nights(small_rush(an_hour=200)):
        at = [one.at_ms for one in coming]
        assert at == sorted(at)
        assert max(at) < 1_800_000
        assert len({one.id for one in coming}) == len(coming)


def test_as_many_drinks_as_the_rate_says() -> None:
    drinks = [sum(len(one.lines) for one in coming) for coming in nights(small_rush(an_hour=200))]
    assert sum(drinks) / len(drinks) == pytest.approx(100, rel=0.1)


def test_the_same_seed_the_same_night() -> None:
    assert tonight(small_rush(), Draws(4)) == tonight(small_rush(), Draws(4))
    assert tonight(small_rush(), Draws(4)) != tonight(small_rush(), Draws(5))


def test_a_scenario_with_another_shift_sees_the_same_guests() -> None:
    rush = small_rush()
    other = replace(rush, scenario=replace(rush.scenario, barbacks=(), has_order_and_pay=False))
    assert tonight(rush, Draws(4)) == tonight(other, Draws(4))


def test_a_crowd_comes_on_top_and_at_once() -> None:
    crowd = Crowd(at="19:10", rounds=12, over_s=60, bar_top_pct=100)
    rush = small_rush(guests=Guests(drinks_an_hour=(0,), crowds=(crowd,)))
    (coming, *_) = nights(rush)
    assert len(coming) == 12
    assert all(600_000 <= one.at_ms <= 660_000 for one in coming)
    assert {one.channel for one in coming} == {Channel.BAR_TOP}


def test_the_mix_and_the_sizes_are_what_the_scenario_says() -> None:
    menu = house().menu
    guests = Guests(
        drinks_an_hour=(300,),
        sizes=(RoundSize(drinks=(3,), share_pct=1),),
        mix_pct={Sort.WINE: 1},
        recipe_weight={"house-white": 0},
    )
    for one in tonight(small_rush(guests=guests), Draws(1)):
        assert len(one.lines) == 3
        recipes = [menu.by_recipe[line.recipe] for line in one.lines]
        assert {sort_of(menu, recipe) for recipe in recipes} == {Sort.WINE}
        assert all(recipe.id != "house-white" for recipe in recipes)


def test_patience_and_second_thoughts() -> None:
    rush = small_rush(
        an_hour=200,
        patience=Patience(bar_top_s=(60, 90), floor_s=None),
        second_thoughts=SecondThoughts(void_pct=50, swap_pct=20, one_more_pct=30, after_s=(5, 9)),
    )
    seen = set()
    for one in tonight(rush, Draws(2)):
        if one.channel is Channel.BAR_TOP:
            assert one.gives_up_ms is not None
            assert 60_000 <= one.gives_up_ms - one.at_ms <= 90_000
        else:
            assert one.gives_up_ms is None
        for thought in one.thoughts:
            seen.add(thought.what)
            assert 5_000 <= thought.at_ms - one.at_ms <= 9_000
            assert thought.drink < len(one.lines)
    assert seen == set(Rethink)


def past(count: int) -> tuple[Arrival, ...]:
    line = Line(recipe="weathercock", quantity=2)
    return tuple(
        Arrival(at_s=10.0 * n, channel=Channel.FLOOR, place="table 1", lines=(line,))
        for n in range(count)
    )


def replayed(scale: float) -> list[Coming]:
    rush = small_rush()
    scenario = replace(rush.scenario, replay=Replay(tickets="x", scale=scale))
    return tonight(Rush(house=rush.house, scenario=scenario, past=past(150)), Draws(1))


def test_past_tickets_come_once_more_as_they_were() -> None:
    coming = replayed(1.0)
    assert [one.at_ms for one in coming] == [10_000 * n for n in range(150)]
    assert all(len(one.lines) == 2 for one in coming)


def test_past_tickets_thinned_and_thickened() -> None:
    whole = {one.at_ms for one in replayed(1.0)}
    thin, thick = replayed(0.5), replayed(1.5)
    assert 50 < len(thin) < 100
    assert {one.at_ms for one in thin} < whole
    assert 200 < len(thick) < 250
    assert whole <= {one.at_ms for one in thick}
