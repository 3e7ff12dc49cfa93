"""Which drinks may share a build, and what they share: loads, set-ups, two hands at once.

The mirror of `builds` on flat arrays.
"""

from __future__ import annotations

from .arrays import (
    BOTTLES_LIMIT,
    DRINK,
    DRINKS_LIMIT,
    HAS_COFFEE,
    IS_ALONE,
    IS_FLAMED,
    IS_REACH,
    KIT,
    L_FIRST,
    L_SIZE,
    MAT,
    MIX,
    MIXES_LIMIT,
    NUM_VESSELS,
    ONE_BOTTLE,
    ONE_HANDED,
    OTHER_TAP,
    PAIR_DRAUGHT,
    PAIR_KIND,
    PAIR_NONE,
    PER_VESSEL,
    R_BLENDER,
    R_GROUP,
    R_SETTLING,
    RUN,
    SAME_MIX_LIMIT,
    SET_UP_DS,
    SET_UP_FROM,
    SET_UP_TO,
    SETTLING_TAP,
    SIZE,
    STAMP,
    STATION,
    TAP,
    VESSEL,
    WASHES,
    WHO,
    Bench,
    Clock,
    Ints,
    Slots,
)
from .compiling import inner


@inner
def group(bench: Bench, slots: Slots, slot: int, loads: Ints) -> int:
    """Put drinks of one mix together, in order of first appearance, and split them into loads."""
    n = slots.builds[slot, SIZE]
    items = slots.items[slot, :, DRINK]
    num_loads = 0
    at = 0
    while at < n:
        mix = bench.drinks[items[at], MIX]
        count = 1
        for i in range(at + 1, n):
            if bench.drinks[items[i], MIX] == mix:
                drink = items[i]
                for j in range(i, at + count, -1):
                    items[j] = items[j - 1]
                items[at + count] = drink
                count += 1
        vessels = -(-count // bench.mixes[mix, PER_VESSEL])
        small = count // vessels
        larger = count % vessels
        begin = at
        for v in range(vessels):
            loads[num_loads, L_FIRST] = begin
            loads[num_loads, L_SIZE] = small + (1 if v < larger else 0)
            begin += loads[num_loads, L_SIZE]
            num_loads += 1
        at += count
    return num_loads


@inner
def may_share(
    bench: Bench, slots: Slots, slot: int, num_loads: int, loads: Ints, bottles: int
) -> bool:
    """The house's limits, the landing mat, and vessels, as `builds` defines them."""
    n = slots.builds[slot, SIZE]
    items = slots.items[slot, :, DRINK]
    person = slots.builds[slot, WHO]
    station = bench.people[person, STATION]
    num_mixes = 0
    last = -1
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        if mix != last:
            num_mixes += 1
            last = mix
        if n > 1 and bench.mixes[mix, IS_ALONE]:
            return False
        if bench.mixes[mix, IS_FLAMED] and num_mixes > 1:
            return False
    if num_mixes > 1:
        for load in range(num_loads):
            if bench.mixes[bench.drinks[items[loads[load, L_FIRST]], MIX], IS_FLAMED]:
                return False
        if n > bench.house[DRINKS_LIMIT] or num_mixes > bench.house[MIXES_LIMIT]:
            return False
        if bottles > bench.house[BOTTLES_LIMIT]:
            return False
    elif n > bench.house[SAME_MIX_LIMIT]:
        return False
    if n > bench.stations[station, MAT]:
        return False
    for i in range(n):
        if not bench.may[items[i], person]:
            return False
    coffees = blended = settling = 0
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        coffees += bench.mixes[mix, HAS_COFFEE]
        blended += bench.times[mix, loads[load, L_SIZE], RUN] > 0
        settling += bench.mixes[mix, SETTLING_TAP] >= 0
    if coffees > bench.capacity[bench.house[R_GROUP]]:
        return False
    if blended > bench.capacity[bench.house[R_BLENDER]]:
        return False
    if settling > bench.capacity[bench.house[R_SETTLING]]:
        return False
    any_vessel = False
    for kind in range(KIT):
        count = 0
        for load in range(num_loads):
            mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
            if bench.mixes[mix, VESSEL] == kind:
                count += 1
            any_vessel |= bench.mixes[mix, WASHES] > 0
        any_vessel |= count > 0
        if count > bench.stations[station, NUM_VESSELS + kind]:
            return False
    return not (any_vessel and bench.stations[station, NUM_VESSELS + KIT] < 1)


@inner
def set_ups(
    bench: Bench, slots: Slots, clock: Clock, slot: int, station: int, once: Ints
) -> tuple[int, int, int]:
    """Sum the set-ups over the union of the mixes; also bottles, and the bar's only bottles."""
    clock.notes[STAMP] += 1
    stamp = clock.notes[STAMP]
    total = bottles = num_once = 0
    last = -1
    for i in range(slots.builds[slot, SIZE]):
        mix = bench.drinks[slots.items[slot, i, DRINK], MIX]
        if mix == last:
            continue
        last = mix
        for at in range(bench.mixes[mix, SET_UP_FROM], bench.mixes[mix, SET_UP_TO]):
            thing = bench.set_up[at]
            if clock.seen[thing] == stamp:
                continue
            clock.seen[thing] = stamp
            total += bench.set_ups[thing, SET_UP_DS + station]
            bottles += bench.set_ups[thing, IS_REACH]
            if bench.set_ups[thing, ONE_BOTTLE] >= 0 and num_once < len(once):
                once[num_once] = bench.set_ups[thing, ONE_BOTTLE]
                num_once += 1
    return total, bottles, num_once


@inner
def pairs(bench: Bench, one: int, one_size: int, other: int, other_size: int) -> bool:
    """Two hands for two loads: the same work, neither needing both hands."""
    kind = bench.mixes[one, PAIR_KIND]
    if kind == PAIR_NONE or kind != bench.mixes[other, PAIR_KIND]:
        return False
    if kind == PAIR_DRAUGHT:
        if bench.mixes[one, TAP] != bench.mixes[other, TAP]:
            return True
        return bool(bench.mixes[one, OTHER_TAP] != bench.mixes[other, OTHER_TAP])
    return bool(
        bench.times[one, one_size, ONE_HANDED] and bench.times[other, other_size, ONE_HANDED]
    )
