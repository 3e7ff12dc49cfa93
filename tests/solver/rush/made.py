"""Nights written by hand, so that every figure can be worked out on paper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solver.rush.night import (
    DrinkEnd,
    DrinkLog,
    GlassLog,
    Night,
    PersonLog,
    PlanningLog,
    ResourceKind,
    RoundLog,
    UsedLog,
    UseLog,
    WaitLog,
    WaitsFor,
    WellLog,
)
from solver.rush.scenario import Policy
from solver.tickets import Channel


def drink(n: int, end: DrinkEnd = DrinkEnd.MADE, **more: Any) -> DrinkLog:
    told = {"mix": "gin and tonic", "recipe": "", "method": "built", "ordered_s": 0.0, **more}
    return DrinkLog(id=f"d{n}", ticket="t", end=end, **told)


def done(placed_s: float, took_s: float, **more: Any) -> RoundLog:
    """A round that was done so long after it was placed."""
    told: dict[str, Any] = {
        "channel": Channel.BAR_TOP,
        "promise_s": 360,
        "overtaken": 0,
        "is_counted": True,
        "drinks": (drink(1),),
        **more,
    }
    at_s = placed_s + took_s
    return RoundLog(
        ticket="t",
        number="1",
        place="",
        placed_s=placed_s,
        last_made_s=at_s,
        gave_up_s=None,
        served_s=None,
        gone_s=at_s,
        over_s=at_s,
        **told,
    )


def undone(
    placed_s: float, *, gave_up_s: float | None = None, over_s: float | None = None
) -> RoundLog:
    """A round that was given up, wholly taken back (`over_s` alone), or left open (neither)."""
    end = DrinkEnd.GAVE_UP if gave_up_s else DrinkEnd.VOID if over_s else DrinkEnd.OPEN
    return RoundLog(
        ticket="t",
        number="1",
        place="",
        channel=Channel.BAR_TOP,
        placed_s=placed_s,
        promise_s=360,
        last_made_s=None,
        gave_up_s=gave_up_s,
        served_s=None,
        gone_s=None,
        over_s=gave_up_s or over_s,
        overtaken=0,
        is_counted=True,
        drinks=(drink(1, end),),
    )


def night(rounds: Sequence[RoundLog] = (), **more: Any) -> Night:
    """A night of two quarters, 19:00 to 19:30, in which hands stop at 19:25."""
    told: dict[str, Any] = {
        "people": (
            PersonLog(
                person="anna",
                station="well",
                on_s=(900.0, 600.0),
                making_s=(300.0, 200.0),
                serving_s=(100.0, 0.0),
                errand_s=(50.0, 0.0),
                standing_s=(90.0, 0.0),
                num_builds=3,
                num_drinks=5,
            ),
            PersonLog(
                person="ben",
                station="well",
                on_s=(900.0, 0.0),
                making_s=(450.0, 0.0),
                serving_s=(0.0, 0.0),
                errand_s=(0.0, 0.0),
                standing_s=(0.0, 0.0),
                num_builds=1,
                num_drinks=1,
            ),
        ),
        "uses": (
            UseLog(
                name="tin_set@well",
                kind=ResourceKind.VESSEL,
                capacity=4,
                held_s=(1800.0, 600.0),
                most_held=3,
            ),
            UseLog(
                name="washer",
                kind=ResourceKind.WASHER,
                capacity=0,
                held_s=(100.0, 0.0),
                most_held=2,
            ),
        ),
        "waits": (
            WaitLog(what=WaitsFor.HANDS, name="well", waited_s=(200.0, 100.0)),
            WaitLog(what=WaitsFor.TAP, name="tap:lager", waited_s=(100.0, 0.0)),
            WaitLog(what=WaitsFor.ROUND, name="", waited_s=(5000.0, 0.0)),
            WaitLog(what=WaitsFor.RUNS_ALONE, name="stout", waited_s=(90.0, 0.0)),
            WaitLog(what=WaitsFor.RUNS_ALONE, name="coffee", waited_s=(27.0, 0.0)),
        ),
        "wells": (
            WellLog(name="well/cubed", used_kg=9.0, refilled_at_s=(800.0,), empty_s=30.0),
            WellLog(name="top/cubed", used_kg=3.0, refilled_at_s=(), empty_s=0.0),
        ),
        "glasses": (GlassLog(glass="rocks", stock=36, used=9, most_in_use=7, none_clean_s=0.0),),
        "used": (
            UsedLog(ingredient="gin", ml=700.0, pieces=0.0, drinks=14, out_s=0.0),
            UsedLog(ingredient="egg", ml=90.0, pieces=3.0, drinks=3, out_s=60.0),
        ),
        "in_system": (),
        "open_drinks": (),
        "ended_s": 1500.0,
        **more,
    }
    return Night(
        scenario="a night",
        house="a bar",
        policy=Policy.LOOK_AHEAD,
        seed=1,
        doors="19:00",
        counted_from_s=0.0,
        last_orders_s=1500.0,
        hard_stop_s=1800.0,
        num_quarters=2,
        rounds=tuple(rounds),
        planning=PlanningLog(),
        **told,
    )
