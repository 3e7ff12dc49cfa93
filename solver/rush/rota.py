"""The rota: the fewest bartenders and barbacks, by quarter of an hour, that keep the promise.

Begins with everybody all night (and one more, and another, where that is not enough), then
shortens shifts from both ends, first by hours, at last by quarters, as long as every hour of the
night keeps the wanted share of rounds within their promise on the same nights (`on_trial`). What
failed with more hands is not tried again with fewer, but for a last round of quarters that tries
all of them once more. Breaks stay where
the scenario has them, and somebody is there from the doors until the hard stop. What comes out
cannot be shortened by one more quarter at any end; it is then held against nights that the
search has not seen, since it was chosen on its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from solver.errors import BadValue

from .arrivals import QUARTER_S
from .changes import with_bartender
from .figures import Figures
from .intervals import CHANCE_ONLY, Interval, t_interval
from .on_trial import HOUR, OnTrial, hours, share_of
from .replications import Asked, Running
from .scenario import Policy, Rush
from .study import busiest_hour, clocks_of
from .turns import Cut, Staff, Turn, counts, everybody, shorter, with_staff

GOAL = 0.90
MOST_ADDED = 6
STEPS = (8, 4, 2, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftRow:
    """One shift of the rota, by station: ``who`` is a bartender's station, or ``barback``."""

    who: str
    since: str
    until: str
    hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HourRow:
    """One hour of the night.

    Attributes
    ----------
    clock : str
    within_promise : Interval or None
        On nights that the search has not seen; None where no round was placed.
    is_kept : bool
        Whether the mean is at least the goal.
    """

    clock: str
    within_promise: Interval | None
    is_kept: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rota:
    """The rota that was found.

    Attributes
    ----------
    goal : float
    policy : str
    is_found : bool
        Whether the goal was kept in every hour of the nights that the search saw.
    clocks : tuple of str
        Quarters of an hour.
    bartenders, barbacks : tuple of int
        How many are on the floor in each; breaks counted as on.
    shifts : tuple of ShiftRow
    hours, hours_before : float
        Hours of hands, and with everybody all night as it was.
    by_hour : tuple of HourRow
    looked_at : int
        How many rotas were tried.
    nights, fresh_nights : int
        A rota that failed was run on no more of the nights than it took to know.
    note : str
    """

    goal: float
    policy: str
    is_found: bool
    clocks: tuple[str, ...]
    bartenders: tuple[int, ...]
    barbacks: tuple[int, ...]
    shifts: tuple[ShiftRow, ...]
    hours: float
    hours_before: float
    by_hour: tuple[HourRow, ...]
    looked_at: int
    nights: int
    fresh_nights: int
    note: str = CHANCE_ONLY


def find_rota(
    rush: Rush, policy: Policy, asked: Asked, running: Running, *, goal: float = GOAL
) -> Rota | None:
    """Find the fewest hands that keep a share of the rounds within their promise, every hour.

    Parameters
    ----------
    rush : Rush
    policy : Policy
    asked : Asked
        `nights` is how many each rota is tried on; the search ends when `time_s` is up.
    running : Running
    goal : float
        Share of rounds within their promise, above 0 and below 1.

    Returns
    -------
    Rota or None
        None where not one rota could be tried to its end.

    Raises
    ------
    BadValue
        When the goal is not between 0 and 1.
    """
    if not 0 < goal < 1:
        raise BadValue("a goal above 0 and below 1", goal)
    search = _Search(rush=rush, policy=policy, asked=asked, running=running, goal=goal)
    staff = search.enough()
    is_found = search.keeps(staff)
    if is_found:
        staff = search.shortened(staff)
    if not search.looked_at:
        return None
    return search.told(staff, is_found=is_found)


