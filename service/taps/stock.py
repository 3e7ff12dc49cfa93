"""What the bar has of an ingredient: a bottle out, a countdown, an 86, and back."""

from __future__ import annotations

from datetime import timedelta
from enum import StrEnum

from service.errors import BadTicket, NotFound, nearest
from service.night.marks import mix_now
from service.night.records import DrinkState, Mark, MarkKind
from service.night.state import Draft

from .said import Said


class Stock(StrEnum):
    """States of an ingredient."""

    BOTTLE_OUT = "bottle_out"
    LEFT = "left"
    OUT = "86"
    BACK = "back"


FETCH_MINUTES = 2.0
"""A bottle from the store, where nobody says how long; common practice."""


def set_stock(
    draft: Draft, ingredient: str, state: Stock, *, minutes: float | None, left: int | None
) -> Said:
    """Set what the bar has of an ingredient.

    Parameters
    ----------
    draft : Draft
    ingredient : str
    state : Stock
    minutes : float or None
        For ``bottle_out``: how long until it is here.
    left : int or None
        For ``left``: how many more drinks it is enough for.
    """
    name = _name(draft, ingredient)
    if state is Stock.LEFT and left is None:
        raise BadTicket(
            f"expected how many drinks the {name} is enough for; came nothing: send left",
            errors=[{"path": "/left", "detail": "missing"}],
        )
    if state is Stock.BACK:
        draft.drop("mark", f"{MarkKind.STOCK.value} {ingredient}")
        return Said(words=f"{name} is back")
    until = None
    number: int | None = 0
    words = f"{name} is 86"
    if state is Stock.BOTTLE_OUT:
        minutes = FETCH_MINUTES if minutes is None else minutes
        until, number = draft.now + timedelta(minutes=minutes), None
        words = f"{name}: bottle out, back in {minutes:g} minutes"
    elif state is Stock.LEFT:
        number = left
        words = f"{name}: enough for {left} more"
    draft.put(
        Mark(kind=MarkKind.STOCK, key=ingredient, since=draft.now, until=until, number=number)
    )
    touched = waiting_with(draft, ingredient) if not number else ()
    return Said(words=words, drinks=touched)


def waiting_with(draft: Draft, ingredient: str) -> tuple[str, ...]:
    """Give the drinks that wait and have this ingredient in them."""
    state = draft.state
    return tuple(
        drink.id
        for ticket in state.live_tickets()
        for drink in state.drinks_of(ticket)
        if drink.state is DrinkState.WAITING
        and (mix := mix_now(state, drink)) is not None
        and ingredient in mix.ingredients
    )


def _name(draft: Draft, ingredient: str) -> str:
    known = draft.bar.menu.by_ingredient
    if ingredient not in known:
        names = {row.name: row.id for row in known.values()} | {name: name for name in known}
        near = nearest(ingredient, names)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise NotFound(f"expected an ingredient of the menu; came {ingredient!r}{hint}")
    return known[ingredient].name
