"""What parties order at the invented house: drinks with changes, food between them, notes."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache

from pydantic import TypeAdapter

from service.files import SAMPLES, read_bar
from service.files.bars import Bar
from solver.errors import BadValue
from solver.menu import Change, Pour, Recipe, Swap
from solver.menu import Kind as Sort
from solver.tickets import Line, mix_of

from .truth import Kind

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
SERVERS = ("Mo", "Pia", "Zoë", "Renée", "Jürgen", "Siân", "Tam", "Ana", "Björn", "Iñes")
FOOD = (
    ("Fish & chips", 1450),
    ("Crème brûlée", 750),
    ("Olives", 450),
    ("Burger, no onion", 1350),
    ("Pâté & toast", 825),
    ("Jalapeño poppers", 690),
    ("Side salad", 500),
    ("Bread and butter", 350),
    ("Mussels in cider", 1290),
    ("Kid's pasta", 780),
)
COOKING = ("well done", "no salad", "extra bread", "sauce aside")
SPIRITS = ("gin", "vodka", "white-rum", "dark-rum", "bourbon", "tequila", "blended-whisky")
MIXERS = ("tonic", "soda", "cola", "lemonade", "ginger-ale", "light-tonic")
ALLERGIES = ("nuts", "milk", "egg", "gluten", "sulphites", "celery", "fish")
NOTES = (
    "birthday, bring together",
    "extra cold",
    "in a plastic cup",
    "with the starters",
    "guest is deaf, wave",
    "not before 9",
)
IN_A_HURRY = {"lager-pint": 6, "glass-of-white": 4, "glass-of-red": 4, "stout-pint": 3}
"""How much oftener than a cocktail these are ordered."""


@dataclass(slots=True, kw_only=True)
class Item:
    """Something ordered, before it is written down in a layout's words."""

    quantity: int
    pence: int
    recipe: Recipe | None = None
    spirit: str = ""
    mixer: str = ""
    measure: str = ""
    food: str = ""
    changes: list[tuple[str, str, str]] = field(default_factory=list)
    allergies: list[str] = field(default_factory=list)
    note: str = ""


@dataclass(slots=True, kw_only=True)
class Order:
    """A party's order at one moment.

    Attributes
    ----------
    place : str
        A number of a table or seat, without the word.
    is_floor : bool
        At a table, not at the bar.
    """

    kind: Kind
    number: int
    at: datetime
    place: str
    is_floor: bool
    server: str
    till: int
    covers: int
    items: list[Item]
    discount_pence: int = 0

    @property
    def drinks(self) -> list[Item]:
        """The items that are drinks."""
        return [item for item in self.items if not item.food]

    @property
    def foods(self) -> list[Item]:
        """The items that are food."""
        return [item for item in self.items if item.food]

    @property
    def pence(self) -> int:
        """What it all costs, before any discount."""
        return sum(item.pence * item.quantity for item in self.items)


@cache
def house() -> Bar:
    """The invented house, read once."""
    return read_bar(HOUSE)


def order(rng: random.Random, *, number: int, at: datetime, kind: Kind = Kind.TICKET) -> Order:
    """Make one order up."""
    is_floor = rng.random() < 0.6
    items = [_drink(rng) for _ in range(rng.choice((1, 1, 2, 2, 3, 4, 5, 7)))]
    if rng.random() < 0.35:
        items += [_food(rng) for _ in range(rng.randint(1, 3))]
        rng.shuffle(items)
    return Order(
        kind=kind,
        number=number,
        at=at,
        place=str(rng.randint(1, 24) if is_floor else rng.randint(1, 12)),
        is_floor=is_floor,
        server=rng.choice(SERVERS),
        till=rng.randint(1, 3),
        covers=rng.randint(1, 8),
        items=items,
        discount_pence=rng.choice((0, 0, 0, 200, 350)),
    )


