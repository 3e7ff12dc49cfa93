"""What a snapshot says: the counter, the menu, open drinks, builds in hand, what is short."""

from __future__ import annotations

from collections import Counter as Tally
from dataclasses import dataclass

from solver.counter import Counter, Vessel
from solver.errors import BadValue, InvalidSnapshot
from solver.menu import Menu
from solver.standards import Standards
from solver.tickets import Ticket

SNAPSHOT_FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """A break from `from_s` until `until_s`, or the end of a shift, which has no end (None)."""

    from_s: float
    until_s: float | None = None

    def __post_init__(self) -> None:
        if self.until_s is not None and self.until_s <= self.from_s:
            raise BadValue("a break that ends after it begins", (self.from_s, self.until_s))


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """A person on the floor.

    Attributes
    ----------
    person : str
    from_s : float
        Free from then on: 0 now, later for one who is coming back.
    away : tuple of Away
        Breaks and the end of the shift. Nothing is begun that would run into one; what is in hand
        is finished and a finished round is served first.
    shake_from_s : float
        They have shaken often enough in a row: nothing shaken before then.
    """

    person: str
    from_s: float = 0.0
    away: tuple[Away, ...] = ()
    shake_from_s: float = 0.0

    @property
    def leaves_s(self) -> float | None:
        """When the shift ends; None where it does not."""
        return min((one.from_s for one in self.away if one.until_s is None), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """An ingredient that is short.

    Attributes
    ----------
    ingredient : str
    back_s : float or None
        Bottle out: somebody fetches one, here in so many seconds. None together with
        ``left=0`` is an 86.
    left : int or None
        How many more drinks there is enough for; None for no countdown.
    """

    ingredient: str
    back_s: float | None = None
    left: int | None = None

    def __post_init__(self) -> None:
        if self.back_s is None and self.left is None:
            raise BadValue("a bottle on its way (back_s) or a number left (0 for an 86)", self)


@dataclass(frozen=True, slots=True, kw_only=True)
class InWasher:
    """Vessels of a station that come back clean in `back_s` seconds."""

    station: str
    vessel: Vessel
    back_s: float
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassesBack:
    """Glasses that come back clean in `back_s` seconds."""

    glass: str
    count: int
    back_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockRun:
    """A block of a build in hand that has begun: which, by whom, since when, and whether done."""

    index: int
    person: str
    start_s: float
    is_done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """A build that somebody has begun. It is never moved.

    Attributes
    ----------
    build, person : str
    drinks : tuple of str
        In finishing order; those already made carry ``made_s`` on their ticket.
    blocks : tuple of BlockRun
        Blocks begun so far, the first one always among them.
    chilled_by_ice : tuple of str
        Drinks whose glass was chilled with ice and water when the build was begun; its work does
        not change with the glasses that come and go since.
    """

    build: str
    person: str
    drinks: tuple[str, ...]
    blocks: tuple[BlockRun, ...]
    chilled_by_ice: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        begun = [run.index for run in self.blocks]
        if len(set(begun)) < len(begun) or 0 not in begun or not self.drinks:
            raise BadValue("a build in hand with drinks, and each block once, the first too", begun)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned:
    """What a bartender sees as next: stays next unless the gain is worth the confusion."""

    person: str
    drinks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """One bar at one moment; all times in seconds from that moment.

    Attributes
    ----------
    format : int
        Version of this layout.
    bar : str
    moment : str
        The moment as an ISO 8601 UTC time; a label that no plan depends on.
    menu, standards, counter
        In full.
    people_on : tuple of Presence
    tickets : tuple of Ticket
        Every ticket with a drink that is not yet made or not yet gone with its round.
    in_hand : tuple of InHand
    pinned : tuple of Pinned
    short : tuple of Shortage
    in_washer : tuple of InWasher
    glasses_back : tuple of GlassesBack
    last_orders_s : float or None
        Tickets placed later than this are not planned; None where service has no end.
    hard_stop_s : float or None
        Nothing is made after this.
    too_late : tuple of str
        Drinks for which no time is left before the hard stop: see `solver.planner.in_time`.
    worst_by_ticket_s : float or None
        Worst time to last drink that working by the ticket gives; bounds every plan's worst.
    """

    bar: str
    menu: Menu
    standards: Standards
    counter: Counter
    people_on: tuple[Presence, ...]
    tickets: tuple[Ticket, ...]
    format: int = SNAPSHOT_FORMAT
    moment: str = ""
    in_hand: tuple[InHand, ...] = ()
    pinned: tuple[Pinned, ...] = ()
    short: tuple[Shortage, ...] = ()
    in_washer: tuple[InWasher, ...] = ()
    glasses_back: tuple[GlassesBack, ...] = ()
    last_orders_s: float | None = None
    hard_stop_s: float | None = None
    too_late: tuple[str, ...] = ()
    worst_by_ticket_s: float | None = None

    def __post_init__(self) -> None:
        if self.format != SNAPSHOT_FORMAT:
            raise BadValue(f"snapshot format {SNAPSHOT_FORMAT}", self.format)
        known = self.counter.by_person
        for present in self.people_on:
            if present.person not in known:
                raise InvalidSnapshot(f"people of the counter ({', '.join(known)})", present.person)
        drinks = [drink.id for ticket in self.tickets for drink in ticket.drinks]
        if len(set(drinks)) < len(drinks):
            twice = [name for name, count in Tally(drinks).items() if count > 1]
            raise InvalidSnapshot("every drink id once", twice)
        held = [drink for build in self.in_hand for drink in build.drinks]
        if len(set(held)) < len(held):
            raise InvalidSnapshot("every drink in one build in hand at most", held)
        if not set(held) <= set(drinks):
            raise InvalidSnapshot("builds in hand of drinks on the rail", held)
        for build in self.in_hand:
            if not {build.person, *(run.person for run in build.blocks)} <= set(known):
                raise InvalidSnapshot(f"builds in hand with people of {', '.join(known)}", build)
        stations = self.counter.by_station
        for away in self.in_washer:
            if away.station not in stations:
                raise InvalidSnapshot(f"a station of {', '.join(stations)}", away.station)


def by_age(snapshot: Snapshot) -> list[Ticket]:
    """Give the tickets, oldest first, ties by id."""
    return sorted(snapshot.tickets, key=lambda ticket: (ticket.placed_s, ticket.id))
