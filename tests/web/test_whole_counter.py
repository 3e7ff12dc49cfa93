"""The whole counter, the page before the first plan, and the ways to a counter."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from service.planning.quick import WARMING_UP

from .conftest import BARTENDER
from .test_counter_page import SOUR, opened, tap, violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser

# What the service says while its planner compiles, which a warm machine is too quick to show.
DRAW_WHOLE = """async (order) => (await import("/web/whole.js")).drawWhole(order)"""
# In one go: a new plan may draw the rows anew between two questions.
SEEN = """() => {
  const rows = [...document.querySelectorAll(".rounds > li")];
  const seen = rows.filter((row) => getComputedStyle(row).visibility === "visible");
  return {
    count: seen.length,
    lowest: Math.max(...seen.map((row) => row.getBoundingClientRect().bottom)),
    edge: document.querySelector(".below").getBoundingClientRect().top,
  };
}"""
WORK = """async ([order, id]) => {
  const { workOf } = await import("/web/work.js");
  const { title, words, tap } = workOf(order.bartenders.find((one) => one.id === id), order);
  return { title, words, tap };
}"""


def test_before_the_first_plan_nobody_is_told_that_nothing_waits(
    chromium_page: Page, counter: Counter
) -> None:
    counter.ticket(SOUR)
    page = chromium_page
    page.goto(counter.whole)
    expect(page.locator(".rounds li")).to_have_count(1)
    order = counter.order()
    alert = {"kind": "plan", "words": WARMING_UP, "drinks": []}
    order |= {"planner": "last shown", "alerts": [alert]}
    order["bartenders"][0] |= {"now": [], "next": None, "then": []}
    page.evaluate(DRAW_WHOLE, order)
    station = page.locator(".stations a")
    expect(station).to_contain_text("getting ready")
    expect(station).not_to_contain_text("hands free")
    expect(station).not_to_contain_text("nothing waits")
    work = page.evaluate(WORK, [order, BARTENDER])
    assert work["title"] == "Getting ready"
    assert work["words"].startswith("Getting ready:")
    assert work["tap"] is None
    rested = page.evaluate(WORK, [order | {"rounds": []}, BARTENDER])
    assert rested["title"] == "Nothing to make"


@pytest.mark.parametrize(("width", "height"), [(1920, 1080), (1280, 800), (800, 1280)])
def test_only_whole_rows_of_rounds_are_seen(
    chromium_page: Page, counter: Counter, width: int, height: int
) -> None:
    page = chromium_page
    page.set_viewport_size({"width": width, "height": height})
    for _ in range(60):
        counter.ticket({"recipe": "stout-pint"})
    page.goto(counter.whole)
    rows = page.locator(".rounds li")
    expect(rows).to_have_count(60)
    below = page.locator(".below")

    def seen() -> int:
        found = page.evaluate(SEEN)
        assert found["lowest"] <= found["edge"] + 1
        return int(found["count"])

    num_seen = seen()
    assert 0 < num_seen < 60
    expect(below).to_have_text(f"and {60 - num_seen} more below")
    assert violations(page) == []
    below.click()
    expect(below).not_to_have_text(f"and {60 - num_seen} more below")
    assert seen() > num_seen
    page.locator("#whole").evaluate("(e) => e.scrollTo(0, e.scrollHeight)")
    expect(below).to_be_hidden()
    assert seen() == 60


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (800, 1280), (480, 800)])
def test_what_comes_after_is_never_cut_on_the_button(
    chromium_page: Page, counter: Counter, width: int, height: int
) -> None:
    page = opened(chromium_page, counter, width=width, height=height)
    counter.ticket({"recipe": "slate-roof", "allergies": ["fish"]})
    counter.ticket(SOUR, {"recipe": "magistrates-pillow"}, {"recipe": "smoke-over-saltmarch"})
    tap(page, "made", word="Start")
    expect(page.locator("#made-what")).to_contain_text("then")
    made, what = (page.locator(name).bounding_box() for name in ("#made", "#made-what"))
    assert made is not None
    assert what is not None
    assert made["x"] <= what["x"]
    assert what["x"] + what["width"] <= made["x"] + made["width"]
    assert what["y"] + what["height"] <= made["y"] + made["height"]
    assert page.locator("#made-what").evaluate("(e) => e.scrollWidth <= e.clientWidth")


def test_controls_and_signs_of_direction_do_not_reach_the_screen(
    chromium_page: Page, counter: Counter
) -> None:
    place = "ta\u202eble\u2066 7\u0007\u0085"
    number = counter.ticket_of(place, {**SOUR, "note": "\u202etwice\nsour\u200f"})
    page = opened(chromium_page, counter)
    expect(page.locator("#loud .note")).to_contain_text("NOTE “twice sour”")
    chip = page.locator("#now-rounds .round").evaluate("(e) => e.textContent")
    assert chip.startswith(f"{number} table 7")
    text = page.locator("body").evaluate("(e) => e.textContent")
    bad = "\u0007\u0085\u200f\u202e\u2066"
    assert not set(bad) & set(text)


def test_the_bare_address_and_a_wrong_one_lead_to_the_bars(
    chromium_page: Page, counter: Counter
) -> None:
    page = chromium_page
    home = counter.service.address
    here = counter.whole.removeprefix(home)
    for path, status in (("/", 200), ("/counter/nowhere", 404)):
        answer = page.goto(home + path)
        assert answer is not None
        assert answer.status == status
        assert answer.headers["content-type"].startswith("text/html")
        assert violations(page) == []
        page.locator(f'.stations a[href="{here}"]').click()
        expect(page.locator("#whole")).to_contain_text("Pick your station")
