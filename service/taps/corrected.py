"""A till takes back or corrects what it sent: what still waits is changed, the rest is said.

Only waiting drinks are touched. What is in somebody's hands or made is for a person to decide.
"""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from service.night.records import DrinkRecord, DrinkState, LineRecord, TicketRecord
from service.night.state import Draft
from solver.tickets import glasses_each

from . import again
from .rounds import open_line, with_line, with_promise
from .said import names_of

BY_TILL = "taken off by the till"
HERE = (DrinkState.IN_HAND, DrinkState.MADE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a till's word changed, and what it could not.

    Attributes
    ----------
    done : tuple of str
        In words: "void: 2 × Salt Ferry".
    not_done : tuple of str
        What a person has to decide.
    drinks : tuple of str
        Drinks that a person has to look at.
    """

    done: tuple[str, ...] = ()
    not_done: tuple[str, ...] = ()
    drinks: tuple[str, ...] = ()

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(
            done=self.done + other.done,
            not_done=self.not_done + other.not_done,
            drinks=self.drinks + other.drinks,
        )


def void_tickets(draft: Draft, tickets: Sequence[TicketRecord]) -> Outcome:
    """Take off what waits of some tickets; give what is in hand or made."""
    here = [drink for ticket in tickets for drink in draft.state.drinks_of(ticket)]
    waiting = [drink for drink in here if drink.state is DrinkState.WAITING]
    for drink in waiting:
        again.void(draft, drink, BY_TILL)
    for ticket in tickets:
        _close_lines(draft, draft.tickets[ticket.id])
    left = [drink for drink in here if drink.state in HERE]
    gone = [drink for drink in here if drink.state is DrinkState.GONE]
    return Outcome(
        done=(f"void: {names_of(waiting)}",) if waiting else (),
        not_done=(
            *_in_words(left),
            *((f"{names_of(gone)} left the bar already",) if gone else ()),
        ),
        drinks=tuple(drink.id for drink in left),
    )


def take_off(
    draft: Draft, tickets: Sequence[TicketRecord], line: LineRecord, quantity: int
) -> Outcome:
    """Take so many of a line off some tickets of one number, the latest first."""
    name = str(line.raw.get("recipe", ""))
    left = quantity
    here: list[DrinkRecord] = []
    done: list[DrinkRecord] = []
    num_unread = 0
    for ticket in reversed(tickets):
        for row in reversed(draft.tickets[ticket.id].lines):
            if left and not row.is_void and same_line(row, line):
                if row.is_unread:
                    taken = min(left, row.quantity)
                    num_unread += taken
                    _set_quantity(draft, ticket.id, row, row.quantity - taken)
                else:
                    voided, stuck = _take_off_line(draft, ticket.id, row, left)
                    done += voided
                    here += stuck
                    taken = _lines_of(draft, row, len(voided))
                left -= taken
    said = [f"void: {names_of(done)}"] if done else []
    said += [f"taken from the tray: {num_unread} × {name}"] if num_unread else []
    stuck_now = here[: max(0, left) * _each(draft, line)]
    not_done = list(_in_words(stuck_now))
    if left and len(stuck_now) < left:
        not_done.append(f"{left - len(stuck_now)} × {name} to take off is not on this ticket")
    return Outcome(
        done=tuple(said),
        not_done=tuple(not_done),
        drinks=tuple(drink.id for drink in stuck_now),
    )


def add(draft: Draft, ticket: TicketRecord, lines: Iterable[LineRecord]) -> Outcome:
    """Add lines to a ticket."""
    names = []
    for line in lines:
        now = draft.tickets[ticket.id]
        new = replace(line, id=f"{ticket.id}-l{len(now.lines)}")
        draft.put(replace(now, lines=(*now.lines, new)))
        drinks = open_line(draft, ticket.id, new)
        names.append(
            f"added: {names_of(draft.drinks[one] for one in drinks)}"
            if drinks
            else f"added to the tray: {new.quantity} × {new.raw.get('recipe', '')}"
        )
    draft.put(with_promise(draft, draft.tickets[ticket.id]))
    return Outcome(done=tuple(names))


def is_whole(
    draft: Draft,
    tickets: Sequence[TicketRecord],
    *,
    comes: Sequence[LineRecord],
    goes: Sequence[LineRecord],
) -> bool:
    """Whether a correction that says what goes says all the rest of the ticket too.

    Taken for the whole ticket, a list of changes alone would take off everything else.
    """
    said = _counted(comes) + _counted(goes)
    return not goes or all(said[key] >= num for key, num in _has(draft, tickets).items())


def make_like(
    draft: Draft, tickets: Sequence[TicketRecord], wanted: Sequence[LineRecord]
) -> Outcome:
    """Change tickets of one number so that together they hold what a correction says."""
    outcome = Outcome()
    has, wants = _has(draft, tickets), _counted(wanted)
    lines = {key_of(row): row for row in (*_rows(draft, tickets), *wanted)}
    for key, line in lines.items():
        more = wants[key] - has[key]
        if more < 0:
            outcome += take_off(draft, tickets, line, -more)
        elif more > 0:
            outcome += add(draft, tickets[-1], [replace(line, quantity=more)])
    return outcome


def _rows(draft: Draft, tickets: Sequence[TicketRecord]) -> list[LineRecord]:
    return [row for t in tickets for row in draft.tickets[t.id].lines if not row.is_void]


def _has(draft: Draft, tickets: Sequence[TicketRecord]) -> Tally[str]:
    """Count what tickets hold, line by line."""
    has: Tally[str] = Tally()
    for row in _rows(draft, tickets):
        has[key_of(row)] += _present(draft, tickets, row)
    return has


def _counted(lines: Sequence[LineRecord]) -> Tally[str]:
    counted: Tally[str] = Tally()
    for line in lines:
        counted[key_of(line)] += line.quantity
    return counted


def key_of(line: LineRecord) -> str:
    """Give what makes two lines the same order, however many of it: all but the quantity."""
    if line.line is not None:
        return repr(replace(line.line, quantity=1, is_confirmed=False))
    return repr(sorted((k, repr(v)) for k, v in line.raw.items() if k != "quantity"))


def same_line(one: LineRecord, other: LineRecord) -> bool:
    """Whether two lines are the same order, however many of it."""
    return key_of(one) == key_of(other)


def _take_off_line(
    draft: Draft, ticket_id: str, row: LineRecord, quantity: int
) -> tuple[list[DrinkRecord], list[DrinkRecord]]:
    """Void waiting drinks of a line; give them, and those that are in hand or made."""
    drinks = [d for d in draft.state.drinks_of(draft.tickets[ticket_id]) if d.line == row.id]
    waiting = [drink for drink in drinks if drink.state is DrinkState.WAITING]
    voided = waiting[-quantity * _each(draft, row) :]
    for drink in voided:
        again.void(draft, drink, BY_TILL)
    left = [d for d in drinks if d not in voided and d.state is not DrinkState.VOID]
    _set_quantity(draft, ticket_id, row, _lines_of(draft, row, len(left)))
    return voided, [drink for drink in left if drink.state in HERE]


def _set_quantity(draft: Draft, ticket_id: str, row: LineRecord, quantity: int) -> None:
    now = replace(row, quantity=quantity) if quantity else replace(row, is_void=True)
    draft.put(with_line(draft.tickets[ticket_id], now))


def _close_lines(draft: Draft, ticket: TicketRecord) -> None:
    """Close the lines of a ticket with nothing left on them; the ticket too, if that is all."""
    left = {d.line for d in draft.state.drinks_of(ticket) if d.state is not DrinkState.VOID}
    lines = tuple(row if row.id in left else replace(row, is_void=True) for row in ticket.lines)
    draft.put(replace(ticket, lines=lines, is_void=not left))


def _present(draft: Draft, tickets: Sequence[TicketRecord], row: LineRecord) -> int:
    if row.is_unread:
        return row.quantity
    drinks = [
        drink
        for ticket in tickets
        for drink in draft.state.drinks_of(draft.tickets[ticket.id])
        if drink.line == row.id and drink.state is not DrinkState.VOID
    ]
    return _lines_of(draft, row, len(drinks))


def _each(draft: Draft, row: LineRecord) -> int:
    return glasses_each(draft.bar.menu, row.line) if row.line else 1


def _lines_of(draft: Draft, row: LineRecord, num_drinks: int) -> int:
    """Give how many of a line so many of its glasses are; a tray begun counts whole."""
    return -(-num_drinks // _each(draft, row))


def _in_words(drinks: Sequence[DrinkRecord]) -> tuple[str, ...]:
    words = {DrinkState.IN_HAND: "in hand", DrinkState.MADE: "made"}
    return tuple(
        f"{names_of(rows)} is {words[state]} already"
        for state in HERE
        if (rows := [drink for drink in drinks if drink.state is state])
    )
