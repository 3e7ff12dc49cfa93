"""Tills for tests: paper as bytes, and a bar that knows how they print."""

from __future__ import annotations

from contextlib import asynccontextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import httpx

from service.printing.house import Prints
from service.printing.profile import Profile
from tests.service.conftest import BAR, HandClock, Served, serving
from tests.service.process import free_port

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from service.files.bars import Bar

CUT = b"\x1dV\x00"
PROFILE = Profile(name="bar till", house=("Saltmarch House",))


def paper(number: int | str, *lines: str, mark: str = "", at: str = "21:00") -> bytes:
    """A ticket on paper, cut."""
    rows = ["Saltmarch House", f"Ticket {number}", f"Table 7    {at}", mark, *lines]
    return b"\x1b@" + "\n".join(row for row in rows if row).encode("cp437") + b"\n\n" + CUT


def with_prints(bar: Bar, **more: Any) -> Bar:
    """The bar with a print port that reads such paper."""
    told = Prints(**{"profile": PROFILE, "till": "bar", "listen": free_port(), **more})
    return replace(bar, prints=told)


@asynccontextmanager
async def printing(database: Path, bar: Bar, **more: Any) -> AsyncIterator[Served]:
    """Serve a bar whose till prints."""
    async with serving(database, with_prints(bar, **more), HandClock()) as served:
        yield served


async def post(served: Served, data: bytes) -> httpx.Response:
    """Post a print's bytes."""
    return await served.client.post(f"/v1/bars/{BAR}/prints", content=data)


async def one(served: Served, data: bytes) -> dict[str, Any]:
    """Post one print, and give what became of it."""
    answer = await post(served, data)
    assert answer.status_code in (201, 202), answer.text
    (found,) = answer.json()["prints"]
    return dict(found)


async def ticket_of(served: Served, found: dict[str, Any]) -> dict[str, Any]:
    """The ticket that a print made or changed."""
    answer = await served.get(f"/tickets/{found['ticket']}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def alerts(served: Served, kind: str) -> list[dict[str, Any]]:
    """The alerts of a kind that stand on the screens."""
    return [alert for alert in (await served.order())["alerts"] if alert["kind"] == kind]


def names(ticket: dict[str, Any], state: str = "waiting") -> list[str]:
    """Names of a ticket's drinks in a state."""
    return [drink["name"] for drink in ticket["drinks"] if drink["state"] == state]
