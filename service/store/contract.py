"""What the service asks of a store, whichever database is behind it.

Narrow on purpose: whole records, one batch an action, all of it or nothing. A PostgreSQL store
implements the same protocol and passes the same tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from service.night.prints import Chunk, PrintRecord
from service.night.records import (
    Answer,
    BuildRecord,
    DrinkRecord,
    HouseRecord,
    KeptVersion,
    OrderRecord,
    Record,
    ShownBuild,
    TapRecord,
    TicketRecord,
    WrittenText,
)


@dataclass(slots=True, kw_only=True)
class Batch:
    """Everything one action changes in one bar; kept whole or not at all.

    Attributes
    ----------
    bar : str
    at : datetime
        When; stands beside what has no time of its own.
    house : HouseRecord or None
        The bar as it is now told; parts that differ become new versions.
    texts : list of WrittenText
        Parts as somebody wrote them; a part whose text differs becomes a new version as well.
    put : list of Record
    dropped : list of (kind, id)
    tap : TapRecord or None
        Kept, or replaced where it was undone.
    shown : sequence of ShownBuild
        Builds that an order shows for the first time.
    order : OrderRecord or None
    answer : Answer or None
    prints : sequence of PrintRecord
        What became of prints; kept with what they changed.
    """

    bar: str
    at: datetime
    house: HouseRecord | None = None
    texts: list[WrittenText] = field(default_factory=list)
    put: list[Record] = field(default_factory=list)
    dropped: list[tuple[str, str]] = field(default_factory=list)
    tap: TapRecord | None = None
    shown: Sequence[ShownBuild] = ()
    order: OrderRecord | None = None
    answer: Answer | None = None
    prints: Sequence[PrintRecord] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What is at hand of a bar when the service starts."""

    records: tuple[Record, ...]
    shown: tuple[ShownBuild, ...]
    order: OrderRecord | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One ticket with its drinks, however old."""

    ticket: TicketRecord
    drinks: tuple[DrinkRecord, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptNight:
    """All that is kept of one business day: its tickets, oldest first, and the builds of them."""

    tickets: tuple[Kept, ...]
    builds: tuple[BuildRecord, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRush:
    """A simulated rush as a row: `body` is the service's own record of it."""

    bar: str
    id: str
    state: str
    since: datetime
    body: str


class Store(Protocol):
    """One database. Calls block; they are made from worker threads, never from the event loop."""

    def facts(self) -> dict[str, str]:
        """Give what is logged at the start: version, journal, synchronous, quick check."""
        ...

    def houses(self) -> list[HouseRecord]:
        """Give every bar as it was last told."""
        ...

    def opened(self, bar: str, since: datetime) -> Opened:
        """Give what is open in a bar, and the tickets placed since then with their drinks."""
        ...

    def commit(self, batch: Batch) -> None:
        """Keep a batch: when this returns, it survives a pulled plug."""
        ...

    def answer(self, bar: str, key: str) -> Answer | None:
        """Give what was answered to an idempotency key of a bar."""
        ...

    def ticket(self, bar: str, ticket: str) -> Kept | None:
        """Give a ticket by its id."""
        ...

    def same_number(self, bar: str, *, business_day: str, till: str, number: str) -> list[Kept]:
        """Give the tickets of that number, till and business day, in the order they came."""
        ...

    def tickets(self, bar: str, *, before: datetime | None, limit: int) -> list[Kept]:
        """Give the latest tickets, newest first, placed before a time; all of a moment or none."""
        ...

    def last_tap(self, bar: str, screen: str) -> TapRecord | None:
        """Give the last tap of a screen that is not undone: the one that was kept last."""
        ...

    def num_versions(self, bar: str, part: str) -> int:
        """Count the versions kept of a bar's menu, counter or standards."""
        ...

    def versions(self, bar: str, part: str) -> list[KeptVersion]:
        """Give the versions kept of a part, newest first, without their bodies and texts."""
        ...

    def version(self, bar: str, part: str, version: int) -> KeptVersion | None:
        """Give one version of a part, whole."""
        ...

    def house_at(self, bar: str, at: datetime) -> HouseRecord | None:
        """Give a bar as it was told at a time; as it was first told, for times before that."""
        ...

    def nights(self, bar: str, limit: int) -> list[tuple[str, int]]:
        """Give the business days with tickets, newest first, each with how many."""
        ...

    def night(self, bar: str, business_day: str) -> KeptNight:
        """Give all that is kept of a business day."""
        ...

    def keep_rush(self, rush: KeptRush) -> None:
        """Keep a rush, new or in place of the one with its id; old ones of the bar are dropped."""
        ...

    def rush(self, rush: str) -> KeptRush | None:
        """Give a rush by its id."""
        ...

    def rushes(self, bar: str) -> list[KeptRush]:
        """Give the rushes kept of a bar, newest first."""
        ...

    def unfinished_rushes(self, ended: Sequence[str]) -> list[KeptRush]:
        """Give the rushes of all bars whose state is none of these."""
        ...

    def forget(self, before: datetime) -> None:
        """Drop answers to idempotency keys, taps with what they changed, and shown builds.

        Those from before a time; all of them repeat what guests said.
        """
        ...

    def keep_bytes(self, chunks: Sequence[Chunk]) -> None:
        """Keep bytes of tills: when this returns, they survive a pulled plug."""
        ...

    def bytes_to_read(self, bar: str) -> list[Chunk]:
        """Give the bytes behind the last print of each stream, in the order they came."""
        ...

    def prints(self, bar: str, *, before: datetime | None, limit: int) -> list[PrintRecord]:
        """Give the latest prints, newest first, received before a time; all of a moment or none."""
        ...

    def print_of(self, bar: str, print_id: str) -> PrintRecord | None:
        """Give a print by its id."""
        ...

    def bytes_of(self, bar: str, stream: str, from_byte: int, to_byte: int) -> bytes:
        """Give a stretch of a stream, as far as it is kept."""
        ...

    def forget_prints(self, bar: str, before: datetime) -> None:
        """Drop prints from before a time, with their bytes."""
        ...

    def close(self) -> None:
        """Let go of the database."""
        ...
