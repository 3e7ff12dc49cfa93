"""Why a build of the order is as it is, for whoever asks."""

from __future__ import annotations

from service.api.answers import RoundShift, SavedPart, WhyAnswer
from service.errors import NotFound
from service.night.moment import snapshot_of_order
from service.night.state import BarState


def why_answer(state: BarState, build_id: str) -> WhyAnswer:
    """Explain one build of the order that a bar shows.

    Raises
    ------
    NotFound
        When the order has no build of that id.
    """
    # Seconds of importing, which no page waits for at the start.
    from solver.explain import together_words, turn_words, why  # noqa: PLC0415
    from solver.planner import with_fair_bound  # noqa: PLC0415

    order = state.order
    if order is None or order.plan is None:
        raise _not_found(build_id)
    snapshot = with_fair_bound(snapshot_of_order(state, order))
    found = why(snapshot, order.plan, build_id)
    if found is None:
        raise _not_found(build_id)
    numbers = {ticket.id: ticket.number for ticket in snapshot.tickets}
    said = (together_words(found), turn_words(snapshot, order.plan, found))
    return WhyAnswer(
        build=build_id,
        revision=order.revision,
        words=tuple(line for line in said if line),
        together_seconds=found.together.together_s,
        apart_seconds=found.together.apart_s,
        saved=tuple(
            SavedPart(what=part.what, seconds=part.saved_s) for part in found.together.parts
        ),
        before=found.turn.before or None,
        rounds=tuple(
            RoundShift(
                ticket=shift.ticket, number=numbers[shift.ticket], sooner_seconds=shift.sooner_s
            )
            for shift in found.turn.rounds
        ),
    )


def _not_found(build_id: str) -> NotFound:
    return NotFound(
        f"expected a build of the order as it is now; came {build_id!r}; it may be made or planned"
        " otherwise by now: get the order again"
    )
