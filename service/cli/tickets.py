"""``threedeep tickets``: past tickets of a till become a file that a rush can replay."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.files.documents import MOST_FAULTS_SAID, BadFile, Fault
from service.past.columns import Column

from .common import Commands, command, counted

if TYPE_CHECKING:
    from service.past.columns import Columns
    from service.past.rounds import Past, Reading
    from service.past.table import Row, Table
    from solver.menu import Menu

LONG = """\
Reads past tickets out of a till's CSV and writes them as tickets, one JSON document a line, for
studies of a rush.

  threedeep tickets import past.csv --bar my-bar.yaml --out past.jsonl

One row is one line of a ticket. Columns are found by their headings, in any order and under the
names that tills give them; other columns are left alone, and named:

  drink       needed: its name, held against the menu by name, alias or id
  placed_at   needed: date and time, in this column or in two (date, time); times without an offset
              are by the bar's clock
  number      the ticket's; rows of one number within 90 seconds are one round, and what is empty in
              a later row of it stands in the row above; without numbers, one time at one place is
              one round
  quantity    1 where there is none; a minus takes off what an earlier row ordered
  place, channel, server, till, changes, allergies, note
  state       void, refunded, cancelled: this row was taken off again

Commas, semicolons, tabs or bars part the columns.
"""
CODES = """\
  0  every row is in a ticket, was taken off again, or was left out on purpose (--only-drinks,
     --no-drink)
  1  the tickets are written, and some rows are in none; each is said with its line
  2  the file or the bar cannot be read, or its columns cannot be told
"""
SHOWN_FROM = 20_000
COMMON_SHOWN = 8


def add_to(commands: Commands) -> None:
    """Add the command and its part."""
    parser = command(
        commands,
        "tickets",
        short="past tickets of a till, for studies of a rush",
        long="Past tickets of a till, for studies of a rush.",
        codes=CODES,
    )
    parts = parser.add_subparsers(title="parts", metavar="PART", required=True)
    part = command(parts, "import", short="read past tickets out of a CSV", long=LONG, codes=CODES)
    part.add_argument("csv", type=Path, metavar="CSV", help="what the till exported")
    part.add_argument(
        "--bar", type=Path, required=True, metavar="BAR.yaml", help="whose menu and clock count"
    )
    part.add_argument(
        "--out",
        type=Path,
        metavar="TICKETS.jsonl",
        help="where the tickets are written; without it, to standard output",
    )
    part.add_argument(
        "--column",
        action="append",
        default=[],
        type=_named,
        metavar="NAME=HEADING",
        help="which heading is what, where it is not found by itself: --column drink='Menu Entry'",
    )
    part.add_argument(
        "--only-drinks",
        action="store_true",
        help="what the menu does not know is no drink: left out, and counted, unless it is the "
        "name of a drink but for a few letters",
    )
    part.add_argument(
        "--no-drink",
        action="append",
        default=[],
        metavar="NAME",
        help="a name that is left out as no drink, however near it comes to one",
    )
    part.add_argument(
        "--channel",
        choices=("bar_top", "floor"),
        default="floor",
        help="where rounds went that do not say (floor)",
    )
    order = part.add_mutually_exclusive_group()
    order.add_argument("--day-first", action="store_true", help="03/04 is the third of April")
    order.add_argument("--month-first", action="store_true", help="03/04 is the fourth of March")
    part.add_argument(
        "--json", action="store_true", help="say what came of it as JSON (needs --out)"
    )
    part.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Import; 0 when every row is accounted for, else 1."""
    from service.files import read_bar
    from service.files.schemas import TICKET_BODY
    from service.past.rounds import Importer
    from service.past.table import read_table

    if args.json and args.out is None:
        said = "expected --out TICKETS.jsonl beside --json: tickets and summary do not mix"
        raise BadFile([Fault(file="--json", line=None, place="", said=said)])
    bar = read_bar(args.bar)
    table = read_table(args.csv)
    columns = _columns(table, dict(args.column))
    reading = _reading(args, table, columns, bar.timezone, bar.menu)
    past = Importer(table, reading).run(_shown(len(table.rows)))
    text = "".join(
        TICKET_BODY.dump_json(ticket, exclude_defaults=True).decode() + "\n"
        for ticket in past.tickets
    )
    if args.out is None:
        sys.stdout.write(text)
    else:
        args.out.write_text(text, encoding="utf-8")
    if args.json:
        print(json.dumps(_summary(args, table, columns, past), ensure_ascii=False, indent=1))
    else:
        print(_words(table, columns, past), file=sys.stderr)
        for fault in past.faults[:MOST_FAULTS_SAID]:
            print(fault, file=sys.stderr)
        if (more := len(past.faults) - MOST_FAULTS_SAID) > 0:
            print(f"… and {more} more; --json lists them all", file=sys.stderr)
    return 1 if past.faults else 0


