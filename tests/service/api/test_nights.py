"""How a night went: figures of the real log, held against hand counts; honest about taps."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import here

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio
DAY = "2027-02-12"
PROMISE_FLOOR_S = 600


async def night(served: Served, day: str = DAY) -> dict[str, Any]:
    answer = await served.get(f"/nights/{day}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def already_made(served: Served, ticket: dict[str, Any], *positions: int) -> None:
    for position in positions:
        await served.done(f"/drinks/{ticket['drinks'][position]['id']}/already-made")


def whole(found: dict[str, Any]) -> dict[str, float]:
    return {name: figure["mean"] for name, figure in found["results"]["whole"].items()}


async def test_no_night_without_tickets(served: Served) -> None:
    assert (await served.get("/nights")).json() == {"nights": []}
    answer = await served.get(f"/nights/{DAY}")
    assert answer.status_code == 404
    assert f"saltmarch has none of {DAY}" in answer.json()["detail"]


async def test_a_night_counted_by_hand(served: Served) -> None:
    first = await served.ticket("lager-pint", "lager-pint")
    served.clock.advance(100)
    await already_made(served, first, 0)
    served.clock.advance(200)
    await already_made(served, first, 1)
    served.clock.advance(700)
    second = await served.ticket("cold-harbour")
    served.clock.advance(PROMISE_FLOOR_S + 1)
    await already_made(served, second, 0)
    await served.ticket("cold-harbour")
    fourth = await served.ticket("cold-harbour")
    served.clock.advance(60)
    await already_made(served, fourth, 0)

    found = await night(served)
    assert (found["opens"], found["tickets"], found["drinks"], found["still_open"]) == (
        "21:00",
        4,
        5,
        1,
    )
    figures = whole(found)
    # 300, 601 and 60 s. Beer is promised within 180 s, the rest of the floor within 600: of four
    # rounds, one of them still open, the last alone was within its promise.
    assert figures["mean_s"] == pytest.approx((300 + 601 + 60) / 3)
    assert figures["p50_s"] == pytest.approx(300)
    assert figures["within_promise"] == pytest.approx(1 / 4)
    assert figures["worst_s"] == pytest.approx(PROMISE_FLOOR_S + 1)
    assert figures["left_open"] == 1
    by_quarter = {
        row["clock"]: row["figures"]["rounds"]["mean"]
        for row in found["results"]["groups"]
        if row["when"] == "quarter" and row["channel"] == "floor"
    }
    assert by_quarter == {"21:00": 1, "21:15": 3}
    # The pint that came first waited 200 s for the second: longer than a lager may.
    assert figures["sat_too_long"] == 1
    assert figures["sat_beyond_s"] == pytest.approx(50)


async def test_estimates_are_counted_and_said(served: Served) -> None:
    ticket = await served.ticket("slate-roof")
    order = await served.settled()
    (card,) = [one for one in order["bartenders"] if one["next"]]
    await served.done(f"/builds/{card['next']['id']}/start")
    served.clock.advance(50)
    await served.done(f"/builds/{card['next']['id']}/made", {"start_next": False})
    other = await served.ticket("slate-roof")
    await already_made(served, other, 0)
    estimates = (await night(served))["estimates"]
    assert (estimates["made"], estimates["estimated"], estimates["share"]) == (2, 1, 0.5)
    assert "estimate" in (await night(served))["honest"]
    assert ticket["id"] != other["id"]


async def test_hands_stand_by_station_and_nobody_by_name(served: Served) -> None:
    await served.ticket("slate-roof", "slate-roof")
    order = await served.settled()
    (card,) = [one for one in order["bartenders"] if one["next"]]
    await served.done(f"/builds/{card['next']['id']}/start")
    served.clock.advance(90)
    await served.done(f"/builds/{card['next']['id']}/made", {"start_next": False})
    found = await night(served)
    station = here(order, card["id"])["station"]
    (use,) = found["results"]["uses"]
    assert (use["name"], use["kind"]) == (f"hands@{station}", "hands")
    assert use["busy"]["mean"] == pytest.approx(1.0)
    assert not [person for person in ("ruth", "tam", "ines") if f'"{person}"' in str(found)]


async def test_a_void_drink_is_nobodys_wait(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", "lager-pint")
    await served.done(f"/drinks/{ticket['drinks'][0]['id']}/void")
    served.clock.advance(60)
    await already_made(served, ticket, 1)
    figures = whole(await night(served))
    assert (figures["mean_s"], figures["void"], figures["made"]) == (60, 1, 1)


async def test_who_was_passed_by(served: Served) -> None:
    first = await served.ticket("cold-harbour")
    served.clock.advance(10)
    second = await served.ticket("lager-pint")
    served.clock.advance(20)
    await already_made(served, second, 0)
    served.clock.advance(20)
    await already_made(served, first, 0)
    figures = whole(await night(served))
    assert (figures["overtakes"], figures["most_overtaken"]) == (1, 1)


async def test_business_days_are_listed_and_an_etag_saves_the_rest(served: Served) -> None:
    await served.ticket("lager-pint")
    await served.ticket("lager-pint", business_day="2027-02-11")
    assert (await served.get("/nights")).json()["nights"] == [
        {"business_day": "2027-02-12", "tickets": 1},
        {"business_day": "2027-02-11", "tickets": 1},
    ]
    answer = await served.get(f"/nights/{DAY}")
    again = await served.get(f"/nights/{DAY}", **{"If-None-Match": answer.headers["etag"]})
    assert again.status_code == 304
    await served.ticket("lager-pint")
    later = await served.get(f"/nights/{DAY}", **{"If-None-Match": answer.headers["etag"]})
    assert later.status_code == 200


async def test_a_ticket_nobody_could_read_is_counted(served: Served) -> None:
    await served.ticket("no-such-drink-at-all")
    await served.ticket("lager-pint")
    found = await night(served)
    assert (found["tickets"], found["unread"], found["drinks"]) == (2, 1, 1)


async def test_a_night_keeps_the_menu_it_had(served: Served) -> None:
    ticket = await served.ticket("slate-roof")
    await already_made(served, ticket, 0)
    before = await night(served)
    served.clock.advance(3600)
    menu = (await served.get("/menu")).json()
    fewer = {**menu, "recipes": [r for r in menu["recipes"] if r["id"] != "slate-roof"]}
    assert (await served.put("/menu", fewer)).status_code == 200
    assert (await night(served))["results"] == before["results"]
