"""The counter, the menu, the open drinks and the builds in hand, at one moment.

The planner sees nothing else, and the snapshot can be planned anywhere. `rail_of` says which of
its drinks can be made now, by whom, and why the others are set aside.
"""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator
from dataclasses import dataclass, replace

from .builds import VESSEL_OF
from .counter import Counter, Person, Post, Vessel
from .drinks.allergens import allergens_in
from .errors import BadValue, InvalidSnapshot
from .menu import Ingredient, Menu, Method, Mix, Pouring
from .standards import Standards
from .tickets import Channel, Drink, Line, Ticket, mix_of
from .units import to_ds

SNAPSHOT_FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """A person on the floor, free from `from_s` on (0 now, later for one who is coming back)."""

    person: str
    from_s: float = 0.0


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


@dataclass(frozen=True, slots=True, kw_only=True)
class RailDrink:
    """A drink that waits and can be made now.

    Attributes
    ----------
    id, ticket : str
    channel : Channel
    mix : Mix
        With ``chill_by_ice`` settled.
    line : Line
    is_alone : bool
        Made by itself in clean kit, for an allergy or a note nobody could read.
    release_ds : int
        Earliest start: a bottle or a glass is on its way.
    people : tuple of str
        Who may make it.
    """

    id: str
    ticket: str
    channel: Channel
    mix: Mix
    line: Line
    is_alone: bool
    release_ds: int
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """A drink that cannot be made now, and why, in the words of the bar."""

    drink: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """The waiting drinks of a snapshot, in the order their tickets were placed.

    Drinks of builds in hand are not on it; `in_hand` has them by id, made ones too.
    """

    drinks: tuple[RailDrink, ...]
    set_aside: tuple[SetAside, ...]
    in_hand: dict[str, RailDrink]


def by_age(snapshot: Snapshot) -> list[Ticket]:
    """Give the tickets, oldest first, ties by id."""
    return sorted(snapshot.tickets, key=lambda ticket: (ticket.placed_s, ticket.id))


def rail_of(snapshot: Snapshot) -> Rail:
    """Say which waiting drinks can be made now and why the others cannot.

    What is short (glasses, chilled glasses, a countdown) is given out in the order of the
    tickets, builds in hand first.
    """
    cupboard = _Cupboard(snapshot)
    held = {drink: build.person for build in snapshot.in_hand for drink in build.drinks}
    by_ice = {drink for build in snapshot.in_hand for drink in build.chilled_by_ice}
    in_hand: dict[str, RailDrink] = {}
    for ticket in by_age(snapshot):
        for drink in ticket.drinks:
            if drink.id in held:
                mix = cupboard.take(mix_of(snapshot.menu, ticket.lines[drink.line]))
                mix = replace(mix, chill_by_ice=drink.id in by_ice)
                in_hand[drink.id] = _rail_drink(ticket, drink, mix, (held[drink.id],), 0)
    ready: list[RailDrink] = []
    aside: list[SetAside] = []
    for ticket, drink in _open_drinks(snapshot):
        if drink.id in held:
            continue
        line = ticket.lines[drink.line]
        try:
            mix = mix_of(snapshot.menu, line)
        except BadValue as error:
            aside.append(SetAside(drink=drink.id, reason=str(error)))
            continue
        people = _people_for(snapshot, ticket.channel, mix, is_alone=line.is_alone)
        reason = (
            _why_not_now(snapshot, ticket, line, mix)
            or ("" if people else _nobody(snapshot, mix, is_alone=line.is_alone))
            or cupboard.why_short(mix)
        )
        if reason:
            aside.append(SetAside(drink=drink.id, reason=reason))
            continue
        release_ds = cupboard.release_ds(mix)
        ready.append(_rail_drink(ticket, drink, cupboard.take(mix), people, release_ds))
    return Rail(drinks=tuple(ready), set_aside=tuple(aside), in_hand=in_hand)


_POST_OF = {Channel.FLOOR: Post.SERVICE_WELL, Channel.BAR_TOP: Post.BAR_TOP}


