"""From received prints to tickets: read, and taken over the bar's desk, many in one go.

While the desk is at work, prints gather; then all of them go over it together, so that fifty prints
a second cost a few plans and not fifty. Order is kept: a void does not overtake its ticket. A print
that comes alone is taken at once.
"""

from __future__ import annotations

import asyncio
import logging
from collections import Counter as Tally
from collections import deque
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from service.desk import Ask, Desk, Replied
from service.files.bars import Bar
from service.naming import NO_ALIASES, recipes_spelled
from service.night.prints import Became, PrintRecord
from service.night.records import TicketRecord
from service.night.state import BarState, Draft
from service.store import Store
from service.taps.arrived import Arrived, for_a_person
from service.taps.clocks import held_up_together
from service.taps.printed import record_of, take

from .prints import Print, PrintKind
from .profile import Profile
from .raw import Received
from .reading import read_print
from .times import resolve

log = logging.getLogger("threedeep.prints")

MOST_AT_ONCE = 64
MOST_READ = 65_536
APART_S = 0.04
"""From one batch's begin to the next one's, at least: what comes meanwhile shares a plan."""
AGAIN_S = 1.0
"""How long to wait where the desk did not take prints, before they are offered again."""

NO_PROFILE = Profile(name="none")

OUR_FAULT = "a print could not be taken, by a fault of ours"
"""Said to the bar; the log has the rest."""


class Intake:
    """Takes the prints of one bar in.

    Parameters
    ----------
    desk : Desk
    store : Store
    """

    def __init__(self, desk: Desk, store: Store) -> None:
        self.num_taken = 0
        self._desk = desk
        self._store = store
        self._waiting: deque[tuple[Received, asyncio.Future[PrintRecord]]] = deque()
        self._has_some = asyncio.Event()
        self._task = asyncio.create_task(self._run(), name=f"prints {desk.state.bar.id}")

    def put(self, received: Received) -> asyncio.Future[PrintRecord]:
        """Have a print taken in; what became of it is known once it is kept."""
        done: asyncio.Future[PrintRecord] = asyncio.get_running_loop().create_future()
        self._waiting.append((received, done))
        self._has_some.set()
        return done

    async def close(self) -> None:
        """Stop; what waits is read again from the store at the next start."""
        self._task.cancel()
        await asyncio.gather(self._task, return_exceptions=True)
        for _, done in self._waiting:
            done.cancel()

    async def _run(self) -> None:
        loop = asyncio.get_running_loop()
        begun = loop.time() - APART_S
        while True:
            await self._has_some.wait()
            await asyncio.sleep(begun + APART_S - loop.time())
            begun = loop.time()
            batch = list(self._waiting)[:MOST_AT_ONCE]
            try:
                records = await asyncio.to_thread(self._take, [one for one, _ in batch])
            except Exception:
                log.exception("action=take_prints bar=%s", self._desk.state.bar.id)
                await asyncio.sleep(AGAIN_S)
                continue
            for (_, done), record in zip(batch, records, strict=True):
                self._waiting.popleft()
                if not done.done():
                    done.set_result(record)
            self.num_taken += len(batch)
            if not self._waiting:
                self._has_some.clear()

    def _take(self, received: Sequence[Received]) -> list[PrintRecord]:
        """Read some prints and take them over the desk, in one worker thread."""
        bar = self._desk.state.bar
        arrived = held_up_together(self._arrived(bar, one) for one in received)
        found: list[PrintRecord] = []

        def reply(records: list[PrintRecord], _state: BarState, _tap: str) -> Replied:
            found.extend(records)
            return Replied(status=200, body="")

        self._desk.do(
            Ask(
                action=lambda draft: self._all(draft, arrived),
                reply=reply,
                said=_said,
                name="prints",
            )
        )
        return found

    def _all(self, draft: Draft, arrived: Sequence[Arrived]) -> list[PrintRecord]:
        for one in arrived:
            # One that breaks takes nothing with it, neither its own half nor the others.
            apart = draft.apart()
            try:
                record = take(apart, one, _Known(apart, self._store).tickets)
            except Exception:
                log.exception("action=take_print bar=%s print=%s", draft.bar.id, one.id)
                apart = draft.apart()
                record = for_a_person(apart, record_of(apart, one), Became.UNREAD, OUR_FAULT)
            apart.prints.append(record)
            draft.take_over(apart)
        return draft.prints

    def _arrived(self, bar: Bar, received: Received) -> Arrived:
        """Read one print as far as it can be."""
        told = bar.prints.profile if bar.prints else None
        profile = told or NO_PROFILE
        zone = ZoneInfo(bar.timezone)
        names = recipes_spelled(bar.menu, NO_ALIASES)
        try:
            found = read_print(
                received.raw.data,
                profile,
                begins_with=received.raw.begins_with,
                is_name=lambda text: names.id_of(text) is not None,
            )
            said = resolve(found.printed, received.at, zone)
            lines = found.preview
        except Exception:
            # Kept as it is, and shown as far as that goes: nothing of a print may be lost.
            log.exception("action=read_print bar=%s print=%s", bar.id, received.id)
            found, said, lines = Print(kind=PrintKind.UNKNOWN), None, (OUR_FAULT,)
        return Arrived(
            id=received.id,
            stream=received.stream,
            from_byte=received.from_byte,
            to_byte=received.to_byte,
            sender=received.sender,
            received_at=received.at,
            # What a profile that nobody taught makes of it is no ticket.
            found=found if told else None,
            lines=lines,
            placed_at=received.at,
            said=said,
            is_whole=received.raw.is_whole,
            dropped_bytes=received.raw.dropped_bytes,
            begins_with=received.raw.begins_with,
            is_asked_for=received.is_asked_for,
        )


class _Known:
    """The tickets of a number: those at hand as the draft has them, older ones from the store."""

    def __init__(self, draft: Draft, store: Store) -> None:
        self._draft = draft
        self._store = store

    def tickets(self, day: str, till: str, number: str) -> list[TicketRecord]:
        """Give the tickets of a business day, till and number, in the order they came."""
        if here := self._draft.numbered(day, till, number):
            return here
        kept = self._store.same_number(
            self._draft.bar.id, business_day=day, till=till, number=number
        )
        return [one.ticket for one in kept]


def _said(records: Sequence[PrintRecord]) -> str:
    """Say what became of some prints, for the log: never what stands on them."""
    counts = Tally(record.became.value for record in records)
    return ", ".join(f"{count} {became}" for became, count in counts.items())
