"""What came out of many nights: every figure as an interval over them.

Plain dataclasses of text, numbers and tuples, so that they become JSON, tables and pictures as
they are. Figures have the same names everywhere: ``p90_s`` is the time to last drink that nine
of ten rounds of one night did not exceed, and its interval is that of the nights' own ``p90_s``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

from .figures import Figures, Queue, When, quantiles
from .intervals import CHANCE_ONLY, Interval, paired_difference, paired_ratio, t_interval

HEADLINE = "p90_s"
LEVELS = tuple(level / 100 for level in range(101))
COMPARED = (
    *("p90_s", "mean_s", "p50_s", "p99_s", "within_promise", "given_up"),
    *("busiest_p90_s", "busiest_mean_s", "busiest_within_promise", "worst_s"),
    *("sat_too_long", "sat_beyond_s", "far_too_late", "often_overtaken", "most_overtaken"),
)
"""What two policies are compared in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupRow:
    """Time to last drink of one channel in one stretch.

    Attributes
    ----------
    when : str
        ``night``, ``busiest`` or ``quarter``.
    quarter : int or None
    clock : str
        When the stretch begins, ``"22:15"``; empty for the night.
    channel : str
        Empty for both.
    figures : mapping of str to Interval
        Those of `Times`; one that no night had is missing.
    """

    when: str
    quarter: int | None
    clock: str
    channel: str
    figures: Mapping[str, Interval]


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueRow:
    """What is open in one quarter of an hour: ``drinks``, ``most_drinks``, ``rounds``."""

    quarter: int
    clock: str
    figures: Mapping[str, Interval]


