"""What a party ordered at one moment: a ticket, its lines, and its drinks one by one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeVar

from .counter import HouseRules
from .errors import BadValue
from .menu import Change, Menu, Method, Mix, recipe_mix, spirit_mixer_mix

Known = TypeVar("Known")

LARGEST_QUANTITY = 60
"""More of one line than this is taken for a slip of the finger."""

MOST_KNOWN = 5000
"""Mixes that a menu remembers; a house's guests order some hundreds of different ones a night."""


class Channel(StrEnum):
    """Where the round goes: across the bar, or to the floor."""

    BAR_TOP = "bar_top"
    FLOOR = "floor"


class Measure(StrEnum):
    """A single or a double of the house's spirit measure."""

    SINGLE = "single"
    DOUBLE = "double"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a ticket: a recipe, or a spirit and a mixer.

    Attributes
    ----------
    recipe : str
        Recipe id; empty for a spirit line.
    spirit, mixer, measure, garnish
        The spirit-and-mixer pattern; `mixer` may be empty for a spirit on ice.
    quantity : int
        How many of it.
    changes : tuple of Change
        Typed changes, in order.
    allergies : tuple of str
        Allergens the guest named; any text is kept.
    note : str
        What the server wrote. A note that nobody could read as a change keeps the drink apart.
    is_confirmed : bool
        A person has confirmed that the noted allergen, though in the drink itself, is wanted.
    """

    recipe: str = ""
    spirit: str = ""
    mixer: str = ""
    measure: Measure = Measure.SINGLE
    garnish: str = ""
    quantity: int = 1
    changes: tuple[Change, ...] = ()
    allergies: tuple[str, ...] = ()
    note: str = ""
    is_confirmed: bool = False

    def __post_init__(self) -> None:
        if bool(self.recipe) == bool(self.spirit):
            raise BadValue("a recipe or a spirit, one of the two", self.recipe or "neither")
        if self.mixer and not self.spirit:
            raise BadValue("a spirit beside the mixer", self.mixer)
        if self.spirit and self.changes:
            raise BadValue("changes only beside a recipe", [c.words for c in self.changes])
        if not 1 <= self.quantity <= LARGEST_QUANTITY:
            raise BadValue(
                f"a quantity from 1 to {LARGEST_QUANTITY}",
                self.quantity,
                "a larger round is several lines or tickets",
            )

    @property
    def is_alone(self) -> bool:
        """Whether drinks of this line are made by themselves, in clean kit."""
        return bool(self.allergies or self.note.strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class Drink:
    """One glass of a ticket.

    Attributes
    ----------
    id : str
        Unique in the snapshot.
    line : int
        Index of its line.
    made_s : float or None
        When it was made, in seconds from the snapshot's moment (so 0 or less); None while it
        waits or is in hand.
    """

    id: str
    line: int = 0
    made_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """An open ticket as a snapshot sees it; times in seconds from the snapshot's moment.

    Attributes
    ----------
    id, number, place, server : str
    channel : Channel
    placed_s : float
        When it was placed; 0 or less.
    promise_s : int
        Time to last drink it was promised, from `placed_s`.
    weight : int
        How much its time counts in the goal; 1 for every guest unless the house says so.
    overtaken : int
        How often later rounds of its channel were done before it.
    is_on_hold : bool
        Held back by a bartender ("slow this table"); none of its waiting drinks is planned.
    lines : tuple of Line
    drinks : tuple of Drink
        Every drink of the round that is not void, made ones too.
    """

    id: str
    number: str
    channel: Channel
    placed_s: float
    promise_s: int
    lines: tuple[Line, ...]
    drinks: tuple[Drink, ...]
    place: str = ""
    server: str = ""
    weight: int = 1
    overtaken: int = 0
    is_on_hold: bool = False

    def __post_init__(self) -> None:
        if self.placed_s > 0:
            raise BadValue("a ticket placed at or before the snapshot's moment", self.placed_s)
        if not 1 <= self.weight <= 100:
            raise BadValue("a weight from 1 to 100", self.weight)
        if not 1 <= self.promise_s <= 24 * 3600:
            raise BadValue("a promise of 1 second to a day", self.promise_s)
        for drink in self.drinks:
            if not 0 <= drink.line < len(self.lines):
                raise BadValue(f"drink {drink.id} on a line of its ticket", drink.line)


def mix_of(menu: Menu, line: Line) -> Mix:
    """Give the mix that a line orders.

    Raises
    ------
    BadValue
        When the menu has no such recipe, spirit, mixer or ingredient.
    """
    key = (line.recipe, line.changes, line.spirit, line.mixer, line.measure, line.garnish)
    found: Mix | None = menu.known_mixes.get(key)
    if found is None:
        made = _mix_of(menu, line)
        # Two ways to order the same thing are one mix.
        found = menu.known_mixes[key] = _known(menu, made, made)
    return found


def chilled_by_ice(menu: Menu, mix: Mix) -> Mix:
    """Give a mix whose glass is chilled with ice and water: one object for each mix."""
    key = ("chilled by ice", id(mix))
    known: tuple[Mix, Mix] | None = menu.known_mixes.get(key)
    if known is None:
        # The mix is held beside it, so that no other one gets its identity.
        known = _known(menu, key, (mix, replace(mix, chill_by_ice=True)))
    return known[1]


def _known(menu: Menu, key: object, found: Known) -> Known:
    """Have a menu remember something; gives what it remembered already, or else this."""
    if len(menu.known_mixes) >= MOST_KNOWN:
        menu.known_mixes.clear()
    kept: Known = menu.known_mixes.setdefault(key, found)
    return kept


def _mix_of(menu: Menu, line: Line) -> Mix:
    if line.spirit:
        return spirit_mixer_mix(
            menu,
            spirit=line.spirit,
            mixer=line.mixer,
            measure=line.measure,
            garnish=line.garnish,
        )
    recipe = menu.by_recipe.get(line.recipe)
    if recipe is None:
        raise BadValue("a recipe of the menu", line.recipe)
    return recipe_mix(menu, recipe, line.changes)


def glasses_each(menu: Menu, line: Line) -> int:
    """Give how many glasses one of a line is: a tray or a jug serves several."""
    recipe = menu.by_recipe.get(line.recipe)
    return recipe.serves if recipe else 1


def promise_s(rules: HouseRules, channel: Channel, methods: frozenset[Method]) -> int:
    """Give the house's promise for a round, in seconds from its placing.

    Parameters
    ----------
    rules : HouseRules
    channel : Channel
    methods : frozenset of Method
        Methods of the round's drinks; a round of only draught and poured drinks is quick.
    """
    if methods and methods <= {Method.DRAUGHT, Method.POURED}:
        return rules.promise_quick_s
    if channel is Channel.BAR_TOP:
        return rules.promise_bar_top_s
    return rules.promise_floor_s
