"""What a rush is: a house, who comes, who works, and what goes wrong.

A `Scenario` is a file; a `House` is the bar it plays in; a `Rush` is both together with the past
tickets it replays, which is all that the simulator is given. Everything is frozen: a what-if is
``dataclasses.replace`` of one of the parts.

What is true and what the planner believes are kept apart: the house (counter, menu, standards)
is what the planner plans with; `Shift.pace`, `Scatter` and `Taps` say how it really is.

Times of the night are clock times as text, ``"22:10"`` or ``"22:10:30"``; `Scenario.at_s` gives
them in seconds from the opening of the doors, past midnight too.

Source: the numbers that stand as usual are common practice, or from memory where it says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from solver.counter import Counter, Person
from solver.errors import BadValue
from solver.menu import Ice, Menu
from solver.standards import Standards
from solver.units import DAY_S, hours_s

from .arrivals import QUARTER_S, Arrival
from .costs import Costs
from .guests import Guests, Patience, Replay, SecondThoughts
from .hands import FORGOTTEN, FORGOTTEN_S, TAP_S, VARIATION
from .hours import Hours, seconds_of_day
from .troubles import Troubles


class Policy(StrEnum):
    """Who says what is made next."""

    BY_THE_TICKET = "by the ticket"
    BY_THE_ROUND = "by the round"
    LOOK_AHEAD = "look-ahead"
    LIVE = "live"


class Spread(StrEnum):
    """How the time of a step is spread around its standard."""

    LOGNORMAL = "lognormal"
    EXPONENTIAL = "exponential"
    ERLANG = "erlang"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How evenly hands work. The mean is always the standard, at the person's pace.

    Attributes
    ----------
    spread : Spread
    variation : float
        Coefficient of variation of one step, where lognormal.
    stages : int
        Stages, where Erlang.
    scatters_alone : bool
        Whether what runs by itself scatters as well: a machine is even, a crowd of clerks is not.
    """

    spread: Spread = Spread.LOGNORMAL
    variation: float = VARIATION
    stages: int = 2
    scatters_alone: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.variation <= 2 or not 1 <= self.stages <= 100:
            raise BadValue("a variation from 0 to 2, stages from 1 to 100", self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taps:
    """What the screen hears: late, very late, or never.

    Attributes
    ----------
    after_s : float
        Seconds from the last hand's turn to the tap, on average.
    late_pct : float
        Of 100 builds, how many are tapped only `late_s` seconds later.
    late_s : tuple of (float, float)
    never_pct : float
        Of 100 builds, how many are never tapped: the screen learns of them with the next tap of
        the same person.
    """

    after_s: float = TAP_S
    late_pct: float = 100 * FORGOTTEN
    late_s: tuple[float, float] = FORGOTTEN_S
    never_pct: float = 2.0

    def __post_init__(self) -> None:
        if not 0 <= self.after_s <= 60 or not 0 <= self.late_s[0] <= self.late_s[1]:
            raise BadValue("after_s from 0 to 60, late_s of least and most seconds", self)
        if self.late_pct < 0 or self.never_pct < 0 or self.late_pct + self.never_pct > 100:
            raise BadValue("late_pct and never_pct of 100 builds", (self.late_pct, self.never_pct))


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A break: from a time on, or as soon after as the hands are free, for so many minutes."""

    at: str
    minutes: float = 20.0

    def __post_init__(self) -> None:
        if not 0 < self.minutes <= 240:
            raise BadValue("a break of up to 240 minutes", self.minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """One bartender's night.

    Attributes
    ----------
    person : str
        Id of a person of the counter.
    since, until : str
        Start and end of the shift; empty for the doors, and for when all is done.
    breaks : tuple of Break
    pace : float or None
        How fast they really are tonight; None for the pace that the counter says.
    """

    person: str
    since: str = ""
    until: str = ""
    breaks: tuple[Break, ...] = ()
    pace: float | None = None

    def __post_init__(self) -> None:
        if self.pace is not None and not 0.3 <= self.pace <= 5.0:
            raise BadValue("a pace from 0.3 to 5.0", self.pace)


@dataclass(frozen=True, slots=True, kw_only=True)
class Barback:
    """One barback's night: start and end of the shift, as for `Shift`."""

    since: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplies:
    """Ice, glasses and what was prepared, and how they come back.

    Attributes
    ----------
    wells_full_pct : float
        How full the wells are when the doors open.
    refill_below_pct : float
        A well that has less is filled by a barback.
    refill_s : float
        How long a barback takes to fill one; a bartender who has to takes as long.
    ice_kg : mapping of Ice to float
        What one drink takes of each ice, to shake or stir with and to serve on.
    glass_back_s : tuple of (float, float)
        Least and most seconds from a round gone to its glasses at the washer.
    glass_wash_s : float
        A rack's run and drying.
    chill_s : float
        How long a washed glass takes in the freezer; as many as the counter says are chilled.
    prepared_ml : mapping of str to float
        What was juiced, cut or batched before doors, by ingredient (pieces and leaves as their
        number); what is not named does not run out.
    """

    wells_full_pct: float = 100.0
    refill_below_pct: float = 25.0
    refill_s: float = 150.0
    ice_kg: Mapping[Ice, float] = field(
        default_factory=lambda: {
            Ice.CUBED: 0.22,
            Ice.CRACKED: 0.22,
            Ice.CRUSHED: 0.25,
            Ice.BLOCK: 0.07,
        }
    )
    glass_back_s: tuple[float, float] = (900.0, 2100.0)
    glass_wash_s: float = 240.0
    chill_s: float = 1200.0
    prepared_ml: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not 0 <= self.refill_below_pct < self.wells_full_pct <= 100:
            raise BadValue(
                "refill_below_pct below wells_full_pct, both of 100",
                (self.refill_below_pct, self.wells_full_pct),
            )
        if not 0 <= self.glass_back_s[0] <= self.glass_back_s[1]:
            raise BadValue("glass_back_s of least and most seconds", self.glass_back_s)
        if min((*self.ice_kg.values(), *self.prepared_ml.values()), default=0) < 0:
            raise BadValue("amounts of 0 or more", (self.ice_kg, self.prepared_ml))


@dataclass(frozen=True, slots=True, kw_only=True)
class Searching:
    """What the live planner may do at each event.

    Attributes
    ----------
    moves : int
        Counted moves of the search: the same plan everywhere.
    verify_pct : float
        Of 100 plans, how many are judged by `verify`.
    """

    moves: int = 4000
    verify_pct: float = 2.0

    def __post_init__(self) -> None:
        if not 1 <= self.moves <= 10_000_000 or not 0 <= self.verify_pct <= 100:
            raise BadValue("1 to 10000000 moves, verify_pct from 0 to 100", self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One rush, as its file tells it.

    Attributes
    ----------
    name : str
        What a report calls it: "a Friday", "the last train".
    bar : str
        The bar's file, seen from the scenario's file.
    doors, last_orders, hard_stop : str
        From when guests come, until when they may order, and when hands stop even if drinks are
        open. No guest orders at or after `last_orders`.
    counted_from : str
        Warm-up: rounds placed before this time are made but left out of the figures; empty for
        none. A night that begins with an empty room needs none.
    guests : Guests
    replay : Replay or None
        Past tickets instead of `guests`.
    patience : Patience
    second_thoughts : SecondThoughts
    shifts : tuple of Shift
        Who works; empty for everyone of the counter by the hours it gives them (`Person.shift`,
        `Person.breaks`), all night where it gives none.
    more_people : tuple of Person
        People who are not on the bar's counter, for this rush.
    barbacks : tuple of Barback or None
        None for as many as the counter has, all night.
    has_order_and_pay : bool
        Whether bar-top rounds are handed over and paid at a till, which takes hands.
    scatter : Scatter
    taps : Taps
    supplies : Supplies
    troubles : Troubles
        What goes wrong.
    searching : Searching
    costs : Costs
        What a change costs, where the house says so.
    """

    name: str
    bar: str
    doors: str = "19:00"
    last_orders: str = "00:30"
    hard_stop: str = "01:15"
    counted_from: str = ""
    guests: Guests = field(default_factory=Guests)
    replay: Replay | None = None
    patience: Patience = field(default_factory=Patience)
    second_thoughts: SecondThoughts = field(default_factory=SecondThoughts)
    shifts: tuple[Shift, ...] = ()
    more_people: tuple[Person, ...] = ()
    barbacks: tuple[Barback, ...] | None = None
    has_order_and_pay: bool = True
    scatter: Scatter = field(default_factory=Scatter)
    taps: Taps = field(default_factory=Taps)
    supplies: Supplies = field(default_factory=Supplies)
    troubles: Troubles = field(default_factory=Troubles)
    searching: Searching = field(default_factory=Searching)
    costs: Costs = field(default_factory=Costs)

    def __post_init__(self) -> None:
        times = [self.doors, self.last_orders, self.hard_stop, self.counted_from]
        times += [at for one in self.shifts for at in (one.since, one.until)]
        times += [at for one in self.barbacks or () for at in (one.since, one.until)]
        for at in times:
            if at:
                seconds_of_day(at)
        if not 0 < self.last_orders_s <= self.hard_stop_s:
            raise BadValue(
                "doors, then last orders, then the hard stop, within a day",
                (self.doors, self.last_orders, self.hard_stop),
            )
        self._check_times()
        people = [one.person for one in self.shifts]
        if len(set(people)) < len(people):
            raise BadValue("every person once under shifts", people)

    def _check_times(self) -> None:
        """Refuse what would never happen: it lies outside the hours of the night."""
        hours = Hours(doors=self.doors, last_orders=self.last_orders, hard_stop=self.hard_stop)
        if self.counted_from:
            hours.check_order("counted_from", self.counted_from)
        for crowd in self.guests.crowds:
            hours.check_order(crowd.name, crowd.at)
        for shift in self.shifts:
            hours.check_shift(shift.person, shift.since, shift.until)
            for rest in shift.breaks:
                hours.check_happening(f"a break of {shift.person}", rest.at)
        for barback in self.barbacks or ():
            hours.check_shift("a barback", barback.since, barback.until)
        for what, at in self.troubles.times:
            hours.check_happening(what, at)

    def at_s(self, clock: str) -> float:
        """Give a clock time in seconds from the opening of the doors, 0 to a day."""
        return float((seconds_of_day(clock) - seconds_of_day(self.doors)) % DAY_S)

    def since_s(self, clock: str) -> float:
        """Give from when on somebody is there whose shift begins at a clock time.

        In seconds from the doors: 0 for an empty time, and for whoever came before the doors
        opened, which is any time after the hard stop.
        """
        at_s = self.at_s(clock) if clock else 0.0
        return at_s if at_s <= self.hard_stop_s else 0.0

    def clock_at(self, at_s: float) -> str:
        """Give seconds from the doors as a clock time, ``"22:10"``."""
        minutes = int((seconds_of_day(self.doors) + at_s) // 60) % (24 * 60)
        return f"{minutes // 60:02d}:{minutes % 60:02d}"

    @property
    def last_orders_s(self) -> float:
        """Seconds from the doors until nobody may order any more."""
        return self.at_s(self.last_orders)

    @property
    def hard_stop_s(self) -> float:
        """Seconds from the doors until hands stop."""
        return self.at_s(self.hard_stop)

    @property
    def counted_from_s(self) -> float:
        """Seconds from the doors until the warm-up is over."""
        return self.at_s(self.counted_from) if self.counted_from else 0.0

    @property
    def num_quarters(self) -> int:
        """Quarters of an hour from the doors to the hard stop, a begun one whole."""
        return -int(-self.hard_stop_s // QUARTER_S)


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """The bar that a rush plays in: what the planner believes.

    Attributes
    ----------
    id, name : str
    counter, menu, standards
        As in a snapshot.
    """

    id: str
    counter: Counter
    menu: Menu
    standards: Standards
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rush:
    """A scenario in its house; all that the simulator is given.

    Attributes
    ----------
    house : House
    scenario : Scenario
    past : tuple of Arrival
        The tickets that `scenario.replay` names, in seconds from the doors; empty without it.
    """

    house: House
    scenario: Scenario
    past: tuple[Arrival, ...] = ()

    def __post_init__(self) -> None:
        known = {*self.house.counter.by_person, *(p.id for p in self.scenario.more_people)}
        stations = self.house.counter.by_station
        for one in self.scenario.shifts:
            if one.person not in known:
                raise BadValue(f"people of the counter ({', '.join(sorted(known))})", one.person)
        for person in self.scenario.more_people:
            if person.id in self.house.counter.by_person or person.station not in stations:
                raise BadValue(
                    f"a new person at a station of {', '.join(stations)}",
                    (person.id, person.station),
                )
        self.scenario.troubles.check(self.house.counter, self.house.menu, sorted(known))
        if self.scenario.replay is not None and not self.past:
            raise BadValue("the past tickets that the scenario replays", "none")

    @property
    def shifts(self) -> tuple[Shift, ...]:
        """Who works when: as the scenario says, or everybody by the hours of the counter."""
        scenario = self.scenario
        people = (*self.house.counter.people, *scenario.more_people)
        usual = (_usual(scenario, person) for person in people)
        return scenario.shifts or tuple(shift for shift in usual if shift is not None)


def _usual(scenario: Scenario, person: Person) -> Shift | None:
    """Give somebody's shift by the counter; None where it is over before the doors open."""
    breaks = []
    for hours in person.breaks:
        begins_s, ends_s = hours_s(hours)
        breaks.append(Break(at=hours.partition("-")[0].strip(), minutes=(ends_s - begins_s) / 60))
    since, _, until = (part.strip() for part in person.shift.partition("-"))
    if person.shift:
        begins_s, ends_s = hours_s(person.shift)
        is_before = scenario.at_s(since) > scenario.hard_stop_s
        if is_before and scenario.at_s(since) + ends_s - begins_s <= DAY_S:
            return None
    return Shift(person=person.id, since=since, until=until, breaks=tuple(breaks))
