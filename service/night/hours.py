"""The house's clock: breaks, ends of shifts, the end of service, and arms that have to rest.

A counter says times of day; a snapshot counts seconds from its moment. A business day begins in
the morning, so that 01:30 belongs to the evening before it.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from solver.builds import loads_of
from solver.counter import Person
from solver.snapshot import Away
from solver.steady import shake_from_s as rested_s
from solver.units import DAY_S, hours_s, time_of_day_s

from .marks import mix_now, seconds_from
from .records import BuildRecord, BuildState, MarkKind
from .state import BarState

DAY_BEGINS_H = 6
"""A business day begins at this hour of the bar's clock."""


def business_date(at: datetime, timezone: str) -> date:
    """Give the business day that a moment belongs to."""
    return (at.astimezone(ZoneInfo(timezone)) - timedelta(hours=DAY_BEGINS_H)).date()


def instant(day: date, of_day_s: int, timezone: str) -> datetime:
    """Give the moment of a time of day (seconds after midnight) on a business day."""
    if of_day_s < DAY_BEGINS_H * 3600:
        of_day_s += DAY_S
    days, seconds = divmod(of_day_s, DAY_S)
    wall = datetime.combine(day, time(), ZoneInfo(timezone)) + timedelta(days=days, seconds=seconds)
    # Wall-clock arithmetic: an hour that the night of a clock change lacks is the one after it.
    return wall.astimezone(ZoneInfo("UTC"))


def stretch(day: date, hours: str, timezone: str) -> tuple[datetime, datetime]:
    """Give the moments between which a stretch such as ``"18:00-02:00"`` lies."""
    begins_s, ends_s = hours_s(hours)
    begins, ends = (instant(day, at % DAY_S, timezone) for at in (begins_s, ends_s))
    return begins, ends


def away_of(state: BarState, person: Person, now: datetime) -> tuple[Away, ...]:
    """Give the breaks of this business day that are not over, and when the shift ends.

    Somebody who says that they are on the floor, after a break or a shift should have ended or
    begun, is believed.
    """
    day = business_date(now, state.bar.timezone)
    back = state.marks.get(f"{MarkKind.PERSON.value} {person.id}")
    since = back.since if back is not None and back.number and back.holds_at(now) else None
    found = []
    for hours in person.breaks:
        begins, ends = stretch(day, hours, state.bar.timezone)
        if ends > now and not (since is not None and begins <= since):
            found.append(Away(from_s=seconds_from(now, begins), until_s=seconds_from(now, ends)))
    if person.shift:
        begins, ends = stretch(day, person.shift, state.bar.timezone)
        if begins <= now and not (since is not None and ends <= since):
            found.append(Away(from_s=seconds_from(now, ends)))
    return tuple(sorted(found, key=lambda one: one.from_s))


def break_until(state: BarState, person: Person, now: datetime) -> datetime | None:
    """Give when the break that somebody has now ends; None where they have none."""
    for one in away_of(state, person, now):
        if one.from_s <= 0 and one.until_s is not None:
            return now + timedelta(seconds=one.until_s)
    return None


def service_ends(state: BarState, now: datetime) -> tuple[float | None, float | None]:
    """Give last orders and the hard stop of this business day, in seconds from now."""
    day, hours = business_date(now, state.bar.timezone), state.bar.counter.hours
    last_orders, hard_stop = (
        seconds_from(now, instant(day, time_of_day_s(at), state.bar.timezone)) if at else None
        for at in (hours.last_orders, hours.hard_stop)
    )
    return last_orders, hard_stop


def shake_from_s(state: BarState, person: Person, now: datetime) -> float:
    """Give when somebody may shake again, in seconds from now: 0 unless too often in a row."""
    mine = (state.builds[name] for _, name in reversed(state.index.begun.get(person.id, ())))
    rows = (
        (
            seconds_from(now, build.stretches[0].started_at),
            seconds_from(now, _ends(state, build, now)),
            _num_shaken(state, build),
        )
        for build in mine
        if build.state is not BuildState.PUT_BACK
    )
    return rested_s(rows, state.bar.counter.rules)


def _ends(state: BarState, build: BuildRecord, now: datetime) -> datetime:
    """When a build's main work ended; as it was planned for one that somebody is at."""
    ended = build.stretches[0].ended_at
    if ended is not None:
        return ended
    order = state.order
    for planned in order.plan.builds if order is not None and order.plan is not None else ():
        if order is not None and planned.id == build.id:
            return max(now, order.moment + timedelta(seconds=planned.blocks[0].end_s))
    return now


def _num_shaken(state: BarState, build: BuildRecord) -> int:
    """Count the vessels of a build that arms shook."""
    known = [(name, state.drinks[name]) for name in build.drinks if name in state.drinks]
    mixes = [(name, mix_now(state, drink)) for name, drink in known]
    shaken = [(name, mix) for name, mix in mixes if mix is not None and mix.is_shaken]
    return len(loads_of([name for name, _ in shaken], [mix for _, mix in shaken]))
