"""What comes next for somebody whose hands just came free, by the order last shown."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from service.night.flames import flames_now
from service.night.hours import away_of
from service.night.records import BuildState, DrinkState, StretchRecord
from service.night.state import Draft
from solver.units import to_s

from .closing import begin
from .flaming import why_not_begun
from .said import names_of
from .working import paced_s, work_in_hand

READY_SOON_S = 5.0
"""A stretch that finishes what ran alone is begun by a tap when it is ready within this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """One thing the order has for a person: a build to begin, or a stretch to finish one."""

    at: datetime
    build: str
    index: int


def begin_next(draft: Draft, person: str, wait_s: float) -> tuple[str, str]:
    """Begin what the order has next for a person.

    Parameters
    ----------
    draft : Draft
    person : str
    wait_s : float
        Until then their hands are handing a round over.

    Returns
    -------
    started : str
        Id of the build that is at hand now; empty where nothing is.
    not_begun : str
        What was passed over, and why: nobody lights what may not be lit now.
    """
    busy = any(
        build.at_hand is not None and build.at_hand.person == person for build in draft.in_hand()
    )
    coming = [] if busy else _coming(draft, person)
    passed_over: list[str] = []
    started_at = draft.now + timedelta(seconds=wait_s)
    away_at = _next_break(draft, person)
    for one in sorted(coming, key=lambda one: (one.at, one.build, one.index)):
        if away_at is not None and one.at >= away_at:
            # The plan has it behind a break, which comes first.
            return "", "; ".join(passed_over)
        drinks = _drinks_of(draft, one)
        if why_not := why_not_begun(draft, drinks, person, but=one.build):
            names = names_of(draft.drinks[drink] for drink in drinks)
            passed_over.append(f"not begun: {names}, {why_not}")
            continue
        words = "; ".join(passed_over)
        if one.index == 0:
            begin(draft, draft.base.shown[one.build], person, started_at)
            return one.build, words
        if _ready_at(draft, one) > started_at + timedelta(seconds=READY_SOON_S):
            # The plan leaves the hands free until then; a bartender who will not wait taps start.
            return "", words
        record = draft.builds[one.build]
        stretch = StretchRecord(index=one.index, person=person, started_at=started_at)
        draft.put(replace(record, stretches=(*record.stretches, stretch)))
        return one.build, words
    return "", "; ".join(passed_over)


def _next_break(draft: Draft, person: str) -> datetime | None:
    """Give when somebody's next break begins; None where they have none before them."""
    found = draft.state.bar.counter.by_person.get(person)
    breaks = away_of(draft.state, found, draft.now) if found is not None else ()
    ahead = [one.from_s for one in breaks if one.until_s is not None and one.from_s > 0]
    return draft.now + timedelta(seconds=min(ahead)) if ahead else None


def _drinks_of(draft: Draft, coming: Coming) -> tuple[str, ...]:
    """Give the drinks of a build to begin, or those that a stretch finishes with a flame."""
    if coming.index == 0:
        return draft.base.shown[coming.build].drinks
    return tuple(
        drink
        for flame in flames_now(draft.state, draft.now)
        if (flame.build, flame.index) == (coming.build, coming.index)
        for drink in flame.drinks
    )


def _coming(draft: Draft, person: str) -> list[Coming]:
    order = draft.base.order
    if order is None or order.plan is None:
        return []
    found = []
    for build in order.plan.builds:
        record = draft.builds.get(build.id)
        if record is not None and record.state is BuildState.IN_HAND:
            begun = {stretch.index for stretch in record.stretches}
            blocks = [b for b in build.blocks if b.index not in begun and b.person == person]
        elif build.person == person and build.id in draft.base.shown:
            waits = all(
                name in draft.drinks and draft.drinks[name].state is DrinkState.WAITING
                for name in build.drinks
            )
            blocks = [block for block in build.blocks if waits and block.index == 0]
        else:
            continue
        found += [
            Coming(
                at=order.moment + timedelta(seconds=block.start_s),
                build=build.id,
                index=block.index,
            )
            for block in blocks
        ]
    return found


def _ready_at(draft: Draft, coming: Coming) -> datetime:
    """Give when what ran alone is done, counted from when its build really began."""
    record = draft.builds[coming.build]
    work = work_in_hand(draft, record)
    if coming.index >= len(work.blocks):
        return draft.now
    block = work.blocks[coming.index]
    begun = record.stretches[0]
    since = timedelta(seconds=paced_s(draft, begun.person, block.anchor_base_ds))
    return begun.started_at + since + timedelta(seconds=to_s(block.alone_ds))
