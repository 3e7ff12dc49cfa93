"""Which waiting drinks can be made now, by whom, and why the others are set aside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solver.drinks.allergens import allergens_in
from solver.errors import BadValue
from solver.menu import Menu, Mix
from solver.tickets import Channel, Drink, Line, Ticket, chilled_by_ice, mix_of

from .able import people_for, who_stays, why_nobody
from .cupboard import Cupboard
from .facts import Snapshot, by_age


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
    stays : tuple of str
        Those of them who may do so past the end of their shift: of all who may make it nobody
        stays longer.
    """

    id: str
    ticket: str
    channel: Channel
    mix: Mix
    line: Line
    is_alone: bool
    release_ds: int
    people: tuple[str, ...]
    stays: tuple[str, ...] = ()


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


NO_TIME = "no time is left for it before the hard stop"


def rail_of(snapshot: Snapshot) -> Rail:
    """Say which waiting drinks can be made now and why the others cannot.

    What is short (glasses, chilled glasses, a countdown) is given out in the order of the
    tickets, builds in hand first.
    """
    cupboard = Cupboard(snapshot)
    held = {drink: build.person for build in snapshot.in_hand for drink in build.drinks}
    by_ice = {drink for build in snapshot.in_hand for drink in build.chilled_by_ice}
    in_hand: dict[str, RailDrink] = {}
    for ticket in by_age(snapshot):
        for drink in ticket.drinks:
            if drink.id in held:
                mix = mix_of(snapshot.menu, ticket.lines[drink.line])
                cupboard.take(mix)
                # What was chilled when it was begun is written down.
                mix = chilled_by_ice(snapshot.menu, mix) if drink.id in by_ice else mix
                people: tuple[str, ...] = (held[drink.id],)
                stays = who_stays(snapshot, people)
                in_hand[drink.id] = _rail_drink(ticket, drink, mix, (people, stays), 0)
    makers = _Makers(snapshot)
    num_open = num_open_drinks(snapshot)
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
        people, stays = makers.of(ticket.channel, mix, is_alone=line.is_alone)
        too_late = NO_TIME if drink.id in snapshot.too_late else ""
        reason = (
            too_late
            or _why_not_now(snapshot, ticket, line, mix, num_open)
            or ("" if people else why_nobody(snapshot, mix, is_alone=line.is_alone))
            or cupboard.why_short(mix)
        )
        if reason:
            aside.append(SetAside(drink=drink.id, reason=reason))
            continue
        release_ds = cupboard.release_ds(mix)
        ready.append(_rail_drink(ticket, drink, cupboard.take(mix), (people, stays), release_ds))
    return Rail(drinks=tuple(ready), set_aside=tuple(aside), in_hand=in_hand)


Makers = tuple[tuple[str, ...], tuple[str, ...]]
"""Who may make a drink, and who of them past the end of their shift."""


class _Makers:
    """Who may make what in one snapshot; drinks of one mix and channel are asked for once."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        # By the mix's identity; the mix is held beside what was found.
        self._known: dict[tuple[Channel, int, bool], tuple[Mix, Makers]] = {}

    def of(self, channel: Channel, mix: Mix, *, is_alone: bool) -> Makers:
        """Give who may make a mix that was ordered over a channel."""
        key = (channel, id(mix), is_alone)
        found = self._known.get(key)
        if found is None:
            people = people_for(self._snapshot, channel, mix, is_alone=is_alone)
            found = self._known[key] = (mix, (people, who_stays(self._snapshot, people)))
        return found[1]


def _rail_drink(
    ticket: Ticket, drink: Drink, mix: Mix, makers: Makers, release_ds: int
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
        people=makers[0],
        stays=makers[1],
    )


def _open_drinks(snapshot: Snapshot) -> Iterator[tuple[Ticket, Drink]]:
    for ticket in by_age(snapshot):
        for drink in ticket.drinks:
            if drink.made_s is None:
                yield ticket, drink


def _why_not_now(snapshot: Snapshot, ticket: Ticket, line: Line, mix: Mix, num_open: int) -> str:
    if why := _why_over(snapshot, ticket):
        return why
    if ticket.is_on_hold:
        return f"ticket {ticket.number} is held back"
    if mix.has_flame and not snapshot.counter.flame.allowed:
        return "flame is off in this house"
    if mix.has_flame and num_open > snapshot.counter.flame.off_above_open_drinks:
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


def _why_over(snapshot: Snapshot, ticket: Ticket) -> str:
    """Say why service has ended for a ticket; empty while it has not."""
    if snapshot.hard_stop_s is not None and snapshot.hard_stop_s <= 0:
        return "service has ended: nothing is made after the hard stop"
    if snapshot.last_orders_s is not None and ticket.placed_s > snapshot.last_orders_s:
        return f"ticket {ticket.number} came after last orders"
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
