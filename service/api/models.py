"""What the service says over HTTP: the build order, tickets, answers to taps, problems.

Every time is absolute UTC: a body never holds "seconds left", so that its bytes (and with them
its ETag) change only when something changed. The screen counts.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer

from solver.grid import PourGrid


def utc_text(moment: datetime) -> str:
    """Write a UTC time with tenths of a second: ``2027-02-12T21:04:10.0Z``."""
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 100_000}Z"


Utc = Annotated[
    datetime,
    PlainSerializer(utc_text, return_type=str, when_used="json"),
    Field(examples=["2027-02-12T21:04:10.0Z"]),
]


def exact_text(moment: datetime) -> str:
    """Write a UTC time to the microsecond, without a sign that an address would have to escape."""
    return f"{moment:%Y-%m-%dT%H:%M:%S.%f}Z"


Exact = Annotated[
    datetime,
    PlainSerializer(exact_text, return_type=str, when_used="json"),
    Field(examples=["2027-02-12T21:04:10.123456Z"]),
]
"""A time that is sent back as it came: where a list goes on."""


class Said(BaseModel):
    """Base of everything the service says."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)


class DrinkCard(Said):
    """One glass, with all that the hands need to know about it."""

    id: str
    name: str
    ticket: str
    number: str
    """The ticket's number, as the till prints it."""
    channel: Literal["bar_top", "floor"]
    place: str
    glass: str
    ice: str
    """Ice in the glass, in words; empty for none."""
    rim: str
    garnish: tuple[str, ...]
    changes: tuple[str, ...]
    """The guest's changes as they are said: "no egg white", "double"."""
    allergies: tuple[str, ...]
    note: str
    is_alone: bool
    """Made by itself in clean kit: an allergy, or a note nobody could read."""
    cautions: tuple[str, ...]
    state: Literal["waiting", "in_hand", "made"]
    made_at: Utc | None = None


class Stretch(Said):
    """One stretch of hands: the main one (index 0), or one that finishes what ran alone."""

    index: int
    title: str
    say: tuple[str, ...]
    """Its steps as spoken lines, in order."""
    state: Literal["to_come", "in_hand", "done"]
    bartender: str
    planned_start: Utc
    planned_end: Utc
    started_at: Utc | None = None
    ready_at: Utc | None = None
    """When what runs by itself is ready for it; absent for the main stretch."""
    window_until: Utc | None = None
    """The latest it may start; absent where there is no window."""


class BuildCard(Said):
    """One build, in hand or planned."""

    id: str
    state: Literal["planned", "in_hand"]
    bartender: str
    title: str
    """Names and counts: "2 × Harbour Sour, Gin and tonic"."""
    rounds: tuple[str, ...]
    """Ticket numbers it serves, oldest first."""
    places: tuple[str, ...]
    drinks: tuple[DrinkCard, ...]
    """In finishing order."""
    grid: PourGrid
    """Rows are bottles in reaching order, columns are vessels (or glasses), cells are amounts."""
    stretches: tuple[Stretch, ...]
    cautions: tuple[str, ...]
    is_at_hand: bool
    """A stretch of it is what the hands do now. False while it only runs by itself."""
    planned_start: Utc
    planned_made: Utc
    started_at: Utc | None = None
    put_back_until: Utc | None = None
    """Before this, it can be put back without loss: ice is not in yet."""


class QueueCard(Said):
    """A build further down the queue, short."""

    id: str
    title: str
    drinks: tuple[str, ...]
    rounds: tuple[str, ...]
    places: tuple[str, ...]
    planned_start: Utc
    planned_made: Utc


class BartenderCard(Said):
    """What one bartender does now, next and then. Known by station, not by name or pace."""

    id: str
    station: str
    station_name: str
    posts: tuple[str, ...]
    is_on: bool
    back_at: Utc | None = None
    serving: str = ""
    """Number of the bar-top round being handed over and paid now; empty for none."""
    serving_until: Utc | None = None
    now: tuple[BuildCard, ...]
    """Builds in hand; the one at hand first, then those that run by themselves."""
    next: BuildCard | None
    then: tuple[QueueCard, ...]


class RoundCard(Said):
    """A round that is not gone yet."""

    ticket: str
    number: str
    channel: Literal["bar_top", "floor"]
    place: str
    placed_at: Utc
    promised_by: Utc
    num_drinks: int
    num_made: int
    is_on_hold: bool
    is_made: bool
    done_by: Utc | None
    """When its last drink is made, an 80% value; absent when some of it cannot be planned."""


class AsideCard(Said):
    """A drink that cannot be made now, and why."""

    drink: str
    ticket: str
    number: str
    place: str
    name: str
    reason: str


class NearName(Said):
    """A name of the menu near to what could not be read."""

    recipe: str
    name: str


class UnreadLine(Said):
    """A ticket's line that could not be read; kept until somebody says what it is."""

    line: str
    """Its id, for resolving it."""
    ticket: str
    number: str
    channel: Literal["bar_top", "floor"]
    place: str
    placed_at: Utc
    quantity: int
    text: str
    """What the line said."""
    reason: str
    nearest: tuple[NearName, ...]
    word: str
    """The one word of it that the menu does not know; empty where something else is wrong."""
    printed: tuple[str, ...]
    """What stands on paper of it, redacted; empty for what did not come from a printer."""


AlertKind = Literal[
    "plan",
    "stock",
    "well",
    "vessel",
    "person",
    "hours",
    "flame",
    "unread",
    "glasses",
    "print",
    "gap",
    "printer",
    "clock",
]


class Alert(Said):
    """A sentence the whole bar should know now."""

    kind: AlertKind
    words: str
    drinks: tuple[str, ...] = ()
    id: str = ""
    """By which somebody says that they have seen it; empty for what goes by itself."""
    print: str = ""
    """Id of the print it speaks of; empty for none."""
    can_be_taken: bool = False
    """The print can be taken as a ticket as it is."""
    second: str = ""
    """Id of a ticket that may be a second print of another: voided, it is off again."""
    lines: tuple[str, ...] = ()
    """What stands on the paper, redacted."""


class BuildOrder(Said):
    """The planned builds of a bar, per bartender, in sequence, with everything a screen shows."""

    bar: str
    name: str
    timezone: str
    epoch: str
    """Changes when revisions begin anew (a new database)."""
    revision: int
    as_of: Utc
    planner: str
    bartenders: tuple[BartenderCard, ...]
    rounds: tuple[RoundCard, ...]
    set_aside: tuple[AsideCard, ...]
    unread: tuple[UnreadLine, ...]
    alerts: tuple[Alert, ...]


class Problem(BaseModel):
    """What went wrong, by RFC 9457: what was expected, what came and what to do."""

    model_config = ConfigDict(use_attribute_docstrings=True)

    type: str
    title: str
    status: int
    detail: str
    instance: str | None = None
    errors: list[dict[str, Any]] | None = None
    """One entry a fault: ``path`` (a JSON pointer) and ``detail``."""


class Moved(Said):
    """Data of an event on the stream: the order is now at this revision."""

    epoch: str
    revision: int
    bartender: str
    """The bartender the screen asked for; empty for all."""
