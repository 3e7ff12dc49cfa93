"""The bar's set-up as text: menu, counter and standards checked, told, listed and brought back."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Path, Response
from pydantic import Field

from service.desk import Ask, Desk, Replied
from service.errors import BadTicket, Conflict, NotFound
from service.files.bars import Bar
from service.files.documents import Fault
from service.files.parts import Checked, Part, check_part, part_text
from service.files.schemas import COUNTER, MENU, STANDARDS
from service.floor import Floor
from service.manager.changes import changes
from service.night.records import KeptVersion, WrittenText
from service.night.state import Draft
from service.taps.telling import tell

from .bodies import Body, Text
from .deps import JSON, DeskDep, FloorDep
from .models import Said, Utc
from .problems import PROBLEMS

router = APIRouter(prefix="/v1/bars/{bar}/setup/{part}", tags=["set-up"], responses=PROBLEMS)

LONGEST = 900_000
"""Signs of a text; a bar's file of a few hundred lines is some 30,000."""

SetupText = Annotated[str, Field(max_length=LONGEST)]
Version = Annotated[int, Path(ge=1, le=10_000_000)]


class CheckBody(Body):
    """A text to be looked at, and not told."""

    text: SetupText


class TellBody(Body):
    """A text to be told."""

    text: SetupText
    based_on: Annotated[int, Field(ge=0, le=10_000_000)] | None = None
    """The version it was written from: refused when another has come since. Absent: told anyway."""
    note: Text = ""
    """Why, for whoever looks at the versions later."""


class SetupFault(Said):
    """One thing wrong, or worth a word."""

    line: int | None
    """Counted from 1; absent for what stands in another part."""
    place: str
    said: str


class SetupCheck(Said):
    """What a text would do; nothing was changed."""

    faults: tuple[SetupFault, ...]
    """What keeps it from being told, in the order of lines."""
    warnings: tuple[SetupFault, ...]
    """What is allowed and means that some drinks are set aside."""
    changes: tuple[str, ...]
    not_now: str
    """Why it cannot be told at this moment although it is right; empty when it can."""


class SetupAnswer(Said):
    """A part of the set-up as text."""

    bar: str
    part: Part
    version: int
    since: Utc
    note: str
    is_present: bool
    is_as_written: bool
    """The very text that somebody wrote; else it was written out from what was told."""
    text: str


class SetupVersion(Said):
    """One version of a part."""

    version: int
    since: Utc
    note: str
    is_present: bool


class SetupVersions(Said):
    """The versions kept of a part, newest first."""

    versions: tuple[SetupVersion, ...]


@router.get("")
async def get_setup(desk: DeskDep, floor: FloorDep, part: Part) -> SetupAnswer:
    """Give a part as it is told now: as somebody wrote it, or written out."""
    (newest, *_) = await _versions(floor, desk, part)
    return await _text_of(floor, desk, part, newest.version)


@router.post("/check")
async def check_setup(desk: DeskDep, floor: FloorDep, part: Part, body: CheckBody) -> SetupCheck:
    """Hold a text against the rest of the bar and change nothing: a dry run, made as one types."""
    return await asyncio.to_thread(_checked, desk, part, body.text, floor.clock.now())


@router.put("", response_model=SetupAnswer)
async def put_setup(desk: DeskDep, floor: FloorDep, part: Part, body: TellBody) -> Response:
    """Tell a part as text; the ones before it are kept."""
    newest = (await _versions(floor, desk, part))[0].version
    if body.based_on is not None and body.based_on != newest:
        raise Conflict(
            f"expected a text written from version {newest} of the {part.value}; this one was "
            f"written from version {body.based_on}: look at what changed since, then save again",
            state={"version": newest},
        )
    await _tell(desk, part, body.text, body.note)
    return await _present(floor, desk, part)


@router.get("/versions")
async def get_versions(desk: DeskDep, floor: FloorDep, part: Part) -> SetupVersions:
    """Give the versions kept of a part, newest first."""
    found = await _versions(floor, desk, part)
    return SetupVersions(
        versions=tuple(
            SetupVersion(
                version=one.version,
                since=one.since.astimezone(UTC),
                note=one.note,
                is_present=one is found[0],
            )
            for one in found
        )
    )


