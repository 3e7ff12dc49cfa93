"""Where a print ends: by cut, by form feed or by quiet time, as the profile says.

One connection may carry many tickets, and one ticket may come in many pieces. Time is not looked
at here: whoever holds the clock calls `finish` when it has been quiet for long enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from .events import Code, Cut, DrawerPulse, Event, FormFeed, Picture, StatusRequest, Text
from .profile import Ends, Paper
from .scanner import Scanner

LARGEST_PRINT = 1_000_000
"""Bytes of one print that are kept; the rest is counted, not kept."""


class End(StrEnum):
    """What ended a print."""

    CUT = "cut"
    FEED = "feed"
    QUIET = "quiet"
    CLOSED = "closed"
    """The till closed the connection in good order."""
    BROKEN = "broken"
    """The connection broke off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RawPrint:
    """One print as bytes.

    Attributes
    ----------
    data : bytes
        As received; `LARGEST_PRINT` at most.
    begins_with : bytes
        Settings that were in force from earlier prints of the same connection, as bytes to be
        read before `data`; mostly empty.
    ended : End
    is_whole : bool
        It ended as the profile says tickets end, and not within a command.
    is_blank : bool
        Nothing is on paper and no drawer was opened: only settings, feeding, requests.
    dropped_bytes : int
        How many did not fit.
    """

    data: bytes
    begins_with: bytes
    ended: End
    is_whole: bool
    is_blank: bool
    dropped_bytes: int = 0


class Splitter:
    """Takes one connection's bytes and gives its prints, in order.

    Parameters
    ----------
    paper : Paper
        The profile's part about paper.
    largest : int
        Bytes of one print to keep at most.
    """

    def __init__(self, paper: Paper, *, largest: int = LARGEST_PRINT) -> None:
        self._ends = frozenset(paper.ends)
        self._largest = largest
        self._scanner = Scanner()
        self._begins_with = b""
        self._kept = bytearray()
        self._dropped = 0
        self._is_blank = True

    @property
    def is_open(self) -> bool:
        """Whether bytes have come since the last print ended."""
        return bool(self._kept)

    def feed(self, data: bytes) -> list[RawPrint | StatusRequest]:
        """Give what the next piece completes: prints, and requests that want an answer."""
        found: list[RawPrint | StatusRequest] = []
        done = 0
        for event, at in self._scanner.feed_at(data):
            if isinstance(event, StatusRequest):
                found.append(event)
            elif isinstance(event, Text):
                self._is_blank &= not event.raw.strip()
            elif isinstance(event, Picture | Code | DrawerPulse):
                self._is_blank = False
            end = self._end_by(event)
            if end is not None and not self._is_blank:
                self._keep(data[done:at])
                done = at
                found.append(self._print(end, is_whole=True))
        self._keep(data[done:])
        return found

    def finish(self, ended: End) -> RawPrint | None:
        """End the print that is open, if there is one.

        Parameters
        ----------
        ended : End
            `QUIET` where nothing came for the profile's time, `CLOSED` or `BROKEN` where the
            connection is gone.
        """
        is_half = bool(self._scanner.finish())
        if not self._kept:
            return None
        is_as_told = ended in (End.QUIET, End.CLOSED) and Ends.QUIET in self._ends
        return self._print(ended, is_whole=is_as_told and not is_half)

    def _end_by(self, event: Event) -> End | None:
        if isinstance(event, Cut) and Ends.CUT in self._ends:
            return End.CUT
        return End.FEED if isinstance(event, FormFeed) and Ends.FEED in self._ends else None

    def _keep(self, data: bytes) -> None:
        room = self._largest - len(self._kept)
        self._kept += data[:room]
        self._dropped += max(0, len(data) - room)

    def _print(self, ended: End, *, is_whole: bool) -> RawPrint:
        done = RawPrint(
            data=bytes(self._kept),
            begins_with=self._begins_with,
            ended=ended,
            is_whole=is_whole and not self._dropped,
            is_blank=self._is_blank,
            dropped_bytes=self._dropped,
        )
        self._kept.clear()
        self._dropped, self._is_blank = 0, True
        self._begins_with = self._scanner.begins_with
        return done
