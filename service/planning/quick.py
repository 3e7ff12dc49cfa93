"""Plans for a bar's state: the quick one of every event, and whether another is worth showing.

The quick plan never fails: where the planner cannot plan or breaks, what was shown stands, as far
as it is still true, and the order says so.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from service.night.moment import shifted, snapshot_of
from service.night.records import OrderRecord, ShownBuild
from service.night.state import BarState
from solver.errors import CannotPlan, EngineFault
from solver.plan import Plan, PlannedBuild
from solver.snapshot import NO_TIME, InHand, Snapshot, rail_of

log = logging.getLogger("threedeep.planning")

SAME_S = 5.0
"""Times that moved by no more than this are not worth a new order on the screens."""

WARMING_UP = "the planner is getting ready; what came in is kept and planned in a moment"

STOOD_STILL = "the order could not be planned anew; the last one stands as far as it is true"


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan and the moment its seconds count from; no plan where nothing is open."""

    moment: datetime
    plan: Plan | None
    trouble: str = ""


def quick_plan(state: BarState, now: datetime, clock: Callable[[], float]) -> Planned:
    """Put what is new into the order last shown; within milliseconds, and whatever happens.

    The bound on the worst round takes a plan of its own to know and is left to the search, which
    follows at once.

    Parameters
    ----------
    state : BarState
    now : datetime
    clock : callable
        A monotonic clock in seconds.
    """
    snapshot = snapshot_of(state, now)
    if not snapshot.tickets:
        return Planned(moment=now, plan=None)
    previous = previous_plan(state, now)
    try:
        snapshot = in_time(snapshot, previous)
        return Planned(moment=now, plan=_inserted(snapshot, previous, clock))
    except CannotPlan as error:
        plan = what_stands(snapshot, previous)
        return Planned(moment=now, plan=plan, trouble="; ".join(error.reasons))
    except Exception:
        # A fault of ours must not cost a bar its tickets: the tap is kept, the fault is logged.
        log.exception("action=quick_plan bar=%s", state.bar.id)
        return Planned(moment=now, plan=what_stands(snapshot, previous), trouble=STOOD_STILL)


def in_time(snapshot: Snapshot, previous: Plan | None) -> Snapshot:
    """Give the snapshot with what comes too late for the hard stop.

    Parameters
    ----------
    snapshot : Snapshot
    previous : Plan or None
        What it gave up is given up still, unless there is time for it by now.
    """
    from solver import planner  # noqa: PLC0415 (as below)

    aside = previous.set_aside if previous is not None else ()
    return planner.in_time(snapshot, {row.drink for row in aside if row.reason == NO_TIME})


def _inserted(snapshot: Snapshot, previous: Plan | None, clock: Callable[[], float]) -> Plan:
    """Put what is new into the present order; anew where that order breaks a rule by now."""
    # Seconds of importing: the service answers meanwhile.
    from solver.planner import insert  # noqa: PLC0415

    try:
        return insert(snapshot, previous, clock=clock)
    except EngineFault as fault:
        if previous is None:
            raise
        log.info("action=plan_anew bar=%s because=%s", snapshot.bar, fault)
        return insert(snapshot, None, clock=clock)


def unplanned(state: BarState, now: datetime) -> Planned:
    """Give what stands while the planner is not ready yet."""
    snapshot = snapshot_of(state, now)
    plan = what_stands(snapshot, previous_plan(state, now))
    return Planned(moment=now, plan=plan, trouble=WARMING_UP if snapshot.tickets else "")


def previous_plan(state: BarState, now: datetime) -> Plan | None:
    """Give the plan last shown with its seconds counted from another moment."""
    if state.order is None or state.order.plan is None:
        return None
    return shifted(state.order.plan, state.order.moment, now)


def what_stands(snapshot: Snapshot, previous: Plan | None) -> Plan:
    """Give what of a plan is still true: its builds that wait whole, and those in hand."""
    rail = rail_of(snapshot)
    if previous is None:
        return Plan(planner="last shown", builds=(), cost=0, set_aside=rail.set_aside)
    waiting = {drink.id for drink in rail.drinks}
    begun = {build.build: build for build in snapshot.in_hand}
    builds = [
        _begun(build, begun[build.id])
        for build in previous.builds
        if build.id in begun and set(begun[build.id].drinks) <= set(build.drinks)
    ]
    builds += [
        replace(build, is_in_hand=False)
        for build in previous.builds
        if build.id not in begun and set(build.drinks) <= waiting
    ]
    return replace(
        previous, planner="last shown", builds=tuple(builds), servings=(), set_aside=rail.set_aside
    )


def is_worth_showing(shown: OrderRecord, planned: Planned) -> bool:
    """Whether screens should hear of a plan: other builds, hands or sequence, or other times."""
    if shown.plan is None or planned.plan is None:
        return shown.plan is not planned.plan
    if shown.trouble != planned.trouble or shown.plan.set_aside != planned.plan.set_aside:
        return True
    before = shifted(shown.plan, shown.moment, planned.moment)
    if _sequence(before) != _sequence(planned.plan):
        return True
    starts = {build.id: build for build in before.builds}
    return any(
        abs(block.start_s - old.start_s) > SAME_S or abs(block.end_s - old.end_s) > SAME_S
        for build in planned.plan.builds
        for block, old in zip(build.blocks, starts[build.id].blocks, strict=False)
    )


def newly_shown(state: BarState, plan: Plan | None) -> list[ShownBuild]:
    """Give the planned builds of a plan that no order showed before, or showed otherwise."""
    found = []
    for build in plan.builds if plan else ():
        if not build.is_in_hand:
            shown = ShownBuild(id=build.id, person=build.person, drinks=build.drinks)
            if state.shown.get(build.id) != shown:
                found.append(shown)
    return found


def _begun(build: PlannedBuild, begun: InHand) -> PlannedBuild:
    kept = [
        (name, at)
        for name, at in zip(build.drinks, build.made_s, strict=True)
        if name in begun.drinks
    ]
    return replace(
        build,
        person=begun.person,
        drinks=tuple(name for name, _ in kept),
        made_s=tuple(at for _, at in kept),
        is_in_hand=True,
    )


def _sequence(plan: Plan) -> list[tuple[str, str, bool, tuple[str, ...]]]:
    builds = sorted(plan.builds, key=lambda build: (build.person, build.start_s, build.id))
    return [(build.person, build.id, build.is_in_hand, build.drinks) for build in builds]
