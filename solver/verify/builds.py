"""Rules on builds: which drinks, whose, and what they may share."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator
from itertools import pairwise

from solver.builds import build_id, why_not_here, why_not_together
from solver.snapshot import RailDrink, why_not_by

from .broken import Broken, stretch_words
from .case import Case, Made, is_as_begun


def check_builds(case: Case) -> Iterator[Broken]:
    """Find builds of wrong drinks, of the wrong person, or of drinks that may not share."""
    yield from _drinks(case)
    yield from _set_aside(case)
    yield from _in_hand(case)
    for made in case.planned:
        yield from _identity(case, made)
        yield from _sharing(case, made)
    for made in case.builds:
        yield from _person(case, made)


def _drinks(case: Case) -> Iterator[Broken]:
    begun = {drink: b.build for b in case.begun.values() for drink in b.drinks}
    planned = Tally(drink for made in case.planned for drink in made.build.drinks)
    for build in case.hollow:
        yield case.broken(
            "drinks", "it has no drinks, no work, or no made time for each drink", build=build
        )
    for made in case.planned:
        for drink in dict.fromkeys(made.build.drinks):
            if drink in begun:
                what = f"it is in hand already, in build {begun[drink]}"
                yield case.broken("drinks", what, build=made.build, drinks=[drink])
            elif drink not in case.waiting:
                what = "no such drink waits to be made"
                yield case.broken("drinks", what, build=made.build, drinks=[drink])
            elif planned[drink] > 1:
                what = f"it is planned {planned[drink]} times"
                yield case.broken("drinks", what, build=made.build, drinks=[drink])
    for drink in case.waiting:
        if drink not in planned:
            yield case.broken("drinks", "it waits and no build makes it", drinks=[drink])


def _set_aside(case: Case) -> Iterator[Broken]:
    right = {entry.drink: entry.reason for entry in case.rail.set_aside}
    given = Tally(entry.drink for entry in case.plan.set_aside)
    for entry in case.plan.set_aside:
        if entry.drink not in right:
            what = "it can be made now, or is not a drink that waits, and was set aside"
        elif entry.reason != right[entry.drink]:
            what = f"the reason is {right[entry.drink]!r}, not {entry.reason!r}"
        elif given[entry.drink] > 1:
            what = "it is set aside twice"
        else:
            continue
        yield case.broken("set_aside", what, drinks=[entry.drink])
    for drink, reason in right.items():
        if drink not in given:
            what = f"it cannot be made now ({reason}) and is not set aside"
            yield case.broken("set_aside", what, drinks=[drink])


def _in_hand(case: Case) -> Iterator[Broken]:
    given = Tally(made.build.id for made in case.builds)
    for build_name, begun in case.begun.items():
        if given[build_name] != 1:
            what = f"build {build_name} is in hand and stands in the plan {given[build_name]} times"
            yield case.broken("in_hand", what, drinks=begun.drinks)
    for made in case.builds:
        build, begun_as = made.build, made.in_hand
        if build.is_in_hand != (begun_as is not None):
            what = "nobody has begun it" if build.is_in_hand else "it is in hand already"
            yield case.broken("in_hand", what, build=build)
        if begun_as is not None and not is_as_begun(build, begun_as):
            what = f"{begun_as.person} has begun it with {case.said(begun_as.drinks)}"
            yield case.broken("in_hand", what, build=build)


def _identity(case: Case, made: Made) -> Iterator[Broken]:
    build = made.build
    right = build_id(build.drinks)
    if build.id != right:
        yield case.broken("identity", f"its drinks give the id {right}", build=build)
    mixes = [drink.mix for drink in made.drinks]
    changes = sum(one != other for one, other in pairwise(mixes))
    if mixes and changes >= len(set(mixes)):
        yield case.broken("mixes", "a mix is left and taken up again", build=build)


def _sharing(case: Case, made: Made) -> Iterator[Broken]:
    if why := why_not_shared(case, made.drinks):
        yield case.broken("sharing", why, build=made.build)
    if made.work is None:
        return
    counter = case.snapshot.counter
    station = counter.by_station[case.people[made.build.person].station]
    if why := why_not_here(
        counter, station, made.work.loads, is_alone=any(d.is_alone for d in made.drinks)
    ):
        yield case.broken("station", why, build=made.build)


def why_not_shared(case: Case, drinks: tuple[RailDrink, ...]) -> str:
    """Say why these drinks may not share a build; empty when they may."""
    if len(drinks) <= 1:
        return ""
    return why_not_together(
        case.snapshot.counter.rules,
        [drink.mix for drink in drinks],
        [drink.is_alone for drink in drinks],
        len({name for drink in drinks for name in drink.mix.ingredients}),
    )


def _why_not_lit_by(case: Case, made: Made, index: int, person: str) -> str:
    """Say why a person may not finish a stretch with a flame in it; empty when they may."""
    if made.work is None or not 0 <= index < len(made.work.blocks):
        return ""
    drinks = {name for name, _ in made.work.blocks[index].made}
    mixes = [drink.mix for drink in made.drinks if drink.id in drinks and drink.mix.has_flame]
    reasons = (why_not_by(case.snapshot, case.people[person], mix) for mix in mixes)
    return next(filter(None, reasons), "")


def _person(case: Case, made: Made) -> Iterator[Broken]:
    build = made.build
    if build.person not in case.people:
        yield case.broken("person", f"there is nobody called {build.person!r}", build=build)
        return
    refused = [drink.id for drink in made.drinks if build.person not in drink.people]
    if refused:
        what = f"{build.person} is not on the floor or may not make it"
        yield case.broken("person", what, build=build, drinks=refused)
    anyones = {block.index for block in made.work.blocks if block.is_anyones} if made.work else ()
    runs = {run.index for run in made.in_hand.blocks} if made.in_hand else set()
    for block in build.blocks:
        if block.index in runs or block.person == build.person:
            continue
        if block.person not in case.from_ds:
            what = f"{block.person!r} is not on the floor"
            yield case.broken("person", what, build=build)
        elif made.work is not None and block.index not in anyones and build.person in case.from_ds:
            title = next((b.title for b in made.work.blocks if b.index == block.index), "")
            what = (
                f"{stretch_words(block.index, title)} is {build.person}'s own, not {block.person}'s"
            )
            yield case.broken("person", what, build=build)
        elif why := _why_not_lit_by(case, made, block.index, block.person):
            yield case.broken("person", why, build=build)
