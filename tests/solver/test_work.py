"""Work content: every sum is worked by hand from the packaged table, in seconds.

The figures of the first class are the trade's own, "do they add up"; the others follow from the
rows of the table and say how.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.counter import GlassPlace, Well
from solver.menu import (
    Garnish,
    GarnishWork,
    Ice,
    Ingredient,
    Kind,
    Place,
    Pour,
    Pouring,
    Stage,
    Strain,
)
from solver.tickets import Channel, Line
from solver.units import to_s
from solver.work import StepKind, work_of
from tests.solver.makers import (
    GLASSES,
    counter,
    line,
    menu,
    on_rail,
    snapshot,
    station,
    ticket,
    total_hands_ds,
    work_by_ana,
)


def hands_s(*wanted: str | Line, **changes: Any) -> list[float]:
    """Seconds of each block."""
    return [to_s(block.base_ds) for block in work_by_ana(*wanted, **changes).blocks]


def changed(recipe: str, **fields: Any) -> Any:
    """The menu with fields of one recipe changed."""
    house = menu()
    return menu(recipes=tuple(replace(r, **fields) if r.id == recipe else r for r in house.recipes))


class TestDoTheyAddUp:
    """Source: common practice; a proper sour is double strained into a chilled glass."""

    PROPER = changed(
        "sour",
        glass="chilled coupe",
        chilled=True,
        strain=Strain.DOUBLE,
        garnishes=(Garnish(name="peel", work=GarnishWork.PRE_CUT),),
    )
    COLD = tuple(replace(g, chilled=12) for g in GLASSES)

    def test_one_shaken_sour_50_to_60(self) -> None:
        # read 3, three bottles 6, glass 2 from the freezer 4, garnish taken up 2, measured 3+2+2,
        # ice 2.5, closed 1, shaken 11, opened 2, double strained 6, peel 4, rinsed 4.5
        (one,) = hands_s("sour", menu=self.PROPER, counter=counter(glasses=self.COLD))
        assert one == 55.0
        assert 50 <= one <= 60

    def test_four_the_same_in_two_tins_120_to_140(self) -> None:
        # read 6, bottles 6, glasses 5 and 16, garnish 2, measured 2×(6+3+2), the first tin 16.5
        # and the second 5.5 more, 4×(6 + split 1.5 + peel 4), rinsed 9
        (four,) = hands_s(*["sour"] * 4, menu=self.PROPER, counter=counter(glasses=self.COLD))
        assert four == 134.0
        assert 120 <= four <= 140

    def test_stirred_60_to_70(self) -> None:
        # read 3, rye 2, vermouth 5, bitters 2, glass 2, garnish 2, measured 3+2+2, ice 2.5,
        # stirred 28, strained 3, peel 4, rinsed 4.5
        assert hands_s("stirred") == [65.0]

    def test_a_tall_drink_16_to_20(self) -> None:
        # read 3, gin 2, glass 2, garnish 2, measured 3, ice 2.5, the gun 2.5, wedge 2
        assert hands_s("tall") == [19.0]


@pytest.mark.parametrize(
    ("recipe", "seconds"),
    [
        # read 3, bottles 6, glass 2, garnish 2, measured 7, shaken 16.5, strained 3, wedge 2, 4.5
        ("sour", 46.0),
        # ... long 21.5, double strained 6, no garnish
        ("long sour", 50.0),
        # read 3, bottles 8, glass 2, measured 7 and egg white 3, dry 12 and open and ice 4, tins 3
        # and long 16, foam strained 8, spare 2 and washer 10
        ("foam", 78.0),
        # read 3, bottles 4, hands 20, glass 2, measured 3 and egg 5, long 21.5, strained 3, 12
        ("flip", 73.5),
        # read 3, rum 2, cream from the fridge 5, glass 2, measured 4, shaken 16.5, 3, 12
        ("cream", 47.5),
        # read 3, vermouth 5, gin 2, glass 2, measured 5, ice 2.5, thrown 22, strained 3, rinsed 4.5
        ("thrown", 49.0),
        # read 3, bottles 4, glass 2, measured 5, fine ice 6, swizzled 12
        ("swizzled", 32.0),
        # read 3, mint and rum 4, glass 2, leaves 4, rum 3, muddled 5, fine ice 6, the gun 2.5
        ("muddled", 29.5),
        # read 3, glass 2, a pint 13 or a half 8
        ("lager", 18.0),
        ("half", 13.0),
        # read 3, from the fridge 5, glass 2, poured 8
        ("wine", 18.0),
        # read 3, from the back bar 6, glass 2, measured 3 without a pourer 2
        ("neat", 16.0),
        # read 3, bottles 4, glass 2, garnish 2, measured 3+2, ice 2.5, stirred 28, block 5,
        # strained 3, burnt peel 12, rinsed 4.5
        ("lit", 71.0),
    ],
)
def test_one_drink_of_each_method(recipe: str, seconds: float) -> None:
    done = work_by_ana(recipe)
    assert [to_s(block.base_ds) for block in done.blocks] == [seconds]
    assert total_hands_ds(done) == done.blocks[0].base_ds


@pytest.mark.parametrize(
    ("recipe", "hands", "anchor_s", "alone_s", "window_s", "is_anyones"),
    [
        # read 3, first pour 20, glass 2; settles 105, topped by anyone before 240: 9
        ("stout", [25.0, 9.0], 23.0, 105.0, 240.0, True),
        # read 3, ground and started 15, glass 2; draws 27; finished 7
        ("coffee", [20.0, 7.0], 18.0, 27.0, None, False),
        # read 3, bottles 6, glass 2, measured 7, jar started 8; runs 25; poured 7, jar rinsed 12
        ("frozen", [26.0, 19.0], 26.0, 25.0, None, False),
        # read 3, mugs set to warm 4, bottles 8, glass 2; warm 60; cleared 22, measured 8, lit 8,
        # thrown 20, snuffed 4, poured 14, rinsed 4.5
        ("blaze", [17.0, 80.5], 7.0, 60.0, None, False),
    ],
)
def test_what_runs_alone_is_finished_in_a_tail(
    recipe: str,
    hands: list[float],
    anchor_s: float,
    alone_s: float,
    window_s: float | None,
    is_anyones: bool,
) -> None:
    done = work_by_ana(recipe)
    main, tail = done.blocks
    assert [to_s(main.base_ds), to_s(tail.base_ds)] == hands
    assert (to_s(tail.anchor_base_ds), to_s(tail.alone_ds)) == (anchor_s, alone_s)
    assert (None if tail.window_ds is None else to_s(tail.window_ds)) == window_s
    assert tail.is_anyones == is_anyones
    assert main.made == ()
    assert [drink for drink, _ in tail.made] == ["a1"]


class TestChilledGlass:
    def test_from_the_freezer(self) -> None:
        # sour without a garnish: 3+6+2+7+16.5+3+4.5 = 42, and 4 for the freezer
        assert hands_s("cold sour") == [46.0]

    def test_by_ice_when_none_is_left(self) -> None:
        none_left = tuple(replace(g, chilled=0) for g in GLASSES)
        main, tail = work_by_ana("cold sour", counter=counter(glasses=none_left)).blocks
        # read 3, ice and water 4, bottles 6, glass 2, measured 7; 60 alone; emptied 3, shaken
        # 16.5, strained 3, rinsed 4.5
        assert (to_s(main.base_ds), to_s(tail.base_ds)) == (22.0, 27.0)
        assert (to_s(tail.anchor_base_ds), to_s(tail.alone_ds)) == (7.0, 60.0)


class TestShared:
    def test_two_tins_in_one_wave(self) -> None:
        # read 4, bottles 8, glasses 3, garnish 2, measured 14, shaken 16.5 and 5.5, then
        # 3 + 2 for the first glass (58), 3 for the second (61), rinsed 9
        (block,) = work_by_ana("sour", "rye sour").blocks
        assert to_s(block.base_ds) == 70.0
        assert [(drink, to_s(at)) for drink, at in block.made] == [("a1", 58.0), ("a2", 61.0)]

    def test_what_takes_both_hands_is_shaken_alone(self) -> None:
        # foam twice: read 4, bottles 8, glasses 3, measured 20, each 35 and 8, washed 24
        (block,) = work_by_ana("foam", "foam").blocks
        assert to_s(block.base_ds) == 4 + 8 + 3 + 20 + 2 * (35 + 8) + 24
        assert [to_s(at) for _, at in block.made] == [78.0, 121.0]

    def test_each_wave_is_strained_before_the_next(self) -> None:
        # sour twice in one tin, long sour: two methods, two waves
        (block,) = work_by_ana("sour", "long sour").blocks
        # read 4, bottles 6, glasses 3, garnish 2, measured 14 = 29; 16.5 + 5; 21.5 + 6
        assert [to_s(at) for _, at in block.made] == [50.5, 78.0]
        assert to_s(block.base_ds) == 87.0

    def test_splitting_a_tin(self) -> None:
        # read 4, bottles 6, glasses 3, garnish 2, measured 100 ml 6, 50 ml 3, 30 ml 2; 16.5;
        # 2×(3 + 1.5 + 2); 4.5
        assert hands_s("sour", "sour") == [4 + 6 + 3 + 2 + 11 + 16.5 + 13 + 4.5]

    def test_two_taps_run_side_by_side(self) -> None:
        # read 4, glasses 3, the first pint 13, the second beside it 7
        (block,) = work_by_ana("lager", "ale").blocks
        assert to_s(block.base_ds) == 27.0
        assert [to_s(at) for _, at in block.made] == [27.0, 27.0]

    def test_one_tap_pours_one_after_the_other(self) -> None:
        (block,) = work_by_ana("lager", "lager").blocks
        assert [to_s(at) for _, at in block.made] == [20.0, 33.0]

    def test_methods_mixed_share_the_reach(self) -> None:
        """Apart 46 + 19; together one reading (2), one reach for gin and one for wedges less."""
        assert hands_s("sour", "tall") == [59.0]

    def test_stouts_first_and_topped_one_by_one(self) -> None:
        main, first, second = work_by_ana("stout", "stout").blocks
        # read 4, poured until 24 and 44, glasses 3
        assert to_s(main.base_ds) == 47.0
        assert [to_s(t.anchor_base_ds) for t in (first, second)] == [24.0, 44.0]

    def test_a_tail_and_the_rest_of_the_build(self) -> None:
        # read 4, stout 20, gin 2, glasses 4, garnish 2, measured 3, tall 7: made at 42
        main, tail = work_by_ana("tall", "stout").blocks
        assert [(drink, to_s(at)) for drink, at in main.made] == [("a1", 42.0)]
        assert [(drink, to_s(at)) for drink, at in tail.made] == [("a2", 9.0)]


class TestPlaces:
    def test_a_bottle_of_another_station(self) -> None:
        at = counter(stations=(station(lacks=("gin",)),))
        assert hands_s("tall", counter=at) == [19.0 - 2 + 12]

    def test_a_glass_from_the_back_shelf_once_a_kind(self) -> None:
        shelf = tuple(replace(g, place=GlassPlace.BACK_SHELF) for g in GLASSES)
        assert hands_s("lager", "lager", counter=counter(glasses=shelf)) == [33.0 + 5]

    def test_a_walk_to_the_pass_for_each_drink_of_the_floor(self) -> None:
        away = counter(stations=(station(at_pass=False),))
        (block,) = work_by_ana("lager", "lager", counter=away).blocks
        assert [to_s(at) for _, at in block.made] == [25.0, 43.0]
        bar_top = snapshot(ticket("a", "lager", channel=Channel.BAR_TOP), counter=away)
        (served,) = work_of(bar_top, "ana", on_rail(bar_top, "a1")).blocks
        assert to_s(served.base_ds) == 18.0

    def test_one_trip_to_a_shared_well(self) -> None:
        at = counter(
            stations=(station(wells=(Well(ice=Ice.CUBED),)),),
            shared_wells=(Well(ice=Ice.CRUSHED),),
        )
        assert hands_s("swizzled", counter=at) == [32.0 + 8]
        # read 4, bottles 4, glasses 3, measured 10, one trip 8, 2×18
        assert hands_s("swizzled", "swizzled", counter=at) == [65.0]

    def test_the_store_is_fetched_by_hand(self) -> None:
        house = menu()
        far = tuple(
            replace(i, lives=Place.STORE) if i.id == "gin" else i for i in house.ingredients
        )
        assert hands_s("tall", menu=menu(ingredients=far)) == [19.0 - 2 + 120]


class TestGlassWork:
    def test_rims_once_a_kind_and_each(self) -> None:
        rimmed = changed("tall", rim="salt")
        # a first rim 6; a second 4
        assert hands_s("tall", menu=rimmed) == [25.0]
        plain = hands_s("tall", "tall")[0]
        assert hands_s("tall", "tall", menu=rimmed) == [plain + 10]

    def test_lined_and_coated(self) -> None:
        lined = changed("tall", lined=True)
        assert hands_s("tall", menu=lined) == [31.0]
        coat = Pour(ingredient="rye", amount="5 ml", at=Stage.COAT)
        coated = changed("tall", pours=(*menu().by_recipe["tall"].pours, coat))
        # one more bottle 2 and the coat 6
        assert hands_s("tall", menu=coated) == [27.0]

    def test_a_float(self) -> None:
        floated = Pour(ingredient="rye", amount="10 ml", at=Stage.FLOAT)
        house = changed("tall", pours=(*menu().by_recipe["tall"].pours, floated))
        assert hands_s("tall", menu=house) == [19.0 + 2 + 7]

    @pytest.mark.parametrize(
        ("amount", "more_s"),
        [("30 ml", 2), ("31 ml", 3), ("60 ml", 3), ("61 ml", 5), ("91 ml", 6), ("3 dash", 3)],
    )
    def test_jigger_loads_and_dashes(self, amount: str, more_s: float) -> None:
        poured = (Pour(ingredient="gin", amount=amount),)
        # read 3, gin 2, glass 2, garnish 2, ice 2.5, wedge 2
        assert hands_s("tall", menu=changed("tall", pours=poured)) == [13.5 + more_s]

    @pytest.mark.parametrize(
        ("ingredient", "pours", "kind", "amount", "more_s"),
        [
            ("cube", Pouring.CUBE, Kind.SYRUP, "2 piece", 4),
            ("honey", Pouring.THICK, Kind.SYRUP, "15 ml", 4),
            ("honey", Pouring.THICK, Kind.SYRUP, "70 ml", 8),
            ("gin", Pouring.FREE, Kind.SPIRIT, "50 ml", 2.5),
            ("gin", Pouring.FREE, Kind.SPIRIT, "30 ml", 1.5),
            ("gin", Pouring.SPOUT, Kind.SPIRIT, "2 bar spoon", 6),
            ("gin", Pouring.SPOUT, Kind.SPIRIT, "top", 5),
            ("ginger", Pouring.BOTTLE, Kind.MIXER, "top", 5),
            ("ginger", Pouring.BOTTLE, Kind.BEER, "330 ml", 6),
            ("gin", Pouring.SPARKLING, Kind.WINE, "top", 6),
            ("lemon", Pouring.PRESSED, Kind.FRUIT, "1 piece", 5),
            ("egg", Pouring.EGG_WHOLE, Kind.EGG, "1 piece", 5 + 20),  # and hands washed
            ("egg", Pouring.EGG_PARTED, Kind.EGG, "1 piece", 9 + 20),
        ],
    )
    def test_each_way_out_of_its_container(
        self, ingredient: str, pours: Pouring, kind: Kind, amount: str, more_s: float
    ) -> None:
        house = changed("tall", pours=(Pour(ingredient=ingredient, amount=amount),))
        so = {"pours": pours, "kind": kind, "lives": Place.SPEED_RAIL}
        house = replace(
            house,
            ingredients=tuple(
                replace(i, **so) if i.id == ingredient else i for i in house.ingredients
            ),
        )
        # read 3, one bottle 2, glass 2, garnish 2, ice 2.5, wedge 2
        assert hands_s("tall", menu=house) == [13.5 + more_s]

    @pytest.mark.parametrize(
        ("ingredient", "amount", "more_s"),
        [("cube", "1 piece", 2 + 15), ("mint", "8 leaf", 4 + 5), ("lime", "2 piece", 10 + 9)],
    )
    def test_muddling_leaf_fruit_or_cube(self, ingredient: str, amount: str, more_s: float) -> None:
        lime = Ingredient(id="lime", name="Lime", kind=Kind.FRUIT, pours=Pouring.PRESSED)
        muddled = (Pour(ingredient=ingredient, amount=amount, at=Stage.MUDDLE),)
        house = menu(ingredients=(*menu().ingredients, lime))
        recipes = (replace(house.by_recipe["tall"], pours=muddled),)
        assert hands_s("tall", menu=replace(house, recipes=recipes)) == [13.5 + more_s]

    def test_an_allergy_takes_a_clean_spare_and_the_washer(self) -> None:
        noted = line("sour", allergies=("fish",))
        # instead of a rinse of 4.5: spare 2 and washer 10
        assert hands_s(noted) == [46.0 - 4.5 + 12]


class TestHands:
    """How many hands a step takes, and what runs by itself."""

    def test_what_runs_by_itself_takes_none(self) -> None:
        titles = {
            "stout": "stout settles",
            "coffee": "coffee draws for coffee",
            "frozen": "frozen blends",
        }
        for recipe, title in titles.items():
            tail = work_by_ana(recipe).blocks[1]
            assert tail.alone is not None
            assert (tail.alone.hands, tail.alone.what, tail.alone.ds) == (0, title, tail.alone_ds)
        assert work_by_ana("tall").blocks[0].alone is None

    def test_two_are_agitated_at_once_only_where_each_takes_one_hand(self) -> None:
        (shaken,) = [
            step
            for step in work_by_ana("sour", "rye sour").blocks[0].steps
            if step.kind is StepKind.AGITATE
        ]
        assert (shaken.what, shaken.hands) == ("sour and rye sour", 1)
        foams = [
            step
            for step in work_by_ana("foam", "foam").blocks[0].steps
            if step.kind is StepKind.AGITATE
        ]
        assert [(step.what, step.hands) for step in foams] == [("foam", 2), ("foam", 2)]

    def test_every_step_of_a_block_is_somebodys_hands(self) -> None:
        for recipe in menu().recipes:
            for block in work_by_ana(recipe.id).blocks:
                assert {step.hands for step in block.steps} <= {1, 2}
