"""Puts the service together: store, bars, routes, pages and errors into one application."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib import metadata
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from service.api.limit import BodyLimit
from service.api.problems import add_handlers, problem_schema
from service.files.bars import Bar
from service.printing.room import PrintRoom

from .api import (
    aliases,
    bars,
    health,
    nights,
    order,
    prints,
    rushes,
    setup,
    stock,
    taps,
    tickets,
)
from .clock import Clock, SystemClock
from .errors import Conflict
from .floor import Floor
from .settings import Settings
from .store import SqliteStore
from .web import mount

log = logging.getLogger("threedeep.app")

DESCRIPTION = """\
When the bar is three deep: what to make next, with what, and together with what.

Tickets in, a build order out. Every error is problem details (RFC 9457) in the words of the bar;
every time is absolute UTC; every tap is kept before it is answered."""


def create_app(
    settings: Settings, clock: Clock | None = None, *, told: tuple[Bar, ...] = ()
) -> FastAPI:
    """Give the application.

    Parameters
    ----------
    settings : Settings
    clock : Clock, optional
        This machine's, unless a test brings its own.
    told : tuple of Bar
        Bars from files: opened where they are not known, told anew where they differ.

    Raises
    ------
    StoreTrouble
        On start, when the database cannot be used.
    """
    reads = clock if clock is not None else SystemClock()

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        store = SqliteStore(settings.database, now=reads.now())
        facts = store.facts()
        log.info("action=open_store %s", " ".join(f"{k}={v}" for k, v in facts.items()))
        floor = Floor(store, reads, settings, facts=facts)
        app.state.floor = floor
        await floor.open()
        for bar in told:
            try:
                await floor.tell(bar)
            except Conflict as error:
                # A night goes on with the bar it began with, whatever its file says by now.
                log.warning("action=tell_bar bar=%s refused: %s", bar.id, error)
        room = PrintRoom(floor.desks, store, reads, settings)
        app.state.print_room = room
        await room.open()
        try:
            yield
        finally:
            floor.stop()
            await room.close()
            await floor.close()
            log.info("action=closed")

    app = FastAPI(
        title="Three Deep",
        version=metadata.version("threedeep"),
        description=DESCRIPTION,
        lifespan=lifespan,
        # Its pages would fetch their parts from elsewhere; the description itself is /openapi.json.
        docs_url=None,
        redoc_url=None,
        # Our own clients read absolute paths; a redirect would only hide a slip.
        redirect_slashes=False,
    )
    app.add_middleware(BodyLimit, largest=settings.max_body_bytes)
    add_handlers(app)
    parts = (tickets, prints, order, taps, stock, aliases, bars, setup, rushes, nights, health)
    for part in parts:
        app.include_router(part.router)
    mount(app)
    app.openapi = lambda: _openapi(app)  # type: ignore[method-assign]
    return app


def _openapi(app: FastAPI) -> dict[str, Any]:
    """Describe the API, with the one shape that every error has."""
    if app.openapi_schema is None:
        schema = get_openapi(
            title=app.title, version=app.version, description=app.description, routes=app.routes
        )
        schema["components"]["schemas"]["Problem"] = problem_schema()
        _without_item_schema(schema)
        app.openapi_schema = schema
    return app.openapi_schema


def _without_item_schema(part: object) -> None:
    """Describe streams as OpenAPI 3.1 can: ``itemSchema`` is of 3.2."""
    if isinstance(part, dict):
        if part.pop("itemSchema", None) is not None:
            part["schema"] = {"type": "string"}
        for below in part.values():
            _without_item_schema(below)
