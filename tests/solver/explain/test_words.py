"""Explanations as they are said."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from solver.explain import (
    Part,
    RoundShift,
    Together,
    Turn,
    Why,
    explain,
    mending_words,
    mendings,
    together_words,
    turn_words,
)
from solver.explain.words import whole_parts
from solver.plan import Plan
from solver.planner import Budget, make_plan
from solver.snapshot import Shortage, Snapshot
from tests.solver.families import small
from tests.solver.makers import only, reduction_snapshot, snapshot, ticket


def planned(snap: Snapshot) -> Plan:
    return make_plan(snap, Budget(limit_ms=None, moves=2_000), clock=lambda: 0.0)


def a_why(*drinks: str, together: Together | None = None, turn: Turn | None = None) -> Why:
    alone = Together(together_s=30, apart_s=30, parts=())
    return Why(
        build="b", person="ana", drinks=drinks, together=together or alone, turn=turn or Turn()
    )


class TestTogether:
    def test_a_saving_with_its_parts(self) -> None:
        rows = only(read_build=2, read_drink=1, shake=11, rinse=4, strain=3, split_tin=1.5)
        snap = snapshot(ticket("a", "sour", "sour"), standards=rows)
        (one,) = explain(snap, planned(snap))
        assert together_words(one) == (
            "together 28 s of hands, one by one 42 s: 14 s saved"
            " (shaking 11, rinsing 4, reading 2, straining 3 more)"
        )

    def test_a_drink_on_its_own(self) -> None:
        assert together_words(a_why("a1")) == "on its own, 30 s of hands"

    def test_nothing_saved(self) -> None:
        dear = Together(together_s=33, apart_s=30, parts=(Part(what="straining", saved_s=-3),))
        assert together_words(a_why("a1", "a2", together=dear)) == (
            "together 33 s of hands, one by one 30 s: nothing saved (straining 3 more)"
        )

    def test_parts_add_up_to_what_is_saved(self) -> None:
        parts = (("pouring", 5.6), ("reading", 1.5), ("glasses", 1.4), ("rinsing", 0.9))
        found = Together(
            together_s=20.0,
            apart_s=29.4,
            parts=tuple(Part(what=what, saved_s=seconds) for what, seconds in parts),
        )
        assert together_words(a_why("a1", "a2", together=found)) == (
            "together 20 s of hands, one by one 29 s: 9 s saved"
            " (pouring 6, reading 1, glasses 1, other 1)"
        )
        found = Together(together_s=20.0, apart_s=28.1, parts=found.parts[:3])
        assert together_words(a_why("a1", "a2", together=found)).endswith(
            "8 s saved (pouring 6, reading 1, glasses 1)"
        )

    @given(st.lists(st.floats(-500, 500), max_size=8))
    def test_whole_parts_add_up(self, parts: list[float]) -> None:
        whole = whole_parts(parts)
        assert sum(whole) == round(sum(parts))
        assert all(abs(one - part) <= 1 for one, part in zip(whole, parts, strict=True))

    def test_what_is_less_than_a_second_is_not_said(self) -> None:
        little = Together(together_s=29.5, apart_s=30, parts=(Part(what="reading", saved_s=0.5),))
        said = together_words(a_why("a1", "a2", together=little))
        assert "reading" not in said


class TestTurn:
    def test_sooner_and_later(self) -> None:
        snap = reduction_snapshot([10, 20])
        plan = planned(snap)
        first, last = explain(snap, plan)
        assert turn_words(snap, plan, first) == (
            "before 20 s, not after: ticket j1 is done 20 s sooner; ticket j2 is done 10 s later"
        )
        assert turn_words(snap, plan, last) == "last for now"

    def test_many_rounds_are_counted(self) -> None:
        snap = reduction_snapshot([10, 20, 30, 40, 50, 60])
        plan = planned(snap)
        shifts = tuple(RoundShift(ticket=f"j{n}", sooner_s=5.0) for n in range(1, 7))
        turn = Turn(before=plan.builds[1].id, rounds=shifts, starves=True, sat_less_s=12)
        assert turn_words(snap, plan, a_why("j11", turn=turn)) == (
            "before 20 s, not after: ticket j1 is done 5 s, j2 5 s, j3 5 s, j4 5 s (and 2 more)"
            " sooner; drinks sit 12 s less past their best; else a round would wait longer than"
            " the house allows"
        )

    def test_a_place_that_costs_nobody_anything(self) -> None:
        snap = reduction_snapshot([10, 20])
        plan = planned(snap)
        turn = Turn(before=plan.builds[1].id)
        assert turn_words(snap, plan, a_why("j11", turn=turn)) == (
            "it could as well come after 20 s: no round ends sooner or later for it"
        )

    def test_a_place_that_has_to_be(self) -> None:
        snap = reduction_snapshot([10, 20])
        plan = planned(snap)
        turn = Turn(before=plan.builds[1].id, is_possible=False)
        assert turn_words(snap, plan, a_why("j11", turn=turn)) == (
            "before 20 s: after that it could not be made at all"
        )

    def test_nothing_is_said_of_what_is_in_hand(self) -> None:
        snap = small("in hand", 1)
        plan = planned(snap)
        held = next(build.id for build in plan.builds if build.is_in_hand)
        (one,) = (one for one in explain(snap, plan) if one.build == held)
        assert turn_words(snap, plan, one) == ""


class TestMending:
    def test_one_thing_and_several(self) -> None:
        short = tuple(Shortage(ingredient=name, left=0) for name in ("gin", "lemon"))
        first = ticket("a", "tall")
        second = ticket("b", "sour", is_on_hold=True)
        one, more = mendings(snapshot(first, second, short=short))
        assert mending_words(one) == "needs more Gin"
        assert mending_words(more) == "needs ticket b taken off hold, more Gin, and more Lemon"

    def test_nothing_known_helps(self) -> None:
        (one,) = mendings(snapshot(ticket("a", "of the past")))
        assert mending_words(one) == ""
