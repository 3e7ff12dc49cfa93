"""Pour grids worked out by hand."""

from __future__ import annotations

import pytest

from solver.counter import Counter, Flame, Glass, Person, Station
from solver.grid import PourGrid, pour_grid
from solver.grid.words import amount_words
from solver.menu import (
    Change,
    Garnish,
    GarnishWork,
    Ice,
    Ingredient,
    Kind,
    Menu,
    Method,
    Place,
    Pour,
    Pouring,
    Recipe,
    Stage,
    Strain,
    Swap,
)
from solver.snapshot import RailDrink
from solver.tickets import Channel, Line, mix_of
from solver.units import parse_amount

INGREDIENTS = (
    Ingredient(id="gin", name="Gin", kind=Kind.SPIRIT),
    Ingredient(id="rum", name="Rum", kind=Kind.SPIRIT),
    Ingredient(id="pepper-gin", name="Pepper gin", kind=Kind.SPIRIT, lives=Place.BACK_BAR),
    Ingredient(id="vermouth", name="Dry vermouth", kind=Kind.WINE, lives=Place.FRIDGE),
    Ingredient(id="bitters", name="Orange bitters", kind=Kind.BITTERS),
    Ingredient(id="syrup", name="Sugar syrup", kind=Kind.SYRUP),
    Ingredient(id="lemon", name="Lemon juice", kind=Kind.JUICE),
    Ingredient(id="egg-white", name="Egg white", kind=Kind.EGG, piece_ml=30, allergens=("egg",)),
    Ingredient(id="mint", name="Mint", kind=Kind.HERB, pours=Pouring.LEAVES),
    Ingredient(id="tonic", name="Tonic", kind=Kind.MIXER, pours=Pouring.GUN),
    Ingredient(id="sparkling", name="Sparkling", kind=Kind.WINE, pours=Pouring.SPARKLING),
    Ingredient(id="aniseed", name="Aniseed", kind=Kind.SPIRIT),
    Ingredient(id="stout", name="Stout", kind=Kind.BEER, pours=Pouring.SETTLING_TAP),
    Ingredient(id="lager", name="Lager", kind=Kind.BEER, pours=Pouring.TAP),
    Ingredient(id="cider", name="Cider", kind=Kind.BEER, pours=Pouring.BOTTLE),
    Ingredient(id="red", name="Red wine", kind=Kind.WINE, pours=Pouring.WINE),
    Ingredient(id="coffee", name="Coffee", kind=Kind.COFFEE, pours=Pouring.MACHINE),
)


def poured(**amounts: str) -> tuple[Pour, ...]:
    return tuple(Pour(ingredient=k.replace("_", "-"), amount=v) for k, v in amounts.items())


def top(ingredient: str, amount: str = "top") -> Pour:
    return Pour(ingredient=ingredient, amount=amount, at=Stage.TOP)


