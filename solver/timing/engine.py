"""The timing engine as planners use it: lists of builds in, a cost or a whole plan out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from solver.builds import build_id
from solver.errors import EngineFault
from solver.goal import cost_of, hands_price, rounds_of, work_ds_of
from solver.plan import Plan, PlannedBlock, PlannedBuild, Serving
from solver.snapshot import Rail, Snapshot
from solver.units import paced_ds, to_ds, to_s

from .among import PLACE, SLOT, try_places
from .arrays import (
    CLASS,
    DRINK,
    END,
    EXCESS,
    FREE_FROM,
    HAS_LEFT,
    MADE,
    MAIN,
    NEVER,
    NUM_BUSY,
    NUM_TAILS,
    PACE,
    PINNED,
    RELEASED,
    SERVE,
    SERVE_BY,
    SERVE_START,
    SIZE,
    STAYS,
    TAIL_START,
    TAIL_WAIT,
    TAIL_WHO,
    WHO,
    Clock,
    Ints,
    Slots,
    new_clock,
    new_slots,
    zeros,
)
from .assemble import assemble
from .in_hand import expected_made_ds, running_blocks
from .lay import begin, lay, lay_next
from .pack import Packed, pack
from .score import score

PLACES_AT_ONCE = 4
"""Places tried for one more build between two looks at the time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A build before it has times: who makes it and its drinks, as positions on the rail.

    Attributes
    ----------
    person : int
        Position among the people on the floor.
    drinks : tuple of int
        Positions on the rail, in finishing order.
    is_pinned : bool
    waits_ds : tuple of int
        For each tail, how long it is put off for another build once what ran alone is done; none
        is put off where nothing is said.
    """

    person: int
    drinks: tuple[int, ...]
    is_pinned: bool = False
    waits_ds: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What laying a list came to: the goal's value, and how far rounds starve (ds; 0 for none)."""

    cost: int
    starving_ds: int

    @property
    def rank(self) -> tuple[bool, int]:
        """What to sort by: first what keeps the rule that nobody starves, then the cheapest."""
        return self.starving_ds > 0, self.cost


def put_off(slots: Slots, slot: int, waits_ds: Sequence[int]) -> None:
    """Write down how long the tails of an assembled build are put off."""
    slots.tail[slot, :, TAIL_WAIT] = 0
    slots.tail[slot, : len(waits_ds), TAIL_WAIT] = waits_ds


