"""One print on its way from the port to the desk: bytes that are kept, not read yet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from .splitting import RawPrint


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """One print as it was received.

    Attributes
    ----------
    id : str
    stream : str
        Which connection or request it came by.
    from_byte : int
        Of its first byte in the stream.
    sender : str
    at : datetime
        When its last byte came.
    raw : RawPrint
    is_asked_for : bool
        A person wants it as a ticket, whatever became of it before.
    """

    id: str
    stream: str
    from_byte: int
    sender: str
    at: datetime
    raw: RawPrint
    is_asked_for: bool = False

    @property
    def to_byte(self) -> int:
        """Where it ends in its stream."""
        return self.from_byte + len(self.raw.data) + self.raw.dropped_bytes

    def whole(self) -> Received:
        """Give it as a print that ended well: a request is a print however it ends."""
        return replace(self, raw=replace(self.raw, is_whole=not self.raw.dropped_bytes))