RECIPES = (
    Recipe(
        id="sour",
        name="Slipway",
        method=Method.SHAKEN,
        pours=poured(gin="50 ml", lemon="25 ml", syrup="15 ml"),
        glass="coupe",
        ice=Ice.CUBED,
        chilled=True,
        strain=Strain.DOUBLE,
        garnishes=(Garnish(name="lemon peel", work=GarnishWork.PRE_CUT),),
    ),
    Recipe(
        id="foam",
        name="Lantern",
        method=Method.DRY_SHAKEN,
        pours=poured(egg_white="1 piece", gin="50 ml", lemon="22.5 ml", syrup="15 ml"),
        glass="coupe",
        ice=Ice.CUBED,
        strain=Strain.FOAM,
    ),
    Recipe(
        id="dry",
        name="Harbour Light",
        method=Method.STIRRED,
        pours=poured(gin="60 ml", vermouth="10 ml", bitters="1 dash"),
        glass="coupe",
        ice=Ice.CUBED,
        chilled=True,
    ),
    Recipe(
        id="tall",
        name="Long Pier",
        method=Method.BUILT,
        pours=(*poured(gin="50 ml"), top("tonic")),
        glass="tall",
        serve_ice=Ice.CUBED,
    ),
    Recipe(
        id="fizz",
        name="Spray",
        method=Method.SHAKEN,
        pours=(*poured(gin="30 ml", lemon="15 ml", syrup="10 ml"), top("sparkling", "60 ml")),
        glass="tall",
        ice=Ice.CUBED,
    ),
    Recipe(
        id="spritz",
        name="Sunday Jetty",
        method=Method.BUILT,
        pours=(*poured(vermouth="50 ml"), top("sparkling", "75 ml"), top("tonic")),
        glass="wine",
        serve_ice=Ice.CUBED,
    ),
    Recipe(
        id="mash",
        name="Green Rope",
        method=Method.SWIZZLED,
        pours=(
            Pour(ingredient="mint", amount="8 leaf", at=Stage.MUDDLE),
            Pour(ingredient="syrup", amount="15 ml", at=Stage.MUDDLE),
            *poured(rum="50 ml", lemon="25 ml"),
        ),
        glass="tall",
        serve_ice=Ice.CRUSHED,
    ),
    Recipe(
        id="coated",
        name="Mist",
        method=Method.STIRRED,
        pours=(
            *poured(rum="60 ml", syrup="5 ml"),
            Pour(ingredient="aniseed", amount="5 ml", at=Stage.COAT),
        ),
        glass="coupe",
        ice=Ice.CUBED,
    ),
    Recipe(
        id="espresso",
        name="Night Ferry",
        method=Method.SHAKEN,
        pours=poured(rum="40 ml", syrup="10 ml", coffee="30 ml"),
        glass="coupe",
        ice=Ice.CUBED,
    ),
    Recipe(
        id="blaze",
        name="Beacon",
        method=Method.FLAMED,
        pours=poured(rum="60 ml"),
        glass="mug",
        cautions=("handles point away",),
    ),
    Recipe(
        id="stout", name="Stout", method=Method.DRAUGHT, pours=poured(stout="568 ml"), glass="pint"
    ),
    Recipe(
        id="lager", name="Lager", method=Method.DRAUGHT, pours=poured(lager="284 ml"), glass="pint"
    ),
    Recipe(
        id="cider", name="Cider", method=Method.POURED, pours=poured(cider="330 ml"), glass="pint"
    ),
    Recipe(id="red", name="Red", method=Method.POURED, pours=poured(red="175 ml"), glass="wine"),
)
MENU = Menu(ingredients=INGREDIENTS, recipes=RECIPES)
COUNTER = Counter(
    stations=(Station(id="well"),),
    people=(Person(id="a", station="well"),),
    glasses=(
        Glass(id="coupe", name="coupe", volume_ml=160),
        Glass(id="tall", name="highball", volume_ml=350),
        Glass(id="mug", name="mug", volume_ml=250),
        Glass(id="pint", name="pint glass", volume_ml=580),
        Glass(id="wine", name="wine glass", volume_ml=400),
    ),
)


def drawn(*lines: Line | str, counter: Counter = COUNTER, menu: Menu = MENU) -> PourGrid:
    drinks = []
    for at, given in enumerate(lines):
        line = given if isinstance(given, Line) else Line(recipe=given)
        drinks.append(
            RailDrink(
                id=f"d{at}",
                ticket="t1",
                channel=Channel.BAR_TOP,
                mix=mix_of(menu, line),
                line=line,
                is_alone=line.is_alone,
                release_ds=0,
                people=("a",),
            )
        )
    return pour_grid(menu, counter, drinks)


def table(grid: PourGrid) -> list[tuple[str, ...]]:
    return [(row.part.value, row.ingredient, *row.cells) for row in grid.rows]


def test_one_sour_for_two_is_measured_for_two() -> None:
    grid = drawn("sour", "sour")
    assert table(grid) == [
        ("pour", "syrup", "30 ml"),
        ("pour", "lemon", "50 ml"),
        ("pour", "gin", "100 ml"),
    ]
    (tin,) = grid.columns
    assert (tin.vessel, tin.drinks, tin.name) == ("tin", ("d0", "d1"), "Slipway")
    assert (tin.method, tin.agitation, tin.strain) == (
        "shaken",
        "shake on cubed ice",
        "strain twice",
    )
    assert (tin.glass, tin.garnishes) == ("coupe, chilled", ("lemon peel",))


