"""Flames of the builds in hand: whose, in which stretch, and whether something may be alight.

Nobody taps when a flame is lit or out. A stretch that was begun to light one may be alight until
it is ended; a peel flamed at the end of a build may be alight from when its time comes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

from solver.snapshot import Rail, Snapshot, rail_of, why_not_by
from solver.units import paced_ds, to_s
from solver.work import FLAME, work_of

from .marks import mix_now, off_the_floor
from .moment import snapshot_of
from .records import BuildRecord
from .state import BarState


@dataclass(frozen=True, slots=True, kw_only=True)
class Flame:
    """A flame of a build in hand, alight or to come.

    Attributes
    ----------
    build : str
    index : int
        Stretch of the build in which it burns.
    person : str
        Whose hands are on that stretch, or the build's owner while nobody began it.
    drinks : tuple of str
    words : str
        What it is and where: ``"The Keeper's Blaze at bar top, left"``.
    lit_at, out_at : datetime or None
        By the time standards; None while its stretch is not begun.
    """

    build: str
    index: int
    person: str
    drinks: tuple[str, ...]
    words: str
    lit_at: datetime | None = None
    out_at: datetime | None = None

    def is_alight(self, now: datetime) -> bool:
        """Whether something may be burning; hands that began a tail may be at it sooner."""
        return self.lit_at is not None and (self.index > 0 or self.lit_at <= now)


def flames_now(state: BarState, now: datetime) -> list[Flame]:
    """Give the flames of a bar's builds in hand, where its snapshot is not at hand."""
    held = [state.drinks[drink] for build in state.in_hand() for drink in build.drinks]
    if not any(mix is not None and mix.has_flame for mix in (mix_now(state, d) for d in held)):
        return []
    snapshot = snapshot_of(state, now)
    return flames_of(state, snapshot, rail_of(snapshot))


def flames_of(state: BarState, snapshot: Snapshot, rail: Rail) -> list[Flame]:
    """Give every flame of the builds in hand whose stretch is not ended."""
    found = []
    for build in state.in_hand():
        held = [rail.in_hand[drink] for drink in build.drinks if drink in rail.in_hand]
        if any(drink.mix.has_flame for drink in held):
            found += _of_build(state, snapshot, rail, build)
    return found


def station_of(state: BarState, person: str) -> str:
    """Say where somebody stands."""
    counter = state.bar.counter
    station = counter.by_station[counter.by_person[person].station]
    return station.name or station.id


def off_words(flames: list[Flame], now: datetime) -> str:
    """Say that flame is off, and what to do about each flame in hand."""
    said = [
        f"{flame.words} may be alight: snuff it with the lid, or put it back"
        if flame.is_alight(now)
        else f"{flame.words} is not lit: do not light it, put it back"
        for flame in flames
    ]
    return f"flame is off: {'; '.join(said) or 'nothing is lit'}"


def left_words(state: BarState, now: datetime, rail: Rail, flame: Flame) -> str:
    """Say what to do about a flame whose person went off the floor; empty when they are here."""
    snapshot = snapshot_of(state, now)
    off = off_the_floor(state, now).keys()
    on = {present.person for present in snapshot.people_on} - off
    if flame.person in on:
        return ""
    if flame.lit_at is not None:
        return f"{flame.words} may be alight and nobody is there: snuff it with the lid"
    people = [snapshot.counter.by_person[person] for person in sorted(on)]
    mixes = [rail.in_hand[drink].mix for drink in flame.drinks]
    if any(not why_not_by(snapshot, person, mix) for person in people for mix in mixes):
        return ""
    return f"{flame.words}: nobody here may light it: put it back"


def overlaps(flames: list[Flame], now: datetime) -> list[tuple[Flame, Flame]]:
    """Give the pairs of begun flames that would burn at once; one that runs late still burns."""
    begun = [
        (flame.lit_at, max(flame.out_at, now), flame)
        for flame in flames
        if flame.lit_at is not None and flame.out_at is not None
    ]
    return [
        (one, other)
        for (lit, out, one), (other_lit, other_out, other) in combinations(begun, 2)
        if one.build != other.build and max(lit, other_lit) < min(out, other_out)
    ]


def _of_build(state: BarState, snapshot: Snapshot, rail: Rail, build: BuildRecord) -> list[Flame]:
    drinks = [rail.in_hand[drink] for drink in build.drinks if drink in rail.in_hand]
    work = work_of(snapshot, build.person, drinks)
    begun = {stretch.index: stretch for stretch in build.stretches}
    found = []
    for block in work.blocks:
        burning = [h for h in work.holds if h.resource == FLAME and h.from_block == block.index]
        stretch = begun.get(block.index)
        if not burning or (stretch is not None and stretch.ended_at is not None):
            continue
        lit_at = out_at = None
        if stretch is not None:
            pace_pct = snapshot.counter.by_person[stretch.person].pace_pct
            # Hands that begin a tail are at the flame; in block 0 it comes where the work has it.
            lit_ds = 0 if block.index else min(hold.from_base_ds for hold in burning)
            out_ds = max(hold.to_base_ds for hold in burning)
            lit_at = stretch.started_at + timedelta(seconds=to_s(paced_ds(lit_ds, pace_pct)))
            out_at = stretch.started_at + timedelta(seconds=to_s(paced_ds(out_ds, pace_pct)))
        person = stretch.person if stretch is not None else build.person
        flamed = [name for name, _ in block.made if rail.in_hand[name].mix.has_flame]
        names = ", ".join(dict.fromkeys(state.drinks[name].name for name in flamed))
        found.append(
            Flame(
                build=build.id,
                index=block.index,
                person=person,
                drinks=tuple(flamed),
                words=f"{names} at {station_of(state, person)}",
                lit_at=lit_at,
                out_at=out_at,
            )
        )
    return found
