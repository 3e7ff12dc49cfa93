"""Turns state and plan into the build order that screens show.

The order is a function of the state and of the order's record alone, never of the clock: after
a restart it comes out byte for byte the same.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from service.api.models import AsideCard, BartenderCard, BuildOrder, NearName, RoundCard, UnreadLine
from service.night.hours import break_until
from service.night.marks import off_the_floor, people_on
from service.night.moment import snapshot_of_order
from service.night.records import (
    DrinkState,
    LineRecord,
    MarkKind,
    OrderRecord,
    TicketRecord,
)
from service.night.state import BarState
from service.planning.expected import expected_at
from service.reading import said
from solver.plan import Plan
from solver.snapshot import rail_of

from .alerts import alerts_of
from .cards import Table, build_card, queue_card

LONGEST_QUEUE = 20
"""Builds shown after the next one, for each bartender."""

MOST_MADE = 100
"""Made rounds shown that nobody tapped gone, those made last; four times what a bar with three
bartenders makes in the quarter of an hour for which they are shown."""


def build_order(state: BarState, order: OrderRecord, *, shown_made_s: float) -> BuildOrder:
    """Give a bar's build order.

    Parameters
    ----------
    state : BarState
    order : OrderRecord
        Its plan was made for this state, at its moment.
    shown_made_s : float
        A made round that nobody tapped gone leaves the order after this.
    """
    snapshot = snapshot_of_order(state, order)
    table = Table(state=state, snapshot=snapshot, rail=rail_of(snapshot), moment=order.moment)
    return BuildOrder(
        bar=state.bar.id,
        name=state.bar.name,
        timezone=state.bar.timezone,
        epoch=state.epoch,
        revision=order.revision,
        as_of=order.as_of,
        planner=order.plan.planner if order.plan else "",
        bartenders=tuple(
            _bartender(table, order.plan, person.id) for person in state.bar.counter.people
        ),
        rounds=tuple(_rounds(state, order, shown_made_s)),
        set_aside=_set_aside(table),
        unread=unread_of(state),
        alerts=alerts_of(state, snapshot, table.rail, order),
    )


def unread_of(state: BarState) -> tuple[UnreadLine, ...]:
    """Give the tray of unread lines, oldest ticket first."""
    return tuple(
        unread_line(state, ticket, line)
        for ticket in state.unread_tickets()
        for line in ticket.lines
        if line.is_unread
    )


def unread_line(state: BarState, ticket: TicketRecord, line: LineRecord) -> UnreadLine:
    """Show one unread line with what it may have meant."""
    menu = state.bar.menu
    names = {row.id: row.name for row in menu.ingredients} | {r.id: r.name for r in menu.recipes}
    return UnreadLine(
        line=line.id,
        ticket=ticket.id,
        number=ticket.number,
        channel=ticket.channel.value,
        place=ticket.place,
        placed_at=ticket.placed_at,
        quantity=line.quantity,
        text=said(line.raw),
        reason=line.unread,
        nearest=tuple(NearName(recipe=near, name=names.get(near, near)) for near in line.nearest),
        word=line.word,
        printed=line.printed,
    )


def done_by(state: BarState, order: OrderRecord, ticket: TicketRecord) -> datetime | None:
    """Give when a round's last drink is made, an 80% value; None where some of it has no time."""
    return _done_by(state, order, ticket, made_times(order))


def made_times(order: OrderRecord) -> dict[str, float]:
    """Give when an order has each of its drinks made, in seconds from its moment."""
    return {
        drink: at
        for build in (order.plan.builds if order.plan else ())
        for drink, at in zip(build.drinks, build.made_s, strict=True)
    }


def _done_by(
    state: BarState, order: OrderRecord, ticket: TicketRecord, made_s: dict[str, float]
) -> datetime | None:
    still = [drink for drink in state.drinks_of(ticket) if drink.is_open]
    if not still or any(drink.id not in made_s for drink in still):
        return None
    return expected_at(order.moment, max(made_s[drink.id] for drink in still))


def _bartender(table: Table, plan: Plan | None, person_id: str) -> BartenderCard:
    state = table.state
    person = state.bar.counter.by_person[person_id]
    station = state.bar.counter.by_station[person.station]
    on = {p.person: p for p in people_on(state, table.moment)}
    off = off_the_floor(state, table.moment)
    rests_until = break_until(state, person, table.moment)
    builds = [build for build in plan.builds if build.person == person_id] if plan else []
    in_hand = [build_card(table, build) for build in builds if build.is_in_hand]
    planned = sorted(
        (build for build in builds if not build.is_in_hand), key=lambda b: (b.start_s, b.id)
    )
    serving = state.marks.get(f"{MarkKind.SERVING.value} {person_id}")
    if serving is not None and not serving.holds_at(table.moment):
        serving = None
    number = state.tickets[state.drinks[serving.drinks[0]].ticket].number if serving else ""
    return BartenderCard(
        id=person_id,
        station=station.id,
        station_name=station.name or station.id,
        posts=tuple(post.value for post in station.posts),
        is_on=person_id in on and person_id not in off and rests_until is None,
        back_at=off[person_id].until if person_id in off else rests_until,
        serving=number,
        serving_until=serving.until if serving else None,
        now=tuple(sorted(in_hand, key=lambda c: (not c.is_at_hand, c.started_at, c.id))),
        next=build_card(table, planned[0]) if planned else None,
        then=tuple(queue_card(table, build) for build in planned[1 : 1 + LONGEST_QUEUE]),
    )


def _rounds(state: BarState, order: OrderRecord, shown_made_s: float) -> list[RoundCard]:
    oldest = order.as_of - timedelta(seconds=shown_made_s)
    made_s = made_times(order)
    lately = [name for at, name in state.index.made[-MOST_MADE:] if at >= oldest]
    # A made round may still be live: one of its drinks belongs to a build in hand.
    names = dict.fromkeys((*state.index.live, *lately))
    tickets = sorted((state.tickets[name] for name in names), key=lambda t: (t.placed_at, t.id))
    found = []
    for ticket in tickets:
        here = [d for d in state.drinks_of(ticket) if d.state not in _AWAY]
        made_at = [drink.made_at for drink in here if drink.made_at is not None]
        is_made = len(made_at) == len(here)
        if not here or (is_made and max(made_at) < oldest):
            continue
        found.append(
            RoundCard(
                ticket=ticket.id,
                number=ticket.number,
                channel=ticket.channel.value,
                place=ticket.place,
                placed_at=ticket.placed_at,
                promised_by=ticket.placed_at + timedelta(seconds=ticket.promise_s),
                num_drinks=len(here),
                num_made=len(made_at),
                is_on_hold=ticket.is_on_hold,
                is_made=is_made,
                done_by=_done_by(state, order, ticket, made_s),
            )
        )
    return found


_AWAY = (DrinkState.GONE, DrinkState.VOID)


def _set_aside(table: Table) -> tuple[AsideCard, ...]:
    state = table.state
    found = []
    for aside in table.rail.set_aside:
        drink = state.drinks[aside.drink]
        ticket = state.tickets[drink.ticket]
        found.append(
            AsideCard(
                drink=drink.id,
                ticket=ticket.id,
                number=ticket.number,
                place=ticket.place,
                name=drink.name,
                reason=aside.reason,
            )
        )
    return tuple(found)


def num_in_hand(state: BarState) -> int:
    """Count the builds in hand."""
    return len(state.index.in_hand)
