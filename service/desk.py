"""One bar's desk: every change goes over it, one at a time, and is kept before it is answered.

An action works on a draft; the new tickets are put into the order; draft, order, tap and answer
are kept in one transaction; only then does the bar's state change and do the screens hear of it.
All of that happens in a worker thread: the event loop only waits.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Generic, TypeVar

from immutables import Map

from service.files.stored import house_record
from service.night.ids import new_id
from service.night.records import Answer, OrderRecord, ShownBuild, TapRecord
from service.night.state import BarState, Draft, without_old
from service.order.shown import Shown
from service.planning.aside import StepAside
from service.planning.quick import Planned, is_worth_showing, newly_shown, quick_plan, unplanned
from solver.plan import Plan

from .clock import Clock
from .errors import BadTicket
from .settings import Settings
from .store import Batch, Store

log = logging.getLogger("threedeep.desk")

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Replied:
    """An answer over HTTP, in full, so that it can be given again."""

    status: int
    body: str
    is_replay: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Generic[Result]):
    """One thing asked of a desk.

    Attributes
    ----------
    action : callable
        Changes the draft and gives what is to be said about it.
    reply : callable
        Turns that, the new state and the tap's id into the answer.
    screen : str
        Whose tap it is, for undo; empty for what is no tap.
    said : callable
        Gives the words kept with the tap.
    key, fingerprint : str
        Idempotency key and what the request was; empty for none.
    name : str
        What it is, for the log.
    """

    action: Callable[[Draft], Result]
    reply: Callable[[Result, BarState, str], Replied]
    said: Callable[[Result], str] = lambda _: ""
    screen: str = ""
    is_tap: bool = False
    undone: Callable[[Result], TapRecord] | None = None
    key: str = ""
    fingerprint: str = ""
    name: str = "tap"


class Desk:
    """The desk of one bar.

    Parameters
    ----------
    state : BarState
    store : Store
    clock : Clock
    settings : Settings
    aside : StepAside
        Makes searches wait while a desk is at work.
    """

    def __init__(
        self, state: BarState, store: Store, clock: Clock, settings: Settings, aside: StepAside
    ) -> None:
        self.shown = Shown(state, settings.shown_made_s)
        self.dirty = asyncio.Event()
        self.can_plan = False
        self.num_kept = 0
        self._store = store
        self._clock = clock
        self._settings = settings
        self._aside = aside
        self._one_at_a_time = threading.Lock()
        self._loop = asyncio.get_running_loop()
        self._changed = asyncio.Event()

    @property
    def state(self) -> BarState:
        """The bar as it is."""
        return self.shown.state

    def write_out(self, shown: Shown, bartender: str) -> tuple[bytes, str]:
        """Give the bytes and the ETag of what is shown; searches wait meanwhile."""
        with self._aside.serving():
            return shown.body(bartender)

    async def ask(self, ask: Ask[Result]) -> Replied:
        """Do one thing; when this returns, it is kept."""
        return await asyncio.to_thread(self.do, ask)

    async def wait_for_change(self, since: int, timeout_s: float) -> bool:
        """Wait until the revision is another than `since`; False when nothing changed in time."""
        deadline = self._loop.time() + timeout_s
        while self.state.revision == since:
            left_s = deadline - self._loop.time()
            if left_s <= 0 or self._is_stopping:
                return False
            try:
                async with asyncio.timeout(left_s):
                    await self._changed.wait()
            except TimeoutError:
                return self.state.revision != since
        return True

    _is_stopping = False

    def warmed(self) -> None:
        """Note that the planner can plan, or plan better now; called from any thread."""
        self.can_plan = True
        # Stopped before the planner was ready: nobody is there any more to be told.
        with suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self.dirty.set)

    def stop(self) -> None:
        """Let everybody go who waits for a change."""
        self._is_stopping = True
        self._tell()

    @property
    def is_stopping(self) -> bool:
        """Whether waiting is over for good."""
        return self._is_stopping

    def show(self, planned: Planned, version: int) -> bool:
        """Show a searched plan, unless it says nothing new or the bar goes on changing.

        Called from a worker thread. A plan for a bar that has changed is put into the present
        one, and the cheaper of the two stands; nobody has to wait for that.
        """
        state = self.state
        if state.version != version:
            # Begun while nobody is being served, it is mostly done before the next one is.
            self._aside.search_clock()
            state = self.state
            planned = self._reconciled(state, planned)
        with self._one_at_a_time:
            if self.state.version != state.version:
                # It changed once more: the search for that change is due already.
                return False
            return self._show(planned)

    def _show(self, planned: Planned) -> bool:
        state, now = self.state, self._clock.now()
        if state.order is None or not is_worth_showing(state.order, planned):
            return False
        order = OrderRecord(
            revision=state.revision + 1,
            as_of=now,
            moment=planned.moment,
            plan=planned.plan,
            trouble=planned.trouble,
        )
        shown = newly_shown(state, planned.plan)
        self._store.commit(Batch(bar=state.bar.id, at=now, order=order, shown=shown))
        self._set(replace(state, order=order, shown=_with(state, shown)), is_searched=True)
        return True

    async def forget(self, before: datetime) -> None:
        """Let go of closed tickets, lapsed marks and shown builds from before a time."""
        await asyncio.to_thread(self._forget, before)

    def _forget(self, before: datetime) -> None:
        with self._one_at_a_time:
            state, lapsed = without_old(self.state, before)
            if lapsed:
                batch = Batch(bar=state.bar.id, at=self._clock.now(), dropped=lapsed)
                self._store.commit(batch)
            if state is not self.state:
                self._set(state)

    def _quick(self, state: BarState, now: datetime) -> Planned:
        if not self.can_plan:
            return unplanned(state, now)
        return quick_plan(state, now, self._clock.monotonic)

    def _reconciled(self, state: BarState, planned: Planned) -> Planned:
        now = self._clock.now()
        as_shown = quick_plan(state, now, self._clock.monotonic)
        if state.order is None or planned.plan is None:
            return as_shown
        order = replace(state.order, plan=planned.plan, moment=planned.moment)
        other = quick_plan(replace(state, order=order), now, self._clock.monotonic)
        if other.trouble or _cost(other.plan) >= _cost(as_shown.plan):
            return as_shown
        return other

    def do(self, ask: Ask[Result]) -> Replied:
        """Do one thing, in the worker thread that calls this."""
        with self._aside.serving(), self._one_at_a_time:
            now, began = self._clock.now(), self._clock.monotonic()
            base = self.state
            if ask.key and (known := self._store.answer(base.bar.id, ask.key)):
                return _again(known, ask.fingerprint)
            draft = Draft(base, now)
            result = ask.action(draft)
            state = draft.state
            planned = self._quick(state, now)
            order = OrderRecord(
                revision=base.revision + 1,
                as_of=now,
                moment=planned.moment,
                plan=planned.plan,
                trouble=planned.trouble,
            )
            shown = newly_shown(base, planned.plan)
            state = replace(state, order=order, shown=_with(state, shown))
            tap = self._tap(ask, draft, result)
            replied = ask.reply(result, state, tap.id if tap else "")
            self._store.commit(
                Batch(
                    bar=base.bar.id,
                    at=now,
                    house=house_record(state) if state.bar is not base.bar else None,
                    texts=draft.texts,
                    put=draft.put_records,
                    dropped=draft.dropped,
                    tap=tap,
                    shown=shown,
                    order=order,
                    answer=self._answer(ask, replied, draft),
                    prints=draft.prints,
                )
            )
            self.num_kept += 1
            self._set(state)
            took_ms = round((self._clock.monotonic() - began) * 1000)
            line = "action=%s bar=%s revision=%s took_ms=%s said=%s"
            log.info(line, ask.name, base.bar.id, order.revision, took_ms, ask.said(result))
        return replied

    def _tap(self, ask: Ask[Result], draft: Draft, result: Result) -> TapRecord | None:
        if ask.undone is not None:
            return ask.undone(result)
        if not ask.is_tap:
            return None
        return TapRecord(
            id=new_id("p", draft.now),
            screen=ask.screen,
            at=draft.now,
            said=ask.said(result),
            changed=draft.changed(),
        )

    @staticmethod
    def _answer(ask: Ask[Result], replied: Replied, draft: Draft) -> Answer | None:
        if not ask.key:
            return None
        return Answer(
            key=ask.key,
            fingerprint=ask.fingerprint,
            at=draft.now,
            status=replied.status,
            body=replied.body,
        )

    def _set(self, state: BarState, *, is_searched: bool = False) -> None:
        self.shown = Shown(state, self._settings.shown_made_s)
        self._loop.call_soon_threadsafe(self._tell)
        if not is_searched:
            # What a search itself found asks for no further search.
            self._loop.call_soon_threadsafe(self.dirty.set)

    def _tell(self) -> None:
        before, self._changed = self._changed, asyncio.Event()
        before.set()


def _again(known: Answer, fingerprint: str) -> Replied:
    if known.fingerprint != fingerprint:
        raise BadTicket(
            f"expected the same request with idempotency key '{_as_sent(known.key)}' as before; "
            "came another: a new request wants a new key"
        )
    return Replied(status=known.status, body=known.body, is_replay=True)


def _as_sent(key: str) -> str:
    """Give a key without the word before it that says what it was sent with."""
    return key.partition(" ")[2] or key


def _with(state: BarState, shown: list[ShownBuild]) -> Map[str, ShownBuild]:
    return state.shown.update({build.id: build for build in shown})


def _cost(plan: Plan | None) -> int:
    return plan.cost if plan is not None else 1 << 62
