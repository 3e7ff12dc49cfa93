"""All bars of a process: opened from the store, each with its desk and its planning task."""

from __future__ import annotations

import asyncio
import gc
import logging
import secrets
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from typing import Any

from immutables import Map

from service.files.bars import Bar
from service.files.stored import bar_of, house_record
from service.manager.rushes import Rushes
from service.night.records import HouseRecord, OrderRecord
from service.night.state import BarState, state_from
from service.planning.aside import StepAside
from service.planning.task import PlanningTask, warm_up_aside
from service.taps.telling import tell

from .clock import Clock
from .desk import Ask, Desk, Replied
from .errors import NotFound, did_you_mean
from .settings import Settings
from .store import Batch, Store

log = logging.getLogger("threedeep.floor")

FORGET_EVERY_S = 3600.0

WHILE_COMPILING = (100_000, 50, 100)
"""When garbage is collected meanwhile. A compiler makes much and keeps most of it: at the usual
thresholds every few seconds a tap waits a fifth of a second until all of it has been looked at."""

WHILE_SERVING = (5_000, 5, 500)
"""When garbage is collected on a night. What a night keeps has no cycles, and grows: at the usual
thresholds all of it was looked at every second, 16 ms long early and 50 after 5,000 tickets. Now
what is new is looked at, twice, and all of it very seldom."""


