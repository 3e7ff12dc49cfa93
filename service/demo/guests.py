"""The guests of a Friday: they order by themselves, like a till that posts its tickets."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime, timedelta
from typing import Any

from solver.rush.arrivals import Arrival
from solver.tickets import Line

from .paced import PacedClock
from .wire import Wire

FIRST_NUMBER = 201


async def serve_guests(
    wire: Wire, clock: PacedClock, arrivals: Iterator[Arrival], *, began: datetime, begin_s: float
) -> int:
    """Post every ticket when it is placed, those from before the beginning at once.

    Parameters
    ----------
    wire : Wire
    clock : PacedClock
    arrivals : iterator of Arrival
    began : datetime
        The demo's time that stands for `begin_s` of the night.
    begin_s : float
        Seconds from the opening of the doors.

    Returns
    -------
    int
        How many tickets were placed.
    """
    numbers = itertools.count(FIRST_NUMBER)
    for arrival, number in zip(arrivals, numbers, strict=False):
        placed_at = began + timedelta(seconds=arrival.at_s - begin_s)
        await clock.sleep_until(placed_at)
        await wire.post("tickets", ticket(arrival, number, placed_at), key=f"guest-{number}")
    return next(numbers) - FIRST_NUMBER


def ticket(arrival: Arrival, number: int, placed_at: datetime) -> dict[str, Any]:
    """Write an arrival as a till would post it."""
    return {
        "number": str(number),
        "channel": arrival.channel.value,
        "place": arrival.place,
        "placed_at": placed_at.isoformat(),
        "lines": [line_body(line) for line in arrival.lines],
    }


def line_body(line: Line) -> dict[str, Any]:
    """Write one line, leaving out what it does not say."""
    body = {name: value for name, value in asdict(line).items() if value}
    body["changes"] = [
        {name: value for name, value in asdict(change).items() if value} for change in line.changes
    ]
    if not line.spirit:
        body.pop("measure", None)
    return body
