"""The prints of all bars: ports opened and closed as bars are told, what was cut short taken up.

One task looks now and then what every bar says of its prints: a port that is named is opened, one
that is named no more is closed, old prints are deleted. At a start, what had been kept and not
read is read first.
"""

from __future__ import annotations

import asyncio
import errno
import logging
from dataclasses import dataclass, field, replace
from datetime import timedelta
from itertools import groupby

from service.clock import Clock
from service.desk import Ask, Desk, Replied
from service.errors import NotNow
from service.night.ids import new_id
from service.night.prints import Chunk, PrintRecord
from service.settings import Settings
from service.store import Store
from service.taps.notes import note_printer
from service.taps.said import Said

from .forwarding import Forwarder
from .house import Address, Prints
from .intake import Intake
from .keeping import Keeper
from .lexicon import lexicon_of
from .line import Takes
from .port import USUAL_PAPER, Port
from .profile import Ends, Paper, Profile
from .raw import Received
from .splitting import End, RawPrint, Splitter

log = logging.getLogger("threedeep.prints")

NO_PRINTS = Prints()
AGAIN_S = 5.0
FORGET_EVERY_S = 3600.0
REFUSED_SHOWN = timedelta(hours=1)
MOST_REFUSED = 5
"""Addresses shown that wanted to print and were not let in."""


@dataclass(slots=True, kw_only=True)
class Tills:
    """What one bar has open for its tills."""

    desk: Desk
    intake: Intake
    port: Port | None = None
    forwarder: Forwarder | None = None
    ready_for: Profile | None = None
    num_dropped: int = 0
    tried: Address | None = None
    tried_at: float = 0.0
    refused: set[str] = field(default_factory=set)

    @property
    def prints(self) -> Prints:
        """What the bar does with prints, as it is told now."""
        return self.desk.state.bar.prints or NO_PRINTS

    @property
    def paper(self) -> Paper:
        """How its prints end."""
        return self.prints.profile.paper if self.prints.profile else USUAL_PAPER


