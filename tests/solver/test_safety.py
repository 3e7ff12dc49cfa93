"""What must never happen at a bar: a flame in the wrong hands, an allergen nobody asked about."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from solver.counter import Vessel
from solver.drinks.allergens import ALLERGENS, allergens_in
from solver.errors import CannotPlan
from solver.menu import Ice
from solver.planner import Budget, make_plan
from solver.snapshot import Presence, rail_of
from solver.verify import verify
from solver.work import FLAME, vessel_resource
from tests.solver.makers import (
    begun,
    counter,
    line,
    person,
    snapshot,
    station,
    ticket,
    work_by_ana,
)

if TYPE_CHECKING:
    from solver.plan import Plan
    from solver.snapshot import Snapshot

COUNTED = Budget(limit_ms=None, moves=200)


def planned(snap: Snapshot) -> Plan:
    plan = make_plan(snap, COUNTED, clock=lambda: 0.0)
    assert verify(snap, plan) == ()
    return plan


class TestFlameInHand:
    def begun_by_ana(self, *, ben_trained: bool) -> Snapshot:
        people = (person("ana", "one"), person("ben", "two", trained_for_flame=ben_trained))
        snap = snapshot(ticket("a", "blaze"), counter=counter(2, people=people))
        return replace(snap, in_hand=(begun("a1", -5),), people_on=(Presence(person="ben"),))

    def lit_by(self, snap: Snapshot) -> str:
        (build,) = planned(snap).builds
        return build.blocks[1].person

    def test_goes_on_with_somebody_trained(self) -> None:
        assert self.lit_by(self.begun_by_ana(ben_trained=True)) == "ben"

    def test_waits_for_its_owner_where_nobody_else_may(self) -> None:
        assert self.lit_by(self.begun_by_ana(ben_trained=False)) == "ana"

    def test_is_refused_in_untrained_hands(self) -> None:
        snap = self.begun_by_ana(ben_trained=False)
        plan = planned(snap)
        (build,) = plan.builds
        blocks = (build.blocks[0], replace(build.blocks[1], person="ben"))
        wrong = replace(plan, builds=(replace(build, blocks=blocks),))
        assert "person" in {broken.rule for broken in verify(snap, wrong)}


def test_a_flame_is_out_only_after_the_flamed_peel() -> None:
    """A flamed peel on a drink that burns counts as the same flame."""
    work = work_by_ana("blaze")
    (hold,) = [hold for hold in work.holds if hold.resource == FLAME]
    assert hold.from_block == hold.to_block == 1


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("eggs", {"egg"}),
        ("raw egg", {"egg"}),
        ("Lactose", {"milk"}),
        ("DAIRY free please", {"milk"}),
        ("tree nuts", {"nuts"}),
        ("celiac", {"gluten"}),
        ("shellfish", {"crustaceans", "molluscs"}),
        ("anchovies", {"fish"}),
        ("coconut", set()),
        ("veg", set()),
        ("", set()),
    ],
)
def test_allergens_as_people_say_them(words: str, named: set[str]) -> None:
    assert allergens_in(words) == named


def test_every_allergen_is_known_by_its_own_name() -> None:
    assert all(allergen in allergens_in(allergen) for allergen in ALLERGENS)


class TestAllergy:
    def reason(self, recipe: str, allergy: str, *, confirmed: bool = False) -> str:
        wanted = line(recipe, allergies=(allergy,), is_confirmed=confirmed)
        aside = rail_of(snapshot(ticket("a", wanted))).set_aside
        return aside[0].reason if aside else ""

    @pytest.mark.parametrize("allergy", ["egg", "eggs", "egg white", "raw egg"])
    def test_in_the_drink_needs_a_person(self, allergy: str) -> None:
        assert self.reason("foam", allergy) == (
            f"{allergy} is in the drink itself: a person must confirm"
        )

    def test_that_nobody_can_read_needs_a_person(self) -> None:
        assert "nobody could read the allergy 'zzz'" in self.reason("foam", "zzz")

    def test_that_is_not_in_the_drink_is_made(self) -> None:
        assert self.reason("tall", "eggs") == ""

    def test_confirmed_is_made(self) -> None:
        assert self.reason("foam", "egg", confirmed=True) == ""


def test_a_drink_made_alone_takes_a_kit_of_its_own_even_in_the_glass() -> None:
    work = work_by_ana(line("tall", allergies=("egg",)))
    kits = [h for h in work.holds if h.resource == vessel_resource("one", Vessel.KIT)]
    assert len(kits) == 1
    assert kits[0].extra_ds > 0
    assert not work_by_ana("tall").holds


def test_no_kit_no_drink_made_alone() -> None:
    bare = counter(stations=(station("one", kits=0, wells=station("one").wells),))
    snap = snapshot(ticket("a", line("tall", allergies=("egg",))), counter=bare)
    (aside,) = rail_of(snap).set_aside
    assert "kit" in aside.reason


def test_what_was_chilled_by_ice_stays_so_in_hand() -> None:
    snap = snapshot(ticket("a", "stirred"), in_hand=(begun("a1", -5),))
    plain = rail_of(snap).in_hand["a1"].mix
    assert plain.ice is not Ice.NONE
    by_ice = replace(snap, in_hand=(replace(begun("a1", -5), chilled_by_ice=("a1",)),))
    assert not plain.chill_by_ice
    assert rail_of(by_ice).in_hand["a1"].mix.chill_by_ice


def test_nobody_on_the_floor_is_an_answer() -> None:
    snap = snapshot(ticket("a", "stout"), in_hand=(begun("a1", -5),), people_on=())
    with pytest.raises(CannotPlan, match="nobody is on the floor"):
        make_plan(snap, COUNTED, clock=lambda: 0.0)