def _people_for(
    snapshot: Snapshot, channel: Channel, mix: Mix, *, is_alone: bool
) -> tuple[str, ...]:
    """Give who may make a drink: who pours for its channel, or anyone where none of them can."""
    able = [
        snapshot.counter.by_person[present.person]
        for present in snapshot.people_on
        if not why_not_by(
            snapshot, snapshot.counter.by_person[present.person], mix, is_alone=is_alone
        )
    ]
    stations = snapshot.counter.by_station
    posted = [person for person in able if _POST_OF[channel] in stations[person.station].posts]
    return tuple(person.id for person in posted or able)


def _rail_drink(
    ticket: Ticket, drink: Drink, mix: Mix, people: tuple[str, ...], release_ds: int
) -> RailDrink:
    line = ticket.lines[drink.line]
    return RailDrink(
        id=drink.id,
        ticket=ticket.id,
        channel=ticket.channel,
        mix=mix,
        line=line,
        is_alone=line.is_alone,
        release_ds=release_ds,
        people=people,
    )


def _open_drinks(snapshot: Snapshot) -> Iterator[tuple[Ticket, Drink]]:
    for ticket in by_age(snapshot):
        for drink in ticket.drinks:
            if drink.made_s is None:
                yield ticket, drink


def why_not_by(snapshot: Snapshot, person: Person, mix: Mix, *, is_alone: bool = False) -> str:
    """Say why this person cannot make this mix where they stand; empty when they can.

    Parameters
    ----------
    snapshot : Snapshot
    person : Person
    mix : Mix
    is_alone : bool
        The drink is made alone and wants a kit of its own.
    """
    counter, menu = snapshot.counter, snapshot.menu
    station = counter.by_station[person.station]
    if mix.method in person.not_trained_on:
        return f"{person.station} is not trained on {mix.method.value}"
    if mix.has_flame and not (person.trained_for_flame and station.clear_place):
        return f"{person.station} has nobody trained and a clear place for a flame"
    vessel = VESSEL_OF.get(mix.method)
    home = counter.by_station[counter.vessel_home(station.id)]
    wants_kit = vessel is not None or (is_alone and mix.method is not Method.DRAUGHT)
    for needed in (*((vessel,) if vessel else ()), *((Vessel.KIT,) if wants_kit else ())):
        if home.num_vessels(needed) < 1:
            return f"{station.id} has no {needed.value.replace('_', ' ')}"
    for ice in (mix.ice, mix.serve_ice):
        if not station.has_ice(ice) and counter.shared_well(ice) is None:
            return f"there is no {ice.value} ice for {station.id}"
    if mix.method is Method.BLENDED and counter.blenders < 1:
        return "there is no blender"
    poured = [menu.ingredient(pour.ingredient) for pour in mix.pours]
    return next(filter(None, (_no_equipment(counter, ingredient) for ingredient in poured)), "")


def _no_equipment(counter: Counter, ingredient: Ingredient) -> str:
    if (
        ingredient.pours in (Pouring.TAP, Pouring.SETTLING_TAP)
        and ingredient.id not in counter.taps
    ):
        return f"no tap pours {ingredient.name}"
    if ingredient.pours is Pouring.SETTLING_TAP and counter.settling_places < 1:
        return f"there is no place for {ingredient.name} to settle"
    if (
        ingredient.pours is Pouring.MACHINE
        and min(counter.coffee_groups, counter.coffee_grinders) < 1
    ):
        return "there is no coffee machine with its grinder"
    return ""


def _nobody(snapshot: Snapshot, mix: Mix, *, is_alone: bool) -> str:
    """Say why nobody on the floor can make a mix; never empty."""
    if not snapshot.people_on:
        return "nobody is on the floor"
    people = snapshot.counter.by_person
    reasons = dict.fromkeys(
        why_not_by(snapshot, people[present.person], mix, is_alone=is_alone)
        for present in snapshot.people_on
    )
    if len(reasons) == 1:
        return next(iter(reasons))
    return "nobody on the floor can make it: " + "; ".join(sorted(reasons))