def _columns(table: Table, said: dict[Column, str]) -> Columns:
    from service.past.columns import columns_of

    came = ", ".join(heading.strip() for heading in table.headings)
    try:
        found = columns_of(table.headings, said)
    except KeyError as error:
        words = f"expected the heading {error.args[0]!r}; came {came}"
        raise BadFile([Fault(file=table.file, line=1, place="", said=words)]) from None
    if found.missing:
        words = (
            f"expected {found.missing}; came {came}: say which it is, such as --column "
            f"drink='{table.headings[0].strip()}'"
        )
        raise BadFile([Fault(file=table.file, line=1, place="", said=words)])
    return found


def _reading(
    args: argparse.Namespace, table: Table, columns: Columns, timezone: str, menu: Menu
) -> Reading:
    from zoneinfo import ZoneInfo

    from service.naming import folded
    from service.past.moments import Moments, day_comes_first
    from service.past.rounds import Reading
    from solver.tickets import Channel

    day = Column.PLACED_AT if Column.PLACED_AT in columns.at else Column.DATE
    is_day_first = True if args.day_first else False if args.month_first else None
    if is_day_first is None:
        is_day_first = day_comes_first(columns.of(day, row) for _, row in table.rows)
    return Reading(
        columns=columns,
        moments=Moments(is_day_first=is_day_first, zone=ZoneInfo(timezone)),
        menu=menu,
        channel=Channel(args.channel),
        only_drinks=args.only_drinks,
        no_drinks=frozenset(map(folded, args.no_drink)),
    )


def _words(table: Table, columns: Columns, past: Past) -> str:
    """Say what came of a file, for a person."""
    drinks = sum(line.quantity for ticket in past.tickets for line in ticket.lines)
    lines = [
        f"{table.file}: {counted(past.rows, 'row')}, {counted(len(past.tickets), 'ticket')}, "
        f"{counted(drinks, 'drink')}"
    ]
    if past.tickets:
        first, last = past.tickets[0].placed_at, past.tickets[-1].placed_at
        lines.append(f"  from {first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} UTC")
    lines.append(
        "  read: "
        + ", ".join(f"{c.value} from '{table.headings[i].strip()}'" for c, i in columns.at.items())
    )
    if columns.unused:
        lines.append(f"  left alone: {', '.join(columns.unused)}")
    if past.taken_off:
        lines.append(f"  {counted(past.taken_off, 'row')} ordered and taken off again")
    if past.left_out:
        common = ", ".join(f"{name} ({n})" for name, n in past.left_out.most_common(COMMON_SHOWN))
        more = len(past.left_out) - COMMON_SHOWN
        more_words = f" and {counted(more, 'more name')}" if more > 0 else ""
        count = counted(past.left_out.total(), "row")
        lines.append(f"  {count} left out as no drink of the menu: {common}{more_words}")
    if past.noted:
        lines.append(f"  {counted(past.noted, 'line')} with a note, whose drinks are made alone")
    if past.channel_assumed:
        lines.append(
            f"  {counted(past.channel_assumed, 'ticket')} did not say where it went: see --channel"
        )
    if past.bad:
        cure = (
            " (a name: give its recipe an alias in the bar's file, or leave out what the menu does "
            "not know by --only-drinks)"
        )
        lines.append(f"  {counted(past.bad, 'row')} in no ticket{cure if past.unknown else ''}:")
    return "\n".join(lines)


def _summary(
    args: argparse.Namespace, table: Table, columns: Columns, past: Past
) -> dict[str, Any]:
    """Say what came of a file, for a program."""
    return {
        "file": table.file,
        "out": str(args.out),
        "rows": past.rows,
        "rows_in_tickets": past.kept,
        "rows_taken_off": past.taken_off,
        "rows_left_out": past.left_out.total(),
        "rows_bad": past.bad,
        "tickets": len(past.tickets),
        "drinks": sum(line.quantity for ticket in past.tickets for line in ticket.lines),
        "lines_with_note": past.noted,
        "channel_assumed": past.channel_assumed,
        "left_out": dict(past.left_out.most_common()),
        "columns": {c.value: table.headings[i].strip() for c, i in columns.at.items()},
        "left_alone": list(columns.unused),
        "delimiter": table.delimiter,
        "encoding": table.encoding,
        "first": past.tickets[0].placed_at.isoformat() if past.tickets else None,
        "last": past.tickets[-1].placed_at.isoformat() if past.tickets else None,
        "faults": [str(fault) for fault in past.faults],
    }


def _shown(rows: int) -> Callable[[Iterator[Row]], Iterator[Row]]:
    """Give a progress bar where it takes a while and somebody watches."""
    from tqdm import tqdm

    def tell(each: Iterator[Row]) -> Iterator[Row]:
        hidden = rows < SHOWN_FROM or not sys.stderr.isatty()
        return iter(tqdm(each, total=rows, unit=" rows", disable=hidden, leave=False))

    return tell


def _named(text: str) -> tuple[Column, str]:
    name, is_said, heading = text.partition("=")
    known = {column.value: column for column in Column}
    if is_said and name.strip() in known and heading.strip():
        return known[name.strip()], heading.strip()
    said = f"expected NAME=HEADING, NAME one of {', '.join(known)}; came {text}"
    raise argparse.ArgumentTypeError(said)
