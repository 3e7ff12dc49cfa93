"""The fewest facts to put right, held against every subset of what may be in the way."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations

import pytest

from solver.counter import Flame, Vessel
from solver.errors import BadValue, CannotPlan
from solver.explain import Fact, facts_about, fewest_facts, mend, mendings, smallest_mending
from solver.menu import Method
from solver.planner import baseline_plan
from solver.snapshot import Presence, Shortage, Snapshot, rail_of
from tests.solver.makers import (
    begun,
    counter,
    glass,
    line,
    menu,
    person,
    snapshot,
    station,
    ticket,
)

NAMES = ("sour", "lit", "frozen", "stout", "coffee", "lager", "blaze", "tall", "stirred", "neat")

SEEDS = range(27)


def can_be_planned(snap: Snapshot) -> bool:
    """Whether a planner makes anything of it."""
    try:
        return bool(baseline_plan(snap, "by the ticket").builds)
    except CannotPlan:
        return False


def words(facts: tuple[Fact, ...]) -> list[str]:
    return [fact.words for fact in facts]


def trouble(seed: int) -> Snapshot:
    """One drink at a bar of two where several things are wrong at once."""
    rng = random.Random(seed)

    def some(many: int, of: int = 3) -> int:
        return many if rng.randrange(of) else 0

    stations = tuple(
        station(
            name,
            tin_sets=some(2, 2),
            mixing_glasses=some(1, 2),
            jars=some(1, 2),
            mugs=some(1, 2),
            kits=some(2),
            clear_place=rng.random() < 0.5,
            wells=station().wells if rng.random() < 0.7 else (),
        )
        for name in ("one", "two")
    )
    methods = [m for m in Method if rng.random() < 0.1]
    people = tuple(
        person(
            who, at, trained_for_flame=rng.random() < 0.5, not_trained_on=tuple(methods[: some(2)])
        )
        for who, at in (("ana", "one"), ("ben", "two"))
    )
    at = counter(
        2,
        stations=stations,
        people=people,
        glasses=tuple(replace(one, clean=some(9)) for one in counter().glasses),
        blenders=some(1, 2),
        coffee_groups=some(1, 2),
        settling_places=some(2, 2),
        taps=("lager",) if rng.random() < 0.5 else (),
        flame=Flame(allowed=rng.random() < 0.5, off_above_open_drinks=some(24, 2)),
    )
    noted = () if rng.random() < 0.7 else ("milk",)
    one = ticket("a", line(rng.choice(NAMES), allergies=noted), is_on_hold=rng.random() < 0.3)
    gone = [name for name in ("gin", "rye", "stout", "espresso", "rum") if rng.random() < 0.3]
    return snapshot(
        one,
        counter=at,
        people_on=tuple(Presence(person=who.id) for who in people if rng.random() < 0.5),
        short=tuple(Shortage(ingredient=name, left=0) for name in gone),
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_no_fewer_would_do(seed: int) -> None:
    """By brute force over all sets that are smaller, each given to a planner."""
    snap = trouble(seed)
    every = facts_about(snap, "a1")
    found = fewest_facts(snap, "a1")
    if can_be_planned(snap):
        assert found == ()
        return
    assert can_be_planned(mend(snap, every)), "all of it put right is enough"
    assert can_be_planned(mend(snap, found))
    for size in range(len(found)):
        for fewer in combinations(every, size):
            assert not can_be_planned(mend(snap, fewer)), words(fewer)


def test_troubles_are_of_many_kinds() -> None:
    """The brute force above sees one, two, three and more facts, and most kinds of them."""
    found = [fewest_facts(trouble(seed), "a1") for seed in SEEDS]
    assert {len(facts) for facts in found} >= {0, 1, 2, 3}
    assert len({word.split()[0] for facts in found for word in words(facts)}) >= 6


class TestEachFact:
    def test_an_86(self) -> None:
        snap = snapshot(ticket("a", "sour"), short=(Shortage(ingredient="gin", left=0),))
        assert words(fewest_facts(snap, "a1")) == ["Gin is 86"]

    def test_a_countdown_that_earlier_rounds_take(self) -> None:
        snap = snapshot(
            ticket("a", "sour"), ticket("b", "sour"), short=(Shortage(ingredient="gin", left=1),)
        )
        assert words(fewest_facts(snap, "b1")) == ["only 1 of Gin left"]
        assert fewest_facts(snap, "a1") == ()

    def test_a_bottle_on_its_way_is_in_nobodys_way(self) -> None:
        short = Shortage(ingredient="gin", left=0, back_s=60)
        snap = snapshot(ticket("a", "sour"), short=(short,))
        assert fewest_facts(snap, "a1") == ()

    def test_a_ticket_held_back(self) -> None:
        snap = snapshot(ticket("a", "sour", is_on_hold=True))
        assert words(fewest_facts(snap, "a1")) == ["ticket a is held back"]

    def test_nobody_on_the_floor(self) -> None:
        snap = snapshot(ticket("a", "sour"), counter=counter(2), people_on=())
        assert words(fewest_facts(snap, "a1")) == ["somebody is off the floor: one"]

    def test_a_vessel_out(self) -> None:
        at = counter(stations=(station("one", tin_sets=0),))
        snap = snapshot(ticket("a", "sour"), counter=at)
        assert words(fewest_facts(snap, "a1")) == ["one has no tin set"]
        assert not at.by_station["one"].num_vessels(Vessel.TIN_SET)

    def test_the_flame(self) -> None:
        snap = snapshot(ticket("a", "lit"), counter=counter(flame=Flame(allowed=False)))
        assert words(fewest_facts(snap, "a1")) == ["flame is off in this house"]

    def test_a_full_room(self) -> None:
        at = counter(flame=Flame(allowed=True, off_above_open_drinks=1))
        snap = snapshot(ticket("a", "lit", "sour"), counter=at)
        assert words(fewest_facts(snap, "a1")) == [
            "the room is too full for a flame (2 drinks open)"
        ]

    def test_no_clean_glass(self) -> None:
        glasses = tuple(replace(g, clean=0) if g.id == "coupe" else g for g in counter().glasses)
        snap = snapshot(ticket("a", "sour"), counter=counter(glasses=glasses))
        assert words(fewest_facts(snap, "a1")) == ["there is no clean coupe left"]

    def test_an_allergy_nobody_asked_about(self) -> None:
        snap = snapshot(ticket("a", line("foam", allergies=("egg",))))
        (fact,) = fewest_facts(snap, "a1")
        assert fact.words == "egg on ticket a: not confirmed"
        assert fact.to_mend == "the guest of ticket a asked about egg"

    def test_someone_back_is_easier_than_an_education(self) -> None:
        """Ana is not trained on it and Ben is off: Ben's coming back comes first."""
        at = counter(
            2,
            people=(person("ana", "one", not_trained_on=(Method.SHAKEN,)), person("ben", "two")),
        )
        snap = snapshot(ticket("a", "sour"), counter=at, people_on=(Presence(person="ana"),))
        assert words(fewest_facts(snap, "a1")) == ["somebody is off the floor: two"]


