"""Passes prints on to a real printer, behind the bar's back: its failures never hold the bar up."""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Awaitable, Callable
from contextlib import suppress

from .house import Address

log = logging.getLogger("threedeep.prints")

MOST_WAITING = 200
MOST_WAITING_BYTES = 8_000_000
CONNECT_S = 5.0
SEND_S = 20.0
LINGER_S = 0.1
AGAIN_S = (1.0, 2.0, 5.0, 10.0, 30.0)
"""Waits between tries; the last one goes on."""

Said = Callable[[str], Awaitable[None]]


class Forwarder:
    """Sends prints to one printer, in order, as long as it takes them.

    Parameters
    ----------
    address : Address
    tell : callable
        Is told in words when the printer stops taking prints, and with nothing when it takes them
        again.
    tell_dropped : callable
        Is told in words how many prints it will not get any more.

    Attributes
    ----------
    num_dropped : int
        Prints that were not passed on, since this was made.
    """

    def __init__(self, address: Address, tell: Said, tell_dropped: Said) -> None:
        self.address = address
        self.num_dropped = 0
        self._tell = tell
        self._tell_dropped = tell_dropped
        self._num_told = 0
        self._before = 0
        self._is_down = False
        self._waiting: deque[bytes] = deque()
        self._waiting_bytes = 0
        self._has_some = asyncio.Event()
        self._task = asyncio.create_task(self._run(), name=f"forward to {address}")

    def put(self, data: bytes) -> None:
        """Have a print sent on; where too many wait, the oldest is not sent any more."""
        self._waiting.append(data)
        self._waiting_bytes += len(data)
        while len(self._waiting) > MOST_WAITING or (
            self._waiting_bytes > MOST_WAITING_BYTES and len(self._waiting) > 1
        ):
            self._waiting_bytes -= len(self._waiting.popleft())
            self.num_dropped += 1
        self._has_some.set()

    @property
    def num_waiting(self) -> int:
        """Prints that are still to be passed on."""
        return len(self._waiting)

    async def close(self) -> None:
        """End; what waits is not sent, and said to be so."""
        self._task.cancel()
        await asyncio.gather(self._task, return_exceptions=True)
        self.num_dropped += len(self._waiting)
        self._waiting.clear()
        await self._say_dropped()

    async def _say_dropped(self) -> None:
        """Say how many were dropped since the printer last took everything; once for many."""
        if self.num_dropped == self._num_told:
            return
        self._num_told = self.num_dropped
        num = self.num_dropped - self._before
        prints = "1 print was" if num == 1 else f"{num} prints were"
        log.warning("action=forward to=%s dropped=%s", self.address, num)
        await self._tell_dropped(
            f"{prints} not passed on to the printer at {self.address}: print again from the till "
            "what is wanted on paper; the tickets are all here"
        )

    async def _run(self) -> None:
        tries = 0
        while True:
            await self._has_some.wait()
            await self._say_dropped()
            data = self._waiting[0]
            try:
                await self._send(data)
            except (OSError, TimeoutError) as error:
                await self._down(error)
                await asyncio.sleep(AGAIN_S[min(tries, len(AGAIN_S) - 1)])
                tries += 1
                continue
            tries = 0
            await self._up()
            # While it was sent, it may have been dropped for being the oldest.
            if self._waiting and self._waiting[0] is data:
                self._waiting_bytes -= len(self._waiting.popleft())
            if not self._waiting:
                self._has_some.clear()
                await self._say_dropped()
                self._before = self.num_dropped

    async def _send(self, data: bytes) -> None:
        """Send one print over a connection of its own: none is held that could go stale."""
        async with asyncio.timeout(CONNECT_S):
            reader, writer = await asyncio.open_connection(self.address.host, self.address.port)
        listening = asyncio.create_task(_pass_over(reader))
        try:
            async with asyncio.timeout(SEND_S):
                writer.write(data)
                await writer.drain()
                writer.write_eof()
                # Closed by the printer, or quiet for a moment: everything is there.
                await asyncio.wait([listening], timeout=LINGER_S)
        finally:
            listening.cancel()
            writer.close()
            with suppress(OSError, TimeoutError):
                async with asyncio.timeout(1):
                    await writer.wait_closed()

    async def _down(self, error: Exception) -> None:
        if not self._is_down:
            self._is_down = True
            why = str(error) or "it does not answer"
            log.warning("action=forward to=%s failed: %s", self.address, why)
            await self._tell(
                f"the printer at {self.address} does not take prints: look at it; tickets come in "
                "here all the same"
            )

    async def _up(self) -> None:
        if self._is_down:
            self._is_down = False
            log.info("action=forward to=%s takes prints again", self.address)
            await self._tell("")


async def _pass_over(reader: asyncio.StreamReader) -> None:
    """Read what a printer answers, and forget it."""
    with suppress(OSError):
        while await reader.read(4096):
            pass