@router.get("/versions/{version}")
async def get_version(desk: DeskDep, floor: FloorDep, part: Part, version: Version) -> SetupAnswer:
    """Give one version as text."""
    return await _text_of(floor, desk, part, version)


@router.post("/versions/{version}/restore", response_model=SetupAnswer)
async def restore_version(desk: DeskDep, floor: FloorDep, part: Part, version: Version) -> Response:
    """Tell an old version anew; it becomes the newest, and nothing between is lost."""
    old = await _text_of(floor, desk, part, version)
    await _tell(desk, part, old.text, f"version {version} brought back")
    return await _present(floor, desk, part)


async def _versions(floor: Floor, desk: Desk, part: Part) -> list[KeptVersion]:
    return await asyncio.to_thread(floor.store.versions, desk.state.bar.id, part.value)


async def _present(floor: Floor, desk: Desk, part: Part) -> Response:
    newest = (await _versions(floor, desk, part))[0].version
    found = await _text_of(floor, desk, part, newest)
    return Response(found.model_dump_json(), media_type=JSON)


async def _text_of(floor: Floor, desk: Desk, part: Part, version: int) -> SetupAnswer:
    bar = desk.state.bar
    newest = (await _versions(floor, desk, part))[0].version
    kept = await asyncio.to_thread(floor.store.version, bar.id, part.value, version)
    if kept is None:
        raise NotFound(
            f"expected a version of the {part.value} from 1 to {newest}; came {version}: see "
            f"/v1/bars/{bar.id}/setup/{part.value}/versions"
        )
    text = kept.text or await asyncio.to_thread(_written_out, bar, kept)
    return SetupAnswer(
        bar=bar.id,
        part=part,
        version=version,
        since=kept.since.astimezone(UTC),
        note=kept.note,
        is_present=version == newest,
        is_as_written=bool(kept.text),
        text=text,
    )


def _written_out(bar: Bar, kept: KeptVersion) -> str:
    """Write a version out whose text nobody wrote."""
    part = Part(kept.part)
    told: Bar
    match part:
        case Part.MENU:
            told = replace(bar, menu=MENU.validate_json(kept.body))
        case Part.COUNTER:
            told = replace(bar, counter=COUNTER.validate_json(kept.body))
        case Part.STANDARDS:
            told = replace(bar, standards=STANDARDS.validate_json(kept.body))
    return part_text(told, part)


async def _tell(desk: Desk, part: Part, text: str, note: str) -> None:
    def action(draft: Draft) -> Bar:
        checked = check_part(draft.bar, part, text)
        if checked.bar is None:
            raise _refused(part, checked)
        draft.texts.append(WrittenText(part=part.value, text=text, note=note))
        return tell(draft, checked.bar)

    ask: Ask[Bar] = Ask(
        action=action,
        reply=lambda _bar, _state, _tap: Replied(status=200, body=""),
        name="tell",
    )
    await desk.ask(ask)


def _checked(desk: Desk, part: Part, text: str, now: datetime) -> SetupCheck:
    state = desk.state
    checked = check_part(state.bar, part, text)
    not_now = ""
    differs: tuple[str, ...] = ()
    if checked.bar is not None:
        differs = changes(state.bar, checked.bar, part)
        try:
            tell(Draft(state, now), checked.bar)
        except Conflict as error:
            not_now = error.detail
    return SetupCheck(
        faults=tuple(_fault(fault) for fault in checked.faults),
        warnings=tuple(_fault(fault) for fault in checked.warnings),
        changes=differs,
        not_now=not_now,
    )


def _fault(fault: Fault) -> SetupFault:
    return SetupFault(line=fault.line, place=fault.place, said=fault.said)


def _refused(part: Part, checked: Checked) -> BadTicket:
    first, *more = checked.faults
    words = f" (and {len(more)} more)" if more else ""
    return BadTicket(
        f"{first}{words}",
        errors=[
            {"path": "/text", "line": str(fault.line or ""), "detail": str(fault)}
            for fault in checked.faults[:50]
        ],
        state={"part": part.value},
    )
