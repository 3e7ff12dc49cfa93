"""How a build goes through its life: begun, stretch by stretch ended, closed.

Times of single drinks are worked out from one tap and labelled as estimates: the hands' time is
spread as the time standards spread it. Only the drink that the tap itself finishes has its time.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from service.night.marks import mix_of_drink
from service.night.moment import snapshot_of
from service.night.records import (
    BuildRecord,
    BuildState,
    DrinkRecord,
    DrinkState,
    Mark,
    MarkKind,
    ShownBuild,
    StretchRecord,
)
from service.night.state import Draft
from solver.snapshot import rail_of
from solver.tickets import Channel
from solver.units import to_s
from solver.work import Hold, Work

from .working import paced_s, serving_s


def begin(draft: Draft, shown: ShownBuild, person: str, started_at: datetime) -> BuildRecord:
    """Put a build in somebody's hands; what its work is at this moment is written down with it."""
    by_ice = _chilled_by_ice(draft, shown)
    for drink in shown.drinks:
        draft.put(replace(draft.drinks[drink], state=DrinkState.IN_HAND))
    stretch = StretchRecord(index=0, person=person, started_at=started_at)
    record = BuildRecord(
        id=shown.id,
        person=person,
        drinks=shown.drinks,
        state=BuildState.IN_HAND,
        stretches=(stretch,),
        chilled_by_ice=tuple(drink for drink in shown.drinks if drink in by_ice),
    )
    draft.put(record)
    return record


def _chilled_by_ice(draft: Draft, shown: ShownBuild) -> set[str]:
    """Give the drinks of a build whose glass has to be chilled with ice, as glasses are now."""
    drinks = [draft.drinks[drink] for drink in shown.drinks]
    mixes = [mix_of_drink(draft.bar.menu, draft.tickets[d.ticket], d) for d in drinks]
    if not any(mix is not None and mix.chilled for mix in mixes):
        return set()
    rail = rail_of(snapshot_of(draft.state, draft.now))
    return {drink.id for drink in rail.drinks if drink.mix.chill_by_ice}


def close(draft: Draft, drink: DrinkRecord, at: datetime, *, is_estimate: bool) -> None:
    """Note that a drink is made, if it still was to be."""
    if drink.is_open:
        draft.put(replace(drink, state=DrinkState.MADE, made_at=at, is_estimate=is_estimate))


def end_stretch(draft: Draft, record: BuildRecord, index: int, work: Work) -> BuildRecord:
    """End a stretch that was begun, and close the drinks that are made in it."""
    stretch = next(s for s in record.stretches if s.index == index)
    started = min(stretch.started_at, draft.now)
    offsets = dict(work.blocks[index].made)
    last = max(offsets.values(), default=1)
    for drink, offset in offsets.items():
        share = offset / last if last else 1.0
        at = started + (draft.now - started) * share
        close(draft, draft.drinks[drink], at, is_estimate=offset < last)
    ended = replace(stretch, started_at=started, ended_at=draft.now)
    record = replace(
        record, stretches=tuple(ended if s.index == index else s for s in record.stretches)
    )
    draft.put(record)
    return record


def end_build(draft: Draft, record: BuildRecord, work: Work, person: str) -> BuildRecord:
    """Close all of a build: stretches never begun are taken as just done."""
    if record.at_hand is not None:
        record = end_stretch(draft, record, record.at_hand.index, work)
    begun = {stretch.index for stretch in record.stretches}
    late = [block for block in work.blocks if block.index not in begun]
    stretches = list(record.stretches)
    for block in late:
        took = timedelta(seconds=paced_s(draft, person, block.base_ds))
        since = max(draft.now - took, record.stretches[0].started_at)
        stretches.append(
            StretchRecord(
                index=block.index,
                person=person,
                started_at=min(since, draft.now),
                ended_at=draft.now,
            )
        )
    still_open = [draft.drinks[drink] for drink in record.drinks if draft.drinks[drink].is_open]
    for drink in still_open:
        close(draft, drink, draft.now, is_estimate=len(still_open) > 1)
    record = replace(record, state=BuildState.MADE, stretches=tuple(stretches))
    draft.put(record)
    load_washer(draft, record, work.holds)
    return record


def hand_over(draft: Draft, person: str, closed: tuple[str, ...]) -> float:
    """Note that somebody hands over the bar-top rounds they just finished.

    Returns
    -------
    float
        Seconds until their hands are free for the next build.
    """
    rounds = {draft.drinks[drink].ticket for drink in closed}
    done = [
        ticket
        for ticket in (draft.tickets[name] for name in rounds)
        if ticket.channel is Channel.BAR_TOP
        and not any(draft.drinks[drink].is_open for drink in ticket.drinks)
    ]
    lasts = serving_s(draft, person) * len(done)
    if not lasts:
        return 0.0
    before = draft.mark(MarkKind.SERVING, person)
    since = draft.now
    if before is not None and before.until is not None and before.until > since:
        since = before.until
    until = since + timedelta(seconds=lasts)
    names = tuple(drink for ticket in done for drink in ticket.drinks)
    draft.put(Mark(kind=MarkKind.SERVING, key=person, since=draft.now, until=until, drinks=names))
    return (until - draft.now).total_seconds()


def free_hands(draft: Draft, person: str) -> None:
    """Note that somebody who begins a build has handed over what they had to."""
    draft.drop("mark", f"{MarkKind.SERVING.value} {person}")


def measured(draft: Draft, record: BuildRecord, work: Work) -> list[Hold]:
    """Give the holds of a build's work in which something has been poured by now."""
    began = record.stretches[0].started_at
    return [
        hold
        for hold in work.holds
        if began + timedelta(seconds=paced_s(draft, record.person, hold.from_base_ds)) < draft.now
    ]


def load_washer(draft: Draft, record: BuildRecord, holds: Iterable[Hold]) -> None:
    """Note which vessels that a build lets go are in the washer, and until when."""
    for position, hold in enumerate(holds):
        vessel, _, home = hold.resource.partition("@")
        if not home or not hold.extra_ds:
            continue
        # A build can let vessels go more than once: put back and begun again, or drink by drink.
        number = f"{draft.now:%H%M%S%f}-{len(record.drinks)}-{position}"
        draft.put(
            Mark(
                kind=MarkKind.WASHER,
                key=f"{record.id}/{number}/{home}/{vessel}",
                since=draft.now,
                until=draft.now + timedelta(seconds=to_s(hold.extra_ds)),
                number=hold.units,
            )
        )
