"""What is kept of prints: the bytes as they came, and what became of each print.

Bytes are kept piece by piece as they arrive, by stream: one connection of a till, or one request.
A print is a stretch of a stream; its record is kept in the same transaction as what it changed, so
that what is behind the last record of a stream has not been read yet.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Became(StrEnum):
    """What became of a print."""

    TICKET = "ticket"
    """A new ticket, or more of one."""
    KNOWN = "known"
    """It had come before, or is a reprint: nothing was added."""
    VOID = "void"
    CORRECTION = "correction"
    NO_TICKET = "no_ticket"
    """Nothing for the bar: food, a test, a report, a card slip, the drawer."""
    EMPTY = "empty"
    """Nothing on paper."""
    PICTURE = "picture"
    """One picture: kept, and not read."""
    UNREAD = "unread"
    """Nobody could read it: a person has to look."""
    INCOMPLETE = "incomplete"
    """It broke off in the middle."""
    TOO_LONG = "too_long"
    """More than a print can hold: the first part is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """Some bytes of a stream, as they came.

    Attributes
    ----------
    bar, stream : str
    position : int
        Of its first byte in the stream.
    at : datetime
    sender : str
        Address it came from; ``http`` for a request.
    data : bytes
    """

    bar: str
    stream: str
    position: int
    at: datetime
    sender: str
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintRecord:
    """One print, and what became of it.

    Attributes
    ----------
    id : str
    stream : str
    from_byte, to_byte : int
        Where it stands in its stream, half-open; bytes over the cap are counted and not kept.
    sender : str
    received_at : datetime
    became : Became
    said : str
        What was done with it, in words.
    number, till : str
    ticket : str
        Id of the ticket it made or changed; empty for none.
    lines : tuple of str
        What stands on it, redacted.
    doubts : tuple of str
        What is not sure about it.
    begins_with : str
        Bytes, as hexadecimal digits, that put a printer into the settings it began with.
    """

    id: str
    stream: str
    from_byte: int
    to_byte: int
    sender: str
    received_at: datetime
    became: Became
    said: str = ""
    number: str = ""
    till: str = ""
    ticket: str = ""
    lines: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    begins_with: str = ""
