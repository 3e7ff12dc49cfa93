"""A served bar for tests: the real application, a clock that tests move, the invented house."""

from __future__ import annotations

import asyncio
import itertools
import time
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import httpx
import pytest

from service.app import create_app
from service.files import SAMPLES, read_bar
from service.settings import Settings

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from service.files.bars import Bar
    from service.floor import Floor

BAR = "saltmarch"
FIRST_EVENING = datetime(2027, 2, 12, 21, 0, tzinfo=UTC)
FAST_MS = 40


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="session")
def saltmarch() -> Bar:
    return read_bar(SAMPLES / "bars" / "saltmarch.yaml")


@dataclass
class HandClock:
    """Wall time stands still until a test moves it; durations are real."""

    at: datetime = FIRST_EVENING

    def now(self) -> datetime:
        return self.at

    def monotonic(self) -> float:
        return time.monotonic()

    def advance(self, seconds: float) -> None:
        self.at += timedelta(seconds=seconds)


@dataclass
class Served:
    """A bar that answers, and short words for asking it."""

    client: httpx.AsyncClient
    clock: HandClock
    floor: Floor
    keys: itertools.count[int] = field(default_factory=itertools.count)

    async def post(self, path: str, body: Any = None, **headers: str) -> httpx.Response:
        return await self.client.post(f"/v1/bars/{BAR}{path}", json=body, headers=headers)

    async def put(self, path: str, body: Any) -> httpx.Response:
        return await self.client.put(f"/v1/bars/{BAR}{path}", json=body)

    async def get(self, path: str, **headers: str) -> httpx.Response:
        return await self.client.get(f"/v1/bars/{BAR}{path}", headers=headers)

    async def ticket(self, *lines: Any, **more: Any) -> dict[str, Any]:
        """Place a ticket; a line may be a recipe's id alone."""
        number = next(self.keys)
        body = {
            "number": str(100 + number),
            "channel": "floor",
            "lines": [{"recipe": line} if isinstance(line, str) else line for line in lines],
            **more,
        }
        answer = await self.post("/tickets", body, **{"Idempotency-Key": f"key {number}"})
        assert answer.status_code in (200, 201), answer.text
        return dict(answer.json())

    async def order(self) -> dict[str, Any]:
        answer = await self.get("/build-order")
        assert answer.status_code == 200, answer.text
        return dict(answer.json())

    async def done(self, path: str, body: Any = None) -> dict[str, Any]:
        """Tap, and expect it to be taken."""
        answer = await self.post(path, body)
        assert answer.status_code == 200, answer.text
        return dict(answer.json())

    async def settled(self) -> dict[str, Any]:
        """Wait until the search has nothing more to say, and give the order."""
        task = self.floor.tasks[BAR]
        desk = self.floor.desks[BAR]
        for _ in range(400):
            before = (task.figures.searches, desk.state.revision)
            await asyncio.sleep(FAST_MS / 1000 + 0.03)
            is_at_rest = not desk.dirty.is_set() and not task.is_searching
            if is_at_rest and before == (task.figures.searches, desk.state.revision):
                break
        return await self.order()


@asynccontextmanager
async def serving(
    database: Path, bar: Bar | None, clock: HandClock, *, is_warm: bool = True, **more: Any
) -> AsyncIterator[Served]:
    """Run the application, mostly with its planner ready, for as long as the block lasts."""
    settings = Settings(database=database, limit_ms=FAST_MS, tick_s=0.05, **more)
    app = create_app(settings, clock, told=(bar,) if bar is not None else ())
    async with app.router.lifespan_context(app):
        transport = httpx.ASGITransport(app=app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://bar") as client:
            for _ in range(1200):
                if app.state.floor.is_warm or not is_warm:
                    break
                await asyncio.sleep(0.1)
            yield Served(client=client, clock=clock, floor=app.state.floor)


@pytest.fixture
async def served(tmp_path: Path, saltmarch: Bar) -> AsyncIterator[Served]:
    async with serving(tmp_path / "night.db", saltmarch, HandClock()) as found:
        yield found


def here(order: dict[str, Any], bartender: str) -> dict[str, Any]:
    """The card of one bartender."""
    return next(card for card in order["bartenders"] if card["id"] == bartender)


def planned(order: dict[str, Any]) -> list[dict[str, Any]]:
    """Every planned build of an order: next ones and queues."""
    return [
        build
        for card in order["bartenders"]
        for build in ([card["next"]] if card["next"] else []) + card["then"]
    ]


def in_hand(order: dict[str, Any]) -> list[dict[str, Any]]:
    return [build for card in order["bartenders"] for build in card["now"]]
