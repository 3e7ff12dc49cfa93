"""Work content on flat arrays: lays one build out for its person, as `work.work_of` defines it.

`work.work_of` is the definition and is what `verify` uses; this is its compiled mirror, the same
walk through a build in the same order. A test holds the two together.
"""

from __future__ import annotations

from .arrays import (
    AGITATE,
    ALONE,
    AT,
    AT_PASS,
    BLEND,
    BLOCK,
    CLASS,
    DRAW,
    DRINK,
    FLAME_AT,
    FLAME_FOR,
    GLASS,
    GLASS_PREP,
    HAS_COFFEE,
    IS_FLAMED,
    IS_FLOOR,
    IS_SHAKEN,
    IS_URGENT,
    KIT,
    L_ANCHOR,
    L_FIRST,
    L_SIZE,
    MAIN,
    MEASURE,
    MIX,
    MOST_HOLDS,
    NUM_HOLDS,
    NUM_TAILS,
    OTHER,
    PACE,
    PAIR_EXTRA,
    PREPARE,
    R_BLENDER,
    R_FLAME,
    R_GRINDER,
    R_GROUP,
    R_SETTLING,
    READ_BUILD,
    READ_DRINK,
    RELEASE,
    RELEASED,
    RINSE,
    RUN,
    SETTLING_TAP,
    SHAKE_FROM,
    SIZE,
    START,
    STATION,
    TAP,
    TRIP,
    URGENT,
    VESSEL,
    VESSELS,
    WALK,
    WASH,
    WASHES,
    WHO,
    WINDOW,
    Bench,
    Clock,
    Ints,
    Slots,
)
from .compiling import brief, inner
from .share import group, may_share, pairs, set_ups


