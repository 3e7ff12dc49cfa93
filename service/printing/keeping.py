"""Keeps the bytes of tills: written and synced before anybody reads them, many at once.

What comes while a write runs goes into the next one together, so that fifty tills cost no more
syncs than one.
"""

from __future__ import annotations

import asyncio
import logging
from concurrent.futures import ThreadPoolExecutor

from service.night.prints import Chunk
from service.store import Store

log = logging.getLogger("threedeep.prints")


class Keeper:
    """Writes chunks into the store.

    Parameters
    ----------
    store : Store

    Attributes
    ----------
    is_online : bool
        The last write went well: what is sent now will be kept.
    """

    def __init__(self, store: Store) -> None:
        self.is_online = True
        self._store = store
        self._waiting: list[tuple[Chunk, asyncio.Future[bool]]] = []
        self._task: asyncio.Task[None] | None = None
        # A thread of its own: tickets that are being planned must not make a till wait.
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="keep")

    async def keep(self, chunk: Chunk) -> bool:
        """Keep some bytes; True once they survive a pulled plug, False where they cannot be."""
        done: asyncio.Future[bool] = asyncio.get_running_loop().create_future()
        self._waiting.append((chunk, done))
        if self._task is None or self._task.done():
            self._task = asyncio.create_task(self._write(), name="keep prints")
        return await done

    async def close(self) -> None:
        """Write what waits, and end."""
        if self._task is not None:
            await asyncio.gather(self._task, return_exceptions=True)
        self._pool.shutdown(wait=True)

    async def _write(self) -> None:
        loop = asyncio.get_running_loop()
        while self._waiting:
            now, self._waiting = self._waiting, []
            try:
                chunks = [chunk for chunk, _ in now]
                await loop.run_in_executor(self._pool, self._store.keep_bytes, chunks)
            except Exception as error:  # noqa: BLE001 (whatever the disk says, the till is told)
                log.error("action=keep_bytes chunks=%s failed: %s", len(now), error)
                self.is_online = False
            else:
                self.is_online = True
            for _, done in now:
                if not done.done():
                    done.set_result(self.is_online)
