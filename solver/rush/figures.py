"""The figures of one night, from its log: what a worker sends back and what a report is made of.

A round that was given up, or that was still open when hands stopped, has no time to last drink.
It counts as a promise that was not kept, and stands beside the times: where many give up, the
times of those who stayed look better than the night was.

Quarters of an hour are those in which rounds were *placed*.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from solver.tickets import Channel

from .arrivals import QUARTER_S
from .night import DrinkEnd, Night, RoundLog
from .resources import Use, Wait, Well, uses_of, waits_of, wells_of

URGENT = 1.5
OFTEN = 3


class When(StrEnum):
    """Which rounds a group is about."""

    NIGHT = "night"
    BUSIEST = "busiest"
    QUARTER = "quarter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of the night in seconds from the doors, half-open."""

    from_s: float
    until_s: float

    def holds(self, at_s: float) -> bool:
        """Whether a moment lies in it."""
        return self.from_s <= at_s < self.until_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Times:
    """Time to last drink of a group of rounds.

    Attributes
    ----------
    rounds : int
        Placed, and not wholly taken back.
    given_up, left_open : int
        Left with nothing; still open when hands stopped.
    mean_s, p50_s, p90_s, p99_s, worst_s : float or None
        Of the rounds that were done; None where none was.
    guest_s : float or None
        What a guest waited, one drink a guest: for the last drink of their round, or until they
        gave up. Rounds still open when hands stopped are not in it.
    within_promise : float or None
        Share of `rounds` that were done within their promise.
    """

    rounds: int
    given_up: int
    left_open: int
    mean_s: float | None
    p50_s: float | None
    p90_s: float | None
    p99_s: float | None
    worst_s: float | None
    guest_s: float | None
    within_promise: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The times of rounds of one channel in one stretch.

    Attributes
    ----------
    when : When
    quarter : int or None
        Which quarter from the doors, where `when` says so.
    channel : str
        A channel, or empty for both.
    times : Times
    """

    when: When
    quarter: int | None
    channel: str
    times: Times


@dataclass(frozen=True, slots=True, kw_only=True)
class Drinks:
    """What became of the drinks of the counted rounds.

    Attributes
    ----------
    made, void, given_up, binned, left_open : int
    sat_too_long : int
        Made, and waited for their round beyond their hold limit.
    sat_beyond_s : float
        Seconds beyond the limits, summed.
    a_build : float or None
        Drinks made together in one build, on average over the drinks.
    """

    made: int
    void: int
    given_up: int
    binned: int
    left_open: int
    sat_too_long: int
    sat_beyond_s: float
    a_build: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fairness:
    """Who was passed by.

    Attributes
    ----------
    overtakes : int
        How often a later round of the same channel was done first.
    most_overtaken : int
        The same, of the round that it happened to most.
    often_overtaken : int
        Rounds that it happened to three times or more.
    far_too_late : int
        Rounds that took longer than 1.5 times their promise, or were never done.
    """

    overtakes: int
    most_overtaken: int
    often_overtaken: int
    far_too_late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """What is open, by quarter of an hour: the average over its seconds, and the most at once.

    Attributes
    ----------
    drinks, most_drinks, rounds : tuple of float
    """

    drinks: tuple[float, ...]
    most_drinks: tuple[float, ...]
    rounds: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """What was used of one thing: an ingredient, a glass, an ice.

    Attributes
    ----------
    name : str
    amount : float
        Millilitres or pieces, the most glasses in use at once, kilograms.
    unit : str
        ``ml``, ``pieces``, ``glasses`` or ``kg``.
    short_s : float
        How long there was none.
    """

    name: str
    amount: float
    unit: str
    short_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """All figures of one night.

    Attributes
    ----------
    policy : str
    seed : int
    groups : tuple of Group
    times_s : tuple of float
        Time to last drink of every round that was done, ascending.
    drinks, fairness, queue
    uses : tuple of Use
    waits : tuple of Wait
    wells : tuple of Well
    used : tuple of Amount
        Ingredients, glasses and ice.
    plans, planning_s, moved_next : float
        How often was planned, how long that took, how often what somebody saw as next was taken.
    broken : tuple of str
        Rules that a judged plan broke; empty is right.
    """

    policy: str
    seed: int
    groups: tuple[Group, ...]
    times_s: tuple[float, ...]
    drinks: Drinks
    fairness: Fairness
    queue: Queue
    uses: tuple[Use, ...]
    waits: tuple[Wait, ...]
    wells: tuple[Well, ...]
    used: tuple[Amount, ...]
    plans: float
    planning_s: float
    moved_next: float
    broken: tuple[str, ...]

    def group(
        self, when: When = When.NIGHT, channel: str = "", quarter: int | None = None
    ) -> Times:
        """Give the times of one group."""
        found = (
            one.times
            for one in self.groups
            if (one.when, one.channel, one.quarter) == (when, channel, quarter)
        )
        return next(found)


def figures_of(night: Night, *, busiest: Stretch) -> Figures:
    """Work out the figures of a night, simulated or real.

    Parameters
    ----------
    night : Night
    busiest : Stretch
        The busiest hour, the same for every night that is compared (`busiest_hour`).
    """
    rounds = [one for one in night.counted if not _is_void(one)]
    done = [one.time_to_last_s for one in rounds if one.time_to_last_s is not None]
    return Figures(
        policy=night.policy.value,
        seed=night.seed,
        groups=tuple(_groups(rounds, night.num_quarters, busiest)),
        times_s=tuple(sorted(done)),
        drinks=_drinks(night.counted),
        fairness=_fairness(rounds),
        queue=_queue(night),
        uses=uses_of(night),
        waits=waits_of(night),
        wells=wells_of(night),
        used=_used(night),
        plans=night.planning.calls,
        planning_s=night.planning.seconds,
        moved_next=night.planning.moved_next,
        broken=night.planning.broken,
    )


def times_of(rounds: Iterable[RoundLog]) -> Times:
    """Give the times of some rounds; those that were wholly taken back are left out."""
    kept = [one for one in rounds if not _is_void(one)]
    done = [(one.time_to_last_s, one) for one in kept if one.time_to_last_s is not None]
    times_s = [time_s for time_s, _ in done]
    p50_s, p90_s, p99_s = quantiles(times_s, (0.5, 0.9, 0.99))
    within = sum(time_s <= one.promise_s for time_s, one in done)
    given_up = sum(one.gave_up_s is not None for one in kept)
    return Times(
        rounds=len(kept),
        given_up=given_up,
        left_open=len(kept) - len(done) - given_up,
        mean_s=sum(times_s) / len(times_s) if times_s else None,
        p50_s=p50_s,
        p90_s=p90_s,
        p99_s=p99_s,
        worst_s=max(times_s, default=None),
        guest_s=_guest_s(kept),
        within_promise=within / len(kept) if kept else None,
    )


def _guest_s(rounds: Sequence[RoundLog]) -> float | None:
    waited_s, guests = 0.0, 0
    for one in rounds:
        if one.over_s is not None:
            count = sum(drink.end in (DrinkEnd.MADE, DrinkEnd.GAVE_UP) for drink in one.drinks)
            waited_s += count * (one.over_s - one.placed_s)
            guests += count
    return waited_s / guests if guests else None


def quantiles(values: Sequence[float], levels: Sequence[float]) -> tuple[float | None, ...]:
    """Give quantiles, between two values in proportion; None where there is no value."""
    if not values:
        return (None,) * len(levels)
    return tuple(float(found) for found in np.quantile(values, levels))


def _groups(rounds: Sequence[RoundLog], num_quarters: int, busiest: Stretch) -> Iterable[Group]:
    for channel in ("", *(one.value for one in Channel)):
        of = [one for one in rounds if channel in ("", one.channel.value)]
        yield Group(when=When.NIGHT, quarter=None, channel=channel, times=times_of(of))
        at_peak = [one for one in of if busiest.holds(one.placed_s)]
        yield Group(when=When.BUSIEST, quarter=None, channel=channel, times=times_of(at_peak))
        for quarter in range(num_quarters):
            placed = [one for one in of if int(one.placed_s // QUARTER_S) == quarter]
            yield Group(when=When.QUARTER, quarter=quarter, channel=channel, times=times_of(placed))


def _is_void(one: RoundLog) -> bool:
    """Whether all of it was taken back: nobody waits for it, so it has no time."""
    return one.last_made_s is None and one.gave_up_s is None and one.over_s is not None


def _drinks(rounds: Sequence[RoundLog]) -> Drinks:
    drinks = [drink for one in rounds for drink in one.drinks]
    made = [drink for drink in drinks if drink.end is DrinkEnd.MADE]
    beyond_s = [drink.sat_s - drink.hold_limit_s for drink in made]
    ends = {end: sum(drink.end is end for drink in drinks) for end in DrinkEnd}
    return Drinks(
        made=ends[DrinkEnd.MADE],
        void=ends[DrinkEnd.VOID],
        given_up=ends[DrinkEnd.GAVE_UP],
        binned=ends[DrinkEnd.LOST],
        left_open=ends[DrinkEnd.OPEN],
        sat_too_long=sum(over_s > 0 for over_s in beyond_s),
        sat_beyond_s=sum(over_s for over_s in beyond_s if over_s > 0),
        a_build=sum(drink.num_together for drink in made) / len(made) if made else None,
    )


def _fairness(rounds: Sequence[RoundLog]) -> Fairness:
    return Fairness(
        overtakes=sum(one.overtaken for one in rounds),
        most_overtaken=max((one.overtaken for one in rounds), default=0),
        often_overtaken=sum(one.overtaken >= OFTEN for one in rounds),
        far_too_late=sum(
            one.time_to_last_s is None or one.time_to_last_s > URGENT * one.promise_s
            for one in rounds
        ),
    )


def _queue(night: Night) -> Queue:
    ends_s = max(night.ended_s, QUARTER_S)
    drinks, most = by_quarter(night.open_drinks, night.num_quarters, ends_s)
    rounds, _ = by_quarter(night.in_system, night.num_quarters, ends_s)
    return Queue(drinks=drinks, most_drinks=most, rounds=rounds)


def by_quarter(
    steps: Sequence[tuple[float, int]], num_quarters: int, ends_s: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give the average and the most of a count, by quarter of an hour.

    Parameters
    ----------
    steps : sequence of (float, int)
        What the count is from each moment on; 0 before the first.
    num_quarters : int
    ends_s : float
        When the last count ends.
    """
    areas, most = [0.0] * num_quarters, [0.0] * num_quarters
    for (begin_s, count), (end_s, _) in pairwise((*steps, (ends_s, 0))):
        at_s = begin_s
        while at_s < end_s and (quarter := int(at_s // QUARTER_S)) < num_quarters:
            until_s = min(end_s, (quarter + 1) * QUARTER_S)
            areas[quarter] += count * (until_s - at_s)
            most[quarter] = max(most[quarter], float(count))
            at_s = until_s
    return tuple(area / QUARTER_S for area in areas), tuple(most)


def _used(night: Night) -> tuple[Amount, ...]:
    rows = []
    for one in night.used:
        # What is counted has a volume as well; it is bought and prepared by the piece.
        amount, unit = (one.pieces, "pieces") if one.pieces else (one.ml, "ml")
        rows.append(Amount(name=one.ingredient, amount=amount, unit=unit, short_s=one.out_s))
    rows += [
        Amount(name=g.glass, amount=g.most_in_use, unit="glasses", short_s=g.none_clean_s)
        for g in night.glasses
    ]
    ice: dict[str, float] = {}
    for well in night.wells:
        kind = well.name.rpartition("/")[2]
        ice[kind] = ice.get(kind, 0.0) + well.used_kg
    rows += [Amount(name=kind, amount=kg, unit="kg") for kind, kg in ice.items()]
    return tuple(rows)
