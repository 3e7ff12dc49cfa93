"""Bars: told as a whole, or menu and counter by themselves; YAML or JSON, versions kept."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response

from service.desk import Ask, Desk, Replied
from service.files.bars import Bar, warnings_of
from service.files.bodies import bar_from, counter_from, document, menu_from
from service.files.schemas import COUNTER, MENU
from service.floor import Floor
from service.night.state import BarState
from service.taps.telling import tell

from .answers import BarAnswer, BarList
from .deps import JSON, DeskDep, FloorDep, answer
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars", tags=["bars"], responses=PROBLEMS)

YAML = "application/yaml"


def _takes(what: str) -> dict[str, Any]:
    """Describe a body that is JSON or YAML."""
    schema = {
        "type": "object",
        "description": f"{what}, as in a bar's file; a wrong place is named with its path",
    }
    return {
        "requestBody": {
            "required": True,
            "content": {JSON: {"schema": schema}, YAML: {"schema": schema}},
        }
    }


@router.get("")
async def list_bars(floor: FloorDep) -> BarList:
    """Give the bars this service knows."""
    found = [await _bar_answer(floor, desk.state) for desk in floor.desks.values()]
    return BarList(bars=tuple(found))


@router.put(
    "/{bar}",
    response_model=BarAnswer,
    responses={201: {"model": BarAnswer, "description": "A new bar"}},
    openapi_extra=_takes("A whole bar: bar (id, name, timezone), counter, menu, standards"),
)
async def put_bar(
    request: Request,
    floor: FloorDep,
    bar: Annotated[str, Path(max_length=64, pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")],
) -> Response:
    """Tell a whole bar, new or known."""
    text = await request.body()
    data = await asyncio.to_thread(document, text, request.headers.get("content-type", ""))
    told = await asyncio.to_thread(bar_from, data, bar)
    if bar not in floor.desks:
        desk = await floor.add(told)
        found = await _bar_answer(floor, desk.state, told)
        return Response(found.model_dump_json(), 201, media_type=JSON)
    # A whole bar that says nothing of prints must not close its port in the middle of a night.
    return await _tell(
        *(floor, floor.desk(bar)),
        lambda before: told if "prints" in data else replace(told, prints=before.prints),
    )


@router.get("/{bar}")
async def get_bar(desk: DeskDep, floor: FloorDep) -> BarAnswer:
    """Give a bar's name, revision and versions, with what will be set aside there."""
    return await _bar_answer(floor, desk.state, desk.state.bar)


@router.get("/{bar}/menu", responses={200: {"content": {JSON: {"schema": {"type": "object"}}}}})
async def get_menu(desk: DeskDep) -> Response:
    """Give the menu as it was last told, without what is usual."""
    return Response(MENU.dump_json(desk.state.bar.menu, exclude_defaults=True), media_type=JSON)


@router.put("/{bar}/menu", response_model=BarAnswer, openapi_extra=_takes("A menu"))
async def put_menu(request: Request, desk: DeskDep, floor: FloorDep) -> Response:
    """Tell a new menu; the ones before it are kept."""
    text = await request.body()
    data = document(text, request.headers.get("content-type", ""))
    return await _tell(floor, desk, lambda bar: menu_from(data, bar))


@router.get("/{bar}/counter", responses={200: {"content": {JSON: {"schema": {"type": "object"}}}}})
async def get_counter(desk: DeskDep) -> Response:
    """Give the counter as it was last told, without what is usual."""
    counter = desk.state.bar.counter
    return Response(COUNTER.dump_json(counter, exclude_defaults=True), media_type=JSON)


@router.put("/{bar}/counter", response_model=BarAnswer, openapi_extra=_takes("A counter"))
async def put_counter(request: Request, desk: DeskDep, floor: FloorDep) -> Response:
    """Tell a new counter; the ones before it are kept."""
    text = await request.body()
    data = document(text, request.headers.get("content-type", ""))
    return await _tell(floor, desk, lambda bar: counter_from(data, bar))


async def _tell(floor: Floor, desk: Desk, change: Callable[[Bar], Bar]) -> Response:
    """Change what a bar was told, under the desk's lock, and answer with it."""
    ask: Ask[Bar] = Ask(
        action=lambda draft: tell(draft, change(draft.bar)),
        reply=lambda _bar, _state, _tap: Replied(status=200, body=""),
        name="tell",
    )
    await desk.ask(ask)
    found = await _bar_answer(floor, desk.state, desk.state.bar)
    return answer(Replied(status=200, body=found.model_dump_json()))


async def _bar_answer(floor: Floor, state: BarState, told: Bar | None = None) -> BarAnswer:
    bar = state.bar
    menus, counters = await asyncio.gather(
        asyncio.to_thread(floor.store.num_versions, bar.id, "menu"),
        asyncio.to_thread(floor.store.num_versions, bar.id, "counter"),
    )
    warnings = warnings_of(told.counter, told.menu) if told else []
    return BarAnswer(
        bar=bar.id,
        name=bar.name,
        timezone=bar.timezone,
        revision=state.revision,
        menu_versions=menus,
        counter_versions=counters,
        warnings=tuple(warning.words for warning in warnings),
    )
