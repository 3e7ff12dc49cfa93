"""A print as it arrived: what is no ticket is told apart here, and what a person has to look at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from service.night.prints import Became, PrintRecord
from service.night.records import Mark, MarkKind
from service.night.state import Draft
from service.printing.prints import Print, PrintKind

NO_TICKET = {
    PrintKind.NO_DRINKS: "no drinks on it",
    PrintKind.TEST: "a test print",
    PrintKind.DRAWER: "the drawer was opened",
    PrintKind.REPORT: "a report of the till",
    PrintKind.CARD_SLIP: "a card slip",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """One print as it arrived, read as far as it can be.

    Attributes
    ----------
    id, stream : str
    from_byte, to_byte : int
    sender : str
    received_at : datetime
    found : Print or None
        None where the bar has no reading profile.
    lines : tuple of str
        What stands on it, redacted.
    placed_at : datetime
        From when it counts: when it came, until `clocks.placed` has looked at its till's clock.
    said : datetime or None
        What the paper says of when it was printed, by the till's clock.
    business_day : str
    is_whole : bool
        It ended as tickets end.
    dropped_bytes : int
        How many were too many to be kept.
    begins_with : bytes
        Settings that were in force when it began.
    is_asked_for : bool
        A person wants it as a ticket, although it broke off or was not read before.
    is_held_up : bool
        It came with others of its till whose times lie apart.
    """

    id: str
    stream: str
    from_byte: int
    to_byte: int
    sender: str
    received_at: datetime
    found: Print | None
    lines: tuple[str, ...]
    placed_at: datetime
    said: datetime | None = None
    business_day: str = ""
    is_whole: bool = True
    dropped_bytes: int = 0
    begins_with: bytes = b""
    is_asked_for: bool = False
    is_held_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Why a print is no ticket; `is_for_a_person` where somebody has to look at it."""

    became: Became
    said: str = ""
    is_for_a_person: bool = False


def no_ticket(arrived: Arrived) -> Judged | None:
    """Say why a print is no ticket; None where it is one, or speaks of one."""
    found = arrived.found
    if found is None:
        return _without_profile(arrived)
    if found.kind is PrintKind.EMPTY:
        return Judged(became=Became.EMPTY)
    if found.kind in NO_TICKET and not arrived.dropped_bytes:
        return Judged(became=Became.NO_TICKET, said=NO_TICKET[found.kind])
    if arrived.dropped_bytes and not arrived.is_asked_for:
        said = f"a print went on for {arrived.dropped_bytes:,} bytes too many"
        return Judged(became=Became.TOO_LONG, said=said, is_for_a_person=True)
    if found.kind is PrintKind.PICTURE:
        said = "a print is a picture and cannot be read: have the till print text, or send JSON"
        return Judged(became=Became.PICTURE, said=said, is_for_a_person=True)
    if not arrived.is_whole and not arrived.is_asked_for:
        return Judged(became=Became.INCOMPLETE, said="a print broke off", is_for_a_person=True)
    if found.kind is PrintKind.UNKNOWN or not (found.drinks or found.kind is PrintKind.VOID):
        said = "nothing on a print could be read"
        return Judged(became=Became.UNREAD, said=said, is_for_a_person=True)
    return None


def _without_profile(arrived: Arrived) -> Judged:
    if not any(line.strip() for line in arrived.lines):
        return Judged(became=Became.EMPTY)
    said = "no reading profile says how this till prints: threedeep prints learn makes one"
    return Judged(became=Became.UNREAD, said=said, is_for_a_person=True)


def for_a_person(draft: Draft, record: PrintRecord, became: Became, said: str) -> PrintRecord:
    """Give the record of a print that a person has to look at, and raise the alert for it."""
    record = replace(record, became=became, said=said)
    alert(draft, record, f"{said}, from till {record.till or record.sender}")
    return record


def alert(
    draft: Draft,
    record: PrintRecord,
    words: str,
    drinks: tuple[str, ...] = (),
    *,
    is_second: bool = False,
) -> None:
    """Raise an alert with what stands on the paper; it stays until somebody has seen it.

    Parameters
    ----------
    draft : Draft
    record : PrintRecord
    words : str
    drinks : tuple of str
        Which it is about.
    is_second : bool
        These may be on a ticket already: it is asked whether they are to be taken off.
    """
    text = "\n".join((words, *(line.rstrip() for line in record.lines if line.strip())))
    draft.put(
        Mark(
            kind=MarkKind.PRINT,
            key=record.id,
            since=draft.now,
            # What may be taken as a ticket all the same.
            number=int(record.became in (Became.INCOMPLETE, Became.UNREAD, Became.TOO_LONG)),
            more=int(is_second),
            drinks=drinks,
            words=text,
        )
    )
