"""What can be ordered: ingredients, recipes, and the mix that is really in a drink.

A `Recipe` is what the menu says; a `Mix` is the recipe after a guest's changes. Everything
downstream (seconds, vessels, sharing, cautions) reads the mix and never the recipe.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TypeVar

from .drinks.allergens import ALLERGENS
from .errors import BadValue
from .units import TOP, Amount, parse_amount


class Place(StrEnum):
    """Where a bottle lives, nearest first."""

    SPEED_RAIL = "speed_rail"
    BACK_BAR = "back_bar"
    FRIDGE = "fridge"
    STORE = "store"


class Kind(StrEnum):
    """What an ingredient is, as far as changes, cautions and patterns need to know."""

    SPIRIT = "spirit"
    LIQUEUR = "liqueur"
    WINE = "wine"
    BEER = "beer"
    MIXER = "mixer"
    JUICE = "juice"
    SYRUP = "syrup"
    BITTERS = "bitters"
    DAIRY = "dairy"
    EGG = "egg"
    HERB = "herb"
    FRUIT = "fruit"
    COFFEE = "coffee"
    OTHER = "other"


class Pouring(StrEnum):
    """How an ingredient leaves its container; each has its own time standard."""

    SPOUT = "spout"
    CAPPED = "capped"
    THICK = "thick"
    FREE = "free"
    GUN = "gun"
    BOTTLE = "bottle"
    SPARKLING = "sparkling"
    WINE = "wine"
    TAP = "tap"
    SETTLING_TAP = "settling_tap"
    MACHINE = "machine"
    EGG_PARTED = "egg_parted"
    EGG_READY = "egg_ready"
    EGG_WHOLE = "egg_whole"
    CUBE = "cube"
    LEAVES = "leaves"
    PRESSED = "pressed"
    SPOONED = "spooned"


class Method(StrEnum):
    """How a drink is made. ``dry_shaken`` is a dry shake and then a long one on ice."""

    BUILT = "built"
    STIRRED = "stirred"
    SHAKEN = "shaken"
    SHAKEN_LONG = "shaken_long"
    DRY_SHAKEN = "dry_shaken"
    THROWN = "thrown"
    SWIZZLED = "swizzled"
    BLENDED = "blended"
    DRAUGHT = "draught"
    POURED = "poured"
    COFFEE = "coffee"
    FLAMED = "flamed"


class Ice(StrEnum):
    """Ice by its cut; ``crushed`` is also called fine."""

    CUBED = "cubed"
    CRUSHED = "crushed"
    CRACKED = "cracked"
    BLOCK = "block"
    NONE = "none"


class Stage(StrEnum):
    """When an ingredient goes in: with the measuring, muddled, or onto the finished drink."""

    MEASURE = "measure"
    MUDDLE = "muddle"
    COAT = "coat"
    TOP = "top"
    FLOAT = "float"


class Strain(StrEnum):
    """How a drink leaves its vessel; ``double`` adds a fine strainer and is one tin at a time."""

    SINGLE = "single"
    DOUBLE = "double"
    FOAM = "foam"


class GarnishWork(StrEnum):
    """The hand's work on a garnish; each has its own time standard."""

    TRAY = "tray"
    PICK = "pick"
    PRE_CUT = "pre_cut"
    CUT = "cut"
    FLAMED = "flamed"
    HERB = "herb"
    GRATED = "grated"
    DROPS = "drops"
    STRAW = "straw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """One bottle, keg, tray or punnet the bar reaches for.

    Attributes
    ----------
    id, name : str
        The id is used in files, the name on screens.
    kind, lives, pours : Kind, Place, Pouring
        What it is, where it is kept, and how it comes out.
    allergens : tuple of str
        Names from EU 1169/2011 Annex II.
    piece_ml : float
        Liquid one counted piece adds, in millilitres: a pressed half lime, an egg white.
    """

    id: str
    name: str
    kind: Kind = Kind.OTHER
    lives: Place = Place.SPEED_RAIL
    pours: Pouring = Pouring.SPOUT
    allergens: tuple[str, ...] = ()
    piece_ml: float = 0.0

    def __post_init__(self) -> None:
        for allergen in self.allergens:
            if allergen not in ALLERGENS:
                raise BadValue(f"allergens of {', '.join(ALLERGENS)}", allergen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One ingredient in one drink: which, how much (``"50 ml"``) and at what stage."""

    ingredient: str
    amount: str
    at: Stage = Stage.MEASURE

    def __post_init__(self) -> None:
        parse_amount(self.amount)

    @property
    def measured(self) -> Amount:
        """The amount as numbers."""
        return parse_amount(self.amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class Garnish:
    """What goes on or in the finished drink, and the work it is."""

    name: str
    work: GarnishWork = GarnishWork.TRAY
    allergens: tuple[str, ...] = ()


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """One drink of the menu.

    Attributes
    ----------
    id, name : str
    method : Method
    pours : tuple of Pour
        In the order they are measured.
    glass : str
        A glass of the counter.
    ice, serve_ice : Ice
        In the mixing vessel, and in the glass.
    chilled, warmed, lined : bool
        The glass is chilled, warmed, or lined with a peel.
    rim : str
        What is on the rim (``"sugar"``), empty for none.
    garnishes : tuple of Garnish
    strain : Strain
    hold_limit_s : int
        How long the made drink may sit before it is worse, in seconds.
    aliases : tuple of str
        Other names a ticket may use.
    serves : int
        Glasses it makes: a tray or a jug.
    cautions : tuple of str
        Words of the house shown with the drink, beside the computed ones.
    """

    id: str
    name: str
    method: Method
    pours: tuple[Pour, ...]
    glass: str
    ice: Ice = Ice.NONE
    serve_ice: Ice = Ice.NONE
    chilled: bool = False
    warmed: bool = False
    lined: bool = False
    rim: str = ""
    garnishes: tuple[Garnish, ...] = ()
    strain: Strain = Strain.SINGLE
    hold_limit_s: int = 210
    aliases: tuple[str, ...] = ()
    serves: int = 1
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.pours:
            raise BadValue("a recipe with at least one pour", self.id)
        if not 10 <= self.hold_limit_s <= 7200:
            raise BadValue("hold_limit_s from 10 to 7200 seconds", self.hold_limit_s)
        if not 1 <= self.serves <= 24:
            raise BadValue("serves from 1 to 24 glasses", self.serves)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpiritAndMixer:
    """The commonest line of all: any spirit, any mixer, single or double, one garnish."""

    glass: str
    single: str = "25 ml"
    double: str = "50 ml"
    ice: Ice = Ice.CUBED
    garnish: Garnish | None = None
    hold_limit_s: int = 210

    def __post_init__(self) -> None:
        parse_amount(self.single)
        parse_amount(self.double)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """Take one ingredient out and put another in, at the same amount."""

    take_out: str
    put_in: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One typed change to a drink; exactly one field is set.

    Attributes
    ----------
    leave_out : str
        Ingredient or garnish left out.
    swap : Swap
    add : Pour
    double, on_the_rocks, straight_up, no_ice : bool
    """

    leave_out: str = ""
    swap: Swap | None = None
    add: Pour | None = None
    double: bool = False
    on_the_rocks: bool = False
    straight_up: bool = False
    no_ice: bool = False

    def __post_init__(self) -> None:
        if sum(map(bool, (self.leave_out, self.swap, self.add, *self._flags))) != 1:
            raise BadValue(
                "exactly one of leave_out, swap, add, double, on_the_rocks, straight_up, no_ice",
                self,
                "write two changes as two entries",
            )

    @property
    def _flags(self) -> tuple[bool, ...]:
        return (self.double, self.on_the_rocks, self.straight_up, self.no_ice)

    @property
    def words(self) -> str:
        """The change as it is said: "no egg-white", "gin instead of vodka", "double"."""
        if self.leave_out:
            return f"no {self.leave_out}"
        if self.swap:
            return f"{self.swap.put_in} instead of {self.swap.take_out}"
        if self.add:
            return f"add {self.add.amount} {self.add.ingredient}"
        names = ("double", "on the rocks", "straight up", "no ice")
        return next(name for name, flag in zip(names, self._flags, strict=True) if flag)


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """Everything a bar can make.

    Attributes
    ----------
    ingredients, recipes : tuple
        Ids are unique across each.
    spirit_and_mixer : SpiritAndMixer or None
        The pattern, where the house pours it.
    rocks_glass, up_glass : str
        Glasses for ``on_the_rocks`` and ``straight_up``.
    """

    ingredients: tuple[Ingredient, ...]
    recipes: tuple[Recipe, ...]
    spirit_and_mixer: SpiritAndMixer | None = None
    rocks_glass: str = ""
    up_glass: str = ""
    by_ingredient: Mapping[str, Ingredient] = field(init=False, repr=False, compare=False)
    by_recipe: Mapping[str, Recipe] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_ingredient", _by_id(self.ingredients, "ingredient"))
        object.__setattr__(self, "by_recipe", _by_id(self.recipes, "recipe"))
        for recipe in self.recipes:
            for pour in recipe.pours:
                if pour.ingredient not in self.by_ingredient:
                    raise BadValue(
                        f"recipe {recipe.id} to use ingredients of the menu",
                        pour.ingredient,
                        "add it to the ingredients or correct the id",
                    )
            _check_taps(recipe, [self.by_ingredient[pour.ingredient] for pour in recipe.pours])

    def ingredient(self, ingredient_id: str) -> Ingredient:
        """Look an ingredient up.

        Raises
        ------
        BadValue
            When the menu has none of that id.
        """
        try:
            return self.by_ingredient[ingredient_id]
        except KeyError:
            raise BadValue("an ingredient of the menu", ingredient_id) from None


_Row = TypeVar("_Row", Ingredient, Recipe)


def _by_id(rows: Iterable[_Row], what: str) -> dict[str, _Row]:
    found: dict[str, _Row] = {}
    for row in rows:
        if row.id in found:
            raise BadValue(f"every {what} id once", row.id, "rename one of the two")
        found[row.id] = row
    return found


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


def _check_taps(recipe: Recipe, used: list[Ingredient]) -> None:
    """Refuse what no time standard knows: taps outside draught, and a stout under two taps.

    Raises
    ------
    BadValue
    """
    straight = [i.id for i in used if i.pours is Pouring.TAP]
    settling = [i.id for i in used if i.pours is Pouring.SETTLING_TAP]
    if (straight or settling) and recipe.method is not Method.DRAUGHT:
        raise BadValue(f"{recipe.name} without draught in it", (*straight, *settling))
    if settling and len(straight) + len(settling) > 1:
        raise BadValue(f"{recipe.name} from one tap where it has to settle", straight)


def _mix_of(menu: Menu, recipe: Recipe, changes: tuple[str, ...]) -> Mix:
    used = [menu.ingredient(pour.ingredient) for pour in recipe.pours]
    _check_taps(recipe, used)
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
