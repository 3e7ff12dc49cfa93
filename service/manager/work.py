"""What the process of a rush does: the task becomes a rush, nights are run, results become JSON."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import TypeAdapter

from solver.rush.arrivals import Arrival
from solver.rush.replications import Asked, InThisProcess, Progress, Running
from solver.rush.results import Results
from solver.rush.scenario import House, Policy, Rush
from solver.rush.study import study

from .asking import SCENARIO

HOUSE: TypeAdapter[House] = TypeAdapter(House)
PAST: TypeAdapter[tuple[Arrival, ...]] = TypeAdapter(tuple[Arrival, ...])
ASKED: TypeAdapter[Asked] = TypeAdapter(Asked)
_PROGRESS: TypeAdapter[Progress] = TypeAdapter(Progress)
_RESULTS: TypeAdapter[Results] = TypeAdapter(Results)

Tell = Callable[[dict[str, Any]], None]


def task_of(rush: Rush, policies: tuple[Policy, ...], asked: Asked) -> dict[str, Any]:
    """Write down all that the process has to be told, as JSON has it."""
    return {
        "house": HOUSE.dump_python(rush.house, mode="json", exclude_defaults=True),
        "scenario": SCENARIO.dump_python(rush.scenario, mode="json"),
        "past": PAST.dump_python(rush.past, mode="json"),
        "policies": [policy.value for policy in policies],
        "asked": ASKED.dump_python(asked, mode="json"),
    }


def rush_of(task: dict[str, Any]) -> Rush:
    """Read the rush of a task."""
    return Rush(
        house=HOUSE.validate_python(task["house"]),
        scenario=SCENARIO.validate_python(task["scenario"]),
        past=PAST.validate_python(task["past"]),
    )


def carry_out(
    task: dict[str, Any],
    *,
    clock: Callable[[], float],
    on_progress: Tell,
    should_stop: Callable[[], bool],
) -> dict[str, Any]:
    """Run a task and give its results, with ``is_some`` and ``said`` beside them."""
    policies = tuple(Policy(name) for name in task["policies"])

    def tell(progress: Progress) -> None:
        found = _PROGRESS.dump_python(progress, mode="json")
        on_progress({**found, "said": f"night {progress.done} of {progress.of} is done"})

    running = Running(
        runner=InThisProcess(), clock=clock, on_progress=tell, should_stop=should_stop
    )
    asked = ASKED.validate_python(task["asked"])
    results = study(rush_of(task), policies, asked, running)
    if results is None:
        return {"is_some": False, "said": "not one night was whole"}
    found = _RESULTS.dump_python(results, mode="json")
    return {**found, "is_some": True, "said": _ended(results)}


def _ended(results: Results) -> str:
    nights = "1 night" if results.nights == 1 else f"{results.nights} nights"
    return f"{nights}; {results.ended}"
