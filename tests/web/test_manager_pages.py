"""The manager's pages in a real Chromium, on a real service."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from .manager import at, look_well, rush_of
from .test_counter_page import violations

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from .conftest import Counter

pytestmark = pytest.mark.browser
# A rush is simulated behind everything else that this machine does.
expect.set_options(timeout=60_000)


def tell_half_an_hour(page: Page, *, nights: int) -> None:
    """Fill the form in by keyboard, as a person would."""
    for name in ("The hours", "How it is worked, and how sure"):
        page.get_by_role("heading", name=name).click()
    page.get_by_label("Name of the night").fill("half an hour")
    page.get_by_label("Doors").fill("19")
    page.get_by_label("Last orders").fill("1930")
    page.get_by_label("Hands stop").fill("20.00")
    page.get_by_label("Nights").fill(str(nights))
    for way in ("the live planner", "look-ahead, as an experienced bartender works"):
        page.get_by_label(way).uncheck()
    page.get_by_label("by the ticket").check()


def test_a_rush_is_told_started_watched_and_read(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter))
    expect(desk.locator("#people li")).to_have_count(1)
    expect(desk.locator("#guests-said")).to_contain_text("drinks")
    tell_half_an_hour(desk, nights=5)
    expect(desk.locator("#hours-said")).to_have_text("19:00 to 19:30")
    desk.get_by_role("button", name="Start the rush").press("Enter")
    expect(desk.locator("#run-title")).to_have_text("half an hour")
    expect(desk.locator("#run-state")).to_contain_text("Done: 5 nights")
    headline = desk.locator(".headline")
    expect(headline).to_contain_text("of rounds have their last drink within the promise")
    expect(headline).to_contain_text("95% interval over 5 nights")
    # What is drawn can be read as well: the same numbers stand in a table.
    found = rush_of(counter, desk.url.partition("rush=")[2])
    mean_s = found["results"]["policies"][0]["whole"]["mean_s"]["mean"]
    expect(headline.locator("tbody td").nth(1)).to_contain_text(f"{mean_s / 60:.1f} min")
    expect(desk.locator(".chart canvas")).to_have_count(2)
    by_time = desk.locator("section", has=desk.get_by_role("heading", name="by time of night"))
    by_time.get_by_text("As a table").click()
    expect(by_time.locator("tbody th")).to_have_text(["19:00", "19:15"])
    expect(desk.locator(".strip tbody th").first).to_contain_text("Hands")
    expect(desk.get_by_role("heading", name="Before doors")).to_be_visible()
    look_well(desk)
    # The address leads there again, with what was asked in the form.
    desk.goto(desk.url)
    expect(desk.locator(".headline")).to_be_visible()
    expect(desk.get_by_label("Name of the night")).to_have_value("half an hour")
    expect(desk.locator("#history tbody th")).to_have_text(["half an hour"])


def test_a_rush_is_cancelled(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter))
    tell_half_an_hour(desk, nights=400)
    desk.get_by_role("button", name="Start the rush").click()
    expect(desk.locator("#start")).to_have_attribute("aria-disabled", "true")
    expect(desk.locator("#so-far")).to_contain_text("nine of ten rounds")
    expect(desk.locator("#so-far")).to_contain_text("narrower than honest")
    assert violations(desk) == []
    desk.get_by_role("button", name="Cancel").click()
    expect(desk.locator("#run-state")).to_contain_text("Cancelled: cancelled; what was whole")
    expect(desk.locator("#start")).to_have_attribute("aria-disabled", "false")
    expect(desk.locator(".headline")).to_be_visible()


def test_people_crowds_and_troubles_reach_the_scenario(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter))
    expect(desk.locator("#people li")).to_have_count(1)
    desk.locator("#scale").fill("1.5")
    expect(desk.locator("#scale-said")).to_have_text("1.50 ×")
    desk.get_by_role("button", name="Add a crowd").click()
    desk.get_by_role("button", name="One more bartender").click()
    row = desk.locator("#people li").nth(1)
    row.get_by_label("Station").select_option(label="bar top, right")
    row.get_by_label("From").fill("21")
    row.get_by_role("button", name="Add a break").click()
    row.get_by_label("Break at").fill("22:30")
    desk.get_by_role("heading", name="What goes wrong").click()
    desk.get_by_label("Something else").select_option(label="A keg blows")
    desk.get_by_role("button", name="Add", exact=True).click()
    with desk.expect_response("**/rushes") as answered:
        desk.get_by_role("button", name="Start the rush").click()
    asked = answered.value.request.post_data_json or {}
    counter.service.client.delete(f"/v1/rushes/{answered.value.json()['rush']}").raise_for_status()
    scenario = asked["scenario"]
    assert scenario["guests"]["scale"] == 1.5
    (crowd,) = scenario["guests"]["crowds"]
    assert (crowd["at"], crowd["rounds"]) == ("22:10", 12)
    assert scenario["more_people"] == [{"id": "one-more-1", "station": "right"}]
    assert scenario["shifts"][1]["since"] == "21:00"
    assert scenario["shifts"][1]["breaks"] == [{"at": "22:30", "minutes": 20}]
    assert scenario["troubles"]["kegs_blown"][0]["tap"] == "lager"


def test_what_cannot_be_started_is_said(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter))
    desk.locator("#people .who input").uncheck()
    start = desk.get_by_role("button", name="Start the rush")
    start.click()
    expect(desk.locator("#start-said")).to_contain_text("Nobody is on")
    desk.locator("#people .who input").check()
    desk.locator("#people li").get_by_label("From").fill("half past")
    desk.locator("#people li").get_by_label("From").blur()
    start.click()
    # Five signs are all that the field takes.
    words = "“half ” for “From” is no time of the night: write it like 22:10."
    expect(desk.locator("#start-said")).to_contain_text(words)
    expect(desk.locator("#people li").get_by_label("From")).to_be_focused()
    look_well(desk)


def test_what_would_never_happen_is_marked_and_scrolled_to(desk: Page, counter: Counter) -> None:
    desk.set_viewport_size({"width": 390, "height": 844})
    desk.goto(at(counter))
    start = desk.get_by_role("button", name="Start the rush")
    said = desk.locator("#start-said")
    row = desk.locator("#people li")
    row.get_by_label("From").fill("23")
    row.get_by_label("Until").fill("22")
    start.click()
    expect(said).to_contain_text("“Until 22:00” comes before “From 23:00”.")
    expect(row.get_by_label("Until")).to_have_attribute("aria-invalid", "true")
    expect(row.get_by_label("Until")).to_be_in_viewport()
    expect(row.locator(".wrong")).to_contain_text("comes before")
    expect(row.locator(".wrong")).to_be_in_viewport()
    row.get_by_label("Until").fill("18")
    start.click()
    expect(said).to_contain_text("“Until 18:00” is before the doors open at 19:00.")
    row.get_by_label("Until").fill("1")
    row.get_by_role("button", name="Add a break").click()
    row.get_by_label("Break at").fill("17")
    start.click()
    expect(said).to_contain_text("“Break at 17:00” is outside the night, which goes from 19:00 to")
    expect(row.get_by_label("Until")).to_have_attribute("aria-invalid", "false")
    expect(row.get_by_label("Break at")).to_be_focused()
    expect(row.get_by_label("Break at")).to_be_in_viewport()
    assert counter.service.client.get(f"/v1/bars/{counter.bar}/rushes").json()["rushes"] == []


def test_how_the_night_went_and_what_it_rests_on(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter, "/nights"))
    expect(desk.locator("#night")).to_contain_text("No ticket has come yet")
    for _ in range(3):
        counter.ticket({"recipe": "slate-roof", "quantity": 2})
    order = counter.order()
    for drink in {d for r in order["rounds"] for d in counter.drinks_of(r["ticket"])}:
        counter.tap(f"drinks/{drink}/already-made")
    desk.reload()
    expect(desk.locator("#night-said")).to_contain_text("3 tickets, 6 drinks")
    expect(desk.locator(".honest")).to_contain_text("100% of the made times are estimates")
    expect(desk.locator(".headline")).to_contain_text("The promise was kept")
    # Nothing is simulated until somebody asks for it: the machine plans the bar.
    rushes = f"/v1/bars/{counter.bar}/rushes"
    expect(desk.locator("#replay-is")).to_contain_text("The same tickets once more, simulated")
    assert counter.service.client.get(rushes).json()["rushes"] == []
    desk.get_by_role("button", name="Replay it by look-ahead").click()
    expect(desk.locator(".headline")).to_contain_text("The same tickets by look-ahead")
    expect(desk.locator(".headline tbody th")).to_have_text(["as it was", "look-ahead"])
    look_well(desk)
    assert "ruth" not in desk.locator("#night").inner_text().lower()


def test_a_phone_has_the_links_in_one_row_and_signs_beside_their_words(
    desk: Page, counter: Counter
) -> None:
    desk.set_viewport_size({"width": 390, "height": 844})
    desk.goto(at(counter))
    expect(desk.locator("#people li")).to_have_count(1)
    links = [link.bounding_box() for link in desk.locator("header nav a").all()]
    assert len({round(box["y"]) for box in links if box}) == 1
    header = desk.locator("header").bounding_box()
    assert header is not None
    assert header["height"] < 120
    for words in desk.locator("#builder > details > summary > h2").all():
        box, row = words.bounding_box(), words.locator("..").bounding_box()
        assert box is not None
        assert row is not None
        # Nothing stands above the words: the first row is theirs.
        assert box["y"] - row["y"] < 20


def test_a_fault_is_shown_at_its_line_as_one_types(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter, "/setup#menu"))
    expect(desk.locator("#verdict")).to_have_text("This is what the bar is told.")
    text = desk.get_by_label("The part as YAML text")
    menu = text.input_value()
    line = next(n for n, row in enumerate(menu.split("\n"), 1) if "method: shaken" in row)
    text.fill(menu.replace("method: shaken", "method: shakn", 1))
    expect(desk.locator("#verdict")).to_have_text("1 fault: it cannot be told like this.")
    expect(desk.locator("#gutter .fault")).to_have_text(f"! {line}")
    expect(desk.locator("#bands .fault")).to_contain_text("did you mean shaken or shaken_long?")
    expect(desk.locator("#save")).to_have_attribute("aria-disabled", "true")
    look_well(desk)
    # From the list of faults to the line, by keyboard.
    desk.locator("#faults button").press("Enter")
    assert text.evaluate("(e) => e.value.slice(e.selectionStart, e.selectionEnd)").strip() == (
        "method: shakn"
    )
    expect(text).to_be_focused()


def test_a_part_is_saved_looked_at_and_brought_back(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter, "/setup#counter"))
    text = desk.get_by_label("The part as YAML text")
    expect(text).to_have_value(re.compile("barbacks: 1"))
    before = text.input_value()
    text.fill("# two of them now\n" + before.replace("barbacks: 1", "barbacks: 2"))
    expect(desk.locator("#differs")).to_have_text("barbacks changed")
    desk.get_by_label("Why (kept with the version)").fill("summer")
    desk.get_by_role("button", name="Save and tell the bar").click()
    expect(desk.locator("#saved")).to_have_text("Saved and told as version 2.")
    assert counter.service.client.get(f"/v1/bars/{counter.bar}/counter").json()["barbacks"] == 2
    expect(desk.locator("#versions li").first).to_contain_text("summer")
    desk.get_by_role("button", name="Look at version 1").click()
    expect(text).to_have_value(before)
    expect(desk.locator("#saved")).to_contain_text("nothing is told yet")
    desk.get_by_role("button", name="Back to what is told").click()
    expect(text).to_have_value(re.compile("^# two of them now"))
    desk.get_by_role("button", name="Bring back version 1").click()
    expect(desk.locator("#saved")).to_have_text("Version 1 is told again, as version 3.")
    assert counter.service.client.get(f"/v1/bars/{counter.bar}/counter").json()["barbacks"] == 1


def test_86_and_back(desk: Page, counter: Counter) -> None:
    desk.goto(at(counter, "/setup"))
    expect(desk.locator("#short")).to_contain_text("Nothing is short.")
    desk.get_by_role("button", name="86", exact=True).click()
    expect(desk.locator("#stock-said")).to_have_text("Pick an ingredient of the menu first.")
    desk.get_by_label("Ingredient").fill("Bourbon")
    expect(desk.locator("#takes-off")).to_contain_text("Plum Causeway")
    desk.get_by_role("button", name="86", exact=True).click()
    expect(desk.locator("#short tbody th")).to_have_text(["bourbon"])
    expect(desk.locator("#stock-said")).to_have_text("bourbon is 86.")
    look_well(desk)
    desk.get_by_role("button", name="Back in: bourbon").click()
    expect(desk.locator("#short")).to_contain_text("Nothing is short.")


def test_from_the_bars_to_the_manager_and_a_bar_nobody_knows(desk: Page, counter: Counter) -> None:
    # Enough for several rows: what stands below covers nothing of what stands above.
    for _ in range(4):
        counter.service.new_bar()
    desk.goto(counter.service.address)
    desk.locator(f'a[href="/manager/{counter.bar}"]').click()
    expect(desk.get_by_role("heading", name="Will it hold?")).to_be_visible()
    answer = desk.goto(f"{counter.service.address}/manager/nowhere")
    assert answer is not None
    assert answer.status == 404
    expect(desk.locator("#whole")).to_contain_text("no bar called nowhere")
