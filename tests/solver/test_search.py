"""The local search by itself: whole numbers, the same walk for the same seed, never a step back."""

from __future__ import annotations

from collections import Counter as Tally

import pytest
from hypothesis import given, settings

from solver.baselines import by_the_ticket, look_ahead, pinned_drafts
from solver.errors import EngineFault
from solver.search import Search
from solver.search.chance import MODULUS, PATIENCE, accepts, draw, first_state
from solver.snapshot import Snapshot, rail_of
from solver.timing import Draft, Engine
from solver.timing.arrays import Ints, zeros
from solver.timing.compiling import entry
from tests.solver.families import small
from tests.solver.makers import snapshot, ticket
from tests.solver.strategies import snapshots


def searched(snap: Snapshot, *, seed: int, moves: int) -> Search:
    engine = Engine(snap)
    search = Search(engine, by_the_ticket(engine), seed=seed)
    search.run(lambda: search.num_tried / moves)
    return search


class TestSearch:
    def test_same_seed_same_walk(self) -> None:
        one, other = (searched(small("six", 0), seed=5, moves=3000) for _ in range(2))
        assert one.drafts() == other.drafts()
        assert (one.cost, one.num_taken) == (other.cost, other.num_taken)

    def test_another_seed_another_walk(self) -> None:
        one, other = (searched(small("six", 0), seed=seed, moves=3000) for seed in (1, 2))
        assert one.num_taken != other.num_taken

    def test_counts_its_moves(self) -> None:
        search = searched(small("six", 0), seed=1, moves=3000)
        assert 3000 <= search.num_tried < 3000 + 1000
        assert 0 < search.num_taken <= search.num_tried

    def test_stops_when_told(self) -> None:
        engine = Engine(small("six", 0))
        search = Search(engine, by_the_ticket(engine), seed=1)
        search.run(lambda: 1.0)
        assert search.num_tried == 0
        assert search.drafts() == by_the_ticket(engine)

    @settings(max_examples=40)
    @given(snapshots())
    def test_never_worse_than_where_it_began(self, snap: Snapshot) -> None:
        rail = rail_of(snap)
        if not rail.drinks or not snap.people_on:
            return
        engine = Engine(snap, rail)
        drafts = look_ahead(engine)
        before = engine.lay(drafts)
        search = Search(engine, drafts, seed=1)
        search.run(lambda: search.num_tried / 500)
        found = search.drafts()
        after = engine.lay(found)
        assert before is not None
        assert after is not None
        assert after.cost == search.cost <= before.cost
        made = Tally(drink for draft in found for drink in draft.drinks)
        assert made == Tally(range(engine.num_drinks))
        pins = [draft for draft in drafts if draft.is_pinned]
        assert [draft for draft in found if draft.is_pinned] == pins == pinned_drafts(engine)

    def test_refuses_a_list_that_may_not_be(self) -> None:
        engine = Engine(snapshot(ticket("a", *["wine"] * 9)))
        with pytest.raises(EngineFault, match="may not be"):
            Search(engine, [Draft(person=0, drinks=tuple(range(7)))], seed=1)


# Inner kernels are called by other kernels only: these two are called for the tests.
@entry
def drawn(state: Ints, below: int, seen: Ints) -> None:
    """Fill `seen` with draws."""
    for i in range(len(seen)):
        seen[i] = draw(state, below)


@entry
def times_taken(state: Ints, patience: Ints, worse_by: int, temperature: int, tries: int) -> int:
    """How often a plan that is worse by so much is taken."""
    taken = 0
    for _ in range(tries):
        taken += accepts(state, patience, worse_by, temperature)
    return taken


class TestChance:
    def test_draws_are_even(self) -> None:
        seen = zeros(20_000)
        drawn(first_state(1), 10, seen)
        counts = Tally(seen.tolist())
        assert set(counts) == set(range(10))
        assert all(1800 < count < 2200 for count in counts.values())

    def test_is_the_minimal_standard(self) -> None:
        """Source: Park and Miller, Commun. ACM 36(7), 1993: from 1, the 10,000th is 399268537."""
        state = zeros(1) + 1
        drawn(state, 2, zeros(10_000))
        assert int(state[0]) == 399_268_537

    def test_every_seed_begins_somewhere(self) -> None:
        states = [int(first_state(seed)[0]) for seed in range(2000)]
        assert len(set(states)) == 2000
        assert all(1 <= state < MODULUS for state in states)

    @pytest.mark.parametrize(
        ("worse", "share"), [(-5, 1.0), (0, 1.0), (100, 0.368), (200, 0.135), (1000, 0.0)]
    )
    def test_worse_is_taken_with_metropolis_odds(self, worse: int, share: float) -> None:
        """exp(-worse / temperature). Source: Metropolis et al. 1953, J. Chem. Phys. 21."""
        taken = times_taken(first_state(3), PATIENCE, worse, 100, 20_000) / 20_000
        assert taken == pytest.approx(share, abs=0.012)
