"""The log of one simulated night: enough for every figure, and nothing that is a figure.

Times are seconds from the opening of the doors, multiples of a millisecond: a night is simulated
in whole milliseconds, so that sums over it can be exact. `Quarters` are tuples with one number
for each quarter of an hour from the doors, as many as the scenario has (`num_quarters`); what
comes after the last is counted in the last.

Two rows may be told apart by their key (a ticket, a drink, a resource's name, a person); rows
stand in the order of time or of the bar's file, never by hash.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from solver.tickets import Channel

from .scenario import Policy

Quarters = tuple[float, ...]


class WaitsFor(StrEnum):
    """What a drink waits for before it is begun, or a begun one while hands stand still.

    ``hands``: everyone who could make it is at something else. ``plan``: somebody who could make
    it is free, nothing is missing, and the order says later or somebody else. ``runs_alone``: it
    settles, draws, blends or chills. ``round``: it is made and the rest of its round is not.
    """

    HANDS = "hands"
    PLAN = "plan"
    VESSEL = "vessel"
    WELL = "well"
    ICE = "ice"
    TAP = "tap"
    MACHINE = "machine"
    SETTLING_PLACE = "settling_place"
    FLAME = "flame"
    BOTTLE = "bottle"
    STOCK = "stock"
    GLASS = "glass"
    TILL = "till"
    PASS = "pass"  # noqa: S105  # the end of the bar, not a password
    RUNS_ALONE = "runs_alone"
    ROUND = "round"


class ResourceKind(StrEnum):
    """What sort of thing a resource is."""

    STATION = "station"
    VESSEL = "vessel"
    WELL = "well"
    TAP = "tap"
    MACHINE = "machine"
    SETTLING_PLACE = "settling_place"
    FLAME = "flame"
    BOTTLE = "bottle"
    TILL = "till"
    WASHER = "washer"
    PASS = "pass"  # noqa: S105  # the end of the bar, not a password


class DrinkEnd(StrEnum):
    """How a drink ended. ``open``: it was neither made nor taken back when hands stopped."""

    MADE = "made"
    VOID = "void"
    GAVE_UP = "gave_up"
    LOST = "lost"
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrinkLog:
    """One glass, from the order to the guest.

    Attributes
    ----------
    id, ticket : str
    mix : str
        The drink's name; a changed one carries its changes.
    recipe : str
        Recipe id; empty for spirit and mixer.
    method : str
    ordered_s : float
        When it came onto the rail: with its ticket, or later where it was added, swapped or has
        to be made again.
    begun_s : float or None
        When its build was begun.
    made_s : float or None
    end : DrinkEnd
        ``lost``: binned (glass in the ice, swapped while in hand); another drink was ordered for
        it.
    ended_s : float or None
        When it was made, void, given up or lost.
    sat_s : float
        From made until the round was whole, 0 for the last.
    hold_limit_s : int
        How long it may sit; it sat too long when ``sat_s`` is more.
    build, person, station : str
        Whose hands made it and where; empty where nobody began it.
    num_together : int
        Drinks in its build, itself counted.
    is_remake : bool
        It stands in for a lost one.
    """

    id: str
    ticket: str
    mix: str
    recipe: str
    method: str
    ordered_s: float
    end: DrinkEnd
    begun_s: float | None = None
    made_s: float | None = None
    ended_s: float | None = None
    sat_s: float = 0.0
    hold_limit_s: int = 210
    build: str = ""
    person: str = ""
    station: str = ""
    num_together: int = 0
    is_remake: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundLog:
    """One round.

    Attributes
    ----------
    ticket, number, place : str
    channel : Channel
    placed_s : float
    promise_s : int
        Time to last drink that the house promises, from `placed_s`.
    last_made_s : float or None
        When its last drink was made; None where the round was given up, is wholly void, or was
        still open when hands stopped.
    gave_up_s : float or None
        When its guests left with nothing.
    served_s : float or None
        Bar top with order-and-pay: when it was handed over and paid.
    gone_s : float or None
        When it left the bar: served, or for the floor taken from the pass.
    over_s : float or None
        When it was over for the bar's hands and the guests' wait: last made, given up, or wholly
        void; None where it was still open. A round is in the system from `placed_s` to this.
    overtaken : int
        How many later rounds of its channel had their last drink made before its own.
    is_counted : bool
        Placed after the warm-up; others are left out of the figures.
    drinks : tuple of DrinkLog
    """

    ticket: str
    number: str
    place: str
    channel: Channel
    placed_s: float
    promise_s: int
    last_made_s: float | None
    gave_up_s: float | None
    served_s: float | None
    gone_s: float | None
    over_s: float | None
    overtaken: int
    is_counted: bool
    drinks: tuple[DrinkLog, ...]

    @property
    def time_to_last_s(self) -> float | None:
        """From `placed_s` until its last drink was made; None where that never came."""
        return None if self.last_made_s is None else self.last_made_s - self.placed_s


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLog:
    """One bartender's hands, in seconds by quarter of an hour; reports say the station.

    Attributes
    ----------
    person, station : str
    on_s : Quarters
        On the floor.
    making_s : Quarters
        Working on builds.
    serving_s : Quarters
        Handing over and taking money.
    errand_s : Quarters
        Filling a well, changing a keg, for want of a barback.
    standing_s : Quarters
        Hands in a build that stand still, because what they need is taken.
    num_builds, num_drinks : int
    """

    person: str
    station: str
    on_s: Quarters
    making_s: Quarters
    serving_s: Quarters
    errand_s: Quarters
    standing_s: Quarters
    num_builds: int
    num_drinks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class UseLog:
    """One resource: how long how much of it was held.

    Attributes
    ----------
    name : str
        As in `solver.work`: ``"tin_set@well"``, ``"tap:lager"``, ``"till"``; ``"station@well"``
        for a station's hands; ``"washer"`` for kit in the washer; ``"pass"`` for glasses of
        floor rounds that are not whole.
    kind : ResourceKind
    capacity : int
        How many may be held at once; 0 where there is no limit (the washer). More may stand on
        the pass than it has room for: that is a price and not a rule.
    held_s : Quarters
        Unit-seconds held, by quarter.
    most_held : int
    """

    name: str
    kind: ResourceKind
    capacity: int
    held_s: Quarters
    most_held: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitLog:
    """Drink-seconds waited for one thing, by quarter: the bottleneck is the largest.

    Attributes
    ----------
    what : WaitsFor
    name : str
        Which one: a resource's name, an ingredient, a glass; a station for hands (the drinks'
        own post: of several stations that pour for a channel, the channel's value).
    waited_s : Quarters
    """

    what: WaitsFor
    name: str
    waited_s: Quarters


@dataclass(frozen=True, slots=True, kw_only=True)
class WellLog:
    """One ice well: ``name`` is station and ice, ``"left/cubed"``; ``shared/crushed``.

    `refilled_at_s` are the moments it was full again; `empty_s` how long it had too little.
    """

    name: str
    used_kg: float
    refilled_at_s: tuple[float, ...]
    empty_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassLog:
    """One kind of glass: how many drinks went out in it, the most in use at once, how long none."""

    glass: str
    stock: int
    used: int
    most_in_use: int
    none_clean_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedLog:
    """One ingredient: millilitres poured, pieces (dashes, leaves, eggs) used, drinks with it.

    A garnish that is no ingredient of the menu stands by its name, in pieces. Lost and unwanted
    drinks are counted: what is poured is gone.
    """

    ingredient: str
    ml: float
    pieces: float
    drinks: int
    out_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanningLog:
    """What planning took.

    Attributes
    ----------
    calls : int
        How often a plan was made.
    seconds : float
        By the clock that was passed in; 0 without one. The one number of a night that is not the
        same every time.
    verified : int
        Plans that `verify` judged.
    broken : tuple of str
        Rules that a judged plan broke, and moments in which no plan could be made, in words; empty
        is right.
    moved_next : int
        How often what somebody saw as next was taken from them.
    """

    calls: int = 0
    seconds: float = 0.0
    verified: int = 0
    broken: tuple[str, ...] = ()
    moved_next: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mishap:
    """Something that went wrong: when, and what a manager would say of it."""

    at_s: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One simulated night.

    Attributes
    ----------
    scenario, house : str
        Their names.
    policy : Policy
    seed : int
        The night is a function of rush, policy and seed.
    doors : str
        Clock time of second 0.
    counted_from_s, last_orders_s, hard_stop_s : float
    ended_s : float
        When the last hands were done, the hard stop at the latest.
    num_quarters : int
    rounds : tuple of RoundLog
        In the order they were placed, warm-up included.
    people : tuple of PersonLog
    uses : tuple of UseLog
    waits : tuple of WaitLog
    wells : tuple of WellLog
    glasses : tuple of GlassLog
    used : tuple of UsedLog
    in_system : tuple of (float, int)
        How many rounds are in the system from each moment on: placed, and not yet over. Counted
        as it happened and not from `rounds`, so that Little's law can be held against both.
    open_drinks : tuple of (float, int)
        How many drinks wait or are in hand from each moment on.
    planning : PlanningLog
    mishaps : tuple of Mishap
    """

    scenario: str
    house: str
    policy: Policy
    seed: int
    doors: str
    counted_from_s: float
    last_orders_s: float
    hard_stop_s: float
    ended_s: float
    num_quarters: int
    rounds: tuple[RoundLog, ...]
    people: tuple[PersonLog, ...]
    uses: tuple[UseLog, ...]
    waits: tuple[WaitLog, ...]
    wells: tuple[WellLog, ...]
    glasses: tuple[GlassLog, ...]
    used: tuple[UsedLog, ...]
    in_system: tuple[tuple[float, int], ...]
    open_drinks: tuple[tuple[float, int], ...]
    planning: PlanningLog
    mishaps: tuple[Mishap, ...] = ()

    @property
    def counted(self) -> tuple[RoundLog, ...]:
        """The rounds that figures are about: placed after the warm-up."""
        return tuple(one for one in self.rounds if one.is_counted)
