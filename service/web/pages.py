"""Serves the counter page, the way to it, what it is made of, and the clock that it counts by."""

from __future__ import annotations

import unicodedata
from html import escape
from pathlib import Path
from string import Template
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse
from fastapi.staticfiles import StaticFiles

from service.api.models import utc_text
from service.clock import Clock, SystemClock
from service.errors import did_you_mean
from service.floor import Floor

HERE = Path(__file__).parent
# Everything comes from this service; nothing on the page runs that is not in a file of ours.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "Cache-Control": "no-cache",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


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
        return _bars_page(_floor(request), "Which bar?", "Pick yours to see its counter.")

    @app.get("/counter/{bar}", response_class=HTMLResponse, include_in_schema=False)
    async def counter(bar: str, request: Request) -> HTMLResponse:
        floor = _floor(request)
        if floor is not None and bar not in floor.desks:
            words = f"There is no bar called {_clean(bar)} here{did_you_mean(bar, floor.desks)}"
            return _bars_page(floor, "No such bar", words, status=404)
        return HTMLResponse(template.substitute(bar=escape(bar, quote=True)), headers=HEADERS)

    @app.get("/counter/{bar}/clock", include_in_schema=False)
    async def clock(bar: str, request: Request) -> JSONResponse:  # noqa: ARG001 (part of the path)
        floor = _floor(request)
        ticking: Clock = floor.clock if floor is not None else SystemClock()
        said = {"now": utc_text(ticking.now()), "pace": getattr(ticking, "pace", 1.0)}
        return JSONResponse(said, headers={"Cache-Control": "no-store"})


def _floor(request: Request) -> Floor | None:
    return getattr(request.app.state, "floor", None)


def _bars_page(floor: Floor | None, title: str, words: str, *, status: int = 200) -> HTMLResponse:
    """List the bars that are served, each with the way to its counter."""
    template = Template((HERE / "bars.html").read_text(encoding="utf-8"))
    found = [desk.state.bar for desk in floor.desks.values()] if floor is not None else []
    if not found:
        words = "No bar is served here yet. Start the service with a bar's file, or PUT one."
    links = "".join(
        f'<li><a href="/counter/{quote(bar.id, safe="")}"><b>{escape(_clean(bar.name))}</b>'
        f"<span>{escape(_clean(bar.id))}</span></a></li>"
        for bar in sorted(found, key=lambda bar: (bar.name, bar.id))
    )
    html = template.substitute(title=escape(title), words=escape(words), bars=links)
    return HTMLResponse(html, status, headers=HEADERS)


def _clean(text: str) -> str:
    """Leave out controls and signs of direction: they would act on the page around them."""
    return "".join(sign for sign in text if unicodedata.category(sign) not in {"Cc", "Cf"})
