"""Tickets: placed, looked up, listed; taps on a whole round; the tray of unread lines."""

from __future__ import annotations

import asyncio
import hashlib
from typing import Annotated

from fastapi import APIRouter, Header, Path, Query, Response
from pydantic import AwareDatetime

from service.desk import Ask, Replied
from service.errors import BadRequest, BadTicket, NotFound
from service.floor import Floor
from service.naming import Poured
from service.night.records import TicketRecord
from service.night.state import BarState, Draft
from service.order.build_order import unread_of
from service.reading import CONFIRMED
from service.store import Kept
from service.taps import placing, rounds, tray

from .answers import TapAnswer, TicketAnswer, TicketList, UnreadTray
from .bodies import (
    HoldBody,
    LinesBody,
    PouredBody,
    ReasonBody,
    ResolveBody,
    TapBody,
    TicketBody,
    TicketState,
)
from .deps import DeskDep, FloorDep, answer, tap
from .known import kept_answer, ticket_answer
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}", tags=["tickets"], responses=PROBLEMS)

TicketId = Annotated[str, Path(max_length=80, description="Id of a ticket")]
LineId = Annotated[str, Path(max_length=80, description="Id of an unread line")]
LONGEST_KEY = 200
MOST_LISTED = 200


@router.post(
    "/tickets",
    status_code=201,
    response_model=TicketAnswer,
    responses={200: {"model": TicketAnswer, "description": "This ticket was known already"}},
)
async def post_ticket(
    desk: DeskDep,
    floor: FloorDep,
    body: TicketBody,
    idempotency_key: Annotated[
        str | None,
        Header(
            description="Required, 1 to 200 signs: the same key with the same ticket is answered "
            "the same and done once (draft-ietf-httpapi-idempotency-key-header-07, expired)"
        ),
    ] = None,
) -> Response:
    """Take a ticket in. Answered once it is kept and planned, with the time it is expected."""
    key = (idempotency_key or "").strip()
    if not 1 <= len(key) <= LONGEST_KEY:
        came = "no such header" if idempotency_key is None else f"one of {len(key)}"
        raise BadRequest(
            f"expected a header Idempotency-Key of 1 to {LONGEST_KEY} signs; came {came}: "
            "make one up for each ticket and send it again with a retry"
        )
    placed = placing.Placed(
        number=body.number.strip(),
        channel=body.channel,
        lines=body.lines,
        placed_at=body.placed_at,
        business_day=body.business_day,
        till=body.till,
        place=body.place,
        server=body.server,
    )
    taken = _Taking(placed, floor)
    ask: Ask[TicketRecord] = Ask(
        action=taken.take,
        reply=lambda ticket, state, _tap: taken.reply(ticket, state),
        said=lambda ticket: f"{ticket.number} {ticket.channel.value}, {len(ticket.drinks)} drinks",
        name="ticket",
        key=f"tickets {key}",
        fingerprint=hashlib.sha256(body.model_dump_json().encode()).hexdigest(),
    )
    return answer(await desk.ask(ask))


class _Taking:
    """One ticket on its way in: what is found out on the way stands in the answer."""

    def __init__(self, placed: placing.Placed, floor: Floor) -> None:
        self.placed = placed
        self.floor = floor
        self.warnings: list[str] = []
        self.is_known = False
        self.kept: Kept | None = None

    def take(self, draft: Draft) -> TicketRecord:
        """Put the ticket on the rail, unless it is known already."""
        placing.refuse_quantities(self.placed)
        placed_at, self.warnings = placing.placed_time(
            self.placed, draft.now, self.floor.settings.skew_s
        )
        day = placing.business_day(self.placed, placed_at, draft.bar.timezone)
        if any(line.get(CONFIRMED) for line in self.placed.lines):
            self.warnings.append(
                f"{CONFIRMED} on a line is not taken from a till: a person at the bar confirms the "
                "drink"
            )
        number = self.placed.number
        before = self.floor.store.same_number(
            draft.bar.id, business_day=day, till=self.placed.till, number=number
        )
        same = [one for one in before if one.ticket.posted == list(self.placed.lines)]
        if not same:
            if before:
                self.warnings.append(
                    f"number {number} came before with other lines: both are kept; void one if it "
                    "is a correction"
                )
            return placing.place(draft, self.placed, placed_at=placed_at, day=day)
        known = same[0]
        self.is_known = True
        if known.ticket.id not in draft.tickets:
            # Of an earlier night and long closed: answered from the store, not taken up again.
            self.kept = known
        return known.ticket

    def reply(self, ticket: TicketRecord, state: BarState) -> Replied:
        """Answer with the ticket as it now is."""
        if self.kept is not None:
            found = kept_answer(state, self.kept, is_known=True, warnings=self.warnings)
        else:
            found = ticket_answer(
                state,
                state.tickets[ticket.id],
                is_known=self.is_known,
                warnings=self.warnings,
            )
        return Replied(status=200 if self.is_known else 201, body=found.model_dump_json())


