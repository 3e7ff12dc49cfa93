"""Words that people at a bar said the meaning of: listed, and taken away."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Response

from service.naming import Meant
from service.night.aliases import alias_id, poured_of, stands_for, word_of
from service.night.records import Mark, MarkKind
from service.night.state import BarState
from service.taps import tray

from .answers import AliasAnswer, AliasList, TapAnswer
from .deps import DeskDep, tap
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}", tags=["aliases"], responses=PROBLEMS)


@router.get("/aliases")
async def list_aliases(desk: DeskDep) -> AliasList:
    """List what this bar has learned from its tray of unread lines."""
    state = desk.state
    marks = [mark for mark in state.marks.values() if mark.kind is MarkKind.ALIAS]
    marks.sort(key=lambda mark: (mark.since, mark.key))
    return AliasList(aliases=tuple(_answer(state, mark) for mark in marks))


@router.delete("/aliases/{alias}", response_model=TapAnswer)
async def delete_alias(desk: DeskDep, alias: Annotated[str, Path(max_length=64)]) -> Response:
    """Forget what a word stands for; lines that were read by it stay as they are."""
    return await tap(desk, "", lambda draft: tray.forget_alias(draft, alias))


def _answer(state: BarState, mark: Mark) -> AliasAnswer:
    meant, stands = Meant(mark.key.partition(" ")[0]), stands_for(mark)
    menu = state.bar.menu
    names = menu.by_recipe if meant is Meant.RECIPE else menu.by_ingredient
    known = names.get(stands)
    name = known.name if known is not None else None
    if meant is Meant.POURED:
        name = tray.poured_name(menu, poured_of(stands))
    return AliasAnswer(
        id=alias_id(mark),
        meant=meant.value,
        word=word_of(mark),
        stands_for=stands,
        name=name,
        since=mark.since,
    )
