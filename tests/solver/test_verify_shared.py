"""Rules on hands, vessels, equipment and flame; every number is worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.counter import Flame, Vessel, Well
from solver.menu import Ice
from solver.plan import Plan, PlannedBlock, PlannedBuild, Serving
from solver.snapshot import InHand, InWasher, Snapshot
from solver.standards import Standards
from solver.tickets import Channel
from solver.verify import verify
from tests.solver.makers import (
    begun,
    by_hand,
    counter,
    hand,
    only,
    recosted,
    reduction_snapshot,
    rules_broken,
    serving,
    snapshot,
    station,
    ticket,
    with_block,
)

SHARED_TIN = (station("one", tin_sets=1), station("two", shared_with="one"))


class TestHands:
    @pytest.mark.parametrize(("second_s", "expected"), [(3, set()), (2.9, {"hands"})])
    def test_one_build_after_the_other(self, second_s: float, expected: set[str]) -> None:
        snap = reduction_snapshot([3, 1])
        plan = by_hand(snap, hand("ana", "j11"), hand("ana", "j21", second_s))
        assert rules_broken(snap, plan) == expected

    def test_two_people_at_once_are_allowed(self) -> None:
        snap = reduction_snapshot([3, 1], num_people=2)
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11"), hand("ben", "j21"))) == set()

    def test_a_build_inside_another_is_refused_once(self) -> None:
        snap = reduction_snapshot([9, 1, 1])
        hands = (hand("ana", "j11"), hand("ana", "j21", 2), hand("ana", "j31", 9))
        (found,) = verify(snap, by_hand(snap, *hands))
        assert (found.rule, found.seconds, found.drinks) == ("hands", 2.0, ("j21",))

    def test_topping_is_work_for_the_hands(self) -> None:
        table = only(
            stout_pour=20, stout_settle=105, stout_window=240, stout_top=9, draught_pint=13
        )
        snap = snapshot(ticket("a", "stout"), ticket("b", "lager"), standards=table)
        plan = by_hand(snap, hand("ana", "a1"), hand("ana", "b1", 112))
        assert rules_broken(snap, plan) == set()
        plan = by_hand(snap, hand("ana", "a1"), hand("ana", "b1", 112.1))
        assert rules_broken(snap, plan) == {"hands"}
        # Topped by somebody else at that moment, it is fine.
        two = replace(snap, counter=counter(2), people_on=snapshot(counter=counter(2)).people_on)
        plan = by_hand(two, hand("ana", "a1"), hand("ana", "b1", 120))
        assert rules_broken(two, with_block(two, plan, 0, 1, person="ben")) == set()

    def test_serving_is_work_for_the_hands(self) -> None:
        base = replace(reduction_snapshot([3, 1]), standards=only(dash=0.1, serve_bar_top=25))
        over_bar = replace(base.tickets[0], channel=Channel.BAR_TOP)
        snap = replace(
            base,
            tickets=(over_bar, base.tickets[1]),
            counter=replace(base.counter, tills=1),
        )
        served = [serving(snap, "j1", "ana", 3)]
        for second_s, expected in ((28, set()), (27.9, {"hands"})):
            plan = by_hand(snap, hand("ana", "j11"), hand("ana", "j21", second_s), servings=served)
            assert rules_broken(snap, plan) == expected


def two_of(recipe: str, seconds: Standards, **at: object) -> Snapshot:
    """Ana and Ben with one drink of this recipe each, a1 and b1."""
    both = counter(2, **at)
    return snapshot(ticket("a", recipe), ticket("b", recipe), standards=seconds, counter=both)


class TestCapacity:
    @pytest.mark.parametrize(
        ("recipe", "seconds", "at", "free_s"),
        [
            # Measured from 0, shaken 10, rinsed 5: the only tin is back at 15.
            ("sour", only(shake=10, rinse=5), {"stations": SHARED_TIN}, 15),
            # Egg: 12 shaken, a spare taken 2, the washer loaded 3 and gone for 100.
            (
                "foam",
                only(dry_shake=12, clean_spare=2, washer_load=3, washer_run=100),
                {"stations": SHARED_TIN},
                117,
            ),
            (
                "stirred",
                only(stir_cubed=28),
                {"stations": (station("one", mixing_glasses=1), station("two", shared_with="one"))},
                28,
            ),
            # One kit of jigger, strainers and spoon for both stations.
            (
                "sour",
                only(shake=10),
                {"stations": (station("one", kits=1), station("two", shared_with="one"))},
                10,
            ),
            ("lager", only(draught_pint=13), {}, 13),
            # The second grinds when the first draws; with one group it waits for the draw.
            ("coffee", only(coffee_hands=15, coffee_draw=27), {"coffee_groups": 2}, 15),
            ("coffee", only(coffee_hands=15, coffee_draw=27), {}, 42),
            # Started at 8, the blender runs until 33; the second starts it 8 s after its start.
            ("frozen", only(blend_start=8, blend_alone=25), {}, 25),
            # Three bottles reached for (6 s) and measured (3 + 2 + 2 s): gin is free at 13.
            (
                "sour",
                only(reach_speed_rail=2, measure_small=2, measure_large=3, shake=10),
                {"one_bottle": ("gin",)},
                13,
            ),
            (
                "swizzled",
                only(shared_well_trip=8, swizzle=12),
                {
                    "stations": (
                        station(wells=(Well(ice=Ice.CUBED),)),
                        station("two", wells=(Well(ice=Ice.CUBED),)),
                    ),
                    "shared_wells": (Well(ice=Ice.CRUSHED),),
                },
                8,
            ),
        ],
    )
    def test_the_second_waits_until_it_is_free(
        self, recipe: str, seconds: Standards, at: dict[str, object], free_s: float
    ) -> None:
        snap = two_of(recipe, seconds, **at)
        plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", free_s))
        assert rules_broken(snap, plan) == set()
        too_soon = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", free_s - 0.1))
        (found,) = verify(snap, too_soon)
        assert (found.rule, found.drinks) == ("capacity", ("b1",))

    def test_two_of_everything_serve_two_at_once(self) -> None:
        for recipe in ("sour", "stirred", "frozen", "coffee", "swizzled", "thrown"):
            at = {"blenders": 2, "coffee_groups": 2, "coffee_grinders": 2}
            snap = two_of(recipe, only(shake=10, stir_cubed=28, blend_alone=25), **at)
            plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1"))
            assert rules_broken(snap, plan) == set()

    def test_different_taps_run_at_once(self) -> None:
        snap = snapshot(
            ticket("a", "lager"),
            ticket("b", "ale"),
            standards=only(draught_pint=13),
            counter=counter(2),
        )
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"), hand("ben", "b1"))) == set()

    def test_a_settling_place_until_the_stout_is_topped(self) -> None:
        """On its place from 20 s until it is topped at 134 s."""
        seconds = only(stout_pour=20, stout_settle=105, stout_window=240, stout_top=9)
        for places, second_s, expected in (
            (1, 134, set()), (1, 113, {"capacity"}), (2, 20, set()),
        ):  # fmt: skip
            snap = two_of("stout", seconds, settling_places=places)
            plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", second_s))
            assert rules_broken(snap, plan) == expected

    def test_topping_takes_the_tap(self) -> None:
        """The first is topped from 125 to 134 s, so another pour ends by 125 s."""
        seconds = only(stout_pour=20, stout_settle=105, stout_window=240, stout_top=9)
        snap = two_of("stout", seconds)
        for second_s, expected in ((105, set()), (105.1, {"capacity"})):
            plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", second_s))
            assert rules_broken(snap, plan) == expected

    @pytest.mark.parametrize(("start_s", "expected"), [(100, set()), (99.9, {"capacity"})])
    def test_the_washer_keeps_what_is_in_it(self, start_s: float, expected: set[str]) -> None:
        gone = InWasher(station="one", vessel=Vessel.TIN_SET, back_s=100)
        snap = snapshot(
            ticket("a", "sour"),
            standards=only(shake=10),
            counter=counter(stations=(station(tin_sets=1),)),
            in_washer=(gone,),
        )
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", start_s))) == expected

    def test_the_washer_of_a_station_without_vessels_is_its_home(self) -> None:
        gone = InWasher(station="two", vessel=Vessel.TIN_SET, back_s=100)
        snap = snapshot(
            ticket("a", "sour"),
            standards=only(shake=10),
            counter=counter(2, stations=SHARED_TIN),
            in_washer=(gone,),
        )
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", 50))) == {"capacity"}

    def test_the_only_till(self) -> None:
        for tills, second_s, expected in (
            (1, 35, set()), (1, 34.9, {"capacity"}), (2, 10, set()),
        ):  # fmt: skip
            both = counter(2, tills=tills)
            snap = snapshot(
                ticket("a", "lager", channel=Channel.BAR_TOP),
                ticket("b", "ale", channel=Channel.BAR_TOP),
                standards=only(draught_pint=10, serve_bar_top=25),
                counter=both,
            )
            served: list[Serving] = [
                serving(snap, "a", "ana", 10),
                serving(snap, "b", "ben", second_s),
            ]
            plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1"), servings=served)
            assert rules_broken(snap, plan) == expected

    def test_one_build_that_wants_more_than_there_is(self) -> None:
        """The second coffee of a build is ground and started while the first still draws."""
        seconds = only(coffee_hands=15, coffee_draw=27)
        for groups, expected in ((1, {"capacity", "station"}), (2, set())):
            at = counter(coffee_groups=groups)
            snap = snapshot(ticket("a", "coffee", "coffee"), standards=seconds, counter=at)
            assert rules_broken(snap, by_hand(snap, hand("ana", "a1 a2"))) == expected

    def test_one_finding_for_one_stretch(self) -> None:
        at = counter(3, taps=("lager",))
        snap = snapshot(
            ticket("a", "lager"),
            ticket("b", "lager"),
            ticket("c", "lager"),
            standards=only(draught_pint=13),
            counter=at,
        )
        hands = (hand("ana", "a1"), hand("ben", "b1"), hand("cleo", "c1"))
        assert [found.rule for found in verify(snap, by_hand(snap, *hands))] == ["capacity"]


class TestFlame:
    """A peel is lit 20 s after the start and burns for 12."""

    PEEL = only(stir_cubed=20, garnish_flamed=12)

    @pytest.mark.parametrize(("second_s", "expected"), [(12, set()), (11.9, {"flame"})])
    def test_one_flame_at_a_time(self, second_s: float, expected: set[str]) -> None:
        snap = two_of("lit", self.PEEL)
        plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", second_s))
        assert rules_broken(snap, plan) == expected

    def test_stirring_together_is_allowed(self) -> None:
        """Only the flame is held: both stir until 20 s where nothing burns."""
        snap = two_of("stirred", self.PEEL)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1"), hand("ben", "b1"))) == set()

    @pytest.mark.parametrize(("no_throw", "out_s"), [(False, 126), (True, 106)])
    def test_a_burning_drink_from_the_lighting_to_the_last_flame_out(
        self, no_throw: bool, out_s: float
    ) -> None:
        """Mugs 4 + 60, place cleared 22, measured 8: lit at 94 s; 8, thrown 20, snuffed 4."""
        seconds = only(
            mugs_warm_hands=4, mugs_warm_alone=60, flame_clear=22, flame_measure=8,
            flame_light=8, flame_throw=20, flame_snuff=4, flame_pour=14,
            stir_cubed=20, garnish_flamed=12,
        )  # fmt: skip
        at = counter(2, flame=Flame(allowed=True, no_throw=no_throw))
        snap = snapshot(ticket("a", "blaze"), ticket("b", "lit"), standards=seconds, counter=at)
        for lit_s, expected in ((out_s, set()), (out_s - 0.1, {"flame"}), (82, set())):
            plan = by_hand(snap, hand("ana", "a1"), hand("ben", "b1", lit_s - 20))
            assert rules_broken(snap, plan) == expected


def begun_plan(one: InHand, end_s: float) -> PlannedBuild:
    run = one.blocks[0]
    block = PlannedBlock(index=0, person=run.person, start_s=run.start_s, end_s=end_s)
    return PlannedBuild(
        id=one.build, person=one.person, drinks=one.drinks,
        made_s=(end_s,) * len(one.drinks), blocks=(block,), is_in_hand=True,
    )  # fmt: skip


class TestBegunBeforeTheMoment:
    """What is held already is a fact; only what the plan adds can break a rule."""

    def snap(self) -> Snapshot:
        """Ana and Ben shake from one tin: it was two, until somebody carried one off."""
        at = counter(3, stations=(*SHARED_TIN, station("three", shared_with="one")))
        return snapshot(
            ticket("a", "sour"), ticket("b", "sour"), ticket("c", "sour"),
            standards=only(shake=30), counter=at,
            in_hand=(begun("a1", -10, "ana"), begun("b1", -10, "ben")),
        )  # fmt: skip

    @pytest.mark.parametrize(("third_s", "expected"), [(20, set()), (19.9, {"capacity"})])
    def test_only_what_is_added(self, third_s: float, expected: set[str]) -> None:
        snap = self.snap()
        third = by_hand(snap, hand("cleo", "c1", third_s)).builds
        builds = (*(begun_plan(one, 20) for one in snap.in_hand), *third)
        plan = recosted(snap, Plan(planner="by hand", builds=builds, cost=0))
        assert rules_broken(snap, plan) == expected

    @pytest.mark.parametrize(("third_s", "expected"), [(5, set()), (4.9, {"capacity", "hands"})])
    def test_an_overrun_holds_its_tin_and_its_hands(
        self, third_s: float, expected: set[str]
    ) -> None:
        """Begun 100 s ago, 30 s of work: taken to end 5 s from now."""
        snap = snapshot(
            ticket("a", "sour"), ticket("b", "sour"), standards=only(shake=30),
            counter=counter(stations=(station(tin_sets=1),)),
            in_hand=(begun("a1", -100, "ana"),),
        )  # fmt: skip
        later = by_hand(snap, hand("ana", "b1", third_s)).builds
        builds = (begun_plan(snap.in_hand[0], 5), *later)
        plan = recosted(snap, Plan(planner="by hand", builds=builds, cost=0))
        assert rules_broken(snap, plan) == expected

    def test_two_begun_builds_of_one_person_are_allowed(self) -> None:
        base = reduction_snapshot([30, 30])
        both = (begun("j11", -20, "ana"), begun("j21", -10, "ana"))
        snap = replace(base, in_hand=both)
        builds = (begun_plan(both[0], 10), begun_plan(both[1], 20))
        plan = recosted(snap, Plan(planner="by hand", builds=builds, cost=0))
        assert rules_broken(snap, plan) == set()

    def test_a_tap_taken_away_under_a_stout_breaks_nothing(self) -> None:
        one = begun("a1", -50)
        one = replace(one, blocks=(replace(one.blocks[0], is_done=True),))
        snap = snapshot(
            ticket("a", "stout"),
            standards=only(stout_pour=20, stout_settle=105, stout_window=240, stout_top=9),
            counter=counter(taps=("lager",)),
            in_hand=(one,),
        )
        top = PlannedBlock(index=1, person="ana", start_s=75, end_s=84)
        build = replace(begun_plan(one, -30), made_s=(84.0,))
        build = replace(build, blocks=(*build.blocks, top))
        plan = recosted(snap, Plan(planner="by hand", builds=(build,), cost=0))
        assert rules_broken(snap, plan) == set()