def _why_not_now(snapshot: Snapshot, ticket: Ticket, line: Line, mix: Mix) -> str:
    if ticket.is_on_hold:
        return f"ticket {ticket.number} is held back"
    if mix.has_flame and not snapshot.counter.flame.allowed:
        return "flame is off in this house"
    if mix.has_flame and num_open_drinks(snapshot) > snapshot.counter.flame.off_above_open_drinks:
        return "the room is too full for a flame"
    glass = snapshot.counter.by_glass.get(mix.glass)
    if glass is None:
        return f"the counter has no glass called {mix.glass}"
    if mix.liquid_ml > glass.volume_ml:
        return f"{mix.liquid_ml:g} ml do not fit a {glass.name} of {glass.volume_ml:g} ml"
    if not line.is_confirmed:
        for noted in line.allergies:
            if why := _why_confirm(snapshot.menu, mix, noted):
                return why
    return ""


def _why_confirm(menu: Menu, mix: Mix, noted: str) -> str:
    """Say why a person must confirm a drink with this allergy; empty when the drink is free of it.

    An allergy is read as allergens or as ingredients of the menu; one that is neither is nobody's
    to guess at.
    """
    text = f" {' '.join(noted.lower().replace('-', ' ').split())} "
    named = [
        ingredient.id
        for ingredient in menu.ingredients
        if f" {ingredient.name.lower()} " in text or f" {ingredient.id.replace('-', ' ')} " in text
    ]
    allergens = allergens_in(noted)
    if not named and not allergens:
        return f"nobody could read the allergy {noted!r}: a person must confirm"
    if allergens & set(mix.allergens) or set(named) & set(mix.ingredients):
        return f"{noted} is in the drink itself: a person must confirm"
    return ""


def num_open_drinks(snapshot: Snapshot) -> int:
    """Count the drinks that are not made yet, in hand ones included."""
    return sum(1 for _ in _open_drinks(snapshot))


class _Cupboard:
    """What is short, given out drink by drink. Mutable, and lives for one call of `rail_of`."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._menu: Menu = snapshot.menu
        self._glasses = snapshot.counter.by_glass
        self._clean = {glass.id: glass.clean for glass in snapshot.counter.glasses}
        self._chilled = {glass.id: glass.chilled for glass in snapshot.counter.glasses}
        self._back: dict[str, list[int]] = {}
        for back in sorted(snapshot.glasses_back, key=lambda row: row.back_s):
            times = self._back.setdefault(back.glass, [])
            times.extend([max(0, to_ds(back.back_s))] * back.count)
        self._left = {s.ingredient: s.left for s in snapshot.short if s.left is not None}
        self._fetched = {
            s.ingredient: max(0, to_ds(s.back_s)) for s in snapshot.short if s.back_s is not None
        }

    def why_short(self, mix: Mix) -> str:
        for name in mix.ingredients:
            left = self._left.get(name)
            if left is not None and left < 1 and name not in self._fetched:
                return f"{self._menu.ingredient(name).name} is 86"
        if not self._has_glass(mix.glass):
            return f"there is no clean {self._glasses[mix.glass].name} left"
        return ""

    def release_ds(self, mix: Mix) -> int:
        times = [
            self._fetched[n]
            for n in mix.ingredients
            if n in self._fetched and not self._left.get(n)
        ]
        if not self._clean[mix.glass] and not self._chilled[mix.glass]:
            times.append(self._back[mix.glass][0])
        return max(times, default=0)

    def take(self, mix: Mix) -> Mix:
        for name in mix.ingredients:
            if self._left.get(name):
                self._left[name] -= 1
        chilled = self._chilled.get(mix.glass, 0)
        clean = self._clean.get(mix.glass, 0)
        if chilled and (mix.chilled or not clean):
            self._chilled[mix.glass] -= 1
            return mix
        if clean:
            self._clean[mix.glass] -= 1
        elif self._back.get(mix.glass):
            self._back[mix.glass].pop(0)
        by_ice = mix.chilled and mix.method is not Method.DRAUGHT
        return replace(mix, chill_by_ice=True) if by_ice else mix

    def _has_glass(self, glass: str) -> bool:
        return bool(self._clean[glass] or self._chilled[glass] or self._back.get(glass))
