"""The live planner in a simulated bar: at every event the screen hears of, as in the service.

The same code plans (`solver.planner`), on snapshots made in the same way, with what each person
sees as next pinned, the bound on the worst round, and what comes too late for the hard stop set
aside; only that moves are counted instead of milliseconds, so that a night is the same on every
machine.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import Any

import simpy

from solver.errors import CannotPlan, EngineFault
from solver.plan import Plan
from solver.planner import Again, plan_again
from solver.snapshot import Pinned, Snapshot
from solver.steady import next_of, shifted
from solver.verify import verify

from .bar import Bar
from .next_up import Next
from .night import PlanningLog
from .planned import follow
from .records import Now, PersonNow
from .screen import Screen, block_numbers, seconds
from .too_late import TooLate

OVERRUN_MS = 5_000
TIME_REPLAN_MS = 10_000
"""A planned start or end that passes by this is an event; passing time alone plans anew at most
so often. As in the service's settings."""


Plans = Callable[[Snapshot, Plan | None], Again]
"""Makes a plan of a snapshot, where there is one from the order as it stands."""


def counted(moves: int) -> Plans:
    """Give who plans with so many counted moves: the same plan everywhere."""

    def plans(snapshot: Snapshot, previous: Plan | None) -> Again:
        return plan_again(snapshot, moves=moves, previous=previous)

    return plans


class Live:
    """The order on the screen, planned anew at every event.

    Parameters
    ----------
    bar : Bar
    clock : callable
        Monotonic seconds, to say what planning took.
    plans : callable
        Who plans.
    """

    def __init__(self, bar: Bar, clock: Callable[[], float], plans: Plans) -> None:
        self._bar, self._clock, self._plans = bar, clock, plans
        self._screen = Screen(bar)
        self._plan: Plan | None = None
        self._planned_ms = self._last_by_time_ms = 0
        self._is_dirty = False
        self._wake = bar.env.event()
        self._calls = self._verified = self._moved = 0
        self._took_s = 0.0
        self._broken: list[str] = []
        self._too_late = TooLate(bar)
        bar.heard = self._hear
        bar.env.process(self._run())

    def log(self) -> PlanningLog:
        """Say what planning took."""
        return PlanningLog(
            calls=self._calls,
            seconds=round(self._took_s, 3),
            verified=self._verified,
            broken=tuple(self._broken),
            moved_next=self._moved,
        )

    def next_for(self, person: PersonNow) -> Next:
        """Do what the order last shown has first for somebody."""
        if self._is_dirty:
            self._replan()
        return follow(self._bar, self._plan, person, self._planned_ms)

    def _hear(self) -> None:
        self._is_dirty = True
        if not self._wake.triggered:
            self._wake.succeed()

    def _run(self) -> Generator[simpy.Event, Any, None]:
        while True:
            yield self._wake
            self._wake = self._bar.env.event()
            if self._is_dirty:
                self._replan()
                self._bar.stir()

    def _replan(self) -> None:
        bar = self._bar
        self._is_dirty = False
        waiting = {d.id for one in bar.open for d in one.drinks if d.heard is Now.WAITING}
        previous = self._shifted()
        pinned = next_of(previous, waiting.__contains__)
        snapshot = self._screen.snapshot(pinned=pinned)
        self._planned_ms = bar.now
        if not snapshot.tickets:
            self._plan = None
            return
        began = self._clock()
        try:
            self._plan = self._planned(snapshot, previous)
        except CannotPlan:
            # Nothing can be made now: what stood stands as far as it is true.
            self._plan = previous
            return
        except EngineFault as fault:
            # As in the service, where the order that is shown outlives a search that failed.
            at = bar.scenario.clock_at(bar.now / 1000)
            self._broken.append(f"no plan at {at} of the night {bar.draws.seed}: {fault}")
            self._plan = previous
            return
        self._took_s += self._clock() - began
        self._calls += 1
        self._note_moved(pinned, waiting)
        self._watch_the_clock()

    def _shifted(self) -> Plan | None:
        if self._plan is None:
            return None
        return shifted(self._plan, -seconds(self._bar.now - self._planned_ms))

    def _planned(self, snapshot: Snapshot, previous: Plan | None) -> Plan:
        searching = self._bar.scenario.searching
        again = self._plans(self._too_late.set_aside(snapshot, previous), previous)
        if self._bar.draws.happens(searching.verify_pct, "verify", self._calls):
            self._verified += 1
            self._broken += [fault.words for fault in verify(again.snapshot, again.plan)]
        return again.plan

    def _note_moved(self, pinned: tuple[Pinned, ...], waiting: set[str]) -> None:
        now = {pin.person: pin.drinks for pin in next_of(self._plan, waiting.__contains__)}
        self._moved += sum(now.get(pin.person) != pin.drinks for pin in pinned)

    def _watch_the_clock(self) -> None:
        """Plan anew when something planned is overdue by then."""
        bar, made_at = self._bar, self._planned_ms
        begun = {b.id: b for b in bar.builds}
        due_s = []
        for build in self._plan.builds if self._plan else ():
            record = begun.get(build.id)
            shown = block_numbers(bar, record) if record is not None else {}
            runs = (
                {shown[n]: run for n, run in record.blocks.items() if n in shown} if record else {}
            )
            for block in build.blocks:
                run = runs.get(block.index)
                is_heard = run is not None and run.heard_start_ms is not None
                if not is_heard:
                    due_s.append(block.start_s)
                elif run is not None and run.heard_end_ms is None:
                    due_s.append(block.end_s)
        if not due_s:
            return
        at_ms = made_at + round(min(due_s) * 1000) + OVERRUN_MS
        at_ms = max(at_ms, self._last_by_time_ms + TIME_REPLAN_MS, bar.now + 100)

        def overdue() -> None:
            if self._planned_ms == made_at and not self._is_dirty:
                self._last_by_time_ms = bar.now
                self._hear()

        bar.later(at_ms - bar.now, overdue)
