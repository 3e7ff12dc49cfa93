"""What hands do to builds: start, made, put back, and catching up with a screen that fell behind.

One tap a build is enough: ``made`` also begins what comes next. What a bartender really does
always wins over the plan; a tap is refused only where it contradicts what was tapped before.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from service.errors import Conflict
from service.night.records import BuildRecord, BuildState, DrinkState, ShownBuild
from service.night.state import Draft

from .again import close_if_done, make_again
from .closing import (
    begin,
    end_build,
    end_stretch,
    free_hands,
    hand_over,
    load_washer,
    measured,
)
from .flaming import refuse_unless_able
from .nexts import begin_next
from .said import Said, names_of, person_of, station_words
from .working import (
    ice_in_ds,
    paced_s,
    refuse_unless_waiting,
    shown_build,
    state_of,
    work_in_hand,
)


def start(draft: Draft, build_id: str, bartender: str | None) -> Said:
    """Begin a build that some order showed, while all its drinks still wait."""
    shown = shown_build(draft, build_id)
    refuse_unless_waiting(draft, shown)
    person = person_of(draft, bartender or shown.person)
    refuse_unless_able(draft, shown, person)
    free_hands(draft, person)
    record = begin(draft, shown, person, draft.now)
    work_in_hand(draft, record)
    words = f"started at {station_words(draft, person)}: {_names(draft, shown.drinks)}"
    return Said(words=words, build=build_id, started=build_id, drinks=shown.drinks)


def made(draft: Draft, build_id: str, bartender: str | None, *, start_next: bool) -> Said:
    """End what the hands do on a build, or all of it, and begin what comes next."""
    if bartender is not None:
        person_of(draft, bartender)
    record = draft.builds.get(build_id)
    if record is not None and record.state is BuildState.MADE:
        raise Conflict(
            f"expected a build in hand; {_names(draft, record.drinks)} is made already: nothing "
            "to do, the screen shows what comes next",
            state=state_of(draft, record.drinks),
        )
    if record is None or record.state is BuildState.PUT_BACK:
        record = _begun_unseen(draft, shown_build(draft, build_id), bartender)
    was_open = {drink for drink in record.drinks if draft.drinks[drink].is_open}
    work = work_in_hand(draft, record)
    at_hand = record.at_hand
    # Whose hands are free now: who says so, else whose hands were on it.
    person = bartender or (at_hand.person if at_hand else record.person)
    to_come = len(work.blocks) > len(record.stretches)
    if at_hand is not None and to_come:
        record = end_stretch(draft, record, at_hand.index, work)
        record = close_if_done(draft, record)
        words = f"{_names(draft, record.drinks)}: the rest runs by itself"
    else:
        record = end_build(draft, record, work, person)
        words = f"made: {_names(draft, record.drinks)}"
    closed = tuple(name for name in record.drinks if name in was_open and not _is_open(draft, name))
    wait_s = hand_over(draft, person, closed)
    started, not_begun = begin_next(draft, person, wait_s) if start_next else ("", "")
    words += f"; {not_begun}" if not_begun else ""
    if started:
        words = f"{words}; now {_names(draft, draft.builds[started].drinks)}"
    return Said(words=words, build=build_id, started=started, drinks=closed)


def put_back(draft: Draft, build_id: str, *, loss: bool, reason: str) -> Said:
    """Put a build in hand back: free of loss before ice is in; after it, its drinks are lost."""
    record = draft.builds.get(build_id)
    if record is None or record.state is not BuildState.IN_HAND:
        shown = shown_build(draft, build_id)
        is_made = record is not None and record.state is BuildState.MADE
        why = "it is made: tap remake on a drink that went wrong" if is_made else "nobody began it"
        raise Conflict(
            f"expected a build in hand; {_names(draft, shown.drinks)}: {why}",
            state=state_of(draft, shown.drinks),
        )
    work = work_in_hand(draft, record)
    began = record.stretches[0].started_at
    ice_in_s = paced_s(draft, record.person, ice_in_ds(work))
    past_s = (draft.now - began).total_seconds() - ice_in_s
    lost = tuple(name for name in record.drinks if _is_open(draft, name))
    if past_s > 0 and not loss:
        raise Conflict(
            f"ice went in about {max(1, round(past_s))} seconds ago: putting it back loses "
            f"{_names(draft, lost)}; finish it, or send loss: true to bin it and make it again",
            state=state_of(draft, record.drinks),
        )
    ended = tuple(
        replace(s, started_at=min(s.started_at, draft.now), ended_at=s.ended_at or draft.now)
        for s in record.stretches
    )
    draft.put(replace(record, state=BuildState.PUT_BACK, stretches=ended, reason=reason))
    load_washer(draft, record, measured(draft, record, work))
    why = f"put back with ice in{f': {reason}' if reason else ''}"
    for name in lost:
        if past_s > 0:
            make_again(draft, draft.drinks[name], why)
        else:
            draft.put(replace(draft.drinks[name], state=DrinkState.WAITING))
    words = "binned, to be made again" if past_s > 0 else "put back"
    return Said(words=f"{words}: {_names(draft, lost)}", build=build_id, drinks=lost)


def caught_up(draft: Draft, bartender: str | None, up_to: str | None) -> Said:
    """Take everything up to here as made: what is in hand, and the order up to a build."""
    person = person_of(draft, bartender) if bartender else None
    queue: list[ShownBuild] = []
    if up_to is not None:
        last = shown_build(draft, up_to)
        person = person or last.person
        queue = _queue_up_to(draft, person, last)
    closed: list[str] = []
    for record in draft.in_hand():
        if person in (None, record.person):
            closed += _close_all(draft, record, record.person)
    for shown in queue:
        if all(draft.drinks[name].state is DrinkState.WAITING for name in shown.drinks):
            record = _begun_unseen(draft, shown, person)
            closed += _close_all(draft, record, record.person)
    if not closed:
        return Said(words="caught up: nothing was open up to here")
    return Said(words=f"caught up, made: {_names(draft, tuple(closed))}", drinks=tuple(closed))


def _queue_up_to(draft: Draft, person: str, last: ShownBuild) -> list[ShownBuild]:
    """Give a person's planned builds in the order last shown, up to and with one of them."""
    order = draft.base.order
    builds = order.plan.builds if order is not None and order.plan is not None else ()
    mine = sorted((b for b in builds if b.person == person), key=lambda b: (b.start_s, b.id))
    names = [build.id for build in mine]
    if last.id not in names:
        refuse_unless_waiting(draft, last)
        return [last]
    upto = names[: names.index(last.id) + 1]
    return [draft.base.shown[name] for name in upto if name in draft.base.shown]


def _begun_unseen(draft: Draft, shown: ShownBuild, bartender: str | None) -> BuildRecord:
    """Put a build that nobody tapped started in hand, as if begun when its work says."""
    refuse_unless_waiting(draft, shown)
    person = person_of(draft, bartender or shown.person)
    free_hands(draft, person)
    record = begin(draft, shown, person, draft.now)
    work = work_in_hand(draft, record)
    took_s = sum(paced_s(draft, person, block.base_ds) for block in work.blocks)
    began = draft.now - timedelta(seconds=took_s)
    stretch = replace(record.stretches[0], started_at=began)
    record = replace(record, stretches=(stretch,))
    draft.put(record)
    return record


def _close_all(draft: Draft, record: BuildRecord, person: str) -> list[str]:
    was_open = [name for name in record.drinks if _is_open(draft, name)]
    end_build(draft, record, work_in_hand(draft, record), person)
    return was_open


def _is_open(draft: Draft, drink: str) -> bool:
    return draft.drinks[drink].is_open


def _names(draft: Draft, drinks: tuple[str, ...]) -> str:
    return names_of(draft.drinks[drink] for drink in drinks if drink in draft.drinks)
