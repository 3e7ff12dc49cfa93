"""What tests of the manager's pages share: where they are, and whether they look well."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .test_counter_page import violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

PHONE, TABLET, DESK = (390, 844), (820, 1180), (1280, 900)


def at(counter: Counter, path: str = "") -> str:
    return f"{counter.service.address}/manager/{counter.bar}{path}"


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def look_well(page: Page) -> None:
    """Nothing for axe to find, and nothing beyond the edge, on any screen, by day and night."""
    for width, height in (DESK, TABLET, PHONE):
        page.set_viewport_size({"width": width, "height": height})
        for is_dark in (False, True):
            page.emulate_media(color_scheme="dark" if is_dark else "light")
            assert violations(page) == [], (width, is_dark)
            assert fits(page), (width, is_dark)
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})


def rush_of(counter: Counter, rush: str) -> dict[str, Any]:
    return dict(counter.service.client.get(f"/v1/rushes/{rush}").json())
