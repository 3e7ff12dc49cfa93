"""Letters that are read at two metres, on a grid as full as a build may be.

Source: ISO 9241-303, at least 16 minutes of arc, 20 to 22 preferred. A 24-inch screen of
1920x1080 is 531.4 mm wide, 0.2768 mm a pixel; at 2 m one minute of arc is 0.5818 mm.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import yaml
from playwright.sync_api import expect
from pydantic import TypeAdapter

from solver.counter import Counter as House
from solver.grid import PourGrid, pour_grid
from solver.menu import Menu
from solver.snapshot import RailDrink
from solver.tickets import Channel, Line, mix_of

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser

MM_A_PIXEL = 24 * 25.4 * 16 / math.hypot(16, 9) / 1920
MM_A_MINUTE = 2000 * math.tan(math.radians(1 / 60))
HOUSE = yaml.safe_load(
    (Path(__file__).parents[2] / "sample_tickets/bars/saltmarch.yaml").read_text(encoding="utf-8")
)
# Height of a capital as this browser draws it in this element's font.
CAPITAL = """(element) => {
  const style = getComputedStyle(element);
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  return pen.measureText("H").actualBoundingBoxAscent;
}"""
DRAW = """async (grid) => {
  const { drawNow } = await import("/web/now.js");
  const drinks = [{ ticket: "t", number: "214", place: "table 7", allergies: [], note: "" }];
  drawNow({ kind: "in_hand", title: "Now", build: { grid, drinks } }, { rounds: [] });
}"""


def grid_of(*lines: Line) -> PourGrid:
    menu = TypeAdapter(Menu).validate_python(HOUSE["menu"])
    house = TypeAdapter(House).validate_python(HOUSE["counter"])
    drinks = [
        RailDrink(
            id=f"d{at}",
            ticket="t",
            channel=Channel.FLOOR,
            mix=mix_of(menu, line),
            line=line,
            is_alone=False,
            release_ds=0,
            people=("ruth",),
        )
        for at, line in enumerate(lines)
    ]
    return pour_grid(menu, house, drinks)


SOUR = Line(recipe="weathercock")
USUAL = grid_of(SOUR, SOUR)
FULLEST = grid_of(SOUR, SOUR, Line(recipe="slate-roof"), Line(recipe="ginger-stile"))


def test_the_fullest_grid_is_as_full_as_a_build_may_be() -> None:
    assert len(FULLEST.columns) == 3
    assert sum(len(column.drinks) for column in FULLEST.columns) == 4
    assert len({row.ingredient for row in FULLEST.rows}) == 8


@pytest.mark.parametrize(
    ("grid", "at_least"), [(USUAL, 20), (FULLEST, 16)], ids=["usual", "fullest"]
)
def test_bottles_and_amounts_are_read_at_two_metres(
    chromium_page: Page, counter: Counter, grid: PourGrid, at_least: float
) -> None:
    page = chromium_page
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(counter.page)
    expect(page.locator("body")).to_have_attribute("data-view", "station")
    page.evaluate(DRAW, json.loads(TypeAdapter(PourGrid).dump_json(grid)))
    for letters in ("#board .part th", "#board .measured b"):
        for element in page.locator(letters).all():
            minutes = element.evaluate(CAPITAL) * MM_A_PIXEL / MM_A_MINUTE
            assert minutes >= at_least, (letters, element.inner_text(), minutes)
    board = page.locator("#board")
    assert board.evaluate(
        "(e) => e.scrollHeight <= e.clientHeight && e.scrollWidth <= e.clientWidth"
    )


def test_targets_are_large_enough_for_wet_hands(chromium_page: Page, counter: Counter) -> None:
    counter.ticket({"recipe": "stout-pint"})
    for width, height in ((1920, 1080), (1280, 800), (800, 1280)):
        chromium_page.set_viewport_size({"width": width, "height": height})
        chromium_page.goto(counter.page)
        expect(chromium_page.locator("#made-word")).to_have_text("Start")
        for target in chromium_page.locator("button:visible, a:visible").all():
            box = target.bounding_box()
            assert box is not None
            assert min(box["width"], box["height"]) >= 44, (target.inner_text(), box)
        made = chromium_page.locator("#made").bounding_box()
        assert made is not None
        assert made["width"] >= 240
        assert made["height"] >= 100
