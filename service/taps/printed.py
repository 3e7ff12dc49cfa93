"""Prints become tickets, or change them; what nobody could read is for a person.

Many prints are taken in one go: the order is made once for all of them. What has been a ticket is
known again by till, business day and number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import reduce
from operator import add

from service.naming import folded
from service.night.aliases import aliases_of
from service.night.ids import new_id
from service.night.prints import Became, PrintRecord
from service.night.records import LineRecord, MarkKind, TicketRecord
from service.night.state import Draft
from service.printing.house import Prints
from service.printing.prints import Print, PrintKind

from . import clocks, corrected, numbers
from .arrived import Arrived, alert, for_a_person, no_ticket
from .corrected import Outcome
from .on_paper import line_of
from .placing import MOST_DRINKS, put_on_rail
from .said import names_of

MOST_LINES = 60
"""Lines of a ticket that are read; a longer print is shown to a person."""
SHOWN_LINES = 60
LONGEST_SHOWN = 200
TWICE = timedelta(minutes=2)
"""Where the paper has no time, the same number and lines within this are the same print twice."""

Known = Callable[[str, str, str], Sequence[TicketRecord]]
"""Gives the tickets of a business day, till and number, in the order they came."""


def take(draft: Draft, arrived: Arrived, known: Known) -> PrintRecord:
    """Take one print in; the record says what became of it."""
    record = record_of(draft, arrived)
    arrived = clocks.placed(draft, arrived, record.till)
    found = arrived.found
    draft.drop("mark", f"{MarkKind.PRINT.value} {record.id}")
    judged = no_ticket(arrived)
    if judged is not None:
        if judged.became is Became.NO_TICKET:
            _follow(draft, arrived, record.till)
        if judged.is_for_a_person:
            return for_a_person(draft, record, judged.became, judged.said)
        return replace(record, became=judged.became, said=judged.said)
    assert found is not None  # noqa: S101 (what nobody could read is no ticket)
    before = list(known(arrived.business_day, record.till, found.number)) if found.number else []
    if not before:
        _follow(draft, arrived, record.till)
    lines = _lines(draft, found)
    comes = [line for line, item in zip(lines, found.drinks, strict=True) if not item.is_void]
    goes = [line for line, item in zip(lines, found.drinks, strict=True) if item.is_void]
    if found.kind is PrintKind.VOID:
        return _void(draft, record, before, [*comes, *goes])
    if found.kind is PrintKind.CORRECTION and before:
        return _correction(draft, record, before, comes=comes, goes=goes, found=found)
    if before and not goes and _is_same(found, before, comes, arrived.received_at):
        return _known(draft, record, before, comes)
    if not comes:
        return _only_goes(draft, record, before, goes)
    return _ticket(draft, arrived, record, before, comes=comes, goes=goes)


def record_of(draft: Draft, arrived: Arrived) -> PrintRecord:
    """Give the record of a print before anything became of it."""
    found = arrived.found
    return PrintRecord(
        id=arrived.id,
        stream=arrived.stream,
        from_byte=arrived.from_byte,
        to_byte=arrived.to_byte,
        sender=arrived.sender,
        received_at=arrived.received_at,
        became=Became.EMPTY,
        number=found.number if found else "",
        till=_till(draft, arrived),
        lines=tuple(line[:LONGEST_SHOWN] for line in arrived.lines[:SHOWN_LINES]),
        doubts=found.doubts if found else (),
        begins_with=arrived.begins_with.hex(),
    )


def _ticket(
    draft: Draft,
    arrived: Arrived,
    record: PrintRecord,
    before: Sequence[TicketRecord],
    *,
    comes: Sequence[LineRecord],
    goes: Sequence[LineRecord],
) -> PrintRecord:
    """Make a ticket of a print; say what is strange about it."""
    found = arrived.found
    assert found is not None  # noqa: S101 (for the types)
    ticket = _place(draft, arrived, found, comes, record.till)
    names = names_of(draft.drinks[drink] for drink in ticket.drinks)
    said = f"ticket {ticket.number}: {names or 'lines for the tray'}"
    twice = False
    if found.kind is PrintKind.REPRINT:
        said += "; a reprint, and the print before it never came"
    elif found.kind is PrintKind.CORRECTION:
        said += "; a correction, and what it corrects never came"
    elif twice := not goes and _same_lines(draft, before, comes):
        said += f"; number {ticket.number} came before with the same lines"
    elif before:
        said += f"; number {ticket.number} came before with other lines: void one if it is wrong"
    record = replace(record, became=Became.TICKET, ticket=ticket.id, said=said)
    if twice:
        words = (
            f"number {ticket.number} came twice with the same lines: the same round again, or a "
            "second print?"
        )
        if record.doubts:
            words += f" Not all of it was understood: {record.doubts[0]}"
        alert(draft, record, words, drinks=ticket.drinks, is_second=True)
    if goes:
        outcome = _sum(
            corrected.take_off(draft, [*before, ticket], line, line.quantity) for line in goes
        )
        record = _with_outcome(draft, record, ticket, outcome)
    if record.doubts and not twice:
        words = f"ticket {ticket.number}: not all of the print was understood"
        alert(draft, record, f"{words}: {record.doubts[0]}")
    return record


def _void(
    draft: Draft,
    record: PrintRecord,
    before: Sequence[TicketRecord],
    lines: Sequence[LineRecord],
) -> PrintRecord:
    """Take a ticket off; of several rounds on one number only what the void itself names."""
    here = [draft.tickets[ticket.id] for ticket in before if ticket.id in draft.tickets]
    record = replace(record, became=Became.VOID)
    if not here:
        said = f"void of ticket {record.number or 'without a number'}, which is not known here"
        return for_a_person(draft, record, Became.VOID, said)
    live = [ticket for ticket in here if not ticket.is_void]
    if len(live) > 1 and lines:
        outcome = _sum(corrected.take_off(draft, live, line, line.quantity) for line in lines)
    else:
        outcome = corrected.void_tickets(draft, here)
    if not outcome.done and not outcome.not_done:
        outcome = Outcome(done=("nothing was left to void",))
    return _with_outcome(draft, record, here[-1], outcome)


def _correction(
    draft: Draft,
    record: PrintRecord,
    before: Sequence[TicketRecord],
    *,
    comes: Sequence[LineRecord],
    goes: Sequence[LineRecord],
    found: Print,
) -> PrintRecord:
    here = [draft.tickets[t.id] for t in before if t.id in draft.tickets and not t.is_void]
    record = replace(record, became=Became.CORRECTION)
    if not here:
        said = f"a correction of ticket {record.number}, which is closed"
        return for_a_person(draft, record, Became.CORRECTION, said)
    if found.correction_replaces and corrected.is_whole(draft, here, comes=comes, goes=goes):
        outcome = corrected.make_like(draft, here, comes)
    else:
        outcome = _sum(corrected.take_off(draft, here, line, line.quantity) for line in goes)
        outcome += corrected.add(draft, here[-1], comes)
    if not outcome.done and not outcome.not_done:
        outcome = Outcome(done=("nothing had to be changed",))
    return _with_outcome(draft, record, here[-1], outcome)


def _known(
    draft: Draft,
    record: PrintRecord,
    before: Sequence[TicketRecord],
    comes: Sequence[LineRecord],
) -> PrintRecord:
    record = replace(record, became=Became.KNOWN, ticket=before[-1].id)
    keys = {corrected.key_of(line) for ticket in before for line in ticket.lines}
    new = [line for line in comes if corrected.key_of(line) not in keys]
    posted = [line for ticket in before for line in ticket.posted]
    new = [line for line in new if line.raw not in posted]
    if new:
        names = ", ".join(f"{line.quantity} × {line.raw['recipe']}" for line in new)
        said = f"a reprint of ticket {record.number} has what the ticket has not: {names}"
        return for_a_person(draft, record, Became.KNOWN, said)
    return replace(record, said=f"ticket {record.number} once more: nothing was added")


def _only_goes(
    draft: Draft,
    record: PrintRecord,
    before: Sequence[TicketRecord],
    goes: Sequence[LineRecord],
) -> PrintRecord:
    """Take off what a print of voids alone takes off."""
    here = [draft.tickets[t.id] for t in before if t.id in draft.tickets and not t.is_void]
    if not here:
        names = ", ".join(f"{line.quantity} × {line.raw['recipe']}" for line in goes)
        said = f"void on ticket {record.number or 'without a number'}, not known here: {names}"
        return for_a_person(draft, record, Became.VOID, said)
    outcome = _sum(corrected.take_off(draft, here, line, line.quantity) for line in goes)
    return _with_outcome(draft, replace(record, became=Became.VOID), here[-1], outcome)


def _is_same(
    found: Print,
    before: Sequence[TicketRecord],
    comes: Sequence[LineRecord],
    received_at: datetime,
) -> bool:
    """Whether a print says again what is known: it is a reprint, or the till sent it twice.

    The same drinks once more, at another time, are another round on the same number.
    """
    if found.kind is PrintKind.REPRINT:
        return True
    came_again = [line.raw for line in comes]
    at = found.printed.text if found.printed else ""
    return any(
        ticket.posted == came_again
        and (ticket.printed_at == at if at else received_at - ticket.received_at <= TWICE)
        for ticket in before
    )


def _same_lines(draft: Draft, before: Sequence[TicketRecord], comes: Sequence[LineRecord]) -> bool:
    """Whether what comes stands on a ticket of its number already, and was not taken off since."""
    came = [line.raw for line in comes]
    now = (draft.tickets.get(ticket.id, ticket) for ticket in before)
    return any(ticket.posted == came and not ticket.is_void for ticket in now)


def _lines(draft: Draft, found: Print) -> list[LineRecord]:
    """Read the drinks of a print, each as a line; beyond what a ticket holds they are unread."""
    menu, aliases = draft.bar.menu, aliases_of(draft.marks_of(MarkKind.ALIAS))
    lines: list[LineRecord] = []
    total = 0
    for item in found.drinks:
        line = line_of(menu, aliases, "", item, found)
        total += line.quantity
        if total > MOST_DRINKS or len(lines) >= MOST_LINES:
            fault = f"a ticket has at most {MOST_DRINKS} drinks and {MOST_LINES} lines"
            line = replace(line, line=None, unread=fault)
        lines.append(line)
    return lines


def _place(
    draft: Draft, arrived: Arrived, found: Print, lines: Sequence[LineRecord], till: str
) -> TicketRecord:
    house = draft.bar.prints or Prints()
    ticket_id = new_id("t", draft.now)
    seat = found.seat if folded(found.seat) not in folded(found.place) else ""
    ticket = TicketRecord(
        id=ticket_id,
        number=found.number or f"no number, {arrived.placed_at:%H:%M:%S}",
        channel=found.channel or house.channel,
        placed_at=arrived.placed_at,
        received_at=arrived.received_at,
        business_day=arrived.business_day,
        promise_s=1,
        lines=tuple(replace(line, id=f"{ticket_id}-l{n}") for n, line in enumerate(lines)),
        till=till,
        place=" ".join(filter(None, (found.place, seat))),
        server=found.server,
        num_posted=len(lines),
        printed_at=found.printed.text if found.printed else "",
    )
    return put_on_rail(draft, ticket)


def _till(draft: Draft, arrived: Arrived) -> str:
    house = draft.bar.prints or Prints()
    said = arrived.found.till if arrived.found else ""
    return (said or house.till or arrived.sender)[:64]


def _follow(draft: Draft, arrived: Arrived, till: str) -> None:
    """Count a till's numbers; a reprint, void or correction has the number of an earlier ticket."""
    house = draft.bar.prints or Prints()
    found = arrived.found
    if found is None or not found.number or not house.follow_numbers:
        return
    if found.kind is PrintKind.REPRINT:
        numbers.has_come(draft, till, found.number)
    elif found.kind not in (PrintKind.VOID, PrintKind.CORRECTION):
        numbers.follow(draft, till, arrived.business_day, found.number)


def _with_outcome(
    draft: Draft, record: PrintRecord, ticket: TicketRecord, outcome: Outcome
) -> PrintRecord:
    """Say what a till's word changed; where something is left for a person, alert."""
    said = "; ".join((*outcome.done, *outcome.not_done))
    before = f"{record.said}; " if record.said else f"ticket {ticket.number}: "
    record = replace(record, ticket=ticket.id, said=before + said)
    if outcome.not_done:
        words = f"ticket {ticket.number}, taken off or changed at the till: "
        alert(draft, record, words + "; ".join(outcome.not_done), drinks=outcome.drinks)
    return record


def _sum(outcomes: Iterable[Outcome]) -> Outcome:
    return reduce(add, outcomes, Outcome())