class PrintRoom:
    """Takes the prints of every bar of a process.

    Parameters
    ----------
    desks : mapping of str to Desk
        Of all bars, as they are now: bars may come while this runs.
    store : Store
    clock : Clock
    settings : Settings
    """

    def __init__(
        self, desks: dict[str, Desk], store: Store, clock: Clock, settings: Settings
    ) -> None:
        self.keeper = Keeper(store)
        self.bars: dict[str, Tills] = {}
        self._desks = desks
        self._store = store
        self._clock = clock
        self._settings = settings
        self._forgot_at = -FORGET_EVERY_S
        self._task: asyncio.Task[None] | None = None

    async def open(self) -> None:
        """Read what had not been read, open the ports, and go on looking."""
        await self._look()
        self._task = asyncio.create_task(self._run(), name="print room")

    async def close(self) -> None:
        """Close the ports; what is kept and not read is read at the next start."""
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)
        for tills in self.bars.values():
            await self._shut(tills)
            await tills.intake.close()
        await self.keeper.close()

    async def post(self, desk: Desk, data: bytes, sender: str) -> list[PrintRecord]:
        """Take a request's bytes as the port takes a connection's.

        Raises
        ------
        NotNow
            When they cannot be kept.
        """
        tills = await self._tills(desk)
        stream, now = new_id("s", self._clock.now()), self._clock.now()
        chunk = Chunk(
            bar=desk.state.bar.id, stream=stream, position=0, at=now, sender=sender, data=data
        )
        if not await self.keeper.keep(chunk):
            raise NotNow("what you sent could not be kept: send it again, and look at the disk")
        # A request is a print however it ends.
        paper = replace(tills.paper, ends=(*tills.paper.ends, Ends.QUIET))
        waits = [
            self._put(tills, received) for received in _split([chunk], Splitter(paper), End.CLOSED)
        ]
        return list(await asyncio.gather(*waits))

    async def take(self, desk: Desk, record: PrintRecord) -> PrintRecord:
        """Read a print again that a person wants as a ticket, by the profile as it is now."""
        tills = await self._tills(desk)
        bar, stretch = desk.state.bar.id, (record.from_byte, record.to_byte)
        data = await asyncio.to_thread(lambda: self._store.bytes_of(bar, record.stream, *stretch))
        raw = RawPrint(
            data=data,
            begins_with=bytes.fromhex(record.begins_with),
            ended=End.CLOSED,
            is_whole=True,
            is_blank=False,
        )
        received = Received(
            id=record.id,
            stream=record.stream,
            from_byte=record.from_byte,
            sender=record.sender,
            at=record.received_at,
            raw=raw,
            is_asked_for=True,
        )
        return await tills.intake.put(received)

    @property
    def is_online(self) -> bool:
        """Whether what tills send can be kept."""
        return self.keeper.is_online

    def listening(self, bar: str) -> str | None:
        """Give where the print port of a bar listens now; None while it does not."""
        tills = self.bars.get(bar)
        return str(tills.port.address) if tills and tills.port else None

    def not_passed_on(self, bar: str) -> int:
        """Give how many prints the real printer of a bar did not get, since the start."""
        tills = self.bars.get(bar)
        if tills is None:
            return 0
        return tills.num_dropped + (tills.forwarder.num_dropped if tills.forwarder else 0)

    def waiting_for_printer(self, bar: str) -> int:
        """Give how many prints wait to be passed on to the real printer of a bar."""
        tills = self.bars.get(bar)
        return tills.forwarder.num_waiting if tills and tills.forwarder else 0

    async def _run(self) -> None:
        while True:
            await asyncio.sleep(self._settings.tick_s)
            try:
                await self._look()
            except Exception:
                log.exception("action=look_at_ports")
                await asyncio.sleep(AGAIN_S)

    async def _look(self) -> None:
        for desk in list(self._desks.values()):
            tills = await self._tills(desk)
            await self._fit_profile(tills)
            await self._fit_forwarder(tills)
            await self._fit_port(tills)
        if self._clock.monotonic() - self._forgot_at >= FORGET_EVERY_S:
            self._forgot_at = self._clock.monotonic()
            for bar, tills in self.bars.items():
                before = self._clock.now() - timedelta(days=tills.prints.keep_days)
                await asyncio.to_thread(self._store.forget_prints, bar, before)

    async def _fit_profile(self, tills: Tills) -> None:
        """Have a new profile's patterns made, which takes 0.1 s: the first print need not wait."""
        profile = tills.prints.profile
        if profile is not None and profile is not tills.ready_for:
            await asyncio.to_thread(lexicon_of, profile)
            tills.ready_for = profile

    async def _tills(self, desk: Desk) -> Tills:
        bar = desk.state.bar.id
        if bar not in self.bars:
            intake = Intake(desk, self._store)
            tills = self.bars[bar] = Tills(desk=desk, intake=intake)
            await self._take_up(tills)
        return self.bars[bar]

    async def _take_up(self, tills: Tills) -> None:
        """Read what was kept before a stop and not read: whole prints, and what broke off."""
        bar = tills.desk.state.bar.id
        chunks = await asyncio.to_thread(self._store.bytes_to_read, bar)
        for stream, group in groupby(sorted(chunks, key=lambda c: c.stream), lambda c: c.stream):
            rest = list(group)
            log.info(
                "action=take_up bar=%s stream=%s bytes=%s",
                *(bar, stream, sum(len(chunk.data) for chunk in rest)),
            )
            splitter = Splitter(tills.paper)
            before = await asyncio.to_thread(self._store.bytes_of, bar, stream, 0, rest[0].position)
            # Settings that the till made before, such as its code page, are still in force.
            splitter.feed(before)
            splitter.finish(End.QUIET)
            for received in _split(rest, splitter, End.BROKEN):
                self._put(tills, received)

    def _put(self, tills: Tills, received: Received) -> asyncio.Future[PrintRecord]:
        if tills.forwarder is not None and not received.raw.is_blank:
            tills.forwarder.put(received.raw.begins_with + received.raw.data)
        return tills.intake.put(received)

    async def _fit_port(self, tills: Tills) -> None:
        """Have the port open that the bar names, and no other."""
        wanted = tills.prints.address
        if tills.port is not None and tills.port.address != wanted:
            await tills.port.close()
            tills.port = None
        now = self._clock.monotonic()
        if wanted is None or tills.port is not None:
            return
        if wanted == tills.tried and now - tills.tried_at < AGAIN_S:
            return
        tills.tried, tills.tried_at = wanted, now
        bar = tills.desk.state.bar.id
        takes = Takes(
            bar=bar,
            keeper=self.keeper,
            clock=self._clock,
            take=lambda received: self._put(tills, received),
        )
        port = Port(
            takes,
            address=wanted,
            prints=lambda: tills.prints,
            refused=lambda sender: self._refused(tills, sender),
        )
        try:
            await port.open()
        except OSError as error:
            words = f"prints are NOT taken in: {_why_closed(error, wanted)}"
            # It is tried every few seconds, and said once.
            if _noted(tills, "port") != words:
                log.warning("action=open_port bar=%s address=%s failed: %s", bar, wanted, words)
            await self._note(tills, "port", words)
            return
        tills.port = port
        await self._note(tills, "port", "")

    async def _fit_forwarder(self, tills: Tills) -> None:
        """Have the printer behind us that the bar names, and no other."""
        wanted = tills.prints.printer
        if tills.forwarder is not None and tills.forwarder.address != wanted:
            await tills.forwarder.close()
            tills.num_dropped += tills.forwarder.num_dropped
            tills.forwarder = None
            await self._note(tills, "forward", "")
        if wanted is not None and tills.forwarder is None:
            tills.forwarder = Forwarder(
                wanted,
                tell=lambda words: self._note(tills, "forward", words),
                # Said until somebody has seen it: that the printer is right again brings none back.
                tell_dropped=lambda words: self._note(tills, "dropped", words),
            )

    async def _refused(self, tills: Tills, sender: str) -> None:
        if sender in tills.refused or len(tills.refused) >= MOST_REFUSED:
            return
        tills.refused.add(sender)
        words = f"{sender} wants to print and is not among the senders of this bar's prints"
        await self._note(tills, f"sender {sender}", words, REFUSED_SHOWN)

    async def _note(
        self, tills: Tills, key: str, words: str, lasts: timedelta | None = None
    ) -> None:
        """Tell the bar what is wrong, once, and once that it is right again."""
        if _noted(tills, key) == words:
            return
        ask: Ask[Said] = Ask(
            action=lambda draft: note_printer(draft, key, words, lasts),
            reply=lambda _said, _state, _tap: Replied(status=200, body=""),
            said=lambda said: said.words,
            name="printer",
        )
        await tills.desk.ask(ask)

    async def _shut(self, tills: Tills) -> None:
        if tills.port is not None:
            await tills.port.close()
        if tills.forwarder is not None:
            await tills.forwarder.close()


