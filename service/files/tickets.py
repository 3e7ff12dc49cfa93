"""Tickets as a file: one JSON document a line, as a till would send them."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from service.errors import nearest
from service.naming import recipe_names
from solver.errors import BadValue
from solver.menu import Menu
from solver.tickets import mix_of

from .documents import BadFile, Fault, json_document, text_of
from .schemas import TICKET_BODY, TicketBody

CLOCKS_DIFFER = timedelta(minutes=2)
"""A ticket may be this far ahead of our clock: two clocks never agree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketRow:
    """A ticket and the line of the file that it stands on."""

    line: int
    ticket: TicketBody


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketsFile:
    """Tickets of a file: those that could be read, and what is wrong with the others."""

    file: str
    rows: tuple[TicketRow, ...]
    faults: tuple[Fault, ...]


def read_tickets(path: Path) -> TicketsFile:
    """Read tickets, one JSON document a line; one that cannot be read does not lose the others.

    Raises
    ------
    BadFile
        When the file itself cannot be read.
    """
    rows: list[TicketRow] = []
    faults: list[Fault] = []
    file = str(path)
    for line, text in enumerate(text_of(path).splitlines(), start=1):
        if not text.strip():
            continue
        try:
            ticket = json_document(TICKET_BODY, text, file)
        except BadFile as error:
            faults += [
                Fault(file=file, line=line, place=f.place, said=f.said) for f in error.faults
            ]
        else:
            rows.append(TicketRow(line=line, ticket=ticket))
    return TicketsFile(file=file, rows=tuple(rows), faults=tuple(faults))


def check_tickets(
    tickets: TicketsFile, menu: Menu, *, now: datetime, out: Collection[str] = ()
) -> tuple[Fault, ...]:
    """Hold tickets against a menu: unknown names, a ticket twice, the future, what is out.

    Parameters
    ----------
    tickets : TicketsFile
    menu : Menu
    now : datetime
        Aware; a ticket placed more than two minutes after it is from the future.
    out : collection of str
        Ingredients that are 86.
    """
    faults = list(tickets.faults)
    first: dict[tuple[str, datetime], int] = {}
    for row in tickets.rows:
        ticket = row.ticket
        said = []
        since = first.setdefault((ticket.number, ticket.placed_at), row.line)
        if since != row.line:
            said.append(("", f"expected every ticket once; this one is on line {since} too"))
        if ticket.placed_at > now + CLOCKS_DIFFER:
            said.append(
                (
                    "placed_at",
                    f"expected a time that has been; came {ticket.placed_at:%Y-%m-%d %H:%M %Z}",
                )
            )
        said += _lines_off_the_menu(ticket, menu, out)
        faults += [
            Fault(file=tickets.file, line=row.line, place=place, said=words)
            for place, words in said
        ]
    return tuple(sorted(faults, key=lambda fault: fault.line or 0))


def _lines_off_the_menu(
    ticket: TicketBody, menu: Menu, out: Collection[str]
) -> Iterable[tuple[str, str]]:
    names = recipe_names(menu)
    for index, line in enumerate(ticket.lines, start=1):
        place = f"line {index} ({line.recipe or line.spirit})"
        if line.recipe and line.recipe not in menu.by_recipe:
            ids = nearest(line.recipe, names)
            hint = f"did you mean {' or '.join(ids)}?" if ids else "it is not on the menu"
            yield place, f"expected a recipe of the menu; came '{line.recipe}'; {hint}"
            continue
        try:
            mix = mix_of(menu, line)
        except BadValue as error:
            yield place, str(error)
            continue
        for name in mix.ingredients:
            if name in out:
                yield place, f"{menu.ingredient(name).name} is 86: the drink is kept and set aside"
