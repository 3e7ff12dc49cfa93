"""Lines from paper in the tray, and alerts about prints, in a real Chromium."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import yaml
from playwright.sync_api import expect

from .conftest import HOUSE, ONE_PAIR_OF_HANDS
from .test_counter_page import GUARD_MS, opened, violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser

CUT = b"\x1dV\x00"
SIZES = [(1280, 800), (800, 1280), (390, 844)]


def printed(counter: Counter, *lines: str) -> None:
    """Print a ticket at the bar's till, which has a profile from now on."""
    bar = counter.whole.rpartition("/")[2]
    house = yaml.safe_load(HOUSE.read_text(encoding="utf-8"))
    house["bar"]["id"] = bar
    house["counter"]["people"] = [ONE_PAIR_OF_HANDS]
    house["prints"] = {"profile": {"name": "till", "paper": {"ends": ["cut"]}}, "till": "bar"}
    client = counter.service.client
    client.put(f"/v1/bars/{bar}", json=house).raise_for_status()
    paper = "\n".join(("Ticket 214", "Table 7", *lines)).encode()
    client.post(f"/v1/bars/{bar}/prints", content=paper + b"\n" + CUT).raise_for_status()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_word_that_comes_near_nothing_takes_two_taps(
    chromium_page: Page, counter: Counter, width: int, height: int
) -> None:
    printed(counter, "2 QQQ WWW", "  NO SALT")
    page = opened(chromium_page, counter, width=width, height=height)
    page.locator("#notice-list button", has_text="QQQ WWW").click()
    asked = page.locator("#asked")
    assert asked.locator(".paper li").all_inner_texts() == ["2 QQQ WWW", "  NO SALT"]
    drink = asked.locator(".menu button", has_text="Salt Ferry")
    expect(drink).to_be_attached()
    assert violations(page) == []
    page.wait_for_timeout(GUARD_MS + 100)
    drink.click()
    expect(page.locator("#said")).to_contain_text("remembered: “QQQ WWW” is Salt Ferry")
    assert counter.order()["unread"] == []
    assert [one["num_drinks"] for one in counter.order()["rounds"]] == [2]


def test_a_word_may_be_a_spirit_with_its_mixer(chromium_page: Page, counter: Counter) -> None:
    printed(counter, "2 QQQ WWW")
    page = opened(chromium_page, counter)
    page.locator("#notice-list button", has_text="QQQ WWW").click()
    asked = page.locator("#asked")
    page.wait_for_timeout(GUARD_MS + 100)
    asked.locator("button", has_text="A spirit and mixer").click()
    asked.locator("button", has_text="dry gin").click()
    assert violations(page) == []
    double = asked.locator("p", has_text="dry gin, double, with")
    double.locator("~ button", has_text="tonic").first.click()
    expect(page.locator("#said")).to_contain_text("remembered: “QQQ WWW” is double dry gin and")
    assert counter.order()["unread"] == []


def test_a_print_nobody_can_read_is_shown_and_tapped_away(
    chromium_page: Page, counter: Counter
) -> None:
    printed(counter)
    counter.service.client.post(
        f"/v1/bars/{counter.whole.rpartition('/')[2]}/prints", content=b"zz zz\nqq qq\n" + CUT
    ).raise_for_status()
    page = opened(chromium_page, counter)
    notice = page.locator("#notice-list button", has_text="nothing on a print could be read").last
    notice.click()
    asked = page.locator("#asked")
    expect(asked.locator(".paper")).to_contain_text("zz zz")
    assert asked.evaluate("(e) => e.scrollHeight <= e.clientHeight")
    assert violations(page) == []
    page.wait_for_timeout(GUARD_MS + 100)
    asked.locator("button", has_text="Seen").click()
    expect(page.locator("#said")).to_contain_text("seen: nothing on a print could be read")


def test_a_second_print_is_taken_off_by_one_tap(chromium_page: Page, counter: Counter) -> None:
    printed(counter, "2 Salt Ferry", "Time: 18:02")
    printed(counter, "2 Salt Ferry", "Time: 18:09")
    page = opened(chromium_page, counter)
    page.locator("#notice-list button", has_text="came twice with the same lines").click()
    asked = page.locator("#asked")
    expect(asked.locator("button", has_text="Make both")).to_be_visible()
    assert violations(page) == []
    page.wait_for_timeout(GUARD_MS + 100)
    asked.locator("button", has_text="Take it off").click()
    expect(page.locator("#said")).to_contain_text("void: round 214 Table 7")
    assert [one["num_drinks"] for one in counter.order()["rounds"]] == [2]
    assert "print" not in [alert["kind"] for alert in counter.order()["alerts"]]
