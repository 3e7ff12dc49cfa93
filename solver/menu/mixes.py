"""The mix that is really in a drink: a recipe after its changes, a spirit with its mixer."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.errors import BadValue
from solver.units import TOP

from .recipes import (
    Change,
    Garnish,
    Menu,
    Pour,
    Recipe,
    check_taps,
)
from .words import GarnishWork, Ice, Kind, Method, Pouring, Stage, Strain


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """What is really in a drink: the recipe after its changes.

    Two drinks of an equal mix can share a vessel. Fields are those of `Recipe`; `allergens`
    is the union over everything in it, `has_raw_egg` and `has_flame` are its cautions.
    `chill_by_ice` is set where no chilled glass is left and one is chilled with ice and water.
    """

    name: str
    method: Method
    pours: tuple[Pour, ...]
    glass: str
    ice: Ice = Ice.NONE
    serve_ice: Ice = Ice.NONE
    chilled: bool = False
    chill_by_ice: bool = False
    warmed: bool = False
    lined: bool = False
    rim: str = ""
    garnishes: tuple[Garnish, ...] = ()
    strain: Strain = Strain.SINGLE
    hold_limit_s: int = 210
    liquid_ml: float = 0.0
    allergens: tuple[str, ...] = ()
    has_raw_egg: bool = False
    has_dairy: bool = False
    has_flame: bool = False
    has_coffee: bool = False
    settles: bool = False
    changes: tuple[str, ...] = ()

    @property
    def ingredients(self) -> tuple[str, ...]:
        """Ids of what is reached for, each once, in pouring order."""
        return tuple(dict.fromkeys(pour.ingredient for pour in self.pours))

    @property
    def is_shaken(self) -> bool:
        """Whether arms shake it."""
        return self.method in (Method.SHAKEN, Method.SHAKEN_LONG, Method.DRY_SHAKEN)


def recipe_mix(menu: Menu, recipe: Recipe, changes: tuple[Change, ...] = ()) -> Mix:
    """Give the mix of a recipe after `changes`.

    Raises
    ------
    BadValue
        When a change names what is not in the drink or not on the menu.
    """
    changed = recipe
    for change in changes:
        changed = _changed(menu, changed, change)
    names = tuple(change.words for change in changes)
    return _mix_of(menu, changed, names)


def spirit_mixer_mix(menu: Menu, *, spirit: str, mixer: str, measure: str, garnish: str) -> Mix:
    """Give the mix of a spirit with a mixer; an empty `mixer` is the spirit on ice alone.

    Raises
    ------
    BadValue
        When the house does not pour the pattern, or the ids are not a spirit and a mixer.
    """
    pattern = menu.spirit_and_mixer
    if pattern is None:
        raise BadValue("a menu that pours spirits with mixers", f"{spirit} and {mixer}")
    poured = menu.ingredient(spirit)
    if poured.kind not in (Kind.SPIRIT, Kind.LIQUEUR, Kind.WINE):
        raise BadValue("a spirit", spirit, "order it as a recipe or correct the id")
    pours = [
        Pour(ingredient=spirit, amount=pattern.double if measure == "double" else pattern.single)
    ]
    name = poured.name
    if mixer:
        if menu.ingredient(mixer).kind not in (Kind.MIXER, Kind.JUICE, Kind.BEER):
            raise BadValue("a mixer", mixer, "order it as a recipe or correct the id")
        pours.append(Pour(ingredient=mixer, amount=TOP, at=Stage.TOP))
        name = f"{name} and {menu.ingredient(mixer).name}"
    on_it = (Garnish(name=garnish),) if garnish else ()
    if not garnish and pattern.garnish is not None and mixer:
        on_it = (pattern.garnish,)
    recipe = Recipe(
        id=f"{spirit}+{mixer}+{measure}",
        name=f"double {name}" if measure == "double" else name,
        method=Method.BUILT,
        pours=tuple(pours),
        glass=pattern.glass,
        serve_ice=pattern.ice,
        garnishes=on_it,
        hold_limit_s=pattern.hold_limit_s,
    )
    return _mix_of(menu, recipe, ())


def _changed(menu: Menu, recipe: Recipe, change: Change) -> Recipe:
    if change.leave_out:
        pours = tuple(p for p in recipe.pours if p.ingredient != change.leave_out)
        garnishes = tuple(g for g in recipe.garnishes if g.name != change.leave_out)
        rim = "" if recipe.rim == change.leave_out else recipe.rim
        if (pours, garnishes, rim) == (recipe.pours, recipe.garnishes, recipe.rim):
            raise BadValue(f"something that is in {recipe.name} to leave out", change.leave_out)
        return replace(recipe, pours=pours, garnishes=garnishes, rim=rim)
    if change.swap:
        menu.ingredient(change.swap.put_in)
        if all(p.ingredient != change.swap.take_out for p in recipe.pours):
            raise BadValue(f"something that is in {recipe.name} to swap", change.swap.take_out)
        return replace(
            recipe,
            pours=tuple(
                replace(p, ingredient=change.swap.put_in)
                if p.ingredient == change.swap.take_out
                else p
                for p in recipe.pours
            ),
        )
    if change.add:
        menu.ingredient(change.add.ingredient)
        return replace(recipe, pours=(*recipe.pours, change.add))
    if change.double:
        return replace(recipe, pours=tuple(_doubled(menu, p) for p in recipe.pours))
    if change.on_the_rocks:
        glass = menu.rocks_glass or recipe.glass
        return replace(recipe, glass=glass, serve_ice=Ice.CUBED, chilled=False)
    if change.straight_up:
        glass = menu.up_glass or recipe.glass
        return replace(recipe, glass=glass, serve_ice=Ice.NONE, chilled=True)
    return replace(recipe, serve_ice=Ice.NONE)


def _doubled(menu: Menu, pour: Pour) -> Pour:
    amount = pour.measured
    if menu.ingredient(pour.ingredient).kind is not Kind.SPIRIT or amount.is_top:
        return pour
    return replace(pour, amount=f"{2 * amount.quantity:g} {amount.unit}")


def _mix_of(menu: Menu, recipe: Recipe, changes: tuple[str, ...]) -> Mix:
    used = [menu.ingredient(pour.ingredient) for pour in recipe.pours]
    check_taps(recipe, used)
    allergens = {a for ingredient in used for a in ingredient.allergens}
    allergens.update(a for garnish in recipe.garnishes for a in garnish.allergens)
    liquid_ml = sum(
        pour.measured.ml
        + (pour.measured.quantity * ingredient.piece_ml if pour.measured.is_counted else 0.0)
        for pour, ingredient in zip(recipe.pours, used, strict=True)
        if pour.at in (Stage.MEASURE, Stage.MUDDLE)
    )
    return Mix(
        name=recipe.name,
        method=recipe.method,
        pours=recipe.pours,
        glass=recipe.glass,
        ice=recipe.ice,
        serve_ice=recipe.serve_ice,
        chilled=recipe.chilled,
        warmed=recipe.warmed,
        lined=recipe.lined,
        rim=recipe.rim,
        garnishes=recipe.garnishes,
        strain=recipe.strain,
        hold_limit_s=recipe.hold_limit_s,
        liquid_ml=round(liquid_ml, 1),
        allergens=tuple(sorted(allergens)),
        has_raw_egg=any(ingredient.kind is Kind.EGG for ingredient in used),
        has_dairy=any(ingredient.kind is Kind.DAIRY for ingredient in used),
        has_flame=recipe.method is Method.FLAMED
        or any(g.work is GarnishWork.FLAMED for g in recipe.garnishes),
        has_coffee=any(ingredient.pours is Pouring.MACHINE for ingredient in used),
        settles=any(ingredient.pours is Pouring.SETTLING_TAP for ingredient in used),
        changes=changes,
    )
