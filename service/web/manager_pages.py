"""Serves the manager's pages: the rush, how the night went, the set-up."""

from __future__ import annotations

from datetime import date
from html import escape
from pathlib import Path
from string import Template

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse

from service.errors import did_you_mean

from .parts import HEADERS, bars_page, clean, floor_of

HERE = Path(__file__).parent / "manager"
TITLES = {"rush": "The rush", "night": "How the night went", "setup": "Set-up"}


def mount_manager(app: FastAPI) -> None:
    """Add the manager's pages of every bar to the service."""
    shell = Template((HERE / "shell.html").read_text(encoding="utf-8"))
    contents = {page: (HERE / f"{page}.html").read_text(encoding="utf-8") for page in TITLES}

    def page_of(request: Request, bar: str, page: str) -> HTMLResponse:
        floor = floor_of(request)
        name = bar
        if floor is not None:
            if bar not in floor.desks:
                words = f"There is no bar called {clean(bar)} here{did_you_mean(bar, floor.desks)}"
                return bars_page(floor, "No such bar", words, status=404)
            name = floor.desks[bar].state.bar.name
        html = shell.substitute(
            bar=escape(bar, quote=True),
            name=escape(clean(name)),
            page=page,
            title=TITLES[page],
            content=contents[page],
        )
        return HTMLResponse(html, headers=HEADERS)

    @app.get("/manager/{bar}", response_class=HTMLResponse, include_in_schema=False)
    async def rush(bar: str, request: Request) -> HTMLResponse:
        return page_of(request, bar, "rush")

    @app.get("/manager/{bar}/nights", response_class=HTMLResponse, include_in_schema=False)
    async def nights(bar: str, request: Request) -> HTMLResponse:
        return page_of(request, bar, "night")

    @app.get("/manager/{bar}/nights/{day}", response_class=HTMLResponse, include_in_schema=False)
    async def night(bar: str, day: date, request: Request) -> HTMLResponse:  # noqa: ARG001 (the page reads it off its address)
        return page_of(request, bar, "night")

    @app.get("/manager/{bar}/setup", response_class=HTMLResponse, include_in_schema=False)
    async def setup(bar: str, request: Request) -> HTMLResponse:
        return page_of(request, bar, "setup")
