"""Taps on a whole ticket: gone, void, held back; and lines added, changed or taken off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.errors import BadTicket, Conflict, NotFound, pointer
from service.night.aliases import aliases_of
from service.night.records import DrinkRecord, DrinkState, LineRecord, MarkKind, TicketRecord
from service.night.state import Draft
from service.reading import quantity_fault, read_line
from solver.tickets import glasses_each, mix_of, promise_s

from . import again
from .drinks import let_go
from .said import Said, names_of


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """A line of a ticket, and what it is to be instead."""

    line: str
    to: Mapping[str, Any]


def gone(draft: Draft, ticket_id: str) -> Said:
    """Note that a round left; drinks still open are taken as made now."""
    ticket = draft.ticket(ticket_id)
    here = [d for d in draft.state.drinks_of(ticket) if d.state not in _AWAY]
    if not here:
        raise Conflict(f"expected a round with a drink here; {said_of(ticket)} is gone or void")
    for drink in here:
        let_go(draft, draft.drinks[drink.id])
    return Said(words=f"gone: {said_of(ticket)}", drinks=tuple(drink.id for drink in here))


def void(draft: Draft, ticket_id: str, reason: str) -> Said:
    """Take a whole round off; drinks that are gone stay as they are."""
    ticket = draft.ticket(ticket_id)
    here = [d for d in draft.state.drinks_of(ticket) if d.state not in _AWAY]
    unread = [line for line in ticket.lines if line.is_unread]
    if not here and not unread:
        raise Conflict(f"expected a round with something on it; {said_of(ticket)} is gone or void")
    for drink in here:
        again.void(draft, draft.drinks[drink.id], reason)
    lines = tuple(replace(line, is_void=True) for line in ticket.lines)
    draft.put(replace(draft.tickets[ticket_id], lines=lines, is_void=True))
    return Said(words=f"void: {said_of(ticket)}", drinks=tuple(drink.id for drink in here))


def hold(draft: Draft, ticket_id: str, *, on: bool) -> Said:
    """Hold a round back ("slow this table"), or let it go on; drinks in hand are finished."""
    ticket = draft.ticket(ticket_id)
    if ticket.is_on_hold == on:
        now = "held back" if on else "not held back"
        raise Conflict(f"{said_of(ticket)} is {now} already: nothing to do")
    draft.put(replace(ticket, is_on_hold=on))
    return Said(words=f"{'held back' if on else 'goes on'}: {said_of(ticket)}")


def change_lines(
    draft: Draft,
    ticket_id: str,
    *,
    add: Sequence[Mapping[str, Any]],
    change: Sequence[LineChange],
    take_off: Sequence[str],
) -> Said:
    """Add lines to a ticket, change some, take some off; only drinks that wait are touched."""
    ticket = draft.ticket(ticket_id)
    if ticket.is_void:
        raise Conflict(f"expected an open ticket; {said_of(ticket)} is void: post a new one")
    if not (add or change or take_off):
        raise BadTicket("expected something to add, change or void; came nothing")
    touched: list[str] = []
    for line_id in take_off:
        touched += _take_off(draft, _line(draft, ticket_id, line_id), ticket_id, "taken off")
    for position, one in enumerate(change):
        old = _line(draft, ticket_id, one.line)
        waiting = _waiting(draft, ticket_id, old.id)
        if not waiting and not old.is_unread:
            raise Conflict(
                f"expected a line with drinks that wait; those of {old.id} are in hand, made or "
                "gone: tap remake on the drink, or add a new line"
            )
        raw = {"quantity": _quantity_of(draft, old, waiting) or old.quantity, **one.to}
        _take_off(draft, old, ticket_id, "changed")
        touched += _add(draft, ticket_id, raw, pointer(("change", position, "to", "quantity")))
    for position, line in enumerate(add):
        touched += _add(draft, ticket_id, line, pointer(("add", position, "quantity")))
    draft.put(with_promise(draft, draft.tickets[ticket_id]))
    now = [draft.drinks[name] for name in touched if draft.drinks[name].state is DrinkState.WAITING]
    words = f"{said_of(ticket)}: {names_of(now) or 'lines changed'}"
    return Said(words=words, drinks=tuple(touched))


def open_line(draft: Draft, ticket_id: str, line: LineRecord) -> tuple[str, ...]:
    """Put a line's drinks on its ticket, waiting; none while it is unread."""
    if line.line is None:
        return ()
    ticket = draft.tickets[ticket_id]
    name = mix_of(draft.bar.menu, line.line).name
    first = len(ticket.drinks)
    new = [
        DrinkRecord(id=f"{ticket_id}-d{first + n}", ticket=ticket_id, line=line.id, name=name)
        for n in range(line.quantity * glasses_each(draft.bar.menu, line.line))
    ]
    draft.put(*new, replace(ticket, drinks=(*ticket.drinks, *(drink.id for drink in new))))
    return tuple(drink.id for drink in new)


