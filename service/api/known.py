"""Writes a ticket down for whoever asks: from the bar's state, or from the store when it is old."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta

from service.night.records import DrinkRecord, LineRecord, TicketRecord
from service.night.state import BarState
from service.order.build_order import done_by, unread_line
from service.planning.expected import whole_minutes
from service.store import Kept

from .answers import AsideDrink, DrinkAnswer, Expected, LineAnswer, TicketAnswer


def ticket_answer(
    state: BarState,
    ticket: TicketRecord,
    *,
    is_known: bool = False,
    warnings: Iterable[str] = (),
) -> TicketAnswer:
    """Give a ticket of the bar's state, with what the order says of it."""
    order = state.order
    drinks = state.drinks_of(ticket)
    expected = None
    aside: tuple[AsideDrink, ...] = ()
    if order is not None:
        at = done_by(state, order, ticket)
        if at is not None:
            expected = Expected(done_by=at, minutes=whole_minutes(order.as_of, at))
        names = {drink.id: drink.name for drink in drinks}
        aside = tuple(
            AsideDrink(drink=one.drink, name=names[one.drink], reason=one.reason)
            for one in (order.plan.set_aside if order.plan else ())
            if one.drink in names
        )
    return _answer(
        state,
        ticket,
        drinks,
        expected=expected,
        set_aside=aside,
        is_known=is_known,
        warnings=warnings,
    )


def kept_answer(
    state: BarState, kept: Kept, *, is_known: bool = False, warnings: Iterable[str] = ()
) -> TicketAnswer:
    """Give a ticket as the store has it; by the bar's state where it is at hand."""
    if kept.ticket.id in state.tickets:
        return ticket_answer(state, state.tickets[kept.ticket.id])
    return _answer(state, kept.ticket, kept.drinks, is_known=is_known, warnings=warnings)


def _answer(
    state: BarState,
    ticket: TicketRecord,
    drinks: Sequence[DrinkRecord],
    *,
    expected: Expected | None = None,
    set_aside: tuple[AsideDrink, ...] = (),
    is_known: bool = False,
    warnings: Iterable[str] = (),
) -> TicketAnswer:
    return TicketAnswer(
        id=ticket.id,
        number=ticket.number,
        till=ticket.till,
        business_day=ticket.business_day,
        channel=ticket.channel.value,
        place=ticket.place,
        server=ticket.server,
        placed_at=ticket.placed_at,
        promised_by=ticket.placed_at + timedelta(seconds=ticket.promise_s),
        is_on_hold=ticket.is_on_hold,
        is_void=ticket.is_void,
        lines=tuple(_line(line) for line in ticket.lines),
        drinks=tuple(_drink(drink) for drink in drinks),
        unread=tuple(unread_line(state, ticket, line) for line in ticket.lines if line.is_unread),
        set_aside=set_aside,
        expected=expected,
        revision=state.revision,
        is_known=is_known,
        warnings=tuple(warnings),
    )


def _line(line: LineRecord) -> LineAnswer:
    return LineAnswer(
        line=line.id,
        quantity=line.quantity,
        is_read=line.line is not None,
        is_void=line.is_void,
        came=line.raw,
    )


def _drink(drink: DrinkRecord) -> DrinkAnswer:
    return DrinkAnswer(
        id=drink.id,
        line=drink.line,
        name=drink.name,
        state=drink.state.value,
        made_at=drink.made_at,
        is_estimate=drink.is_estimate,
        gone_at=drink.gone_at,
        reason=drink.reason,
    )
