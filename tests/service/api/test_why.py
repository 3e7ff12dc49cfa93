"""Why a build of the order is as it is, over HTTP."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from service.api.answers import WhyAnswer
from service.night.moment import snapshot_of
from solver.explain import together
from solver.snapshot import rail_of
from tests.service.conftest import BAR, in_hand, planned

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def test_every_build_says_why(served: Served) -> None:
    for lines in (("cold-harbour", "cold-harbour"), ("stout-pint",), ("slate-roof",)):
        await served.ticket(*lines)
    order = await served.settled()
    state = served.floor.desks[BAR].state
    assert state.order is not None
    snapshot = snapshot_of(state, state.order.moment)
    rail = {drink.id: drink for drink in rail_of(snapshot).drinks}
    numbers = {card["number"] for card in order["rounds"]}
    builds = planned(order)
    assert builds
    for build in builds:
        answer = await served.get(f"/build-order/{build['id']}/why")
        assert answer.status_code == 200, answer.text
        found = WhyAnswer.model_validate_json(answer.content)
        drinks = [d["id"] if isinstance(d, dict) else d for d in build["drinks"]]
        bartender = next(
            card["id"] for card in order["bartenders"] if build in [card["next"], *card["then"]]
        )
        saved = together(snapshot, bartender, [rail[drink] for drink in drinks])
        assert (found.together_seconds, found.apart_seconds) == (saved.together_s, saved.apart_s)
        assert found.revision == order["revision"]
        assert {shift.number for shift in found.rounds} <= numbers
        assert found.words


async def test_a_build_in_hand_says_why_together(served: Served) -> None:
    await served.ticket("cold-harbour", "cold-harbour")
    order = await served.settled()
    build = planned(order)[0]["id"]
    await served.done(f"/builds/{build}/start", {"bartender": order["bartenders"][0]["id"]})
    (held,) = in_hand(await served.order())
    found = (await served.get(f"/build-order/{held['id']}/why")).json()
    assert len(found["words"]) == 1
    assert (found["before"], found["rounds"]) == (None, [])


async def test_a_build_that_is_not_in_the_order(served: Served) -> None:
    answer = await served.get("/build-order/b-000000000000/why")
    assert answer.status_code == 404
    assert "get the order again" in answer.json()["detail"]
