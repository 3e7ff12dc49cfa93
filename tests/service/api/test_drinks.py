"""Taps on single drinks and on whole rounds, and lines changed after the ticket came."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import in_hand, planned

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def drinks_of(served: Served, ticket: dict[str, Any]) -> list[dict[str, Any]]:
    found = (await served.get(f"/tickets/{ticket['id']}")).json()["drinks"]
    return list(found)


async def states(served: Served, ticket: dict[str, Any]) -> list[str]:
    return [drink["state"] for drink in await drinks_of(served, ticket)]


async def started(served: Served, *recipes: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """A ticket whose drinks are in hand in one build of the only bartender, and that build."""
    for person in ("tam", "ines"):
        await served.done("/events", {"event": "person_off", "person": person})
    ticket = await served.ticket(*recipes)
    order = await served.settled()
    build = next(card["next"] for card in order["bartenders"] if card["next"])
    await served.done(f"/builds/{build['id']}/start")
    return ticket, build


async def test_void_of_a_waiting_drink(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", "slate-roof")
    drink = ticket["drinks"][0]["id"]
    tap = await served.done(f"/drinks/{drink}/void")
    assert tap["said"].startswith("void: Cold Harbour")
    assert await states(served, ticket) == ["void", "waiting"]
    again = await served.post(f"/drinks/{drink}/void")
    assert again.status_code == 409
    assert "is void" in again.json()["detail"]


async def test_void_of_a_drink_in_hand_leaves_the_others(served: Served) -> None:
    ticket, build = await started(served, "cold-harbour", "cold-harbour")
    await served.done(f"/drinks/{build['drinks'][0]['id']}/void")
    (now,) = in_hand(await served.order())
    assert [drink["id"] for drink in now["drinks"]] == [build["drinks"][1]["id"]]
    await served.done(f"/builds/{build['id']}/made")
    assert sorted(await states(served, ticket)) == ["made", "void"]


async def test_void_of_all_drinks_in_hand_ends_the_build(served: Served) -> None:
    _, build = await started(served, "cold-harbour")
    await served.done(f"/drinks/{build['drinks'][0]['id']}/void")
    order = await served.order()
    assert (in_hand(order), planned(order)) == ([], [])


async def test_remake_needs_a_reason_and_makes_a_new_drink(served: Served) -> None:
    ticket, build = await started(served, "cold-harbour")
    drink = build["drinks"][0]["id"]
    assert (await served.post(f"/drinks/{drink}/remake", {})).status_code == 422
    assert (await served.post(f"/drinks/{drink}/remake", {"reason": " "})).status_code == 422
    served.clock.advance(40)
    await served.done(f"/builds/{build['id']}/made")
    tap = await served.done(f"/drinks/{drink}/remake", {"reason": "spilled"})
    old, new = await drinks_of(served, ticket)
    assert (old["state"], old["reason"]) == ("void", "remake: spilled")
    assert (new["state"], new["name"]) == ("waiting", "Cold Harbour")
    assert tap["drinks"] == [old["id"], new["id"]]
    waiting = await served.post(f"/drinks/{new['id']}/remake", {"reason": "spilled"})
    assert waiting.status_code == 409


async def test_a_noted_allergen_in_the_drink_waits_for_a_person(served: Served) -> None:
    line = {"recipe": "milk-round", "allergies": ["milk"], "quantity": 2}
    ticket = await served.ticket(line)
    assert [row["reason"] for row in ticket["set_aside"]] == [
        "milk is in the drink itself: a person must confirm"
    ] * 2
    drink = ticket["drinks"][0]["id"]
    tap = await served.done(f"/drinks/{drink}/confirm", {"screen": "s"})
    assert "confirmed with the guest (milk)" in tap["said"]
    assert len(tap["drinks"]) == 2
    order = await served.order()
    assert order["set_aside"] == []
    nexts = [card["next"] for card in order["bartenders"] if card["next"]]
    assert all(d["is_alone"] for build in nexts for d in build["drinks"])
    assert (await served.post(f"/drinks/{drink}/confirm")).status_code == 409
    await served.done("/undo", {"screen": "s"})
    assert len((await served.order())["set_aside"]) == 2


async def test_nothing_to_confirm(served: Served) -> None:
    ticket = await served.ticket("cold-harbour")
    answer = await served.post(f"/drinks/{ticket['drinks'][0]['id']}/confirm")
    assert answer.status_code == 409


async def test_gone_takes_an_open_drink_as_made(served: Served) -> None:
    ticket, build = await started(served, "cold-harbour")
    await served.done(f"/drinks/{build['drinks'][0]['id']}/gone")
    (drink,) = await drinks_of(served, ticket)
    assert (drink["state"], drink["is_estimate"]) == ("gone", True)
    assert in_hand(await served.order()) == []
    assert (await served.post(f"/drinks/{drink['id']}/gone")).status_code == 409


async def test_already_made_leaves_the_order(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", "slate-roof")
    await served.done(f"/drinks/{ticket['drinks'][0]['id']}/already-made")
    assert await states(served, ticket) == ["made", "waiting"]
    (build,) = planned(await served.settled())
    assert [drink["name"] for drink in build["drinks"]] == ["Slate Roof"]


async def test_a_round_gone_leaves_the_screens(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", "slate-roof")
    await served.done(f"/tickets/{ticket['id']}/gone")
    assert await states(served, ticket) == ["gone", "gone"]
    assert (await served.order())["rounds"] == []
    assert (await served.post(f"/tickets/{ticket['id']}/gone")).status_code == 409


async def test_a_round_void(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", "gibberish")
    await served.done(f"/tickets/{ticket['id']}/void")
    order = await served.order()
    assert (order["rounds"], order["unread"], planned(order)) == ([], [], [])
    assert (await served.post(f"/tickets/{ticket['id']}/void")).status_code == 409
    lines = await served.post(f"/tickets/{ticket['id']}/lines", {"add": [{"recipe": "slate-roof"}]})
    assert lines.status_code == 409


async def test_a_round_held_back_is_not_planned(served: Served) -> None:
    ticket = await served.ticket("cold-harbour")
    await served.done(f"/tickets/{ticket['id']}/hold", {"hold": True})
    order = await served.order()
    assert planned(order) == []
    assert order["set_aside"][0]["reason"] == "ticket 100 is held back"
    assert (await served.post(f"/tickets/{ticket['id']}/hold", {"hold": True})).status_code == 409
    await served.done(f"/tickets/{ticket['id']}/hold", {"hold": False})
    assert len(planned(await served.order())) == 1


async def test_lines_are_added_changed_and_taken_off(served: Served) -> None:
    ticket = await served.ticket("cold-harbour", {"recipe": "slate-roof", "quantity": 2})
    first, second = (line["line"] for line in ticket["lines"])
    await served.done(
        f"/tickets/{ticket['id']}/lines",
        {
            "add": [{"recipe": "lager-pint"}],
            "change": [{"line": second, "to": {"recipe": "slate-roof", "note": "no ice"}}],
            "void": [first],
        },
    )
    now = (await served.get(f"/tickets/{ticket['id']}")).json()
    left = [drink["name"] for drink in now["drinks"] if drink["state"] == "waiting"]
    assert sorted(left) == ["Slate Roof", "Slate Roof", "pint of lager"]
    assert [line["is_void"] for line in now["lines"]] == [True, True, False, False]


async def test_a_line_in_hand_is_not_changed_any_more(served: Served) -> None:
    ticket, _ = await started(served, "cold-harbour")
    line = ticket["lines"][0]["line"]
    for body in ({"void": [line]}, {"change": [{"line": line, "to": {"recipe": "slate-roof"}}]}):
        answer = await served.post(f"/tickets/{ticket['id']}/lines", body)
        assert answer.status_code == 409, body
    for body, status in (
        ({}, 422),
        ({"void": ["no such line"]}, 404),
        ({"add": [{"recipe": "slate-roof", "quantity": 0}]}, 422),
    ):
        answer = await served.post(f"/tickets/{ticket['id']}/lines", body)
        assert answer.status_code == status, body


async def test_a_line_added_that_nobody_can_read_is_kept(served: Served) -> None:
    ticket = await served.ticket("cold-harbour")
    await served.done(f"/tickets/{ticket['id']}/lines", {"add": [{"recipe": "slat roof"}]})
    (unread,) = (await served.order())["unread"]
    assert unread["nearest"][0]["recipe"] == "slate-roof"


@pytest.mark.parametrize("tap", ["void", "gone", "already-made"])
async def test_a_drink_nobody_knows_is_404(served: Served, tap: str) -> None:
    answer = await served.post(f"/drinks/d-nothing/{tap}")
    assert answer.status_code == 404
    assert "read the build order anew" in answer.json()["detail"]
