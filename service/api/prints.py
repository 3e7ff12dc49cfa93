"""Prints: posted as raw bytes, listed with what became of them; alerts that are tapped away."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response
from pydantic import AwareDatetime

from service.desk import Desk, Replied
from service.errors import BadRequest, Conflict, NotFound
from service.floor import Floor
from service.night.prints import Became, PrintRecord
from service.taps import notes

from .answers import PrintAnswer, PrintList, PrintsTaken, TapAnswer
from .bodies import TapBody
from .deps import DeskDep, FloorDep, PrintRoomDep, answer, tap
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}", tags=["prints"], responses=PROBLEMS)

BYTES = "application/octet-stream"
FOR_A_PERSON = (Became.UNREAD, Became.INCOMPLETE, Became.PICTURE, Became.TOO_LONG)
TAKEABLE = (Became.UNREAD, Became.INCOMPLETE, Became.TOO_LONG)
MOST_LISTED = 200

PrintId = Annotated[str, Path(max_length=80, description="Id of a print")]


@router.post(
    "/prints",
    status_code=201,
    response_model=PrintsTaken,
    responses={202: {"model": PrintsTaken, "description": "Kept; a person has to look at it"}},
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {BYTES: {"schema": {"type": "string", "format": "binary"}}},
        }
    },
)
async def post_prints(desk: DeskDep, room: PrintRoomDep, request: Request) -> Response:
    """Take what a till sends to a printer, byte for byte, as the print port does."""
    data = await request.body()
    if not data:
        raise BadRequest(
            "expected the bytes that a till sends to its printer; came none: post them as they "
            f"are, as {BYTES}"
        )
    records = await room.post(desk, data, "http")
    found = _taken(desk, [record for record in records if record.became is not Became.EMPTY])
    is_for_a_person = any(record.became in FOR_A_PERSON for record in records)
    return answer(Replied(status=202 if is_for_a_person else 201, body=found.model_dump_json()))


@router.get("/prints")
async def list_prints(
    desk: DeskDep,
    floor: FloorDep,
    room: PrintRoomDep,
    before: Annotated[
        AwareDatetime | None, Query(description="Only prints received before this")
    ] = None,
    limit: Annotated[int, Query(ge=1, le=MOST_LISTED)] = 50,
) -> PrintList:
    """List prints, newest first, with what became of each."""
    bar = desk.state.bar.id
    rows = await asyncio.to_thread(floor.store.prints, bar, before=before, limit=limit)
    last = rows[-1].received_at if rows else None
    older = await asyncio.to_thread(floor.store.prints, bar, before=last, limit=1)
    return PrintList(
        prints=tuple(map(_answer, rows)),
        next_before=last if older else None,
        port=room.listening(bar),
        waiting_for_printer=room.waiting_for_printer(bar),
        not_passed_on=room.not_passed_on(bar),
    )


@router.get("/prints/{found}")
async def get_print(desk: DeskDep, floor: FloorDep, found: PrintId) -> PrintAnswer:
    """Give one print: what stands on it, and what was read from it."""
    return _answer(await _print(desk, floor, found))


@router.post("/prints/{found}/take", response_model=PrintsTaken, status_code=201)
async def take_print(
    desk: DeskDep, floor: FloorDep, room: PrintRoomDep, found: PrintId
) -> Response:
    """Make a ticket of a print that broke off or was not read, by the profile as it is now."""
    record = await _print(desk, floor, found)
    if record.became not in TAKEABLE:
        raise Conflict(f"expected a print that is no ticket yet; this one is: {record.said}")
    taken = await room.take(desk, record)
    answered = _taken(desk, [taken])
    is_ticket = taken.became not in FOR_A_PERSON
    return answer(Replied(status=201 if is_ticket else 202, body=answered.model_dump_json()))


@router.post("/alerts/{alert}/seen", response_model=TapAnswer)
async def seen(
    desk: DeskDep, alert: Annotated[str, Path(max_length=64)], body: TapBody | None = None
) -> Response:
    """Somebody has seen an alert about a print, a number or a printer: it goes."""
    asked = body or TapBody()
    return await tap(desk, asked.screen, lambda draft: notes.seen(draft, alert))


async def _print(desk: Desk, floor: Floor, wanted: str) -> PrintRecord:
    bar = desk.state.bar.id
    record = await asyncio.to_thread(floor.store.print_of, bar, wanted)
    if record is None:
        raise NotFound(
            f"expected the id of a print of {bar}; came {wanted!r}: prints are deleted after "
            "some days"
        )
    return record


def _taken(desk: Desk, records: Sequence[PrintRecord]) -> PrintsTaken:
    return PrintsTaken(
        prints=tuple(map(_answer, records)),
        revision=desk.state.revision,
        said="; ".join(record.said for record in records) or "nothing was on the paper",
    )


def _answer(record: PrintRecord) -> PrintAnswer:
    return PrintAnswer(
        id=record.id,
        received_at=record.received_at,
        sender=record.sender,
        became=record.became.value,
        said=record.said,
        number=record.number,
        till=record.till,
        ticket=record.ticket or None,
        lines=record.lines,
        doubts=record.doubts,
        num_bytes=record.to_byte - record.from_byte,
    )
