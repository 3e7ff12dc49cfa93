"""The build order: read, waited for, streamed, and explained."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Depends, Header, Path, Query, Response
from fastapi.sse import EventSourceResponse, ServerSentEvent

from service.desk import Desk
from service.errors import NotFound, did_you_mean
from service.order.why import why_answer

from .answers import WhyAnswer
from .deps import JSON, DeskDep, FloorDep
from .models import BuildOrder, Moved
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}/build-order", tags=["build order"], responses=PROBLEMS)

LONGEST_WAIT_S = 60


def bartender_of(
    desk: DeskDep,
    bartender: Annotated[
        str, Query(max_length=64, description="Only this bartender's builds; all without it")
    ] = "",
) -> str:
    """Give the bartender asked for, empty for all, or say 404 with those there are."""
    known = desk.state.bar.counter.by_person
    if bartender and bartender not in known:
        raise NotFound(
            f"expected a bartender of the counter ({', '.join(known)}); came {bartender!r}"
            f"{did_you_mean(bartender, known)}"
        )
    return bartender


BartenderDep = Annotated[str, Depends(bartender_of)]


@router.get(
    "",
    response_model=BuildOrder,
    responses={304: {"description": "Nothing changed since the ETag in If-None-Match"}},
)
async def get_order(
    desk: DeskDep,
    bartender: BartenderDep,
    wait_s: Annotated[
        float,
        Query(
            ge=0,
            le=LONGEST_WAIT_S,
            allow_inf_nan=False,
            description="With If-None-Match: hold the answer this long until something changes",
        ),
    ] = 0,
    if_none_match: Annotated[str | None, Header(max_length=1000)] = None,
) -> Response:
    """Give the build order. Its ETag covers every byte; ``revision`` counts in the body too."""
    revision = desk.state.revision
    body, etag = await written(desk, bartender)
    if matches(if_none_match, etag) and wait_s:
        await desk.wait_for_change(revision, wait_s)
        body, etag = await written(desk, bartender)
    headers = {"ETag": etag, "Cache-Control": "no-cache"}
    if matches(if_none_match, etag):
        return Response(status_code=304, headers=headers)
    return Response(body, media_type=JSON, headers=headers)


@router.get("/stream", response_class=EventSourceResponse)
async def stream(
    desk: DeskDep,
    floor: FloorDep,
    bartender: BartenderDep,
    last_event_id: Annotated[str | None, Header(max_length=200)] = None,
) -> AsyncIterator[ServerSentEvent]:
    """Tell of every change as server-sent events ``order`` with epoch and revision.

    The screen then fetches the order with If-None-Match: a lost event does no harm. The first
    event comes at once, unless Last-Event-ID says that the screen is up to date.
    """
    floor.num_streams += 1
    try:
        seen = last_event_id
        while not desk.is_stopping:
            state = desk.state
            name = f"{state.epoch}-{state.revision}"
            if name != seen:
                seen = name
                moved = Moved(epoch=state.epoch, revision=state.revision, bartender=bartender)
                yield ServerSentEvent(event="order", id=name, data=moved.model_dump())
            await desk.wait_for_change(state.revision, LONGEST_WAIT_S)
    finally:
        floor.num_streams -= 1


@router.get("/{build}/why")
async def get_why(
    desk: DeskDep, build: Annotated[str, Path(description="Id of a build", max_length=64)]
) -> WhyAnswer:
    """Say why these drinks together, and which rounds end sooner or later for it."""
    return await asyncio.to_thread(why_answer, desk.state, build)


async def written(desk: Desk, bartender: str) -> tuple[bytes, str]:
    """Give the order's bytes and ETag; written out in a thread, once a revision."""
    shown = desk.shown
    if shown.is_written(bartender):
        return shown.body(bartender)
    return await asyncio.to_thread(desk.write_out, shown, bartender)


def matches(if_none_match: str | None, etag: str) -> bool:
    """Compare weakly, as RFC 9110 section 13.1.2 asks for."""
    if if_none_match is None:
        return False
    tags = [tag.strip().removeprefix("W/") for tag in if_none_match.split(",")]
    return "*" in tags or etag in tags