@inner
def paced(base: int, pace: int) -> int:
    """Hands at a person's pace, rounded up once."""
    return -(-base * pace // 100)


@inner
def _hold(
    slots: Slots,
    slot: int,
    resource: int,
    from_block: int,
    at: int,
    to_block: int,
    to: int,
    extra: int,
) -> None:
    n = slots.builds[slot, NUM_HOLDS]
    if resource < 0 or n >= MOST_HOLDS:
        return
    row = slots.hold[slot, n]
    row[0], row[1], row[2], row[3], row[4], row[5] = resource, from_block, at, to_block, to, extra
    slots.builds[slot, NUM_HOLDS] = n + 1


@brief
def assemble(bench: Bench, slots: Slots, clock: Clock, slot: int) -> bool:
    """Lay a build out for its person; False where its drinks may not share or may not be there.

    Reads ``size``, ``items`` and ``who`` of the slot, groups its items by mix, and fills the rest.
    """
    person = slots.builds[slot, WHO]
    station = bench.people[person, STATION]
    pace = bench.people[person, PACE]
    n = slots.builds[slot, SIZE]
    items = slots.items[slot, :, DRINK]
    loads, once = clock.loads, clock.once
    num_loads = group(bench, slots, slot, loads)
    set_up, bottles, num_once = set_ups(bench, slots, clock, slot, station, once)
    if not may_share(bench, slots, slot, num_loads, loads, bottles):
        return False

    slots.builds[slot, NUM_HOLDS] = 0
    slots.builds[slot, NUM_TAILS] = 0
    release = 0
    klass = OTHER
    for i in range(n):
        release = max(release, bench.drinks[items[i], RELEASE])
        if bench.mixes[bench.drinks[items[i], MIX], IS_SHAKEN]:
            release = max(release, bench.people[person, SHAKE_FROM])
        if bench.drinks[items[i], IS_URGENT]:
            klass = URGENT
    slots.builds[slot, RELEASED] = release
    slots.builds[slot, CLASS] = klass

    # Start what runs alone.
    at = bench.house[READ_BUILD] + bench.house[READ_DRINK] * n
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        times = bench.times[mix, loads[load, L_SIZE]]
        if times[ALONE] < 0:
            continue
        began = at
        at += times[START]
        loads[load, L_ANCHOR] = at
        here, there = paced(began, pace), paced(at, pace)
        if bench.mixes[mix, HAS_COFFEE]:
            _hold(slots, slot, bench.house[R_GRINDER], 0, here, 0, there, 0)
            _hold(slots, slot, bench.house[R_GROUP], 0, here, 0, there, bench.house[DRAW])
        _hold(slots, slot, bench.mixes[mix, SETTLING_TAP], 0, here, 0, there, 0)

    # Gather and measure.
    gathered = at
    at += set_up
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        at += bench.times[mix, loads[load, L_SIZE], GLASS_PREP] * loads[load, L_SIZE]
    measured = at
    for load in range(num_loads):
        at += bench.times[
            bench.drinks[items[loads[load, L_FIRST]], MIX], loads[load, L_SIZE], MEASURE
        ]
    for i in range(num_once):
        _hold(slots, slot, once[i], 0, paced(gathered, pace), 0, paced(at, pace), 0)

    # A trip to each ice that is not at the station, once a build.
    far_a = far_b = far_c = -1
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        for j in range(2):
            well = bench.trip[station, mix, j]
            if well < 0 or well in (far_a, far_b, far_c):
                continue
            if far_a < 0:
                far_a = well
            elif far_b < 0:
                far_b = well
            else:
                far_c = well
            there = at + bench.house[TRIP]
            _hold(slots, slot, well, 0, paced(at, pace), 0, paced(there, pace), 0)
            at = there
    for load in range(num_loads):
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        run = bench.times[mix, loads[load, L_SIZE], RUN]
        if run > 0:
            at += run
            loads[load, L_ANCHOR] = at
            on = paced(at, pace)
            _hold(slots, slot, bench.house[R_BLENDER], 0, on, 0, on, bench.house[BLEND])

    at = _waves(bench, slots, slot, num_loads, loads, at)
    for load in range(num_loads):
        times = bench.times[bench.drinks[items[loads[load, L_FIRST]], MIX], loads[load, L_SIZE]]
        if times[ALONE] < 0:
            at += times[RINSE]
    slots.builds[slot, MAIN] = paced(at, pace)
    _vessels(bench, slots, slot, num_loads, loads, paced(measured, pace))
    for load in range(num_loads):
        if (
            bench.times[bench.drinks[items[loads[load, L_FIRST]], MIX], loads[load, L_SIZE], ALONE]
            >= 0
        ):
            _tail(
                bench,
                slots,
                slot,
                loads[load, L_FIRST],
                loads[load, L_SIZE],
                loads[load, L_ANCHOR],
                measured,
            )
    _kit(bench, slots, slot, num_loads, loads, paced(measured, pace))
    return True


@inner
def _walk(bench: Bench, station: int, drink: int) -> int:
    if bench.drinks[drink, IS_FLOOR] and not bench.stations[station, AT_PASS]:
        return int(bench.house[WALK])
    return 0


@inner
def _waves(bench: Bench, slots: Slots, slot: int, num_loads: int, loads: Ints, at: int) -> int:
    """Agitate in waves, each strained before the next; gives the time after the last glass."""
    person = slots.builds[slot, WHO]
    station, pace = bench.people[person, STATION], bench.people[person, PACE]
    items = slots.items[slot, :, DRINK]
    load = 0
    while load < num_loads:
        mix = bench.drinks[items[loads[load, L_FIRST]], MIX]
        times = bench.times[mix, loads[load, L_SIZE]]
        if times[ALONE] >= 0:
            load += 1
            continue
        began = at
        agitate = times[AGITATE]
        last = load
        if load + 1 < num_loads:
            other = bench.drinks[items[loads[load + 1, L_FIRST]], MIX]
            more = bench.times[other, loads[load + 1, L_SIZE]]
            if more[ALONE] < 0 and pairs(
                bench, mix, loads[load, L_SIZE], other, loads[load + 1, L_SIZE]
            ):
                last = load + 1
                agitate = max(agitate, more[AGITATE]) + more[PAIR_EXTRA]
        at += agitate
        for one in range(load, last + 1):
            mix = bench.drinks[items[loads[one, L_FIRST]], MIX]
            for j in range(2):
                _hold(
                    slots,
                    slot,
                    bench.mixes[mix, TAP + j],
                    0,
                    paced(began, pace),
                    0,
                    paced(at, pace),
                    0,
                )
        for one in range(load, last + 1):
            mix = bench.drinks[items[loads[one, L_FIRST]], MIX]
            times = bench.times[mix, loads[one, L_SIZE]]
            for i in range(loads[one, L_FIRST], loads[one, L_FIRST] + loads[one, L_SIZE]):
                if times[FLAME_FOR] > 0:
                    lit = at + times[FLAME_AT]
                    out = paced(lit + times[FLAME_FOR], pace)
                    _hold(slots, slot, bench.house[R_FLAME], 0, paced(lit, pace), 0, out, 0)
                at += times[GLASS] + _walk(bench, station, items[i])
                slots.items[slot, i, BLOCK] = 0
                slots.items[slot, i, AT] = paced(at, pace)
        load = last + 1
    return at


@inner
def _vessels(
    bench: Bench, slots: Slots, slot: int, num_loads: int, loads: Ints, since: int
) -> None:
    """Hold the vessels that the main block finishes with."""
    station = bench.people[slots.builds[slot, WHO], STATION]
    until = slots.builds[slot, MAIN]
    for load in range(num_loads):
        mix = bench.drinks[slots.items[slot, loads[load, L_FIRST], DRINK], MIX]
        vessel = bench.mixes[mix, VESSEL]
        if vessel >= 0 and bench.times[mix, loads[load, L_SIZE], ALONE] < 0:
            away = bench.house[WASH] if bench.mixes[mix, WASHES] else 0
            _hold(slots, slot, bench.stations[station, VESSELS + vessel], 0, since, 0, until, away)


@inner
def _kit(bench: Bench, slots: Slots, slot: int, num_loads: int, loads: Ints, since: int) -> None:
    """Hold one kit from measuring until the last vessel is strained."""
    station = bench.people[slots.builds[slot, WHO], STATION]
    is_used = False
    away = tails = last = 0
    until = slots.builds[slot, MAIN]
    for load in range(num_loads):
        mix = bench.drinks[slots.items[slot, loads[load, L_FIRST], DRINK], MIX]
        has_vessel = bench.mixes[mix, VESSEL] >= 0
        if bench.mixes[mix, WASHES]:
            away = bench.house[WASH]
        is_used |= has_vessel or bench.mixes[mix, WASHES] > 0
        if bench.times[mix, loads[load, L_SIZE], ALONE] >= 0:
            tails += 1
            if has_vessel:
                last, until = tails, slots.tail[slot, tails - 1, 3]
    if is_used:
        _hold(slots, slot, bench.stations[station, VESSELS + KIT], 0, since, last, until, away)


@inner
def _tail(
    bench: Bench, slots: Slots, slot: int, first: int, size: int, anchor: int, measured: int
) -> None:
    """Lay out the block that finishes a load once what ran alone is done."""
    person = slots.builds[slot, WHO]
    station, pace = bench.people[person, STATION], bench.people[person, PACE]
    mix = bench.drinks[slots.items[slot, first, DRINK], MIX]
    times = bench.times[mix, size]
    n = slots.builds[slot, NUM_TAILS]
    block = n + 1
    slots.builds[slot, NUM_TAILS] = block
    flame = bench.house[R_FLAME]
    at = times[PREPARE] + times[AGITATE]
    for i in range(first, first + size):
        if times[FLAME_FOR] > 0:
            lit = times[FLAME_AT] if bench.mixes[mix, IS_FLAMED] else at + times[FLAME_AT]
            _hold(slots, slot, flame, block, lit, block, lit + times[FLAME_FOR], 0)
        at += times[GLASS] + _walk(bench, station, slots.items[slot, i, DRINK])
        slots.items[slot, i, BLOCK] = block
        slots.items[slot, i, AT] = at
    at += times[RINSE]
    row = slots.tail[slot, n]
    settles = bench.mixes[mix, SETTLING_TAP] >= 0
    row[0], row[1], row[2] = paced(anchor, pace), times[ALONE], times[WINDOW]
    row[3], row[4] = at, 1 if settles and times[FLAME_FOR] == 0 else 0
    vessel = bench.mixes[mix, VESSEL]
    if vessel >= 0:
        away = bench.house[WASH] if bench.mixes[mix, WASHES] else 0
        since = paced(anchor if bench.mixes[mix, IS_FLAMED] else measured, pace)
        _hold(slots, slot, bench.stations[station, VESSELS + vessel], 0, since, block, at, away)
    if settles:
        _hold(slots, slot, bench.house[R_SETTLING], 0, paced(anchor, pace), block, at, 0)
        _hold(slots, slot, bench.mixes[mix, SETTLING_TAP], block, 0, block, at, 0)
