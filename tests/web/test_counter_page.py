"""The counter page in a real Chromium, on a real service."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser

SOUR = {"recipe": "weathercock", "quantity": 2}
STOUT = {"recipe": "stout-pint"}
GUARD_MS = 400
# The first plan of a service that has just started may take a while on a busy machine.
expect.set_options(timeout=20_000)


def opened(page: Page, counter: Counter, *, width: int = 1920, height: int = 1080) -> Page:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(counter.page)
    expect(page.locator("body")).to_have_attribute("data-view", "station")
    return page


def tap(page: Page, button: str, *, word: str = "") -> None:
    """Tap as a finger does that has looked: the right word is there, and the guard is over."""
    if word:
        expect(page.locator("#made-word")).to_have_text(word)
    page.wait_for_timeout(GUARD_MS + 100)
    page.locator(f"#{button}").click()


def violations(page: Page) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found for node in one["nodes"]]


def test_the_page_shows_the_order_by_itself(chromium_page: Page, counter: Counter) -> None:
    page = opened(chromium_page, counter)
    expect(page.locator("#board")).to_have_text("The rail is empty.")
    number = counter.ticket(SOUR)
    expect(page.locator("#board .name")).to_have_text("2 × Tin Weathercock")
    expect(page.locator("#now-rounds")).to_contain_text(f"{number} table 7")
    rows = page.locator("#board .part tr")
    assert [re.sub(r"\s+", " ", text).strip() for text in rows.all_text_contents()] == [
        "sugar syrup40 ml",
        "lime juice50 ml",
        "white rum100 ml",
    ]
    expect(page.locator("#made")).to_contain_text("Start")


def test_an_empty_rail_leaves_nothing_to_tap_on_a_low_screen(
    chromium_page: Page, counter: Counter
) -> None:
    page = opened(chromium_page, counter, width=1280, height=800)
    expect(page.locator("#made-word")).to_have_text("Nothing to make")
    expect(page.locator("#made")).to_have_attribute("aria-disabled", "true")
    word, button = page.locator("#made-word").bounding_box(), page.locator("#made").bounding_box()
    assert word
    assert button
    assert word["y"] + word["height"] <= button["y"] + button["height"]


def test_one_tap_starts_the_next_and_undo_brings_it_back(
    chromium_page: Page, counter: Counter
) -> None:
    counter.ticket(SOUR)
    counter.ticket({"recipe": "slate-roof", "allergies": ["nuts"]})
    page = opened(chromium_page, counter)
    tap(page, "made", word="Start")
    expect(page.locator("#now-title")).to_have_text("Now")
    expect(page.locator("#made-what")).to_contain_text("then")
    first, second = counter.ruth()["now"][0], counter.ruth()["next"]
    tap(page, "made")
    expect(page.locator("#said")).to_contain_text(f"made: {first['title']}")
    expect(page.locator("#board .name")).to_have_text(name_on_board(second["title"]))
    assert counter.ruth()["now"][0]["id"] == second["id"]
    tap(page, "undo")
    expect(page.locator("#said")).to_contain_text("taken back")
    expect(page.locator("#board .name")).to_have_text(name_on_board(first["title"]))
    assert counter.ruth()["now"][0]["id"] == first["id"]


def name_on_board(title: str) -> re.Pattern[str]:
    # On the board a count and its drink stay on one line.
    words = r"\s".join(re.escape(word) for word in title.split(" "))
    return re.compile(f"^{words}$", re.IGNORECASE)


def test_a_build_is_put_back_before_ice_is_in(chromium_page: Page, counter: Counter) -> None:
    counter.ticket(SOUR)
    page = opened(chromium_page, counter)
    tap(page, "made", word="Start")
    expect(page.locator("#now-title")).to_have_text("Now")
    tap(page, "put-back")
    expect(page.locator("#now-title")).to_have_text("Next")
    assert counter.ruth()["now"] == []


def test_a_tap_on_what_has_just_changed_does_not_count(
    chromium_page: Page, counter: Counter
) -> None:
    counter.ticket(SOUR)
    page = opened(chromium_page, counter)
    expect(page.locator("#made-word")).to_have_text("Start")
    page.wait_for_timeout(GUARD_MS + 100)
    # A finger already on its way: it lands the moment the button says something else.
    page.evaluate(
        """() => new MutationObserver((_, watch) => {
             watch.disconnect();
             document.getElementById("made").click();
           }).observe(document.getElementById("made-word"), { childList: true, subtree: true })"""
    )
    build = counter.ruth()["next"]["id"]
    counter.tap(f"builds/{build}/start")
    expect(page.locator("#made-word")).to_have_text("Made")
    expect(page.locator("#said")).to_contain_text("just changed")
    assert counter.ruth()["now"][0]["state"] == "in_hand"


def test_a_new_order_moves_nothing_under_the_finger(chromium_page: Page, counter: Counter) -> None:
    page = opened(chromium_page, counter)
    buttons = ("made", "undo", "put-back")
    before = {name: page.locator(f"#{name}").bounding_box() for name in buttons}
    counter.ticket(SOUR)
    expect(page.locator("#made")).to_contain_text("Start")
    tap(page, "made")
    expect(page.locator("#made")).to_contain_text("Made")
    for _ in range(6):
        counter.ticket({"recipe": "no-such-drink", "quantity": 3}, STOUT)
    expect(page.locator("#notices")).to_contain_text("and 3 more")
    assert {name: page.locator(f"#{name}").bounding_box() for name in buttons} == before


def test_an_allergy_and_a_note_are_said_in_words(chromium_page: Page, counter: Counter) -> None:
    counter.ticket(
        {"recipe": "milk-round", "allergies": ["peanuts"], "note": "<b>as last time</b>"}
    )
    page = opened(chromium_page, counter)
    expect(page.locator("#loud .allergy")).to_contain_text("ALLERGY peanuts")
    # What a guest said is text, whatever it looks like.
    expect(page.locator("#loud .note")).to_contain_text("NOTE “<b>as last time</b>”")


def test_what_runs_by_itself_is_counted(chromium_page: Page, counter: Counter) -> None:
    counter.ticket(STOUT)
    page = opened(chromium_page, counter)
    tap(page, "made", word="Start")
    expect(page.locator("#made-word")).to_have_text("Made")
    tap(page, "made")
    count = page.locator("#alone .count")
    expect(count).to_have_text(re.compile(r"^[12]:\d\d$"))
    before = count.inner_text()
    expect(count).not_to_have_text(before)
    expect(page.locator("#alone")).to_contain_text("top")


def test_a_dead_service_is_said_plainly(chromium_page: Page, doomed: Counter) -> None:
    number = doomed.ticket(SOUR)
    page = opened(chromium_page, doomed)
    expect(page.locator("#board .name")).to_have_text("2 × Tin Weathercock")
    expect(page.locator("#stale")).to_be_hidden()
    doomed.service.kill()
    expect(page.locator("#stale")).to_be_visible()
    expect(page.locator("#stale")).to_contain_text("No connection since")
    expect(page.locator("#stale")).to_contain_text(f"Last order: {number} at")
    expect(page.locator("#board .name")).to_have_text("2 × Tin Weathercock")
    assert violations(page) == []
    tap(page, "made")
    expect(page.locator("#said")).to_contain_text("Not sent")
    doomed.service.start_again()
    expect(page.locator("#stale")).to_be_hidden()
    tap(page, "made", word="Start")
    expect(page.locator("#made-word")).to_have_text("Made")


def test_keys_work_and_focus_stays(chromium_page: Page, counter: Counter) -> None:
    counter.ticket(SOUR)
    page = opened(chromium_page, counter)
    expect(page.locator("#made-word")).to_have_text("Start")
    page.locator("#made").focus()
    page.wait_for_timeout(GUARD_MS + 100)
    page.keyboard.press("Enter")
    expect(page.locator("#made-word")).to_have_text("Made")
    expect(page.locator("#made")).to_be_focused()


def test_a_bartender_nobody_knows_and_a_bar_nobody_serves(
    chromium_page: Page, counter: Counter
) -> None:
    chromium_page.goto(counter.page.replace("ruth", "nobody"))
    expect(chromium_page.locator("#whole")).to_contain_text("no bartender called nobody")
    chromium_page.goto(f"{counter.service.address}/counter/elsewhere")
    expect(chromium_page.locator("#whole")).to_contain_text("elsewhere")


def test_one_picks_a_station_from_the_whole_counter(chromium_page: Page, counter: Counter) -> None:
    number = counter.ticket(SOUR)
    page = chromium_page
    page.goto(counter.whole)
    expect(page.locator(".rounds")).to_contain_text(number)
    assert violations(page) == []
    page.locator(".stations a").click()
    expect(page.locator("#board .name")).to_have_text("2 × Tin Weathercock")


@pytest.mark.parametrize(("width", "height"), [(1920, 1080), (800, 1280)])
def test_axe_finds_nothing(chromium_page: Page, counter: Counter, width: int, height: int) -> None:
    page = opened(chromium_page, counter, width=width, height=height)
    assert violations(page) == []
    counter.ticket({"recipe": "cold-harbour", "allergies": ["nuts"], "note": "for the birthday"})
    counter.ticket(SOUR, STOUT, {"recipe": "no-such-drink"})
    expect(page.locator("#made")).to_contain_text("Start")
    assert violations(page) == []
    tap(page, "made")
    expect(page.locator("#made")).to_contain_text("Made")
    assert violations(page) == []
