"""Drinks that leave what they were in: voided, or binned and made again."""

from __future__ import annotations

from collections import Counter as Tally
from dataclasses import replace

from service.night.records import BuildRecord, BuildState, DrinkRecord, DrinkState, StretchRecord
from service.night.state import Draft
from solver.work import Hold, Work

from .closing import load_washer, measured
from .working import work_in_hand


def void(draft: Draft, drink: DrinkRecord, reason: str) -> None:
    """Take a drink off its ticket; a build in hand goes on with the others."""
    build = build_of(draft, drink)
    if build is not None:
        _take_out(draft, build, drink)
    draft.put(replace(draft.drinks[drink.id], state=DrinkState.VOID, reason=reason))


def make_again(draft: Draft, drink: DrinkRecord, reason: str) -> DrinkRecord:
    """Void a drink and put a new one in its place on the ticket.

    The new drink has an id of its own, so that its build is another one too.
    """
    void(draft, drink, reason)
    ticket = draft.tickets[drink.ticket]
    new = DrinkRecord(
        id=f"{ticket.id}-d{len(ticket.drinks)}",
        ticket=ticket.id,
        line=drink.line,
        name=drink.name,
    )
    draft.put(new, replace(ticket, drinks=(*ticket.drinks, new.id)))
    return new


def build_of(draft: Draft, drink: DrinkRecord) -> BuildRecord | None:
    """Give the build in hand that a drink is in."""
    return next((build for build in draft.in_hand() if drink.id in build.drinks), None)


def close_if_done(draft: Draft, build: BuildRecord) -> BuildRecord:
    """Close a build in hand once none of its drinks is open."""
    if any(draft.drinks[drink].is_open for drink in build.drinks):
        return build
    ended = tuple(
        replace(s, started_at=min(s.started_at, draft.now), ended_at=s.ended_at or draft.now)
        for s in build.stretches
    )
    record = replace(build, state=BuildState.MADE, stretches=ended)
    holds = work_in_hand(draft, build).holds
    draft.put(record)
    load_washer(draft, record, holds)
    return record


def _take_out(draft: Draft, build: BuildRecord, drink: DrinkRecord) -> None:
    """Take a drink out of a build in hand; its stretches keep the drinks that they finish."""
    left = tuple(name for name in build.drinks if name != drink.id)
    before = work_in_hand(draft, build)
    used = measured(draft, build, before)
    if not left:
        ended = tuple(replace(s, ended_at=s.ended_at or draft.now) for s in build.stretches)
        draft.put(replace(build, state=BuildState.PUT_BACK, stretches=ended))
        load_washer(draft, build, used)
        return
    without = replace(build, drinks=left)
    after = work_in_hand(draft, without)
    kept = tuple(_renumbered(build.stretches, before, after))
    draft.put(replace(without, stretches=kept))
    load_washer(draft, build, _let_go(used, after))


def _let_go(used: list[Hold], after: Work) -> list[Hold]:
    """Give the vessels that were used and that what is left of a build does not hold."""
    still = Tally((hold.resource, hold.extra_ds) for hold in after.holds)
    fewer = Tally(hold.resource for hold in used) - Tally(hold.resource for hold in after.holds)
    found = []
    for hold in used:
        if still[hold.resource, hold.extra_ds]:
            still[hold.resource, hold.extra_ds] -= 1
        elif fewer[hold.resource]:
            fewer[hold.resource] -= 1
            found.append(hold)
    return found


def _renumbered(
    stretches: tuple[StretchRecord, ...], before: Work, after: Work
) -> list[StretchRecord]:
    """Find each begun stretch again by the drinks it finishes; one without any is no more."""
    found = []
    for stretch in stretches:
        if stretch.index == 0:
            found.append(stretch)
            continue
        drinks = {name for name, _ in before.blocks[stretch.index].made}
        for block in after.blocks[1:]:
            if drinks & {name for name, _ in block.made}:
                found.append(replace(stretch, index=block.index))
                break
    return found
