"""A rush as a file: a scenario in YAML, the bar that it names, the past tickets that it replays."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

from service.clock import SystemClock
from solver.errors import BadValue
from solver.rush.arrivals import Arrival
from solver.rush.scenario import House, Rush, Scenario

from .bars import Bar
from .documents import BadFile, Fault, faults_at, json_document, or_bad_file, text_of, validated
from .marked import read_yaml
from .on_disk import read_bar
from .schemas import RUSH_FILE, TICKET_BODY
from .tickets import TicketRow, TicketsFile, check_tickets, read_tickets
from .translate import from_bad_value

TICKET_COLUMNS = ("number", "channel", "placed_at", "place")
LINE_COLUMNS = ("recipe", "spirit", "mixer", "measure", "garnish", "quantity", "note")


def read_rush(path: Path) -> Rush:
    """Read a scenario with its bar and the tickets that it replays.

    Parameters
    ----------
    path : Path
        The scenario; the files that it names are seen from its folder.

    Raises
    ------
    BadFile
        With everything that is wrong in the first of the files that cannot be used.
    """
    file = str(path)
    text = text_of(path)
    marked = or_bad_file(file, lambda: read_yaml(text))
    scenario = validated(RUSH_FILE, marked, file)
    bar = read_bar(path.parent / scenario.bar)
    past: tuple[Arrival, ...] = ()
    if scenario.replay is not None:
        past = past_of(path.parent / scenario.replay.tickets, scenario, bar)
    try:
        return Rush(house=house_of(bar), scenario=scenario, past=past)
    except BadValue as error:
        finding = from_bad_value(error, (), marked.data)
        raise BadFile(faults_at([finding], marked, file)) from None


def house_of(bar: Bar) -> House:
    """Give the house that a rush of this bar plays in."""
    return House(
        id=bar.id, name=bar.name, counter=bar.counter, menu=bar.menu, standards=bar.standards
    )


def past_of(path: Path, scenario: Scenario, bar: Bar) -> tuple[Arrival, ...]:
    """Read past tickets, JSON lines or CSV, by the bar's clock; those outside doors are left out.

    Raises
    ------
    BadFile
        With every line that the bar's menu cannot make, and where no ticket is within doors.
    """
    tickets = tickets_from_csv(path) if path.suffix.lower() == ".csv" else read_tickets(path)
    faults = check_tickets(tickets, bar.menu, now=SystemClock().now())
    if faults:
        raise BadFile(faults)
    zone = ZoneInfo(bar.timezone)
    found = []
    for row in tickets.rows:
        ticket = row.ticket
        at_s = scenario.at_s(f"{ticket.placed_at.astimezone(zone):%H:%M:%S}")
        if at_s < scenario.last_orders_s:
            found.append(
                Arrival(at_s=at_s, channel=ticket.channel, place=ticket.place, lines=ticket.lines)
            )
    if not found:
        said = f"expected tickets placed from {scenario.doors} to {scenario.last_orders}; came none"
        raise BadFile([Fault(file=str(path), line=None, place="", said=said)])
    return tuple(sorted(found, key=lambda one: one.at_s))


def tickets_from_csv(path: Path) -> TicketsFile:
    """Read tickets from CSV, one line a row; rows of one number and time are a ticket.

    Raises
    ------
    BadFile
        When the file cannot be read, or its head names columns that there are not.
    """
    file = str(path)
    reader = csv.DictReader(StringIO(text_of(path)))
    _check_head(file, reader.fieldnames or ())
    bodies: dict[tuple[str, str], tuple[int, dict[str, object]]] = {}
    for cells in reader:
        told = {name: (cells[name] or "").strip() for name in cells if name}
        key = told.get("number", ""), told.get("placed_at", "")
        head = {name: told[name] for name in TICKET_COLUMNS if told.get(name)}
        _, body = bodies.setdefault(key, (reader.line_num, {**head, "lines": []}))
        line = {name: told[name] for name in LINE_COLUMNS if told.get(name)}
        lines = body["lines"]
        if isinstance(lines, list):
            lines.append(line)
    rows: list[TicketRow] = []
    faults: list[Fault] = []
    for number, body in bodies.values():
        try:
            rows.append(
                TicketRow(line=number, ticket=json_document(TICKET_BODY, json.dumps(body), file))
            )
        except BadFile as error:
            faults += [
                Fault(file=file, line=number, place=one.place, said=one.said)
                for one in error.faults
            ]
    return TicketsFile(file=file, rows=tuple(rows), faults=tuple(faults))


def _check_head(file: str, names: Iterable[str]) -> None:
    named = list(names)
    known = (*TICKET_COLUMNS, *LINE_COLUMNS)
    missing = [name for name in ("number", "channel", "placed_at") if name not in named]
    strange = [name for name in named if name not in known]
    if missing or strange:
        said = (
            f"expected the columns {', '.join(known)} (place and what follows may be left out); "
            f"came {', '.join(named) or 'none'}"
        )
        raise BadFile([Fault(file=file, line=1, place="", said=said)])
