"""What a rush can bring besides its lines: a ranking, a rota. Drawn, readable, and named."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from .manager import at, look_well, rush_of

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser
QUARTER = {
    "name": "a quarter of an hour",
    "doors": "22:00",
    "last_orders": "22:15",
    "hard_stop": "23:00",
    "guests": {"drinks_an_hour": [90]},
    "costs": {"bartender_hour": 16},
}


def done(counter: Counter, page: Page, body: dict[str, Any]) -> dict[str, Any]:
    """Have a rush run and open it."""
    answer = counter.service.client.post(f"/v1/bars/{counter.bar}/rushes", json=body)
    rush = answer.raise_for_status().json()["rush"]
    page.goto(f"{at(counter)}?rush={rush}")
    expect(page.locator("#run-state")).to_contain_text("Done:")
    return dict(rush_of(counter, rush)["results"])


def test_what_would_help_and_the_fewest_hands(desk: Page, counter: Counter) -> None:
    by = "by the ticket"
    body = {"scenario": QUARTER, "policies": [by], "nights": 2, "what_if": by, "rota": by}
    results = done(counter, desk, body)
    ranking = desk.locator(".ranking tbody tr")
    expect(ranking).to_have_count(len(results["what_if"]["rows"]))
    best = results["what_if"]["rows"][0]
    expect(ranking.first).to_contain_text(best["words"][1:])
    expect(ranking.first).to_contain_text(f"{best['saved_min']['mean']:.1f}")
    helps = desk.locator("section", has=desk.get_by_role("heading", name="What would help"))
    expect(helps).to_contain_text("£")
    expect(helps).to_contain_text("not time standards that are wrong for your house")
    rota = desk.locator("section", has=desk.get_by_role("heading", name="The fewest hands"))
    expect(rota.locator(".shifts li")).to_have_count(len(results["rota"]["shifts"]))
    look_well(desk)
