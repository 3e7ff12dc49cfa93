"""What the bar has and what happens to it: stock and events."""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated

from fastapi import APIRouter, Path, Response

from service.night.marks import shortages
from service.night.state import BarState
from service.taps.events import happen
from service.taps.stock import set_stock

from .answers import StockList, StockRow, TapAnswer
from .bodies import EventBody, StockBody
from .deps import DeskDep, FloorDep, tap
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}", tags=["stock and events"], responses=PROBLEMS)


@router.put("/stock/{ingredient}", response_model=TapAnswer)
async def put_stock(
    desk: DeskDep, ingredient: Annotated[str, Path(max_length=64)], body: StockBody
) -> Response:
    """Set what the bar has of an ingredient: bottle out, a number left, 86, or back."""
    return await tap(
        desk,
        body.screen,
        lambda draft: set_stock(
            draft, ingredient, body.state, minutes=body.minutes, left=body.left
        ),
    )


@router.get("/stock")
async def get_stock(desk: DeskDep, floor: FloorDep) -> StockList:
    """Give everything that is short now."""
    state, now = desk.state, floor.clock.now()
    return StockList(
        short=tuple(
            StockRow(
                ingredient=short.ingredient,
                name=_name(state, short.ingredient),
                state="bottle_out"
                if short.back_s is not None
                else ("left" if short.left else "86"),
                left=short.left,
                back_at=None if short.back_s is None else now + timedelta(seconds=short.back_s),
            )
            for short in shortages(state, now)
        )
    )


@router.post("/events", response_model=TapAnswer)
async def post_event(desk: DeskDep, body: EventBody) -> Response:
    """Say what happened: glass in a well, keg blown, people and vessels off and back, flame."""
    return await tap(desk, body.screen, lambda draft: happen(draft, body.what_happened))


def _name(state: BarState, ingredient: str) -> str:
    return state.bar.menu.ingredient(ingredient).name
