"""The build order over HTTP: its ETag, what changes it, waiting for it, one bartender's part."""

from __future__ import annotations

import asyncio
import re
from typing import TYPE_CHECKING

import pytest

from service.api.models import BuildOrder
from tests.service.conftest import here

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def test_a_new_bar_has_an_empty_order(served: Served) -> None:
    order = await served.order()
    assert (order["revision"], order["rounds"], order["alerts"]) == (1, [], [])
    assert [card["station"] for card in order["bartenders"]] == ["well", "left", "right"]
    BuildOrder.model_validate(order)


async def test_nothing_changed_is_304_with_the_same_etag(served: Served) -> None:
    await served.ticket("cold-harbour", "stout-pint")
    await served.settled()
    first = await served.get("/build-order")
    etag = first.headers["ETag"]
    served.clock.advance(3)
    for tag in (etag, f"W/{etag}", f'"other", {etag}', "*"):
        again = await served.get("/build-order", **{"If-None-Match": tag})
        assert (again.status_code, again.content, again.headers["ETag"]) == (304, b"", etag)
    other = await served.get("/build-order", **{"If-None-Match": '"other"'})
    assert (other.status_code, other.content) == (200, first.content)


async def test_every_change_has_another_etag_and_a_higher_revision(served: Served) -> None:
    seen: dict[str, int] = {}
    found = await served.ticket("cold-harbour", "lager-pint")
    for tap in ("hold", "hold", "void"):
        order = await served.get("/build-order")
        seen[order.headers["ETag"]] = order.json()["revision"]
        is_held = (await served.get(f"/tickets/{found['id']}")).json()["is_on_hold"]
        body = {"hold": not is_held} if tap == "hold" else None
        await served.done(f"/tickets/{found['id']}/{tap}", body)
    assert len(seen) == 3
    assert sorted(seen.values()) == list(seen.values())


async def test_times_are_absolute_and_people_stand_at_stations(served: Served) -> None:
    await served.ticket("cold-harbour", "stout-pint", {"spirit": "gin", "mixer": "tonic"})
    order = await served.get("/build-order")
    assert re.search(r'"planned_start":"2027-02-12T21:0\d:\d\d\.\dZ"', order.text)
    assert not re.search(r'"[a-z_]*(seconds|_s|left)":', order.text)
    assert "pace" not in order.text


async def test_one_bartenders_part(served: Served) -> None:
    await served.ticket("cold-harbour", "slate-roof")
    part = (await served.get("/build-order?bartender=tam")).json()
    assert [card["id"] for card in part["bartenders"]] == ["tam"]
    assert len(part["rounds"]) == 1
    answer = await served.get("/build-order?bartender=tom")
    assert answer.status_code == 404
    assert "did you mean tam?" in answer.json()["detail"]


async def test_a_long_poll_ends_with_the_change(served: Served) -> None:
    etag = (await served.get("/build-order")).headers["ETag"]
    waiting = asyncio.create_task(served.get("/build-order?wait_s=20", **{"If-None-Match": etag}))
    await asyncio.sleep(0.1)
    assert not waiting.done()
    await served.ticket("cold-harbour")
    answer = await asyncio.wait_for(waiting, 5)
    assert (answer.status_code, len(answer.json()["rounds"])) == (200, 1)


async def test_a_long_poll_without_a_change_is_304(served: Served) -> None:
    etag = (await served.get("/build-order")).headers["ETag"]
    answer = await served.get("/build-order?wait_s=0.2", **{"If-None-Match": etag})
    assert answer.status_code == 304


async def test_a_long_poll_lets_go_when_the_service_stops(served: Served) -> None:
    etag = (await served.get("/build-order")).headers["ETag"]
    waiting = asyncio.create_task(served.get("/build-order?wait_s=60", **{"If-None-Match": etag}))
    await asyncio.sleep(0.1)
    served.floor.stop()
    assert (await asyncio.wait_for(waiting, 2)).status_code == 304


async def test_a_card_says_all_that_hands_need(served: Served) -> None:
    await served.ticket(
        {
            "recipe": "cold-harbour",
            "quantity": 2,
            "allergies": ["milk"],
            "note": "extra cold",
        },
        place="table 7",
    )
    order = await served.order()
    (build,) = [card["next"] for card in order["bartenders"] if card["next"]][:1]
    drink = build["drinks"][0]
    assert (drink["allergies"], drink["note"], drink["is_alone"]) == (["milk"], "extra cold", True)
    assert build["places"] == ["table 7"]
    assert build["stretches"][0]["say"]
    columns, rows = build["grid"]["columns"], build["grid"]["rows"]
    assert len(columns) == len(build["drinks"]) == 1
    assert all(len(row["cells"]) == len(columns) for row in rows)


async def test_the_order_is_planned_and_searched(served: Served) -> None:
    for _ in range(4):
        await served.ticket("cold-harbour", "slate-roof", "lager-pint", "stout-pint")
    order = await served.settled()
    assert order["planner"] in ("search", "inserted")
    assert served.floor.tasks["saltmarch"].figures.searches >= 1
    assert any(here(order, name)["next"] for name in ("ruth", "tam", "ines"))
