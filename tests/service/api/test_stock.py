"""What the bar has and what happens to it, and what that does to the order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import here, planned

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def alerts(served: Served) -> list[str]:
    return [alert["words"] for alert in (await served.order())["alerts"]]


async def event(served: Served, **body: Any) -> dict[str, Any]:
    return await served.done("/events", body)


GIN_AND_TONIC = {"spirit": "gin", "mixer": "tonic"}


async def test_a_bottle_out_is_waited_for(served: Served) -> None:
    await served.ticket(GIN_AND_TONIC)
    tap = (await served.put("/stock/gin", {"state": "bottle_out", "minutes": 3})).json()
    assert tap["said"] == "dry gin: bottle out, back in 3 minutes"
    (build,) = planned(await served.order())
    assert build["planned_start"] >= "2027-02-12T21:03:00.0Z"
    (row,) = (await served.get("/stock")).json()["short"]
    assert (row["state"], row["back_at"]) == ("bottle_out", "2027-02-12T21:03:00.0Z")
    served.clock.advance(200)
    assert (await served.get("/stock")).json()["short"] == []


async def test_a_countdown_counts_what_is_made(served: Served) -> None:
    await served.put("/stock/gin", {"state": "left", "left": 2})
    first = await served.ticket({**GIN_AND_TONIC, "quantity": 3})
    assert len(first["set_aside"]) == 1
    served.clock.advance(1)
    await served.done(f"/drinks/{first['drinks'][0]['id']}/already-made", {"screen": "s"})
    assert (await served.get("/stock")).json()["short"][0]["left"] == 1
    await served.done("/undo", {"screen": "s"})
    assert (await served.get("/stock")).json()["short"][0]["left"] == 2


async def test_stock_that_cannot_be(served: Served) -> None:
    unknown = await served.put("/stock/ginn", {"state": "86"})
    assert unknown.status_code == 404
    assert "did you mean gin" in unknown.json()["detail"]
    assert (await served.put("/stock/gin", {"state": "left"})).status_code == 422
    assert (await served.put("/stock/gin", {"state": "low"})).status_code == 422


async def test_glass_in_a_well_names_the_drinks_beside_it(served: Served) -> None:
    for _ in range(3):
        await served.ticket("cold-harbour", channel="bar_top")
    order = await served.settled()
    card = next(c for c in order["bartenders"] if c["next"])
    await served.done(f"/builds/{card['next']['id']}/start", {"bartender": card["id"]})
    tap = await event(served, event="glass_in_well", station=card["station"], ice="cubed")
    assert "out at once" in tap["said"]
    assert tap["drinks"] == [drink["id"] for drink in card["next"]["drinks"]]
    assert "bin and make anew" in tap["said"]
    (alert,) = [a for a in (await served.order())["alerts"] if a["kind"] == "well"]
    assert alert["drinks"] == tap["drinks"]
    assert here(await served.settled(), card["id"])["next"] is None, "no ice, no drinks"
    await event(served, event="well_back", station=card["station"], ice="cubed")
    assert await alerts(served) == []


async def test_glass_in_a_well_names_what_was_made_beside_it(served: Served) -> None:
    made = await served.ticket("cold-harbour", channel="bar_top")
    order = await served.settled()
    card = next(c for c in order["bartenders"] if c["next"])
    await served.done(f"/builds/{card['next']['id']}/start", {"bartender": card["id"]})
    served.clock.advance(70)
    await served.done(f"/builds/{card['next']['id']}/made")
    left = await served.ticket("cold-harbour")
    await served.done(f"/drinks/{left['drinks'][0]['id']}/gone")
    tap = await event(served, event="glass_in_well", station=card["station"], ice="cubed")
    assert tap["drinks"] == [made["drinks"][0]["id"]]
    assert "bin and make anew what stands beside it: Cold Harbour" in tap["said"]
    served.clock.advance(3600)
    other = await event(served, event="glass_in_well", station=card["station"], ice="cubed")
    assert other["drinks"] == [], "what was made an hour ago stands there no more"


async def test_glass_in_a_shared_well_names_what_has_its_ice(served: Served) -> None:
    crushed = await served.ticket("windlass")
    cubed = await served.ticket("cold-harbour")
    for ticket in (crushed, cubed):
        await served.done(f"/drinks/{ticket['drinks'][0]['id']}/already-made")
    tap = await event(served, event="glass_in_well", ice="crushed")
    assert tap["drinks"] == [crushed["drinks"][0]["id"]]


async def test_a_keg_blown_is_waited_for(served: Served) -> None:
    await served.ticket("lager-pint")
    tap = await event(served, event="keg_blown", ingredient="lager", minutes=4)
    assert "keg blown" in tap["said"]
    (build,) = planned(await served.order())
    assert build["planned_start"] >= "2027-02-12T21:04:00.0Z"
    await event(served, event="keg_back", ingredient="lager")
    (build,) = planned(await served.order())
    assert build["planned_start"] < "2027-02-12T21:01:00.0Z"


async def test_a_person_off_the_floor_gets_no_builds(served: Served) -> None:
    for _ in range(4):
        await served.ticket("cold-harbour", "slate-roof")
    await event(served, event="person_off", person="tam")
    order = await served.settled()
    assert (here(order, "tam")["is_on"], here(order, "tam")["next"]) == (False, None)
    assert await alerts(served) == ["bar top, left is off the floor"]
    await event(served, event="person_on", person="tam")
    assert here(await served.settled(), "tam")["is_on"] is True


async def test_nobody_on_the_floor_is_an_answer(served: Served) -> None:
    for person in ("ruth", "tam", "ines"):
        await event(served, event="person_off", person=person)
    found = await served.ticket("cold-harbour")
    assert found["expected"] is None
    assert "nobody is on the floor" in " ".join(await alerts(served))


async def test_a_person_off_with_a_build_in_hand_is_told(served: Served) -> None:
    await served.ticket("cold-harbour")
    order = await served.settled()
    card = next(c for c in order["bartenders"] if c["next"])
    await served.done(f"/builds/{card['next']['id']}/start", {"bartender": card["id"]})
    tap = await event(served, event="person_off", person=card["id"], minutes=15)
    assert "in hand there: Cold Harbour" in tap["said"]
    await served.done(f"/builds/{card['next']['id']}/made")


async def test_vessels_out_and_back(served: Served) -> None:
    await event(served, event="vessel_out", station="left", vessel="tin_set", count=4)
    await event(served, event="person_off", person="ruth")
    await event(served, event="person_off", person="ines")
    found = await served.ticket("weathercock")
    assert "left has no tin set" in found["set_aside"][0]["reason"]
    too_many = await served.post(
        "/events", {"event": "vessel_out", "station": "left", "vessel": "tin_set"}
    )
    assert too_many.status_code == 409
    await event(served, event="vessel_back", station="left", vessel="tin_set", count=4)
    assert (await served.order())["set_aside"] == []


async def test_flame_off_and_on(served: Served) -> None:
    found = await served.ticket("keepers-blaze")
    assert found["set_aside"] == []
    await event(served, event="flame", allowed=False)
    assert (await served.order())["set_aside"][0]["reason"] == "flame is off in this house"
    assert "flame is off: nothing is lit" in await alerts(served)
    await event(served, event="flame", allowed=True)
    assert (await served.order())["set_aside"] == []


async def test_glasses_are_counted_down_and_come_back(served: Served) -> None:
    await event(served, event="glasses", glass="coupe", clean=1, washing=3, minutes=4)
    found = await served.ticket({"recipe": "cold-harbour", "quantity": 6})
    assert len(found["set_aside"]) == 2
    served.clock.advance(300)
    order = await served.done(f"/drinks/{found['drinks'][0]['id']}/already-made")
    assert order["revision"] > found["revision"]
    assert len((await served.order())["set_aside"]) == 2, "4 were there, 1 is made, 5 still wait"


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"event": "glass_in_well"}, 422),
        ({"event": "glass_in_well", "station": "left", "ice": "crushed"}, 404),
        ({"event": "well_back", "ice": "crushed"}, 409),
        ({"event": "keg_blown", "ingredient": "gin"}, 404),
        ({"event": "person_off", "person": "nobody"}, 404),
        ({"event": "vessel_out", "station": "nowhere", "vessel": "tin_set"}, 404),
        ({"event": "vessel_out", "station": "left", "vessel": "bucket"}, 404),
        ({"event": "vessel_back", "station": "left", "vessel": "tin_set"}, 409),
        ({"event": "glasses", "glass": "bucket", "clean": 1}, 404),
        ({"event": "glasses", "glass": "coupe"}, 422),
        ({"event": "earthquake"}, 422),
        ({"event": "flame"}, 422),
    ],
)
async def test_events_that_cannot_be(served: Served, body: dict[str, Any], status: int) -> None:
    answer = await served.post("/events", body)
    assert answer.status_code == status, answer.text
    assert "expected" in answer.json()["detail"]


async def test_a_well_that_runs_low_is_said_until_it_is_filled(served: Served) -> None:
    """A small well: 1 kg of cubed ice and 0.45 kg a shaken drink on ice."""
    counter = (await served.get("/counter")).json()
    for station in counter["stations"]:
        station["wells"] = [{"ice": "cubed", "capacity_kg": 1.0}]
    assert (await served.put("/counter", counter)).status_code == 200
    served.clock.advance(1)
    await served.ticket(*["cold-harbour"] * 4)
    order = await served.settled()
    (card,) = [card for card in order["bartenders"] if card["next"]]
    await served.done(f"/builds/{card['next']['id']}/start")
    assert not [a for a in order["alerts"] if a["kind"] == "well"]
    served.clock.advance(120)
    await served.done(f"/builds/{card['next']['id']}/made")
    alerts = [a["words"] for a in (await served.order())["alerts"] if a["kind"] == "well"]
    assert alerts == [f"cubed ice of {card['station_name']}: about empty; have it filled"]
    served.clock.advance(1)
    filled = {"event": "well_filled", "station": card["station"], "ice": "cubed"}
    await served.done("/events", filled)
    assert not [a for a in (await served.order())["alerts"] if a["kind"] == "well"]