class TestWhatNobodyCanPutRight:
    def test_a_recipe_that_left_the_menu(self) -> None:
        snap = snapshot(ticket("a", "of the past"))
        assert facts_about(snap, "a1") == fewest_facts(snap, "a1") == ()

    def test_a_drink_larger_than_its_glass(self) -> None:
        small_glass = (glass("coupe", 20), *counter().glasses[1:])
        snap = snapshot(ticket("a", "sour"), counter=counter(glasses=small_glass))
        assert fewest_facts(snap, "a1") == ()

    def test_a_drink_nobody_ordered(self) -> None:
        with pytest.raises(BadValue, match="a drink of the snapshot"):
            fewest_facts(snapshot(ticket("a", "sour")), "z9")

    def test_a_drink_in_hand(self) -> None:
        snap = snapshot(ticket("a", "sour"), in_hand=(begun("a1", -5),))
        with pytest.raises(BadValue, match="a drink that waits"):
            fewest_facts(snap, "a1")


class TestWholeSnapshots:
    def test_nothing_to_mend_where_something_can_be_made(self) -> None:
        short = (Shortage(ingredient="rye", left=0),)
        snap = snapshot(ticket("a", "sour"), ticket("b", "stirred"), short=short)
        assert smallest_mending(snap) is None
        (one,) = mendings(snap)
        assert (one.drink, one.ticket, words(one.facts)) == ("b1", "b", ["Rye is 86"])
        assert one.reason == rail_of(snap).set_aside[0].reason

    def test_the_nearest_drink_is_named(self) -> None:
        """A sour needs gin and its ticket let go; a tall drink needs only gin."""
        short = (Shortage(ingredient="gin", left=0),)
        snap = snapshot(ticket("a", "sour", is_on_hold=True), ticket("b", "tall"), short=short)
        assert not can_be_planned(snap)
        nearest = smallest_mending(snap)
        assert nearest is not None
        assert (nearest.drink, words(nearest.facts)) == ("b1", ["Gin is 86"])
        assert can_be_planned(mend(snap, nearest.facts))

    def test_a_bar_with_nothing_ordered(self) -> None:
        assert smallest_mending(snapshot()) is None

    def test_a_menu_that_lost_everything(self) -> None:
        snap = snapshot(ticket("a", "sour"), menu=menu(recipes=()))
        assert smallest_mending(snap) is None
