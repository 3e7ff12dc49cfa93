"""A block of work as a script: go on so long, take this, let go of that, a drink is made.

`solver.work` says how long the steps of a block take and what is held from when to when; here
that becomes one sequence, so that a step whose time scatters moves everything after it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from solver.work import Hold, Work


class Cue(IntEnum):
    """What happens at one point of a block, in the order in which it does at the same point."""

    LET_GO = 0
    MADE = 1
    ANCHOR = 2
    TAKE = 3
    LET_GO_AT_ONCE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Go:
    """Work on for `base_ds` of the `nth` step of a kind."""

    base_ds: int
    kind: str
    nth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """Something happens at a point: to a drink, a tail, or a hold.

    `which` is the drink's position, the tail's block, or the hold's position in the work.
    """

    cue: Cue
    which: int


Script = tuple[Go | Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scripted:
    """The scripts of a build.

    Attributes
    ----------
    blocks : tuple of Script
        By block.
    at_start : tuple of int
        Holds that have to be there before the build is begun: vessels, machines that run by
        themselves, and whatever is kept until a tail. Nobody begins a coffee who sees both groups
        draw; and hands that stand still for one of these might wait for themselves.
    """

    blocks: tuple[Script, ...]
    at_start: tuple[int, ...]


def scripted(work: Work) -> Scripted:
    """Give the scripts of a build."""
    at_start = tuple(
        i
        for i, hold in enumerate(work.holds)
        if "@" in hold.resource or hold.extra_ds or hold.to_block != hold.from_block
    )
    blocks = tuple(_script(work, block.index) for block in work.blocks)
    return Scripted(blocks=blocks, at_start=at_start)


def _script(work: Work, index: int) -> Script:
    points = sorted(_points(work, index), key=lambda row: (row[0], row[1].cue, row[1].which))
    found: list[Go | Point] = []
    at_ds = 0
    counts: dict[str, int] = {}
    for step in work.blocks[index].steps:
        kind = step.kind.value
        nth = counts.get(kind, 0)
        counts[kind] = nth + 1
        end_ds = at_ds + step.ds
        while at_ds < end_ds:
            while points and points[0][0] <= at_ds:
                found.append(points.pop(0)[1])
            until_ds = min(end_ds, points[0][0]) if points else end_ds
            found.append(Go(base_ds=until_ds - at_ds, kind=kind, nth=nth))
            at_ds = until_ds
    return (*found, *(point for _, point in points))


def _points(work: Work, index: int) -> list[tuple[int, Point]]:
    found = [
        (at_ds, Point(cue=Cue.MADE, which=int(drink))) for drink, at_ds in work.blocks[index].made
    ]
    if index == 0:
        found += [
            (block.anchor_base_ds, Point(cue=Cue.ANCHOR, which=block.index))
            for block in work.blocks[1:]
        ]
    for i, hold in enumerate(work.holds):
        if hold.from_block == index:
            found.append((hold.from_base_ds, Point(cue=Cue.TAKE, which=i)))
        if hold.to_block == index:
            found.append((hold.to_base_ds, Point(cue=_ends(hold), which=i)))
    return found


def _ends(hold: Hold) -> Cue:
    is_moment = hold.from_block == hold.to_block and hold.from_base_ds == hold.to_base_ds
    return Cue.LET_GO_AT_ONCE if is_moment else Cue.LET_GO
