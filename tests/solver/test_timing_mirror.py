"""The compiled engine against the definitions it mirrors: `work.work_of` and `goal.cost_of`."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.files import SAMPLES, read_bar
from solver.baselines import BASELINES
from solver.goal import cost_of, hands_price, made_times_ds, rounds_of, work_ds_of
from solver.snapshot import Presence, RailDrink, Snapshot, rail_of
from solver.tickets import Channel, Drink, Line, Ticket
from solver.timing import Draft, Engine
from solver.timing.arrays import (
    AT,
    BLOCK,
    DRINK,
    MAIN,
    NUM_HOLDS,
    NUM_TAILS,
    RELEASED,
    TAIL_WAIT,
)
from solver.units import paced_ds, to_ds
from solver.work import Work, capacities, work_of
from tests.solver.strategies import may_share, snapshots


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A build as both sides must see it: paced where a pace is known, base times in tails."""

    main_ds: int
    release_ds: int
    made: list[tuple[str, int, int]]
    tails: list[tuple[int, int, int, int, int]]
    holds: list[tuple[str, int, int, int, int, int]]


def by_definition(snap: Snapshot, who: str, drinks: Sequence[RailDrink]) -> Laid:
    work: Work = work_of(snap, who, drinks)
    pace = snap.counter.by_person[who].pace_pct

    def paced(ds: int, block: int) -> int:
        return ds if block else paced_ds(ds, pace)

    return Laid(
        main_ds=paced_ds(work.blocks[0].base_ds, pace),
        release_ds=max(_ready_ds(snap, who, drink) for drink in drinks),
        made=sorted(
            (drink, block.index, paced(at, block.index))
            for block in work.blocks
            for drink, at in block.made
        ),
        tails=[
            (
                paced_ds(block.anchor_base_ds, pace),
                block.alone_ds,
                -1 if block.window_ds is None else block.window_ds,
                block.base_ds,
                int(block.is_anyones),
            )
            for block in work.blocks[1:]
        ],
        holds=sorted(
            (
                hold.resource,
                hold.from_block,
                paced(hold.from_base_ds, hold.from_block),
                hold.to_block,
                paced(hold.to_base_ds, hold.to_block),
                hold.extra_ds,
            )
            for hold in work.holds
        ),
    )


def _ready_ds(snap: Snapshot, who: str, drink: RailDrink) -> int:
    """When somebody may begin a drink: its bottle and glass are here, and their arms rested."""
    rested_s = [on.shake_from_s for on in snap.people_on if on.person == who]
    return max(drink.release_ds, *(to_ds(s) for s in rested_s if drink.mix.is_shaken), 0)


def by_engine(engine: Engine, who: str, drinks: Sequence[RailDrink]) -> Laid | None:
    names = [drink.id for drink in engine.packed.rail.drinks]
    resources = list(capacities(engine.packed.snapshot.counter))
    positions = [names.index(drink.id) for drink in drinks]
    if engine.hands_ds(engine.packed.people.index(who), positions) is None:
        return None
    slots, slot = engine.slots, len(engine.slots.builds) - 1
    row = slots.builds[slot].tolist()
    items = slots.items[slot, : len(drinks)].tolist()
    return Laid(
        main_ds=row[MAIN],
        release_ds=row[RELEASED],
        made=sorted((names[item[DRINK]], item[BLOCK], item[AT]) for item in items),
        tails=[tuple(tail[:TAIL_WAIT]) for tail in slots.tail[slot, : row[NUM_TAILS]].tolist()],
        holds=sorted(
            (resources[hold[0]], *hold[1:]) for hold in slots.hold[slot, : row[NUM_HOLDS]].tolist()
        ),
    )


@cache
def house() -> Snapshot:
    """Everything the house makes and some of its spirits with mixers, on two rounds, twice each."""
    bar = read_bar(SAMPLES / "bars" / "saltmarch.yaml")
    lines = [Line(recipe=recipe.id) for recipe in bar.menu.recipes]
    lines += [Line(spirit=spirit, mixer=mixer) for spirit, mixer in _spirits_and_mixers()]
    lines += [Line(recipe=bar.menu.recipes[0].id, allergies=("nuts",))]
    tickets = tuple(
        Ticket(
            id=f"t{channel.value}{copy}",
            number=f"{copy}",
            channel=channel,
            placed_s=0.0,
            promise_s=600,
            lines=tuple(lines),
            drinks=tuple(
                Drink(id=f"{channel.value}{copy}-{n}", line=n) for n, _ in enumerate(lines)
            ),
        )
        for channel in Channel
        for copy in (1, 2)
    )
    return Snapshot(
        bar=bar.id,
        menu=bar.menu,
        standards=bar.standards,
        counter=bar.counter,
        people_on=tuple(Presence(person=person.id) for person in bar.counter.people),
        tickets=tickets,
    )


