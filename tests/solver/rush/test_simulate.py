"""Nights of the sample house, simulated: what has to hold on every one of them."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest

from solver.menu import Ice, Method
from solver.rush.guests import Guests, Patience, SecondThoughts
from solver.rush.little import little_law_error, stretches_of
from solver.rush.mix import Sort
from solver.rush.night import DrinkEnd, Night, ResourceKind, WaitsFor
from solver.rush.scenario import (
    Barback,
    Break,
    Policy,
    Rush,
    Scatter,
    Searching,
    Shift,
    Spread,
    Supplies,
    Taps,
)
from solver.rush.simulate import simulate
from solver.rush.troubles import CalledAway, GlassInWell, KegBlown, RunsOut, Troubles
from solver.tickets import Channel

from .small import small_rush

QUICK = Searching(moves=60, verify_pct=100)
BUSY = 150.0
MANY_THOUGHTS = SecondThoughts(void_pct=8, swap_pct=8, one_more_pct=10, after_s=(5, 120))


def night(policy: Policy, *, seed: int = 1, an_hour: float = BUSY, **more: Any) -> Night:
    rush = small_rush(an_hour=an_hour, searching=QUICK, **more)
    found = simulate(rush, seed=seed, policy=policy)
    assert found is not None
    return found


@lru_cache(maxsize=8)
def usual(policy: Policy) -> Night:
    """A busy half hour with second thoughts and impatient guests."""
    return night(
        policy, second_thoughts=MANY_THOUGHTS, patience=Patience(bar_top_s=(90, 200), floor_s=None)
    )


every_policy = pytest.mark.parametrize("policy", list(Policy))


@every_policy
def test_the_same_seed_the_same_night(policy: Policy) -> None:
    again = night(
        policy, second_thoughts=MANY_THOUGHTS, patience=Patience(bar_top_s=(90, 200), floor_s=None)
    )
    assert again == usual(policy)


@every_policy
def test_littles_law_holds_exactly(policy: Policy) -> None:
    found = usual(policy)
    stretches = stretches_of(found)
    assert sum(stretch.num_rounds for stretch in stretches) == len(found.rounds)
    assert all(stretch.area_ms == stretch.waited_ms for stretch in stretches)
    assert little_law_error(found) == 0


def test_littles_law_sees_a_round_that_is_timed_wrongly() -> None:
    found = usual(Policy.BY_THE_TICKET)
    first = found.rounds[0]
    assert first.over_s is not None
    wrong = replace(first, over_s=first.over_s - 1)
    assert little_law_error(replace(found, rounds=(wrong, *found.rounds[1:]))) > 0


@every_policy
def test_every_drink_comes_to_an_end_and_in_order(policy: Policy) -> None:
    found = usual(policy)
    assert {drink.end for one in found.rounds for drink in one.drinks} <= {
        DrinkEnd.MADE,
        DrinkEnd.VOID,
        DrinkEnd.GAVE_UP,
        DrinkEnd.LOST,
    }
    for one in found.rounds:
        made = [drink.made_s for drink in one.drinks if drink.end is DrinkEnd.MADE]
        assert one.last_made_s == max((at for at in made if at is not None), default=None)
        for drink in one.drinks:
            assert one.placed_s <= drink.ordered_s
            if drink.end is DrinkEnd.MADE:
                assert drink.begun_s is not None
                assert drink.made_s is not None
                assert drink.ordered_s <= drink.begun_s < drink.made_s
                assert drink.num_together >= 1
        if one.gave_up_s is not None:
            assert all(drink.made_s is None for drink in one.drinks)
        elif one.last_made_s is not None and one.channel is Channel.BAR_TOP:
            assert one.served_s is not None
            assert one.served_s > one.last_made_s
            assert one.gone_s == one.served_s


@every_policy
def test_nobody_and_nothing_is_in_two_places(policy: Policy) -> None:
    found = usual(policy)
    for person in found.people:
        for on, *hands in zip(
            person.on_s,
            person.making_s,
            person.serving_s,
            person.errand_s,
            person.standing_s,
            strict=True,
        ):
            assert sum(hands) <= on + 1e-6
    for use in found.uses:
        if use.kind is not ResourceKind.WASHER:
            assert use.most_held <= use.capacity
            assert all(0 <= held <= use.capacity * 900 + 1e-6 for held in use.held_s)


@every_policy
def test_guests_and_hands_are_the_same_for_every_policy(policy: Policy) -> None:
    found, other = usual(policy), usual(Policy.BY_THE_TICKET)
    assert [(one.ticket, one.placed_s, one.channel) for one in found.rounds] == [
        (one.ticket, one.placed_s, one.channel) for one in other.rounds
    ]
    first = [one.drinks[0].mix for one in found.rounds]
    assert first == [one.drinks[0].mix for one in other.rounds]


def test_one_drink_takes_as_long_whoever_says_what_is_next() -> None:
    """A lone drink's steps are drawn by its own name: the same hands under every policy."""
    alone: dict[str, Any] = {"an_hour": 12.0, "patience": Patience(bar_top_s=None)}
    took: dict[tuple[str, str], set[float]] = {}
    for policy in (Policy.BY_THE_TICKET, Policy.LOOK_AHEAD, Policy.LIVE):
        for one in night(policy, **alone).rounds:
            for drink in one.drinks:
                if drink.num_together == 1 and drink.begun_s is not None and drink.made_s:
                    key = (drink.id, drink.person)
                    took.setdefault(key, set()).add(round(drink.made_s - drink.begun_s, 6))
    assert len(took) > 3
    whole = [times for times in took.values() if len(times) == 1]
    # A stout's top, or a wait for the tap, is the bar's doing; the rest is the drink's own.
    assert len(whole) >= 0.7 * len(took)


