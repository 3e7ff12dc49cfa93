"""The print port of one bar: a raw TCP port that takes what tills send to a printer."""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Awaitable, Callable
from contextlib import suppress

from .house import Address, Prints
from .line import Line, Takes
from .profile import Paper

log = logging.getLogger("threedeep.prints")

MOST_LINES = 32
"""Connections at once; a bar has a handful of tills, and some leave old connections open."""

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
        for task in list(self._lines):
            task.cancel()
        await asyncio.gather(*self._lines, return_exceptions=True)
        if self._server is not None:
            await self._server.wait_closed()
        log.info("action=close_port bar=%s address=%s", self._takes.bar, self.address)

    def _paper(self) -> Paper:
        profile = self._prints().profile
        return profile.paper if profile is not None else USUAL_PAPER

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        sender = str(writer.get_extra_info("peername")[0]).removeprefix("::ffff:")
        if not self._prints().lets_in(sender):
            log.warning("action=refuse_sender bar=%s sender=%s", self._takes.bar, sender)
            writer.transport.abort()
            await self._refused(sender)
            return
        if not self._has_room():
            log.warning("action=refuse_sender bar=%s sender=%s: too many", self._takes.bar, sender)
            writer.transport.abort()
            return
        _keep_alive(writer.get_extra_info("socket"))
        line = Line(self._takes, sender=sender, paper=self._paper)
        task = asyncio.current_task()
        assert task is not None  # noqa: S101 (a connection is served by a task)
        self._lines[task] = line
        try:
            await line.serve(reader, writer)
        finally:
            del self._lines[task]
            writer.close()
            with suppress(OSError):
                await writer.wait_closed()

    def _has_room(self) -> bool:
        """Make room for another till: the connection that was idle for longest goes first."""
        if len(self._lines) < MOST_LINES:
            return True
        idle = [(line.heard_at, task) for task, line in self._lines.items() if line.is_idle]
        if not idle:
            return False
        _, oldest = min(idle, key=lambda one: one[0])
        oldest.cancel()
        return True


def _keep_alive(sock: socket.socket) -> None:
    """Have the system notice a till that is gone without a word."""
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE, 1)
    for name, value in ALIVE:
        if hasattr(socket, name):
            sock.setsockopt(socket.IPPROTO_TCP, getattr(socket, name), value)
