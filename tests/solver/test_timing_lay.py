"""The engine lays builds as early as they fit; every time here was worked by hand.

A lager or an ale takes 10 s at its tap, wine 15 s, a stout 20 s, 90 s by itself and 9 s to top.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.counter import Counter, HouseRules, Vessel
from solver.errors import EngineFault
from solver.plan import Plan, PlannedBuild
from solver.snapshot import InWasher, Pinned, Presence, Shortage, Snapshot
from solver.tickets import Channel, Ticket
from solver.timing import Draft, Engine
from solver.verify import verify
from tests.solver.makers import begun, counter, line, only, person, snapshot, station, ticket

QUICK: dict[str, float] = {
    "draught_pint": 10,
    "stout_pour": 20,
    "stout_settle": 90,
    "stout_window": 240,
    "stout_top": 9,
    "wine_glass": 15,
    "serve_bar_top": 25,
    "shake_long": 100,
    "shake": 30,
    "throw": 40,
    "mugs_warm_hands": 5,
    "mugs_warm_alone": 60,
    "flame_light": 8,
    "flame_throw": 20,
    "flame_snuff": 4,
}


def at(*tickets: Ticket, people: int = 1, **changes: Any) -> Snapshot:
    return snapshot(
        *tickets, **({"standards": only(**QUICK), "counter": counter(people)} | changes)
    )


def laid(snap: Snapshot, *builds: str, pinned: str = "") -> Plan:
    """Lay builds written ``"ana: a1 b1"``; the plan has to keep every rule."""
    engine = Engine(snap)
    names = [drink.id for drink in engine.packed.rail.drinks]
    drafts = []
    for build in builds:
        who, drinks = build.split(": ")
        drafts.append(
            Draft(
                person=engine.packed.people.index(who),
                drinks=tuple(names.index(drink) for drink in drinks.split()),
                is_pinned=build == pinned,
            )
        )
    plan = engine.plan(drafts, "test")
    assert verify(snap, plan) == ()
    return plan


def build_of(plan: Plan, drink: str) -> PlannedBuild:
    return next(build for build in plan.builds if drink in build.drinks)


def starts(plan: Plan, *drinks: str) -> list[float]:
    return [build_of(plan, drink).start_s for drink in drinks]


def served(plan: Plan) -> list[tuple[str, str, float]]:
    return [(one.ticket, one.person, one.start_s) for one in plan.servings]


class TestHands:
    def test_one_after_the_other(self) -> None:
        plan = laid(at(ticket("a", "lager"), ticket("b", "wine")), "ana: b1", "ana: a1")
        assert starts(plan, "a1", "b1") == [15.0, 0.0]

    def test_two_people_at_once(self) -> None:
        plan = laid(at(ticket("a", "ale", "wine"), people=2), "ana: a1", "ben: a2")
        assert starts(plan, "a1", "a2") == [0.0, 0.0]

    def test_pace(self) -> None:
        slow = counter(people=(person("ana", "one", pace=1.4),))
        plan = laid(
            at(ticket("a", "lager"), ticket("b", "wine"), counter=slow), "ana: a1", "ana: b1"
        )
        assert starts(plan, "b1") == [14.0]
        assert build_of(plan, "b1").made_s == (35.0,)

    def test_not_before_a_person_is_back(self) -> None:
        snap = at(ticket("a", "lager"), people_on=(Presence(person="ana", from_s=45.0),))
        assert starts(laid(snap, "ana: a1"), "a1") == [45.0]

    def test_not_before_a_bottle_is_here(self) -> None:
        snap = at(ticket("a", "wine"), short=(Shortage(ingredient="white", back_s=33.0),))
        assert starts(laid(snap, "ana: a1"), "a1") == [33.0]

    def test_a_build_in_hand_takes_hands_until_it_ends(self) -> None:
        snap = at(ticket("a", "wine"), ticket("b", "lager"), in_hand=(begun("a1", -4.0),))
        plan = laid(snap, "ana: b1")
        assert starts(plan, "a1", "b1") == [-4.0, 11.0]

    def test_one_that_is_late_ends_a_little_from_now(self) -> None:
        snap = at(ticket("a", "wine"), ticket("b", "lager"), in_hand=(begun("a1", -40.0),))
        plan = laid(snap, "ana: b1")
        assert build_of(plan, "a1").made_s == (5.0,)
        assert starts(plan, "b1") == [5.0]


class TestWhatRunsAlone:
    def test_a_short_build_goes_into_the_gap(self) -> None:
        plan = laid(at(ticket("a", "stout"), ticket("b", "lager")), "ana: a1", "ana: b1")
        stout = build_of(plan, "a1")
        assert [block.start_s for block in stout.blocks] == [0.0, 110.0]
        assert stout.made_s == (119.0,)
        assert starts(plan, "b1") == [20.0]

    def test_a_long_one_does_not(self) -> None:
        plan = laid(at(ticket("a", "stout"), ticket("b", "long sour")), "ana: a1", "ana: b1")
        assert starts(plan, "b1") == [119.0]

    def test_somebody_else_tops_it_sooner(self) -> None:
        snap = at(ticket("a", "stout"), ticket("b", "long sour"), people=2)
        plan = laid(snap, "ana: b1", "ana: a1")
        assert starts(plan, "a1") == [100.0]
        assert build_of(plan, "a1").blocks[1].person == "ana"
        plan = laid(
            at(
                ticket("a", "stout"),
                ticket("b", "long sour"),
                people=2,
                short=(Shortage(ingredient="gin", back_s=30.0),),
            ),
            "ana: b1",
            "ana: a1",
        )
        assert build_of(plan, "a1").blocks[1] == replace(
            build_of(plan, "a1").blocks[1], person="ben", start_s=110.0, end_s=119.0
        )

    def test_waits_where_its_window_would_close(self) -> None:
        """Ana shakes from 30 s to 430 s: a stout poured before that would stand too long."""
        slow = only(**(QUICK | {"shake_long": 400}))
        snap = at(
            ticket("a", "stout"),
            ticket("b", "long sour"),
            standards=slow,
            short=(Shortage(ingredient="gin", back_s=30.0),),
        )
        plan = laid(snap, "ana: b1", "ana: a1")
        assert starts(plan, "b1", "a1") == [30.0, 430.0]

    def test_places_to_settle(self) -> None:
        """Two places for three stouts, and one tap, which pours at 0, 20, 110 and 130 s.

        A place is free from 119 s on, but 20 s of tap only when the second one is topped.
        """
        snap = at(*(ticket(t, "stout") for t in "abc"), people=2)
        plan = laid(snap, "ana: a1", "ana: b1", "ben: c1")
        tops = [build_of(plan, drink).blocks[1].start_s for drink in ("a1", "b1")]
        assert starts(plan, "a1", "b1") + tops == [0.0, 20.0, 110.0, 130.0]
        assert starts(plan, "c1") == [139.0]


class TestEquipment:
    def test_one_tap(self) -> None:
        snap = at(ticket("a", "lager", "lager"), people=2)
        assert starts(laid(snap, "ana: a1", "ben: a2"), "a1", "a2") == [0.0, 10.0]

    def test_one_kit_in_the_washer(self) -> None:
        bar = counter(stations=(station("one", kits=1),))
        gone = InWasher(station="one", vessel=Vessel.KIT, back_s=50.0)
        snap = at(ticket("a", "sour"), counter=bar, in_washer=(gone,))
        assert starts(laid(snap, "ana: a1"), "a1") == [50.0]

    def test_one_flame(self) -> None:
        """Both have mugs warming from 5 s on; the second lights when the first is out."""
        snap = at(ticket("a", "blaze"), ticket("b", "blaze"), people=2)
        plan = laid(snap, "ana: a1", "ben: b1")
        lit = [build_of(plan, drink).blocks[1].start_s for drink in ("a1", "b1")]
        assert lit == [65.0, 97.0]

    def test_vessels_that_two_stations_share(self) -> None:
        """One tin set for both: Ben waits until Ana's is rinsed."""
        bar = counter(2, stations=(station("one", tin_sets=1), station("two", shared_with="one")))
        snap = at(ticket("a", "sour", "sour"), counter=bar)
        assert starts(laid(snap, "ana: a1", "ben: a2"), "a1", "a2") == [0.0, 30.0]