def test_plans_keep_every_rule_and_are_judged() -> None:
    planning = usual(Policy.LIVE).planning
    assert planning.calls > 50
    assert planning.verified == planning.calls
    assert planning.broken == ()


def test_the_clock_says_what_planning_took_and_changes_nothing() -> None:
    ticks = iter(range(10**9))
    rush = small_rush(an_hour=60, searching=QUICK)
    timed = simulate(rush, seed=1, policy=Policy.LIVE, clock=lambda: float(next(ticks)))
    untimed = simulate(rush, seed=1, policy=Policy.LIVE)
    assert timed is not None
    assert untimed is not None
    assert timed.planning.seconds >= timed.planning.calls
    assert replace(timed, planning=untimed.planning) == untimed


def test_a_night_can_be_stopped() -> None:
    asked: list[float] = []

    def go_on(share: float) -> bool:
        asked.append(share)
        return len(asked) < 5

    assert simulate(small_rush(), seed=1, policy=Policy.BY_THE_TICKET, go_on=go_on) is None
    assert len(asked) == 5
    assert asked == sorted(asked)
    assert 0 <= asked[0] < asked[-1] < 1


def test_waits_are_shared_out_over_what_was_waited_for() -> None:
    found = usual(Policy.BY_THE_TICKET)
    total = sum(
        sum(wait.waited_s)
        for wait in found.waits
        if wait.what not in (WaitsFor.ROUND, WaitsFor.RUNS_ALONE, WaitsFor.TILL)
    )
    begun = sum(
        (drink.begun_s if drink.begun_s is not None else (drink.ended_s or 0.0)) - drink.ordered_s
        for one in found.rounds
        for drink in one.drinks
    )
    # Beside the waits before a build is begun stand those inside one, for a tap, say.
    assert begun <= total + 1e-6
    assert total < 1.25 * begun
    assert max(found.waits, key=lambda wait: sum(wait.waited_s)).what is WaitsFor.HANDS


# ---- what goes wrong ---------------------------------------------------------------------------


@every_policy
def test_guests_give_up_whose_round_nobody_has_begun(policy: Policy) -> None:
    found = night(policy, an_hour=250, patience=Patience(bar_top_s=(60, 90), floor_s=(60, 90)))
    gave_up = [one for one in found.rounds if one.gave_up_s is not None]
    assert gave_up
    for one in gave_up:
        assert one.gave_up_s is not None
        assert 60 <= one.gave_up_s - one.placed_s <= 90
        assert one.over_s == one.gave_up_s


@every_policy
def test_glass_in_the_ice_bins_what_is_made_beside_it(policy: Policy) -> None:
    glass = tuple(GlassInWell(station="well", at=f"19:{n}") for n in (12, 15))
    found = night(policy, guests=floor_only(200), troubles=Troubles(glass_in_wells=glass[:1]))
    lost = [d for one in found.rounds for d in one.drinks if d.end is DrinkEnd.LOST]
    remade = [d for one in found.rounds for d in one.drinks if d.is_remake]
    assert len(lost) == len(remade) > 0
    assert {d.station for d in lost} == {"well"}
    assert all(d.ordered_s == 720 for d in remade)
    assert any("glass in the cubed ice" in mishap.words for mishap in found.mishaps)


def floor_only(an_hour: float) -> Guests:
    return Guests(drinks_an_hour=(an_hour, an_hour), bar_top_pct=0)


@every_policy
def test_nobody_drinks_what_is_86(policy: Policy) -> None:
    found = night(policy, troubles=Troubles(runs_out=(RunsOut(ingredient="gin", at="19:05"),)))
    menu = small_rush().house.menu
    with_gin = {
        recipe.id for recipe in menu.recipes if any(p.ingredient == "gin" for p in recipe.pours)
    }
    late = [
        drink
        for one in found.rounds
        for drink in one.drinks
        if drink.recipe in with_gin and (drink.begun_s or 0.0) > 300
    ]
    assert late == []
    assert [mishap.words for mishap in found.mishaps] == ["86: dry gin"]


