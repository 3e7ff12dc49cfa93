"""Why a build is as it is: why these drinks together, and why now."""

from __future__ import annotations

from dataclasses import dataclass

from solver.plan import Plan, PlannedBuild
from solver.snapshot import Rail, Snapshot, rail_of

from .together import Together, together
from .turn import Order, Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why one build of a plan is as it is.

    Attributes
    ----------
    build, person : str
    drinks : tuple of str
    together : Together
    turn : Turn
    """

    build: str
    person: str
    drinks: tuple[str, ...]
    together: Together
    turn: Turn


def explain(snapshot: Snapshot, plan: Plan) -> tuple[Why, ...]:
    """Explain every build of a plan, in the plan's order.

    Parameters
    ----------
    snapshot : Snapshot
    plan : Plan
        Of this snapshot.

    Raises
    ------
    EngineFault
        When the plan is another snapshot's or leaves a drink out.
    """
    rail = rail_of(snapshot)
    order = Order(snapshot, plan, rail)
    return tuple(_why(snapshot, rail, order, build) for build in plan.builds)


def why(snapshot: Snapshot, plan: Plan, build_id: str) -> Why | None:
    """Explain one build of a plan; None where the plan has none of that id.

    Raises
    ------
    EngineFault
        As in `explain`.
    """
    rail = rail_of(snapshot)
    build = next((build for build in plan.builds if build.id == build_id), None)
    return _why(snapshot, rail, Order(snapshot, plan, rail), build) if build else None


def _why(snapshot: Snapshot, rail: Rail, order: Order, build: PlannedBuild) -> Why:
    known = rail.in_hand | {drink.id: drink for drink in rail.drinks}
    drinks = [known[drink] for drink in build.drinks]
    return Why(
        build=build.id,
        person=build.person,
        drinks=build.drinks,
        together=together(snapshot, build.person, drinks),
        turn=order.turn_of(build),
    )
