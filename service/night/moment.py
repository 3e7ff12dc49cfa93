"""A bar at one moment as the planner sees it: state and clock become a snapshot.

Stored times are UTC; a snapshot counts seconds from its moment.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from solver.plan import Plan
from solver.snapshot import NO_TIME, BlockRun, InHand, Pinned, Presence, Snapshot
from solver.steady import next_of, overtakes
from solver.steady import shifted as moved
from solver.tickets import Drink, Line, Ticket

from .hours import away_of, service_ends, shake_from_s
from .marks import counter_now, glasses_back, in_washer, people_on, seconds_from, shortages
from .records import BuildRecord, DrinkState, OrderRecord, TicketRecord
from .state import BarState


def snapshot_of(state: BarState, now: datetime) -> Snapshot:
    """Give the snapshot of a bar.

    Parameters
    ----------
    state : BarState
        The order it last showed says what is pinned: the first planned build of each person.
    now : datetime
        The snapshot's moment.
    """
    overtakes = _overtakes(state)
    # A round that is made stays while one of its drinks belongs to a build in hand.
    tickets = tuple(_ticket(state, ticket, now, overtakes) for ticket in state.live_tickets())
    present = {drink.id for ticket in tickets for drink in ticket.drinks}
    in_hand = (_in_hand(build, present, now) for build in state.in_hand())
    last_orders_s, hard_stop_s = service_ends(state, now)
    return Snapshot(
        bar=state.bar.id,
        moment=now.isoformat(timespec="milliseconds"),
        menu=state.bar.menu,
        standards=state.bar.standards,
        counter=counter_now(state, now),
        people_on=tuple(_with_hours(state, present, now) for present in people_on(state, now)),
        tickets=tickets,
        in_hand=tuple(build for build in in_hand if build.drinks),
        pinned=_pinned(state),
        short=shortages(state, now),
        in_washer=in_washer(state, now),
        glasses_back=glasses_back(state, now),
        last_orders_s=last_orders_s,
        hard_stop_s=hard_stop_s,
    )


def snapshot_of_build(state: BarState, build: BuildRecord, now: datetime) -> Snapshot:
    """Give a snapshot of one build in hand and its rounds alone: its work depends on nothing else.

    What was chilled with ice when it began is written down, whatever glasses there are by now.
    """
    names = {state.drinks[drink].ticket for drink in build.drinks if drink in state.drinks}
    tickets = tuple(_ticket(state, state.tickets[name], now, {}) for name in sorted(names))
    present = {drink.id for ticket in tickets for drink in ticket.drinks}
    return Snapshot(
        bar=state.bar.id,
        menu=state.bar.menu,
        standards=state.bar.standards,
        counter=counter_now(state, now),
        people_on=(),
        tickets=tickets,
        in_hand=(_in_hand(build, present, now),),
    )


def _with_hours(state: BarState, present: Presence, now: datetime) -> Presence:
    """Give somebody on the floor with their breaks, the end of their shift, and rested arms."""
    person = state.bar.counter.by_person[present.person]
    return replace(
        present,
        away=away_of(state, person, now),
        shake_from_s=shake_from_s(state, person, now),
    )


def snapshot_of_order(state: BarState, order: OrderRecord) -> Snapshot:
    """Give the snapshot that an order was planned for, as far as the state is still the same.

    What comes too late for the hard stop takes a plan to know: the order's own says so.
    """
    aside = order.plan.set_aside if order.plan else ()
    too_late = tuple(entry.drink for entry in aside if entry.reason == NO_TIME)
    return replace(snapshot_of(state, order.moment), too_late=too_late)


def shifted(plan: Plan, from_moment: datetime, to_moment: datetime) -> Plan:
    """Give a plan with its seconds counted from another moment."""
    return moved(plan, seconds_from(to_moment, from_moment))


def _ticket(
    state: BarState, ticket: TicketRecord, now: datetime, overtakes: dict[str, int]
) -> Ticket:
    lines: list[Line] = []
    at: dict[str, int] = {}
    drinks = []
    for record in state.drinks_of(ticket):
        if record.state is DrinkState.VOID:
            continue
        if record.line not in at:
            line = ticket.line_of(record.line).line
            if line is None:
                continue
            at[record.line] = len(lines)
            lines.append(line)
        # A clock that jumped back must not make a drink in the future.
        made_s = min(0.0, seconds_from(now, record.made_at)) if record.made_at else None
        drinks.append(Drink(id=record.id, line=at[record.line], made_s=made_s))
    return Ticket(
        id=ticket.id,
        number=ticket.number,
        channel=ticket.channel,
        placed_s=min(0.0, seconds_from(now, ticket.placed_at)),
        promise_s=ticket.promise_s,
        lines=tuple(lines),
        drinks=tuple(drinks),
        place=ticket.place,
        server=ticket.server,
        weight=ticket.weight,
        overtaken=overtakes.get(ticket.id, 0),
        is_on_hold=ticket.is_on_hold,
    )


def _overtakes(state: BarState) -> dict[str, int]:
    """Count, for each open round, the later rounds of its channel that are made already."""
    rounds = list(state.open_tickets())
    if not rounds:
        return {}
    return overtakes(
        {ticket.id: (ticket.channel, ticket.placed_at.timestamp()) for ticket in rounds},
        state.index.whole,
    )


def _in_hand(build: BuildRecord, present: set[str], now: datetime) -> InHand:
    drinks = tuple(drink for drink in build.drinks if drink in present)
    return InHand(
        build=build.id,
        person=build.person,
        drinks=drinks,
        blocks=tuple(
            BlockRun(
                index=stretch.index,
                person=stretch.person,
                start_s=seconds_from(now, stretch.started_at),
                is_done=stretch.ended_at is not None,
            )
            for stretch in build.stretches
        ),
        chilled_by_ice=tuple(drink for drink in build.chilled_by_ice if drink in drinks),
    )


def _pinned(state: BarState) -> tuple[Pinned, ...]:
    """Give the first planned build of each person in the order last shown, if it still waits."""

    def waits(name: str) -> bool:
        drink = state.drinks.get(name)
        return drink is not None and drink.state is DrinkState.WAITING

    return next_of(state.order.plan if state.order else None, waits)
