"""One till's connection: bytes are kept first, then split into prints; status requests answered.

Nothing is read before it is kept. Where nothing can be kept, requests are answered "offline", what
has come is held and offered to the store again, and the till is not listened to further.
"""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from service.clock import Clock
from service.night.ids import new_id
from service.night.prints import Chunk

from .events import StatusRequest
from .keeping import Keeper
from .profile import Ends, Paper
from .raw import Received
from .scanner import Scanner
from .splitting import LARGEST_PRINT, End, RawPrint, Splitter
from .status import AT_ONCE, answer, watched

log = logging.getLogger("threedeep.prints")

PIECE = 16_384
"""Bytes read at once: a piece of noise must not hold the other tills up while it is looked at."""
SHORT_PIECE = 2_048
STALLED_S = 60.0
"""A print that is ended by a cut and goes on for so long without a byte broke off."""
AGAIN_S = 0.5
MOST_HELD = 262_144
"""Bytes that are held while nothing can be kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Takes:
    """What takes the bytes of a bar's tills.

    Attributes
    ----------
    bar : str
    keeper : Keeper
    clock : Clock
    take : callable
        Is given each print once it is kept.
    """

    bar: str
    keeper: Keeper
    clock: Clock
    take: Callable[[Received], object]


class Line:
    """Serves one connection.

    Parameters
    ----------
    takes : Takes
    sender : str
        Where it comes from.
    paper : callable
        Gives how the bar's prints end, as it is told now.
    """

    def __init__(self, takes: Takes, *, sender: str, paper: Callable[[], Paper]) -> None:
        self.sender = sender
        self.stream = new_id("s", takes.clock.now())
        self.heard_at = takes.clock.monotonic()
        self._takes = takes
        self._paper_now = paper
        self._paper = paper()
        self._splitter = Splitter(self._paper)
        self._position = 0
        self._print_at = 0
        self._watches = False
        self._held: deque[bytes] = deque()
        self._is_closed = False

    _reader: asyncio.StreamReader
    _writer: asyncio.StreamWriter

    @property
    def is_idle(self) -> bool:
        """Whether it is between two prints."""
        return not self._splitter.is_open

    async def serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Serve until the till, or somebody here, closes the connection."""
        self._reader, self._writer = reader, writer
        ended = End.BROKEN
        try:
            while (data := await self._read()) != b"":
                if data is None:
                    self._finish(End.QUIET)
                else:
                    await self._received(data, is_answered=False)
                while self._held:
                    await self._received(self._held.popleft(), is_answered=True)
            ended = End.CLOSED
        except OSError as error:
            log.info("action=line_broke bar=%s sender=%s: %s", self._takes.bar, self.sender, error)
        # A service that stops comes not so far: the rest is read at the next start.
        self._finish(ended)

    async def _read(self) -> bytes | None:
        """Give what comes next; None where it was quiet for long enough to end a print."""
        if self._is_closed:
            return b""
        if self.is_idle and self._paper != self._paper_now():
            self._paper = self._paper_now()
            self._splitter = Splitter(self._paper)
        is_quiet_end = Ends.QUIET in self._paper.ends
        patience = self._paper.quiet_s if is_quiet_end else STALLED_S
        try:
            async with asyncio.timeout(None if self.is_idle else patience):
                data = await self._reader.read(PIECE)
        except TimeoutError:
            return None
        self.heard_at = self._takes.clock.monotonic()
        return data

    async def _received(self, data: bytes, *, is_answered: bool) -> None:
        if self.is_idle and AT_ONCE.fullmatch(data):
            # A till that looks after its printer between prints: nothing to keep.
            if not is_answered:
                self._answer_all(data)
            return
        if self._position - self._print_at >= LARGEST_PRINT:
            await self._feed_full(data, is_answered=is_answered)
            return
        is_answered |= await self._keep(data, self._position)
        self._position += len(data)
        self._hand_on(await self._split(data), is_answered=is_answered)
        await self._writer.drain()

    async def _feed_full(self, data: bytes, *, is_answered: bool) -> None:
        """Take bytes of a print that is too long: counted, and kept only behind its end."""
        found = await self._split(data)
        end = next((one for one in found if isinstance(one, RawPrint)), None)
        if end is not None:
            behind = self._print_at + len(end.data) + end.dropped_bytes
            if rest := data[behind - self._position :]:
                await self._keep(rest, behind)
        self._position += len(data)
        self._hand_on(found, is_answered=is_answered)
        await self._writer.drain()

    async def _split(self, data: bytes) -> list[RawPrint | StatusRequest]:
        """Look where prints end; for long pieces aside, since noise takes its time."""
        if len(data) <= SHORT_PIECE:
            return self._splitter.feed(data)
        return await asyncio.to_thread(self._splitter.feed, data)

    async def _keep(self, data: bytes, position: int) -> bool:
        """Keep bytes, however long that takes; True where requests in them were answered here."""
        chunk = Chunk(
            bar=self._takes.bar,
            stream=self.stream,
            position=position,
            at=self._takes.clock.now(),
            sender=self.sender,
            data=data,
        )
        is_answered = False
        while not await self._takes.keeper.keep(chunk):
            if not is_answered:
                is_answered = True
                self._answer_all(data)
                self._say_watched()
            await self._listen_offline()
        if is_answered:
            self._say_watched()
        return is_answered

    async def _listen_offline(self) -> None:
        """Answer what the till asks while nothing can be kept; the rest of what it says waits."""
        if self._is_closed or sum(map(len, self._held)) >= MOST_HELD:
            await asyncio.sleep(AGAIN_S)
            return
        try:
            async with asyncio.timeout(AGAIN_S):
                data = await self._reader.read(PIECE)
        except TimeoutError:
            return
        except OSError:
            data = b""
        if data:
            self._held.append(data)
            self._answer_all(data)
        else:
            self._is_closed = True

    def _hand_on(self, found: Iterable[RawPrint | StatusRequest], *, is_answered: bool) -> None:
        for one in found:
            if isinstance(one, RawPrint):
                self._hand_over(one)
            elif not is_answered:
                self._answer(one)

    def _finish(self, ended: End) -> None:
        found = self._splitter.finish(ended)
        if found is not None:
            self._hand_over(found)

    def _hand_over(self, raw: RawPrint) -> None:
        received = Received(
            id=new_id("r", self._takes.clock.now()),
            stream=self.stream,
            from_byte=self._print_at,
            sender=self.sender,
            at=self._takes.clock.now(),
            raw=raw,
        )
        self._print_at = received.to_byte
        self._takes.take(received)

    def _answer_all(self, data: bytes) -> None:
        for event in Scanner().feed(data):
            if isinstance(event, StatusRequest):
                self._answer(event)

    def _answer(self, request: StatusRequest) -> None:
        if request.name == "GS a":
            self._watches = bool(request.asked)
        self._write(answer(request, is_online=self._takes.keeper.is_online))

    def _say_watched(self) -> None:
        if self._watches:
            self._write(watched(is_online=self._takes.keeper.is_online))

    def _write(self, data: bytes) -> None:
        if data and not self._writer.is_closing():
            self._writer.write(data)
