"""Tickets in: kept, answered, known again; what cannot be read stays, what cannot be is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import planned

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio
KEY = "Idempotency-Key"


def ticket(*lines: Any, number: str = "214", **more: Any) -> dict[str, Any]:
    return {"number": number, "channel": "floor", "lines": list(lines), **more}


async def test_a_ticket_is_answered_with_its_drinks_and_when(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour", "quantity": 2}, place="table 7")
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 201
    found = answer.json()
    assert [drink["name"] for drink in found["drinks"]] == ["Cold Harbour"] * 2
    assert found["expected"]["minutes"] >= 1
    assert found["warnings"] == []
    order = await served.order()
    assert order["revision"] >= found["revision"]
    drinks = {name for build in planned(order) for name in _drinks(build)}
    assert drinks == {drink["id"] for drink in found["drinks"]}
    assert order["rounds"][0]["done_by"] == found["expected"]["done_by"]


async def test_a_tray_is_its_glasses(served: Served) -> None:
    answer = await served.post(
        "/tickets", ticket({"recipe": "crews-tray", "quantity": 2}), **{KEY: "a"}
    )
    found = answer.json()
    assert len(found["drinks"]) == 12
    assert found["lines"][0]["quantity"] == 2


def _drinks(build: dict[str, Any]) -> list[str]:
    return [d if isinstance(d, str) else d["id"] for d in build["drinks"]]


async def test_the_same_key_is_answered_the_same_and_done_once(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour"})
    first = await served.post("/tickets", body, **{KEY: "a"})
    served.clock.advance(60)
    second = await served.post("/tickets", body, **{KEY: "a"})
    assert (second.status_code, second.text) == (first.status_code, first.text)
    assert second.headers["Idempotency-Replayed"] == "true"
    assert len((await served.get("/tickets")).json()["tickets"]) == 1


async def test_the_same_key_with_another_ticket_is_refused(served: Served) -> None:
    await served.post("/tickets", ticket({"recipe": "cold-harbour"}), **{KEY: "a"})
    other = await served.post("/tickets", ticket({"recipe": "slate-roof"}), **{KEY: "a"})
    assert other.status_code == 422
    assert "a new request wants a new key" in other.json()["detail"]
    assert "idempotency key 'a' as before" in other.json()["detail"]


async def test_a_ticket_without_a_key_is_refused(served: Served) -> None:
    answer = await served.post("/tickets", ticket({"recipe": "cold-harbour"}))
    assert answer.status_code == 400
    assert f"a header {KEY} of 1 to 200 signs; came no such header" in answer.json()["detail"]


async def test_a_ticket_twice_is_known_and_not_doubled(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour"})
    first = await served.post("/tickets", body, **{KEY: "a"})
    again = await served.post("/tickets", body, **{KEY: "b"})
    assert (again.status_code, again.json()["is_known"]) == (200, True)
    assert again.json()["id"] == first.json()["id"]
    assert len((await served.get("/tickets")).json()["tickets"]) == 1


async def test_a_number_again_with_other_lines_loses_no_drink(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour"}, {"recipe": "slate-roof"})
    first = (await served.post("/tickets", body, **{KEY: "a"})).json()
    fewer = await served.post("/tickets", ticket({"recipe": "cold-harbour"}), **{KEY: "b"})
    assert (fewer.status_code, fewer.json()["is_known"]) == (201, False)
    assert fewer.json()["id"] != first["id"]
    assert fewer.json()["warnings"] == [
        "number 214 came before with other lines: both are kept; void one if it is a correction"
    ]
    assert len((await served.get("/tickets")).json()["tickets"]) == 2
    for lines, known in ((body["lines"], first), (body["lines"][:1], fewer.json())):
        again = await served.post("/tickets", ticket(*lines), **{KEY: f"again {len(lines)}"})
        assert (again.status_code, again.json()["id"]) == (200, known["id"])


async def test_a_ticket_changed_at_the_bar_is_still_known(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour"}, {"recipe": "slate-roof"})
    first = (await served.post("/tickets", body, **{KEY: "a"})).json()
    change = {"add": [{"recipe": "lager-pint"}], "void": [first["lines"][0]["line"]]}
    await served.done(f"/tickets/{first['id']}/lines", change)
    again = await served.post("/tickets", body, **{KEY: "b"})
    assert (again.status_code, again.json()["id"]) == (200, first["id"])


@pytest.mark.parametrize(
    "other", [{"till": "garden"}, {"business_day": "2027-02-11"}, {"number": "215"}]
)
async def test_another_till_day_or_number_is_another_ticket(
    served: Served, other: dict[str, str]
) -> None:
    await served.post("/tickets", ticket({"recipe": "cold-harbour"}), **{KEY: "a"})
    answer = await served.post(
        "/tickets", {**ticket({"recipe": "cold-harbour"}), **other}, **{KEY: "b"}
    )
    assert answer.status_code == 201


async def test_the_business_day_goes_on_after_midnight(served: Served) -> None:
    late = "2027-02-13T02:30:00Z"
    served.clock.advance(6 * 3600)
    found = await served.ticket("cold-harbour", placed_at=late)
    assert found["business_day"] == "2027-02-12"


async def test_an_unknown_recipe_is_kept_with_the_nearest_names(served: Served) -> None:
    found = await served.ticket({"recipe": "cold harbor", "quantity": 2}, "slate-roof")
    (unread,) = found["unread"]
    assert [near["recipe"] for near in unread["nearest"]][:1] == ["cold-harbour"]
    assert "expected a recipe of the menu; came 'cold harbor'" in unread["reason"]
    assert [drink["name"] for drink in found["drinks"]] == ["Slate Roof"]
    tray = (await served.get("/unread")).json()["unread"]
    assert [row["line"] for row in tray] == [unread["line"]]
    assert (await served.order())["unread"][0]["text"] == "cold harbor"


@pytest.mark.parametrize(
    "line",
    [
        {"recipe": "cold-harbour", "changes": [{"leave_out": "pineapple-juice"}]},
        {"recipe": "cold-harbour", "changes": ["extra cold"]},
        {"recipe": "cold-harbour", "modifier": "no egg"},
        {"recipe": "cold-harbour", "spirit": "gin"},
        {"spirit": "gin", "mixer": "gravel"},
        {"quantity": 1},
    ],
)
async def test_a_line_nobody_can_read_is_kept(served: Served, line: dict[str, Any]) -> None:
    found = await served.ticket(line, "slate-roof")
    assert len(found["drinks"]) == 1
    assert len(found["unread"]) == 1
    assert found["lines"][0]["came"] == line


async def test_a_name_or_an_alias_will_do(served: Served) -> None:
    found = await served.ticket("Cold Harbour", {"spirit": "Dry Gin", "mixer": "TONIC"})
    assert found["unread"] == []
    assert [drink["name"] for drink in found["drinks"]] == ["Cold Harbour", "dry gin and tonic"]


async def test_an_unread_line_is_resolved_or_dropped(served: Served) -> None:
    found = await served.ticket({"recipe": "gibberish", "quantity": 3}, "also gibberish")
    first, second = (row["line"] for row in found["unread"])
    wrong = await served.post(f"/unread/{first}/resolve", {"to": {"recipe": "nothing"}})
    assert wrong.status_code == 422
    neither = await served.post(f"/unread/{first}/resolve", {})
    assert neither.status_code == 422
    tap = await served.done(f"/unread/{first}/resolve", {"to": {"recipe": "slate-roof"}})
    assert len(tap["drinks"]) == 3
    again = await served.post(f"/unread/{first}/resolve", {"drop": True})
    assert again.status_code == 409
    await served.done(f"/unread/{second}/resolve", {"drop": True, "reason": "a slip"})
    assert (await served.get("/unread")).json()["unread"] == []
    now = (await served.get(f"/tickets/{found['id']}")).json()
    assert [drink["state"] for drink in now["drinks"]] == ["waiting"] * 3


async def test_an_allergy_stays_with_a_line_whose_name_is_corrected(served: Served) -> None:
    found = await served.ticket({"recipe": "gibberish", "allergies": ["egg"], "note": "quick"})
    (row,) = found["unread"]
    await served.done(f"/unread/{row['line']}/resolve", {"to": {"recipe": "cold-harbour"}})
    now = (await served.get(f"/tickets/{found['id']}")).json()
    assert now["set_aside"][0]["reason"] == "egg is in the drink itself: a person must confirm"


@pytest.mark.parametrize("quantity", [0, -1, 61, 500, "two", 1.5, True, None])
async def test_an_impossible_quantity_is_refused_and_nothing_kept(
    served: Served, quantity: object
) -> None:
    body = ticket({"recipe": "cold-harbour"}, {"recipe": "slate-roof", "quantity": quantity})
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 422
    assert "from 1 to 60" in answer.json()["detail"]
    assert answer.json()["errors"][0]["path"] == "/lines/1/quantity"
    assert (await served.get("/tickets?state=all")).json()["tickets"] == []


@pytest.mark.parametrize(
    ("body", "path"),
    [
        ({"channel": "floor", "lines": [{}]}, "/number"),
        ({"number": "1", "channel": "moon", "lines": [{}]}, "/channel"),
        ({"number": "1", "channel": "floor", "lines": []}, "/lines"),
        ({"number": "1", "channel": "floor", "lines": ["beer"]}, "/lines/0"),
        ({"number": " ", "channel": "floor", "lines": [{}]}, "/number"),
        ({"number": "1", "channel": "floor", "lines": [{}], "placed_at": "9 pm"}, "/placed_at"),
    ],
)
async def test_what_cannot_be_a_ticket_is_refused(
    served: Served, body: dict[str, Any], path: str
) -> None:
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["path"] == path


async def test_a_clock_that_runs_ahead_a_little_is_now(served: Served) -> None:
    ahead = await served.ticket("cold-harbour", placed_at="2027-02-12T21:04:59Z")
    assert ahead["placed_at"] == "2027-02-12T21:00:00.0Z"
    assert "taken as now" in ahead["warnings"][0]


@pytest.mark.parametrize("at", ["2027-02-12T21:05:01Z", "2031-01-01T00:00:00+02:00"])
async def test_a_time_in_the_future_is_refused(served: Served, at: str) -> None:
    body = ticket({"recipe": "cold-harbour"}, placed_at=at)
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 422
    assert "correct the till's clock" in answer.json()["detail"]


async def test_a_time_years_ago_is_refused(served: Served) -> None:
    body = ticket({"recipe": "cold-harbour"}, placed_at="0001-01-01T00:00:00+14:00")
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 422


async def test_half_a_document_is_said(served: Served) -> None:
    answer = await served.client.post(
        "/v1/bars/saltmarch/tickets",
        content=b'{"number": "214", "channel": "fl',
        headers={"Content-Type": "application/json", KEY: "a"},
    )
    assert answer.status_code == 400
    assert answer.headers["content-type"] == "application/problem+json"
    assert "whole JSON document" in answer.json()["detail"]


async def test_a_huge_body_is_refused(served: Served) -> None:
    for content in (b"x" * 1_000_001, (b"x" * 100_000 for _ in range(11))):
        answer = await served.client.post(
            "/v1/bars/saltmarch/tickets",
            content=_aiter(content) if not isinstance(content, bytes) else content,
            headers={"Content-Type": "application/json", KEY: "a"},
        )
        assert answer.status_code == 413
        assert answer.headers["content-type"] == "application/problem+json"


async def _aiter(chunks: Any) -> Any:
    for chunk in chunks:
        yield chunk


async def test_a_drink_of_an_86d_ingredient_is_kept_and_set_aside(served: Served) -> None:
    assert (await served.put("/stock/gin", {"state": "86"})).status_code == 200
    found = await served.ticket({"spirit": "gin", "mixer": "tonic"}, "lager-pint")
    assert len(found["drinks"]) == 2
    (aside,) = found["set_aside"]
    assert (aside["name"], aside["reason"]) == ("dry gin and tonic", "dry gin is 86")
    assert found["expected"] is None
    await served.put("/stock/gin", {"state": "back"})
    assert (await served.order())["set_aside"] == []


async def test_a_guests_name_is_not_kept(served: Served) -> None:
    found = await served.ticket("cold-harbour", guest="Ms Example")
    assert "Example" not in (await served.get(f"/tickets/{found['id']}")).text


async def test_tickets_are_listed_page_by_page(served: Served) -> None:
    for _ in range(3):
        await served.ticket("lager-pint")
        served.clock.advance(60)
    first = (await served.get("/tickets?state=all&limit=2")).json()
    assert [row["number"] for row in first["tickets"]] == ["102", "101"]
    rest = (await served.get(f"/tickets?state=all&before={first['next_before']}")).json()
    assert [row["number"] for row in rest["tickets"]] == ["100"]
    assert rest["next_before"] is None
    assert len((await served.get("/tickets?limit=2")).json()["tickets"]) == 2


async def test_a_ticket_not_known_is_404(served: Served) -> None:
    answer = await served.get("/tickets/t-nothing")
    assert answer.status_code == 404
    assert "t-nothing" in answer.json()["detail"]


async def test_a_till_cannot_confirm_by_itself(served: Served) -> None:
    line = {"recipe": "cold-harbour", "allergies": ["egg"], "is_confirmed": True}
    found = await served.ticket(line)
    assert "a person must confirm" in found["set_aside"][0]["reason"]
    assert "is_confirmed on a line is not taken from a till" in found["warnings"][0]
    await served.done(f"/tickets/{found['id']}/lines", {"add": [line]})
    change = {"line": found["lines"][0]["line"], "to": line}
    await served.done(f"/tickets/{found['id']}/lines", {"change": [change]})
    unread = (await served.ticket("gibberish"))["unread"][0]["line"]
    await served.done(f"/unread/{unread}/resolve", {"to": line})
    aside = (await served.order())["set_aside"]
    assert len(aside) == 3
    assert all("a person must confirm" in one["reason"] for one in aside)
    await served.done(f"/drinks/{aside[0]['drink']}/confirm")
    assert len((await served.order())["set_aside"]) == 2


@pytest.mark.parametrize(
    ("line", "text", "reason"),
    [
        (
            {"recipe": "cold-harbour", "changes": [{"leave_out": "egwhite"}], "quantity": 2},
            "cold-harbour, no egwhite",
            "came 'egwhite'; did you mean egg-white?",
        ),
        (
            {"recipe": "cold-harbour", "changes": [{"swap": {"take_out": "gn", "put_in": "rum"}}]},
            "cold-harbour, rum instead of gn",
            "",
        ),
        (
            {"recipe": "cold-harbour", "modifier": "no egg"},
            "cold-harbour, modifier no egg",
            "modifier: expected only names that are known here; came 'modifier'; did you mean",
        ),
        (
            {"recipe": "cold-harbour", "changes": ["extra cold"]},
            "cold-harbour, extra cold",
            "change 1: expected names with values (leave_out, swap, add",
        ),
        (
            {"spirit": "gin", "measure": "trebel", "allergies": ["milk", "nuts"]},
            "trebel gin, allergy milk, nuts",
            "measure: expected one of single or double; came 'trebel'",
        ),
        ({}, "nothing on the line", "a recipe or a spirit, one of the two"),
    ],
)
async def test_the_tray_says_a_line_and_its_fault_in_words(
    served: Served, line: dict[str, Any], text: str, reason: str
) -> None:
    found = await served.ticket(line)
    (unread,) = found["unread"]
    assert unread["text"] == text
    assert reason in unread["reason"]
    assert not set("{}[]") & set(unread["text"])
    assert "Unexpected keyword" not in unread["reason"]


LINES = [{"recipe": "cold-harbour"}]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ([], "expected a JSON object {…}; came an empty list"),
        (["beer"], "expected a JSON object {…}; came a list"),
        ("hi", "expected a JSON object {…}; came 'hi'"),
        ({"number": "1", "lines": LINES}, "channel to be given; came nothing; one of bar_top,"),
        ({"number": "1", "channel": "flor", "lines": LINES}, "did you mean floor?"),
        (ticket(), "expected a list of at least 1; came an empty list; add one"),
        (ticket(*LINES * 61), "expected a list of at most 60; came a list of 61"),
        (ticket("beer"), "expected a JSON object {…}; came 'beer'"),
        (ticket(*LINES, number=""), "expected text that is not empty; came nothing"),
        (ticket(*LINES, number=" "), "with something to read in it; came only spaces"),
        (ticket(*LINES, number="1" * 65), "text of at most 64 signs; came 65 signs; shorten it"),
        ({**ticket(*LINES), "number": ["1"]}, "expected text; came a list"),
        (ticket(*LINES, placed_at="9 pm"), "a time with its offset, such as 2027-"),
        (ticket(*LINES, placed_at="2027-02-12T21:00:00"), "add Z for UTC, or an offset"),
        (ticket(*LINES, business_day="soon"), "expected a day, such as 2027-02-12; came 'soon'"),
    ],
)
async def test_what_does_not_fit_is_said_in_the_words_of_the_bar(
    served: Served, body: Any, said: str
) -> None:
    answer = await served.post("/tickets", body, **{KEY: "a"})
    assert answer.status_code == 422
    assert said in answer.json()["detail"]
    assert all(one["detail"].startswith("expected ") for one in answer.json()["errors"])


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        ("/events", {}, "event to be given; came nothing; one of glass_in_well,"),
        ("/events", {"event": "person_of"}, "did you mean person_off or person_on?"),
        ("/events", {"event": "glasses", "clea": 3}, "came 'clea'; did you mean clean?"),
        ("/events", {"event": "glasses", "count": 99}, "a number of at most 40; came 99"),
        ("/builds/b/made", {"start_next": "perhaps"}, "true or false; came 'perhaps'"),
        ("/undo", [], "expected a JSON object {…}; came an empty list"),
    ],
)
async def test_taps_that_do_not_fit_are_said_too(
    served: Served, path: str, body: Any, said: str
) -> None:
    answer = await served.post(path, body)
    assert answer.status_code == 422
    assert said in answer.json()["detail"]


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("limit=x", "?limit: expected a whole number; came 'x'"),
        ("limit=0", "?limit: expected a number of 1 or more; came '0'"),
        ("state=opn", "?state: expected one of open or all; came 'opn'; did you mean open?"),
        ("before=9pm", "?before: expected a time with its offset"),
    ],
)
async def test_a_query_that_does_not_fit_is_said(served: Served, query: str, said: str) -> None:
    answer = await served.get(f"/tickets?{query}")
    assert answer.status_code == 422
    assert said in answer.json()["detail"]


async def test_a_body_of_another_type_is_told_which_to_send(served: Served) -> None:
    answer = await served.client.post(
        "/v1/bars/saltmarch/tickets",
        content=b'{"number": "1"}',
        headers={"Content-Type": "text/plain", KEY: "a"},
    )
    assert answer.status_code == 415
    assert "came text/plain: send Content-Type: application/json" in answer.json()["detail"]


async def test_undo_without_a_screen_says_what_to_send(served: Served) -> None:
    answer = await served.post("/undo", {})
    assert answer.status_code == 409
    assert "send the screen's name" in answer.json()["detail"]
