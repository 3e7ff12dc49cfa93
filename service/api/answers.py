"""What the service answers to what is done: tickets as they are known, and taps."""

from __future__ import annotations

from typing import Any, Literal

from .models import Exact, Said, UnreadLine, Utc


class TapAnswer(Said):
    """The outcome of a tap."""

    tap: str
    """Its id; undo takes back the last one of a screen."""
    revision: int
    said: str
    """What was done, as a bartender would say it."""
    build: str | None
    """The build it was about."""
    started: str | None
    """The build that is at hand with it."""
    drinks: tuple[str, ...]
    """Drinks that it touched, or that somebody should look at now."""


class DrinkAnswer(Said):
    """One drink of a ticket."""

    id: str
    line: str
    name: str
    state: Literal["waiting", "in_hand", "made", "gone", "void"]
    made_at: Utc | None
    is_estimate: bool
    """The made time was worked out from a tap on its build, not tapped itself."""
    gone_at: Utc | None
    reason: str


class LineAnswer(Said):
    """One line of a ticket, as it came and as it was read."""

    line: str
    quantity: int
    is_read: bool
    is_void: bool
    came: dict[str, Any]


class Expected(Said):
    """When a round is expected to be done: four times in five it is by then."""

    done_by: Utc
    minutes: int
    """Whole minutes from the moment of this answer, at least 1."""


class AsideDrink(Said):
    """A drink of a ticket that cannot be made now, and why."""

    drink: str
    name: str
    reason: str


class TicketAnswer(Said):
    """A ticket as the service knows it."""

    id: str
    number: str
    till: str
    business_day: str
    channel: Literal["bar_top", "floor"]
    place: str
    server: str
    placed_at: Utc
    promised_by: Utc
    is_on_hold: bool
    is_void: bool
    lines: tuple[LineAnswer, ...]
    drinks: tuple[DrinkAnswer, ...]
    unread: tuple[UnreadLine, ...]
    set_aside: tuple[AsideDrink, ...]
    expected: Expected | None
    """Absent once all is made, or while some of it cannot be planned."""
    revision: int
    is_known: bool = False
    """This number, till and business day came before: nothing was added."""
    warnings: tuple[str, ...] = ()


class TicketList(Said):
    """Tickets, newest first."""

    tickets: tuple[TicketAnswer, ...]
    next_before: Exact | None
    """Ask again with ``before`` set to this for older ones; absent at the end."""


class UnreadTray(Said):
    """The tray of unread lines, oldest ticket first."""

    unread: tuple[UnreadLine, ...]


class StockRow(Said):
    """What the bar has of an ingredient that is short."""

    ingredient: str
    name: str
    state: Literal["bottle_out", "left", "86"]
    left: int | None
    back_at: Utc | None


class StockList(Said):
    """Everything that is short now."""

    short: tuple[StockRow, ...]


class SavedPart(Said):
    """One part of what making drinks together saves; negative where it costs."""

    what: str
    seconds: float


class RoundShift(Said):
    """How much sooner a round is done for a build's place in the order; negative for later."""

    ticket: str
    number: str
    sooner_seconds: float


class WhyAnswer(Said):
    """Why a build is as it is: what its drinks save together, what its place does."""

    build: str
    revision: int
    """Of the order that is explained."""
    words: tuple[str, ...]
    """The same in a line for why together, and one for why before the next."""
    together_seconds: float
    """Hands of the build."""
    apart_seconds: float
    """Hands of its drinks made one by one."""
    saved: tuple[SavedPart, ...]
    before: str | None
    """The build that its bartender makes after it; the rounds are compared with the two swapped."""
    rounds: tuple[RoundShift, ...]


class BarAnswer(Said):
    """A bar as it was told."""

    bar: str
    name: str
    timezone: str
    revision: int
    menu_versions: int
    counter_versions: int
    warnings: tuple[str, ...] = ()


class BarList(Said):
    """The bars this service knows."""

    bars: tuple[BarAnswer, ...]


class Readiness(Said):
    """Whether the service does its work."""

    is_ready: bool
    search: Literal["warming up", "ready"]
    planning_age_s: dict[str, float]
    """For each bar, seconds since its planning task last showed that it lives."""
    store: dict[str, str]


class PrintAnswer(Said):
    """One print, and what became of it."""

    id: str
    received_at: Utc
    sender: str
    """Address it came from; ``http`` for one that was posted."""
    became: Literal[
        "ticket",
        "known",
        "void",
        "correction",
        "no_ticket",
        "empty",
        "picture",
        "unread",
        "incomplete",
        "too_long",
    ]
    said: str
    """What was done with it."""
    number: str
    till: str
    ticket: str | None
    """Id of the ticket it made or changed."""
    lines: tuple[str, ...]
    """What stands on it, redacted."""
    doubts: tuple[str, ...]
    """What is not sure about it."""
    num_bytes: int


class PrintsTaken(Said):
    """What became of the bytes of a request, print by print."""

    prints: tuple[PrintAnswer, ...]
    revision: int
    said: str
    """What was done, print by print, as a bartender would say it."""


class PrintList(Said):
    """Prints, newest first."""

    prints: tuple[PrintAnswer, ...]
    next_before: Exact | None
    """Ask again with ``before`` set to this for older ones; absent at the end."""
    port: str | None
    """Where the print port of this bar listens now; absent while it does not."""
    waiting_for_printer: int
    """Prints still to be passed on to the real printer behind the port."""
    not_passed_on: int
    """Prints that it did not get, since the service started; the tickets are all here."""


class AliasAnswer(Said):
    """A word that somebody said the meaning of."""

    id: str
    meant: Literal["recipe", "ingredient", "poured"]
    word: str
    """As it was printed."""
    stands_for: str
    """Id of the recipe or ingredient; of what is poured: spirit, mixer and measure with ``+``."""
    name: str | None
    """Its name; absent while it is not on the menu."""
    since: Utc


class AliasList(Said):
    """The words this bar has learned, oldest first."""

    aliases: tuple[AliasAnswer, ...]
