"""The searched plan of every bar: one at a time, coalesced, off the event loop, supervised.

A change makes the bar dirty; however many come while a search runs, one more search follows it,
once the bar is calm for a moment: while tickets and taps come one upon the other, the quick plans
have the machine, and a search comes now and then.
Passing time is an event as well: a planned start or end that passes by a few seconds, a bottle
that must be here by now. The task's heartbeat is what ``/readyz`` looks at.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from service.clock import Clock
from service.desk import Desk
from service.files.bars import Bar
from service.night.moment import snapshot_of
from service.night.records import BuildState
from service.night.state import BarState
from service.settings import Settings
from solver.errors import CannotPlan
from solver.snapshot import Presence, Snapshot, rail_of
from solver.tickets import Channel, Drink, Line, Ticket

from .aside import StepAside
from .quick import Planned, in_time, previous_plan

if TYPE_CHECKING:
    from solver.rush.scenario import House

log = logging.getLogger("threedeep.planning")

STALE_S = 30.0
"""A planning task silent for longer than this is not ready."""

PAUSE_AFTER_FAULT_S = 2.0

CALM_S = 0.03
"""A search begins when nothing came over the desk for so long."""

LONGEST_S = 2.0
"""A search waits for that no longer than this."""


@dataclass(slots=True)
class Figures:
    """Counts for ``/metrics``."""

    searches: int = 0
    shown: int = 0
    faults: int = 0
    seconds: float = 0.0
    last_s: float = 0.0


class PlanningTask:
    """Plans one bar for as long as the service runs.

    Parameters
    ----------
    desk : Desk
    clock : Clock
    settings : Settings
    pool : ThreadPoolExecutor
        Where searches run; shared by all bars, so that together they take no more than its cores.
    aside : StepAside
        Gives the clock that searches look at.
    """

    def __init__(
        self,
        desk: Desk,
        clock: Clock,
        settings: Settings,
        *,
        pool: ThreadPoolExecutor,
        aside: StepAside,
    ) -> None:
        self.figures = Figures()
        self.is_searching = False
        self._desk = desk
        self._clock = clock
        self._settings = settings
        self._pool = pool
        self._aside = aside
        self._beat = clock.monotonic()
        self._last_by_time = clock.monotonic() - settings.time_replan_s
        self._task: asyncio.Task[None] | None = None

    @property
    def age_s(self) -> float:
        """Seconds since the task last showed that it lives."""
        return self._clock.monotonic() - self._beat

    @property
    def is_ready(self) -> bool:
        """Whether the task runs and is not stuck."""
        return self._task is not None and not self._task.done() and self.age_s < STALE_S

    def start(self) -> None:
        """Begin planning."""
        self._task = asyncio.create_task(self._run(), name=f"planning {self._desk.state.bar.id}")

    async def stop(self) -> None:
        """End planning; a search that runs is left to end by itself."""
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)

    async def _run(self) -> None:
        while True:
            self._beat = self._clock.monotonic()
            try:
                await self._wait()
                if self._is_due():
                    await self._calm()
                    self.is_searching = True
                    self._desk.dirty.clear()
                    await self._search()
            except asyncio.CancelledError:
                raise
            except Exception:
                self.figures.faults += 1
                log.exception("action=search bar=%s", self._desk.state.bar.id)
                await asyncio.sleep(PAUSE_AFTER_FAULT_S)
            finally:
                self.is_searching = False

    async def _wait(self) -> None:
        try:
            async with asyncio.timeout(self._settings.tick_s):
                await self._desk.dirty.wait()
        except TimeoutError:
            return

    async def _calm(self) -> None:
        """Wait until nothing comes over the desk for a moment, but not for ever."""
        until = self._clock.monotonic() + LONGEST_S
        while self._clock.monotonic() < until:
            before = self._desk.num_kept
            await asyncio.sleep(CALM_S)
            if self._desk.num_kept == before:
                return

    def _is_due(self) -> bool:
        if self._desk.dirty.is_set():
            return True
        now, pulse = self._clock.now(), self._clock.monotonic()
        if pulse - self._last_by_time < self._settings.time_replan_s:
            return False
        if not has_time_passed(self._desk.state, now, self._settings.overrun_s):
            return False
        self._last_by_time = pulse
        return True

    async def _search(self) -> None:
        state = self._desk.state
        if not (self._desk.can_plan and any(True for _ in state.open_tickets())):
            return
        began = self._clock.monotonic()
        loop = asyncio.get_running_loop()
        is_shown = await loop.run_in_executor(self._pool, self._plan_and_show, state)
        took_s = self._clock.monotonic() - began
        self.figures.searches += 1
        self.figures.shown += is_shown
        self.figures.seconds += took_s
        self.figures.last_s = took_s

    def _plan_and_show(self, state: BarState) -> bool:
        from solver.planner import Budget, make_plan, with_fair_bound  # noqa: PLC0415 (as below)

        now = self._clock.now()
        snapshot = snapshot_of(state, now)
        if self._aside.is_over:
            return False
        try:
            previous = previous_plan(state, now)
            snapshot = in_time(snapshot, previous)
            self._aside.search_clock()
            plan = make_plan(
                with_fair_bound(snapshot),
                Budget(limit_ms=self._settings.limit_ms),
                clock=self._aside.search_clock,
                previous=previous,
            )
        except CannotPlan:
            # The quick plan has said so already, with the reasons.
            return False
        return self._desk.show(Planned(moment=now, plan=plan), state.version)


def has_time_passed(state: BarState, now: datetime, overrun_s: float) -> bool:
    """Whether something planned should have happened a few seconds ago and did not.

    Parameters
    ----------
    state : BarState
    now : datetime
    overrun_s : float
        How much a planned start or end may pass.
    """
    order = state.order
    if order is None:
        return False
    late = now - timedelta(seconds=overrun_s)
    # What lapsed since the order was made: a bottle that is here, a glass back, somebody back.
    if any(mark.until and order.moment < mark.until <= late for mark in state.marks.values()):
        return True
    if order.plan is None:
        return False
    late_s = (late - order.moment).total_seconds()
    for build in order.plan.builds:
        record = state.builds.get(build.id)
        if record is None or record.state is not BuildState.IN_HAND:
            if build.start_s < late_s:
                return True
            continue
        begun = {stretch.index: stretch for stretch in record.stretches}
        for block in build.blocks:
            run = begun.get(block.index)
            if run is None and block.start_s < late_s:
                return True
            if run is not None and run.ended_at is None and block.end_s < late_s:
                return True
    return False


def warm_up_aside(
    bar: Bar, *, can_plan: Callable[[], None], done: Callable[[], None]
) -> threading.Thread:
    """Compile the planner, or load it, in a thread of its own.

    The service takes tickets and taps meanwhile. It plans them as soon as the planner is imported
    (`can_plan`), and better once the search is compiled (`done`). A daemon thread: Ctrl-C does not
    wait for a compiler.
    """

    def run() -> None:
        # Importing what compiles and proves takes seconds as well.
        from solver.planner import warm_up  # noqa: PLC0415

        try:
            warm_up(one_of_some(bar), can_plan=can_plan)
        except Exception:
            log.exception("action=warm_up")
        done()

    thread = threading.Thread(target=run, name="warm up", daemon=True)
    thread.start()
    return thread


def one_of_some(bar: Bar | House) -> Snapshot:
    """Give a snapshot with a round of drinks that the bar can make, to warm the planner up with."""
    whole = _round_of(bar, [recipe.id for recipe in bar.menu.recipes])
    made = [drink.line.recipe for drink in rail_of(whole).drinks]
    return _round_of(bar, made[:4])


def _round_of(bar: Bar | House, recipes: Sequence[str]) -> Snapshot:
    ticket = Ticket(
        id="t",
        number="1",
        channel=Channel.FLOOR,
        placed_s=0.0,
        promise_s=600,
        lines=tuple(Line(recipe=recipe) for recipe in recipes),
        drinks=tuple(Drink(id=f"d{n}", line=n) for n in range(len(recipes))),
    )
    return Snapshot(
        bar=bar.id,
        menu=bar.menu,
        standards=bar.standards,
        counter=bar.counter,
        people_on=tuple(Presence(person=person.id) for person in bar.counter.people),
        tickets=(ticket,) if recipes else (),
    )
