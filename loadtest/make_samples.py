"""Makes the invented house's snapshots and its evening: ``python -m loadtest.make_samples``.

Everything follows from the house's file and fixed seeds, so that running it again changes
nothing; a test holds the files to it.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path

from loadtest.snapshots import (
    FIRST_NUMBER,
    check_open,
    next_for,
    random_snapshot,
    ticket_of,
)
from service.files import SAMPLES, read_bar
from service.files.bars import Bar
from service.files.documents import document_text
from service.files.schemas import SNAPSHOT, TICKET_BODY, TicketBody
from solver.counter import Vessel
from solver.rush.arrivals import friday
from solver.snapshot import InWasher, Pinned, Shortage, Snapshot, rail_of
from solver.tickets import Channel, Line

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
DOORS = datetime(2025, 2, 7, 19, 0, tzinfo=UTC)
NUM_TICKETS = 40
EVENING_SCALE = 0.14
"""As full as makes about 40 tickets of an evening."""


def samples() -> dict[str, str]:
    """Give every made file: its path below the samples' folder, and its text."""
    bar = read_bar(HOUSE)
    snapshots = {
        "quiet": quiet(bar),
        "busy": busy(bar),
        "three-deep": three_deep(bar),
        "one-bartender": one_bartender(bar),
        "flame-night": flame_night(bar),
    }
    made = {f"snapshots/{k}.json": document_text(SNAPSHOT, v) for k, v in snapshots.items()}
    return made | {"tickets/evening.jsonl": evening(bar)}


def quiet(bar: Bar) -> Snapshot:
    """Early on: five drinks open, two bartenders."""
    return check_open(random_snapshot(bar, 13, 5, 2), 5)


def busy(bar: Bar) -> Snapshot:
    """A good evening: 18 drinks open, three bartenders."""
    return check_open(random_snapshot(bar, 38, 18, 3), 18)


def three_deep(bar: Bar) -> Snapshot:
    """Three deep: 40 drinks open, builds in hand, the next ones shown, and a few things short."""
    snapshot = random_snapshot(bar, 82, 40, 3)
    short = (
        Shortage(ingredient="tequila", back_s=75.0, left=0),
        Shortage(ingredient="mezcal", left=0),
        Shortage(ingredient="sparkling-wine", left=3),
    )
    washer = (InWasher(station="left", vessel=Vessel.TIN_SET, back_s=60.0),)
    snapshot = replace(snapshot, short=short, in_washer=washer)
    return check_open(replace(snapshot, pinned=_pins(snapshot)), 40)


def one_bartender(bar: Bar) -> Snapshot:
    """Somebody alone behind the counter: 12 drinks open."""
    return check_open(random_snapshot(bar, 15, 12, 1), 12)


def flame_night(bar: Bar) -> Snapshot:
    """Four flaming drinks among 16 open ones, within the house's limit for a flame."""
    snapshot = random_snapshot(bar, 15, 10, 3)
    number = FIRST_NUMBER + len(snapshot.tickets)
    blaze = "keepers-blaze"
    more = (
        ticket_of(
            snapshot,
            number=number,
            channel=Channel.BAR_TOP,
            place="seat 3",
            age_s=64.0,
            lines=(Line(recipe=blaze, quantity=2),),
        ),
        ticket_of(
            snapshot,
            number=number + 1,
            channel=Channel.FLOOR,
            place="table 7",
            age_s=31.5,
            lines=(Line(recipe=blaze), Line(recipe="night-pilot-coffee")),
        ),
        ticket_of(
            snapshot,
            number=number + 2,
            channel=Channel.BAR_TOP,
            place="seat 9",
            age_s=12.0,
            lines=(Line(recipe=blaze), Line(recipe="pale-ale-pint")),
        ),
    )
    return check_open(replace(snapshot, tickets=snapshot.tickets + more), 16)


def evening(bar: Bar) -> str:
    """Give forty tickets of an evening, one a line, as a till sends them."""
    rng = random.Random(7)
    rows = []
    for index, arrival in enumerate(
        islice(friday(bar.menu, seed=36, scale=EVENING_SCALE), NUM_TICKETS)
    ):
        is_floor = arrival.channel is Channel.FLOOR
        ticket = TicketBody(
            number=str(FIRST_NUMBER + index),
            channel=arrival.channel,
            placed_at=DOORS + timedelta(seconds=int(arrival.at_s)),
            place=arrival.place,
            server=rng.choice(("Mo", "Pia")) if is_floor else "",
            till="floor" if is_floor else "bar",
            lines=arrival.lines,
        )
        rows.append(TICKET_BODY.dump_json(ticket, exclude_defaults=True).decode())
    return "\n".join(rows) + "\n"


def _pins(snapshot: Snapshot) -> tuple[Pinned, ...]:
    """Give each bartender what they would take up next, as if an earlier plan had shown it."""
    rail = rail_of(snapshot).drinks
    taken: set[str] = set()
    pins = []
    for present in snapshot.people_on:
        drinks = next_for(snapshot, rail, present.person, taken)
        taken.update(drink.id for drink in drinks)
        if drinks:
            pins.append(Pinned(person=present.person, drinks=tuple(d.id for d in drinks)))
    return tuple(pins)


def main(folder: Path = SAMPLES) -> None:
    """Write every made file."""
    for name, text in samples().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        print(f"{name}: {len(text):,} characters")


if __name__ == "__main__":
    main()