@dataclass(frozen=True, slots=True, kw_only=True)
class UseRow:
    """How busy one resource was; `by_quarter` are the means over the nights."""

    name: str
    kind: str
    busy: Interval | None
    by_quarter: tuple[float | None, ...]
    most: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitRow:
    """What was waited for; `by_quarter_s` are the means over the nights."""

    what: str
    name: str
    share: Interval | None
    waited_s: Interval
    by_quarter_s: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WellRow:
    """One ice well: ``used_kg``, ``refills``, ``empty_s``."""

    name: str
    figures: Mapping[str, Interval]


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountRow:
    """What was used of one thing.

    Attributes
    ----------
    name, unit : str
    amount, short_s : Interval
    by_night : tuple of float
        The amount of every night, ascending: what a prep list is read from.
    """

    name: str
    unit: str
    amount: Interval
    short_s: Interval
    by_night: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyResults:
    """Everything about one policy.

    Attributes
    ----------
    policy : str
    whole : mapping of str to Interval
        Figures of the whole night: those of `Times` for all rounds, the same for the busiest hour
        (``busiest_…``), `Drinks`, `Fairness`, and what planning took.
    groups, queue, uses, waits, wells, used
    quantiles_s : tuple of float
        Time to last drink that 0, 1, … 100 of 100 rounds of all nights together did not exceed;
        empty where no round was done.
    broken : tuple of str
        Rules that a judged plan broke; empty is right.
    """

    policy: str
    whole: Mapping[str, Interval]
    groups: tuple[GroupRow, ...]
    queue: tuple[QueueRow, ...]
    uses: tuple[UseRow, ...]
    waits: tuple[WaitRow, ...]
    wells: tuple[WellRow, ...]
    used: tuple[AmountRow, ...]
    quantiles_s: tuple[float, ...]
    broken: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Two policies on the same nights.

    Attributes
    ----------
    ours, theirs : str
    difference : mapping of str to Interval
        Ours minus theirs, night by night.
    ratio : mapping of str to Interval
        Ours over theirs, for times.
    """

    ours: str
    theirs: str
    difference: Mapping[str, Interval]
    ratio: Mapping[str, Interval]


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """What came out of a rush.

    Attributes
    ----------
    scenario, house : str
    doors, last_orders, busiest : str
        Clock times; `busiest` is when the busiest hour begins.
    seed, nights, pilot : int
    ended : str
        Why the run ended.
    policies : tuple of PolicyResults
    compared : tuple of Compared
        The first policy against each of the others.
    note : str
        What the intervals do not cover.
    """

    scenario: str
    house: str
    doors: str
    last_orders: str
    busiest: str
    seed: int
    nights: int
    pilot: int
    ended: str
    policies: tuple[PolicyResults, ...]
    compared: tuple[Compared, ...]
    note: str = CHANCE_ONLY


def whole_of(night: Figures) -> dict[str, float | None]:
    """Give the figures of one whole night by name."""
    found: dict[str, float | None] = dict(_numbers(night.group()))
    at_peak = _numbers(night.group(When.BUSIEST))
    found |= {f"busiest_{name}": value for name, value in at_peak.items()}
    drinks = _numbers(night.drinks)
    # Both rounds and drinks are given up and left open: the rounds have the plain names.
    found |= {f"drinks_{name}" if name in found else name: value for name, value in drinks.items()}
    found |= _numbers(night.fairness)
    found |= {"plans": night.plans, "planning_s": night.planning_s, "moved_next": night.moved_next}
    return found


def results_of(
    policy: str, nights: Sequence[Figures], clocks: Sequence[str], pilot: int
) -> PolicyResults:
    """Put the nights of one policy together.

    Parameters
    ----------
    policy : str
    nights : sequence of Figures
        One or more.
    clocks : sequence of str
        When each quarter of an hour begins.
    pilot : int
        As in `t_interval`.
    """
    times_s = [time_s for night in nights for time_s in night.times_s]
    return PolicyResults(
        policy=policy,
        whole=over([whole_of(night) for night in nights], pilot),
        groups=_groups(nights, clocks, pilot),
        queue=_queue(nights, clocks, pilot),
        uses=_uses(nights, pilot),
        waits=_waits(nights, pilot),
        wells=_wells(nights, pilot),
        used=_used(nights, pilot),
        quantiles_s=tuple(q for q in quantiles(times_s, LEVELS) if q is not None),
        broken=tuple(dict.fromkeys(rule for night in nights for rule in night.broken)),
    )


def compared(
    ours: tuple[str, Sequence[Figures]], theirs: tuple[str, Sequence[Figures]], pilot: int
) -> Compared:
    """Compare two policies, night by night."""
    our_rows = [whole_of(night) for night in ours[1]]
    their_rows = [whole_of(night) for night in theirs[1]]
    difference, ratio = {}, {}
    for name in COMPARED:
        columns = [row[name] for row in our_rows], [row[name] for row in their_rows]
        if found := paired_difference(*columns, pilot=pilot):
            difference[name] = found
        if name.endswith("_s") and (found := paired_ratio(*columns, pilot=pilot)):
            ratio[name] = found
    return Compared(ours=ours[0], theirs=theirs[0], difference=difference, ratio=ratio)


def over(rows: Sequence[Mapping[str, float | None]], pilot: int) -> dict[str, Interval]:
    """Give the interval of each figure over nights; one that no night had is left out."""
    found = {}
    for name in rows[0]:
        values = [value for row in rows if (value := row[name]) is not None]
        if values:
            found[name] = t_interval(values, pilot=pilot)
    return found


def _numbers(row: object) -> dict[str, float | None]:
    return {one.name: getattr(row, one.name) for one in fields(row)}  # type: ignore[arg-type]


def _groups(nights: Sequence[Figures], clocks: Sequence[str], pilot: int) -> tuple[GroupRow, ...]:
    rows = []
    for position, group in enumerate(nights[0].groups):
        times = [_numbers(night.groups[position].times) for night in nights]
        rows.append(
            GroupRow(
                when=group.when.value,
                quarter=group.quarter,
                clock="" if group.quarter is None else clocks[group.quarter],
                channel=group.channel,
                figures=over(times, pilot),
            )
        )
    return tuple(rows)


def _queue(nights: Sequence[Figures], clocks: Sequence[str], pilot: int) -> tuple[QueueRow, ...]:
    names = [one.name for one in fields(Queue)]
    return tuple(
        QueueRow(
            quarter=quarter,
            clock=clock,
            figures=over(
                [{name: getattr(night.queue, name)[quarter] for name in names} for night in nights],
                pilot,
            ),
        )
        for quarter, clock in enumerate(clocks)
    )


def _uses(nights: Sequence[Figures], pilot: int) -> tuple[UseRow, ...]:
    rows = []
    for first in nights[0].uses:
        same = [one for night in nights for one in night.uses if one.name == first.name]
        busy = [one.busy for one in same if one.busy is not None]
        rows.append(
            UseRow(
                name=first.name,
                kind=first.kind,
                busy=t_interval(busy, pilot=pilot) if busy else None,
                by_quarter=tuple(
                    _mean([share for share in column if share is not None])
                    for column in zip(*(one.by_quarter for one in same), strict=True)
                ),
                most=t_interval([float(one.most) for one in same], pilot=pilot),
            )
        )
    return tuple(rows)


def _waits(nights: Sequence[Figures], pilot: int) -> tuple[WaitRow, ...]:
    rows = []
    for what, name in dict.fromkeys((w.what, w.name) for night in nights for w in night.waits):
        by_night = [
            next((w for w in night.waits if (w.what, w.name) == (what, name)), None)
            for night in nights
        ]
        some = next(one for one in by_night if one is not None)
        # On a night that did not wait for it, it is 0; where nothing waited, nothing has a share.
        waited = [0.0 if one is None else one.waited_s for one in by_night]
        share = [
            0.0 if one is None else one.share or 0.0
            for one, night in zip(by_night, nights, strict=True)
            if any(wait.share is not None for wait in night.waits)
        ]
        nothing = (0.0,) * len(some.by_quarter_s)
        quarters = zip(*(nothing if w is None else w.by_quarter_s for w in by_night), strict=True)
        rows.append(
            WaitRow(
                what=what,
                name=name,
                share=None if some.share is None else t_interval(share, pilot=pilot),
                waited_s=t_interval(waited, pilot=pilot),
                by_quarter_s=tuple(sum(column) / len(nights) for column in quarters),
            )
        )
    return tuple(sorted(rows, key=lambda row: -row.waited_s.mean))


def _wells(nights: Sequence[Figures], pilot: int) -> tuple[WellRow, ...]:
    rows = []
    for position, first in enumerate(nights[0].wells):
        same = [night.wells[position] for night in nights]
        numbers = [{k: v for k, v in _numbers(one).items() if k != "name"} for one in same]
        rows.append(WellRow(name=first.name, figures=over(numbers, pilot)))
    return tuple(rows)


def _used(nights: Sequence[Figures], pilot: int) -> tuple[AmountRow, ...]:
    by_night = [{(one.name, one.unit): one for one in night.used} for night in nights]
    rows = []
    for key in dict.fromkeys(key for night in by_night for key in night):
        amounts = [night[key].amount if key in night else 0.0 for night in by_night]
        short_s = [night[key].short_s if key in night else 0.0 for night in by_night]
        rows.append(
            AmountRow(
                name=key[0],
                unit=key[1],
                amount=t_interval(amounts, pilot=pilot),
                short_s=t_interval(short_s, pilot=pilot),
                by_night=tuple(sorted(amounts)),
            )
        )
    return tuple(rows)


def _mean(values: Sequence[float]) -> float | None:
    return sum(values) / len(values) if values else None
