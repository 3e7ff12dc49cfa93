"""Flame: trained hands, one at a time, off means off, and what is in hand then is said."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import BAR, in_hand, planned

if TYPE_CHECKING:
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio
BLAZE = "The Keeper's Blaze at bar top, left"


async def build_of(served: Served, recipe: str) -> str:
    """Order one drink and give the build it is planned in."""
    ticket = await served.ticket(recipe, channel="bar_top")
    drink = ticket["drinks"][0]["id"]
    builds = planned(await served.settled())
    return next(str(b["id"]) for b in builds if drink in [d["id"] for d in b["drinks"]])


async def flame_alerts(served: Served) -> list[str]:
    return [a["words"] for a in (await served.order())["alerts"] if a["kind"] == "flame"]


async def event(served: Served, **body: Any) -> str:
    return str((await served.done("/events", body))["said"])


async def warmed(served: Served) -> str:
    """A flamed build of tam's whose mugs are warm: only its flame is to come."""
    blaze = await build_of(served, "keepers-blaze")
    await served.done(f"/builds/{blaze}/start", {"bartender": "tam"})
    served.clock.advance(35)
    await served.done(f"/builds/{blaze}/made", {"start_next": False})
    lager = await build_of(served, "lager-pint")
    await served.done(f"/builds/{lager}/start", {"bartender": "tam"})
    served.clock.advance(40)
    return lager


def stretches(served: Served, recipe: str) -> list[int]:
    state = served.floor.desks[BAR].state
    (build,) = [
        build
        for build in state.builds.values()
        if any(state.drinks[drink].name == recipe for drink in build.drinks)
    ]
    return [stretch.index for stretch in build.stretches]


async def test_only_who_can_make_it_may_start(served: Served) -> None:
    blaze = await build_of(served, "keepers-blaze")
    for person, why in (("ines", "right is not trained on flamed"), ("ruth", "a clear place")):
        refused = await served.post(f"/builds/{blaze}/start", {"bartender": person})
        assert refused.status_code == 409, refused.text
        assert why in refused.json()["detail"]
    await served.done(f"/builds/{blaze}/start", {"bartender": "tam"})


async def test_nothing_flamed_is_started_while_flame_is_off(served: Served) -> None:
    blaze = await build_of(served, "keepers-blaze")
    await event(served, event="flame", allowed=False)
    refused = await served.post(f"/builds/{blaze}/start", {"bartender": "tam"})
    assert refused.status_code == 409
    assert "flame is off" in refused.json()["detail"]
    await event(served, event="flame", allowed=True)
    await served.done(f"/builds/{blaze}/start", {"bartender": "tam"})


async def test_flame_off_names_what_is_not_lit_and_does_not_begin_it(served: Served) -> None:
    lager = await warmed(served)
    off = f"flame is off: {BLAZE} is not lit: do not light it, put it back"
    assert await event(served, event="flame", allowed=False) == off
    assert await flame_alerts(served) == [off]
    made = await served.done(f"/builds/{lager}/made", {"bartender": "tam"})
    assert "not begun: The Keeper's Blaze, flame is off" in made["said"]
    assert made["started"] is None
    assert stretches(served, "The Keeper's Blaze") == [0]


async def test_flame_off_says_that_something_may_be_alight(served: Served) -> None:
    lager = await warmed(served)
    made = await served.done(f"/builds/{lager}/made", {"bartender": "tam"})
    assert made["said"].endswith("now The Keeper's Blaze")
    off = f"flame is off: {BLAZE} may be alight: snuff it with the lid, or put it back"
    assert await event(served, event="flame", allowed=False) == off
    assert await flame_alerts(served) == [off]


async def test_one_flame_at_a_time(served: Served) -> None:
    lager = await warmed(served)
    await served.done(f"/builds/{lager}/made", {"bartender": "tam"})
    other = await build_of(served, "keepers-blaze")
    refused = await served.post(f"/builds/{other}/start", {"bartender": "tam"})
    assert refused.status_code == 409
    assert f"a flame is alight, {BLAZE}: wait until it is out" in refused.json()["detail"]
    (alight,) = in_hand(await served.order())
    await served.done(f"/builds/{alight['id']}/made", {"start_next": False})
    await served.done(f"/builds/{other}/start", {"bartender": "tam"})


async def test_two_peels_that_would_burn_at_once_are_said(served: Served) -> None:
    one = await build_of(served, "beacon-hour")
    await served.done(f"/builds/{one}/start", {"bartender": "tam"})
    assert await flame_alerts(served) == []
    served.clock.advance(3)
    other = await build_of(served, "beacon-hour")
    await served.done(f"/builds/{other}/start", {"bartender": "tam"})
    (alert,) = await flame_alerts(served)
    assert alert.startswith("two flames at once: ")


async def test_nobody_lights_what_its_owner_left(served: Served) -> None:
    await warmed(served)
    assert await flame_alerts(served) == []
    await event(served, event="person_off", person="tam")
    assert await flame_alerts(served) == [f"{BLAZE}: nobody here may light it: put it back"]
    await event(served, event="person_on", person="tam")
    assert await flame_alerts(served) == []


async def test_a_flame_that_was_left_alight_is_said(served: Served) -> None:
    lager = await warmed(served)
    await served.done(f"/builds/{lager}/made", {"bartender": "tam"})
    await event(served, event="person_off", person="tam")
    (alert,) = await flame_alerts(served)
    assert alert == f"{BLAZE} may be alight and nobody is there: snuff it with the lid"
