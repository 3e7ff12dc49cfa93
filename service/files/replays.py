"""The past tickets that a rush replays: JSON lines or CSV, and which of them are one evening."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

from service.clock import SystemClock
from solver.rush.arrivals import Arrival
from solver.rush.guests import Replay
from solver.rush.scenario import Scenario

from .bars import Bar, Finding
from .documents import BadFile, Fault, json_document, text_of
from .schemas import TICKET_BODY
from .tickets import TicketRow, TicketsFile, check_tickets, read_tickets

TICKET_COLUMNS = ("number", "channel", "placed_at", "place")
LINE_COLUMNS = ("recipe", "spirit", "mixer", "measure", "garnish", "quantity", "note")
MOST_EVENINGS_SAID = 6

Tell = Callable[[str], None]


class BadReplay(Exception):
    """What the scenario says of its replay does not fit the tickets; carries the finding."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(finding.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evenings:
    """Tickets by the evening on which they were placed, between doors and last orders.

    Attributes
    ----------
    by_day : dict of str to list of (float, TicketRow)
        By the day on which the doors opened, in order; seconds from the doors and the ticket.
    num_outside : int
        Tickets that were placed at other hours.
    """

    by_day: dict[str, list[tuple[float, TicketRow]]]
    num_outside: int


def past_of(path: Path, scenario: Scenario, bar: Bar, tell: Tell) -> tuple[Arrival, ...]:
    """Read the past tickets of one evening, JSON lines or CSV, by the bar's clock.

    Parameters
    ----------
    path : Path
    scenario : Scenario
        Names the evening, where there are several.
    bar : Bar
    tell : callable
        Is told how many tickets are left out, and why.

    Raises
    ------
    BadFile
        With every line of that evening that the bar's menu cannot make.
    BadReplay
        Where no ticket is within doors, or nobody says which of several evenings it is.
    """
    replay = scenario.replay or Replay(tickets=str(path))
    tickets = tickets_from_csv(path) if path.suffix.lower() == ".csv" else read_tickets(path)
    evenings = evenings_of(tickets, scenario, ZoneInfo(bar.timezone))
    if not evenings.by_day and tickets.faults:
        raise BadFile(tickets.faults)
    day = evening_of(evenings, replay, scenario)
    rows = evenings.by_day[day]
    kept = TicketsFile(file=tickets.file, rows=tuple(row for _, row in rows), faults=tickets.faults)
    if faults := check_tickets(kept, bar.menu, now=SystemClock().now()):
        raise BadFile(faults)
    if said := _left_out(evenings, day, scenario):
        tell(f"{tickets.file}: {said}")
    return tuple(
        Arrival(
            at_s=at_s, channel=row.ticket.channel, place=row.ticket.place, lines=row.ticket.lines
        )
        for at_s, row in sorted(rows, key=lambda pair: pair[0])
    )


def evenings_of(tickets: TicketsFile, scenario: Scenario, zone: ZoneInfo) -> Evenings:
    """Sort tickets by evening; one after midnight is of the evening before."""
    by_day: dict[str, list[tuple[float, TicketRow]]] = {}
    num_outside = 0
    for row in tickets.rows:
        local = row.ticket.placed_at.astimezone(zone).replace(tzinfo=None, microsecond=0)
        at_s = scenario.at_s(f"{local:%H:%M:%S}")
        if at_s >= scenario.last_orders_s:
            num_outside += 1
            continue
        by_day.setdefault(_opened(local, at_s), []).append((at_s, row))
    return Evenings(by_day=dict(sorted(by_day.items())), num_outside=num_outside)


def _opened(local: datetime, at_s: float) -> str:
    return (local - timedelta(seconds=at_s)).date().isoformat()


def evening_of(evenings: Evenings, replay: Replay, scenario: Scenario) -> str:
    """Give the day of the evening that is replayed.

    Raises
    ------
    BadReplay
    """
    by_day = evenings.by_day
    hours = f"from {scenario.doors} to {scenario.last_orders}"
    if not by_day:
        came = f"{_tickets(evenings.num_outside)} at other hours"
        raise BadReplay(
            Finding(
                at=("replay",),
                expected=f"tickets placed {hours}, by the bar's clock",
                came=came if evenings.num_outside else "none",
            )
        )
    if replay.day in by_day:
        return replay.day
    if len(by_day) == 1 and not replay.day:
        return next(iter(by_day))
    if replay.day:
        raise BadReplay(
            Finding(
                at=("replay", "day"),
                expected=f"an evening with tickets placed {hours}: {_listed(by_day)}",
                came=replay.day,
            )
        )
    fullest = max(by_day, key=lambda day: len(by_day[day]))
    raise BadReplay(
        Finding(
            at=("replay",),
            expected="the tickets of one evening",
            came=f"{len(by_day)} evenings: {_listed(by_day)}",
            hint=f"say which: replay: {{tickets: {replay.tickets}, day: {fullest}}}",
        )
    )


def _listed(by_day: dict[str, list[tuple[float, TicketRow]]]) -> str:
    said = [f"{day} ({_tickets(len(rows))})" for day, rows in by_day.items()]
    more = len(said) - MOST_EVENINGS_SAID
    if more > 1:
        said[MOST_EVENINGS_SAID:] = [f"… and {more} more"]
    return ", ".join(said)


def _left_out(evenings: Evenings, day: str, scenario: Scenario) -> str:
    """Say what is not replayed; empty where all is."""
    num_kept = len(evenings.by_day[day])
    others = sum(map(len, evenings.by_day.values())) - num_kept
    said = []
    if others:
        said.append(f"{others} of other evenings")
    if evenings.num_outside:
        said.append(f"{evenings.num_outside} outside {scenario.doors} to {scenario.last_orders}")
    if not said:
        return ""
    whole = num_kept + others + evenings.num_outside
    are = "is" if num_kept == 1 else "are"
    return f"{num_kept} of {_tickets(whole)} {are} replayed ({day}); left out: {', '.join(said)}"


def _tickets(count: int) -> str:
    return "1 ticket" if count == 1 else f"{count} tickets"


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
            f"came {', '.join(named) or 'none'}; make tickets of a till's own export by "
            "`threedeep tickets import`"
        )
        raise BadFile([Fault(file=file, line=1, place="", said=said)])
