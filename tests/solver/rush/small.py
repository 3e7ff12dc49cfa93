"""A short, small rush of the sample house: a night in a fraction of a second."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml
from pydantic import TypeAdapter

from solver.counter import Counter
from solver.menu import Menu
from solver.rush.guests import Guests
from solver.rush.scenario import House, Rush, Scenario
from solver.standards import Standards

SAMPLES = Path(__file__).parents[3] / "sample_tickets"


@lru_cache(maxsize=1)
def house() -> House:
    bar = yaml.safe_load((SAMPLES / "bars" / "saltmarch.yaml").read_text(encoding="utf-8"))
    table = yaml.safe_load((SAMPLES / "standards.yaml").read_text(encoding="utf-8"))
    return House(
        id="saltmarch",
        counter=TypeAdapter(Counter).validate_python(bar["counter"]),
        menu=TypeAdapter(Menu).validate_python(bar["menu"]),
        standards=TypeAdapter(Standards).validate_python({"rows": table["standards"]}),
    )


def small_rush(*, an_hour: float = 40.0, **more: Any) -> Rush:
    """Half an hour of guests; so many drinks an hour are ordered."""
    told: dict[str, Any] = {
        "name": "a short night",
        "bar": "",
        "doors": "19:00",
        "last_orders": "19:30",
        "hard_stop": "20:00",
        "guests": Guests(drinks_an_hour=(an_hour, an_hour)),
        **more,
    }
    return Rush(house=house(), scenario=Scenario(**told))


def with_menu(rush: Rush, menu: Menu) -> Rush:
    return replace(rush, house=replace(rush.house, menu=menu))
