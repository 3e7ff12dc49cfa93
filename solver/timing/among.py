"""One more build among those of a list: every place of it tried, compiled.

The builds of the list are laid out for their people once; only their order changes from trial to
trial.
"""

from __future__ import annotations

from .arrays import SIZE, Bench, Clock, Ints, Slots
from .compiling import entry
from .lay import lay
from .score import score

COST, PLACE, SLOT = range(3)
"""What is found: the cheapest cost, the place in the list (-1 for none yet), and the slot."""


@entry
def try_places(
    bench: Bench,
    slots: Slots,
    clock: Clock,
    order: Ints,
    n: int,
    first: int,
    num: int,
    last_place: int,
    first_place: int,
    found: Ints,
) -> None:
    """Try the builds in `num` slots from `first` on at each place from the last to the first.

    `order[:n]` is the list and comes out as it was. A slot of size 0 holds no build. Of equals
    what was tried first stays found.
    """
    for place in range(last_place, first_place - 1, -1):
        for slot in range(first, first + num):
            if slots.builds[slot, SIZE] == 0:
                continue
            for i in range(n, place, -1):
                order[i] = order[i - 1]
            order[place] = slot
            if lay(bench, slots, clock, order, n + 1):
                cost = score(bench, clock)
                if found[PLACE] < 0 or cost < found[COST]:
                    found[COST], found[PLACE], found[SLOT] = cost, place, slot
            for i in range(place, n):
                order[i] = order[i + 1]
