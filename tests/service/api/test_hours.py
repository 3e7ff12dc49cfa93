"""Breaks, shifts, tired arms and the end of service, told and kept through HTTP.

The evening of the tests begins at 21:00 on the house's clock, which is UTC in February.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

import pytest

from service.night.hours import business_date, instant, stretch
from tests.service.conftest import here, in_hand

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def told(served: Served, *, rules: dict[str, Any] | None = None, **changes: Any) -> None:
    """Change the counter; `people` changes each person."""
    counter = (await served.get("/counter")).json()
    for person in counter["people"]:
        person.update(changes.get(person["id"], {}))
    counter.setdefault("rules", {}).update(rules or {})
    counter.setdefault("hours", {}).update(changes.get("hours", {}))
    answer = await served.put("/counter", counter)
    assert answer.status_code == 200, answer.text


def planned_for(order: dict[str, Any], bartender: str) -> list[dict[str, Any]]:
    card = here(order, bartender)
    return [*([card["next"]] if card["next"] else []), *card["then"]]


async def test_nothing_is_planned_into_a_break(served: Served) -> None:
    await told(served, ruth={"breaks": ["20:55-21:10"]})
    for _ in range(3):
        await served.ticket("cold-harbour")
    order = await served.settled()
    assert not planned_for(order, "ruth")
    assert (here(order, "ruth")["is_on"], here(order, "ruth")["back_at"][:16]) == (
        False,
        "2027-02-12T21:10",
    )
    assert "has a break until 21:10" in " ".join(a["words"] for a in order["alerts"])
    assert sum(len(planned_for(order, who)) for who in ("tam", "ines")) > 0


async def test_made_begins_nothing_behind_a_break(served: Served) -> None:
    """The second build does not fit before 21:01: whoever taps the first one made has a break."""
    await told(served, ruth={"breaks": ["21:01-21:16"]})
    for other in ("tam", "ines"):
        await served.done("/events", {"event": "person_off", "person": other})
    await served.ticket("cold-harbour")
    order = await served.settled()
    await served.done(f"/builds/{here(order, 'ruth')['next']['id']}/start")
    await served.ticket("cold-harbour")
    (later,) = planned_for(await served.settled(), "ruth")
    served.clock.advance(50)
    (build,) = in_hand(await served.order())
    await served.done(f"/builds/{build['id']}/made")
    assert in_hand(await served.order()) == []
    (still,) = planned_for(await served.settled(), "ruth")
    assert still["id"] == later["id"]


async def test_who_says_they_are_back_is_believed(served: Served) -> None:
    await told(served, ruth={"breaks": ["20:55-21:10"]})
    await served.done("/events", {"event": "person_on", "person": "ruth"})
    for _ in range(3):
        await served.ticket("cold-harbour")
    order = await served.settled()
    assert here(order, "ruth")["is_on"]
    assert planned_for(order, "ruth")


async def test_after_a_shift_the_others_work(served: Served) -> None:
    await told(served, ruth={"shift": "15:00-21:00"}, tam={"shift": "18:00-02:00"})
    await served.ticket(*["cold-harbour"] * 3)
    order = await served.settled()
    assert not planned_for(order, "ruth")


async def test_arms_rest_after_shaking_in_a_row(served: Served) -> None:
    await told(served, rules={"shakes_in_a_row": 1, "rest_s": 120})
    await served.ticket("cold-harbour")
    order = await served.settled()
    (who,) = [card["id"] for card in order["bartenders"] if card["next"]]
    await served.done(f"/builds/{here(order, who)['next']['id']}/start")
    served.clock.advance(60)
    (build,) = in_hand(await served.order())
    await served.done(f"/builds/{build['id']}/made")
    for other in order["bartenders"]:
        if other["id"] != who:
            await served.done("/events", {"event": "person_off", "person": other["id"]})
    await served.ticket("cold-harbour")
    (again,) = planned_for(await served.settled(), who)
    starts = datetime.fromisoformat(again["start_at"]) if "start_at" in again else None
    assert starts is None or starts >= datetime(2027, 2, 12, 21, 3, tzinfo=UTC)
    snapshot = served.floor.desks["saltmarch"].state
    assert snapshot.order is not None
    assert snapshot.order.plan is not None
    assert snapshot.order.plan.builds[0].start_s == 120.0


async def test_nothing_is_made_after_the_hard_stop(served: Served) -> None:
    await told(served, hours={"last_orders": "20:59", "hard_stop": "21:02"})
    ticket = await served.ticket("cold-harbour")
    order = await served.settled()
    assert [one["drink"] for one in order["set_aside"]] == [d["id"] for d in ticket["drinks"]]
    assert order["set_aside"][0]["reason"].endswith("came after last orders")
    words = " ".join(alert["words"] for alert in order["alerts"])
    assert "last orders were at 20:59" in words
    assert "nothing is made after 21:02" in words


async def test_what_does_not_fit_before_it_is_set_aside_and_said(served: Served) -> None:
    await told(served, hours={"hard_stop": "21:04"})
    for _ in range(14):
        await served.ticket("cold-harbour", "cold-harbour", channel="bar_top")
    order = await served.settled()
    reasons = {one["reason"] for one in order["set_aside"]}
    assert reasons == {"no time is left for it before the hard stop"}
    assert any(planned_for(order, who) for who in ("ruth", "tam", "ines"))
    served.clock.advance(241)
    await served.done("/events", {"event": "person_on", "person": "ruth"})
    order = await served.settled()
    assert len(order["set_aside"]) == 28
    assert not any(planned_for(order, who) for who in ("ruth", "tam", "ines"))


class TestClock:
    """Worked by hand; Europe/London is UTC in February and an hour ahead in summer."""

    LONDON = "Europe/London"

    def test_the_small_hours_belong_to_the_evening_before(self) -> None:
        at = datetime(2027, 2, 13, 2, 30, tzinfo=UTC)
        assert business_date(at, self.LONDON) == date(2027, 2, 12)
        assert instant(date(2027, 2, 12), 2 * 3600, self.LONDON) == datetime(
            2027, 2, 13, 2, tzinfo=UTC
        )

    def test_a_shift_past_midnight(self) -> None:
        begins, ends = stretch(date(2027, 7, 2), "18:00-02:00", self.LONDON)
        assert (begins.hour, ends.hour, (ends - begins).total_seconds()) == (17, 1, 8 * 3600)

    def test_a_night_that_loses_an_hour(self) -> None:
        """On 28 March 2027 clocks go from 01:00 to 02:00: midnight to 03:00 is two hours."""
        begins, ends = stretch(date(2027, 3, 27), "00:00-03:00", self.LONDON)
        assert (ends - begins).total_seconds() == 2 * 3600

    def test_a_night_that_gains_one(self) -> None:
        """On 31 October 2027 clocks go back from 02:00 to 01:00."""
        begins, ends = stretch(date(2027, 10, 30), "00:00-03:00", self.LONDON)
        assert (ends - begins).total_seconds() == 4 * 3600
