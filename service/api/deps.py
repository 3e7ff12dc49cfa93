"""What routes share: the floor, a bar's desk, and running a tap."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, Path, Request, Response

from service.desk import Ask, Desk, Replied
from service.floor import Floor
from service.night.state import BarState, Draft
from service.printing.room import PrintRoom
from service.taps.said import Said

from .answers import TapAnswer

JSON = "application/json"


def floor_of(request: Request) -> Floor:
    """Give all bars of this process."""
    found: Floor = request.app.state.floor
    return found


FloorDep = Annotated[Floor, Depends(floor_of)]


def desk_of(
    floor: FloorDep, bar: Annotated[str, Path(description="Id of a bar", max_length=64)]
) -> Desk:
    """Give the desk of the bar in the path."""
    return floor.desk(bar)


DeskDep = Annotated[Desk, Depends(desk_of)]


def print_room_of(request: Request) -> PrintRoom:
    """Give what takes the prints of all bars."""
    found: PrintRoom = request.app.state.print_room
    return found


PrintRoomDep = Annotated[PrintRoom, Depends(print_room_of)]


async def tap(desk: Desk, screen: str, action: Callable[[Draft], Said]) -> Response:
    """Run a tap: kept, planned, and answered with what was done."""
    ask: Ask[Said] = Ask(
        action=action,
        reply=tap_reply,
        said=lambda said: said.words,
        screen=screen,
        is_tap=True,
    )
    return answer(await desk.ask(ask))


def tap_reply(said: Said, state: BarState, tap_id: str) -> Replied:
    """Answer a tap with what was done."""
    found = TapAnswer(
        tap=tap_id,
        revision=state.revision,
        said=said.words,
        build=said.build or None,
        started=said.started or None,
        drinks=said.drinks,
    )
    return Replied(status=200, body=found.model_dump_json())


def answer(replied: Replied) -> Response:
    """Give what a desk replied over HTTP."""
    headers = {"Idempotency-Replayed": "true"} if replied.is_replay else None
    return Response(replied.body, replied.status, media_type=JSON, headers=headers)
