"""The facts that may keep one drink from being made, the easiest to put right first.

What is never waved through lightly comes last: training, the flame, an allergy. Putting those
right is a licensed person's decision or a guest's answer, and is worded so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from solver.builds import VESSEL_OF
from solver.counter import Counter, Station, Vessel, Well
from solver.errors import BadValue
from solver.menu import Ice, Method, Mix, Pouring
from solver.snapshot import Snapshot, num_open_drinks
from solver.tickets import Drink, Ticket, mix_of

from .facts import (
    Change,
    Fact,
    at_station,
    find,
    of_glass,
    of_person,
    of_ticket,
    on_counter,
    place,
    with_person,
    without_shortage,
)

_VESSEL_FIELDS = {
    Vessel.TIN_SET: "tin_sets",
    Vessel.MIXING_GLASS: "mixing_glasses",
    Vessel.JAR: "jars",
    Vessel.MUGS: "mugs",
    Vessel.KIT: "kits",
}
_TAPS = (Pouring.TAP, Pouring.SETTLING_TAP)


def facts_about(snapshot: Snapshot, drink_id: str) -> tuple[Fact, ...]:
    """Give the facts of a snapshot that may keep one drink from being made.

    What the menu gets wrong (no such recipe, no such glass, more than the glass holds) is nothing
    that anybody at the bar can put right, and not among them.

    Raises
    ------
    BadValue
        When the snapshot has no such drink.
    """
    ticket, drink = find(snapshot, drink_id)
    line = ticket.lines[drink.line]
    try:
        mix = mix_of(snapshot.menu, line)
    except BadValue:
        return ()
    return (
        *_held_back(ticket),
        *_short(snapshot, mix),
        *_off_the_floor(snapshot),
        *_vessels(snapshot.counter, mix, is_alone=line.is_alone),
        *_ice(snapshot.counter, mix),
        *_equipment(snapshot, mix),
        *_training(snapshot.counter, mix),
        *(_flame(snapshot) if mix.has_flame else ()),
        *_unconfirmed(ticket, drink),
    )


def _held_back(ticket: Ticket) -> Iterator[Fact]:
    if ticket.is_on_hold:
        yield Fact(
            words=f"ticket {ticket.number} is held back",
            to_mend=f"ticket {ticket.number} taken off hold",
            put_right=of_ticket(ticket.id, lambda now: replace(now, is_on_hold=False)),
        )


def _short(snapshot: Snapshot, mix: Mix) -> Iterator[Fact]:
    for short in snapshot.short:
        is_on_its_way = short.back_s is not None
        if short.ingredient in mix.ingredients and not is_on_its_way:
            name = snapshot.menu.ingredient(short.ingredient).name
            yield Fact(
                words=f"only {short.left} of {name} left" if short.left else f"{name} is 86",
                to_mend=f"more {name}",
                put_right=without_shortage(short.ingredient),
            )
    glass = snapshot.counter.by_glass.get(mix.glass)
    if glass is not None:
        wanted = num_open_drinks(snapshot)
        back = sum(one.count for one in snapshot.glasses_back if one.glass == glass.id)
        there_are = glass.clean + glass.chilled + back
        if there_are < wanted:
            few = f"only {there_are} clean {glass.name} left"
            yield Fact(
                words=few if there_are else f"there is no clean {glass.name} left",
                to_mend=f"clean glasses ({glass.name})",
                put_right=of_glass(glass.id, wanted),
            )


def _off_the_floor(snapshot: Snapshot) -> Iterator[Fact]:
    on = {present.person for present in snapshot.people_on}
    for person in snapshot.counter.people:
        if person.id not in on:
            at = place(snapshot.counter.by_station[person.station])
            yield Fact(
                words=f"somebody is off the floor: {at}",
                to_mend=f"somebody back at {at}",
                put_right=with_person(person.id),
            )


def _vessels(counter: Counter, mix: Mix, *, is_alone: bool) -> Iterator[Fact]:
    vessel = VESSEL_OF.get(mix.method)
    needed = [] if vessel is None else [vessel]
    if vessel is not None or (is_alone and mix.method is not Method.DRAUGHT):
        needed.append(Vessel.KIT)
    for home in dict.fromkeys(counter.vessel_home(one.station) for one in counter.people):
        station = counter.by_station[home]
        for one in needed:
            if station.num_vessels(one) < 1:
                name = one.value.replace("_", " ")
                yield Fact(
                    words=f"{place(station)} has no {name}",
                    to_mend=f"{name} for {place(station)}",
                    put_right=at_station(home, _with_one(one)),
                )


def _with_one(vessel: Vessel) -> Callable[[Station], Station]:
    fields: dict[str, Any] = {_VESSEL_FIELDS[vessel]: 1}
    return lambda station: replace(station, **fields)


def _ice(counter: Counter, mix: Mix) -> Iterator[Fact]:
    for ice in dict.fromkeys((mix.ice, mix.serve_ice)):
        for station in counter.stations:
            if not station.has_ice(ice) and counter.shared_well(ice) is None:
                yield Fact(
                    words=f"there is no {ice.value} ice for {place(station)}",
                    to_mend=f"{ice.value} ice for {place(station)}",
                    put_right=at_station(station.id, _with_ice(ice)),
                )


def _with_ice(ice: Ice) -> Callable[[Station], Station]:
    return lambda station: replace(station, wells=(*station.wells, Well(ice=ice)))


def _equipment(snapshot: Snapshot, mix: Mix) -> Iterator[Fact]:
    counter = snapshot.counter
    poured = [snapshot.menu.ingredient(name) for name in mix.ingredients]
    if mix.method is Method.BLENDED and counter.blenders < 1:
        yield Fact(
            words="there is no blender", to_mend="a blender", put_right=on_counter(blenders=1)
        )
    for one in poured:
        if one.pours in _TAPS and one.id not in counter.taps:
            yield Fact(
                words=f"no tap pours {one.name}",
                to_mend=f"a keg of {one.name} on a tap",
                put_right=_with_tap(one.id),
            )
        if one.pours is Pouring.SETTLING_TAP and counter.settling_places < 1:
            yield Fact(
                words=f"there is no place for {one.name} to settle",
                to_mend=f"a place for {one.name} to settle",
                put_right=on_counter(settling_places=1),
            )
    groups, grinders = counter.coffee_groups, counter.coffee_grinders
    if mix.has_coffee and min(groups, grinders) < 1:
        yield Fact(
            words="there is no coffee machine with its grinder",
            to_mend="the coffee machine with its grinder",
            put_right=on_counter(coffee_groups=max(1, groups), coffee_grinders=max(1, grinders)),
        )


def _with_tap(ingredient: str) -> Change:
    return lambda s: on_counter(taps=(*s.counter.taps, ingredient))(s)


def _training(counter: Counter, mix: Mix) -> Iterator[Fact]:
    for person in counter.people:
        at = place(counter.by_station[person.station])
        if mix.method in person.not_trained_on:
            rest = tuple(method for method in person.not_trained_on if method is not mix.method)
            yield Fact(
                words=f"{at} is not trained on {mix.method.value}",
                to_mend=f"somebody trained on {mix.method.value} at {at}",
                put_right=of_person(person.id, not_trained_on=rest),
            )
        if mix.has_flame and not person.trained_for_flame:
            yield Fact(
                words=f"{at} is not trained for flame",
                to_mend=f"somebody trained for flame at {at}",
                put_right=of_person(person.id, trained_for_flame=True),
            )


def _flame(snapshot: Snapshot) -> Iterator[Fact]:
    flame, still_open = snapshot.counter.flame, num_open_drinks(snapshot)
    for station in snapshot.counter.stations:
        if not station.clear_place:
            yield Fact(
                words=f"{place(station)} has no clear place for a flame",
                to_mend=f"a clear place at {place(station)}",
                put_right=at_station(station.id, lambda one: replace(one, clear_place=True)),
            )
    if still_open > flame.off_above_open_drinks:
        limit = flame.off_above_open_drinks
        yield Fact(
            words=f"the room is too full for a flame ({still_open} drinks open)",
            to_mend=f"a quieter room: no more than {limit} drinks open",
            put_right=_with_room_for_a_flame(still_open),
        )
    if not flame.allowed:
        yield Fact(
            words="flame is off in this house",
            to_mend="flame allowed, by whoever answers for it",
            put_right=_with_flame,
        )


def _with_room_for_a_flame(num_open: int) -> Change:
    def changed(snapshot: Snapshot) -> Snapshot:
        flame = replace(snapshot.counter.flame, off_above_open_drinks=num_open)
        return on_counter(flame=flame)(snapshot)

    return changed


def _with_flame(snapshot: Snapshot) -> Snapshot:
    return on_counter(flame=replace(snapshot.counter.flame, allowed=True))(snapshot)


def _unconfirmed(ticket: Ticket, drink: Drink) -> Iterator[Fact]:
    line = ticket.lines[drink.line]
    if line.allergies and not line.is_confirmed:
        noted = " and ".join(line.allergies)
        yield Fact(
            words=f"{noted} on ticket {ticket.number}: not confirmed",
            to_mend=f"the guest of ticket {ticket.number} asked about {noted}",
            put_right=of_ticket(ticket.id, _confirmed(drink.line)),
        )


def _confirmed(at: int) -> Callable[[Ticket], Ticket]:
    def changed(ticket: Ticket) -> Ticket:
        lines = [*ticket.lines]
        lines[at] = replace(lines[at], is_confirmed=True)
        return replace(ticket, lines=tuple(lines))

    return changed
