"""The flat arrays that the compiled engine works on, and the names of their columns.

`Bench` is what a snapshot says and no planner changes; `Slots` holds builds, each laid out for
its person; `Clock` is where they are laid on people and equipment. Every number is a 64-bit
integer, every time deciseconds from the snapshot's moment. Indexes count from 0; -1 is none.
Few wide tables rather than many columns: a compiled call hands each array over by its parts.

Letters in shapes: P people on the floor, D drinks on the rail, M mixes (a mix made alone in
clean kit counts as its own), S set-ups, W stations, R resources, T tickets, N slots.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

MOST_DRINKS = 8
"""Most drinks one build may hold, whatever the house's limits."""

MOST_HOLDS = 48
NEVER = 1 << 40
"""A time that does not come (deciseconds)."""

# Bench.people: pace in hundredths, free from, station, whether they have left the floor (with a
# flame in hand that nobody else may light), and when they may shake again.
PACE, FREE_FROM, STATION, HAS_LEFT, SHAKE_FROM = range(5)

# Bench.away: breaks, and ends of shifts (until NEVER). Bench.may: MAY, or STAYS past that end.
A_PERSON, A_FROM, A_TO = range(3)
MAY, STAYS = 1, 2

# Bench.drinks
MIX, TICKET, RELEASE, IS_FLOOR, IS_URGENT, HOLD_LIMIT = range(6)

# Bench.mixes. A vessel is a column of the station's vessels, -1 for made in the glass; flamed is
# by method, not by garnish; taps are resources; set-ups are a stretch of Bench.set_up.
(
    PER_VESSEL,
    VESSEL,
    IS_ALONE,
    IS_FLAMED,
    PAIR_KIND,
    WASHES,
    HAS_COFFEE,
    TAP,
    OTHER_TAP,
    SETTLING_TAP,
    SET_UP_FROM,
    SET_UP_TO,
    IS_SHAKEN,
) = range(13)

# How a mix is agitated beside another (PAIR_KIND).
PAIR_NONE, PAIR_SHAKE, PAIR_STIR, PAIR_DRAUGHT = range(4)

# Bench.times: the fields of work.LoadTimes in their order, then whether one hand is enough.
(
    START,
    MEASURE,
    RUN,
    PREPARE,
    AGITATE,
    PAIR_EXTRA,
    GLASS,
    GLASS_PREP,
    RINSE,
    ALONE,
    WINDOW,
    FLAME_AT,
    FLAME_FOR,
    ONE_HANDED,
) = range(14)

# Bench.set_ups: whether it is a bottle reached for, the resource where it is the bar's only one,
# then its base time at each station.
IS_REACH, ONE_BOTTLE, SET_UP_DS = range(3)

# Bench.stations: then the resource of each kind of vessel, then how many there are.
AT_PASS, MAT, VESSELS, NUM_VESSELS = 0, 1, 2, 7
KIT = 4

# Bench.house: base times, limits, resources of machines, the till (-1: rounds are not served), how
# many glasses the pass takes (0: no end of them), how many floor drinks there are, whether anything
# on the rail runs by itself, how many people are on, and how long the next line is.
(
    READ_BUILD,
    READ_DRINK,
    WALK,
    TRIP,
    WASH,
    DRAW,
    BLEND,
    SERVE,
    DRINKS_LIMIT,
    MIXES_LIMIT,
    BOTTLES_LIMIT,
    SAME_MIX_LIMIT,
    PUT_FIRST,
    SIT_PRICE,
    R_GRINDER,
    R_GROUP,
    R_BLENDER,
    R_SETTLING,
    R_FLAME,
    R_TILL,
    PASS_ROOM,
    PASS_PRICE,
    NUM_FLOOR,
    HAS_TAILS,
    NUM_ON,
    NEXT_LINE_PCT,
) = range(26)

# Bench.tickets: allowed is the longest time to last drink; open are drinks on the rail.
PLACED, PROMISE, WEIGHT, ALLOWED, NUM_OPEN, IS_SERVED, ON_PASS = range(7)

# Bench.fixed: drinks made already or in hand; NEVER as made where a pending tail makes it.
F_TICKET, F_MADE, F_TAIL, F_OFFSET, F_HOLD, F_PERSON = range(6)

# Bench.busy and Bench.held: hands and equipment that builds in hand and the washer still take.
B_PERSON, B_FROM, B_TO = range(3)
H_RESOURCE, H_FROM, H_TO = range(3)

# Bench.tails: blocks of builds in hand that are still to come, and a stretch of tail_hold
# (resource, from or -1 for "from the moment", to, extra).
T_OWNER, T_EARLIEST, T_BASE, T_ANYONES, T_HOLD_FROM, T_HOLD_TO = range(6)

# Slots.builds and the class of a build; classes are laid in this order.
SIZE, WHO, CLASS, RELEASED, MAIN, NUM_TAILS, NUM_HOLDS = range(7)
PINNED, URGENT, OTHER = range(3)

