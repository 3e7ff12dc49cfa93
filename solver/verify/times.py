"""Rules on the clock of one build: its stretches, how long they last, when they may start."""

from __future__ import annotations

from collections.abc import Iterator

from solver.snapshot import BlockRun
from solver.units import to_ds, to_s
from solver.work import Block

from .broken import Broken, stretch_words
from .case import Case, Made, Stretch, all_tenths, has_same_blocks, times_of


def check_times(case: Case) -> Iterator[Broken]:
    """Find stretches that are missing, too short or too long, or that start when they may not."""
    for made in case.builds:
        build = made.build
        if not all_tenths(times_of(build)):
            yield case.broken("time", "a time is not a multiple of 0.1 s", build=build)
        elif made.work is not None and not has_same_blocks(build, made.work):
            right = ", ".join(_words(b) for b in made.work.blocks)
            came = ", ".join(stretch_words(block.index) for block in build.blocks)
            what = f"the work is {right}; the plan has {came}"
            yield case.broken("blocks", what, build=build)
        for stretch in made.stretches:
            yield from _lasts(case, made, stretch)
            if stretch.run is None:
                yield from _starts(case, made, stretch)
            else:
                yield from _as_begun(case, made, stretch, stretch.run)
        yield from _made(case, made)


def _words(block: Block) -> str:
    return stretch_words(block.index, block.title)


def _lasts(case: Case, made: Made, stretch: Stretch) -> Iterator[Broken]:
    end_ds = to_ds(stretch.planned.end_s)
    if end_ds != stretch.end_ds:
        what = f"{_words(stretch.block)} has to end at {to_s(stretch.end_ds):g} s"
        yield case.broken("duration", what, build=made.build, at_ds=end_ds)


def _as_begun(case: Case, made: Made, stretch: Stretch, run: BlockRun) -> Iterator[Broken]:
    if (stretch.planned.person, stretch.start_ds) != (run.person, to_ds(run.start_s)):
        what = f"{run.person} began {_words(stretch.block)} at {run.start_s:g} s"
        yield case.broken("in_hand", what, build=made.build, at_ds=stretch.start_ds)


def _starts(case: Case, made: Made, stretch: Stretch) -> Iterator[Broken]:
    """A start waits for the moment, the person, what is on its way, and what runs by itself."""
    build, block, start_ds = made.build, stretch.block, stretch.start_ds
    who = stretch.planned.person
    free_ds = case.from_ds.get(who, 0)
    if start_ds < free_ds:
        what = f"{who} is free from {to_s(free_ds):g} s on"
        yield case.broken("start", what, build=build, at_ds=start_ds)
    if block.index == 0:
        late = [drink for drink in made.drinks if start_ds < drink.release_ds]
        for drink in late:
            what = f"a bottle or a glass for it is here at {to_s(drink.release_ds):g} s"
            yield case.broken("start", what, build=build, drinks=[drink.id], at_ds=start_ds)
        return
    concerned = [drink for drink, _ in block.made]
    anchor_ds = made.stretches[0].reached_ds(block.anchor_base_ds)
    ready_ds = anchor_ds + block.alone_ds
    if start_ds < ready_ds:
        what = f"{block.title!r} has to wait until {to_s(ready_ds):g} s"
        yield case.broken("alone", what, build=build, drinks=concerned, at_ds=start_ds)
    # A window that closed while its build was in hand is nobody's plan: as soon as possible.
    if block.window_ds is None or made.in_hand is not None:
        return
    latest_ds = anchor_ds + block.window_ds
    if start_ds > latest_ds:
        what = f"{block.title!r} has to start by {to_s(latest_ds):g} s"
        yield case.broken("window", what, build=build, drinks=concerned, at_ds=start_ds)


def _made(case: Case, made: Made) -> Iterator[Broken]:
    given_ds = dict(zip(made.build.drinks, made.build.made_s, strict=True))
    for stretch in made.stretches:
        for drink, base_ds in stretch.block.made:
            right_ds = stretch.made_ds(base_ds)
            if made.in_hand is not None and drink in case.recorded_ds:
                right_ds = case.recorded_ds[drink]
            came_ds = to_ds(given_ds[drink])
            if came_ds != right_ds:
                what = f"it is made at {to_s(right_ds):g} s"
                yield case.broken("made", what, build=made.build, drinks=[drink], at_ds=came_ds)
