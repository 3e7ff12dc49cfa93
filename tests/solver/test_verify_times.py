"""Rules on one build's clock, three tests each; all numbers are worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.builds import build_id
from solver.plan import Plan, PlannedBlock, PlannedBuild
from solver.snapshot import BlockRun, GlassesBack, InHand, Presence, Shortage, Snapshot
from solver.tickets import Ticket
from solver.verify import verify
from tests.solver.makers import (
    by_hand,
    counter,
    glass,
    hand,
    only,
    person,
    recosted,
    reduction_snapshot,
    rules_broken,
    snapshot,
    ticket,
    with_block,
    with_build,
)

STOUT = only(stout_pour=20, stout_settle=105, stout_window=240, stout_top=9)
"""First pour until 20 s, ready from 125 s, topped before 260 s."""


class TestTime:
    def test_tenths_are_kept(self) -> None:
        snap = reduction_snapshot([0.3])
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", 0.1))) == set()

    @pytest.mark.parametrize("wrong", [0.05, float("nan"), float("inf")])
    def test_other_times_are_refused(self, wrong: float) -> None:
        snap = reduction_snapshot([3])
        plan = by_hand(snap, hand("ana", "j11"))
        assert rules_broken(snap, with_block(snap, plan, 0, 0, start_s=wrong)) == {"time"}

    def test_a_binary_fraction_near_a_tenth_is_that_tenth(self) -> None:
        snap = reduction_snapshot([0.3])
        plan = by_hand(snap, hand("ana", "j11"))
        assert rules_broken(snap, with_block(snap, plan, 0, 0, end_s=0.1 + 0.2)) == set()


class TestBlocks:
    def test_a_tail_left_out_is_refused(self) -> None:
        snap = snapshot(ticket("a", "stout"), standards=STOUT)
        plan = by_hand(snap, hand("ana", "a1"))
        assert rules_broken(snap, plan) == set()
        first_only = plan.builds[0].blocks[:1]
        assert rules_broken(snap, with_build(snap, plan, 0, blocks=first_only)) == {"blocks"}

    def test_a_block_twice_is_refused(self) -> None:
        snap = reduction_snapshot([3])
        plan = by_hand(snap, hand("ana", "j11"))
        again = replace(plan.builds[0].blocks[0], start_s=3.0, end_s=6.0)
        twice = (*plan.builds[0].blocks, again)
        assert rules_broken(snap, with_build(snap, plan, 0, blocks=twice)) == {"blocks"}

    def test_two_tails_are_two_blocks(self) -> None:
        snap = snapshot(ticket("a", "stout", "stout"), standards=STOUT)
        plan = by_hand(snap, hand("ana", "a1 a2"))
        # Poured until 20 and 40 s, so ready at 125 and 145 s.
        assert [b.start_s for b in plan.builds[0].blocks] == [0.0, 125.0, 145.0]
        assert rules_broken(snap, plan) == set()


class TestDuration:
    @pytest.mark.parametrize("end_s", [2.9, 3.1])
    def test_shorter_and_longer_are_refused(self, end_s: float) -> None:
        snap = reduction_snapshot([3])
        plan = by_hand(snap, hand("ana", "j11"))
        assert rules_broken(snap, plan) == set()
        assert rules_broken(snap, with_block(snap, plan, 0, 0, end_s=end_s)) == {"duration"}

    @pytest.mark.parametrize(
        # 3.0 s × 0.85 = 2.55 s, rounded up to 2.6; × 1.4 = 4.2.
        ("pace", "ends_s", "too_soon_s"),
        [(0.85, 2.6, 2.5), (1.4, 4.2, 4.1)],
    )
    def test_pace_rounds_up_once(self, pace: float, ends_s: float, too_soon_s: float) -> None:
        base = reduction_snapshot([3])
        people = (person("ana", pace=pace),)
        snap = replace(base, counter=replace(base.counter, people=people))
        plan = by_hand(snap, hand("ana", "j11"))
        plan = with_build(snap, plan, 0, made_s=(ends_s,))
        assert rules_broken(snap, with_block(snap, plan, 0, 0, end_s=ends_s)) == set()
        assert rules_broken(snap, with_block(snap, plan, 0, 0, end_s=too_soon_s)) == {"duration"}

    def test_a_block_goes_at_the_pace_of_its_own_person(self) -> None:
        at = counter(2, people=(person("ana"), person("ben", "two", pace=1.4)))
        snap = snapshot(ticket("a", "stout"), standards=STOUT, counter=at)
        plan = by_hand(snap, hand("ana", "a1"))
        by_ben = with_block(snap, plan, 0, 1, person="ben")
        # Ben tops in 9 × 1.4 = 12.6 s.
        assert rules_broken(snap, by_ben) == {"duration", "made"}
        right = with_block(snap, by_ben, 0, 1, end_s=137.6)
        assert rules_broken(snap, with_build(snap, right, 0, made_s=(137.6,))) == set()


class TestMade:
    """Reading 2 s, then a drink of 3 s and one of 1 s: made at 5 and 6 s."""

    def test_each_when_its_own_last_step_ends(self) -> None:
        snap = reduction_snapshot([3, 1], setup_s=2, per_build=2)
        plan = by_hand(snap, hand("ana", "j11 j21"))
        assert plan.builds[0].made_s == (5.0, 6.0)
        assert rules_broken(snap, plan) == set()

    @pytest.mark.parametrize("made_s", [(6.0, 6.0), (4.9, 6.0), (6.0, 5.0)])
    def test_another_time_is_refused(self, made_s: tuple[float, ...]) -> None:
        snap = reduction_snapshot([3, 1], setup_s=2, per_build=2)
        plan = with_build(snap, by_hand(snap, hand("ana", "j11 j21")), 0, made_s=made_s)
        assert rules_broken(snap, plan) == {"made"}

    def test_another_finishing_order_is_allowed(self) -> None:
        snap = reduction_snapshot([3, 1], setup_s=2, per_build=2)
        plan = by_hand(snap, hand("ana", "j21 j11"))
        assert plan.builds[0].made_s == (3.0, 6.0)
        assert rules_broken(snap, plan) == set()


class TestStart:
    def test_before_the_moment_is_refused(self) -> None:
        snap = reduction_snapshot([3])
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", 0))) == set()
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", -0.1))) == {"start"}

    @pytest.mark.parametrize(("start_s", "expected"), [(60, set()), (59.9, {"start"})])
    def test_before_its_person_is_back_is_refused(self, start_s: float, expected: set[str]) -> None:
        snap = replace(reduction_snapshot([3]), people_on=(Presence(person="ana", from_s=60),))
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", start_s))) == expected

    @pytest.mark.parametrize(("start_s", "expected"), [(90, set()), (89.9, {"start"})])
    def test_before_its_bottle_is_here_is_refused(self, start_s: float, expected: set[str]) -> None:
        snap = replace(reduction_snapshot([3]), short=(Shortage(ingredient="time", back_s=90),))
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", start_s))) == expected

    @pytest.mark.parametrize(("start_s", "expected"), [(30, set()), (29.9, {"start"})])
    def test_before_a_clean_glass_is_back_is_refused(
        self, start_s: float, expected: set[str]
    ) -> None:
        base = reduction_snapshot([3])
        snap = replace(
            base,
            counter=replace(base.counter, glasses=(glass("glass", 300, clean=0),)),
            glasses_back=(GlassesBack(glass="glass", count=1, back_s=30),),
        )
        assert rules_broken(snap, by_hand(snap, hand("ana", "j11", start_s))) == expected

    def test_a_tail_waits_for_its_person_too(self) -> None:
        on = (Presence(person="ana"), Presence(person="ben", from_s=200))
        snap = snapshot(ticket("a", "stout"), standards=STOUT, counter=counter(2), people_on=on)
        for start_s, expected in ((200.0, set()), (199.9, {"start"})):
            plan = by_hand(snap, hand("ana", "a1", tails_s=(start_s,)))
            assert rules_broken(snap, with_block(snap, plan, 0, 1, person="ben")) == expected


class TestAlone:
    @pytest.mark.parametrize(("top_s", "expected"), [(125.0, set()), (124.9, {"alone"})])
    def test_a_stout_settles(self, top_s: float, expected: set[str]) -> None:
        snap = snapshot(ticket("a", "stout"), standards=STOUT)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", tails_s=(top_s,)))) == expected

    @pytest.mark.parametrize(("top_s", "expected"), [(133.0, set()), (132.9, {"alone"})])
    def test_hands_have_a_pace_and_settling_has_none(
        self, top_s: float, expected: set[str]
    ) -> None:
        """At 1.4 the first pour takes 28 s; 105 s more make 133."""
        at = counter(people=(person("ana", pace=1.4),))
        snap = snapshot(ticket("a", "stout"), standards=STOUT, counter=at)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", tails_s=(top_s,)))) == expected

    def test_other_work_goes_on_in_the_gap(self) -> None:
        snap = snapshot(ticket("a", "stout"), ticket("b", "stout"), standards=STOUT)
        plan = by_hand(snap, hand("ana", "a1"), hand("ana", "b1", 20))
        assert rules_broken(snap, plan) == set()


class TestWindow:
    @pytest.mark.parametrize(("top_s", "expected"), [(260.0, set()), (260.1, {"window"})])
    def test_a_stout_is_topped_in_time(self, top_s: float, expected: set[str]) -> None:
        snap = snapshot(ticket("a", "stout"), standards=STOUT)
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", tails_s=(top_s,)))) == expected

    def test_what_has_no_window_may_wait(self) -> None:
        snap = snapshot(ticket("a", "coffee"))
        assert rules_broken(snap, by_hand(snap, hand("ana", "a1", tails_s=(900,)))) == set()


def in_hand(snap: Snapshot, *runs: BlockRun) -> Snapshot:
    """The snapshot with all drinks of its tickets in one build that ana began."""
    drinks = tuple(drink.id for one in snap.tickets for drink in one.drinks)
    begun = InHand(build=build_id(drinks), person="ana", drinks=drinks, blocks=runs)
    return replace(snap, in_hand=(begun,))


def as_begun(snap: Snapshot, made_s: tuple[float, ...], *blocks: tuple[float, float]) -> Plan:
    """A plan of the build in hand alone, with these made times, starts and ends."""
    begun = snap.in_hand[0]
    build = PlannedBuild(
        id=begun.build,
        person="ana",
        drinks=begun.drinks,
        made_s=made_s,
        blocks=tuple(
            PlannedBlock(index=n, person="ana", start_s=start_s, end_s=end_s)
            for n, (start_s, end_s) in enumerate(blocks)
        ),
        is_in_hand=True,
    )
    return recosted(snap, Plan(planner="by hand", builds=(build,), cost=0))


def began(start_s: float, *, index: int = 0, is_done: bool = False) -> BlockRun:
    return BlockRun(index=index, person="ana", start_s=start_s, is_done=is_done)


class TestInHandClock:
    def test_a_running_block_ends_when_its_work_does(self) -> None:
        snap = in_hand(reduction_snapshot([30]), began(-10))
        assert verify(snap, as_begun(snap, (20,), (-10, 20))) == ()
        assert rules_broken(snap, as_begun(snap, (20,), (-10, 19))) == {"duration"}
        assert rules_broken(snap, as_begun(snap, (19,), (-10, 20))) == {"made"}

    def test_an_overrun_block_ends_a_little_from_now(self) -> None:
        snap = in_hand(reduction_snapshot([3]), began(-10))
        assert rules_broken(snap, as_begun(snap, (5,), (-10, 5))) == set()
        assert rules_broken(snap, as_begun(snap, (-7,), (-10, -7))) == {"duration", "made"}
        assert rules_broken(snap, as_begun(snap, (0,), (-10, 5))) == {"made"}

    def test_each_drink_of_an_overrun_block_is_made_a_little_from_now_or_later(self) -> None:
        # Reading 2 s, 3 s and 20 s: the first should be made 15 s ago, the second at 5.1 s.
        snap = in_hand(reduction_snapshot([3, 20.1], setup_s=2, per_build=2), began(-20))
        assert rules_broken(snap, as_begun(snap, (5, 5.1), (-20, 5.1))) == set()

    def test_a_made_drink_keeps_its_recorded_time(self) -> None:
        base = reduction_snapshot([3, 20], setup_s=2, per_build=2)
        first = base.tickets[0]
        made = replace(first, drinks=(replace(first.drinks[0], made_s=-9.0),))
        snap = in_hand(replace(base, tickets=(made, *base.tickets[1:])), began(-15))
        assert rules_broken(snap, as_begun(snap, (-9, 10), (-15, 10))) == set()
        assert rules_broken(snap, as_begun(snap, (-10, 10), (-15, 10))) == {"made"}

    def test_a_finished_block_ended_before_the_moment(self) -> None:
        snap = in_hand(snapshot(stout(), standards=STOUT), began(-50, is_done=True))
        # Poured from −50 to −30 s, ready from 75 s.
        assert rules_broken(snap, as_begun(snap, (84,), (-50, -30), (75, 84))) == set()
        assert rules_broken(snap, as_begun(snap, (83,), (-50, -30), (74, 83))) == {"alone"}

    def test_a_block_finished_sooner_than_its_work_ended_now(self) -> None:
        # Done after 5 s of 20: it ended now, and the stout settles from now on at the latest.
        snap = in_hand(snapshot(stout(), standards=STOUT), began(-5, is_done=True))
        assert rules_broken(snap, as_begun(snap, (114,), (-5, 0), (105, 114))) == set()
        assert rules_broken(snap, as_begun(snap, (114,), (-5, 15), (105, 114))) == {"duration"}

    def test_a_window_that_closed_in_hand_is_as_soon_as_possible(self) -> None:
        snap = in_hand(snapshot(stout(), standards=STOUT), began(-400, is_done=True))
        assert rules_broken(snap, as_begun(snap, (9,), (-400, -380), (0, 9))) == set()

    def test_a_tail_in_the_past_that_nobody_began_is_refused(self) -> None:
        snap = in_hand(snapshot(stout(), standards=STOUT), began(-400, is_done=True))
        plan = as_begun(snap, (4,), (-400, -380), (-5, 4))
        assert rules_broken(snap, plan) == {"start"}

    def test_a_begun_tail_is_never_moved(self) -> None:
        snap = in_hand(
            snapshot(stout(), standards=STOUT), began(-200, is_done=True), began(-2, index=1)
        )
        assert rules_broken(snap, as_begun(snap, (7,), (-200, -180), (-2, 7))) == set()
        assert rules_broken(snap, as_begun(snap, (9,), (-200, -180), (0, 9))) == {"in_hand"}


def stout() -> Ticket:
    return ticket("a", "stout")
