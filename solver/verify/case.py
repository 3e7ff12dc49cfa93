"""One plan held against one snapshot: what every rule looks things up in.

Durations come from the work content (`work.work_of`) and the plan's own starts; nothing here lays
a block on the clock, so no planner's mistake can be repeated.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solver.plan import Plan, PlannedBlock, PlannedBuild
from solver.snapshot import BlockRun, InHand, Rail, RailDrink, Snapshot
from solver.units import DS_PER_S, paced_ds, to_ds, to_s
from solver.work import Block, Work, work_of

from .broken import RULES, Broken

A_LITTLE_FROM_NOW_DS = 50
"""A block in hand that should have ended is taken to end then. Source: the project's own rule."""

SAME = 1e-6
"""Tenths of a second closer than this to a whole number are that number (binary fractions)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One planned block beside the work it stands for; times in deciseconds from the moment.

    Attributes
    ----------
    planned : PlannedBlock
    block : Block
    pace_pct : int
        Pace of the block's own person.
    start_ds : int
        As planned.
    run : BlockRun or None
        The block as it was begun, for one that is in hand.
    """

    planned: PlannedBlock
    block: Block
    pace_pct: int
    start_ds: int
    run: BlockRun | None

    def reached_ds(self, base_ds: int) -> int:
        """When the hands are `base_ds` into the block; in a finished one, before the moment."""
        at_ds = self.start_ds + paced_ds(base_ds, self.pace_pct)
        return min(at_ds, 0) if self.run is not None and self.run.is_done else at_ds

    def left_ds(self, base_ds: int) -> int:
        """When what is held until `base_ds` is free; until the end, as late as the block ends."""
        return self.end_ds if base_ds == self.block.base_ds else self.reached_ds(base_ds)

    @property
    def end_ds(self) -> int:
        """When it has to end."""
        return self.made_ds(self.block.base_ds)

    def made_ds(self, base_ds: int) -> int:
        """When a drink counts as made that is made `base_ds` into the block."""
        at_ds = self.reached_ds(base_ds)
        is_running = self.run is not None and not self.run.is_done
        return max(at_ds, A_LITTLE_FROM_NOW_DS) if is_running else at_ds


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A build of the plan with what the snapshot knows of it.

    Attributes
    ----------
    build : PlannedBuild
    drinks : tuple of RailDrink
        Empty where one is unknown or twice in the build, or where a build in hand was changed.
    in_hand : InHand or None
        The build as it was begun.
    work : Work or None
        None where the drinks or the person are unknown.
    stretches : tuple of Stretch
        Empty where the blocks are not those of the work, or a person or a time is unknown.
    """

    build: PlannedBuild
    drinks: tuple[RailDrink, ...]
    in_hand: InHand | None
    work: Work | None
    stretches: tuple[Stretch, ...]


class Case:
    """A snapshot, a plan, and their builds side by side."""

    def __init__(self, snapshot: Snapshot, plan: Plan, rail: Rail) -> None:
        self.snapshot = snapshot
        self.plan = plan
        self.rail = rail
        self.waiting = {drink.id: drink for drink in rail.drinks}
        self.tickets = {ticket.id: ticket for ticket in snapshot.tickets}
        self.people = snapshot.counter.by_person
        self.from_ds = {p.person: max(0, to_ds(p.from_s)) for p in snapshot.people_on}
        self.away = {p.person: p.away for p in snapshot.people_on}
        self.shake_from_ds = {p.person: to_ds(p.shake_from_s) for p in snapshot.people_on}
        self.recorded_ds = {
            drink.id: to_ds(drink.made_s)
            for ticket in snapshot.tickets
            for drink in ticket.drinks
            if drink.made_s is not None
        }
        self.begun = {build.build: build for build in snapshot.in_hand if build.drinks}
        # Their own class refuses such builds; a plan from elsewhere may not have asked it.
        self.hollow = tuple(build for build in plan.builds if is_hollow(build))
        self.builds = tuple(self._made(build) for build in plan.builds if not is_hollow(build))
        self.planned = tuple(made for made in self.builds if made.in_hand is None)
        self._makers = {
            drink: made.build.person for made in self.builds for drink in made.build.drinks
        }
        for made in self.builds:
            for stretch in made.stretches:
                self._makers |= dict.fromkeys(
                    (d for d, _ in stretch.block.made), stretch.planned.person
                )

    def _made(self, build: PlannedBuild) -> Made:
        in_hand = self.begun.get(build.id)
        known = self.waiting if in_hand is None else self.rail.in_hand
        drinks = tuple(known[drink] for drink in build.drinks if drink in known)
        is_sound = bool(drinks) and len(set(build.drinks)) == len(build.drinks) == len(drinks)
        is_sound &= in_hand is None or is_as_begun(build, in_hand)
        work = None
        if is_sound and build.person in self.people:
            work = work_of(self.snapshot, build.person, drinks)
        return Made(
            build=build,
            drinks=drinks if is_sound else (),
            in_hand=in_hand,
            work=work,
            stretches=self._stretches(build, in_hand, work),
        )

    def _stretches(
        self, build: PlannedBuild, in_hand: InHand | None, work: Work | None
    ) -> tuple[Stretch, ...]:
        if work is None or not has_same_blocks(build, work) or not all_tenths(times_of(build)):
            return ()
        if any(planned.person not in self.people for planned in build.blocks):
            return ()
        runs = {run.index: run for run in in_hand.blocks} if in_hand else {}
        return tuple(
            Stretch(
                planned=planned,
                block=block,
                pace_pct=self.people[planned.person].pace_pct,
                start_ds=to_ds(planned.start_s),
                run=runs.get(block.index),
            )
            for planned, block in zip(build.blocks, work.blocks, strict=True)
        )

    def number_of(self, ticket_id: str) -> str:
        """Give a round's number as the bar knows it, or the id of one nobody knows."""
        found = self.tickets.get(ticket_id)
        return repr(ticket_id) if found is None else found.number

    def drinks_of(self, ticket_id: str) -> tuple[str, ...]:
        """Give the ids of a round's drinks; none where nobody knows the round."""
        found = self.tickets.get(ticket_id)
        return () if found is None else tuple(drink.id for drink in found.drinks)

    def maker_of(self, drink_id: str) -> str:
        """Give who makes the last step of a planned drink."""
        return self._makers[drink_id]

    def said(self, drinks: Iterable[str]) -> str:
        """Name drinks as the bar does: "sour for 214"; by the id those that it does not know."""
        known = self.waiting | self.rail.in_hand
        return ", ".join(
            f"{known[d].mix.name} for {self.tickets[known[d].ticket].number} ({d})"
            if d in known
            else f"{d!r}"
            for d in drinks
        )

    def broken(
        self,
        rule: str,
        what: str,
        *,
        build: PlannedBuild | None = None,
        drinks: Sequence[str] | None = None,
        at_ds: int | None = None,
    ) -> Broken:
        """Put a finding into words; without `drinks` it is about all those of the build."""
        concerned = tuple(drinks if drinks is not None else build.drinks if build else ())
        where = f", build {build.id}" if build else ""
        when = "" if at_ds is None else f", at {to_s(at_ds):g} s"
        which = f" ({self.said(concerned)})" if concerned else ""
        return Broken(
            rule=rule,
            build=build.id if build else "",
            drinks=concerned,
            seconds=None if at_ds is None else to_s(at_ds),
            words=f"{RULES[rule]}{where}{which}{when}: {what}",
        )


def is_hollow(build: PlannedBuild) -> bool:
    """Whether a build has no drinks, no blocks, or no made time for each drink."""
    return not build.drinks or not build.blocks or len(build.drinks) != len(build.made_s)


def is_as_begun(build: PlannedBuild, in_hand: InHand) -> bool:
    """Whether a build in hand still has its person and its drinks, in their order."""
    return (build.person, build.drinks) == (in_hand.person, in_hand.drinks)


def has_same_blocks(build: PlannedBuild, work: Work) -> bool:
    """Whether the plan has every block of the work once and in its order."""
    return [p.index for p in build.blocks] == [b.index for b in work.blocks]


def times_of(build: PlannedBuild) -> list[float]:
    """Give every time that is written on a build, in seconds."""
    return [t for block in build.blocks for t in (block.start_s, block.end_s)] + [*build.made_s]


def all_tenths(seconds: Iterable[float]) -> bool:
    """Whether all are finite multiples of 0.1."""
    for at in seconds:
        tenths = at * DS_PER_S
        if not math.isfinite(tenths) or abs(tenths - round(tenths)) >= SAME:
            return False
    return True
