"""What a build holds and for how long; sums worked by hand, and what holds for any build."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from solver.counter import Flame, Vessel, Well
from solver.menu import (
    Ice,
)
from solver.standards import Standard, Standards
from solver.units import to_s
from solver.work import Work, serving_ds, vessel_resource
from tests.solver.makers import (
    counter,
    menu,
    snapshot,
    standards,
    station,
    total_hands_ds,
    work_by_ana,
)


def held(done: Work, resource: str) -> list[tuple[float, float, float]]:
    """From and until in base seconds, and what no pace changes, of each hold of a resource."""
    return [
        (to_s(h.from_base_ds), to_s(h.to_base_ds), to_s(h.extra_ds))
        for h in done.holds
        if h.resource == resource
    ]


class TestHolds:
    def test_a_tin_from_measuring_to_rinsed(self) -> None:
        # read 3, bottles 6, glass 2, garnish 2: measured from 13 s on
        done = work_by_ana("sour")
        assert held(done, vessel_resource("one", Vessel.TIN_SET)) == [(13.0, 46.0, 0.0)]
        assert held(done, vessel_resource("one", Vessel.KIT)) == [(13.0, 46.0, 0.0)]

    def test_what_was_washed_comes_back_after_the_washers_run(self) -> None:
        # read 3, bottles 8, glass 2; the washer runs 150 s
        done = work_by_ana("foam")
        assert held(done, vessel_resource("one", Vessel.TIN_SET)) == [(13.0, 78.0, 150.0)]

    def test_a_tin_for_every_fill(self) -> None:
        done = work_by_ana("sour", "sour", "rye sour")
        assert len(held(done, vessel_resource("one", Vessel.TIN_SET))) == 2
        assert len(held(done, vessel_resource("one", Vessel.KIT))) == 1

    def test_a_tap_only_while_it_runs(self) -> None:
        assert held(work_by_ana("lager"), "tap:lager") == [(5.0, 18.0, 0.0)]

    def test_a_blenders_base_only_while_it_runs(self) -> None:
        done = work_by_ana("frozen")
        assert held(done, "blender") == [(26.0, 26.0, 25.0)]
        (jar,) = [h for h in done.holds if h.resource == vessel_resource("one", Vessel.JAR)]
        assert (jar.from_block, jar.to_block, to_s(jar.to_base_ds)) == (0, 1, 19.0)

    def test_a_stouts_place_until_its_top_is_poured(self) -> None:
        done = work_by_ana("stout")
        (place,) = [h for h in done.holds if h.resource == "settling_place"]
        assert (place.from_block, to_s(place.from_base_ds)) == (0, 23.0)
        assert (place.to_block, to_s(place.to_base_ds)) == (1, 9.0)
        taps = [(h.from_block, to_s(h.from_base_ds)) for h in done.holds if "tap" in h.resource]
        assert taps == [(0, 3.0), (1, 0.0)]

    def test_a_grinder_while_grinding_and_a_group_until_drawn(self) -> None:
        done = work_by_ana("coffee")
        assert held(done, "coffee_grinder") == [(3.0, 18.0, 0.0)]
        assert held(done, "coffee_group") == [(3.0, 18.0, 27.0)]

    def test_a_burning_peel_only_while_it_burns(self) -> None:
        # read 3, bottles 4, glass 2, garnish 2, measured 5, ice and stir 30.5, block 5, strain 3
        assert held(work_by_ana("lit"), "flame") == [(54.5, 66.5, 0.0)]

    def test_a_burning_drink_from_the_lighting_to_the_last_flame_out(self) -> None:
        # cleared 22 and measured 8, then 8 + 20 + 4; without a throw 8 + 4
        assert held(work_by_ana("blaze"), "flame") == [(30.0, 62.0, 0.0)]
        no_throw = counter(flame=Flame(allowed=True, no_throw=True))
        assert held(work_by_ana("blaze", counter=no_throw), "flame") == [(30.0, 42.0, 0.0)]

    def test_a_shared_well_during_the_trip(self) -> None:
        at = counter(
            stations=(station(wells=(Well(ice=Ice.CUBED),)),),
            shared_wells=(Well(ice=Ice.CRUSHED),),
        )
        # read 4, bottles 4, glasses 3, measured 10
        done = work_by_ana("swizzled", "swizzled", counter=at)
        assert held(done, "well:crushed") == [(21.0, 29.0, 0.0)]

    def test_the_only_bottle_while_it_is_gathered_and_measured(self) -> None:
        done = work_by_ana("sour", counter=counter(one_bottle=("gin", "rum")))
        assert held(done, "bottle:gin") == [(3.0, 20.0, 0.0)]
        assert held(done, "bottle:rum") == []


def test_serving_a_round() -> None:
    assert to_s(serving_ds(snapshot())) == 25.0


RECIPES = [recipe.id for recipe in menu().recipes]
some_drinks = st.lists(st.sampled_from(RECIPES), min_size=1, max_size=5).map(sorted)


@given(some_drinks)
def test_steps_add_up_and_every_drink_is_made_once(recipes: list[str]) -> None:
    done = work_by_ana(*recipes)
    for block in done.blocks:
        assert sum(step.ds for step in block.steps) == block.base_ds
        assert all(0 <= at <= block.base_ds for _, at in block.made)
    made = [drink for block in done.blocks for drink, _ in block.made]
    assert sorted(made) == sorted(f"a{n + 1}" for n in range(len(recipes)))


@given(some_drinks)
def test_holds_lie_within_their_blocks(recipes: list[str]) -> None:
    done = work_by_ana(*recipes)
    for hold in done.holds:
        assert 0 <= hold.from_base_ds <= done.blocks[hold.from_block].base_ds
        assert 0 <= hold.to_base_ds <= done.blocks[hold.to_block].base_ds
        assert hold.from_block <= hold.to_block


@given(some_drinks)
def test_sharing_never_costs_hands(recipes: list[str]) -> None:
    together = total_hands_ds(work_by_ana(*recipes))
    apart = sum(total_hands_ds(work_by_ana(recipe)) for recipe in recipes)
    assert together <= apart


@given(some_drinks)
def test_twice_the_table_is_twice_the_work(recipes: list[str]) -> None:
    once = standards()
    twice = Standards(
        rows={n: Standard(seconds=2 * r.seconds, source="test") for n, r in once.rows.items()}
    )
    blocks = work_by_ana(*recipes).blocks
    doubled = work_by_ana(*recipes, standards=twice).blocks
    assert [2 * block.base_ds for block in blocks] == [block.base_ds for block in doubled]
    assert [2 * block.alone_ds for block in blocks] == [block.alone_ds for block in doubled]
