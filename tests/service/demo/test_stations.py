"""What a robot makes of a build order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from service.api.models import BartenderCard, BuildCard, BuildOrder, Stretch
from service.demo.stations import at_hand, coming_of
from solver.grid import PourGrid

NOW = datetime(2027, 2, 12, 22, tzinfo=UTC)


def at(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def stretch(index: int = 0, **told: Any) -> Stretch:
    usual: dict[str, Any] = {
        "index": index,
        "title": "make" if index == 0 else "top the stout",
        "say": (),
        "state": "to_come",
        "bartender": "ruth",
        "planned_start": at(0),
        "planned_end": at(60),
    }
    return Stretch(**(usual | told))


def build(name: str, *stretches: Stretch, is_at_hand: bool = False) -> BuildCard:
    return BuildCard(
        id=name,
        state="in_hand" if is_at_hand else "planned",
        bartender="ruth",
        title=name,
        rounds=(),
        places=(),
        drinks=(),
        grid=PourGrid(columns=(), rows=()),
        stretches=stretches,
        cautions=(),
        is_at_hand=is_at_hand,
        planned_start=stretches[0].planned_start,
        planned_made=stretches[0].planned_end,
    )


def order(*cards: BartenderCard) -> BuildOrder:
    return BuildOrder(
        bar="house",
        name="House",
        timezone="UTC",
        epoch="e",
        revision=1,
        as_of=NOW,
        planner="search",
        bartenders=cards,
        rounds=(),
        set_aside=(),
        unread=(),
        alerts=(),
    )


def bartender(
    name: str = "ruth",
    *,
    now: tuple[BuildCard, ...] = (),
    after: BuildCard | None = None,
    **told: Any,
) -> BartenderCard:
    usual: dict[str, Any] = {"is_on": True, "posts": (), "then": ()}
    return BartenderCard(
        id=name, station=name, station_name=name, now=now, next=after, **(usual | told)
    )


BEGUN = stretch(state="in_hand", started_at=at(-20))
DONE = stretch(state="done", started_at=at(-90))


def test_nothing_to_do() -> None:
    assert coming_of(order(bartender()), "ruth", NOW) is None
    assert at_hand(order(bartender()), "ruth") is None


def test_what_is_planned_is_started() -> None:
    coming = coming_of(order(bartender(after=build("b1", stretch()))), "ruth", NOW)
    assert coming is not None
    assert (coming.verb, coming.build, coming.since, coming.stretch) == ("start", "b1", NOW, None)


def test_what_is_at_hand_is_made_first() -> None:
    now = (build("b1", BEGUN, is_at_hand=True),)
    coming = coming_of(order(bartender(now=now, after=build("b2", stretch()))), "ruth", NOW)
    assert coming is not None
    assert (coming.verb, coming.build, coming.since) == ("made", "b1", at(-20))
    assert at_hand(order(bartender(now=now)), "ruth") == "b1"


def test_a_round_is_handed_over_before_the_next_start() -> None:
    card = bartender(after=build("b1", stretch()), serving="201", serving_until=at(30))
    coming = coming_of(order(card), "ruth", NOW)
    assert coming is not None
    assert coming.since == at(30)


@pytest.mark.parametrize(("tail_start_s", "expected"), [(10, "b1"), (50, "b2")])
def test_a_stout_is_topped_when_the_plan_has_it_first(tail_start_s: float, expected: str) -> None:
    tail = stretch(1, planned_start=at(tail_start_s), ready_at=at(tail_start_s))
    card = bartender(
        now=(build("b1", DONE, tail),), after=build("b2", stretch(planned_start=at(20)))
    )
    coming = coming_of(order(card), "ruth", NOW)
    assert coming is not None
    assert coming.build == expected


def test_a_stout_is_not_topped_before_it_has_settled() -> None:
    tail = stretch(1, planned_start=at(10), ready_at=at(40))
    coming = coming_of(order(bartender(now=(build("b1", DONE, tail),))), "ruth", NOW)
    assert coming is not None
    assert (coming.verb, coming.since) == ("made", at(40))


def test_another_may_top_the_stout() -> None:
    tail = stretch(1, bartender="tam", ready_at=at(0))
    told = order(bartender(now=(build("b1", DONE, tail),)), bartender("tam"))
    assert coming_of(told, "ruth", NOW) is None
    coming = coming_of(told, "tam", NOW)
    assert coming is not None
    assert (coming.verb, coming.build) == ("made", "b1")


def test_off_the_floor_nothing_is_started() -> None:
    card = bartender(after=build("b1", stretch()), is_on=False)
    assert coming_of(order(card), "ruth", NOW) is None
