"""Simulated rushes: started, watched while they run, read when they are done, cancelled."""

from __future__ import annotations

import asyncio
import hashlib
import json
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Header, Path, Response
from pydantic import Field, WithJsonSchema

from service.manager.asking import RushAsked, told_rush, usual
from service.manager.nights import bar_then
from service.manager.past import replay_of
from service.manager.records import RushRecord, RushState
from service.manager.task import task_of
from solver.rush.scenario import Policy

from .bodies import Body
from .deps import JSON, DeskDep, FloorDep
from .models import Said, Utc
from .order import matches
from .problems import PROBLEMS

router = APIRouter(prefix="/v1", tags=["rushes"], responses=PROBLEMS)

MOST_NIGHTS = 400
LONGEST_S = 1800.0
SCENARIO = {
    "type": "object",
    "description": "What differs from this house's usual Friday: doors, last_orders, guests "
    "(drinks_an_hour, scale, crowds), shifts with breaks, barbacks, troubles, supplies, … as in "
    "a scenario's file, without its bar. Empty: a usual Friday.",
    "default": {},
    "examples": [{"name": "a fuller Friday", "guests": {"scale": 1.2}}],
}


class RushBody(Body):
    """A rush to be simulated."""

    scenario: Annotated[dict[str, Any], WithJsonSchema(SCENARIO)] = Field(default_factory=dict)
    night: date | None = None
    """A business day: its own tickets are replayed instead of guests that are drawn."""
    policies: Annotated[tuple[Policy, ...], Field(min_length=1, max_length=4)] = (
        Policy.LIVE,
        Policy.LOOK_AHEAD,
    )
    """Who says what is made next; the first is compared with the others."""
    nights: Annotated[int, Field(ge=1, le=MOST_NIGHTS)] = 20
    """How many nights of each; with `within_s`, the first ones, which say how many are needed."""
    within_s: Annotated[float, Field(gt=0, le=600, allow_inf_nan=False)] | None = None
    """Go on until the 95% interval is this narrow to either side, or the time is up."""
    limit_s: Annotated[float, Field(ge=1, le=LONGEST_S, allow_inf_nan=False)] = 300.0
    """Seconds it may take; what is whole by then is given."""
    seed: Annotated[int, Field(ge=0, lt=2**32)] = 1
    what_if: Policy | None = None
    """Rank single changes (one more bartender, another tin set, …) as this policy works."""
    rota: Policy | None = None
    """Look for the fewest bartenders and barbacks by quarter of an hour, as this policy works."""


class RushAnswer(Said):
    """A rush as it stands."""

    rush: str
    bar: str
    name: str
    state: RushState
    said: str
    """How it stands or why it ended, in words."""
    night: str
    """The business day it replays; empty for drawn guests."""
    asked: dict[str, Any]
    told_at: Utc
    begun_at: Utc | None
    ended_at: Utc | None
    progress: dict[str, Any] | None
    """Nights done and to be done, and the running interval of each figure that is watched.

    An interval that is watched while it runs is narrower than honest: those in `results` count.
    """
    results: dict[str, Any] | None
    """Every figure with its 95% interval. It covers chance, not wrong standards.

    `note` says so, and of a run that was cancelled that its intervals are narrower than honest.
    """


class RushRow(Said):
    """A rush in a list."""

    rush: str
    name: str
    state: RushState
    said: str
    night: str
    told_at: Utc


class RushList(Said):
    """The rushes kept of a bar, newest first."""

    rushes: tuple[RushRow, ...]


RushId = Annotated[str, Path(max_length=64, description="Id of a rush")]


@router.post(
    "/bars/{bar}/rushes",
    status_code=202,
    response_model=RushAnswer,
    responses={202: {"headers": {"Location": {"schema": {"type": "string"}}}}},
)
async def start_rush(desk: DeskDep, floor: FloorDep, body: RushBody) -> Response:
    """Start a rush in a process of its own: 202, and where to look. One at a time a bar."""
    bar = desk.state.bar
    asked = RushAsked(
        scenario=body.scenario,
        policies=tuple(dict.fromkeys(body.policies)),
        nights=body.nights,
        within_s=body.within_s,
        limit_s=body.limit_s,
        seed=body.seed,
        what_if=body.what_if,
        rota=body.rota,
    )
    night = body.night.isoformat() if body.night else ""
    if night:
        kept = await asyncio.to_thread(floor.store.night, bar.id, night)
        house = await asyncio.to_thread(bar_then, floor.store, bar, kept)
        rush = await asyncio.to_thread(replay_of, house, kept, night)
    else:
        rush = await asyncio.to_thread(told_rush, bar, asked)
    task = await asyncio.to_thread(task_of, rush, asked)
    record = await floor.rushes.start(
        bar.id,
        task,
        name=rush.scenario.name,
        asked=body.model_dump(mode="json", exclude_unset=True),
        night=night,
    )
    headers = {"Location": f"/v1/rushes/{record.id}"}
    return Response(_answer(record).model_dump_json(), 202, headers, media_type=JSON)


@router.get(
    "/bars/{bar}/rushes/usual",
    responses={200: {"content": {JSON: {"schema": {"type": "object"}}}}},
)
async def usual_rush(desk: DeskDep) -> Response:
    """Give a usual Friday of this bar with everything written out, to be changed and posted."""
    return Response(json.dumps(usual(desk.state.bar)), media_type=JSON)


@router.get("/bars/{bar}/rushes")
async def list_rushes(desk: DeskDep, floor: FloorDep) -> RushList:
    """Give the rushes kept of a bar, newest first."""
    found = await floor.rushes.of(desk.state.bar.id)
    return RushList(
        rushes=tuple(
            RushRow(
                rush=one.id,
                name=one.name,
                state=one.state,
                said=one.said,
                night=one.night,
                told_at=one.told_at,
            )
            for one in found
        )
    )


@router.get(
    "/rushes/{rush}",
    response_model=RushAnswer,
    responses={304: {"description": "Nothing changed since the ETag in If-None-Match"}},
)
async def get_rush(
    floor: FloorDep,
    rush: RushId,
    if_none_match: Annotated[str | None, Header(max_length=1000)] = None,
) -> Response:
    """Give a rush as it stands: progress with its running interval, then the results."""
    record = await floor.rushes.get(rush)
    text, etag = await asyncio.to_thread(_written, record)
    headers = {"ETag": etag, "Cache-Control": "no-cache"}
    if matches(if_none_match, etag):
        return Response(status_code=304, headers=headers)
    return Response(text, media_type=JSON, headers=headers)


@router.delete("/rushes/{rush}", response_model=RushAnswer)
async def cancel_rush(floor: FloorDep, rush: RushId) -> Response:
    """Cancel a rush; nights that are whole by then are kept."""
    record = await floor.rushes.cancel(rush)
    return Response(_answer(record).model_dump_json(), media_type=JSON)


def _written(record: RushRecord) -> tuple[bytes, str]:
    text = _answer(record).model_dump_json().encode()
    return text, f'"{hashlib.sha256(text).hexdigest()[:24]}"'


def _answer(record: RushRecord) -> RushAnswer:
    return RushAnswer(
        rush=record.id,
        bar=record.bar,
        name=record.name,
        state=record.state,
        said=record.said,
        night=record.night,
        asked=record.asked,
        told_at=record.told_at,
        begun_at=record.begun_at,
        ended_at=record.ended_at,
        progress=record.progress,
        results=record.results,
    )