def _noted(tills: Tills, key: str) -> str:
    """Give what the bar is told of now under a key; nothing where all is right."""
    mark = tills.desk.state.marks.get(f"printer {key}")
    return mark.words if mark else ""


def _split(chunks: list[Chunk], splitter: Splitter, ended: End) -> list[Received]:
    """Give the prints in what is kept of one stream, the last one ended as it says."""
    first = chunks[0]
    at = first.position
    found = []
    for chunk in chunks:
        prints = [one for one in splitter.feed(chunk.data) if isinstance(one, RawPrint)]
        if chunk is chunks[-1] and (last := splitter.finish(ended)) is not None:
            prints.append(last)
        for raw in prints:
            received = Received(
                id=new_id("r", chunk.at),
                stream=first.stream,
                from_byte=at,
                sender=first.sender,
                at=chunk.at,
                raw=raw,
            )
            at = received.to_byte
            found.append(received)
    return found


def _why_closed(error: OSError, address: Address) -> str:
    """Say why a port cannot be opened, and what to do."""
    match error.errno:
        case errno.EADDRINUSE:
            return (
                f"port {address.port} of {address.host} is taken by another program: end that one, "
                "or name another port under prints: listen"
            )
        case errno.EADDRNOTAVAIL:
            return (
                f"{address.host} is no address of this machine: name one that is, under prints: "
                "listen"
            )
        case errno.EACCES:
            return (
                f"port {address.port} may not be opened by this user: name one above 1023 under "
                "prints: listen"
            )
    return f"{address} cannot be opened ({error.strerror or error})"