class _Search:
    """One search; remembers what it has tried."""

    def __init__(
        self, *, rush: Rush, policy: Policy, asked: Asked, running: Running, goal: float
    ) -> None:
        self.rush, self.policy, self.goal = rush, policy, goal
        self.asked, self.running = replace(asked, within=None, time_s=None), running
        self.ends_s = None if asked.time_s is None else running.clock() + asked.time_s
        self.quarters = rush.scenario.num_quarters
        self.tried: dict[Staff, bool] = {}
        self.last: Sequence[Figures] = ()
        self.before = everybody(rush)
        self.trial = self._on_trial(self.asked)

    @property
    def looked_at(self) -> int:
        return len(self.tried)

    def enough(self) -> Staff:
        """Give everybody all night, with as many more as it takes."""
        staff = self.before
        for n in range(1, MOST_ADDED + 1):
            if self.keeps(staff, all_nights=True) or self.is_over() or not self.last:
                break
            station = self._shortest_of_hands()
            name = f"more-{n}"
            self.rush = with_bartender(self.rush, station, name)
            turn = Turn(person=name, since=0, until=self.quarters)
            staff = replace(staff, turns=(*staff.turns, turn))
        return staff

    def shortened(self, staff: Staff) -> Staff:
        """Shorten shifts until none can be shortened any more."""
        for step in STEPS:
            staff = self._shortened_by(staff, step, not_again=set())
        while not self.is_over():
            # What had failed with more hands is looked at once more with what is left.
            less = self._shortened_by(staff, STEPS[-1], not_again=None)
            if less == staff:
                break
            staff = less
        return staff

    def _shortened_by(self, staff: Staff, step: int, not_again: set[Cut] | None) -> Staff:
        """Shorten shifts by one step, again and again, while any cut keeps the goal."""
        going = True
        while going:
            going = False
            for cut, less in shorter(staff, step, self.quarters, leaves_out=step == STEPS[0]):
                if not_again is not None and cut in not_again:
                    continue
                if self.is_over():
                    return staff
                if self.keeps(less):
                    staff, going = less, True
                    break
                if not_again is not None:
                    not_again.add(cut)
        return staff

    def keeps(self, staff: Staff, *, all_nights: bool = False) -> bool:
        """Whether every hour keeps the goal on the search's nights."""
        if staff not in self.tried:
            rush = with_staff(self.rush, staff)
            is_kept, nights = self.trial.keeps(rush, all_nights=all_nights)
            if self.running.should_stop() and not is_kept:
                return False
            self.tried[staff] = is_kept
            self.last = nights
        return self.tried[staff]

    def is_over(self) -> bool:
        """Whether there is no time for another rota."""
        late = self.ends_s is not None and self.running.clock() >= self.ends_s
        return late or self.running.should_stop()

    def told(self, staff: Staff, *, is_found: bool) -> Rota:
        """Hold the rota against fresh nights and write it down."""
        # Seeds of a run are 32 bits: the other half of them is never the search's own.
        anew = self._on_trial(replace(self.asked, seed=self.asked.seed ^ (1 << 31)))
        _, fresh = anew.keeps(with_staff(self.rush, staff), all_nights=True)
        clocks = clocks_of(self.rush)
        return Rota(
            goal=self.goal,
            policy=self.policy.value,
            is_found=is_found,
            clocks=clocks,
            bartenders=counts(staff.turns, self.quarters),
            barbacks=counts(staff.barbacks, self.quarters),
            shifts=tuple(self._shift_rows(staff)),
            hours=staff.quarters / HOUR,
            hours_before=self.before.quarters / HOUR,
            by_hour=tuple(self._hour_rows(fresh, clocks)),
            looked_at=self.looked_at,
            nights=self.asked.nights,
            fresh_nights=len(fresh),
        )

    def _on_trial(self, asked: Asked) -> OnTrial:
        return OnTrial(
            policy=self.policy,
            busiest=busiest_hour(self.rush),
            asked=asked,
            running=self.running,
            goal=self.goal,
            doing=lambda: f"rota {self.looked_at + 1}",
        )

    def _shortest_of_hands(self) -> str:
        """Give the station whose hands were busiest on the last rota that was tried."""
        busy: dict[str, float] = {}
        for night in self.last:
            for use in night.uses:
                if use.kind == "hands":
                    station = use.name.partition("@")[2]
                    busy[station] = busy.get(station, 0.0) + (use.busy or 0.0)
        return max(busy, key=lambda station: busy[station])

    def _shift_rows(self, staff: Staff) -> Iterator[ShiftRow]:
        scenario, counter = self.rush.scenario, self.rush.house.counter
        stations = {p.id: p.station for p in (*counter.people, *scenario.more_people)}
        for turn in (*staff.turns, *staff.barbacks):
            station = counter.by_station[stations[turn.person]] if turn.person else None
            yield ShiftRow(
                who="barback" if station is None else station.name or station.id,
                since=scenario.clock_at(turn.since * QUARTER_S),
                until=scenario.clock_at(turn.until * QUARTER_S),
                hours=turn.quarters / HOUR,
            )

    def _hour_rows(self, nights: Sequence[Figures], clocks: Sequence[str]) -> Iterator[HourRow]:
        by_night = [hours(night, self.quarters) for night in nights]
        for hour, first in enumerate(range(0, self.quarters, HOUR)):
            rows = [night[hour] for night in by_night]
            values = [share for row in rows if (share := share_of(row)) is not None]
            pooled = share_of((sum(kept for kept, _ in rows), sum(rounds for _, rounds in rows)))
            yield HourRow(
                clock=clocks[first],
                within_promise=t_interval(values) if values else None,
                is_kept=pooled is None or pooled >= self.goal,
            )
