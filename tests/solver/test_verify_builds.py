"""Rules on builds, three tests each: a plan that keeps it, one that breaks it, the near miss."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.builds import build_id
from solver.counter import HouseRules, Vessel
from solver.menu import Method
from solver.plan import Plan, PlannedBuild
from solver.snapshot import BlockRun, InHand, InWasher, Presence, SetAside, Shortage, Snapshot
from solver.verify import RULES, verify
from tests.solver.makers import (
    by_hand,
    counter,
    drinks_of,
    hand,
    line,
    person,
    recosted,
    reduction_snapshot,
    rules_broken,
    snapshot,
    station,
    ticket,
    with_block,
    with_build,
)


@pytest.fixture
def two_jobs() -> Snapshot:
    """Two drinks of 3 s and 1 s, a build each."""
    return reduction_snapshot([3, 1])


@pytest.fixture
def in_order(two_jobs: Snapshot) -> Plan:
    return by_hand(two_jobs, hand("ana", "j11"), hand("ana", "j21", 3))


def test_every_rule_has_a_name_and_says_what_it_asks() -> None:
    assert all(name.isidentifier() and words for name, words in RULES.items())


def test_a_finding_names_rule_build_drinks_and_seconds() -> None:
    snap = snapshot(ticket("a", "sour", number="214"))
    plan = by_hand(snap, hand("ana", "a1", 3))
    (found,) = verify(snap, with_block(snap, plan, 0, 0, end_s=50.0))
    assert (found.rule, found.build, found.drinks) == ("duration", plan.builds[0].id, ("a1",))
    assert found.seconds == 50.0
    for said in (RULES["duration"], plan.builds[0].id, "sour for 214", "a1", "50 s", "49 s"):
        assert said in found.words


class TestDrinks:
    def test_kept(self, two_jobs: Snapshot, in_order: Plan) -> None:
        assert verify(two_jobs, in_order) == ()

    def test_a_drink_left_out_is_refused(self, two_jobs: Snapshot) -> None:
        (found,) = verify(two_jobs, by_hand(two_jobs, hand("ana", "j21")))
        assert (found.rule, found.drinks) == ("drinks", ("j11",))

    def test_a_drink_made_twice_is_refused(self, two_jobs: Snapshot) -> None:
        hands = (hand("ana", "j11"), hand("ana", "j21", 3), hand("ana", "j11", 4))
        assert rules_broken(two_jobs, by_hand(two_jobs, *hands)) == {"drinks"}

    def test_a_drink_twice_in_one_build_is_refused(self, two_jobs: Snapshot) -> None:
        plan = by_hand(two_jobs, hand("ana", "j11"), hand("ana", "j21", 3))
        twice = ("j11", "j11")
        plan = with_build(
            two_jobs, plan, 0, drinks=twice, id=build_id(twice), made_s=plan.builds[0].made_s * 2
        )
        assert rules_broken(two_jobs, plan) == {"drinks"}

    def test_an_unknown_drink_is_refused(self, two_jobs: Snapshot, in_order: Plan) -> None:
        ghost = replace(in_order.builds[0], drinks=("ghost",), id=build_id(["ghost"]))
        ghost = replace(ghost, blocks=(replace(ghost.blocks[0], start_s=9.0, end_s=12.0),))
        plan = replace(in_order, builds=(*in_order.builds, ghost))
        assert rules_broken(two_jobs, plan) == {"drinks"}

    def test_a_build_without_drinks_is_refused(self, two_jobs: Snapshot, in_order: Plan) -> None:
        empty = replace(in_order.builds[0], id=build_id(()))
        for name in ("drinks", "made_s", "blocks"):
            object.__setattr__(empty, name, ())
        plan = replace(in_order, builds=(*in_order.builds, empty))
        assert rules_broken(two_jobs, plan) == {"drinks"}

    def test_a_made_drink_is_not_made_again(self) -> None:
        made = ticket("a", "sour", "sour")
        made = replace(made, drinks=(replace(made.drinks[0], made_s=-5.0), made.drinks[1]))
        snap = snapshot(made)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a2"))) == set()
        fresh = snapshot(ticket("a", "sour", "sour"))
        both = by_hand(fresh, hand("ana", "a1 a2"))
        assert "drinks" in rules_broken(snap, both)

    def test_rounds_may_share_a_build(self) -> None:
        snap = reduction_snapshot([3, 1], per_build=2)
        assert rules_broken(snap, by_hand(snap, hand("ana", "j21 j11"))) == set()


class TestSetAside:
    SHORT = Shortage(ingredient="gin", left=0)

    def test_kept(self) -> None:
        snap = snapshot(ticket("a", "sour", "rye sour"), short=(self.SHORT,))
        plan = by_hand(snap, hand("ana", "a2"))
        assert plan.set_aside == (SetAside(drink="a1", reason="Gin is 86"),)
        assert rules_broken(snap, plan) == set()

    def test_forgotten_or_for_another_reason_is_refused(self) -> None:
        snap = snapshot(ticket("a", "sour", "rye sour"), short=(self.SHORT,))
        plan = by_hand(snap, hand("ana", "a2"))
        for wrong in ((), (SetAside(drink="a1", reason="no"),), plan.set_aside * 2):
            assert rules_broken(snap, replace(plan, set_aside=wrong)) == {"set_aside"}

    def test_what_can_be_made_is_not_set_aside(self) -> None:
        snap = snapshot(ticket("a", "sour"), ticket("b", "sour"))
        plan = by_hand(snap, hand("ana", "a1"))
        aside = (SetAside(drink="b1", reason="later"),)
        assert rules_broken(snap, replace(plan, set_aside=aside)) == {"drinks", "set_aside"}

    def test_one_left_is_enough_for_one(self) -> None:
        snap = snapshot(ticket("a", "sour"), short=(Shortage(ingredient="gin", left=1),))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()


class TestInHand:
    """j11, of 3 s, was begun 1 s ago."""

    ID = build_id(["j11"])

    @pytest.fixture
    def snap(self) -> Snapshot:
        begun = InHand(
            build=self.ID,
            person="ana",
            drinks=("j11",),
            blocks=(BlockRun(index=0, person="ana", start_s=-1.0),),
        )
        return replace(reduction_snapshot([3, 1], num_people=2), in_hand=(begun,))

    @pytest.fixture
    def plan(self, snap: Snapshot) -> Plan:
        # It should end at 2 s, which is sooner than a little from now, 5 s.
        plan = by_hand(snap, hand("ana", "j11", -1, is_in_hand=True), hand("ana", "j21", 5))
        plan = with_build(snap, plan, 0, made_s=(5.0,))
        return with_block(snap, plan, 0, 0, end_s=5.0)

    def test_kept(self, snap: Snapshot, plan: Plan) -> None:
        assert verify(snap, plan) == ()

    def test_left_out_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        plan = recosted(snap, plan, builds=plan.builds[1:])
        assert rules_broken(snap, plan) == {"in_hand"}

    def test_another_person_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        assert rules_broken(snap, with_build(snap, plan, 0, person="ben")) == {"in_hand"}

    def test_another_order_of_its_drinks_is_refused(self) -> None:
        ids = ("j11", "j21")
        run = BlockRun(index=0, person="ana", start_s=-1.0)
        begun = InHand(build=build_id(ids), person="ana", drinks=ids, blocks=(run,))
        snap = replace(reduction_snapshot([30, 10], per_build=2), in_hand=(begun,))
        plan = by_hand(snap, hand("ana", "j11 j21", -1, is_in_hand=True))
        assert rules_broken(snap, plan) == set()
        turned = with_build(snap, plan, 0, drinks=ids[::-1], made_s=plan.builds[0].made_s)
        assert rules_broken(snap, turned) == {"in_hand"}

    def test_a_moved_start_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        assert rules_broken(snap, with_block(snap, plan, 0, 0, start_s=0.0)) == {"in_hand"}

    def test_another_hand_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        assert rules_broken(snap, with_block(snap, plan, 0, 0, person="ben")) == {"in_hand"}

    def test_not_called_in_hand_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        assert rules_broken(snap, with_build(snap, plan, 0, is_in_hand=False)) == {"in_hand"}

    def test_what_nobody_began_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        assert rules_broken(snap, with_build(snap, plan, 1, is_in_hand=True)) == {"in_hand"}

    def test_its_drink_in_another_build_is_refused(self, snap: Snapshot, plan: Plan) -> None:
        again = PlannedBuild(
            id="b-other", person="ben", drinks=("j11",), made_s=(5.0,), blocks=plan.builds[0].blocks
        )
        found = rules_broken(snap, recosted(snap, plan, builds=(*plan.builds, again)))
        assert {"drinks", "identity"} <= found

    def test_an_owner_who_left_the_floor_is_allowed(self, snap: Snapshot, plan: Plan) -> None:
        off = replace(snap, people_on=(Presence(person="ben"),))
        plan = by_hand(off, hand("ana", "j11", -1, is_in_hand=True), hand("ben", "j21"))
        plan = with_block(off, with_build(off, plan, 0, made_s=(5.0,)), 0, 0, end_s=5.0)
        assert rules_broken(off, plan) == set()


class TestIdentity:
    def test_kept_whatever_the_order(self) -> None:
        snap = reduction_snapshot([3, 1], per_build=2)
        for drinks in ("j11 j21", "j21 j11"):
            plan = by_hand(snap, hand("ana", drinks))
            assert plan.builds[0].id == build_id(["j11", "j21"])
            assert rules_broken(snap, plan) == set()

    def test_another_id_is_refused(self, two_jobs: Snapshot, in_order: Plan) -> None:
        assert rules_broken(two_jobs, with_build(two_jobs, in_order, 0, id="b-1")) == {"identity"}


class TestMixes:
    def test_kept(self) -> None:
        snap = snapshot(ticket("a", "sour", "tall", "sour"))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a3 a2"))) == set()

    def test_a_mix_taken_up_again_is_refused(self) -> None:
        snap = snapshot(ticket("a", "sour", "tall", "sour"))
        plan = by_hand(snap, hand("ana", "a1 a2 a3"))
        assert rules_broken(snap, plan) == {"mixes"}

    def test_in_builds_of_their_own_they_may_alternate(self) -> None:
        snap = snapshot(ticket("a", "sour", "tall", "sour"))
        hands = (hand("ana", "a1"), hand("ana", "a2", 46), hand("ana", "a3", 65))
        assert rules_broken(snap, by_hand(snap, *hands)) == set()


class TestSharing:
    """Four drinks of three mixes and eight bottles, or six of one mix."""

    def test_four_of_three_mixes_are_kept(self) -> None:
        snap = snapshot(ticket("a", "sour", "sour", "tall", "lager"))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2 a3 a4"))) == set()

    @pytest.mark.parametrize(
        "wanted",
        [
            ("sour", "sour", "sour", "tall", "lager"),  # five drinks
            ("sour", "tall", "lager", "neat"),  # four mixes
            ("lager",) * 7,  # seven of one mix
        ],
    )
    def test_more_than_a_head_holds_is_refused(self, wanted: tuple[str, ...]) -> None:
        snap = snapshot(ticket("a", *wanted))
        plan = by_hand(snap, hand("ana", " ".join(drinks_of(snap))))
        assert rules_broken(snap, plan) == {"sharing"}

    def test_six_of_one_mix_are_allowed(self) -> None:
        snap = snapshot(ticket("a", *["lager"] * 6))
        plan = by_hand(snap, hand("ana", " ".join(drinks_of(snap))))
        assert rules_broken(snap, plan) == set()

    def test_bottles_are_counted_once_each(self) -> None:
        """Sour and stirred reach for gin, lemon, syrup, rye, vermouth and bitters: six."""
        for most, expected in ((6, set()), (5, {"sharing"})):
            at = counter(rules=HouseRules(bottles_per_build=most))
            snap = snapshot(ticket("a", "sour", "stirred"), counter=at)
            assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2"))) == expected

    def test_an_allergy_is_made_alone(self) -> None:
        noted = line("sour", allergies=("fish",))
        snap = snapshot(ticket("a", noted, "sour"))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2"))) == {"sharing"}
        apart = (hand("ana", "a1"), hand("ana", "a2", 60))
        assert rules_broken(snap, by_hand(snap, *apart)) == set()

    def test_a_note_nobody_could_read_is_made_alone(self) -> None:
        snap = snapshot(ticket("a", line("sour", note="as always"), "sour"))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2"))) == {"sharing"}


class TestStation:
    @pytest.mark.parametrize(("mat", "expected"), [(3, set()), (2, {"station"})])
    def test_the_landing_mat(self, mat: int, expected: set[str]) -> None:
        at = counter(stations=(station(mat=mat),))
        snap = snapshot(ticket("a", "lager", "lager", "lager"), counter=at)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2 a3"))) == expected

    @pytest.mark.parametrize(("tins", "expected"), [(2, set()), (1, {"station", "capacity"})])
    def test_two_mixes_are_two_tins(self, tins: int, expected: set[str]) -> None:
        at = counter(stations=(station(tin_sets=tins),))
        snap = snapshot(ticket("a", "sour", "rye sour"), counter=at)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2"))) == expected

    def test_vessels_of_the_station_it_is_shared_with_are_allowed(self) -> None:
        stations = (station("one"), station("two", tin_sets=0, kits=0, shared_with="one"))
        at = counter(2, stations=stations)
        snap = snapshot(ticket("a", "sour"), counter=at)
        assert rules_broken(snap, by_hand(snap, hand("ben", "a1"))) == set()


class TestPerson:
    def test_a_trained_person_is_kept(self) -> None:
        people = (person("ana"), person("ben", "two", not_trained_on=(Method.STIRRED,)))
        snap = snapshot(ticket("a", "stirred"), counter=counter(2, people=people))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()
        assert rules_broken(snap, by_hand(snap, hand("ben", "a1"))) == {"person"}

    def test_nobody_off_the_floor(self, two_jobs: Snapshot) -> None:
        at = counter(2, glasses=two_jobs.counter.glasses, rules=two_jobs.counter.rules)
        snap = replace(two_jobs, counter=at, people_on=(Presence(person="ana"),))
        plan = by_hand(snap, hand("ana", "j11"), hand("ben", "j21"))
        assert rules_broken(snap, plan) == {"person"}

    def test_an_unknown_person_is_refused(self, two_jobs: Snapshot, in_order: Plan) -> None:
        plan = with_build(two_jobs, in_order, 0, person="zoe")
        plan = with_block(two_jobs, plan, 0, 0, person="zoe")
        assert rules_broken(two_jobs, plan) == {"person"}

    def test_a_flame_needs_training_and_a_clear_place(self) -> None:
        people = (person("ana"), person("ben", "two", trained_for_flame=False))
        snap = snapshot(ticket("a", "lit"), counter=counter(2, people=people))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"))) == set()
        assert rules_broken(snap, by_hand(snap, hand("ben", "a1"))) == {"person"}

    def test_only_what_is_anyones_goes_to_another(self) -> None:
        snap = snapshot(ticket("a", "stout"), ticket("b", "coffee"), counter=counter(2))
        plan = by_hand(snap, hand("ana", "a1"), hand("ana", "b1", 30))
        assert rules_broken(snap, with_block(snap, plan, 0, 1, person="ben")) == set()
        assert rules_broken(snap, with_block(snap, plan, 1, 1, person="ben")) == {"person"}

    def test_a_stout_is_topped_by_somebody_on_the_floor(self) -> None:
        on = (Presence(person="ana"),)
        snap = snapshot(ticket("a", "stout"), counter=counter(2), people_on=on)
        plan = with_block(snap, by_hand(snap, hand("ana", "a1")), 0, 1, person="ben")
        assert rules_broken(snap, plan) == {"person"}
        nobody = with_block(snap, by_hand(snap, hand("ana", "a1")), 0, 1, person="zoe")
        assert rules_broken(snap, nobody) == {"person"}


def test_vessels_in_the_washer_do_not_shrink_the_station() -> None:
    """A build may need every tin set there is; it then waits for the washer."""
    gone = InWasher(station="one", vessel=Vessel.TIN_SET, back_s=100.0)
    at = counter(stations=(station(tin_sets=1),))
    snap = snapshot(ticket("a", "sour"), counter=at, in_washer=(gone,))
    assert rules_broken(snap, by_hand(snap, hand("ana", "a1", 100))) == set()