def only_food(rng: random.Random, *, number: int, at: datetime) -> Order:
    """Make an order of food alone up."""
    made = order(rng, number=number, at=at)
    made.items = [_food(rng) for _ in range(rng.randint(1, 4))]
    return made


def _food(rng: random.Random) -> Item:
    name, pence = rng.choice(FOOD)
    note = rng.choice(COOKING) if rng.random() < 0.3 else ""
    return Item(quantity=rng.choice((1, 1, 1, 2, 3)), pence=pence, food=name, note=note)


def _drink(rng: random.Random) -> Item:
    recipes = house().menu.recipes
    if rng.random() < 0.2:
        item = Item(
            quantity=1,
            pence=rng.choice((480, 650, 720)),
            spirit=rng.choice(SPIRITS),
            mixer=rng.choice(MIXERS),
            measure=rng.choice(("single", "single", "double")),
        )
    else:
        weights = [IN_A_HURRY.get(recipe.id, 1) for recipe in recipes]
        (recipe,) = rng.choices(recipes, weights)
        item = Item(quantity=1, pence=rng.choice((550, 880, 950, 1050, 1225)), recipe=recipe)
        if rng.random() < 0.28:
            item.changes = _changes(rng, recipe)
    item.quantity = rng.choice((1, 1, 1, 1, 2, 2, 3, 4, 6, 12 if item.recipe else 2))
    if rng.random() < 0.06:
        item.allergies = rng.sample(ALLERGIES, rng.choice((1, 1, 2)))
    if rng.random() < 0.05:
        item.note = rng.choice(NOTES)
    return item


def _changes(rng: random.Random, recipe: Recipe) -> list[tuple[str, str, str]]:
    """One change or two that a guest may ask for."""
    menu = house().menu
    poured = [menu.ingredient(pour.ingredient) for pour in recipe.pours]
    ways: list[tuple[str, str, str]] = (
        [("no_ice", "", "")] if recipe.serve_ice.value != "none" else []
    )
    ways += [("leave_out", garnish.name, "") for garnish in recipe.garnishes]
    if len(poured) > 2:
        ways += [
            ("leave_out", row.id, "")
            for row in poured
            if row.kind not in (Sort.SPIRIT, Sort.BEER, Sort.COFFEE)
        ]
    ways += [
        ("swap", row.id, rng.choice([s for s in SPIRITS if s != row.id]))
        for row in poured
        if row.kind is Sort.SPIRIT and recipe.method.value != "poured"
    ]
    if recipe.method.value in ("shaken", "stirred", "built"):
        ways += [("on_the_rocks", "", ""), ("double", "", ""), ("straight_up", "", "")]
        ways += [("add", "", rng.choice(("soda", "aromatic-bitters", "lemonade")))]
    rng.shuffle(ways)
    taken: list[tuple[str, str, str]] = []
    for way in ways[: rng.choice((1, 1, 1, 2))]:
        if way[0] in ("straight_up", "no_ice") and any(t[0] == "on_the_rocks" for t in taken):
            continue
        if way[0] == "on_the_rocks" and any(t[0] in ("straight_up", "no_ice") for t in taken):
            continue
        if _can_be(recipe, [*taken, way]):
            taken.append(way)
    return taken


def _can_be(recipe: Recipe, changes: list[tuple[str, str, str]]) -> bool:
    """Whether the house could make it so; guests do ask for other things, but not here."""
    typed = []
    for way, out, into in changes:
        match way:
            case "leave_out":
                typed.append(Change(leave_out=out))
            case "swap":
                typed.append(Change(swap=Swap(take_out=out, put_in=into)))
            case "add":
                typed.append(Change(add=Pour(ingredient=into, amount="25 ml")))
            case _:
                typed.append(TypeAdapter(Change).validate_python({way: True}))
    try:
        mix_of(house().menu, Line(recipe=recipe.id, changes=tuple(typed)))
    except BadValue:
        return False
    return True
