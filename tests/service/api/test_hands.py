"""Taps of hands: start, made, put back, caught up, and undo."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import HandClock, here, in_hand, planned, serving

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def first_build(served: Served) -> dict[str, Any]:
    """The build that somebody has next, with who that is."""
    order = await served.settled()
    return next(card["next"] for card in order["bartenders"] if card["next"])


async def states(served: Served, ticket: str) -> list[str]:
    drinks = (await served.get(f"/tickets/{ticket}")).json()["drinks"]
    return [drink["state"] for drink in drinks]


async def test_start_puts_a_build_in_hand(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    build = await first_build(served)
    tap = await served.done(f"/builds/{build['id']}/start", {"screen": "left"})
    assert (tap["build"], tap["started"]) == (build["id"], build["id"])
    assert await states(served, found["id"]) == ["in_hand"]
    (now,) = in_hand(await served.order())
    assert (now["id"], now["is_at_hand"]) == (build["id"], True)
    assert now["started_at"] == "2027-02-12T21:00:00.0Z"


async def test_start_of_a_build_that_moved_on_still_works(served: Served) -> None:
    await served.ticket("cold-harbour")
    build = await first_build(served)
    for _ in range(3):
        await served.ticket("cold-harbour", "cold-harbour")
    await served.settled()
    tap = await served.done(f"/builds/{build['id']}/start")
    assert tap["drinks"] == [drink["id"] for drink in build["drinks"]]


async def test_start_is_refused_with_the_present_state(served: Served) -> None:
    await served.ticket("cold-harbour")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/start")
    again = await served.post(f"/builds/{build['id']}/start")
    assert again.status_code == 409
    (state,) = again.json()["state"]["drinks"].values()
    assert state == "in_hand"
    assert "take the build that the screen shows now" in again.json()["detail"]
    assert (await served.post("/builds/b-nothing/start")).status_code == 404


async def test_somebody_else_may_start_it(served: Served) -> None:
    await served.ticket("cold-harbour")
    build = await first_build(served)
    other = "ines" if build["bartender"] != "ines" else "ruth"
    await served.done(f"/builds/{build['id']}/start", {"bartender": other})
    assert [now["id"] for now in here(await served.order(), other)["now"]] == [build["id"]]
    wrong = await served.post(f"/builds/{build['id']}/made", {"bartender": "nobody"})
    assert wrong.status_code == 404


async def test_made_closes_the_build_and_starts_the_next(served: Served) -> None:
    for _ in range(5):
        await served.ticket("cold-harbour", "slate-roof")
    build = await first_build(served)
    mine = build["bartender"]
    await served.done(f"/builds/{build['id']}/start", {"bartender": mine})
    coming = here(await served.settled(), mine)["next"]
    served.clock.advance(70)
    tap = await served.done(f"/builds/{build['id']}/made")
    assert tap["drinks"] == [drink["id"] for drink in build["drinks"]]
    assert tap["started"] == coming["id"]
    order = await served.order()
    assert [now["id"] for now in here(order, mine)["now"]] == [coming["id"]]
    for drink in build["drinks"]:
        ticket = (await served.get(f"/tickets/{drink['ticket']}")).json()
        (row,) = [one for one in ticket["drinks"] if one["id"] == drink["id"]]
        is_last = drink == build["drinks"][-1]
        assert (row["state"], row["is_estimate"]) == ("made", not is_last)
        assert row["made_at"] <= "2027-02-12T21:01:10.0Z"


async def test_made_twice_is_a_conflict_and_changes_nothing(served: Served) -> None:
    for _ in range(3):
        await served.ticket("cold-harbour")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/start")
    await served.done(f"/builds/{build['id']}/made")
    before = (await served.settled())["bartenders"]
    again = await served.post(f"/builds/{build['id']}/made")
    assert again.status_code == 409
    assert "made already" in again.json()["detail"]
    assert (await served.settled())["bartenders"] == before


async def test_made_of_a_build_nobody_started(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/made", {"start_next": False})
    assert await states(served, found["id"]) == ["made"]
    assert in_hand(await served.order()) == []


async def test_a_stout_settles_while_the_hands_go_on(served: Served) -> None:
    for person in ("tam", "ines"):
        await served.done("/events", {"event": "person_off", "person": person})
    found = await served.ticket("stout-pint")
    build = await first_build(served)
    mine = build["bartender"]
    for _ in range(3):
        await served.ticket("cold-harbour", "slate-roof")
    await served.settled()
    await served.done(f"/builds/{build['id']}/start", {"bartender": mine})
    await served.settled()
    served.clock.advance(25)
    tap = await served.done(f"/builds/{build['id']}/made")
    assert "runs by itself" in tap["said"]
    assert tap["started"] not in (None, build["id"])
    order = await served.order()
    at_hand, alone = here(order, mine)["now"]
    assert (at_hand["is_at_hand"], alone["is_at_hand"]) == (True, False)
    assert alone["id"] == build["id"]
    top = alone["stretches"][1]
    assert top["state"] == "to_come"
    assert top["ready_at"] < top["window_until"]
    served.clock.advance(110)
    await served.settled()
    await served.done(f"/builds/{build['id']}/made")
    assert await states(served, found["id"]) == ["made"]
    still = here(await served.order(), mine)["now"]
    assert [now["id"] for now in still] == [at_hand["id"]], "the hands stay where they are"


async def test_put_back_before_ice_loses_nothing(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/start")
    (now,) = in_hand(await served.order())
    assert now["put_back_until"] > now["started_at"]
    served.clock.advance(5)
    tap = await served.done(f"/builds/{build['id']}/put-back", {"reason": "wrong bottle"})
    assert tap["said"].startswith("put back")
    assert await states(served, found["id"]) == ["waiting"]
    await served.done(f"/builds/{build['id']}/start")


async def test_put_back_after_ice_only_with_loss(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/start")
    served.clock.advance(55)
    refused = await served.post(f"/builds/{build['id']}/put-back")
    assert refused.status_code == 409
    assert "loss: true" in refused.json()["detail"]
    await served.done(f"/builds/{build['id']}/put-back", {"loss": True})
    assert await states(served, found["id"]) == ["void", "waiting"]
    (anew,) = planned(await served.order())
    assert anew["id"] != build["id"]
    assert (await served.post(f"/builds/{build['id']}/put-back")).status_code == 409


async def test_caught_up_closes_what_is_in_hand(served: Served) -> None:
    for _ in range(4):
        await served.ticket("cold-harbour", "slate-roof")
    order = await served.settled()
    for card in order["bartenders"]:
        if card["next"]:
            await served.done(f"/builds/{card['next']['id']}/start")
    served.clock.advance(90)
    tap = await served.done("/caught-up")
    assert tap["said"].startswith("caught up, made:")
    assert in_hand(await served.order()) == []


async def test_caught_up_to_a_build_closes_all_before_it(served: Served) -> None:
    for _ in range(8):
        await served.ticket("cold-harbour", "slate-roof")
    order = await served.settled()
    mine = max(order["bartenders"], key=lambda card: len(card["then"]))
    upto = [mine["next"]["id"], *(build["id"] for build in mine["then"])][:3]
    await served.done("/caught-up", {"bartender": mine["id"], "up_to": upto[-1]})
    after = {build["id"] for build in planned(await served.settled())}
    assert after.isdisjoint(upto)
    nothing = await served.done("/caught-up", {"bartender": mine["id"]})
    assert "nothing was open" in nothing["said"]


async def test_undo_takes_back_the_last_tap_of_that_screen(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    other = await served.ticket("slate-roof")
    build = await first_build(served)
    await served.done(f"/builds/{build['id']}/start", {"screen": "left"})
    await served.done(f"/tickets/{other['id']}/hold", {"screen": "right", "hold": True})
    tap = await served.done("/undo", {"screen": "left"})
    assert tap["said"].startswith("taken back: started at")
    assert await states(served, found["id"]) == ["waiting"]
    assert (await served.get(f"/tickets/{other['id']}")).json()["is_on_hold"] is True
    nothing = await served.post("/undo", {"screen": "left"})
    assert nothing.status_code == 409
    assert "there is none" in nothing.json()["detail"]


async def test_undo_of_made_puts_the_next_build_back_too(served: Served) -> None:
    for _ in range(4):
        await served.ticket("cold-harbour", "slate-roof")
    build = await first_build(served)
    mine = build["bartender"]
    await served.done(f"/builds/{build['id']}/start", {"screen": "s", "bartender": mine})
    served.clock.advance(60)
    await served.done(f"/builds/{build['id']}/made", {"screen": "s"})
    await served.done("/undo", {"screen": "s"})
    (now,) = here(await served.order(), mine)["now"]
    assert now["id"] == build["id"]
    await served.done("/undo", {"screen": "s"})
    assert in_hand(await served.order()) == []


async def test_undo_is_refused_when_the_same_thing_changed_since(served: Served) -> None:
    found = await served.ticket("cold-harbour")
    drink = found["drinks"][0]["id"]
    await served.done(f"/drinks/{drink}/already-made", {"screen": "left"})
    await served.done(f"/drinks/{drink}/gone", {"screen": "right"})
    refused = await served.post("/undo", {"screen": "left"})
    assert refused.status_code == 409
    assert "put it right by hand" in refused.json()["detail"]
    await served.done("/undo", {"screen": "right"})
    await served.done("/undo", {"screen": "left"})
    assert await states(served, found["id"]) == ["waiting"]


async def test_undo_works_after_a_restart(tmp_path: Path, saltmarch: Bar) -> None:
    clock = HandClock()
    database = tmp_path / "night.db"
    async with serving(database, saltmarch, clock) as served:
        found = await served.ticket("cold-harbour")
        build = await first_build(served)
        await served.done(f"/builds/{build['id']}/start", {"screen": "s"})
        served.clock.advance(60)
        await served.done(f"/builds/{build['id']}/made", {"screen": "s"})
    async with serving(database, None, clock) as served:
        await served.done("/undo", {"screen": "s"})
        await served.done("/undo", {"screen": "s"})
        assert await states(served, found["id"]) == ["waiting"]


async def test_a_bar_top_round_is_handed_over_before_the_next_build(served: Served) -> None:
    await served.ticket("cold-harbour", channel="bar_top", place="seat 2")
    for _ in range(4):
        await served.ticket("slate-roof", "cold-harbour")
    order = await served.settled()
    card = next(c for c in order["bartenders"] if c["next"] and c["next"]["places"] == ["seat 2"])
    await served.done(f"/builds/{card['next']['id']}/start")
    served.clock.advance(50)
    tap = await served.done(f"/builds/{card['next']['id']}/made")
    now = here(await served.order(), card["id"])
    assert now["serving"] == "100"
    assert now["serving_until"] > "2027-02-12T21:00:50.0Z"
    if tap["started"]:
        assert now["now"][0]["started_at"] == now["serving_until"]


async def test_a_build_keeps_the_work_it_was_begun_with(tmp_path: Path, saltmarch: Bar) -> None:
    """One chilled stem: the older drink has it, the younger is chilled with ice and water."""
    counter = saltmarch.counter
    one = tuple(replace(g, chilled=1) if g.id == "stem" else g for g in counter.glasses)
    bar = replace(saltmarch, counter=replace(counter, glasses=one))
    async with serving(tmp_path / "night.db", bar, HandClock()) as served:

        async def build_of(ticket: dict[str, Any]) -> str:
            drink = ticket["drinks"][0]["id"]
            builds = planned(await served.settled())
            return next(str(b["id"]) for b in builds if drink in [d["id"] for d in b["drinks"]])

        first = await served.ticket("slate-roof")
        served.clock.advance(5)
        second = await served.ticket("empty-chair", channel="bar_top")
        older, younger = await build_of(first), await build_of(second)
        await served.done(f"/builds/{older}/start", {"bartender": "ruth"})
        await served.done(f"/builds/{younger}/start", {"bartender": "tam"})
        served.clock.advance(53)
        await served.done(f"/builds/{younger}/made", {"start_next": False})
        served.clock.advance(15)
        lager = await build_of(await served.ticket("lager-pint", channel="bar_top"))
        made = await served.done(f"/builds/{lager}/made", {"bartender": "tam"})
        assert made["started"] == younger
        served.clock.advance(16)
        # The only chilled stem leaves with the older drink.
        await served.done(f"/builds/{older}/made", {"start_next": False})
        order = await served.order()
        assert [a for a in order["alerts"] if a["kind"] == "plan"] == []
        answer = await served.post(f"/builds/{younger}/made", {"start_next": False})
        assert answer.status_code == 200, answer.text
        assert await states(served, second["id"]) == ["made"]


async def test_undo_takes_the_tap_that_came_last_when_the_clock_stepped_back(
    served: Served,
) -> None:
    first = await served.ticket("cold-harbour")
    second = await served.ticket("slate-roof")
    await served.done(f"/drinks/{first['drinks'][0]['id']}/gone", {"screen": "left"})
    served.clock.advance(-30)
    await served.done(f"/drinks/{second['drinks'][0]['id']}/gone", {"screen": "left"})
    undone = await served.done("/undo", {"screen": "left"})
    assert "Slate Roof" in undone["said"]
    assert await states(served, second["id"]) == ["waiting"]
