"""Builds in hand as rows: the hands and equipment they still take, and what they must finish."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import accumulate

from solver.errors import InvalidSnapshot
from solver.goal import hold_limit_ds
from solver.menu import Mix
from solver.snapshot import InHand, Rail, Snapshot, why_not_by
from solver.tickets import Ticket
from solver.units import paced_ds, to_ds
from solver.work import (
    Hold,
    Work,
    vessel_resource,
    work_of,
)

from .arrays import (
    NEVER,
)

OVERRUN_DS = 50
"""A block that runs past its planned end is taken to end this much after the moment."""


@dataclass(slots=True, kw_only=True)
class InHandRows:
    """Columns of what builds in hand and the washer still take, as they are gathered."""

    fixed: list[tuple[int, int, int, int, int, int]] = field(default_factory=list)
    busy: list[tuple[int, int, int]] = field(default_factory=list)
    held: list[tuple[int, int, int]] = field(default_factory=list)
    tails: list[tuple[int, int, int, int]] = field(default_factory=list)
    tail_holds: list[list[tuple[int, int, int, int]]] = field(default_factory=list)
    tail_names: list[tuple[int, int]] = field(default_factory=list)

    def tail_rows(self) -> list[tuple[int, ...]]:
        """Give the pending tails with their stretches of holds."""
        ends = list(accumulate(len(holds) for holds in self.tail_holds))
        return [
            (*tail, end - len(holds), end)
            for tail, holds, end in zip(self.tails, self.tail_holds, ends, strict=True)
        ]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningBlock:
    """Where a begun block of a build in hand stands; deciseconds from the moment."""

    person: str
    start_ds: int
    end_ds: int
    is_done: bool


def running_blocks(snapshot: Snapshot, build: InHand, work: Work) -> dict[int, RunningBlock]:
    """Give start and expected end of every block of a build in hand that has begun.

    A block that should have ended is taken to end `OVERRUN_DS` from now, never in the past.

    Raises
    ------
    InvalidSnapshot
        When a block is said to have begun that the build does not have.
    """
    found = {}
    for run in build.blocks:
        if run.index >= len(work.blocks):
            most = len(work.blocks) - 1
            raise InvalidSnapshot(f"blocks 0 to {most} of build {build.build}", run.index)
        pace = snapshot.counter.by_person[run.person].pace_pct
        start = to_ds(run.start_s)
        end = start + paced_ds(work.blocks[run.index].base_ds, pace)
        end = min(end, 0) if run.is_done else max(end, OVERRUN_DS)
        found[run.index] = RunningBlock(
            person=run.person, start_ds=start, end_ds=end, is_done=run.is_done
        )
    return found


def in_hand_rows(
    snapshot: Snapshot,
    rail: Rail,
    tickets: Sequence[Ticket],
    people: Sequence[str],
    resources: dict[str, int],
) -> tuple[InHandRows, tuple[Work, ...]]:
    """Gather the rows of everything in hand, and the work of each build."""
    rows = InHandRows()
    works = []
    made_at = {d.id: d.made_s for t in tickets for d in t.drinks}
    ticket_idx = {ticket.id: i for i, ticket in enumerate(tickets)}
    in_hand = {name for build in snapshot.in_hand for name in build.drinks}
    open_rounds = {drink.ticket for drink in (*rail.drinks, *rail.in_hand.values())}
    for i, ticket in enumerate(tickets):
        for made in ticket.drinks if ticket.id in open_rounds else ():
            if made.made_s is not None and made.id not in in_hand:
                hold_ds = hold_limit_ds(snapshot.menu, ticket.lines[made.line])
                rows.fixed.append((i, to_ds(made.made_s), -1, 0, hold_ds, -1))
    for position, build in enumerate(snapshot.in_hand):
        drinks = {name: rail.in_hand[name] for name in build.drinks}
        work = work_of(snapshot, build.person, [drinks[name] for name in build.drinks])
        works.append(work)
        running = running_blocks(snapshot, build, work)
        tail_of: dict[int, int] = {}
        for block in work.blocks:
            if block.index not in running:
                tail_of[block.index] = len(rows.tails)
                begun = running[0]
                pace = snapshot.counter.by_person[begun.person].pace_pct
                earliest = begun.start_ds + paced_ds(block.anchor_base_ds, pace) + block.alone_ds
                mixes = [drinks[name].mix for name, _ in block.made]
                owner, anyones = _who_finishes(snapshot, people, build.person, mixes)
                anyones |= int(block.is_anyones)
                rows.tails.append((owner, max(0, earliest), block.base_ds, anyones))
                rows.tail_holds.append([])
                rows.tail_names.append((position, block.index))
        for run in running.values():
            if run.person in people and run.end_ds > 0:
                rows.busy.append((people.index(run.person), run.start_ds, run.end_ds))
        for block in work.blocks:
            for name, offset in block.made:
                drink = drinks[name]
                tail = tail_of.get(block.index, -1)
                recorded_s = made_at[name]
                at, who = NEVER, -1
                if tail < 0:
                    run = running[block.index]
                    at = expected_made_ds(snapshot, run, offset, recorded_s)
                    who = people.index(run.person) if run.person in people else -1
                elif recorded_s is not None:
                    tail, at = -1, to_ds(recorded_s)
                hold_ds = to_ds(drink.mix.hold_limit_s)
                rows.fixed.append((ticket_idx[drink.ticket], at, tail, offset, hold_ds, who))
        for hold in work.holds:
            # What left the counter while it was held, a tap say, holds nobody up any more.
            if hold.resource in resources:
                _held(snapshot, rows, resources[hold.resource], hold, work, running, tail_of)
    for away in snapshot.in_washer:
        name = vessel_resource(snapshot.counter.vessel_home(away.station), away.vessel)
        rows.held.extend([(resources[name], 0, max(0, to_ds(away.back_s)))] * away.count)
    return rows, tuple(works)


def absent_with_a_flame(snapshot: Snapshot, rail: Rail) -> tuple[str, ...]:
    """Give who left the floor with a flamed drink in hand that nobody else may light.

    The drink stays theirs in the plan: it waits for them, or for somebody to put it back.
    """
    on_floor = {present.person for present in snapshot.people_on}
    found = []
    for build in snapshot.in_hand:
        mixes = [rail.in_hand[name].mix for name in build.drinks]
        burns = any(mix.has_flame for mix in mixes)
        if build.person not in on_floor and burns and not _able(snapshot, mixes):
            found.append(build.person)
    return tuple(dict.fromkeys(found))


def _able(snapshot: Snapshot, mixes: Sequence[Mix]) -> list[str]:
    """Give who on the floor may make all of these."""
    people = snapshot.counter.by_person
    return [
        present.person
        for present in snapshot.people_on
        if not any(why_not_by(snapshot, people[present.person], mix) for mix in mixes)
    ]


def _who_finishes(
    snapshot: Snapshot, people: Sequence[str], owner: str, mixes: Sequence[Mix]
) -> tuple[int, int]:
    """Give who finishes a tail, as a position, and 1 where anyone may: its owner if on the floor.

    Where the owner has left, anyone; but only somebody who may make it lights a flame.
    """
    if owner in people:
        return people.index(owner), 0
    if any(mix.has_flame for mix in mixes):
        return people.index(_able(snapshot, mixes)[0]), 0
    return 0, 1


def expected_made_ds(
    snapshot: Snapshot, run: RunningBlock, offset_base_ds: int, made_s: float | None
) -> int:
    """Give when a drink of a begun block is, or is expected to be, made."""
    if made_s is not None:
        return to_ds(made_s)
    pace = snapshot.counter.by_person[run.person].pace_pct
    computed = run.start_ds + paced_ds(offset_base_ds, pace)
    return min(computed, 0) if run.is_done else max(computed, OVERRUN_DS)


def _held(
    snapshot: Snapshot,
    rows: InHandRows,
    resource: int,
    hold: Hold,
    work: Work,
    running: dict[int, RunningBlock],
    tail_of: dict[int, int],
) -> None:
    """Write down one hold of a build in hand: already known, or ending with a pending tail."""
    if hold.to_block in tail_of:
        since = hold.from_base_ds if hold.from_block == hold.to_block else -1
        rows.tail_holds[tail_of[hold.to_block]].append(
            (resource, since, hold.to_base_ds, hold.extra_ds)
        )
        return
    paces = {person.id: person.pace_pct for person in snapshot.counter.people}
    begun, ended = running[hold.from_block], running[hold.to_block]
    since = begun.start_ds + paced_ds(hold.from_base_ds, paces[begun.person])
    until = ended.start_ds + paced_ds(hold.to_base_ds, paces[ended.person])
    if hold.to_base_ds == work.blocks[hold.to_block].base_ds:
        until = ended.end_ds
    until += hold.extra_ds
    if until > 0 and until > since:
        rows.held.append((resource, since, until))
