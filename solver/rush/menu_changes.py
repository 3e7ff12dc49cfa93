"""Changes of the menu: a shorter one, and drinks whose bottles were mixed before doors."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from solver.errors import BadValue
from solver.menu import Ingredient, Kind, Method, Pour, Recipe, Stage
from solver.snapshot import Presence, Snapshot, rail_of
from solver.tickets import Channel, Drink, Line, Ticket, mix_of
from solver.work import work_of

from .changes import Change
from .coming import tonight
from .draws import Draws
from .replications import night_seed
from .scenario import Rush

NIGHTS_LOOKED_AT = 3
RECIPES_LEFT_OUT = 5
BATCHES = 2
KEEPS = (Kind.SPIRIT, Kind.LIQUEUR, Kind.WINE, Kind.SYRUP, Kind.BITTERS)
"""What may stand in one bottle from before doors; juice, egg, dairy and herbs may not."""
NO_MIX = (Method.DRAUGHT, Method.POURED, Method.COFFEE)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFor:
    """What guests order, counted over some nights: recipes, and drinks with each ingredient."""

    recipes: Mapping[str, int]
    ingredients: Mapping[str, int]


def asked_for(rush: Rush, seed: int) -> AskedFor:
    """Count what the guests of a few nights order."""
    recipes: Tally[str] = Tally()
    ingredients: Tally[str] = Tally()
    for night in range(NIGHTS_LOOKED_AT):
        for one in tonight(rush, Draws(night_seed(seed, night))):
            for line in one.lines:
                if line.recipe:
                    recipes[line.recipe] += 1
                ingredients.update(_ingredients(rush, line))
    return AskedFor(recipes=recipes, ingredients=ingredients)


def menu_changes(rush: Rush, asked: AskedFor) -> Iterator[Change]:
    """Give a shorter menu, and the drinks that gain most from a batch."""
    # Past guests have ordered already.
    if rush.scenario.replay is None:
        yield from _shorter(rush, asked)
    hands = hands_s(rush)
    gains = []
    for recipe in rush.house.menu.recipes:
        count = asked.recipes.get(recipe.id, 0)
        batched = _batched(rush, recipe) if count and recipe.id in hands else None
        if batched is not None:
            saved_s = hands[recipe.id] - hands_s(batched)[recipe.id]
            gains.append((count * saved_s, recipe.name, recipe.id, batched))
    gains.sort(key=lambda row: -row[0])
    for gain, name, recipe_id, batched in gains[:BATCHES]:
        if gain > 0:
            yield Change(
                id=f"batch-{recipe_id}",
                words=f"mixed before doors: {name}",
                rush=batched,
                cost=rush.scenario.costs.batch,
            )


def hands_s(rush: Rush) -> dict[str, float]:
    """Give the seconds of hands that one glass of each recipe takes, made alone.

    The hands are of the standard pace, at the place where it is made quickest; a recipe that
    nobody can make is missing.
    """
    found: dict[str, float] = {}
    people = rush.house.counter.people
    for recipe in rush.house.menu.recipes:
        snapshot = _only(rush, recipe)
        takes = [
            sum(block.base_ds for block in work_of(snapshot, person.id, rail).blocks) / 10
            for person in people
            if (rail := rail_of(snapshot).drinks) and person.id in rail[0].people
        ]
        if takes:
            found[recipe.id] = min(takes)
    return found


def _only(rush: Rush, recipe: Recipe) -> Snapshot:
    """Give the moment in which one drink of a recipe is all there is."""
    house = rush.house
    ticket = Ticket(
        id="t",
        number="1",
        channel=Channel.BAR_TOP,
        placed_s=0,
        promise_s=600,
        lines=(Line(recipe=recipe.id),),
        drinks=(Drink(id="d"),),
    )
    return Snapshot(
        bar=house.id,
        menu=house.menu,
        standards=house.standards,
        counter=house.counter,
        people_on=tuple(Presence(person=person.id) for person in house.counter.people),
        tickets=(ticket,),
    )


def _shorter(rush: Rush, asked: AskedFor) -> Iterator[Change]:
    hands = hands_s(rush)
    menu, guests = rush.house.menu, rush.scenario.guests
    mixed = [
        recipe
        for recipe in menu.recipes
        if recipe.method not in NO_MIX and asked.recipes.get(recipe.id) and recipe.id in hands
    ]
    slowest = sorted(mixed, key=lambda recipe: -hands[recipe.id] / recipe.serves)
    if len(mixed) <= RECIPES_LEFT_OUT:
        return
    out = slowest[:RECIPES_LEFT_OUT]
    weights = {**guests.recipe_weight, **{recipe.id: 0.0 for recipe in out}}
    names = ", ".join(recipe.name for recipe in out)
    yield Change(
        id="shorter",
        words=f"a shorter menu, without {names}",
        rush=replace(
            rush,
            scenario=replace(rush.scenario, guests=replace(guests, recipe_weight=weights)),
        ),
        cost=0.0,
    )


def _batched(rush: Rush, recipe: Recipe) -> Rush | None:
    """Give the rush with what keeps of a recipe in one bottle; None where that is no gain."""
    menu = rush.house.menu
    parts = [
        pour
        for pour in recipe.pours
        if pour.at is Stage.MEASURE
        and pour.measured.ml > 0
        and menu.ingredient(pour.ingredient).kind in KEEPS
    ]
    if len(parts) < 2 or recipe.method in NO_MIX or _is_changed(rush, recipe):
        return None
    bottle = Ingredient(
        id=f"batch-{recipe.id}",
        name=f"{recipe.name}, mixed",
        allergens=tuple(
            sorted({a for pour in parts for a in menu.ingredient(pour.ingredient).allergens})
        ),
    )
    total_ml = sum(pour.measured.ml for pour in parts)
    poured = Pour(ingredient=bottle.id, amount=f"{total_ml:.1f} ml")
    rest = [pour for pour in recipe.pours if pour not in parts]
    first = recipe.pours.index(parts[0])
    before = [pour for pour in recipe.pours[:first] if pour in rest]
    pours = (*before, poured, *rest[len(before) :])
    rows = tuple(replace(one, pours=pours) if one.id == recipe.id else one for one in menu.recipes)
    mixed = replace(menu, ingredients=(*menu.ingredients, bottle), recipes=rows)
    return replace(rush, house=replace(rush.house, menu=mixed))


def _is_changed(rush: Rush, recipe: Recipe) -> bool:
    """Whether a past guest changed what would be in the bottle."""
    return any(
        change.swap or change.double or change.leave_out or change.add
        for arrival in rush.past
        for line in arrival.lines
        if line.recipe == recipe.id
        for change in line.changes
    )


def _ingredients(rush: Rush, line: Line) -> tuple[str, ...]:
    try:
        return mix_of(rush.house.menu, line).ingredients
    except BadValue:
        return ()  # A past ticket may name what this menu no longer has.
