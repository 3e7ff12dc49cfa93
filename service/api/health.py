"""Whether the service lives, whether it does its work, and what it has done."""

from __future__ import annotations

from fastapi import APIRouter, Response

from service.night.state import BarState
from service.order.build_order import num_in_hand

from .answers import Readiness
from .deps import JSON, FloorDep, PrintRoomDep
from .problems import PROBLEMS

router = APIRouter(tags=["health"], responses=PROBLEMS)

PROMETHEUS = "text/plain; version=0.0.4; charset=utf-8"


@router.get(
    "/healthz", responses={200: {"content": {"text/plain": {"schema": {"type": "string"}}}}}
)
async def healthz() -> Response:
    """Say that the process answers."""
    return Response("ok\n", media_type="text/plain")


@router.get(
    "/readyz",
    response_model=Readiness,
    responses={503: {"model": Readiness, "description": "A planning task is stuck, or stopping"}},
)
async def readyz(floor: FloorDep) -> Response:
    """Say whether every bar's planning lives, with the age of its last sign of life."""
    is_ready = not floor.is_stopping and all(task.is_ready for task in floor.tasks.values())
    found = Readiness(
        is_ready=is_ready,
        search="ready" if floor.is_warm else "warming up",
        planning_age_s={bar: round(task.age_s, 1) for bar, task in floor.tasks.items()},
        # Where the file lies is nobody's business who asks over the network.
        store={name: fact for name, fact in floor.facts.items() if name != "database"},
    )
    return Response(found.model_dump_json(), 200 if is_ready else 503, media_type=JSON)


@router.get(
    "/metrics", responses={200: {"content": {"text/plain": {"schema": {"type": "string"}}}}}
)
async def metrics(floor: FloorDep, room: PrintRoomDep) -> Response:
    """Give counts in the plain text that Prometheus reads."""
    rows: list[tuple[str, str, str, dict[str, float]]] = [
        ("streams", "gauge", "Event streams open now", {"": floor.num_streams}),
    ]
    per_bar = (
        ("revision", "gauge", "Revision of the build order", lambda d, _: d.state.revision),
        ("open_drinks", "gauge", "Drinks still to be made", lambda d, _: _num_open(d.state)),
        ("builds_in_hand", "gauge", "Builds in hand", lambda d, _: num_in_hand(d.state)),
        ("asks_total", "counter", "Tickets and taps kept", lambda d, _: d.num_kept),
        ("searches_total", "counter", "Searched plans", lambda _, t: t.figures.searches),
        ("searches_shown_total", "counter", "Of these, shown", lambda _, t: t.figures.shown),
        ("search_faults_total", "counter", "Searches that broke", lambda _, t: t.figures.faults),
        ("search_seconds_total", "counter", "Time in searches", lambda _, t: t.figures.seconds),
        ("planning_age_seconds", "gauge", "Since its last sign of life", lambda _, t: t.age_s),
    )
    for name, kind, text, read in per_bar:
        values = {
            f'{{bar="{bar}"}}': float(read(desk, floor.tasks[bar]))
            for bar, desk in floor.desks.items()
        }
        rows.append((name, kind, text, values))
    taken = {f'{{bar="{bar}"}}': float(tills.intake.num_taken) for bar, tills in room.bars.items()}
    rows.append(("prints_total", "counter", "Prints taken in", taken))
    dropped = {f'{{bar="{bar}"}}': float(room.not_passed_on(bar)) for bar in room.bars}
    text = "Prints that the real printer did not get"
    rows.append(("prints_not_passed_on_total", "counter", text, dropped))
    rows.append(
        ("prints_kept", "gauge", "1 while bytes of tills can be kept", {"": room.is_online})
    )
    lines = []
    for name, kind, text, values in rows:
        lines += [f"# HELP threedeep_{name} {text}", f"# TYPE threedeep_{name} {kind}"]
        lines += [f"threedeep_{name}{label} {value:g}" for label, value in values.items()]
    return Response("\n".join(lines) + "\n", media_type=PROMETHEUS)


def _num_open(state: BarState) -> int:
    """Count the drinks still to be made."""
    mine = (drink for ticket in state.live_tickets() for drink in state.drinks_of(ticket))
    return sum(drink.is_open for drink in mine)
