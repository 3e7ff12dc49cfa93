"""The clock of a till beside the bar's: which of the two says when a ticket was placed.

A print is held against the moment it came at. Near to it, the paper counts. Nobody prints in the
future, so a paper that is ahead tells of a clock that is ahead. A paper that is behind tells of a
clock that is behind, or of a print that a cable or an empty roll held up; only for the second has
the guest waited. It was held up where several come at once whose times lie apart, or where the
till's clock was right when it was last seen, unless prints go on to be late by the same minutes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from service.night.records import Mark, MarkKind
from service.night.state import Draft
from service.printing.prints import PrintKind
from service.printing.profile import Profile
from service.printing.times import business_day

from .arrived import Arrived

MINUTE = timedelta(minutes=1)
NEAR_MIN = 5
"""A paper's time this many minutes from its arrival, either way, is a clock that is right."""
SAME_MIN = 2
"""Two prints that are off by the same minutes, give or take these, are off by their clock."""
APART = timedelta(minutes=5)
"""Only prints that came so far apart tell that: what is held up together is late together."""
LONGEST_HELD = timedelta(hours=12)
SPREAD = timedelta(minutes=3)
"""Prints that come at once and whose times lie this much further apart were held up."""

NEW = (PrintKind.DRINKS, PrintKind.NO_DRINKS)
"""What is printed when it is ordered; a reprint or a void may say when its ticket was."""


def held_up_together(arrived: Iterable[Arrived]) -> list[Arrived]:
    """Mark those of some prints that came in one go which a till had held back.

    Parameters
    ----------
    arrived : iterable of Arrived
        What came together, of any till.
    """
    every = list(arrived)
    by_till: dict[tuple[str, str], list[Arrived]] = defaultdict(list)
    for one in every:
        if one.said is not None and one.found is not None and one.found.kind in NEW:
            by_till[one.sender, one.found.till].append(one)
    held = {
        one.id
        for prints in by_till.values()
        if _spread(one.said for one in prints) - _spread(one.received_at for one in prints)
        >= SPREAD
        for one in prints
    }
    return [replace(one, is_held_up=True) if one.id in held else one for one in every]


def placed(draft: Draft, arrived: Arrived, till: str) -> Arrived:
    """Give a print with the moment and the business day it counts from; note its till's clock."""
    moment = _moment(draft, arrived, till)
    prints = draft.bar.prints
    profile = (prints.profile if prints else None) or Profile(name="none")
    day = business_day(moment, ZoneInfo(draft.bar.timezone), profile.business_day_ends)
    return replace(arrived, placed_at=moment, business_day=day.isoformat())


def _moment(draft: Draft, arrived: Arrived, till: str) -> datetime:
    said, came = arrived.said, arrived.received_at
    if said is None:
        return came
    off_min = _minutes_off(said, came)
    is_new = arrived.found is not None and arrived.found.kind in NEW
    if abs(off_min) <= NEAR_MIN:
        if is_new:
            _note(draft, till, 0)
        # Paper knows the minute; it was printed in this one, or by a clock that is a little ahead.
        return came if off_min >= 0 else said
    if said < came and came - said <= LONGEST_HELD and _was_held_up(draft, arrived, till, off_min):
        return said
    if is_new:
        _note(draft, till, off_min)
    return came


def _was_held_up(draft: Draft, arrived: Arrived, till: str, off_min: int) -> bool:
    """Whether a print that is behind was printed then and came late."""
    assert arrived.said is not None  # noqa: S101 (for the types)
    clock = draft.mark(MarkKind.CLOCK, till)
    if arrived.is_held_up:
        return True
    if clock is None or clock.number or arrived.said - clock.since > LONGEST_HELD:
        return False
    before = draft.mark(MarkKind.HELD_UP, till)
    is_as_before = before is not None and abs((before.number or 0) - off_min) <= SAME_MIN
    if is_as_before and before is not None and arrived.received_at - before.since >= APART:
        return False
    if not is_as_before and arrived.found is not None and arrived.found.kind in NEW:
        since = arrived.received_at
        draft.put(Mark(kind=MarkKind.HELD_UP, key=till, since=since, number=off_min))
    return True


def _note(draft: Draft, till: str, off_min: int) -> None:
    """Note by how much a till's clock is off; said once, until it is off by something else."""
    before = draft.mark(MarkKind.CLOCK, till)
    draft.drop("mark", f"{MarkKind.HELD_UP.value} {till}")
    is_known = before is not None and abs((before.number or 0) - off_min) <= NEAR_MIN
    if is_known and before is not None and (off_min != 0) == bool(before.number):
        draft.put(replace(before, since=draft.now))
        return
    words = clock_words(till, off_min) if off_min else ""
    draft.put(Mark(kind=MarkKind.CLOCK, key=till, since=draft.now, number=off_min, words=words))


def clock_words(till: str, off_min: int) -> str:
    """Say that a till's clock is off."""
    amount = abs(off_min)
    if amount < 180:
        how_far = f"{amount} minutes"
    elif amount < 2 * 1440:
        how_far = f"{round(amount / 60)} hours"
    else:
        how_far = f"{round(amount / 1440)} days"
    way = "ahead of" if off_min > 0 else "behind"
    return (
        f"the clock of till {till} is {how_far} {way} the bar's: set it; until then its tickets "
        "count from when they come"
    )


def _minutes_off(said: datetime, came: datetime) -> int:
    """Give by how many minutes a paper is ahead; most papers know the minute only."""
    if not said.second:
        came = came.replace(second=0, microsecond=0)
    return round((said - came) / MINUTE)


def _spread(moments: Iterable[datetime | None]) -> timedelta:
    known = [moment for moment in moments if moment is not None]
    return max(known) - min(known)
