"""Families of small snapshots that a brute force can exhaust, each about one thing.

``small("tails", 3)`` is the same snapshot for ever. Recipes come in few kinds, so that there is
something to share, and rounds of one to three drinks have waited for different times.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from solver.builds import build_id
from solver.counter import HouseRules, PutFirst, Vessel
from solver.snapshot import BlockRun, InHand, InWasher, Pinned, Snapshot, rail_of
from solver.tickets import Channel, Ticket
from solver.timing import Engine
from tests.solver.makers import counter, person, snapshot, station, ticket

SHARED = ("sour", "rye sour", "tall", "stirred")
TAILS = ("stout", "coffee", "frozen", "cold sour", "sour")
FLAME = ("lit", "blaze", "sour")
DRAUGHT = ("lager", "half", "ale", "frozen", "foam")
ANY = ("sour", "foam", "stirred", "tall", "muddled", "lager", "wine", "stout", "coffee")


def _rounds(
    rng: random.Random, num_drinks: int, names: tuple[str, ...], **how: Any
) -> list[Ticket]:
    """Rounds of one to three drinks, oldest first, of at most three of these recipes."""
    names = tuple(rng.sample(names, min(3, len(names))))
    found: list[Ticket] = []
    left = num_drinks
    while left:
        size = min(left, rng.choice([1, 2, 2, 3]))
        left -= size
        wanted = [rng.choice(names) for _ in range(size)]
        usual: dict[str, Any] = {
            "placed_s": -float(rng.randrange(0, 240)),
            "promise_s": rng.choice([180, 360, 600]),
            "weight": rng.choice([1, 1, 1, 2]),
        }
        found.append(ticket("abcdef"[len(found)], *wanted, **(usual | how)))
    return found


def _one(rng: random.Random, names: tuple[str, ...], num_drinks: int, **rules: Any) -> Snapshot:
    at = counter(1, rules=HouseRules(**rules))
    return snapshot(*_rounds(rng, num_drinks, names), counter=at)


def _shared(rng: random.Random) -> Snapshot:
    return _one(rng, SHARED, rng.choice([4, 4, 5]))


def _tails(rng: random.Random) -> Snapshot:
    snap = _one(rng, TAILS, 4)
    glasses = tuple(
        replace(glass, chilled=0) if glass.id == "chilled coupe" else glass
        for glass in snap.counter.glasses
    )
    return replace(snap, counter=replace(snap.counter, glasses=glasses))


def _flame(rng: random.Random) -> Snapshot:
    return snapshot(*_rounds(rng, 3, FLAME), counter=counter(2))


def _people(rng: random.Random) -> Snapshot:
    """Two people of different pace, one perhaps not back yet, at the pass or away from it."""
    paces = rng.sample([0.85, 1.0, 1.2, 1.4], 2)
    at = counter(
        2,
        stations=(station("one"), station("two", at_pass=rng.random() < 0.5)),
        people=(person("ana", "one", pace=paces[0]), person("ben", "two", pace=paces[1])),
    )
    snap = snapshot(*_rounds(rng, 4, SHARED), counter=at)
    back_s = rng.choice([0.0, 0.0, 45.0])
    on = (snap.people_on[0], replace(snap.people_on[1], from_s=back_s))
    return replace(snap, people_on=on)


def _three(rng: random.Random) -> Snapshot:
    return snapshot(*_rounds(rng, 3, ANY), counter=counter(3))


def _contention(rng: random.Random) -> Snapshot:
    """Two people at one station with two tins, one kit for each, one tap, one blender."""
    at = counter(
        2,
        stations=(station("one", tin_sets=2, kits=2),),
        people=(person("ana", "one"), person("ben", "one", pace=1.2)),
    )
    snap = snapshot(*_rounds(rng, 4, DRAUGHT), counter=at)
    gone = InWasher(station="one", vessel=Vessel.TIN_SET, back_s=50.0)
    return replace(snap, in_washer=rng.choice([(), (gone,)]))


def _urgent(rng: random.Random) -> Snapshot:
    snap = _one(rng, ANY, 4)
    at = rng.randrange(len(snap.tickets))
    rounds = [replace(t, overtaken=3 * (n == at)) for n, t in enumerate(snap.tickets)]
    return replace(snap, tickets=tuple(rounds))


def _pinned(rng: random.Random) -> Snapshot:
    snap = snapshot(*_rounds(rng, 4, SHARED), counter=counter(2))
    one = rng.choice(rail_of(snap).drinks)
    pin = Pinned(person=rng.choice(one.people), drinks=(one.id,))
    return replace(snap, pinned=(pin,))


def _in_hand(rng: random.Random) -> Snapshot:
    """A build in hand, its main block running or done, perhaps with a tail to come."""
    snap = _one(rng, TAILS, 5)
    engine = Engine(snap)
    drinks = rail_of(snap).drinks
    first = rng.randrange(len(drinks))
    with_it = [n for n in range(len(drinks)) if n != first and drinks[n].mix == drinks[first].mix]
    both = (first, *with_it[:1])
    if engine.hands_ds(0, both) is None:
        both = (first,)
    ids = tuple(drinks[n].id for n in both)
    begun_s = -float(rng.randrange(0, 60))
    run = BlockRun(index=0, person="ana", start_s=begun_s, is_done=begun_s < -40)
    begun = InHand(build=build_id(ids), person="ana", drinks=ids, blocks=(run,))
    return replace(snap, in_hand=(begun,))


def _bar_top(rng: random.Random) -> Snapshot:
    """Rounds over the bar that somebody serves, one till for two."""
    at = counter(2, tills=1)
    return snapshot(*_rounds(rng, 4, SHARED, channel=Channel.BAR_TOP), counter=at)


def _worst(rng: random.Random) -> Snapshot:
    return _one(rng, ANY, 4, put_first=PutFirst.WORST)


def _clear(rng: random.Random) -> Snapshot:
    return _one(rng, ANY, 4, put_first=PutFirst.CLEAR)


def _six(rng: random.Random) -> Snapshot:
    """Six drinks of two recipes in three rounds."""
    names = tuple(rng.sample(SHARED, 2))
    return snapshot(*(ticket(t, *names, placed_s=-10.0 * n) for n, t in enumerate("abc")))


KINDS: dict[str, Callable[[random.Random], Snapshot]] = {
    "shared": _shared,
    "tails": _tails,
    "flame": _flame,
    "people": _people,
    "three people": _three,
    "contention": _contention,
    "urgent": _urgent,
    "pinned": _pinned,
    "in hand": _in_hand,
    "bar top": _bar_top,
    "worst first": _worst,
    "clear first": _clear,
    "six": _six,
}


def small(kind: str, seed: int) -> Snapshot:
    """One snapshot of a family."""
    return KINDS[kind](random.Random(f"{kind} {seed}"))