class TestOrder:
    def test_what_waited_too_long_goes_first(self) -> None:
        late = ticket("b", "ale", overtaken=3)
        plan = laid(at(ticket("a", "lager"), late), "ana: a1", "ana: b1")
        assert starts(plan, "b1", "a1") == [0.0, 10.0]

    def test_and_nobody_who_could_make_it_starts_before_it(self) -> None:
        """Ana has wine in hand until 11 s; Ben, who could make the late ale, waits for that."""
        rounds = (ticket("a", "wine"), ticket("b", "ale", overtaken=3), ticket("c", "lager"))
        snap = at(*rounds, people=2, in_hand=(begun("a1", -4.0),))
        plan = laid(snap, "ana: b1", "ben: c1")
        assert starts(plan, "b1", "c1") == [11.0, 11.0]

    def test_but_not_while_its_bottle_is_on_the_way(self) -> None:
        """The wine for a late round is here at 12 s, and Ana's hands are free for it at 30 s.

        Ben pours until it is here; from then on he starts nothing else before it is opened.
        """
        snap = at(
            ticket("a", "long sour"),
            ticket("b", "wine", overtaken=3),
            ticket("c", "lager", "ale", "lager"),
            people=2,
            in_hand=(begun("a1", -70.0),),
            short=(Shortage(ingredient="white", back_s=12.0),),
        )
        plan = laid(snap, "ben: c1", "ben: c2", "ben: c3", "ana: b1")
        assert starts(plan, "b1", "c1", "c2", "c3") == [30.0, 0.0, 10.0, 30.0]

    def test_pinned_goes_first(self) -> None:
        snap = at(
            ticket("a", "lager"),
            ticket("b", "wine"),
            pinned=(Pinned(person="ana", drinks=("b1",)),),
        )
        plan = laid(snap, "ana: a1", "ana: b1", pinned="ana: b1")
        assert starts(plan, "b1", "a1") == [0.0, 15.0]


