"""Serves the counter page, what it is made of, and the clock that it counts by."""

from __future__ import annotations

from html import escape
from pathlib import Path
from string import Template

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, JSONResponse
from fastapi.staticfiles import StaticFiles

from service.api.models import utc_text
from service.clock import Clock, SystemClock

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
    """Add the counter page of every bar to the service.

    The page counts seconds by the clock of ``app.state.floor``, this machine's where there is no
    floor. A clock may run faster than the world and say so by its ``pace``.
    """
    template = Template((HERE / "counter.html").read_text(encoding="utf-8"))
    app.mount("/web", StaticFiles(directory=HERE / "static"), name="web")

    @app.get("/counter/{bar}", response_class=HTMLResponse, include_in_schema=False)
    async def counter(bar: str) -> HTMLResponse:
        return HTMLResponse(template.substitute(bar=escape(bar, quote=True)), headers=HEADERS)

    @app.get("/counter/{bar}/clock", include_in_schema=False)
    async def clock(bar: str, request: Request) -> JSONResponse:  # noqa: ARG001 (part of the path)
        floor = getattr(request.app.state, "floor", None)
        ticking: Clock = floor.clock if floor is not None else SystemClock()
        said = {"now": utc_text(ticking.now()), "pace": getattr(ticking, "pace", 1.0)}
        return JSONResponse(said, headers={"Cache-Control": "no-store"})