def with_promise(draft: Draft, ticket: TicketRecord) -> TicketRecord:
    """Give a ticket with the house's promise for what is on it now."""
    lines = [line.line for line in ticket.lines if line.line is not None and not line.is_void]
    methods = frozenset(mix_of(draft.bar.menu, line).method for line in lines)
    promised = promise_s(draft.bar.counter.rules, ticket.channel, methods)
    return replace(ticket, promise_s=promised)


_AWAY = (DrinkState.GONE, DrinkState.VOID)


def _add(draft: Draft, ticket_id: str, raw: Mapping[str, Any], where: str) -> tuple[str, ...]:
    ticket = draft.tickets[ticket_id]
    whole = {"quantity": 1, **raw}
    refuse_quantity(whole, where)
    line_id = f"{ticket_id}-l{len(ticket.lines)}"
    aliases = aliases_of(draft.marks_of(MarkKind.ALIAS))
    line = read_line(draft.bar.menu, line_id, raw, whole["quantity"], aliases=aliases)
    draft.put(replace(ticket, lines=(*ticket.lines, line)))
    return open_line(draft, ticket_id, line)


def _take_off(draft: Draft, line: LineRecord, ticket_id: str, reason: str) -> list[str]:
    """Void a line's waiting drinks; the line too, unless a drink of it is in hand or made."""
    waiting = _waiting(draft, ticket_id, line.id)
    for drink in waiting:
        again.void(draft, drink, reason)
    ticket = draft.tickets[ticket_id]
    of_line = [d for d in draft.state.drinks_of(ticket) if d.line == line.id]
    left = [drink for drink in of_line if drink.state is not DrinkState.VOID]
    if left and not waiting:
        raise Conflict(
            f"expected a line with drinks that wait; {names_of(left)} cannot be taken off any "
            "more: void the drinks one by one"
        )
    lines_left = _quantity_of(draft, line, left)
    now = replace(line, quantity=lines_left) if left else replace(line, is_void=True)
    draft.put(with_line(ticket, now))
    return [drink.id for drink in waiting]


def _quantity_of(draft: Draft, line: LineRecord, drinks: Sequence[DrinkRecord]) -> int:
    """Give how many of a line so many of its glasses are; a tray begun counts whole."""
    each = glasses_each(draft.bar.menu, line.line) if line.line else 1
    return -(-len(drinks) // each)


def _waiting(draft: Draft, ticket_id: str, line_id: str) -> list[DrinkRecord]:
    drinks = draft.state.drinks_of(draft.tickets[ticket_id])
    return [d for d in drinks if d.line == line_id and d.state is DrinkState.WAITING]


def _line(draft: Draft, ticket_id: str, line_id: str) -> LineRecord:
    lines = {line.id: line for line in draft.tickets[ticket_id].lines if not line.is_void}
    if line_id not in lines:
        raise NotFound(
            f"expected a line of this ticket ({', '.join(lines) or 'none is left'}); "
            f"came {line_id!r}"
        )
    return lines[line_id]


def with_line(ticket: TicketRecord, line: LineRecord) -> TicketRecord:
    """Give a ticket with one of its lines as it is now."""
    lines = tuple(line if row.id == line.id else row for row in ticket.lines)
    return replace(ticket, lines=lines)


def refuse_quantity(raw: Mapping[str, Any], where: str) -> None:
    """Refuse a line of none, of hundreds, or of no number at all."""
    if fault := quantity_fault(raw["quantity"]):
        raise BadTicket(fault, errors=[{"path": where, "detail": fault}])


def said_of(ticket: TicketRecord) -> str:
    """Say which round: its number and place."""
    return f"round {ticket.number} {ticket.place}".strip()
