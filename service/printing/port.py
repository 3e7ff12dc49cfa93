"""The print port of one bar: a raw TCP port that takes what tills send to a printer."""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Awaitable, Callable

from .house import Address, Prints
from .line import Line, Takes
from .profile import Paper

log = logging.getLogger("threedeep.prints")

MOST_LINES = 64
"""Connections served at once; a bar has a handful of tills, and some leave old ones open."""
MOST_HELD = 256
"""Connections that wait to be served, their bytes with the system; more are turned away."""
OLD_S = 60.0
"""A connection that was quiet between two prints for so long may go where others wait."""
LOOK_S = 0.5

USUAL_PAPER = Paper()
ALIVE = (("TCP_KEEPIDLE", 60), ("TCP_KEEPINTVL", 15), ("TCP_KEEPCNT", 4))
"""A till whose cable was pulled is noticed within two minutes."""

Refused = Callable[[str], Awaitable[None]]


class Port:
    """Listens for the tills of one bar.

    Parameters
    ----------
    takes : Takes
        Where prints go.
    address : Address
    prints : callable
        Gives what the bar does with prints, as it is told now.
    refused : callable
        Is told the address of a sender who is not let in.
    """

    def __init__(
        self,
        takes: Takes,
        *,
        address: Address,
        prints: Callable[[], Prints],
        refused: Refused,
    ) -> None:
        self.address = address
        self._takes = takes
        self._prints = prints
        self._refused = refused
        self._lines: dict[asyncio.Task[None], Line] = {}
        self._server: asyncio.Server | None = None
        self._held: set[asyncio.Task[None]] = set()

    @property
    def num_lines(self) -> int:
        """How many connections are open."""
        return len(self._lines)

    async def open(self) -> None:
        """Begin to listen.

        Raises
        ------
        OSError
            When the address is not of this machine, or taken.
        """
        self._server = await asyncio.start_server(
            self._serve, self.address.host, self.address.port, reuse_address=True
        )
        log.info("action=open_port bar=%s address=%s", self._takes.bar, self.address)

    async def close(self) -> None:
        """Stop listening and close every connection; what is kept of them is read at next start."""
        if self._server is not None:
            self._server.close()
        tasks = [*self._lines, *self._held]
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
        if self._server is not None:
            await self._server.wait_closed()
        log.info("action=close_port bar=%s address=%s", self._takes.bar, self.address)

    def _paper(self) -> Paper:
        profile = self._prints().profile
        return profile.paper if profile is not None else USUAL_PAPER

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        sender = str(writer.get_extra_info("peername")[0]).removeprefix("::ffff:")
        is_listed, is_full = self._prints().lets_in(sender), len(self._held) >= MOST_HELD
        if is_listed and not is_full:
            try:
                _keep_alive(writer.get_extra_info("socket"))
                await self._seated(reader, writer, sender)
            except asyncio.CancelledError:
                # Only the port itself does that; asyncio's streams would log it as a fault.
                log.info("action=end_line bar=%s sender=%s", self._takes.bar, sender)
            finally:
                writer.close()
            return
        why = "too many" if is_listed else "not listed"
        log.warning("action=refuse_sender bar=%s sender=%s: %s", self._takes.bar, sender, why)
        writer.transport.abort()
        if not is_listed:
            await self._refused(sender)

    async def _seated(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, sender: str
    ) -> None:
        task = asyncio.current_task()
        assert task is not None  # noqa: S101 (a connection is served by a task)
        self._held.add(task)
        try:
            await self._seat()
        finally:
            self._held.discard(task)
        line = Line(self._takes, sender=sender, paper=self._paper)
        self._lines[task] = line
        try:
            await line.serve(reader, writer)
        finally:
            del self._lines[task]

    async def _seat(self) -> None:
        """Wait until another connection can be served; what it sends meanwhile is not lost.

        Where all are taken, the one that was quiet for longest goes, if it was quiet for long.
        """
        while len(self._lines) >= MOST_LINES:
            now = self._takes.clock.monotonic()
            old = [
                (line.heard_at, number)
                for number, line in enumerate(self._lines.values())
                if line.is_idle and now - line.heard_at > OLD_S
            ]
            if old:
                list(self._lines)[min(old)[1]].cancel()
            await asyncio.sleep(0 if old else LOOK_S)


def _keep_alive(sock: socket.socket) -> None:
    """Have the system notice a till that is gone without a word."""
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    for name, value in ALIVE:
        if hasattr(socket, name):
            sock.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)
