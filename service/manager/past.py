"""A real night as the rush knows nights: its log for the figures, its tickets for a replay.

What the service does not know stays unknown: no till, no vessels, no glasses, nobody's shift. A
made time is a tap, or was worked out from one; how many are estimates is counted beside.
"""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import accumulate
from zoneinfo import ZoneInfo

from service.errors import NotFound
from service.files.bars import Bar
from service.files.rushes import house_of
from service.night.records import BuildRecord, DrinkRecord, DrinkState, TicketRecord
from service.store import Kept, KeptNight
from solver.errors import BadValue
from solver.menu import Mix
from solver.rush.arrivals import QUARTER_S, Arrival
from solver.rush.guests import Patience, Replay, SecondThoughts
from solver.rush.night import DrinkEnd, DrinkLog, Night, PersonLog, PlanningLog, RoundLog
from solver.rush.scenario import Policy, Rush, Scenario, Shift
from solver.tickets import Line, mix_of

AFTER_LAST = timedelta(hours=2)
"""A replay's hands stop this long after the last round was placed."""


NO_LIMIT_S = 24 * 3600
"""Of a drink that the menu of that night does not know."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightClock:
    """The night's clock: second 0, which is a quarter of an hour by the bar's clock.

    Attributes
    ----------
    opens_at : datetime
        Aware, in the bar's time zone.
    """

    opens_at: datetime

    def s(self, at: datetime) -> float:
        """Give a time in seconds from second 0, to the millisecond; never before it."""
        return max(0.0, round((at - self.opens_at).total_seconds(), 3))

    def clock(self, at: datetime) -> str:
        """Give a time as the bar's clock shows it."""
        return f"{at.astimezone(self.opens_at.tzinfo):%H:%M}"


