"""Rules on bodies and hours: breaks, ends of shifts, shakes in a row, the end of service."""

from __future__ import annotations

from collections.abc import Iterator

from solver.goal import hard_stop_ds
from solver.snapshot import Away
from solver.units import to_ds, to_s

from .broken import Broken, stretch_words
from .case import Case, Made, Stretch, all_tenths, times_of


def check_shifts(case: Case) -> Iterator[Broken]:
    """Find work in a break or after a shift, shaking without a rest, drinks after the hard stop.

    What is in hand already is nobody's plan: it is finished first.
    """
    for made in case.planned:
        for stretch in made.stretches:
            yield from _breaks(case, made, stretch)
        yield from _rest(case, made)
        yield from _hard_stop(case, made)


def _breaks(case: Case, made: Made, stretch: Stretch) -> Iterator[Broken]:
    who = stretch.planned.person
    stays = all(who in drink.stays for drink in made.drinks)
    for away in case.away.get(who, ()):
        ends_shift = away.until_s is None
        if (ends_shift and stays) or not _overlaps(away, stretch):
            continue
        what = (
            f"{who} leaves at {away.from_s:g} s"
            if away.until_s is None
            else f"{who} rests from {away.from_s:g} to {away.until_s:g} s"
        )
        what = f"{what}, and {stretch_words(stretch.block.index, stretch.block.title)} is theirs"
        yield case.broken("break", what, build=made.build, at_ds=stretch.start_ds)


def _overlaps(away: Away, stretch: Stretch) -> bool:
    is_over = away.until_s is not None and to_ds(away.until_s) <= stretch.start_ds
    return to_ds(away.from_s) < stretch.end_ds and not is_over


def _rest(case: Case, made: Made) -> Iterator[Broken]:
    if not made.stretches or not any(drink.mix.is_shaken for drink in made.drinks):
        return
    main = made.stretches[0]
    rested_ds = case.shake_from_ds.get(main.planned.person, 0)
    if main.start_ds < rested_ds:
        what = f"{main.planned.person} may shake again from {to_s(rested_ds):g} s on"
        yield case.broken("rest", what, build=made.build, at_ds=main.start_ds)


def _hard_stop(case: Case, made: Made) -> Iterator[Broken]:
    stop_ds = hard_stop_ds(case.snapshot)
    if stop_ds is None or not all_tenths(times_of(made.build)):
        return
    for drink, at_s in zip(made.build.drinks, made.build.made_s, strict=True):
        if to_ds(at_s) > stop_ds:
            what = f"service ends at {to_s(stop_ds):g} s"
            yield case.broken(
                "hard_stop", what, build=made.build, drinks=[drink], at_ds=to_ds(at_s)
            )