def test_the_spirit_is_reached_for_once_across_the_tin_the_mixing_glass_and_the_tall_drink() -> (
    None
):
    grid = drawn("sour", "sour", "dry", "tall")
    assert [(c.vessel, len(c.drinks)) for c in grid.columns] == [
        ("tin", 2),
        ("mixing glass", 1),
        ("glass", 1),
    ]
    assert table(grid) == [
        ("pour", "syrup", "30 ml", "", ""),
        ("pour", "lemon", "50 ml", "", ""),
        ("pour", "gin", "100 ml", "60 ml", "50 ml"),
        ("pour", "bitters", "", "1 dash", ""),
        ("pour", "vermouth", "", "10 ml", ""),
        ("last", "tonic", "", "", "top"),
    ]


def test_a_mix_too_large_for_one_tin_takes_two_numbered_ones() -> None:
    grid = drawn("sour", "sour", "sour", "sour", "sour")
    assert [(c.vessel, c.drinks) for c in grid.columns] == [
        ("tin 1", ("d0", "d1", "d2")),
        ("tin 2", ("d3", "d4")),
    ]
    assert table(grid)[2] == ("pour", "gin", "150 ml", "100 ml")


def test_tins_are_numbered_through_different_mixes() -> None:
    grid = drawn("sour", "fizz", "dry")
    assert [c.vessel for c in grid.columns] == ["tin 1", "tin 2", "mixing glass"]


def test_glasses_of_one_mix_stand_in_one_column_and_are_poured_one_by_one() -> None:
    grid = drawn("tall", "tall", "tall")
    assert [(c.vessel, c.glass) for c in grid.columns] == [("3 glasses", "highball, cubed ice")]
    assert table(grid) == [("pour", "gin", "3 × 50 ml"), ("last", "tonic", "top")]


def test_what_goes_onto_the_drink_is_measured_glass_by_glass() -> None:
    assert table(drawn("fizz", "fizz")) == [
        ("pour", "syrup", "20 ml"),
        ("pour", "lemon", "30 ml"),
        ("pour", "gin", "60 ml"),
        ("last", "sparkling", "2 × 60 ml"),
    ]


def test_a_top_fills_what_the_measured_fizz_leaves() -> None:
    # Shared tonic would come early; in the spritz it may not.
    assert table(drawn("tall", "spritz", "spritz")) == [
        ("pour", "gin", "50 ml", ""),
        ("pour", "vermouth", "", "2 × 50 ml"),
        ("last", "sparkling", "", "2 × 75 ml"),
        ("last", "tonic", "top", "top"),
    ]


def test_egg_goes_in_last_of_what_is_measured() -> None:
    grid = drawn("foam")
    assert table(grid) == [
        ("pour", "syrup", "15 ml"),
        ("pour", "lemon", "22.5 ml"),
        ("pour", "gin", "50 ml"),
        ("pour", "egg-white", "1"),
    ]
    assert grid.columns[0].agitation == "shake dry, then long on cubed ice"
    assert grid.columns[0].strain == "strain, keep the foam"
    assert "Raw egg" in grid.columns[0].cautions[0]


def test_what_is_muddled_comes_first_and_says_so() -> None:
    grid = drawn("mash")
    assert table(grid) == [
        ("pour", "syrup", "15 ml muddle"),
        ("pour", "mint", "8 leaves muddle"),
        ("pour", "lemon", "25 ml"),
        ("pour", "rum", "50 ml"),
    ]
    assert grid.columns[0].agitation == "swizzle"
    assert grid.columns[0].glass == "highball, crushed ice"


def test_a_shared_bottle_comes_early_only_where_it_harms_no_vessel() -> None:
    # Syrup is shared; in the swizzle it is muddled, in the sour it meets the juice first.
    grid = drawn("mash", "sour")
    assert table(grid) == [
        ("pour", "syrup", "15 ml muddle", "15 ml"),
        ("pour", "mint", "8 leaves muddle", ""),
        ("pour", "lemon", "25 ml", "25 ml"),
        ("pour", "rum", "50 ml", ""),
        ("pour", "gin", "", "50 ml"),
    ]