def over_the_bar(tills: int = 1, people: int = 1, **changes: Any) -> Counter:
    return counter(people, tills=tills, **changes)


class TestServing:
    """Whoever finished a bar-top round serves it, 25 s, before they start another build."""

    def test_before_the_next_build(self) -> None:
        rounds = (ticket("a", "lager", channel=Channel.BAR_TOP), ticket("b", "wine"))
        plan = laid(at(*rounds, counter=over_the_bar()), "ana: a1", "ana: b1")
        assert served(plan) == [("a", "ana", 10.0)]
        assert starts(plan, "b1") == [35.0]

    def test_not_while_drinks_of_the_build_are_to_come(self) -> None:
        rounds = (ticket("a", "ale", channel=Channel.BAR_TOP), ticket("b", "wine"))
        plan = laid(at(*rounds, counter=over_the_bar()), "ana: a1 b1")
        made = build_of(plan, "a1")
        assert served(plan) == [("a", "ana", made.end_s)]

    def test_nobody_starts_a_build_while_they_wait_for_the_till(self) -> None:
        bar_top = {"channel": Channel.BAR_TOP}
        rounds = (
            ticket("a", "lager", **bar_top),
            ticket("b", "ale", **bar_top),
            ticket("c", "wine"),
        )
        plan = laid(at(*rounds, counter=over_the_bar(people=2)), "ana: a1", "ben: b1", "ben: c1")
        assert served(plan) == [("a", "ana", 10.0), ("b", "ben", 35.0)]
        assert starts(plan, "c1") == [60.0]

    def test_a_build_that_would_leave_a_round_waiting_is_later(self) -> None:
        """Ana's ale of round a is made at 10 s, and she starts round b's wine then.

        Were Ben's lager of round a made at 10 s too, Ana would have to serve it before that wine;
        so it is made just after, and Ben serves.
        """
        rounds = (ticket("a", "ale", "lager", channel=Channel.BAR_TOP), ticket("b", "wine"))
        plan = laid(at(*rounds, counter=over_the_bar(people=2)), "ana: a1", "ana: b1", "ben: a2")
        assert starts(plan, "a1", "b1", "a2") == [0.0, 10.0, 0.1]
        assert served(plan) == [("a", "ben", 10.1)]

    def test_by_somebody_else_where_its_maker_has_left(self) -> None:
        snap = at(
            ticket("a", "wine", channel=Channel.BAR_TOP),
            ticket("b", "lager"),
            counter=over_the_bar(people=2),
            in_hand=(begun("a1", -4.0),),
            people_on=(Presence(person="ben"),),
        )
        plan = laid(snap, "ben: b1")
        assert served(plan) == [("a", "ben", 11.0)]
        assert starts(plan, "b1") == [0.0]

    def test_not_at_all_without_a_till(self) -> None:
        rounds = (ticket("a", "lager", channel=Channel.BAR_TOP),)
        assert laid(at(*rounds), "ana: a1").servings == ()


class TestEngine:
    def test_refuses_what_may_not_share(self) -> None:
        engine = Engine(at(ticket("a", line("sour", allergies=("nuts",)), "sour")))
        assert engine.hands_ds(0, (0, 1)) is None
        assert engine.lay([Draft(person=0, drinks=(0, 1))]) is None

    def test_refuses_an_empty_build_and_one_too_large(self) -> None:
        engine = Engine(at(ticket("a", *["wine"] * 9)))
        assert engine.lay([Draft(person=0, drinks=())]) is None
        assert engine.lay([Draft(person=0, drinks=tuple(range(9)))]) is None

    def test_a_list_that_cannot_be_laid_is_no_plan(self) -> None:
        engine = Engine(at(ticket("a", *["wine"] * 9)))
        with pytest.raises(EngineFault, match="test drew up builds that cannot be laid"):
            engine.plan([Draft(person=0, drinks=tuple(range(9)))], "test")

    def test_hands_count_tails(self) -> None:
        engine = Engine(at(ticket("a", "stout")))
        assert engine.hands_ds(0, (0,)) == 290

    def test_adds_builds_one_by_one(self) -> None:
        engine = Engine(at(ticket("a", "lager"), ticket("b", "wine")))
        engine.begin()
        assert engine.free_at(0) == 0
        assert engine.add(Draft(person=0, drinks=(0,)))
        assert engine.free_at(0) == 100
        assert engine.add(Draft(person=0, drinks=(1,)))
        assert engine.free_at(0) == 250

    def test_says_how_far_rounds_starve(self) -> None:
        rounds = (ticket("a", "lager", promise_s=10), ticket("b", "wine", promise_s=10))
        engine = Engine(at(*rounds, worst_by_ticket_s=20.0, counter=counter(rules=HouseRules())))
        done = engine.lay([Draft(person=0, drinks=(0,)), Draft(person=0, drinks=(1,))])
        assert done is not None
        assert done.starving_ds == 250 - 220
