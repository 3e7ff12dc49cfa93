"""A ticket comes in: read, kept, put on the rail. What a till cannot ask again is never lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from service.errors import BadTicket, pointer
from service.night.aliases import aliases_of
from service.night.hours import business_date
from service.night.ids import new_id
from service.night.records import MarkKind, TicketRecord
from service.night.state import Draft
from service.reading import quantity_fault, read_line
from solver.tickets import LARGEST_QUANTITY, Channel

from .rounds import open_line, with_promise

"""A business day goes on until this hour of the next morning; common practice."""

OLDEST_H = 48
"""A ticket may come late, after a cable was put back; not days late."""

MOST_DRINKS = 4 * LARGEST_QUANTITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A ticket as a till sent it, before its lines are read."""

    number: str
    channel: Channel
    lines: Sequence[Mapping[str, Any]]
    placed_at: datetime | None = None
    business_day: date | None = None
    till: str = ""
    place: str = ""
    server: str = ""


def placed_time(placed: Placed, now: datetime, skew_s: float) -> tuple[datetime, list[str]]:
    """Give when a ticket was placed; a little in the future is a clock that runs ahead.

    Raises
    ------
    BadTicket
        When it is further in the future than clocks drift, or days old.
    """
    at = placed.placed_at or now
    ahead_s = (at - now).total_seconds()
    if ahead_s < -OLDEST_H * 3600:
        raise BadTicket(
            f"expected placed_at within the last {OLDEST_H} hours; came {at.isoformat()}: correct "
            "the till's clock and send it again",
            errors=[{"path": "/placed_at", "detail": "too long ago"}],
        )
    if ahead_s <= 0:
        return at.astimezone(now.tzinfo), []
    if ahead_s <= skew_s:
        return now, [
            f"placed_at was {round(ahead_s)} seconds in the future and is taken as now: "
            "set the till's clock"
        ]
    raise BadTicket(
        f"expected placed_at up to now ({now:%Y-%m-%dT%H:%M:%SZ}); came {at.isoformat()}, "
        f"{round(ahead_s / 60)} minutes ahead: correct the till's clock and send it again",
        errors=[{"path": "/placed_at", "detail": "in the future"}],
    )


def business_day(placed: Placed, placed_at: datetime, timezone: str) -> str:
    """Give the business day a ticket belongs to: the till's word, else by the bar's clock."""
    if placed.business_day is not None:
        return placed.business_day.isoformat()
    return business_date(placed_at, timezone).isoformat()


def refuse_quantities(placed: Placed) -> None:
    """Refuse a ticket with a line of none, of hundreds, or of no number at all."""
    faults = []
    total = 0
    for position, raw in enumerate(placed.lines):
        quantity = raw.get("quantity", 1)
        if fault := quantity_fault(quantity):
            faults.append({"path": pointer(("lines", position, "quantity")), "detail": fault})
        else:
            total += quantity
    if faults:
        raise BadTicket(faults[0]["detail"], errors=faults)
    if total > MOST_DRINKS:
        raise BadTicket(
            f"expected at most {MOST_DRINKS} drinks on a ticket; came {total}; split it",
            errors=[{"path": "/lines", "detail": f"{total} drinks"}],
        )


def place(draft: Draft, placed: Placed, *, placed_at: datetime, day: str) -> TicketRecord:
    """Put a ticket on the rail, unread lines in the tray."""
    aliases = aliases_of(draft.marks_of(MarkKind.ALIAS))
    ticket_id = new_id("t", draft.now)
    lines = tuple(
        read_line(
            draft.bar.menu,
            f"{ticket_id}-l{position}",
            raw,
            raw.get("quantity", 1),
            aliases=aliases,
        )
        for position, raw in enumerate(placed.lines)
    )
    ticket = TicketRecord(
        id=ticket_id,
        number=placed.number,
        channel=placed.channel,
        placed_at=placed_at,
        received_at=draft.now,
        business_day=day,
        promise_s=1,
        lines=lines,
        till=placed.till,
        place=placed.place,
        server=placed.server,
        num_posted=len(lines),
    )
    return put_on_rail(draft, ticket)


def put_on_rail(draft: Draft, ticket: TicketRecord) -> TicketRecord:
    """Put a ticket whose lines are read on the rail, each of its drinks waiting."""
    draft.put(with_promise(draft, ticket))
    for line in ticket.lines:
        open_line(draft, ticket.id, line)
    return draft.tickets[ticket.id]
