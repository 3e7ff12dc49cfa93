"""Serves the counter page, the way to it, what it is made of, and the clock that it counts by."""

from __future__ import annotations

from html import escape
from string import Template

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse
from fastapi.staticfiles import StaticFiles

from service.api.models import utc_text
from service.clock import Clock, SystemClock
from service.errors import did_you_mean

from .manager_pages import mount_manager
from .parts import HEADERS, HERE, bars_page, clean, floor_of


def mount(app: FastAPI) -> None:
    """Add the counter page of every bar to the service, and the page that leads there.

    The pages know the bars of ``app.state.floor``, and count seconds by its clock; where there is
    no floor, every bar has a page and the clock is this machine's. A clock may run faster than the
    world and say so by its ``pace``.
    """
    template = Template((HERE / "counter.html").read_text(encoding="utf-8"))
    app.mount("/web", StaticFiles(directory=HERE / "static"), name="web")

    @app.get("/", response_class=HTMLResponse, include_in_schema=False)
    async def bars(request: Request) -> HTMLResponse:
        return bars_page(floor_of(request), "Which bar?", "Pick yours to see its counter.")

    @app.get("/counter/{bar}", response_class=HTMLResponse, include_in_schema=False)
    async def counter(bar: str, request: Request) -> HTMLResponse:
        floor = floor_of(request)
        if floor is not None and bar not in floor.desks:
            words = f"There is no bar called {clean(bar)} here{did_you_mean(bar, floor.desks)}"
            return bars_page(floor, "No such bar", words, status=404)
        return HTMLResponse(template.substitute(bar=escape(bar, quote=True)), headers=HEADERS)

    @app.get("/counter/{bar}/clock", include_in_schema=False)
    async def clock(bar: str, request: Request) -> JSONResponse:  # noqa: ARG001 (part of the path)
        floor = floor_of(request)
        ticking: Clock = floor.clock if floor is not None else SystemClock()
        said = {"now": utc_text(ticking.now()), "pace": getattr(ticking, "pace", 1.0)}
        return JSONResponse(said, headers={"Cache-Control": "no-store"})

    mount_manager(app)
