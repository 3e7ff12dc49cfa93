"""What the service remembers: tickets, drinks, builds, marks, taps, the order last shown, set-ups.

A record is one frozen row. An action makes new records from old ones; the store keeps them; a
tap keeps the records before and after it, which is all that undo needs.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from pydantic import TypeAdapter

from solver.plan import Plan
from solver.tickets import Channel, Line


class DrinkState(StrEnum):
    """The life of a drink."""

    WAITING = "waiting"
    IN_HAND = "in_hand"
    MADE = "made"
    GONE = "gone"
    VOID = "void"


class BuildState(StrEnum):
    """The life of a build that was begun; a planned one is only in the order."""

    IN_HAND = "in_hand"
    MADE = "made"
    PUT_BACK = "put_back"


class MarkKind(StrEnum):
    """Kinds of small facts about the bar that hold until they lapse or are taken away."""

    STOCK = "stock"
    WELL_OUT = "well_out"
    WELL_FILLED = "well_filled"
    VESSEL_OUT = "vessel_out"
    PERSON = "person"
    FLAME = "flame"
    GLASSES = "glasses"
    GLASSES_WASHING = "glasses_washing"
    WASHER = "washer"
    SERVING = "serving"
    ALIAS = "alias"
    TILL = "till"
    GAP = "gap"
    PRINT = "print"
    PRINTER = "printer"
    CLOCK = "clock"
    HELD_UP = "held_up"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRecord:
    """One line of a ticket as it came, and what was read from it.

    Attributes
    ----------
    id : str
    raw : dict
        The line as it came, word for word.
    quantity : int
    line : Line or None
        What it orders; None while it cannot be read.
    unread : str
        Why it cannot be read; empty once it can.
    nearest : tuple of str
        Ids of the menu that come near.
    is_void : bool
    word : str
        The one word of it that the menu does not know; empty where that is not what is wrong.
    printed : tuple of str
        What stands on paper of it, redacted; empty for what did not come from a printer.
    """

    id: str
    raw: dict[str, Any]
    quantity: int
    line: Line | None = None
    unread: str = ""
    nearest: tuple[str, ...] = ()
    is_void: bool = False
    word: str = ""
    printed: tuple[str, ...] = ()

    @property
    def is_unread(self) -> bool:
        """Whether it stands in the tray of unread lines."""
        return self.line is None and not self.is_void


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketRecord:
    """One ticket. `drinks` are ids in the order of the lines, void ones too.

    The first `num_posted` lines are those the till sent; 0 says that all of them are. `printed_at`
    is the time as it stands on paper, which is the same on what a till prints twice.
    """

    id: str
    number: str
    channel: Channel
    placed_at: datetime
    received_at: datetime
    business_day: str
    promise_s: int
    lines: tuple[LineRecord, ...]
    drinks: tuple[str, ...] = ()
    till: str = ""
    place: str = ""
    server: str = ""
    weight: int = 1
    is_on_hold: bool = False
    is_void: bool = False
    num_posted: int = 0
    printed_at: str = ""

    @property
    def posted(self) -> list[dict[str, Any]]:
        """The lines as the till sent them, whatever became of them since."""
        return [line.raw for line in self.lines[: self.num_posted or len(self.lines)]]

    def line_of(self, line_id: str) -> LineRecord:
        """Look a line up by its id; KeyError when the ticket has none of that id."""
        return next((line for line in self.lines if line.id == line_id), None) or _no(line_id)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrinkRecord:
    """One glass. `is_estimate` says that `made_at` was worked out and not tapped."""

    id: str
    ticket: str
    line: str
    name: str
    state: DrinkState = DrinkState.WAITING
    made_at: datetime | None = None
    is_estimate: bool = False
    gone_at: datetime | None = None
    reason: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it still has to be made."""
        return self.state in (DrinkState.WAITING, DrinkState.IN_HAND)


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchRecord:
    """A stretch of a build that was begun: its block, by whom, from when, until when."""

    index: int
    person: str
    started_at: datetime
    ended_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildRecord:
    """A build that somebody began.

    `chilled_by_ice` are those of its drinks whose glass was chilled with ice and water when it
    began, for want of a chilled one: its work stays what it was then.
    """

    id: str
    person: str
    drinks: tuple[str, ...]
    state: BuildState
    stretches: tuple[StretchRecord, ...]
    reason: str = ""
    chilled_by_ice: tuple[str, ...] = ()

    @property
    def at_hand(self) -> StretchRecord | None:
        """The stretch that somebody's hands are on now; None while it only runs by itself."""
        if self.state is not BuildState.IN_HAND:
            return None
        return next((s for s in self.stretches if s.ended_at is None), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A small fact about the bar, since when, until when (None: until taken away).

    What `key`, `number`, `more` and `words` mean is said by its kind: see `service.night.marks`.
    """

    kind: MarkKind
    key: str
    since: datetime
    until: datetime | None = None
    number: int | None = None
    more: int | None = None
    drinks: tuple[str, ...] = ()
    words: str = ""

    @property
    def id(self) -> str:
        """Its identity among all marks of the bar."""
        return f"{self.kind.value} {self.key}"

    def holds_at(self, now: datetime) -> bool:
        """Whether it has not lapsed."""
        return self.until is None or self.until > now


Record = TicketRecord | DrinkRecord | BuildRecord | Mark
KINDS: dict[str, type[Record]] = {
    "ticket": TicketRecord,
    "drink": DrinkRecord,
    "build": BuildRecord,
    "mark": Mark,
}
ADAPTERS: dict[str, TypeAdapter[Any]] = {kind: TypeAdapter(row) for kind, row in KINDS.items()}


def kind_of(record: Record) -> str:
    """Name the kind of a record, as the store and the taps know it."""
    return next(kind for kind, row in KINDS.items() if isinstance(record, row))


def write(record: Record) -> str:
    """Write a record as JSON."""
    return ADAPTERS[kind_of(record)].dump_json(record).decode()


def read(kind: str, text: str) -> Record:
    """Read a record of a kind from JSON."""
    found: Record = ADAPTERS[kind].validate_json(text)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One record before and after; None where it was not there, or is no more."""

    kind: str
    id: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TapRecord:
    """One tap of a screen, with all it changed."""

    id: str
    screen: str
    at: datetime
    said: str
    changed: tuple[Changed, ...]
    is_undone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownBuild:
    """A build that some order showed: it stays known, and can be begun while its drinks wait."""

    id: str
    person: str
    drinks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRecord:
    """The order last shown: a plan, the moment its seconds count from, and its revision."""

    revision: int
    as_of: datetime
    moment: datetime
    plan: Plan | None
    trouble: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was answered to an idempotency key: given again to the same request."""

    key: str
    fingerprint: str
    at: datetime
    status: int
    body: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseRecord:
    """One bar as it was last told: each part is JSON."""

    bar: str
    name: str
    timezone: str
    epoch: str
    menu: str
    counter: str
    standards: str
    prints: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenText:
    """A part of a bar's set-up as somebody wrote it, comments and all, and why they did."""

    part: str
    text: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptVersion:
    """One version of a menu, counter or table of standards; `text` is empty where none was told."""

    part: str
    version: int
    since: datetime
    body: str
    text: str = ""
    note: str = ""


def _no(line_id: str) -> LineRecord:
    raise KeyError(line_id)