def clock_of(bar: Bar, kept: KeptNight, day: str) -> NightClock:
    """Give the clock of a night (`NotFound` where nothing was ordered)."""
    if not kept.tickets:
        raise NotFound(
            f"expected a business day with tickets; {bar.id} has none of {day}: see "
            f"/v1/bars/{bar.id}/nights"
        )
    first = kept.tickets[0].ticket.placed_at.astimezone(ZoneInfo(bar.timezone))
    begun = first.replace(minute=first.minute // 15 * 15, second=0, microsecond=0)
    return NightClock(opens_at=begun)


def replay_of(bar: Bar, kept: KeptNight, day: str) -> Rush:
    """Give the rush that replays a night's tickets.

    The same rounds at the same moments, by whoever made something that night, all night; nobody
    gives up and nothing goes wrong, since the log does not say what did.
    """
    at = clock_of(bar, kept, day)
    past = tuple(_arrivals(bar, kept, at))
    if not past:
        raise NotFound(f"expected a night with a drink that was not void; {day} has none")
    last = kept.tickets[-1].ticket.placed_at
    people = dict.fromkeys(s.person for build in kept.builds for s in build.stretches)
    known = [name for name in people if name in bar.counter.by_person]
    scenario = Scenario(
        name=f"the night of {day}",
        bar=bar.id,
        doors=at.clock(at.opens_at),
        last_orders=at.clock(last + timedelta(minutes=1)),
        hard_stop=at.clock(last + AFTER_LAST),
        # The tickets themselves come with the rush; this says that they are what it is about.
        replay=Replay(tickets=f"the log of {day}"),
        patience=Patience(bar_top_s=None, floor_s=None),
        second_thoughts=SecondThoughts(void_pct=0, swap_pct=0, one_more_pct=0),
        shifts=tuple(Shift(person=name) for name in known),
    )
    return Rush(house=house_of(bar), scenario=scenario, past=past)


def night_log(bar: Bar, kept: KeptNight, day: str) -> Night:
    """Give the log of a real night, in the shape that figures are made from."""
    at = clock_of(bar, kept, day)
    builds = {name: build for build in kept.builds for name in build.drinks}
    rounds = [log for one in kept.tickets if (log := _round(bar, one, builds, at)) is not None]
    last_s = max((t for one in rounds for t in _moments(one)), default=0.0)
    num_quarters = int(last_s // QUARTER_S) + 1
    placed_s = max((one.placed_s for one in rounds), default=0.0)
    return Night(
        scenario=f"the night of {day}",
        house=bar.name,
        policy=Policy.LIVE,
        seed=0,
        doors=at.clock(at.opens_at),
        counted_from_s=0.0,
        last_orders_s=placed_s,
        hard_stop_s=last_s,
        ended_s=last_s,
        num_quarters=num_quarters,
        rounds=_with_overtakes(rounds),
        people=tuple(_people(bar, kept.builds, at, num_quarters)),
        uses=(),
        waits=(),
        wells=(),
        glasses=(),
        used=(),
        in_system=_steps((r.placed_s, r.over_s) for r in rounds),
        open_drinks=_steps((d.ordered_s, d.ended_s) for r in rounds for d in r.drinks),
        planning=PlanningLog(),
    )


def _arrivals(bar: Bar, kept: KeptNight, at: NightClock) -> Iterable[Arrival]:
    for one in kept.tickets:
        counts = Tally(d.line for d in one.drinks if d.state is not DrinkState.VOID)
        lines = tuple(
            line
            for record in one.ticket.lines
            if (count := counts[record.id]) and (line := _orderable(bar, record.line, count))
        )
        if lines:
            yield Arrival(
                at_s=at.s(one.ticket.placed_at),
                channel=one.ticket.channel,
                place=one.ticket.place,
                lines=lines,
            )


def _orderable(bar: Bar, line: Line | None, count: int) -> Line | None:
    """Give a line with as many drinks as were really wanted; None where the menu lacks it."""
    if line is None or _mix(bar, line) is None:
        return None
    serves = bar.menu.by_recipe[line.recipe].serves if line.recipe else 1
    return replace(line, quantity=max(1, count // serves))


def _round(
    bar: Bar, kept: Kept, builds: Mapping[str, BuildRecord], at: NightClock
) -> RoundLog | None:
    """Give a ticket as a round; None where it has no drink at all (nobody could read it)."""
    ticket = kept.ticket
    if not kept.drinks:
        return None
    wanted = [d for d in kept.drinks if d.state is not DrinkState.VOID]
    made = [d.made_at for d in wanted if d.made_at is not None]
    is_done = bool(wanted) and len(made) == len(wanted)
    last_s = at.s(max(made)) if is_done else None
    placed_s = at.s(ticket.placed_at)
    left = [d.gone_at for d in wanted if d.gone_at is not None]
    return RoundLog(
        ticket=ticket.id,
        number=ticket.number,
        place=ticket.place,
        channel=ticket.channel,
        placed_s=placed_s,
        promise_s=ticket.promise_s,
        last_made_s=last_s if last_s is None else max(last_s, placed_s),
        gave_up_s=None,
        served_s=None,
        gone_s=at.s(max(left)) if left and len(left) == len(wanted) else None,
        over_s=last_s if wanted else placed_s,
        overtaken=0,
        is_counted=True,
        drinks=tuple(_drink(bar, ticket, d, builds.get(d.id), last_s, at) for d in kept.drinks),
    )


def _drink(
    bar: Bar,
    ticket: TicketRecord,
    drink: DrinkRecord,
    build: BuildRecord | None,
    last_s: float | None,
    at: NightClock,
) -> DrinkLog:
    line = ticket.line_of(drink.line).line
    mix = _mix(bar, line) if line else None
    made_s = at.s(drink.made_at) if drink.made_at is not None else None
    end = DrinkEnd.OPEN if made_s is None else DrinkEnd.MADE
    if drink.state is DrinkState.VOID:
        # One that was made or in hand and made again is binned; one that waited is taken back.
        end = DrinkEnd.LOST if made_s is not None else DrinkEnd.VOID
    person = build.person if build else ""
    known = bar.counter.by_person.get(person)
    ordered_s = at.s(ticket.placed_at)
    return DrinkLog(
        id=drink.id,
        ticket=ticket.id,
        mix=drink.name,
        recipe=line.recipe if line else "",
        method=mix.method.value if mix else "",
        ordered_s=ordered_s,
        end=end,
        begun_s=at.s(build.stretches[0].started_at) if build else None,
        made_s=made_s,
        ended_s=ordered_s if end is DrinkEnd.VOID else made_s,
        sat_s=max(0.0, last_s - made_s) if last_s is not None and made_s is not None else 0.0,
        hold_limit_s=mix.hold_limit_s if mix else NO_LIMIT_S,
        build=build.id if build else "",
        person=person,
        station=known.station if known else "",
        num_together=len(build.drinks) if build else 1,
    )


def _mix(bar: Bar, line: Line) -> Mix | None:
    try:
        return mix_of(bar.menu, line)
    except BadValue:
        return None


def _moments(one: RoundLog) -> Iterable[float]:
    yield one.placed_s
    yield from (d.made_s for d in one.drinks if d.made_s is not None)


def _with_overtakes(rounds: list[RoundLog]) -> tuple[RoundLog, ...]:
    """Count, for each round, the later ones of its channel that were done before it."""
    done = [one for one in rounds if one.last_made_s is not None]
    return tuple(
        replace(
            one,
            overtaken=sum(
                other.channel is one.channel
                and other.placed_s > one.placed_s
                and (one.last_made_s is None or (other.last_made_s or 0.0) < one.last_made_s)
                for other in done
            ),
        )
        for one in rounds
    )


def _people(
    bar: Bar, builds: Iterable[BuildRecord], at: NightClock, num_quarters: int
) -> Iterable[PersonLog]:
    """Give hands as the taps show them: on from their first build to the end of their last."""
    by_person: dict[str, list[tuple[float, float, BuildRecord]]] = {}
    for build in builds:
        for stretch in build.stretches:
            if stretch.ended_at is not None:
                run = (at.s(stretch.started_at), at.s(stretch.ended_at), build)
                by_person.setdefault(stretch.person, []).append(run)
    nothing = (0.0,) * num_quarters
    for person, runs in sorted(by_person.items()):
        known = bar.counter.by_person.get(person)
        begins, ends = min(run[0] for run in runs), max(run[1] for run in runs)
        own = {run[2].id: run[2] for run in runs if run[2].person == person}
        yield PersonLog(
            person=person,
            station=known.station if known else "elsewhere",
            on_s=_in_quarters([(begins, ends)], num_quarters),
            making_s=_in_quarters(_merged((run[0], run[1]) for run in runs), num_quarters),
            serving_s=nothing,
            errand_s=nothing,
            standing_s=nothing,
            num_builds=len(own),
            num_drinks=sum(len(build.drinks) for build in own.values()),
        )


def _merged(runs: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """Put overlapping stretches together: two builds in one pair of hands are busy once."""
    found: list[tuple[float, float]] = []
    for begin, end in sorted(runs):
        if found and begin <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((begin, end))
    return found


def _in_quarters(runs: Iterable[tuple[float, float]], num_quarters: int) -> tuple[float, ...]:
    rows = [0.0] * num_quarters
    for begin, end in runs:
        for quarter in range(num_quarters):
            inside = min(end, (quarter + 1) * QUARTER_S) - max(begin, quarter * QUARTER_S)
            rows[quarter] += max(0.0, inside)
    return tuple(rows)


def _steps(rows: Iterable[tuple[float, float | None]]) -> tuple[tuple[float, int], ...]:
    """Give how many are there from each moment on."""
    changes: Tally[float] = Tally()
    for begin, end in rows:
        changes[begin] += 1
        if end is not None:
            changes[end] -= 1
    moments = sorted(changes)
    return tuple(zip(moments, accumulate(changes[at] for at in moments), strict=True))
