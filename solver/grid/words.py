"""Amounts, agitation, glasses and changes in words that are read at a glance.

Source: the words and the cautions are common practice; a pint is 568.261 25 ml (UK imperial
pint). Local codes and licensed practice decide what is done about flame and raw egg.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from solver.counter import Counter
from solver.menu import (
    Change,
    Garnish,
    GarnishWork,
    Ice,
    Ingredient,
    Kind,
    Menu,
    Method,
    Mix,
    Pouring,
    Strain,
)
from solver.units import TOP, Amount

PINT_ML = 568.26125
_TAPS = (Pouring.TAP, Pouring.SETTLING_TAP)
_FRACTIONAL_UNITS = ("oz", "jigger", "pony", "wine glass", "tumbler", "bar spoon", "teaspoon")
_PLURALS = {
    "dash": "dashes",
    "bar spoon": "bar spoons",
    "teaspoon": "teaspoons",
    "tablespoon": "tablespoons",
    "wine glass": "wine glasses",
    "pony": "ponies",
    "jigger": "jiggers",
    "tumbler": "tumblers",
    "leaf": "leaves",
}

ON_ICE: dict[Method, str] = {
    Method.SHAKEN: "shake",
    Method.SHAKEN_LONG: "shake long",
    Method.DRY_SHAKEN: "shake dry, then long",
    Method.STIRRED: "stir",
    Method.THROWN: "throw",
    Method.SWIZZLED: "swizzle",
    Method.BLENDED: "blend",
}
"""What is done to a vessel (or glass) with its ice; other methods have no agitation."""

STRAIN_WORDS: dict[Strain, str] = {
    Strain.SINGLE: "strain",
    Strain.DOUBLE: "strain twice",
    Strain.FOAM: "strain, keep the foam",
}

RAW_EGG_CAUTION = (
    "Raw egg: kept cold, never pooled, wash hands after cracking; tell the guest; "
    "pasteurised for anyone at risk"
)
FLAME_CAUTION = (
    "Flame: one in the whole bar, a second pair of eyes; bottle capped and away first; "
    "a metre from guests and paper; lid and damp cloth at hand; never carried alight"
)


def amount_words(ingredient: Ingredient, amount: Amount) -> str:
    """Say one amount: ``"22.5 ml"``, ``"2 dashes"``, ``"1 1/2 oz"``, ``"a pint"``, ``"top"``."""
    if amount.is_top:
        return TOP
    if ingredient.pours in _TAPS:
        for name, ml in (("a pint", PINT_ML), ("a half", PINT_ML / 2)):
            if abs(amount.ml - ml) < 1.5:
                return name
    if ingredient.kind is Kind.BEER and ingredient.pours is Pouring.BOTTLE:
        return "a bottle"
    number = _number(amount.quantity, in_fractions=amount.unit in _FRACTIONAL_UNITS)
    if amount.unit == "piece":
        return number
    unit = amount.unit if amount.quantity <= 1 else _PLURALS.get(amount.unit, amount.unit)
    return f"{number} {unit}"


def _number(quantity: float, *, in_fractions: bool) -> str:
    near = Fraction(quantity).limit_denominator(8)
    whole, rest = divmod(near, 1)
    if not in_fractions or not rest or abs(float(near) - quantity) > 1e-6:
        return f"{round(quantity, 2):g}"
    return f"{whole} {rest}" if whole else str(rest)


def agitation_words(mix: Mix, counter: Counter) -> str:
    """Say what is done once everything is in: ``"shake on cubed ice"``; empty for nothing."""
    if mix.method is Method.FLAMED:
        mingle = "stir" if counter.flame.no_throw else "throw"
        return f"light, {mingle}, snuff with the lid"
    words = ON_ICE.get(mix.method, "")
    return f"{words} on {_ice(mix.ice)}" if words and mix.ice is not Ice.NONE else words


def strain_words(mix: Mix) -> str:
    """Say how it leaves its vessel; empty where it is made in the glass."""
    if mix.method in (Method.BLENDED, Method.FLAMED):
        return "pour"
    return (
        STRAIN_WORDS[mix.strain]
        if mix.method in ON_ICE and mix.method is not Method.SWIZZLED
        else ""
    )


def glass_words(mix: Mix, counter: Counter) -> str:
    """Say the glass and all that is done to it before the drink: ``"coupe, chilled"``."""
    glass = counter.by_glass.get(mix.glass)
    words = [glass.name if glass else mix.glass]
    if mix.chill_by_ice:
        words.append("chill with ice and water")
    elif mix.chilled:
        words.append("chilled")
    if mix.warmed:
        words.append("warmed")
    if mix.rim:
        words.append(f"{mix.rim} rim")
    if mix.lined:
        words.append("lined with peel")
    if mix.serve_ice is not Ice.NONE:
        words.append(_ice(mix.serve_ice))
    return ", ".join(words)


def _ice(ice: Ice) -> str:
    return "one block" if ice is Ice.BLOCK else f"{ice.value} ice"


def garnish_words(garnish: Garnish) -> str:
    """Say a garnish, with its work where the name alone would not tell."""
    return f"flamed {garnish.name}" if garnish.work is GarnishWork.FLAMED else garnish.name


def change_words(menu: Menu, change: Change) -> str:
    """Say a change by the menu's names: ``"no egg white"``, ``"mezcal instead of gin"``."""
    if change.leave_out:
        return f"no {_said(menu, change.leave_out)}"
    if change.swap:
        put_in, out = _said(menu, change.swap.put_in), _said(menu, change.swap.take_out)
        return f"{put_in} instead of {out}"
    if change.add:
        ingredient = menu.ingredient(change.add.ingredient)
        return f"add {amount_words(ingredient, change.add.measured)} {ingredient.name}"
    return change.words


def _said(menu: Menu, name: str) -> str:
    found = menu.by_ingredient.get(name)
    return found.name if found else name


def caution_words(mix: Mix, of_the_house: Iterable[str] = ()) -> tuple[str, ...]:
    """Give the usual cautions of a mix, then those the house wrote beside its recipe."""
    usual = (FLAME_CAUTION if mix.has_flame else "", RAW_EGG_CAUTION if mix.has_raw_egg else "")
    return tuple(dict.fromkeys(filter(None, (*usual, *of_the_house))))