def test_a_syrup_muddled_here_and_measured_there_still_gets_one_row() -> None:
    circle = Recipe(
        id="circle",
        name="Round Buoy",
        method=Method.BUILT,
        pours=(
            Pour(ingredient="lemon", amount="20 ml", at=Stage.MUDDLE),
            *poured(syrup="10 ml", rum="40 ml"),
        ),
        glass="tall",
    )
    menu = Menu(ingredients=INGREDIENTS, recipes=(*RECIPES, circle))
    # Muddled lemon goes before syrup in one glass, muddled syrup before lemon in the other.
    grid = drawn("circle", "mash", menu=menu)
    assert table(grid) == [
        ("pour", "mint", "", "8 leaves muddle"),
        ("pour", "syrup", "10 ml", "15 ml muddle"),
        ("pour", "lemon", "20 ml muddle", "25 ml"),
        ("pour", "rum", "40 ml", "50 ml"),
    ]


def test_what_runs_by_itself_and_what_coats_a_glass_starts_first() -> None:
    assert table(drawn("stout", "espresso", "coated")) == [
        ("first", "stout", "a pint", "", ""),
        ("first", "coffee", "", "30 ml", ""),
        ("first", "aniseed", "", "", "5 ml coat"),
        ("pour", "syrup", "", "10 ml", "5 ml"),
        ("pour", "rum", "", "40 ml", "60 ml"),
    ]


def test_beer_and_wine_come_last() -> None:
    assert table(drawn("lager", "lager", "red", "cider", "tall")) == [
        ("pour", "gin", "", "", "", "50 ml"),
        ("last", "tonic", "", "", "", "top"),
        ("last", "red", "", "175 ml", "", ""),
        ("last", "lager", "2 × half", "", "", ""),
        ("last", "cider", "", "", "a bottle", ""),
    ]


def test_flame_says_its_cautions_and_the_houses() -> None:
    (mugs,) = drawn("blaze").columns
    assert mugs.vessel == "mugs"
    assert mugs.agitation == "light, throw, snuff with the lid"
    assert mugs.cautions[0].startswith("Flame: one in the whole bar")
    assert mugs.cautions[1] == "handles point away"


def test_a_house_that_does_not_throw_fire_stirs() -> None:
    still = Counter(
        stations=COUNTER.stations,
        people=COUNTER.people,
        glasses=COUNTER.glasses,
        flame=Flame(allowed=True, no_throw=True),
    )
    assert drawn("blaze", counter=still).columns[0].agitation == "light, stir, snuff with the lid"


def test_changes_allergies_and_notes_stand_over_their_column() -> None:
    line = Line(
        recipe="foam",
        changes=(
            Change(leave_out="egg-white"),
            Change(swap=Swap(take_out="gin", put_in="pepper-gin")),
            Change(add=Pour(ingredient="bitters", amount="2 dash")),
        ),
        allergies=("egg",),
        note="for the man with the hat",
    )
    (column,) = drawn(line).columns
    assert column.changes == (
        "no Egg white",
        "Pepper gin instead of Gin",
        "add 2 dashes Orange bitters",
    )
    assert column.allergies == ("egg",)
    assert column.note == "for the man with the hat"
    assert column.cautions == ()


def test_more_of_what_is_already_in_it_is_one_amount() -> None:
    more = Line(recipe="sour", changes=(Change(add=Pour(ingredient="gin", amount="10 ml")),))
    assert table(drawn(more))[2] == ("pour", "gin", "60 ml")


def test_amounts_in_two_units_stand_side_by_side() -> None:
    more = Line(recipe="dry", changes=(Change(add=Pour(ingredient="bitters", amount="5 ml")),))
    assert ("pour", "bitters", "1 dash + 5 ml") in table(drawn(more))


def test_the_same_build_draws_the_same_grid() -> None:
    assert drawn("sour", "dry", "tall") == drawn("sour", "dry", "tall")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("22.5 ml", "22.5 ml"),
        ("50 ml", "50 ml"),
        ("5 cl", "5 cl"),
        ("3/4 oz", "3/4 oz"),
        ("1 1/2 oz", "1 1/2 oz"),
        ("2 oz", "2 oz"),
        ("1 dash", "1 dash"),
        ("2 dash", "2 dashes"),
        ("1/2 bar spoon", "1/2 bar spoon"),
        ("2 bar spoon", "2 bar spoons"),
        ("8 leaf", "8 leaves"),
        ("2 piece", "2"),
        ("top", "top"),
    ],
)
def test_amounts_read_well(text: str, said: str) -> None:
    assert amount_words(INGREDIENTS[0], parse_amount(text)) == said
