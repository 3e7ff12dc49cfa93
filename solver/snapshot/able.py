"""Who may make a drink where they stand, and why the others may not."""

from __future__ import annotations

from collections.abc import Sequence

from solver.builds import VESSEL_OF
from solver.counter import Counter, Person, Post, Vessel
from solver.kept import Kept
from solver.menu import Ingredient, Method, Mix, Pouring
from solver.tickets import Channel

from .facts import Presence, Snapshot

_POST_OF = {Channel.FLOOR: Post.SERVICE_WELL, Channel.BAR_TOP: Post.BAR_TOP}


def people_for(
    snapshot: Snapshot, channel: Channel, mix: Mix, *, is_alone: bool
) -> tuple[str, ...]:
    """Give who may make a drink: who pours for its channel, or anyone if none of them is here."""
    able = [
        snapshot.counter.by_person[present.person]
        for present in snapshot.people_on
        if not why_not_by(
            snapshot, snapshot.counter.by_person[present.person], mix, is_alone=is_alone
        )
    ]
    stations = snapshot.counter.by_station
    here = {present.person for present in snapshot.people_on if _is_here(present)}
    posted = [person for person in able if _POST_OF[channel] in stations[person.station].posts]
    return tuple(p.id for p in (posted if any(p.id in here for p in posted) else able))


AWHILE_S = 60.0
"""A post whose people are all away for longer than this is everybody's."""


def _is_here(present: Presence) -> bool:
    """Whether somebody is at their place, or back in a moment: not in a break, nor gone home."""
    resting = (one for one in present.away if one.from_s <= 0)
    return present.from_s < AWHILE_S and all(
        one.until_s is not None and one.until_s < AWHILE_S for one in resting
    )


def who_stays(snapshot: Snapshot, people: Sequence[str]) -> tuple[str, ...]:
    """Give who of these makes a drink past the end of their shift: whoever leaves last."""
    leaves = {one.person: one.leaves_s for one in snapshot.people_on if one.person in people}
    if None in leaves.values():
        return tuple(person for person, at in leaves.items() if at is None)
    last = max((at for at in leaves.values() if at is not None), default=0.0)
    return tuple(person for person, at in leaves.items() if at == last)


SOON_S = 600.0
"""Somebody who leaves within this time is promised no next build: it may not fit any more."""


def is_soon_away(snapshot: Snapshot, person: str, *, stays: bool) -> bool:
    """Whether a break or the end of a shift comes soon, for somebody who stays past it or not."""
    return any(
        one.from_s < SOON_S and (not stays if one.until_s is None else one.until_s > 0)
        for present in snapshot.people_on
        if present.person == person
        for one in present.away
    )


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
    known = _reasons.of(snapshot.menu, snapshot.counter.fixed)
    key = (person.id, id(mix), is_alone)
    found = known.get(key)
    if found is None:
        if len(known) >= MOST_REASONS:
            known.clear()
        found = known[key] = (mix, _why_not_by(snapshot, person, mix, is_alone=is_alone))
    return found[1]


MOST_REASONS = 5000
_reasons: Kept[dict[tuple[str, int, bool], tuple[Mix, str]]] = Kept(dict)
"""What was said before with one menu and counter, by person, mix and whether it is made alone.

The mix is held beside what was said, so that no other one gets its identity.
"""


def _why_not_by(snapshot: Snapshot, person: Person, mix: Mix, *, is_alone: bool) -> str:
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


def why_nobody(snapshot: Snapshot, mix: Mix, *, is_alone: bool) -> str:
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