class Floor:
    """Every bar that this process serves.

    Parameters
    ----------
    store : Store
    clock : Clock
    settings : Settings
    facts : dict
        What the store said about itself at the start.
    """

    def __init__(
        self, store: Store, clock: Clock, settings: Settings, *, facts: dict[str, str]
    ) -> None:
        self.store = store
        self.facts = facts
        self.clock = clock
        self.settings = settings
        self.is_warm = False
        self._can_plan = False
        self.is_stopping = False
        self.num_streams = 0
        self.tasks: dict[str, PlanningTask] = {}
        self.desks: dict[str, Desk] = {}
        self._aside = StepAside(clock)
        self._searches = ThreadPoolExecutor(max_workers=1, thread_name_prefix="search")
        self._warming: threading.Thread | None = None
        self._forgetting: asyncio.Task[None] | None = None
        self._opening = asyncio.Lock()
        self.rushes = Rushes(store, clock, settings)

    async def open(self) -> None:
        """Open every bar the store knows and begin planning."""
        for house in await asyncio.to_thread(self.store.houses):
            self._seat(await asyncio.to_thread(self._state_of, house))
        await self.rushes.open()
        self._forgetting = asyncio.create_task(self._forget_now_and_then(), name="forgetting")

    async def close(self) -> None:
        """End planning, let go of everybody who waits, and close the store."""
        self.stop()
        await self.rushes.close()
        for task in self.tasks.values():
            await task.stop()
        if self._forgetting is not None:
            self._forgetting.cancel()
            await asyncio.gather(self._forgetting, return_exceptions=True)
        self._searches.shutdown(wait=True, cancel_futures=True)
        await asyncio.to_thread(self.store.close)

    def stop(self) -> None:
        """End every stream, long poll and search; called once the process is asked to stop."""
        self.is_stopping = True
        self._aside.stop()
        for desk in self.desks.values():
            desk.stop()

    def desk(self, bar: str) -> Desk:
        """Give the desk of a bar, or say 404 with the bars there are."""
        try:
            return self.desks[bar]
        except KeyError:
            here = ", ".join(self.desks) or "none yet: PUT one"
            raise NotFound(
                f"expected a bar that is served here ({here}); came {bar!r}"
                f"{did_you_mean(bar, self.desks)}"
            ) from None

    async def tell(self, bar: Bar) -> Desk:
        """Open a bar, or tell it anew where what is known differs.

        A part that was told before and then edited as text stays as it was edited: a file that
        comes again at every start must not undo what the manager wrote since.
        """
        desk = self.desks.get(bar.id)
        if desk is None:
            return await self.add(bar)
        bar = await asyncio.to_thread(self._without_overtaken, desk.state, bar)
        if desk.state.bar != bar:
            ask: Ask[Bar] = Ask(
                action=lambda draft: tell(draft, bar),
                reply=lambda _bar, _state, _tap: Replied(status=200, body=""),
                name="tell",
            )
            await desk.ask(ask)
            log.info("action=tell_bar bar=%s revision=%s", bar.id, desk.state.revision)
        return desk

    async def add(self, bar: Bar) -> Desk:
        """Open a bar that is not known yet."""
        async with self._opening:
            if bar.id in self.desks:
                return self.desks[bar.id]
            now = self.clock.now()
            state = BarState(bar=bar, epoch=f"e-{secrets.token_hex(4)}")
            order = OrderRecord(revision=1, as_of=now, moment=now, plan=None)
            state = replace(state, order=order)
            batch = Batch(bar=bar.id, at=now, house=house_record(state), order=order)
            await asyncio.to_thread(self.store.commit, batch)
            log.info("action=open_bar bar=%s revision=1", bar.id)
            return self._seat(state)

    def _seat(self, state: BarState) -> Desk:
        desk = Desk(state, self.store, self.clock, self.settings, self._aside)
        task = PlanningTask(desk, self.clock, self.settings, pool=self._searches, aside=self._aside)
        self.desks[state.bar.id] = desk
        self.tasks[state.bar.id] = task
        task.start()
        if self._can_plan:
            desk.warmed()
        if self._warming is None:
            self._warming = warm_up_aside(state.bar, can_plan=self._can_insert, done=self._warmed)
        return desk

    def _state_of(self, house: HouseRecord) -> BarState:
        since = self.clock.now() - timedelta(seconds=self.settings.at_hand_s)
        opened = self.store.opened(house.bar, since)
        state = state_from(bar_of(house), house.epoch, opened.records)
        log.info(
            "action=reopen_bar bar=%s revision=%s tickets=%s in_hand=%s",
            *(house.bar, opened.order.revision if opened.order else 0),
            *(sum(1 for _ in state.open_tickets()), len(state.in_hand())),
        )
        shown = Map({build.id: build for build in opened.shown})
        return replace(state, shown=shown, order=opened.order)

    def _can_insert(self) -> None:
        if self.settings.owns_process:
            gc.freeze()
            gc.set_threshold(*WHILE_COMPILING)
        self._plan_from_now_on()
        log.info("action=warm_up insertion=ready")

    def _without_overtaken(self, state: BarState, bar: Bar) -> Bar:
        told = house_record(replace(state, bar=bar))
        kept: dict[str, Any] = {}
        for part in ("menu", "counter", "standards"):
            newest, *older = self.store.versions(bar.id, part)
            last = self.store.version(bar.id, part, newest.version)
            if last is None or not last.text or last.body == getattr(told, part):
                continue
            before = (self.store.version(bar.id, part, one.version) for one in older)
            if any(one is not None and one.body == getattr(told, part) for one in before):
                kept[part] = getattr(state.bar, part)
        if not kept:
            return bar
        words = "action=tell_bar bar=%s kept=%s: edited since its file was told; restore it there"
        log.warning(words, bar.id, ",".join(kept))
        return replace(bar, **kept)

    def _warmed(self) -> None:
        if self.settings.owns_process:
            gc.collect()
            gc.freeze()
            gc.set_threshold(*WHILE_SERVING)
        self.is_warm = True
        self._plan_from_now_on()
        log.info("action=warm_up search=ready")

    def _plan_from_now_on(self) -> None:
        self._can_plan = True
        for desk in list(self.desks.values()):
            desk.warmed()

    async def _forget_now_and_then(self) -> None:
        while True:
            now = self.clock.now()
            closed = now - timedelta(seconds=self.settings.at_hand_s)
            # Never sooner than what is at hand: undo needs the taps of the present night.
            answered = min(closed, now - timedelta(seconds=self.settings.remember_s))
            try:
                await asyncio.to_thread(self.store.forget, answered)
                for desk in list(self.desks.values()):
                    await desk.forget(closed)
            except Exception:
                log.exception("action=forget")
            await asyncio.sleep(FORGET_EVERY_S)