class Engine:
    """Lays lists of builds for one snapshot. Not safe to share between threads.

    Parameters
    ----------
    snapshot : Snapshot
    rail : Rail, optional
        Of the same snapshot, where it is known already.
    """

    def __init__(self, snapshot: Snapshot, rail: Rail | None = None) -> None:
        self.packed: Packed = pack(snapshot, rail)
        self.bench = self.packed.bench
        self.slots: Slots = new_slots(self.num_drinks + self.num_people)
        self.clock: Clock = new_clock(self.bench, len(self.slots.builds))
        self.order: Ints = zeros(len(self.slots.builds))
        self._laid_out: list[Draft | None] = [None] * len(self.slots.builds)
        self._added = 0
        self._away = [tuple(row) for row in self.bench.away.tolist()]
        self._least_hands: dict[tuple[int, ...], int | None] = {}

    @property
    def num_drinks(self) -> int:
        """Drinks on the rail."""
        return len(self.packed.rail.drinks)

    @property
    def has_absent(self) -> bool:
        """Whether somebody left the floor with a flame in hand that nobody else may light."""
        return bool(self.bench.people[:, HAS_LEFT].any())

    @property
    def num_people(self) -> int:
        """People on the floor, and whoever left it with a flame in hand."""
        return len(self.packed.people)

    def lay(self, drafts: Sequence[Draft]) -> Laid | None:
        """Lay builds in this order; None where one may not be, or finds no time."""
        for slot, draft in enumerate(drafts):
            if not self._put(slot, draft):
                return None
            self.order[slot] = slot
        if not lay(self.bench, self.slots, self.clock, self.order, len(drafts)):
            return None
        cost = int(score(self.bench, self.clock))
        return Laid(cost=cost, starving_ds=int(self.clock.notes[EXCESS]))

    def put_in(
        self, drafts: Sequence[Draft], drinks: Sequence[int], go_on: Callable[[], bool]
    ) -> list[Draft] | None:
        """Put one more build into a list where it costs least; None where it fits nowhere.

        Every person and every place is tried from the end of the list forward, for as long as
        `go_on` says; at least until one place is found.
        """
        n = len(drafts)
        for slot, draft in enumerate(drafts):
            if not self._put(slot, draft):
                return None
            self.order[slot] = slot
        for person in range(self.num_people):
            if not self._put(n + person, Draft(person=person, drinks=tuple(drinks))):
                self.slots.builds[n + person, SIZE] = 0
        found = np.array([0, -1, -1], dtype=np.int64)
        lists = (self.bench, self.slots, self.clock, self.order, n, n, self.num_people)
        for last in range(n, -1, -PLACES_AT_ONCE):
            try_places(*lists, last, max(0, last - PLACES_AT_ONCE + 1), found)
            if found[PLACE] >= 0 and not go_on():
                break
        if found[PLACE] < 0:
            return None
        at = int(found[PLACE])
        new = Draft(person=int(found[SLOT]) - n, drinks=tuple(drinks))
        return [*drafts[:at], new, *drafts[at:]]

    def begin(self) -> None:
        """Empty the clock, to add builds one at a time."""
        begin(self.bench, self.clock)
        self._added = 0

    def add(self, draft: Draft) -> bool:
        """Lay one more build after those added since `begin`; False where it cannot be."""
        slot = self._added
        if not self._put(slot, draft) or not lay_next(self.bench, self.slots, self.clock, slot):
            return False
        self._added += 1
        return True

    def hands_ds(self, person: int, drinks: Sequence[int]) -> int | None:
        """Hands that a build takes of a person, tails included; None where it may not be."""
        slot = len(self.slots.builds) - 1
        if not self._put(slot, Draft(person=person, drinks=tuple(drinks))):
            return None
        pace = int(self.bench.people[person, PACE])
        tails = int(self.slots.builds[slot, NUM_TAILS])
        lengths = [paced_ds(int(ds), pace) for ds in self.slots.tail[slot, :tails, 3]]
        return int(self.slots.builds[slot, MAIN]) + sum(lengths)

    def least_hands_ds(self, drinks: Sequence[int]) -> int | None:
        """Fewest hands that anybody takes for a build, tails included; None where nobody may."""
        key = tuple(drinks)
        if key not in self._least_hands:
            hands = [self.hands_ds(person, key) for person in range(self.num_people)]
            self._least_hands[key] = min((ds for ds in hands if ds is not None), default=None)
        return self._least_hands[key]

    def free_at(self, person: int) -> int:
        """When a person's last stretch of hands ends, on the clock as it stands (ds)."""
        busy = int(self.clock.people[person, NUM_BUSY])
        after = int(self.clock.busy[person, busy - 1, END]) if busy else 0
        return max(after, int(self.bench.people[person, FREE_FROM]))

    def could_start(self, person: int, drinks: Sequence[int]) -> int:
        """When a person could begin a build after their last stretch: before a break or after it.

        Deciseconds; ``NEVER`` where they may not make it, or their shift ends first.
        """
        slot = len(self.slots.builds) - 1
        if not self._put(slot, Draft(person=person, drinks=tuple(drinks))):
            return NEVER
        at = max(self.free_at(person), int(self.slots.builds[slot, RELEASED]))
        length = int(self.slots.builds[slot, MAIN])
        stays = self.stays(person, drinks)
        for _, begins, ends in sorted(row for row in self._away if row[0] == person):
            if not (stays and ends >= NEVER) and begins < at + length and ends > at:
                at = ends
        return at

    def stays(self, person: int, drinks: Sequence[int]) -> bool:
        """Whether a person makes these drinks past the end of their shift, if it has to be."""
        return bool((self.bench.may[list(drinks), person] == STAYS).all())

    @property
    def has_breaks(self) -> bool:
        """Whether somebody has a break or the end of a shift before them."""
        return bool(self._away)

    def plan(self, drafts: Sequence[Draft], planner: str) -> Plan:
        """Lay builds in this order and give the plan.

        Raises
        ------
        EngineFault
            When the list cannot be laid.
        """
        if self.lay(drafts) is None:
            raise EngineFault(f"{planner} drew up builds that cannot be laid")
        made = self._made_ds()
        builds = [*self._hand_builds(), *self._builds(drafts)]
        rounds = rounds_of(self.packed.snapshot, self.packed.rail, made)
        plan = Plan(
            planner=planner,
            builds=tuple(builds),
            cost=0,
            servings=tuple(self._servings()),
            set_aside=self.packed.rail.set_aside,
        )
        snapshot = self.packed.snapshot
        hands_cost = hands_price(snapshot, len(rounds)) * work_ds_of(plan)
        return replace(plan, cost=cost_of(snapshot.counter.rules, rounds, hands_cost))

    def _put(self, slot: int, draft: Draft) -> bool:
        """Lay a build out for its person; what a slot holds already is not laid out again."""
        if self._laid_out[slot] == draft:
            return True
        self._laid_out[slot] = None
        n = len(draft.drinks)
        if not 0 < n <= self.slots.items.shape[1]:
            return False
        self.slots.builds[slot, SIZE] = n
        self.slots.items[slot, :n, DRINK] = draft.drinks
        self.slots.builds[slot, WHO] = draft.person
        if not assemble(self.bench, self.slots, self.clock, slot):
            return False
        put_off(self.slots, slot, draft.waits_ds)
        if draft.is_pinned:
            self.slots.builds[slot, CLASS] = PINNED
        self._laid_out[slot] = draft
        return True

    def draft_of(self, build: PlannedBuild, person: int, drinks: Sequence[int]) -> Draft | None:
        """Give a planned build as a draft whose tails come no sooner than they are planned.

        None where this person may not make these drinks.
        """
        slot = len(self.slots.builds) - 1
        draft = Draft(person=person, drinks=tuple(drinks), is_pinned=build.is_pinned)
        if not self._put(slot, draft):
            return None
        ready = self.slots.tail[slot, :, 0] + self.slots.tail[slot, :, 1]
        tails = min(int(self.slots.builds[slot, NUM_TAILS]), len(build.blocks) - 1)
        starts = [to_ds(block.start_s) - to_ds(build.start_s) for block in build.blocks[1:]]
        waits = tuple(max(0, starts[n] - int(ready[n])) for n in range(tails))
        return replace(draft, waits_ds=waits)

    def _made_ds(self) -> dict[str, int]:
        """Made times of everything planned or in hand, as `goal.rounds_of` wants them."""
        made = {
            drink.id: int(self.clock.drinks[i, MADE])
            for i, drink in enumerate(self.packed.rail.drinks)
        }
        for build in self._hand_builds():
            for name, at in zip(build.drinks, build.made_s, strict=True):
                made[name] = round(at * 10)
        return made

    def _builds(self, drafts: Sequence[Draft]) -> list[PlannedBuild]:
        names = [drink.id for drink in self.packed.rail.drinks]
        people, pace = self.packed.people, self.bench.people[:, PACE]
        found = []
        for slot, draft in enumerate(drafts):
            n = int(self.slots.builds[slot, SIZE])
            items = [int(i) for i in self.slots.items[slot, :n, DRINK]]
            start = int(self.clock.start[slot])
            end = start + int(self.slots.builds[slot, MAIN])
            blocks = [_block(0, people[draft.person], start, end)]
            for tail in range(int(self.slots.builds[slot, NUM_TAILS])):
                who = int(self.clock.tails[slot, tail, TAIL_WHO])
                begin = int(self.clock.tails[slot, tail, TAIL_START])
                length = paced_ds(int(self.slots.tail[slot, tail, 3]), int(pace[who]))
                blocks.append(_block(tail + 1, people[who], begin, begin + length))
            drinks = tuple(names[i] for i in items)
            found.append(
                PlannedBuild(
                    id=build_id(drinks),
                    person=people[draft.person],
                    drinks=drinks,
                    made_s=tuple(to_s(int(self.clock.drinks[i, MADE])) for i in items),
                    blocks=tuple(blocks),
                    is_pinned=draft.is_pinned,
                )
            )
        return sorted(found, key=lambda build: (build.start_s, build.person, build.id))

    def _hand_builds(self) -> list[PlannedBuild]:
        snapshot = self.packed.snapshot
        tails = {name: i for i, name in enumerate(self.packed.tails)}
        recorded = {d.id: d.made_s for t in snapshot.tickets for d in t.drinks}
        found = []
        for position, (build, work) in enumerate(
            zip(snapshot.in_hand, self.packed.hand_works, strict=True)
        ):
            running = running_blocks(snapshot, build, work)
            blocks, made = [], {}
            for block in work.blocks:
                run = running.get(block.index)
                if run is not None:
                    blocks.append(_block(block.index, run.person, run.start_ds, run.end_ds))
                    for name, offset in block.made:
                        made[name] = expected_made_ds(snapshot, run, offset, recorded[name])
                    continue
                tail = tails[position, block.index]
                who = int(self.clock.pending[tail, TAIL_WHO])
                begin = int(self.clock.pending[tail, TAIL_START])
                pace = int(self.bench.people[who, PACE])
                person = self.packed.people[who]
                end = begin + paced_ds(block.base_ds, pace)
                blocks.append(_block(block.index, person, begin, end))
                for name, offset in block.made:
                    made_s = recorded[name]
                    made[name] = begin + paced_ds(offset, pace)
                    if made_s is not None:
                        made[name] = round(made_s * 10)
            found.append(
                PlannedBuild(
                    id=build.build,
                    person=build.person,
                    drinks=build.drinks,
                    made_s=tuple(to_s(made[name]) for name in build.drinks),
                    blocks=tuple(blocks),
                    is_in_hand=True,
                )
            )
        return found

    def _servings(self) -> list[Serving]:
        length = int(self.bench.house[SERVE])
        found = []
        for i, ticket in enumerate(self.packed.tickets):
            begin = int(self.clock.tickets[i, SERVE_START])
            if begin >= NEVER:
                continue
            who = int(self.clock.tickets[i, SERVE_BY])
            end = begin + paced_ds(length, int(self.bench.people[who, PACE]))
            found.append(
                Serving(
                    ticket=ticket.id,
                    person=self.packed.people[who],
                    start_s=to_s(begin),
                    end_s=to_s(end),
                )
            )
        return sorted(found, key=lambda serving: (serving.start_s, serving.ticket))


def _block(index: int, person: str, start_ds: int, end_ds: int) -> PlannedBlock:
    return PlannedBlock(index=index, person=person, start_s=to_s(start_ds), end_s=to_s(end_ds))


def marked(plan: Plan, *, is_proven: bool = False, cost_with_pins: int | None = None) -> Plan:
    """Give the plan with what its planner knows about it."""
    return replace(plan, is_proven=is_proven, cost_with_pins=cost_with_pins)
