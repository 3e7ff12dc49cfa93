"""Every rush of the service: one at a time a bar, few at a time a machine, each in its process."""

from __future__ import annotations

import asyncio
import contextlib
import json
import logging
import os
import sys
from dataclasses import dataclass, field, replace
from typing import Any

from service.clock import Clock
from service.errors import Conflict, NotFound, NotNow
from service.night.ids import new_id
from service.rush.busy import busy_here
from service.settings import Settings
from service.store import Store

from .child import STOPS_WITHIN_S
from .records import ENDED, RushRecord, RushState, kept, record_of

log = logging.getLogger("threedeep.rushes")

LONGEST_LINE = 64_000_000
"""Bytes of results on one line."""

BROKEN_OFF = "the service stopped while it ran, and nothing of it was kept: start it again"
ONE_THREAD = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"), "1"
)


@dataclass(slots=True, kw_only=True)
class _Running:
    record: RushRecord
    task: asyncio.Task[None] | None = None
    stop: asyncio.Event = field(default_factory=asyncio.Event)


class Rushes:
    """The rushes of all bars.

    Parameters
    ----------
    store : Store
    clock : Clock
    settings : Settings
    """

    def __init__(self, store: Store, clock: Clock, settings: Settings) -> None:
        self._store = store
        self._clock = clock
        self._room = asyncio.Semaphore(settings.rush_processes)
        self._running: dict[str, _Running] = {}
        self._is_closed = False

    async def open(self) -> None:
        """Say of every rush that was under way when the service stopped that it broke off."""
        ended = [state.value for state in ENDED]
        for row in await asyncio.to_thread(self._store.unfinished_rushes, ended):
            record = replace(
                record_of(row),
                state=RushState.BROKEN_OFF,
                said=BROKEN_OFF,
                ended_at=self._clock.now(),
                progress=None,
            )
            await asyncio.to_thread(self._store.keep_rush, kept(record))
            log.warning("action=rush_broken_off bar=%s rush=%s", record.bar, record.id)

    async def close(self) -> None:
        """Stop what runs; it is kept as broken off."""
        self._is_closed = True
        running = list(self._running.values())
        for one in running:
            one.stop.set()
        await asyncio.gather(*(one.task for one in running if one.task), return_exceptions=True)

    def of_bar(self, bar: str) -> RushRecord | None:
        """Give the rush of a bar that is under way."""
        return next((r.record for r in self._running.values() if r.record.bar == bar), None)

    async def start(
        self, bar: str, task: dict[str, Any], *, name: str, asked: dict[str, Any], night: str = ""
    ) -> RushRecord:
        """Start a rush.

        Parameters
        ----------
        bar : str
        task : dict
            All that the process is told, as JSON has it.
        name : str
        asked : dict
            What was asked, to be shown again.
        night : str
            The business day it replays.

        Raises
        ------
        Conflict
            When another rush of this bar is under way.
        NotNow
            When the service is stopping.
        """
        if self._is_closed:
            raise NotNow("expected a service that goes on; it is stopping: try again in a minute")
        if (other := self.of_bar(bar)) is not None:
            raise Conflict(
                f"expected no other rush of {bar} under way; '{other.name}' is {other.state.value}:"
                " wait for it, or cancel it first",
                state={"rush": other.id},
            )
        now = self._clock.now()
        record = RushRecord(
            id=new_id("r", now),
            bar=bar,
            name=name,
            state=RushState.WAITING,
            said="waits for its turn: rushes of this service run one after the other",
            asked=asked,
            told_at=now,
            night=night,
        )
        one = _Running(record=record)
        # Before anything is waited for: two requests at once must not both find the place free.
        self._running[record.id] = one
        try:
            await self._keep(record)
        except BaseException:
            del self._running[record.id]
            raise
        one.task = asyncio.create_task(self._see_through(one, task), name=f"rush {record.id}")
        log.info("action=rush_told bar=%s rush=%s", bar, record.id)
        return record

    async def of(self, bar: str) -> list[RushRecord]:
        """Give the rushes kept of a bar, newest first, as they stand."""
        rows = await asyncio.to_thread(self._store.rushes, bar)
        found = await asyncio.to_thread(lambda: [record_of(row) for row in rows])
        running = {one.record.id: one.record for one in self._running.values()}
        return [running.get(record.id, record) for record in found]

    async def get(self, rush: str) -> RushRecord:
        """Give a rush as it stands (`NotFound`)."""
        if (one := self._running.get(rush)) is not None:
            return one.record
        row = await asyncio.to_thread(self._store.rush, rush)
        if row is None:
            raise NotFound(
                f"expected the id of a rush; came {rush!r}: it may be an old one that was dropped"
            )
        return await asyncio.to_thread(record_of, row)

    async def cancel(self, rush: str) -> RushRecord:
        """Stop a rush and give it as it ended; one that was cancelled already is given again.

        Raises
        ------
        NotFound, Conflict
            Unknown; or ended by itself.
        """
        if (one := self._running.get(rush)) is not None:
            one.stop.set()
            if one.task is not None:
                await asyncio.shield(one.task)
        record = await self.get(rush)
        if record.state is not RushState.CANCELLED:
            raise Conflict(
                f"expected a rush that is under way; this one is "
                f"{record.state.value.replace('_', ' ')} already: there is nothing to cancel",
                state={"rush": rush},
            )
        return record

    async def _see_through(self, one: _Running, task: dict[str, Any]) -> None:
        try:
            if await self._has_room(one):
                try:
                    await self._run(one, task)
                finally:
                    self._room.release()
            else:
                self._end(one, RushState.CANCELLED, "cancelled before it began")
        except Exception as error:
            log.exception("action=rush rush=%s", one.record.id)
            self._end(one, RushState.FAILED, f"a fault of ours ({error}): tell us if it stays")
        if self._is_closed and one.record.state is not RushState.DONE:
            one.record = replace(
                one.record, state=RushState.BROKEN_OFF, said=BROKEN_OFF, results=None
            )
        try:
            await self._keep(one.record)
        finally:
            del self._running[one.record.id]
            log.info("action=rush_ended rush=%s state=%s", one.record.id, one.record.state.value)

    async def _has_room(self, one: _Running) -> bool:
        """Wait for a process to be free; False when it was cancelled meanwhile."""
        room = asyncio.create_task(self._room.acquire())
        stop = asyncio.create_task(one.stop.wait())
        await asyncio.wait({room, stop}, return_when=asyncio.FIRST_COMPLETED)
        stop.cancel()
        if one.stop.is_set():
            if room.done():
                self._room.release()
            room.cancel()
            return False
        return True

    async def _run(self, one: _Running, task: dict[str, Any]) -> None:
        child = await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "service.manager.child"),
            stdin=asyncio.subprocess.PIPE,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.PIPE,
            limit=LONGEST_LINE,
            env={**os.environ, **ONE_THREAD},
        )
        stopping = asyncio.create_task(self._stop_when_asked(one, child))
        listening = asyncio.create_task(_last_words(child))
        try:
            one.record = replace(
                one.record,
                state=RushState.RUNNING,
                said="; ".join(filter(None, ("getting ready", busy_here()))),
                begun_at=self._clock.now(),
            )
            await self._keep(one.record)
            text = await asyncio.to_thread(json.dumps, task)
            with contextlib.suppress(ConnectionError):
                assert child.stdin is not None  # noqa: S101 (for the types)
                child.stdin.write(text.encode() + b"\n")
                await child.stdin.drain()
            told = await self._listen(one, child)
        finally:
            stopping.cancel()
            if child.returncode is None:
                with contextlib.suppress(ProcessLookupError):
                    child.kill()
            await asyncio.gather(stopping, return_exceptions=True)
            await child.wait()
            words = await listening
        self._conclude(one, told, words)

    async def _listen(self, one: _Running, child: asyncio.subprocess.Process) -> dict[str, Any]:
        """Take in what the process tells until it has no more to say; give its last word."""
        last: dict[str, Any] = {}
        assert child.stdout is not None  # noqa: S101 (for the types)
        while line := await child.stdout.readline():
            told = await asyncio.to_thread(json.loads, line)
            if "progress" in told:
                one.record = replace(
                    one.record, said=told["progress"].get("said", ""), progress=told["progress"]
                )
            else:
                last = told
                break
        return last

    async def _stop_when_asked(self, one: _Running, child: asyncio.subprocess.Process) -> None:
        await one.stop.wait()
        one.record = replace(one.record, said="stopping")
        assert child.stdin is not None  # noqa: S101 (for the types)
        child.stdin.close()
        if not self._is_closed:
            # It ends itself by then; one that cannot even do that is killed.
            await asyncio.sleep(STOPS_WITHIN_S + 1.0)
        with contextlib.suppress(ProcessLookupError):
            child.kill()

    def _conclude(self, one: _Running, told: dict[str, Any], words: str) -> None:
        results = told.get("results")
        if one.stop.is_set():
            has_some = bool(results and results.get("is_some", True))
            said = "cancelled; what was whole by then is kept" if has_some else "cancelled"
            self._end(one, RushState.CANCELLED, said, results if has_some else None)
        elif results is not None:
            self._end(one, RushState.DONE, str(results.get("said", "done")), results)
        else:
            fault = told.get("fault") or words or "its process ended without a word"
            log.error("action=rush rush=%s fault=%s", one.record.id, fault)
            self._end(one, RushState.FAILED, f"a fault of ours ({fault}): tell us if it stays")

    def _end(
        self, one: _Running, state: RushState, said: str, results: dict[str, Any] | None = None
    ) -> None:
        one.record = replace(
            one.record,
            state=state,
            said=said,
            ended_at=self._clock.now(),
            progress=None if state is RushState.DONE else one.record.progress,
            results=results,
        )

    async def _keep(self, record: RushRecord) -> None:
        await asyncio.to_thread(lambda: self._store.keep_rush(kept(record)))


async def _last_words(child: asyncio.subprocess.Process) -> str:
    """Give the last line a process wrote about its trouble."""
    assert child.stderr is not None  # noqa: S101 (for the types)
    last = ""
    while line := await child.stderr.readline():
        last = line.decode(errors="replace").strip() or last
    return last
