"""A build's work as a script says the same as the work itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.rush.script import Cue, Go, Point, scripted
from solver.snapshot import rail_of
from solver.work import Work, work_of
from tests.solver.makers import snapshot, ticket

ROUNDS = (
    ("sour",),
    ("sour", "sour", "tall"),
    ("stout", "lager", "stirred"),
    ("coffee", "coffee"),
    ("frozen",),
    ("lit",),
    ("blaze",),
    ("foam", "foam"),
)


def work_for(*recipes: str) -> Work:
    snap = snapshot(ticket("a", *recipes))
    drinks = rail_of(snap).drinks
    found = work_of(snap, "ana", drinks)
    ids = {drink.id: str(n) for n, drink in enumerate(drinks)}
    return replace(
        found,
        blocks=tuple(
            replace(block, made=tuple((ids[d], at) for d, at in block.made))
            for block in found.blocks
        ),
    )


@pytest.mark.parametrize("recipes", ROUNDS)
def test_a_script_keeps_the_times_of_the_work(recipes: tuple[str, ...]) -> None:
    work = work_for(*recipes)
    scripts = scripted(work)
    for block, script in zip(work.blocks, scripts.blocks, strict=True):
        at_ds, made, taken, let_go, anchors = 0, [], {}, {}, {}
        for cue in script:
            if isinstance(cue, Go):
                assert cue.base_ds > 0
                at_ds += cue.base_ds
                continue
            assert isinstance(cue, Point)
            match cue.cue:
                case Cue.MADE:
                    made.append((str(cue.which), at_ds))
                case Cue.TAKE:
                    taken[cue.which] = at_ds
                case Cue.ANCHOR:
                    anchors[cue.which] = at_ds
                case _:
                    let_go[cue.which] = at_ds
        assert at_ds == block.base_ds
        assert sorted(made) == sorted(block.made)
        for i, hold in enumerate(work.holds):
            if hold.from_block == block.index:
                assert taken[i] == hold.from_base_ds
            if hold.to_block == block.index:
                assert let_go[i] == hold.to_base_ds
        if block.index == 0:
            assert anchors == {b.index: b.anchor_base_ds for b in work.blocks[1:]}


def test_what_might_wait_for_itself_has_to_be_there_at_the_start() -> None:
    work = work_for("stout", "coffee", "sour", "lager")
    at_start = {work.holds[i].resource for i in scripted(work).at_start}
    assert {"settling_place", "coffee_group", "tin_set@one", "kit@one"} <= at_start
    assert "tap:lager" not in at_start