def test_a_bottle_that_is_fetched_is_waited_for() -> None:
    out = tuple(
        RunsOut(ingredient=name, at="19:05", back_after_s=240) for name in ("tonic", "soda", "cola")
    )
    found = night(Policy.BY_THE_TICKET, troubles=Troubles(runs_out=out))
    stock = [wait for wait in found.waits if wait.what is WaitsFor.STOCK]
    assert {wait.name for wait in stock} <= {"tonic", "soda", "cola"}
    assert stock
    assert all(used.out_s == 240 for used in found.used if used.ingredient in ("tonic", "soda"))


def test_a_keg_is_changed_by_a_barback_or_by_a_bartender() -> None:
    blown = Troubles(kegs_blown=(KegBlown(tap="lager", at="19:05", change_s=120),))
    with_barback = night(Policy.BY_THE_TICKET, troubles=blown)
    without = night(Policy.BY_THE_TICKET, troubles=blown, barbacks=())
    assert sum(sum(person.errand_s) for person in with_barback.people) == 0
    assert sum(sum(person.errand_s) for person in without.people) > 60
    late = night(
        Policy.BY_THE_TICKET, troubles=blown, barbacks=(Barback(since="19:20", until="19:40"),)
    )
    assert sum(sum(person.errand_s) for person in late.people) > 60


def test_prepared_amounts_run_out() -> None:
    found = night(
        Policy.BY_THE_TICKET, supplies=Supplies(prepared_ml={"lime-juice": 60, "lemon-juice": 60})
    )
    used = {one.ingredient: one for one in found.used}
    assert 60 <= used["lime-juice"].ml < 60 + 60
    assert "86: lime juice" in [mishap.words for mishap in found.mishaps]


@every_policy
def test_wells_are_filled_before_they_are_empty(policy: Policy) -> None:
    found = night(policy, supplies=Supplies(wells_full_pct=30, ice_kg={Ice.CUBED: 0.4}))
    filled = [well for well in found.wells if well.refilled_at_s]
    assert filled
    assert all(well.used_kg > 0 for well in filled)


def test_glasses_come_back_and_run_short() -> None:
    house = small_rush().house
    few = replace(
        house.counter,
        glasses=tuple(replace(g, clean=3, chilled=0) for g in house.counter.glasses),
    )
    rush = small_rush(
        an_hour=BUSY, supplies=Supplies(glass_back_s=(60, 120), glass_wash_s=60, chill_s=60)
    )
    rush = Rush(house=replace(house, counter=few), scenario=rush.scenario)
    found = simulate(rush, seed=1, policy=Policy.BY_THE_TICKET)
    assert found is not None
    assert all(glass.most_in_use <= glass.stock == 3 for glass in found.glasses)
    assert max(glass.used for glass in found.glasses) > 3
    assert any(wait.what is WaitsFor.GLASS for wait in found.waits)
    assert little_law_error(found) == 0


@every_policy
def test_breaks_shifts_and_calls_are_kept(policy: Policy) -> None:
    found = night(
        policy,
        shifts=(
            Shift(person="ruth"),
            Shift(person="tam", breaks=(Break(at="19:10", minutes=5),)),
            Shift(person="ines", since="19:06", until="19:20"),
        ),
        troubles=Troubles(called_away=(CalledAway(person="ruth", at="19:12", for_s=120),)),
    )
    on = {person.person: sum(person.on_s) for person in found.people}
    assert on["tam"] == pytest.approx(found.ended_s - 300, abs=1e-6)
    assert on["ruth"] == pytest.approx(found.ended_s - 120, abs=1e-6)
    # She leaves when her hands are free.
    assert 14 * 60 <= on["ines"] < 14 * 60 + 240
    begun = [
        drink.begun_s
        for one in found.rounds
        for drink in one.drinks
        if drink.person == "ines" and drink.begun_s is not None
    ]
    # What the tap before took up is begun after the round is served.
    assert all(360 <= at < 1200 + 60 for at in begun)


def test_who_is_not_on_a_shift_does_not_work() -> None:
    found = night(Policy.LIVE, an_hour=40, shifts=(Shift(person="ruth"), Shift(person="tam")))
    assert {d.person for one in found.rounds for d in one.drinks} <= {"ruth", "tam", ""}
    assert {p.person: sum(p.on_s) for p in found.people}["ines"] == 0


