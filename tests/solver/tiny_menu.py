"""The menu of the tests: one recipe for every way of making a drink, named after it."""

from __future__ import annotations

from functools import cache
from typing import Any

from solver.menu import (
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
    SpiritAndMixer,
    Stage,
    Strain,
)


def _i(name: str, kind: Kind, pours: Pouring = Pouring.SPOUT, **more: Any) -> Ingredient:
    return Ingredient(id=name, name=name.capitalize(), kind=kind, pours=pours, **more)


def _p(ingredient: str, amount: str, at: Stage = Stage.MEASURE) -> Pour:
    return Pour(ingredient=ingredient, amount=amount, at=at)


@cache
def tiny_menu() -> Menu:
    """One recipe for every way of making a drink, made once."""
    peel = Garnish(name="peel", work=GarnishWork.PRE_CUT)
    wedge = Garnish(name="wedge", work=GarnishWork.TRAY)
    burning = Garnish(name="burning peel", work=GarnishWork.FLAMED)
    ingredients = (
        _i("gin", Kind.SPIRIT),
        _i("rye", Kind.SPIRIT),
        _i("rum", Kind.SPIRIT),
        _i("whisky", Kind.SPIRIT, Pouring.CAPPED, lives=Place.BACK_BAR),
        _i("vermouth", Kind.WINE, lives=Place.FRIDGE, allergens=("sulphites",)),
        _i("bitters", Kind.BITTERS),
        _i("lemon", Kind.JUICE),
        _i("syrup", Kind.SYRUP),
        _i("honey", Kind.SYRUP, Pouring.THICK),
        _i("egg-white", Kind.EGG, Pouring.EGG_READY, piece_ml=30, allergens=("egg",)),
        _i("egg", Kind.EGG, Pouring.EGG_WHOLE, piece_ml=45, allergens=("egg",)),
        _i("cream", Kind.DAIRY, lives=Place.FRIDGE, allergens=("milk",)),
        _i("mint", Kind.HERB, Pouring.LEAVES),
        _i("cube", Kind.SYRUP, Pouring.CUBE),
        _i("tonic", Kind.MIXER, Pouring.GUN),
        _i("soda", Kind.MIXER, Pouring.GUN),
        _i("ginger", Kind.MIXER, Pouring.BOTTLE, lives=Place.FRIDGE),
        _i("lager", Kind.BEER, Pouring.TAP, allergens=("gluten",)),
        _i("ale", Kind.BEER, Pouring.TAP, allergens=("gluten",)),
        _i("stout", Kind.BEER, Pouring.SETTLING_TAP, allergens=("gluten",)),
        _i("white", Kind.WINE, Pouring.WINE, lives=Place.FRIDGE, allergens=("sulphites",)),
        _i("espresso", Kind.COFFEE, Pouring.MACHINE),
    )
    sour = (_p("gin", "50 ml"), _p("lemon", "25 ml"), _p("syrup", "15 ml"))
    recipes = (
        _r("sour", Method.SHAKEN, sour, "coupe", garnishes=(wedge,)),
        _r("rye sour", Method.SHAKEN, (_p("rye", "50 ml"), *sour[1:]), "coupe"),
        _r("long sour", Method.SHAKEN_LONG, sour, "coupe", strain=Strain.DOUBLE),
        _r(
            "foam",
            Method.DRY_SHAKEN,
            (*sour, _p("egg-white", "1 piece")),
            "coupe",
            strain=Strain.FOAM,
        ),
        _r("flip", Method.SHAKEN_LONG, (_p("rum", "50 ml"), _p("egg", "1 piece")), "coupe"),
        _r("cream", Method.SHAKEN, (_p("rum", "30 ml"), _p("cream", "30 ml")), "coupe"),
        _r(
            "stirred",
            Method.STIRRED,
            (_p("rye", "60 ml"), _p("vermouth", "30 ml"), _p("bitters", "2 dash")),
            "coupe",
            garnishes=(peel,),
        ),
        _r(
            "lit",
            Method.STIRRED,
            (_p("rye", "60 ml"), _p("bitters", "2 dash")),
            "rocks",
            serve_ice=Ice.BLOCK,
            garnishes=(burning,),
        ),
        _r(
            "tall",
            Method.BUILT,
            (_p("gin", "50 ml"), _p("tonic", "top", Stage.TOP)),
            "highball",
            ice=Ice.NONE,
            serve_ice=Ice.CUBED,
            garnishes=(wedge,),
        ),
        _r(
            "muddled",
            Method.BUILT,
            (_p("mint", "8 leaf", Stage.MUDDLE), _p("rum", "50 ml"), _p("soda", "top", Stage.TOP)),
            "highball",
            ice=Ice.NONE,
            serve_ice=Ice.CRUSHED,
        ),
        _r(
            "swizzled",
            Method.SWIZZLED,
            (_p("rum", "50 ml"), _p("lemon", "25 ml")),
            "highball",
            ice=Ice.NONE,
            serve_ice=Ice.CRUSHED,
        ),
        _r("thrown", Method.THROWN, (_p("vermouth", "60 ml"), _p("gin", "30 ml")), "coupe"),
        _r("frozen", Method.BLENDED, sour, "highball", ice=Ice.CRUSHED),
        _r("lager", Method.DRAUGHT, (_p("lager", "500 ml"),), "pint", ice=Ice.NONE),
        _r("ale", Method.DRAUGHT, (_p("ale", "500 ml"),), "pint", ice=Ice.NONE),
        _r("half", Method.DRAUGHT, (_p("lager", "250 ml"),), "pint", ice=Ice.NONE),
        _r("stout", Method.DRAUGHT, (_p("stout", "500 ml"),), "pint", ice=Ice.NONE),
        _r("wine", Method.POURED, (_p("white", "150 ml"),), "coupe", ice=Ice.NONE),
        _r("neat", Method.POURED, (_p("whisky", "50 ml"),), "rocks", ice=Ice.NONE),
        _r("coffee", Method.COFFEE, (_p("espresso", "30 ml"),), "mug", ice=Ice.NONE),
        _r(
            "blaze",
            Method.FLAMED,
            (_p("whisky", "60 ml"), _p("honey", "15 ml")),
            "mug",
            ice=Ice.NONE,
        ),
        _r("cold sour", Method.SHAKEN, sour, "chilled coupe", chilled=True),
    )
    pattern = SpiritAndMixer(glass="highball", garnish=wedge)
    return Menu(
        ingredients=ingredients,
        recipes=recipes,
        spirit_and_mixer=pattern,
        rocks_glass="rocks",
        up_glass="coupe",
    )


def _r(
    name: str,
    method: Method,
    pours: tuple[Pour, ...],
    glass: str,
    *,
    ice: Ice = Ice.CUBED,
    **more: Any,
) -> Recipe:
    return Recipe(id=name, name=name, method=method, pours=pours, glass=glass, ice=ice, **more)