# Slots.items: the drink, the block that makes it, when in it (paced in block 0, base in a tail).
DRINK, BLOCK, AT = range(3)

# Slots.tail: anchor (paced), alone, window (-1 for none), length (base), anyone's, and how long it
# is put off for another build after what ran alone is done.
TAIL_WAIT = 5

# Slots.hold: resource, from block, from, to block, to, extra.

# Clock.people, and the columns of Clock.busy, Clock.held and Clock.waits.
NUM_BUSY, FLOOR, NUM_WAITS, NUM_BUILDS = range(4)
BEGIN, END = range(2)

# Clock.drinks, Clock.tickets, Clock.pending, Clock.tails.
MADE, MADE_BY = range(2)
LAST, LAST_BY, NUM_LEFT, SERVE_START, SERVE_BY = range(5)
TAIL_START, TAIL_WHO = range(2)

# Clock.loads: first item, drinks, where what runs alone was started.
L_FIRST, L_SIZE, L_ANCHOR = range(3)

# Clock.notes: the stamp of Clock.seen, what the worst rounds take beyond what is allowed, and the
# hands that all builds laid take.
STAMP, EXCESS, WORK = range(3)


class Bench(NamedTuple):
    """A snapshot as arrays."""

    people: Ints  # [P, 5]
    away: Ints  # [., 3]
    may: Ints  # [D, P] 0 where the person may not make the drink
    drinks: Ints  # [D, 6]
    mixes: Ints  # [M, 13]
    times: Ints  # [M, 9, 14] by drinks in the vessel
    set_up: Ints  # set-ups of each mix, one stretch after the other
    set_ups: Ints  # [S, 2 + W]
    stations: Ints  # [W, 12]
    trip: Ints  # [W, M, 2] resources of wells away from the station
    capacity: Ints  # [R]
    house: Ints  # [26]
    tickets: Ints  # [T, 7]
    fixed: Ints  # [., 6]
    busy: Ints  # [., 3]
    held: Ints  # [., 3]
    tails: Ints  # [., 6]
    tail_hold: Ints  # [., 4]


class Slots(NamedTuple):
    """Builds laid out for their person."""

    builds: Ints  # [N, 7]
    items: Ints  # [N, 8, 3] in finishing order
    tail: Ints  # [N, 8, 6]
    hold: Ints  # [N, 48, 6]


class Clock(NamedTuple):
    """People and equipment while builds are laid; scratch, and the result of the last lay."""

    people: Ints  # [P, 4]
    busy: Ints  # [P, X, 2] hands, in order of time
    waits: Ints  # [P, T + D, 2] when no build is begun: a round waits to be served, or goes first
    begun: Ints  # [P, N] starts of block 0
    num_held: Ints  # [R]
    held: Ints  # [R, X, 2]
    start: Ints  # [N] of block 0
    tails: Ints  # [N, 8, 2]
    drinks: Ints  # [D, 2]
    tickets: Ints  # [T, 5]
    pending: Ints  # [., 2] pending tails of builds in hand
    fixed_made: Ints
    served: Ints  # [8] rounds that a build completes
    loads: Ints  # [8, 3]
    once: Ints  # [8]
    seen: Ints  # [S]
    notes: Ints  # [3]


def zeros(*shape: int) -> Ints:
    """Give an array of zeros (at least 1 long in each direction, so that it is never empty)."""
    return np.zeros([max(1, n) for n in shape], dtype=np.int64)


def new_slots(num_drinks: int) -> Slots:
    """Give room for every drink in a build of its own, and some to try changes in."""
    n = num_drinks + 8
    return Slots(
        builds=zeros(n, 7),
        items=zeros(n, MOST_DRINKS, 3),
        tail=zeros(n, MOST_DRINKS, 6),
        hold=zeros(n, MOST_HOLDS, 6),
    )


def new_clock(bench: Bench, num_slots: int) -> Clock:
    """Give a clock with room for every block a snapshot's plans can have."""
    people, drinks, tickets = len(bench.people), len(bench.drinks), len(bench.tickets)
    resources = len(bench.capacity)
    blocks = 2 * drinks + tickets + len(bench.busy) + len(bench.tails) + 8
    holds = 3 * drinks + tickets + len(bench.held) + len(bench.tail_hold) + 16
    return Clock(
        people=zeros(people, 4),
        busy=zeros(people, blocks, 2),
        waits=zeros(people, tickets + drinks, 2),
        begun=zeros(people, num_slots),
        num_held=zeros(resources),
        held=zeros(resources, holds, 2),
        start=zeros(num_slots),
        tails=zeros(num_slots, MOST_DRINKS, 2),
        drinks=zeros(drinks, 2),
        tickets=zeros(tickets, 5),
        pending=zeros(len(bench.tails), 2),
        fixed_made=zeros(len(bench.fixed)),
        served=zeros(MOST_DRINKS),
        loads=zeros(MOST_DRINKS, 3),
        once=zeros(MOST_DRINKS),
        seen=zeros(len(bench.set_ups)),
        notes=zeros(3),
    )
