"""What is true of a night while it runs, and beside it what the screen has heard of it.

Mutable rows, in whole milliseconds from the doors. Fields that begin with ``heard_`` are what was
tapped or told: a planner sees only those.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from solver.counter import Person
from solver.menu import Mix
from solver.tickets import Channel, Line
from solver.work import Work

from .coming import Coming
from .night import DrinkEnd, WaitsFor
from .tally import Tally


class Now(StrEnum):
    """Where a drink is in its life; ``over`` is everything but waiting and in hand."""

    WAITING = "waiting"
    IN_HAND = "in_hand"
    MADE = "made"
    OVER = "over"


@dataclass(slots=True, kw_only=True, eq=False)
class DrinkNow:
    """One glass.

    `waited` are stretches in which it waited for something else than hands: (from, to, what,
    name). `sort` is its mix and whether it is made alone, as a number: equal ones are equal work.
    """

    id: str
    round: RoundNow
    line: Line
    mix: Mix
    sort: int
    ordered_ms: int
    is_remake: bool = False
    now: Now = Now.WAITING
    end: DrinkEnd = DrinkEnd.OPEN
    begun_ms: int | None = None
    made_ms: int | None = None
    ended_ms: int | None = None
    build: BuildNow | None = None
    waited: list[tuple[int, int, WaitsFor, str]] = field(default_factory=list)
    heard: Now = Now.WAITING
    heard_made_ms: int | None = None

    @property
    def is_open(self) -> bool:
        """Whether it still has to be made."""
        return self.now in (Now.WAITING, Now.IN_HAND)

    @property
    def is_heard_open(self) -> bool:
        """Whether the screen thinks that it still has to be made."""
        return self.heard in (Now.WAITING, Now.IN_HAND)


@dataclass(slots=True, kw_only=True, eq=False)
class RoundNow:
    """One round. `over_ms` is when its last drink was made, or when it was given up or void."""

    coming: Coming
    number: str
    promise_s: int
    drinks: list[DrinkNow] = field(default_factory=list)
    last_made_ms: int | None = None
    gave_up_ms: int | None = None
    served_ms: int | None = None
    gone_ms: int | None = None
    over_ms: int | None = None
    overtaken: int = 0

    @property
    def id(self) -> str:
        """Its ticket's id."""
        return self.coming.id

    @property
    def channel(self) -> Channel:
        """Bar top or floor."""
        return self.coming.channel

    @property
    def placed_ms(self) -> int:
        """When it was placed."""
        return self.coming.at_ms

    @property
    def is_open(self) -> bool:
        """Whether one of its drinks still has to be made."""
        return any(drink.is_open for drink in self.drinks)

    @property
    def is_heard_open(self) -> bool:
        """The same, as the screen knows it."""
        return any(drink.is_heard_open for drink in self.drinks)


@dataclass(slots=True, kw_only=True, eq=False)
class BlockNow:
    """A block of a build that was begun: truly, and as the screen heard of it."""

    index: int
    person: str
    start_ms: int
    end_ms: int | None = None
    heard_start_ms: int | None = None
    heard_end_ms: int | None = None


@dataclass(slots=True, kw_only=True, eq=False)
class BuildNow:
    """A build that somebody began.

    Attributes
    ----------
    id, person : str
    drinks : list of DrinkNow
        In finishing order; void ones stay: they are made in vain.
    work : Work
        With positions in `drinks` as its drinks' ids: ``"0"``, ``"1"``, …
    key : tuple of str
        The drinks' ids, sorted: what the scatter of its steps is drawn by.
    num_shaken : int
        Vessels that arms shake.
    blocks : dict of int to BlockNow
        Blocks begun so far, by index.
    ready_ms : dict of int to int
        When each tail may be begun, once it is known.
    by_ice : tuple of str
        Ids of the drinks whose glass was chilled with ice and water.
    is_lost : bool
        Its drinks were binned.
    """

    id: str
    person: str
    drinks: list[DrinkNow]
    work: Work
    key: tuple[str, ...]
    num_shaken: int = 0
    by_ice: tuple[str, ...] = ()
    blocks: dict[int, BlockNow] = field(default_factory=dict)
    ready_ms: dict[int, int] = field(default_factory=dict)
    is_lost: bool = False

    @property
    def is_done(self) -> bool:
        """Whether every block is done, or it is lost."""
        ends = [block.end_ms for block in self.blocks.values()]
        return self.is_lost or (len(ends) == len(self.work.blocks) and None not in ends)

    @property
    def is_unheard(self) -> bool:
        """Whether the screen has still to hear of something that was done on it."""
        return not self.is_lost and any(b.heard_end_ms is None for b in self.blocks.values())

    @property
    def is_heard_in_hand(self) -> bool:
        """Whether the screen has it in somebody's hands."""
        begun = [b for b in self.blocks.values() if b.heard_start_ms is not None]
        done = [b for b in begun if b.heard_end_ms is not None]
        return not self.is_lost and bool(begun) and len(done) < len(self.work.blocks)


@dataclass(slots=True, kw_only=True, eq=False)
class PersonNow:
    """One bartender.

    Attributes
    ----------
    person : Person
        As the planner knows them.
    pace : float
        How fast they really are.
    is_on : bool
        On the floor.
    back_ms : int or None
        When they come, or come back, where that is known; None for not on, or nobody knows.
    away : list of (int, int or None)
        Breaks and the end of the shift that are still to come, as everybody knows them: from when
        until when, by the clock on the wall; until None for good.
    free_ms : int
        Where they serve a round: when the screen expects their hands back.
    is_behind : bool
        They finished something that nobody tapped yet.
    to_serve : list of RoundNow
        Rounds they finished and have to hand over.
    builds : list of BuildNow
        What they began last, oldest first.
    """

    person: Person
    pace: float
    on: Tally
    making: Tally
    serving: Tally
    errand: Tally
    standing: Tally
    stood_in_build: Tally
    is_on: bool = False
    on_since_ms: int = 0
    back_ms: int | None = None
    free_ms: int = 0
    is_behind: bool = False
    is_busy: bool = False
    to_serve: list[RoundNow] = field(default_factory=list)
    away: list[tuple[int, int | None]] = field(default_factory=list)
    builds: list[BuildNow] = field(default_factory=list)
    num_builds: int = 0
    num_drinks: int = 0

    @property
    def id(self) -> str:
        """Their id on the counter."""
        return self.person.id

    @property
    def leaves_ms(self) -> int | None:
        """When their next break begins or their shift ends; None where neither is to come."""
        return self.away[0][0] if self.away else None