def _spirits_and_mixers() -> list[tuple[str, str]]:
    menu = read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu
    spirits = [i.id for i in menu.ingredients if i.kind == "spirit"][:3]
    mixers = [i.id for i in menu.ingredients if i.kind == "mixer"][:3]
    return list(zip(spirits, mixers, strict=True))


def a_build(rng: random.Random, drinks: Sequence[RailDrink]) -> list[RailDrink]:
    """Up to six drinks at random, often of one mix, in no order."""
    chosen = [rng.choice(drinks)]
    while len(chosen) < 6 and rng.random() < 0.6:
        like = [d for d in drinks if d.mix == chosen[0].mix and d not in chosen]
        more = [d for d in drinks if d not in chosen]
        pool = like if like and rng.random() < 0.5 else more
        if pool:
            chosen.append(rng.choice(pool))
    return chosen


def grouped(drinks: Sequence[RailDrink]) -> list[RailDrink]:
    """Drinks of one mix together, in order of first appearance, as a build has them."""
    mixes = list(dict.fromkeys(drink.mix for drink in drinks))
    return sorted(drinks, key=lambda drink: mixes.index(drink.mix))


class TestBuilds:
    @pytest.mark.parametrize("seed", range(20))
    def test_of_the_house(self, seed: int) -> None:
        rng = random.Random(seed)
        snap, engine = house(), house_engine()
        compared = 0
        for _ in range(60):
            drinks = a_build(rng, engine.packed.rail.drinks)
            who = rng.choice(drinks[0].people)
            came = by_engine(engine, who, drinks)
            assert (came is not None) == can_make(snap, who, drinks)
            if came is not None:
                assert came == by_definition(snap, who, grouped(drinks))
                compared += 1
        assert compared >= 15

    @given(snapshots(), st.randoms(use_true_random=False))
    def test_of_any_menu(self, snap: Snapshot, rng: random.Random) -> None:
        rail = rail_of(snap)
        if not rail.drinks or not snap.people_on:
            return
        engine = Engine(snap, rail)
        for _ in range(12):
            who = rng.choice(engine.packed.people)
            drinks = a_build(rng, rail.drinks)
            came = by_engine(engine, who, drinks)
            assert (came is not None) == can_make(snap, who, drinks)
            if came is not None:
                assert came == by_definition(snap, who, grouped(drinks))


@cache
def house_engine() -> Engine:
    return Engine(house())


def can_make(snap: Snapshot, who: str, drinks: Sequence[RailDrink]) -> bool:
    """What the definitions say about sharing, whether or not a bottle is still on its way."""
    return may_share(snap, who, [replace(drink, release_ds=0) for drink in grouped(drinks)])


class TestScore:
    @given(snapshots(), st.sampled_from(sorted(BASELINES)))
    def test_is_the_goal(self, snap: Snapshot, name: str) -> None:
        rail = rail_of(snap)
        if not rail.drinks or not snap.people_on:
            return
        engine = Engine(snap, rail)
        drafts = BASELINES[name](engine)
        laid = engine.lay(drafts)
        assert laid is not None
        plan = engine.plan(drafts, name)
        rounds = rounds_of(snap, rail, made_times_ds(plan))
        hands_cost = hands_price(snap, len(rounds)) * work_ds_of(plan)
        assert plan.cost == cost_of(snap.counter.rules, rounds, hands_cost)
        if not laid.starving_ds:
            assert laid.cost == plan.cost
        else:
            assert laid.cost > plan.cost

    @given(snapshots(), st.randoms(use_true_random=False))
    def test_in_any_sequence(self, snap: Snapshot, rng: random.Random) -> None:
        """One drink a build, by anyone who may, in any order."""
        rail = rail_of(snap)
        if not rail.drinks or not snap.people_on:
            return
        engine = Engine(snap, rail)
        drafts = [
            Draft(person=engine.packed.people.index(rng.choice(drink.people)), drinks=(n,))
            for n, drink in enumerate(rail.drinks)
        ]
        rng.shuffle(drafts)
        laid = engine.lay(drafts)
        if laid is None:
            # Somebody's shift ends before what they were given.
            assert any(one.leaves_s is not None for one in snap.people_on)
            return
        plan = engine.plan(drafts, "any")
        assert (laid.cost == plan.cost) == (laid.starving_ds == 0)
