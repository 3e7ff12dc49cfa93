"""One bar's desk: every change goes over it, one at a time, and is kept before it is answered.

An action works on a draft; the new tickets are put into the order; draft, order, tap and answer
are kept in one transaction; only then does the bar's state change and do the screens hear of it.
All of that happens in a worker thread: the event loop only waits.
"""

from __future__ import annotations

import asyncio
import hashlib
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Generic, TypeVar

from solver.plan import Plan

from .aside import StepAside
from .bars import Bar
from .clock import Clock
from .errors import BadTicket, Conflict
from .ids import new_id
from .orders import build_order
from .plans import Planned, is_worth_showing, newly_shown, quick_plan, unplanned
from .records import Answer, HouseRecord, OrderRecord, ShownBuild, TapRecord
from .schemas import COUNTER, MENU, STANDARDS
from .settings import Settings
from .state import BarState, Draft, without_old
from .store import Batch, Store

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
    """

    action: Callable[[Draft], Result]
    reply: Callable[[Result, BarState, str], Replied]
    said: Callable[[Result], str] = lambda _: ""
    screen: str = ""
    is_tap: bool = False
    undone: Callable[[Result], TapRecord] | None = None
    key: str = ""
    fingerprint: str = ""


@dataclass(slots=True)
class Shown:
    """The order of one revision, written out once for whoever asks."""

    state: BarState
    shown_made_s: float
    _bodies: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def body(self, bartender: str) -> tuple[bytes, str]:
        """Give the order's bytes and their ETag, for one bartender or (empty) for all."""
        with self._lock:
            if bartender not in self._bodies:
                order = self.state.order or _nothing_yet(self.state)
                found = build_order(self.state, order, shown_made_s=self.shown_made_s)
                if bartender:
                    mine = tuple(card for card in found.bartenders if card.id == bartender)
                    found = found.model_copy(update={"bartenders": mine})
                body = found.model_dump_json().encode()
                etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
                self._bodies[bartender] = (body, etag)
            return self._bodies[bartender]

    def is_written(self, bartender: str) -> bool:
        """Whether the bytes are at hand and asking for them costs nothing."""
        return bartender in self._bodies


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
        self.can_insert = False
        self.can_search = False
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

    async def ask(self, ask: Ask[Result]) -> Replied:
        """Do one thing; when this returns, it is kept."""
        return await asyncio.to_thread(self._do, ask)

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

    def warmed(self, *, can_search: bool) -> None:
        """Note that the planner can insert, or search as well; called from any thread."""
        self.can_insert = True
        self.can_search = can_search
        self._loop.call_soon_threadsafe(self.dirty.set)

    def stop(self) -> None:
        """Let everybody go who waits for a change."""
        self._is_stopping = True
        self._tell()

    @property
    def is_stopping(self) -> bool:
        """Whether waiting is over for good."""
        return self._is_stopping

    def insert_all(self) -> bool:
        """Show a quick plan of everything; for what came while the planner was getting ready."""
        with self._one_at_a_time:
            state, now = self.state, self._clock.now()
            return self._show(state, quick_plan(state, now, self._clock.monotonic), now)

    def show(self, planned: Planned, version: int) -> bool:
        """Show a searched plan, unless the bar has changed since or it says nothing new.

        Called from a worker thread. A plan for a bar that has changed is put into the present
        one; the cheaper of the two stands.
        """
        with self._one_at_a_time:
            state, now = self.state, self._clock.now()
            if state.version != version:
                planned = self._reconciled(state, planned)
            return self._show(state, planned, now)

    def _show(self, state: BarState, planned: Planned, now: datetime) -> bool:
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
            state = without_old(self.state, before)
            if state is not self.state:
                self._set(state)

    def _quick(self, state: BarState, now: datetime) -> Planned:
        if not self.can_insert:
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

    def _do(self, ask: Ask[Result]) -> Replied:
        with self._aside.serving(), self._one_at_a_time:
            now = self._clock.now()
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
                    put=draft.put_records,
                    dropped=draft.dropped,
                    tap=tap,
                    shown=shown,
                    order=order,
                    answer=self._answer(ask, replied, draft),
                )
            )
            self.num_kept += 1
            self._set(state)
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


def house_record(state: BarState) -> HouseRecord:
    """Write a bar down as the store keeps it."""
    bar = state.bar
    return HouseRecord(
        bar=bar.id,
        name=bar.name,
        timezone=bar.timezone,
        epoch=state.epoch,
        menu=MENU.dump_json(bar.menu, exclude_defaults=True).decode(),
        counter=COUNTER.dump_json(bar.counter, exclude_defaults=True).decode(),
        standards=STANDARDS.dump_json(bar.standards).decode(),
    )


def bar_of(house: HouseRecord) -> Bar:
    """Read a bar as the store keeps it."""
    return Bar(
        id=house.bar,
        name=house.name,
        timezone=house.timezone,
        menu=MENU.validate_json(house.menu),
        counter=COUNTER.validate_json(house.counter),
        standards=STANDARDS.validate_json(house.standards),
    )


def _again(known: Answer, fingerprint: str) -> Replied:
    if known.fingerprint != fingerprint:
        raise BadTicket(
            f"expected the same request with idempotency key {known.key!r} as before; came "
            "another: a new request wants a new key"
        )
    return Replied(status=known.status, body=known.body, is_replay=True)


def _nothing_yet(state: BarState) -> OrderRecord:
    raise Conflict(f"{state.bar.id} has no order yet")


def _with(state: BarState, shown: list[ShownBuild]) -> dict[str, ShownBuild]:
    return {**state.shown, **{build.id: build for build in shown}}


def _cost(plan: Plan | None) -> int:
    return plan.cost if plan is not None else 1 << 62
