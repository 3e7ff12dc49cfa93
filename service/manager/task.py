"""A rush as its process is told of it: one JSON object, written here and read there.

Nothing here simulates: the service itself never loads the simulator.
"""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from service.files.schemas import RUSH_FILE
from solver.rush.arrivals import Arrival
from solver.rush.scenario import House, Rush

from .asking import RushAsked

HOUSE: TypeAdapter[House] = TypeAdapter(House)
PAST: TypeAdapter[tuple[Arrival, ...]] = TypeAdapter(tuple[Arrival, ...])


def task_of(rush: Rush, asked: RushAsked) -> dict[str, Any]:
    """Write down all that the process has to be told, as JSON has it."""
    # Two nights at least before an interval can be judged.
    nights = max(2, asked.nights) if asked.within_s is not None else asked.nights
    return {
        "house": HOUSE.dump_python(rush.house, mode="json", exclude_defaults=True),
        "scenario": RUSH_FILE.dump_python(rush.scenario, mode="json"),
        "past": PAST.dump_python(rush.past, mode="json"),
        "policies": [policy.value for policy in asked.policies],
        "asked": {
            "nights": nights,
            "within": asked.within_s,
            "time_s": asked.limit_s,
            "seed": asked.seed,
        },
        "what_if": asked.what_if.value if asked.what_if else None,
        "rota": asked.rota.value if asked.rota else None,
    }


def rush_of(task: dict[str, Any]) -> Rush:
    """Read the rush of a task."""
    return Rush(
        house=HOUSE.validate_python(task["house"]),
        scenario=RUSH_FILE.validate_python(task["scenario"]),
        past=PAST.validate_python(task["past"]),
    )
