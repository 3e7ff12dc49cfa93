"""Rules on what cannot be in two places: hands, vessels, equipment, the one flame."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from operator import attrgetter

from solver.plan import PlannedBuild
from solver.units import to_ds, to_s
from solver.work import FLAME, TILL, capacities, vessel_resource

from .broken import Broken, stretch_words
from .case import Case, all_tenths

OPEN_FLAME = "open flame"


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy:
    """Somebody or something is taken for a while, half-open, in deciseconds from the moment.

    Attributes
    ----------
    of : str
        The person or the resource.
    start_ds, end_ds, units : int
    build : PlannedBuild or None
        None for the washer.
    drinks : tuple of str
    what : str
        In words.
    is_fact : bool
        Begun before the moment: no plan could have it otherwise.
    """

    of: str
    start_ds: int
    end_ds: int
    units: int = 1
    build: PlannedBuild | None = None
    drinks: tuple[str, ...] = ()
    what: str = ""
    is_fact: bool = False


def check_shared(case: Case) -> Iterator[Broken]:
    """Find people with two things in their hands, and more held than there is."""
    served = _servings(case)
    yield from _hands(case, [*_blocks(case), *served])
    # Without a till there is nothing to serve at; the rule on servings says so.
    at_till = [replace(one, of=TILL) for one in served if case.snapshot.counter.tills]
    yield from _capacity(case, [*_washer(case), *_holds(case), *at_till])


def _blocks(case: Case) -> list[Busy]:
    """Give the hands of every build, as the plan has them."""
    return [
        Busy(
            of=block.person,
            start_ds=to_ds(block.start_s),
            end_ds=to_ds(block.end_s),
            build=made.build,
            drinks=made.build.drinks,
            what=f"{stretch_words(block.index)} in build {made.build.id}",
            is_fact=made.in_hand is not None
            and any(run.index == block.index for run in made.in_hand.blocks),
        )
        for made in case.builds
        for block in made.build.blocks
        if all_tenths((block.start_s, block.end_s))
    ]


def _servings(case: Case) -> list[Busy]:
    return [
        Busy(
            of=one.person,
            start_ds=to_ds(one.start_s),
            end_ds=to_ds(one.end_s),
            drinks=case.drinks_of(one.ticket),
            what=f"serving round {case.number_of(one.ticket)}",
        )
        for one in case.plan.servings
        if all_tenths((one.start_s, one.end_s))
    ]


def _hands(case: Case, busy: list[Busy]) -> Iterator[Broken]:
    still = [one for one in busy if one.end_ds > max(one.start_ds, 0)]
    still.sort(key=attrgetter("of", "start_ds", "end_ds"))
    for person, group in groupby(still, key=attrgetter("of")):
        mine = list(group)
        for i, one in enumerate(mine):
            for other in mine[i + 1 :]:
                if other.start_ds >= one.end_ds:
                    break
                if one.is_fact and other.is_fact:
                    continue
                what = (
                    f"{person} is at {one.what} until {to_s(one.end_ds):g} s "
                    f"and starts {other.what} at {to_s(other.start_ds):g} s"
                )
                yield case.broken(
                    "hands", what, build=other.build, drinks=other.drinks, at_ds=other.start_ds
                )


def _holds(case: Case) -> Iterator[Busy]:
    there_are = capacities(case.snapshot.counter)
    for made in case.builds:
        if made.work is None or not made.stretches:
            continue
        for hold in made.work.holds:
            first, last = made.stretches[hold.from_block], made.stretches[hold.to_block]
            # A tap or a place that was taken away under a build in hand is nobody's plan.
            if made.in_hand is not None and there_are.get(hold.resource, 0) < hold.units:
                continue
            yield Busy(
                of=hold.resource,
                start_ds=first.reached_ds(hold.from_base_ds),
                end_ds=last.left_ds(hold.to_base_ds) + hold.extra_ds,
                units=hold.units,
                build=made.build,
                drinks=made.build.drinks,
                what=f"build {made.build.id}",
                is_fact=first.run is not None,
            )


def _washer(case: Case) -> list[Busy]:
    counter = case.snapshot.counter
    return [
        Busy(
            of=vessel_resource(counter.vessel_home(gone.station), gone.vessel),
            start_ds=0,
            end_ds=to_ds(gone.back_s),
            units=gone.count,
            what="the washer",
            is_fact=True,
        )
        for gone in case.snapshot.in_washer
        if gone.station in counter.by_station
    ]


def _capacity(case: Case, busy: list[Busy]) -> Iterator[Broken]:
    there_are = capacities(case.snapshot.counter)
    still = [one for one in busy if one.end_ds > max(one.start_ds, 0)]
    still.sort(key=attrgetter("of"))
    for resource, group in groupby(still, key=attrgetter("of")):
        held = list(group)
        if sum(one.units for one in held) > there_are.get(resource, 0):
            yield from _too_many(case, resource, there_are.get(resource, 0), held)


def _too_many(case: Case, resource: str, there_are: int, held: list[Busy]) -> Iterator[Broken]:
    """Walk through the starts; say once for every stretch in which too much is held."""
    held.sort(key=attrgetter("start_ds"))
    reported_until_ds = -1
    for one in held:
        at_ds = max(one.start_ds, 0)
        together = [h for h in held if h.start_ds <= at_ds < h.end_ds]
        wanted = sum(h.units for h in together)
        if wanted <= there_are or at_ds < reported_until_ds:
            continue
        movable = [h for h in together if not h.is_fact]
        if not movable:
            continue
        reported_until_ds = min(h.end_ds for h in together)
        guilty = movable[-1]
        by = " and ".join(dict.fromkeys(h.what for h in together))
        what = f"{_spoken(resource)}: {by} want {wanted} at once, and the bar has {there_are}"
        rule = "flame" if resource == FLAME else "capacity"
        yield case.broken(rule, what, build=guilty.build, drinks=guilty.drinks, at_ds=at_ds)


def _spoken(resource: str) -> str:
    """Say a resource aloud: ``tin_set@well`` is "tin set at well"."""
    if resource == FLAME:
        return OPEN_FLAME
    return resource.replace("_", " ").replace("@", " at ").replace(":", " of ")