@router.get("/tickets")
async def list_tickets(
    desk: DeskDep,
    floor: FloorDep,
    state: Annotated[TicketState, Query(description="open: still to be made; or all")] = "open",
    before: Annotated[
        AwareDatetime | None, Query(description="Only tickets placed before this")
    ] = None,
    limit: Annotated[int, Query(ge=1, le=MOST_LISTED)] = 50,
) -> TicketList:
    """List tickets, newest first."""
    now = desk.state
    if state == "open":
        opened = sorted(now.open_tickets(), key=lambda t: (t.placed_at, t.id), reverse=True)
        rows = [t for t in opened if before is None or t.placed_at < before]
        found = [ticket_answer(now, ticket) for ticket in rows[:limit]]
        is_more = len(rows) > limit
    else:
        kept = await asyncio.to_thread(floor.store.tickets, now.bar.id, before=before, limit=limit)
        found = [kept_answer(now, one) for one in kept]
        last = found[-1].placed_at if found else None
        older = await asyncio.to_thread(floor.store.tickets, now.bar.id, before=last, limit=1)
        is_more = bool(found and older)
    return TicketList(
        tickets=tuple(found), next_before=found[-1].placed_at if is_more and found else None
    )


@router.get("/tickets/{ticket}")
async def get_ticket(desk: DeskDep, floor: FloorDep, ticket: TicketId) -> TicketAnswer:
    """Give one ticket, however old."""
    state = desk.state
    if ticket in state.tickets:
        return ticket_answer(state, state.tickets[ticket])
    kept = await asyncio.to_thread(floor.store.ticket, state.bar.id, ticket)
    if kept is None:
        raise NotFound(f"expected the id of a ticket of {state.bar.id}; came {ticket!r}")
    return kept_answer(state, kept)


@router.post("/tickets/{ticket}/gone", response_model=TapAnswer)
async def gone(desk: DeskDep, ticket: TicketId, body: TapBody | None = None) -> Response:
    """The round left the bar."""
    asked = body or TapBody()
    return await tap(desk, asked.screen, lambda draft: rounds.gone(draft, ticket))


@router.post("/tickets/{ticket}/void", response_model=TapAnswer)
async def void(desk: DeskDep, ticket: TicketId, body: ReasonBody | None = None) -> Response:
    """Take the whole round off."""
    asked = body or ReasonBody()
    return await tap(desk, asked.screen, lambda draft: rounds.void(draft, ticket, asked.reason))


@router.post("/tickets/{ticket}/hold", response_model=TapAnswer)
async def hold(desk: DeskDep, ticket: TicketId, body: HoldBody | None = None) -> Response:
    """Hold the round back, or let it go on; drinks in hand are finished."""
    asked = body or HoldBody()
    return await tap(desk, asked.screen, lambda draft: rounds.hold(draft, ticket, on=asked.hold))


@router.post("/tickets/{ticket}/lines", response_model=TapAnswer)
async def lines(desk: DeskDep, ticket: TicketId, body: LinesBody) -> Response:
    """Add lines, change some, take some off; only drinks that wait are touched."""
    changes = [rounds.LineChange(line=one.line, to=one.to) for one in body.change]
    return await tap(
        desk,
        body.screen,
        lambda draft: rounds.change_lines(
            draft, ticket, add=body.add, change=changes, take_off=body.void
        ),
    )


@router.get("/unread")
async def get_unread(desk: DeskDep) -> UnreadTray:
    """Give the tray of unread lines."""
    return UnreadTray(unread=unread_of(desk.state))


def _means(body: ResolveBody) -> str | Poured:
    if isinstance(body.means, PouredBody):
        means = body.means
        return Poured(spirit=means.spirit, mixer=means.mixer, measure=means.measure)
    return body.means or ""


@router.post("/unread/{line}/resolve", response_model=TapAnswer)
async def resolve(desk: DeskDep, line: LineId, body: ResolveBody) -> Response:
    """Say what an unread line is, or drop it."""
    said = [name for name in ("to", "means", "drop") if getattr(body, name)]
    if len(said) != 1:
        raise BadTicket(
            "expected one of to (what the line is), means (what its word stands for) and drop: "
            f"true; came {' and '.join(said) or 'none'}",
            errors=[{"path": "/to", "detail": "one of to, means and drop"}],
        )
    answered = tray.Answered(
        to=body.to,
        means=_means(body),
        drop=body.drop,
        remember=body.remember,
        reason=body.reason,
    )
    return await tap(desk, body.screen, lambda draft: tray.resolve(draft, line, answered))
