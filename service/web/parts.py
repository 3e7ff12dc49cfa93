"""What all pages share: headers, the floor they know, and the page that leads to every bar."""

from __future__ import annotations

import unicodedata
from html import escape
from pathlib import Path
from string import Template
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse

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


def floor_of(request: Request) -> Floor | None:
    """Give the floor behind a page; None where the pages are served alone."""
    return getattr(request.app.state, "floor", None)


def bars_page(floor: Floor | None, title: str, words: str, *, status: int = 200) -> HTMLResponse:
    """List the bars that are served, each with the way to its counter and to its manager."""
    template = Template((HERE / "bars.html").read_text(encoding="utf-8"))
    found = [desk.state.bar for desk in floor.desks.values()] if floor is not None else []
    if not found:
        words = "No bar is served here yet. Start the service with a bar's file, or PUT one."
    links = "".join(
        f'<li><a href="/counter/{quote(bar.id, safe="")}"><b>{escape(clean(bar.name))}</b>'
        f"<span>{escape(clean(bar.id))}</span></a>"
        f'<a class="manager" href="/manager/{quote(bar.id, safe="")}">Manager: the rush, how the '
        "night went, set-up</a></li>"
        for bar in sorted(found, key=lambda bar: (bar.name, bar.id))
    )
    html = template.substitute(title=escape(title), words=escape(words), bars=links)
    return HTMLResponse(html, status, headers=HEADERS)


def clean(text: str) -> str:
    """Leave out controls and signs of direction: they would act on the page around them."""
    return "".join(sign for sign in text if unicodedata.category(sign) not in {"Cc", "Cf"})
