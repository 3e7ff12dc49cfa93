"""The three ways a bar works today, on rails where it is plain what each does."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.baselines import (
    BASELINES,
    LOOK_AHEAD_TICKETS,
    by_the_round,
    by_the_ticket,
    look_ahead,
    pinned_drafts,
)
from solver.snapshot import Pinned, Snapshot, rail_of
from solver.tickets import Ticket
from solver.timing import Draft, Engine
from solver.verify import verify
from tests.solver.makers import counter, line, snapshot, ticket
from tests.solver.strategies import snapshots


def drawn_up(rule: Any, *tickets: Ticket, **changes: Any) -> list[tuple[str, str]]:
    """Who makes what, in the order it is begun: ``("ana", "a1 a2")``."""
    engine = Engine(snapshot(*tickets, **changes))
    return [said(engine, draft) for draft in rule(engine)]


def said(engine: Engine, draft: Draft) -> tuple[str, str]:
    names = [engine.packed.rail.drinks[drink].id for drink in draft.drinks]
    return engine.packed.people[draft.person], " ".join(names)


class TestByTheTicket:
    def test_drink_by_drink_oldest_round_first(self) -> None:
        rounds = (ticket("b", "sour", "sour", placed_s=-5), ticket("a", "wine", placed_s=-9))
        assert drawn_up(by_the_ticket, *rounds) == [("ana", "a1"), ("ana", "b1"), ("ana", "b2")]

    def test_whoever_is_free_first(self) -> None:
        """A blended drink takes Ana longer than a wine takes Ben, who makes the third."""
        given = drawn_up(by_the_ticket, ticket("a", "flip", "wine", "wine"), counter=counter(2))
        assert given == [("ana", "a1"), ("ben", "a2"), ("ben", "a3")]

    def test_what_waited_too_long_goes_first(self) -> None:
        rounds = (ticket("a", "wine", placed_s=-9), ticket("b", "wine", overtaken=3))
        assert drawn_up(by_the_ticket, *rounds) == [("ana", "b1"), ("ana", "a1")]


class TestByTheRound:
    def test_each_joins_the_first_it_may(self) -> None:
        round_ = ticket("a", "sour", "tall", line("sour", allergies=("nuts",)), "sour")
        assert drawn_up(by_the_round, round_) == [("ana", "a1 a2 a4"), ("ana", "a3")]

    def test_never_two_rounds_together(self) -> None:
        rounds = (ticket("a", "sour"), ticket("b", "sour"))
        assert drawn_up(by_the_round, *rounds) == [("ana", "a1"), ("ana", "b1")]


class TestLookAhead:
    def test_same_mix_of_the_next_rounds_comes_along(self) -> None:
        rounds = [ticket(t, "sour", placed_s=-100.0 + n) for n, t in enumerate("abcde")]
        given = drawn_up(look_ahead, *rounds)
        assert LOOK_AHEAD_TICKETS == 3
        assert given == [("ana", "a1 b1 c1 d1"), ("ana", "e1")]

    def test_another_mix_of_the_next_round_does_not(self) -> None:
        rounds = (ticket("a", "sour", placed_s=-9), ticket("b", "rye sour"))
        assert drawn_up(look_ahead, *rounds) == [("ana", "a1"), ("ana", "b1")]

    def test_what_runs_alone_is_started_first(self) -> None:
        """A stout settles while the sour is shaken; wine comes last."""
        given = drawn_up(look_ahead, ticket("a", "wine", "sour", "stout"))
        order = " ".join(drinks for _, drinks in given).split()
        assert order.index("a3") < order.index("a2") < order.index("a1")


class TestPinned:
    def test_come_first_in_every_baseline(self) -> None:
        pin = Pinned(person="ben", drinks=("b1",))
        rounds = (ticket("a", "sour", placed_s=-9), ticket("b", "wine"))
        for rule in BASELINES.values():
            given = drawn_up(rule, *rounds, counter=counter(2), pinned=(pin,))
            assert given == [("ben", "b1"), ("ana", "a1")]

    def test_one_that_is_not_possible_any_more_is_forgotten(self) -> None:
        pins = (
            Pinned(person="ana", drinks=("gone",)),
            Pinned(person="cleo", drinks=("a1",)),
            Pinned(person="ana", drinks=("a1", "a2")),
        )
        engine = Engine(snapshot(ticket("a", "sour", line("sour", note="?")), pinned=pins))
        assert pinned_drafts(engine) == []


class TestEveryBaseline:
    @settings(max_examples=60)
    @given(snapshots(), st.sampled_from(sorted(BASELINES)))
    def test_makes_everything_and_breaks_no_rule_but_fairness(
        self, snap: Snapshot, name: str
    ) -> None:
        rail = rail_of(snap)
        if not rail.drinks or not snap.people_on:
            return
        engine = Engine(snap, rail)
        drafts = BASELINES[name](engine)
        assert sorted(d for draft in drafts for d in draft.drinks) == list(range(engine.num_drinks))
        broken = {finding.rule for finding in verify(snap, engine.plan(drafts, name))}
        assert broken <= {"starving"}
