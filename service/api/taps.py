"""Taps of hands and screens: builds, drinks, catching up, undo."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response

from service.desk import Ask
from service.night.records import TapRecord
from service.night.state import Draft
from service.taps import drinks, hands
from service.taps.said import Said
from service.taps.undo import undo as take_back

from .answers import TapAnswer
from .bodies import (
    CaughtUpBody,
    HandsBody,
    MadeBody,
    PutBackBody,
    ReasonBody,
    RemakeBody,
    TapBody,
    UndoBody,
)
from .deps import DeskDep, FloorDep, answer, tap, tap_reply
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}", tags=["taps"], responses=PROBLEMS)

BuildId = Annotated[str, Path(max_length=80, description="Id of a build the order showed")]
DrinkId = Annotated[str, Path(max_length=80, description="Id of a drink")]


@router.post("/builds/{build}/start", response_model=TapAnswer)
async def start(desk: DeskDep, build: BuildId, body: HandsBody | None = None) -> Response:
    """Begin a build. Succeeds while all its drinks still wait, also when the order has moved on."""
    asked = body or HandsBody()
    return await tap(desk, asked.screen, lambda draft: hands.start(draft, build, asked.bartender))


@router.post("/builds/{build}/made", response_model=TapAnswer)
async def made(desk: DeskDep, build: BuildId, body: MadeBody | None = None) -> Response:
    """The build is made; what comes next for these hands begins with the same tap.

    Where something still runs by itself (a stout that settles), the build stays in hand until it
    is made once more. Also right for a build nobody tapped started.
    """
    asked = body or MadeBody()
    return await tap(
        desk,
        asked.screen,
        lambda draft: hands.made(draft, build, asked.bartender, start_next=asked.start_next),
    )


@router.post("/builds/{build}/put-back", response_model=TapAnswer)
async def put_back(desk: DeskDep, build: BuildId, body: PutBackBody | None = None) -> Response:
    """Put a build back: without loss before ice is in; afterwards only with ``loss``."""
    asked = body or PutBackBody()
    return await tap(
        desk,
        asked.screen,
        lambda draft: hands.put_back(draft, build, loss=asked.loss, reason=asked.reason),
    )


@router.post("/drinks/{drink}/void", response_model=TapAnswer)
async def void(desk: DeskDep, drink: DrinkId, body: ReasonBody | None = None) -> Response:
    """Take a drink off. A refusal to serve is a void; no reason has to be given."""
    asked = body or ReasonBody()
    return await tap(desk, asked.screen, lambda draft: drinks.void(draft, drink, asked.reason))


@router.post("/drinks/{drink}/remake", response_model=TapAnswer)
async def remake(desk: DeskDep, drink: DrinkId, body: RemakeBody) -> Response:
    """Bin a drink and have it made again; the reason is kept."""
    return await tap(desk, body.screen, lambda draft: drinks.remake(draft, drink, body.reason))


@router.post("/drinks/{drink}/gone", response_model=TapAnswer)
async def gone(desk: DeskDep, drink: DrinkId, body: TapBody | None = None) -> Response:
    """The drink left the bar."""
    asked = body or TapBody()
    return await tap(desk, asked.screen, lambda draft: drinks.gone(draft, drink))


@router.post("/drinks/{drink}/already-made", response_model=TapAnswer)
async def already_made(desk: DeskDep, drink: DrinkId, body: TapBody | None = None) -> Response:
    """The drink is made, whatever the plan says."""
    asked = body or TapBody()
    return await tap(desk, asked.screen, lambda draft: drinks.already_made(draft, drink))


@router.post("/drinks/{drink}/confirm", response_model=TapAnswer)
async def confirm(desk: DeskDep, drink: DrinkId, body: TapBody | None = None) -> Response:
    """A person has asked the guest: the noted allergen that is in the drink itself is wanted."""
    asked = body or TapBody()
    return await tap(desk, asked.screen, lambda draft: drinks.confirm(draft, drink))


@router.post("/caught-up", response_model=TapAnswer)
async def caught_up(desk: DeskDep, body: CaughtUpBody | None = None) -> Response:
    """Everything up to here is made: what is in hand, and the order up to a build."""
    asked = body or CaughtUpBody()
    return await tap(
        desk, asked.screen, lambda draft: hands.caught_up(draft, asked.bartender, asked.up_to)
    )


@router.post("/undo", response_model=TapAnswer)
async def undo(desk: DeskDep, floor: FloorDep, body: UndoBody | None = None) -> Response:
    """Take back the last tap of a screen; once more takes back the one before it."""
    screen = body.screen if body else ""
    bar = desk.state.bar.id

    def action(draft: Draft) -> tuple[Said, TapRecord]:
        return take_back(draft, floor.store.last_tap(bar, screen), screen)

    ask: Ask[tuple[Said, TapRecord]] = Ask(
        action=action,
        reply=lambda result, state, tap_id: tap_reply(result[0], state, tap_id),
        undone=lambda result: result[1],
        said=lambda result: result[0].words,
        name="undo",
    )
    return answer(await desk.ask(ask))
