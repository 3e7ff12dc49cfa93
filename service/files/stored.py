"""A bar as the store keeps it: each part is the JSON of its own document."""

from __future__ import annotations

from service.night.records import HouseRecord
from service.night.state import BarState

from .bars import Bar
from .schemas import COUNTER, MENU, PRINTS, STANDARDS


def house_record(state: BarState) -> HouseRecord:
    """Write a bar down as the store keeps it."""
    bar = state.bar
    return HouseRecord(
        bar=bar.id,
        name=bar.name,
        timezone=bar.timezone,
        epoch=state.epoch,
        menu=MENU.dump_json(bar.menu, exclude_defaults=True).decode(),
        counter=COUNTER.dump_json(bar.counter, exclude_defaults=True).decode(),
        standards=STANDARDS.dump_json(bar.standards).decode(),
        prints=PRINTS.dump_json(bar.prints, exclude_defaults=True).decode(),
    )


def bar_of(house: HouseRecord) -> Bar:
    """Read a bar as the store keeps it."""
    return Bar(
        id=house.bar,
        name=house.name,
        timezone=house.timezone,
        menu=MENU.validate_json(house.menu),
        counter=COUNTER.validate_json(house.counter),
        standards=STANDARDS.validate_json(house.standards),
        # A bar told before there were prints has nothing there.
        prints=PRINTS.validate_json(house.prints) if house.prints else None,
    )
