"""Ingredients, recipes, typed changes, and the menu that holds them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from solver.drinks.allergens import ALLERGENS
from solver.errors import BadValue
from solver.units import Amount, parse_amount

from .words import GarnishWork, Ice, Kind, Method, Place, Pouring, Stage, Strain


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


def check_taps(recipe: Recipe, used: list[Ingredient]) -> None:
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
    known_mixes: dict[object, Any] = field(init=False, repr=False, compare=False)
    """What `tickets.mix_of` has answered already; a menu never changes."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "known_mixes", {})
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
            check_taps(recipe, [self.by_ingredient[pour.ingredient] for pour in recipe.pours])

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
