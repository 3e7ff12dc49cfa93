"""The box of what needs a person, and what its two taps do, in a real Chromium."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from .test_counter_page import GUARD_MS, opened, violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser

HOLDS_NUTS = {"recipe": "milk-round", "allergies": ["nuts"]}
MISSPELT = {"recipe": "wethercock", "quantity": 2}
SIZES = [(1920, 1080), (1280, 800), (800, 1280)]


def items(page: Page) -> list[str]:
    return page.locator("#notice-list > li").all_inner_texts()


def open_first(page: Page, words: str) -> None:
    page.locator("#notice-list button", has_text=words).first.click()
    expect(page.locator("#asked")).to_be_visible()


def choose(page: Page, words: str) -> None:
    page.wait_for_timeout(GUARD_MS + 100)
    page.locator("#asked button", has_text=words).click()


def test_an_allergy_comes_before_unread_lines(chromium_page: Page, counter: Counter) -> None:
    counter.ticket({"recipe": "stout-pint"}, *(MISSPELT for _ in range(5)))
    number = counter.ticket(HOLDS_NUTS)
    page = opened(chromium_page, counter)
    expect(page.locator("#notice-list .more")).to_have_text("and 2 more")
    first, *others = items(page)
    assert first.startswith(f"ALLERGY, {number} table 7: The Milk Round")
    assert [text.startswith("Unread") for text in others] == [True, True, True, False]
    page.locator("#notice-list .more button").click()
    assert len(items(page)) == 7  # the five lines, the allergy, and the way back


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_no_allergy_hides_behind_others(
    chromium_page: Page, counter: Counter, width: int, height: int
) -> None:
    page = opened(chromium_page, counter, width=width, height=height)
    buttons = ("made", "undo", "put-back")
    before = {name: page.locator(f"#{name}").bounding_box() for name in buttons}
    counter.ticket(*(MISSPELT for _ in range(8)))
    numbers = [counter.ticket(HOLDS_NUTS) for _ in range(10)]
    expect(page.locator(".safety")).to_have_count(10)
    box = page.locator("#notices").bounding_box()
    assert box is not None
    for number, item in zip(numbers, page.locator(".safety button").all(), strict=True):
        found = item.bounding_box()
        assert found is not None
        assert f"ALLERGY, {number}" in item.inner_text()
        assert found["y"] + found["height"] <= box["y"] + box["height"]
        assert min(found["height"], found["width"]) >= 44
    assert {name: page.locator(f"#{name}").bounding_box() for name in buttons} == before
    assert violations(page) == []


def test_an_allergen_is_confirmed_in_two_taps(chromium_page: Page, counter: Counter) -> None:
    counter.ticket(HOLDS_NUTS)
    page = opened(chromium_page, counter)
    # A finger that taps twice on the same place opens it, and no more.
    page.locator("#notice-list button").dblclick()
    expect(page.locator("#asked")).to_contain_text("Ask the guest, then:")
    page.locator("#asked button", has_text="Confirm").click()
    assert len(counter.order()["set_aside"]) == 1
    choose(page, "Confirm")
    expect(page.locator("#said")).to_contain_text("confirmed with the guest (nuts)")
    expect(page.locator("#asked")).to_be_hidden()
    expect(page.locator("#loud .allergy")).to_contain_text("ALLERGY nuts")
    assert counter.order()["set_aside"] == []


def test_an_allergy_drink_is_voided_and_undo_brings_it_back(
    chromium_page: Page, counter: Counter
) -> None:
    counter.ticket({**HOLDS_NUTS, "quantity": 2})
    page = opened(chromium_page, counter)
    open_first(page, "2 × The Milk Round")
    choose(page, "Void one of 2")
    # The panel stays for the other one, and a tap right after does not take that, too.
    expect(page.locator("#asked-title")).to_have_text("ALLERGY, 214 table 7: The Milk Round")
    assert len(counter.order()["set_aside"]) == 1
    choose(page, "Not now")
    page.wait_for_timeout(GUARD_MS)
    page.locator("#undo").click()
    expect(page.locator("#notice-list")).to_contain_text("2 × The Milk Round")


def test_a_name_is_read_and_the_allergy_beside_it_is_kept(
    chromium_page: Page, counter: Counter
) -> None:
    counter.ticket({"recipe": "wethercock", "allergies": ["milk"], "note": "no straw"})
    page = opened(chromium_page, counter)
    ticket = counter.order()["unread"][0]["ticket"]
    open_first(page, "wethercock")
    choose(page, "Tin Weathercock")
    expect(page.locator("#loud .allergy")).to_contain_text("ALLERGY milk")
    expect(page.locator("#loud .note")).to_contain_text("no straw")
    assert [drink["name"] for drink in counter.ticket_known(ticket)["drinks"]] == [
        "Tin Weathercock"
    ]
    assert counter.order()["unread"] == []


def test_an_unread_line_is_dropped(chromium_page: Page, counter: Counter) -> None:
    counter.ticket({"recipe": "qqq"})
    page = opened(chromium_page, counter)
    open_first(page, "qqq")
    expect(page.locator("#asked")).to_contain_text("Nothing on the menu comes near “qqq”")
    choose(page, "Drop")
    expect(page.locator("#said")).to_contain_text("dropped from round 214")
    expect(page.locator("#notices")).to_be_hidden()
    assert counter.order()["unread"] == []


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_what_is_opened_fits_and_is_large_enough(
    chromium_page: Page, counter: Counter, width: int, height: int
) -> None:
    counter.ticket(MISSPELT)
    counter.ticket(HOLDS_NUTS)
    for page_of in (counter.page, counter.whole):
        chromium_page.set_viewport_size({"width": width, "height": height})
        chromium_page.goto(page_of)
        for words in ("ALLERGY", "Unread"):
            open_first(chromium_page, words)
            asked = chromium_page.locator("#asked")
            assert asked.evaluate("(e) => e.scrollHeight <= e.clientHeight"), words
            for button in asked.locator("button").all():
                box = button.bounding_box()
                assert box is not None
                assert min(box["width"], box["height"]) >= 44
            assert violations(chromium_page) == []
            choose(chromium_page, "Not now")
            expect(asked).to_be_hidden()


def test_the_whole_counter_has_the_box_and_its_taps(chromium_page: Page, counter: Counter) -> None:
    number = counter.ticket(HOLDS_NUTS)
    unread = counter.ticket(MISSPELT)
    page = chromium_page
    page.goto(counter.whole)
    rounds = page.locator(".rounds li")
    expect(rounds.filter(has_text=number)).to_contain_text("0 of 1 made, 1 set aside")
    expect(rounds.filter(has_text=unread)).to_contain_text("2 unread")
    assert violations(page) == []
    open_first(page, "ALLERGY")
    choose(page, "Confirm")
    expect(page.locator("#said")).to_contain_text("confirmed with the guest")
    expect(rounds.filter(has_text=number)).not_to_contain_text("set aside")
