"""Taps on one drink: void, remake, gone, already made."""

from __future__ import annotations

from dataclasses import replace

from service.errors import Conflict
from service.night.records import DrinkRecord, DrinkState
from service.night.state import Draft

from . import again
from .closing import close
from .said import Said


def void(draft: Draft, drink_id: str, reason: str) -> Said:
    """Take a drink off its ticket; no reason is needed, and none is asked on a screen."""
    drink = draft.drink(drink_id)
    if drink.state in (DrinkState.VOID, DrinkState.GONE):
        raise _conflict(drink, "a drink that is not gone and not void")
    again.void(draft, drink, reason)
    return Said(words=f"void: {drink.name}, {_round(draft, drink)}", drinks=(drink.id,))


def remake(draft: Draft, drink_id: str, reason: str) -> Said:
    """Bin a drink that is in hand, made or gone, and have it made again."""
    drink = draft.drink(drink_id)
    if drink.state in (DrinkState.WAITING, DrinkState.VOID):
        raise _conflict(drink, "a drink that is in hand, made or gone")
    new = again.make_again(draft, drink, f"remake: {reason}")
    words = f"to be made again: {drink.name}, {_round(draft, drink)} ({reason})"
    return Said(words=words, drinks=(drink.id, new.id))


def gone(draft: Draft, drink_id: str) -> Said:
    """Note that a drink left; one that was still open is taken as made now."""
    drink = draft.drink(drink_id)
    if drink.state in (DrinkState.GONE, DrinkState.VOID):
        raise _conflict(drink, "a drink that is here")
    let_go(draft, drink)
    return Said(words=f"gone: {drink.name}, {_round(draft, drink)}", drinks=(drink.id,))


def already_made(draft: Draft, drink_id: str) -> Said:
    """Note that a drink is made, whatever the plan says; a build in hand goes on with the rest."""
    drink = draft.drink(drink_id)
    if not drink.is_open:
        raise _conflict(drink, "a drink that is still to be made")
    build = again.build_of(draft, drink)
    close(draft, drink, draft.now, is_estimate=True)
    if build is not None:
        again.close_if_done(draft, build)
    return Said(words=f"made already: {drink.name}, {_round(draft, drink)}", drinks=(drink.id,))


def confirm(draft: Draft, drink_id: str) -> Said:
    """Note that a person has asked: the noted allergen, though in the drink itself, is wanted.

    Holds for every drink of the same line; each is still made alone, in clean kit.
    """
    drink = draft.drink(drink_id)
    ticket = draft.tickets[drink.ticket]
    record = ticket.line_of(drink.line)
    if not drink.is_open or record.line is None:
        raise _conflict(drink, "a drink that is still to be made")
    if not record.line.allergies or record.line.is_confirmed:
        raise Conflict(
            f"expected a drink whose allergy note nobody has confirmed; {drink.name} has none: "
            "nothing to do"
        )
    confirmed = replace(record, line=replace(record.line, is_confirmed=True))
    lines = tuple(confirmed if line.id == record.id else line for line in ticket.lines)
    draft.put(replace(ticket, lines=lines))
    noted = ", ".join(record.line.allergies)
    words = f"confirmed with the guest ({noted}): {drink.name}, {_round(draft, drink)}"
    alike = tuple(d.id for d in draft.state.drinks_of(ticket) if d.line == record.id and d.is_open)
    return Said(words=words, drinks=alike)


def let_go(draft: Draft, drink: DrinkRecord) -> None:
    """Note that a drink is gone, and made if nobody had said so."""
    build = again.build_of(draft, drink)
    close(draft, drink, draft.now, is_estimate=True)
    draft.put(replace(draft.drinks[drink.id], state=DrinkState.GONE, gone_at=draft.now))
    if build is not None:
        again.close_if_done(draft, build)


def _round(draft: Draft, drink: DrinkRecord) -> str:
    ticket = draft.tickets[drink.ticket]
    return f"{ticket.number} {ticket.place}".strip()


def _conflict(drink: DrinkRecord, expected: str) -> Conflict:
    state = drink.state.value.replace("_", " ")
    return Conflict(
        f"expected {expected}; {drink.name} is {state}: the screen shows what is open now",
        state={"drinks": {drink.id: drink.state.value}},
    )
