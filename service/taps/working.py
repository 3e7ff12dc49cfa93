"""The work of builds that were begun or are about to be, as the planner would count it."""

from __future__ import annotations

from service.errors import Conflict, NotFound
from service.night.moment import snapshot_of_build
from service.night.records import BuildRecord, DrinkState, ShownBuild
from service.night.state import Draft
from solver.snapshot import rail_of
from solver.units import paced_ds, to_s
from solver.work import StepKind, Work, work_of

from .said import names_of

WITH_ICE = (
    StepKind.ICE,
    StepKind.AGITATE,
    StepKind.STRAIN,
    StepKind.POUR,
    StepKind.TOP,
    StepKind.FLAME,
)
"""From the first of these on, a build cannot be put back without loss."""


def work_in_hand(draft: Draft, record: BuildRecord) -> Work:
    """Give the work of a build in hand."""
    snapshot = snapshot_of_build(draft.state, record, draft.now)
    in_hand = rail_of(snapshot).in_hand
    return work_of(snapshot, record.person, [in_hand[drink] for drink in record.drinks])


def shown_build(draft: Draft, build_id: str) -> ShownBuild:
    """Give a build that some order showed, or say 404."""
    try:
        return draft.base.shown[build_id]
    except KeyError:
        raise NotFound(
            f"expected a build that the order of {draft.bar.id} showed; came {build_id!r}; "
            "read the build order anew"
        ) from None


def refuse_unless_waiting(draft: Draft, shown: ShownBuild) -> None:
    """Say 409 with the present state unless all drinks of a build still wait."""
    drinks = [draft.drinks[drink] for drink in shown.drinks if drink in draft.drinks]
    others = [drink for drink in drinks if drink.state is not DrinkState.WAITING]
    if others or len(drinks) < len(shown.drinks):
        words = ", ".join(f"{d.name} is {d.state.value.replace('_', ' ')}" for d in others)
        raise Conflict(
            f"expected drinks that all still wait; {words or 'some are of an earlier night'}: "
            "the order has changed, take the build that the screen shows now",
            state=state_of(draft, shown.drinks),
        )


def state_of(draft: Draft, drinks: tuple[str, ...]) -> dict[str, object]:
    """Give the present state of some drinks, to stand beside a conflict."""
    known = [draft.drinks[drink] for drink in drinks if drink in draft.drinks]
    return {"drinks": {drink.id: drink.state.value for drink in known}, "names": names_of(known)}


def paced_s(draft: Draft, person: str, base_ds: int) -> float:
    """Give base work in seconds at a person's pace."""
    pace_pct = draft.bar.counter.by_person[person].pace_pct
    return to_s(paced_ds(base_ds, pace_pct))


def ice_in_ds(work: Work) -> int:
    """Give when ice (or the tap, or the flame) comes in: base time from a build's start."""
    at_ds = 0
    for step in work.blocks[0].steps:
        if step.kind in WITH_ICE:
            break
        at_ds += step.ds
    return at_ds


def serving_s(draft: Draft, person: str) -> float:
    """Give how long somebody takes to hand a bar-top round over and take the money."""
    if not draft.bar.counter.tills:
        return 0.0
    return paced_s(draft, person, draft.bar.standards["serve_bar_top"])
