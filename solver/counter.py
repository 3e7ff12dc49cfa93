"""The physical side of a bar: people, stations, vessels, ice, shared equipment and house rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache

from .drinks.allergens import ALLERGENS, WASH_FOR
from .errors import BadValue
from .kept import Kept
from .menu import Ice, Method
from .units import hours_s, time_of_day_s


class Post(StrEnum):
    """Whom a station pours for."""

    SERVICE_WELL = "service_well"
    BAR_TOP = "bar_top"


class Vessel(StrEnum):
    """What drinks are mixed in. A ``kit`` is one jigger, strainer, fine strainer and spoon."""

    TIN_SET = "tin_set"
    MIXING_GLASS = "mixing_glass"
    JAR = "jar"
    MUGS = "mugs"
    KIT = "kit"


class GlassPlace(StrEnum):
    """Where a glass stands: at the hand, on the back shelf, or in the freezer."""

    AT_HAND = "at_hand"
    BACK_SHELF = "back_shelf"
    FREEZER = "freezer"


class PutFirst(StrEnum):
    """What the plan puts first: the mean, the worst round, or an empty rail."""

    MEAN = "mean"
    WORST = "worst"
    CLEAR = "clear"


@dataclass(frozen=True, slots=True, kw_only=True)
class Well:
    """One ice well: its ice, how much it holds (kg), how many may scoop at once."""

    ice: Ice
    capacity_kg: float = 22.0
    scoops_at_once: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One bartender's place.

    Attributes
    ----------
    id, name : str
    posts : tuple of Post
        Whom it pours for; both when the house does not separate them.
    at_pass : bool
        Floor drinks made here need no walk to the pass.
    tin_sets, mixing_glasses, jars, mugs, kits : int
        Vessels; mugs are heatproof pairs; a kit is a jigger, strainer, fine strainer and spoon.
    shared_with : str
        Id of the station whose vessels this one uses as well; empty for its own.
    mat : int
        Glasses the landing mat takes.
    wells : tuple of Well
        Ice at the hand.
    lacks : tuple of str
        Ingredients of the speed rail that this station has to fetch from another.
    clear_place : bool
        A clear place for a flame.
    """

    id: str
    name: str = ""
    posts: tuple[Post, ...] = (Post.SERVICE_WELL, Post.BAR_TOP)
    at_pass: bool = True
    tin_sets: int = 4
    mixing_glasses: int = 2
    jars: int = 0
    mugs: int = 0
    kits: int = 3
    shared_with: str = ""
    mat: int = 8
    wells: tuple[Well, ...] = (Well(ice=Ice.CUBED),)
    lacks: tuple[str, ...] = ()
    clear_place: bool = False

    def __post_init__(self) -> None:
        for name in ("tin_sets", "mixing_glasses", "jars", "mugs", "kits"):
            if not 0 <= getattr(self, name) <= 40:
                raise BadValue(f"{name} from 0 to 40 at station {self.id}", getattr(self, name))
        if self.mat < 1:
            raise BadValue("a landing mat for 1 glass or more", self.mat)

    def num_vessels(self, vessel: Vessel) -> int:
        """How many of one kind of vessel stand here."""
        return {
            Vessel.TIN_SET: self.tin_sets,
            Vessel.MIXING_GLASS: self.mixing_glasses,
            Vessel.JAR: self.jars,
            Vessel.MUGS: self.mugs,
            Vessel.KIT: self.kits,
        }[vessel]

    def has_ice(self, ice: Ice) -> bool:
        """Whether this ice is at the hand here."""
        return ice is Ice.NONE or any(well.ice is ice for well in self.wells)


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One bartender of the counter.

    Attributes
    ----------
    id : str
    station : str
        Where they stand.
    pace : float
        Factor on every time standard; 1.0 is the standard, 1.4 a new hand.
    trained_for_flame : bool
    not_trained_on : tuple of Method
        Methods that they do not make yet.
    shift : str
        From when until when they work, on the house's clock: ``"18:00-02:00"``; empty for as long
        as they are on the floor.
    breaks : tuple of str
        When they rest, written in the same way.
    """

    id: str
    station: str
    pace: float = 1.0
    trained_for_flame: bool = False
    not_trained_on: tuple[Method, ...] = ()
    shift: str = ""
    breaks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for hours in (*self.breaks, *((self.shift,) if self.shift else ())):
            hours_s(hours)
        if not 0.5 <= self.pace <= 3.0:
            raise BadValue(f"a pace from 0.5 to 3.0 for {self.id}", self.pace)

    @property
    def pace_pct(self) -> int:
        """The pace in hundredths, a whole number."""
        return round(self.pace * 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass:
    """One kind of glass: volume, where it stands, how many are clean and already chilled."""

    id: str
    name: str
    volume_ml: float
    place: GlassPlace = GlassPlace.AT_HAND
    clean: int = 48
    chilled: int = 0

    def __post_init__(self) -> None:
        if not 20 <= self.volume_ml <= 5000:
            raise BadValue("a glass of 20 to 5000 ml", self.volume_ml)
        if self.clean < 0 or self.chilled < 0:
            raise BadValue(f"no fewer than 0 glasses of {self.id}", min(self.clean, self.chilled))


@dataclass(frozen=True, slots=True, kw_only=True)
class Flame:
    """The house's rule for flame: off by default, off by itself when the room is full.

    Attributes
    ----------
    allowed : bool
    off_above_open_drinks : int
        With more drinks open than this, nothing is lit.
    no_throw : bool
        Flamed drinks are stirred in the mug and not thrown.
    """

    allowed: bool = False
    off_above_open_drinks: int = 24
    no_throw: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceHours:
    """When service ends, on the house's clock; empty where nothing ends it.

    Attributes
    ----------
    last_orders : str
        Tickets placed later are not planned, ``"01:30"``.
    hard_stop : str
        Nothing is made after it: the legal end of service, ``"02:00"``. Local licensing law and
        whoever holds the licence decide when that is.
    """

    last_orders: str = ""
    hard_stop: str = ""

    def __post_init__(self) -> None:
        for at in (self.last_orders, self.hard_stop):
            if at:
                time_of_day_s(at)


_BOUNDS = {
    "bottles_per_build": (1, 40),
    "promise_bar_top_s": (30, 7200),
    "promise_floor_s": (30, 7200),
    "promise_quick_s": (30, 7200),
    "sit_price": (0, 1000),
    "fair_slack_pct": (0, 1000),
    "overtakes_allowed": (1, 1000),
    "urgent_at_pct": (50, 10_000),
    "steady_margin_pct": (0, 99),
    "pass_room": (0, 1000),
    "pass_price": (0, 1000),
    "next_line_pct": (0, 1000),
    "shakes_in_a_row": (1, 1000),
    "rest_s": (0, 3600),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseRules:
    """Limits of head and hands, promises and prices; every one a setting of the house.

    Attributes
    ----------
    drinks_per_build, mixes_per_build, bottles_per_build, same_mix_per_build : int
        What a head and two hands hold: up to 4 drinks of 3 mixes and 8 bottles, or 6 of one mix.
    promise_bar_top_s, promise_floor_s, promise_quick_s : int
        Time to last drink the house promises; quick is a round of only beer and wine.
    put_first : PutFirst
    sit_price : int
        Cost of one second that one drink sits past its hold limit, where one second of one
        round's time to last drink costs 1.
    fair_slack_pct : int
        The worst round may end this much later than by the ticket, in percent.
    overtakes_allowed : int
        A round overtaken this often by later ones of its channel goes first.
    urgent_at_pct : int
        A round this old, in percent of its promise, goes first.
    steady_margin_pct : int
        What a bartender sees as next stays next unless the plan gains more than this.
    pass_room : int
        Glasses that fit on the pass; 0 where there is always room. Floor drinks stand on it until
        their round is whole.
    pass_price : int
        Cost of each glass more than that, where one second of one round's time to last drink
        costs 1.
    next_line_pct : int
        How long the line after this one will be, in percent of the one that waits: the longer, the
        more it is worth to save hands for it; 0 where nobody comes any more.
    shakes_in_a_row : int
        After so many shaken vessels in a row a person makes something else, or rests.
    rest_s : int
        How long that rest is.
    wash_for : tuple of str
        Allergens after which a vessel goes to the washer.
    """

    drinks_per_build: int = 4
    mixes_per_build: int = 3
    bottles_per_build: int = 8
    same_mix_per_build: int = 6
    promise_bar_top_s: int = 360
    promise_floor_s: int = 600
    promise_quick_s: int = 180
    put_first: PutFirst = PutFirst.MEAN
    sit_price: int = 2
    fair_slack_pct: int = 10
    overtakes_allowed: int = 3
    urgent_at_pct: int = 150
    steady_margin_pct: int = 2
    pass_room: int = 0
    pass_price: int = 20
    next_line_pct: int = 400
    shakes_in_a_row: int = 12
    rest_s: int = 45
    wash_for: tuple[str, ...] = WASH_FOR

    def __post_init__(self) -> None:
        if not 1 <= self.drinks_per_build <= self.same_mix_per_build <= 8:
            raise BadValue(
                "1 <= drinks_per_build <= same_mix_per_build <= 8",
                (self.drinks_per_build, self.same_mix_per_build),
            )
        for name, (least, most) in _BOUNDS.items():
            if not least <= getattr(self, name) <= most:
                raise BadValue(f"{name} from {least} to {most}", getattr(self, name))
        if not 1 <= self.mixes_per_build <= self.drinks_per_build:
            raise BadValue("mixes_per_build from 1 to drinks_per_build", self.mixes_per_build)
        for allergen in self.wash_for:
            if allergen not in ALLERGENS:
                raise BadValue(f"allergens of {', '.join(ALLERGENS)}", allergen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counter:
    """One counter, whole.

    Attributes
    ----------
    stations, people, glasses : tuple
    barbacks : int
        People who fetch ice, glasses and bottles and change kegs.
    blenders, coffee_groups, coffee_grinders, settling_places, tills : int
        Shared equipment; settling places are where stouts stand until they are topped.
    taps : tuple of str
        Draught ingredients, one tap each.
    shared_wells : tuple of Well
        Ice that is away from every station.
    one_bottle : tuple of str
        Ingredients of which the bar has a single open bottle.
    flame : Flame
    hours : ServiceHours
    rules : HouseRules
    """

    stations: tuple[Station, ...]
    people: tuple[Person, ...]
    glasses: tuple[Glass, ...]
    barbacks: int = 0
    blenders: int = 0
    coffee_groups: int = 0
    coffee_grinders: int = 0
    settling_places: int = 4
    tills: int = 1
    taps: tuple[str, ...] = ()
    shared_wells: tuple[Well, ...] = ()
    one_bottle: tuple[str, ...] = ()
    flame: Flame = Flame()
    hours: ServiceHours = ServiceHours()
    rules: HouseRules = HouseRules()
    by_station: Mapping[str, Station] = field(init=False, repr=False, compare=False)
    by_person: Mapping[str, Person] = field(init=False, repr=False, compare=False)
    by_glass: Mapping[str, Glass] = field(init=False, repr=False, compare=False)
    fixed: object = field(init=False, repr=False, compare=False)
    """Stands for all of it but how many glasses are clean and chilled, which changes with every
    drink: the same object in counters that differ in nothing else, as far as their parts do not."""

    def __post_init__(self) -> None:
        for what, rows in (
            ("station", self.stations),
            ("person", self.people),
            ("glass", self.glasses),
        ):
            by_id = {row.id: row for row in rows}
            if len(by_id) < len(rows):
                raise BadValue(f"every {what} id once", [row.id for row in rows])
            object.__setattr__(self, f"by_{what}", by_id)
        object.__setattr__(self, "fixed", _fixed_of(self))
        for person in self.people:
            if person.station not in self.by_station:
                raise BadValue(
                    f"{person.id} to stand at a station of the counter",
                    person.station,
                    f"the stations are {', '.join(self.by_station)}",
                )
        for station in self.stations:
            if station.shared_with and station.shared_with not in self.by_station:
                raise BadValue("shared_with to name a station", station.shared_with)
        if not 1 <= len(self.people) <= 16:
            raise BadValue("1 to 16 bartenders on the counter", len(self.people), "add one")

    def vessel_home(self, station_id: str) -> str:
        """Give the station whose vessels a station uses: its own unless it is ``shared_with``."""
        return self.by_station[station_id].shared_with or station_id

    def shared_well(self, ice: Ice) -> Well | None:
        """Give the well away from the stations that has this ice, if there is one."""
        return next((well for well in self.shared_wells if well.ice is ice), None)


_fixed: Kept[object] = Kept(object, most=64)


def _fixed_of(counter: Counter) -> object:
    parts = (counter.stations, counter.people, counter.shared_wells, counter.flame)
    rest = _same(
        (
            counter.barbacks,
            counter.blenders,
            counter.coffee_groups,
            counter.coffee_grinders,
            counter.settling_places,
            counter.tills,
            counter.taps,
            counter.one_bottle,
            tuple((glass.id, glass.place) for glass in counter.glasses),
        )
    )
    return _fixed.of(*parts, counter.hours, counter.rules, rest)


@lru_cache(maxsize=64)
def _same(key: tuple[object, ...]) -> tuple[object, ...]:
    """Give one and the same object for equal ones."""
    return key