@pytest.mark.parametrize(
    "taps",
    [
        Taps(after_s=0, late_pct=0, never_pct=0),
        Taps(never_pct=40, late_pct=40),
        Taps(late_pct=100, never_pct=0),
    ],
)
def test_taps_late_or_never_do_not_stop_a_bar(taps: Taps) -> None:
    found = night(Policy.LIVE, taps=taps, patience=Patience(bar_top_s=None))
    assert all(one.over_s is not None for one in found.rounds)
    assert little_law_error(found) == 0


def test_the_hard_stop_leaves_rounds_open() -> None:
    found = night(
        Policy.BY_THE_TICKET, an_hour=600, hard_stop="19:31", patience=Patience(bar_top_s=None)
    )
    assert found.ended_s == 31 * 60
    assert any(one.over_s is None for one in found.rounds)
    assert little_law_error(found) == 0


def test_the_warm_up_is_made_and_not_counted() -> None:
    found = night(Policy.BY_THE_TICKET, counted_from="19:10")
    assert 0 < len(found.counted) < len(found.rounds)
    assert all(one.placed_s >= 600 for one in found.counted)


def test_without_scatter_a_pace_is_what_it_is() -> None:
    even = Scatter(spread=Spread.NONE)
    slow = tuple(Shift(person=name, pace=2.0) for name in ("ruth", "tam", "ines"))
    fast = tuple(Shift(person=name, pace=1.0) for name in ("ruth", "tam", "ines"))
    making = [
        sum(
            sum(person.making_s)
            for person in night(
                Policy.BY_THE_TICKET,
                an_hour=20,
                scatter=even,
                shifts=shifts,
                patience=Patience(bar_top_s=None),
                second_thoughts=SecondThoughts(void_pct=0, swap_pct=0, one_more_pct=0),
            ).people
        )
        for shifts in (slow, fast)
    ]
    assert making[0] == pytest.approx(2 * making[1], rel=0.1)


def test_no_flame_while_the_room_is_full() -> None:
    found = usual(Policy.BY_THE_TICKET)
    most = small_rush().house.counter.flame.off_above_open_drinks
    for one in found.rounds:
        for drink in one.drinks:
            if drink.method == Method.FLAMED and drink.begun_s is not None:
                open_then = [count for at_s, count in found.open_drinks if at_s <= drink.begun_s]
                assert open_then[-1] <= most + 1


@every_policy
def test_hands_never_wait_for_what_they_hold_themselves(policy: Policy) -> None:
    """With two chilled glasses left, drinks of one mix want a vessel for each way of chilling."""
    rush = small_rush(
        searching=QUICK,
        patience=Patience(bar_top_s=None),
        supplies=Supplies(chill_s=240, glass_back_s=(60, 120), glass_wash_s=60),
        guests=Guests(drinks_an_hour=(160, 160), mix_pct={Sort.STIRRED: 1}),
        hard_stop="22:00",
    )
    counter = replace(
        rush.house.counter,
        glasses=tuple(replace(g, chilled=min(2, g.chilled)) for g in rush.house.counter.glasses),
        stations=tuple(replace(s, mixing_glasses=2) for s in rush.house.counter.stations),
    )
    rush = replace(rush, house=replace(rush.house, counter=counter))
    found = simulate(rush, seed=2, policy=policy)
    assert found is not None
    assert all(one.over_s is not None for one in found.rounds)
    assert found.ended_s < 3 * 3600


def test_a_garnish_is_used_up_as_well() -> None:
    found = usual(Policy.BY_THE_TICKET)
    used = {one.ingredient: one for one in found.used}
    wedges = used["lime wedge"]
    assert wedges.ml == 0
    # By the menu of the house, every gin and tonic has one, and others do.
    begun = [d for one in found.rounds for d in one.drinks if d.begun_s is not None]
    assert sum(d.mix == "gin and tonic" for d in begun) <= wedges.drinks == wedges.pieces
    assert "nutmeg" not in used


@every_policy
def test_made_drinks_of_the_floor_stand_on_the_pass_until_their_round_is_whole(
    policy: Policy,
) -> None:
    found = usual(policy)
    (on_pass,) = [use for use in found.uses if use.kind is ResourceKind.PASS]
    stands = [
        (drink.made_s, one.over_s)
        for one in found.rounds
        for drink in one.drinks
        if one.channel is Channel.FLOOR and drink.made_s is not None
    ]
    stood_s = sum(over_s - made_s for made_s, over_s in stands if over_s is not None)
    assert sum(on_pass.held_s) == pytest.approx(stood_s, abs=1e-6)
    assert on_pass.capacity == small_rush().house.counter.rules.pass_room == 24
    most = max(sum(a <= at < (b or 0) for a, b in stands) for at, over in stands if over != at)
    assert max(1, most) <= on_pass.most_held <= most + 1
