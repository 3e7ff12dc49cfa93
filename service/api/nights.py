"""How nights went: the business days that are kept, and the figures of one from its real log."""

from __future__ import annotations

import asyncio
import hashlib
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Header, Query, Response

from service.files.bars import Bar
from service.manager.nights import NightFigures, bar_then, night_figures
from service.manager.records import RushRecord, RushState
from service.store import Store

from .deps import JSON, DeskDep, FloorDep
from .models import Said
from .order import matches
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}/nights", tags=["nights"], responses=PROBLEMS)

HONEST = (
    "Made times are taps. Where a tap closed several drinks, or none was tapped, the time is an "
    "estimate and counted as one; a tap that came late makes its drinks look later than they were. "
    "Hands are busy from the first tap of a build to its last; serving, clearing and talking to "
    "guests are not in the log."
)


class NightRow(Said):
    """A business day in a list."""

    business_day: str
    tickets: int


class NightList(Said):
    """The business days that are kept of a bar, newest first."""

    nights: tuple[NightRow, ...]


class EstimatesAnswer(Said):
    """How much of a night was really tapped."""

    made: int
    estimated: int
    share: float | None
    """Share of made times that are estimates; absent where nothing was made."""
    by_quarter: tuple[float | None, ...]


class ReplayRow(Said):
    """The newest rush that replays the night."""

    rush: str
    state: RushState
    said: str


class NightAnswer(Said):
    """How a night went, from its real log. People appear by station alone."""

    bar: str
    name: str
    business_day: str
    opens: str
    """Clock time at which the first quarter of an hour begins."""
    busiest: str
    """Clock time at which the busiest hour begins."""
    clocks: tuple[str, ...]
    tickets: int
    drinks: int
    unread: int
    still_open: int
    estimates: EstimatesAnswer
    honest: str
    """What the figures rest on, to be read beside them."""
    results: dict[str, Any]
    """The same figures as of one policy of a rush; of one night, so without intervals."""
    words: dict[str, str]
    """The names in it in the words of the bar."""
    replay: ReplayRow | None
    """Absent until somebody replayed the night: ``POST …/rushes`` with ``night``."""


@router.get("")
async def list_nights(
    desk: DeskDep, floor: FloorDep, limit: Annotated[int, Query(ge=1, le=400)] = 60
) -> NightList:
    """Give the business days that are kept, newest first."""
    found = await asyncio.to_thread(floor.store.nights, desk.state.bar.id, limit)
    return NightList(
        nights=tuple(NightRow(business_day=day, tickets=count) for day, count in found)
    )


@router.get(
    "/{day}",
    response_model=NightAnswer,
    responses={304: {"description": "Nothing changed since the ETag in If-None-Match"}},
)
async def get_night(
    desk: DeskDep,
    floor: FloorDep,
    day: date,
    if_none_match: Annotated[str | None, Header(max_length=1000)] = None,
) -> Response:
    """Give how a night went: against promise, and with what of it is an estimate."""
    bar = desk.state.bar
    figures = await asyncio.to_thread(_figures, floor.store, bar, day.isoformat())
    replays = [one for one in await floor.rushes.of(bar.id) if one.night == day.isoformat()]
    text = _answer(bar, day.isoformat(), figures, replays).model_dump_json().encode()
    etag = f'"{hashlib.sha256(text).hexdigest()[:24]}"'
    headers = {"ETag": etag, "Cache-Control": "no-cache"}
    if matches(if_none_match, etag):
        return Response(status_code=304, headers=headers)
    return Response(text, media_type=JSON, headers=headers)


def _figures(store: Store, bar: Bar, day: str) -> NightFigures:
    kept = store.night(bar.id, day)
    return night_figures(bar_then(store, bar, kept), kept, day)


def _answer(bar: Bar, day: str, figures: NightFigures, replays: list[RushRecord]) -> NightAnswer:
    newest = replays[0] if replays else None
    estimates = figures.estimates
    return NightAnswer(
        bar=bar.id,
        name=bar.name,
        business_day=day,
        opens=figures.opens,
        busiest=figures.busiest,
        clocks=figures.clocks,
        tickets=figures.tickets,
        drinks=figures.drinks,
        unread=figures.unread,
        still_open=figures.still_open,
        estimates=EstimatesAnswer(
            made=estimates.made,
            estimated=estimates.estimated,
            share=estimates.share,
            by_quarter=estimates.by_quarter,
        ),
        honest=HONEST,
        results=figures.results,
        words=figures.words,
        replay=ReplayRow(rush=newest.id, state=newest.state, said=newest.said) if newest else None,
    )
