"""The order of one revision, written out once for whoever asks."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass, field

from service.errors import Conflict
from service.night.records import OrderRecord
from service.night.state import BarState

from .build_order import build_order


@dataclass(slots=True)
class Shown:
    """The order of one revision, written out once for whoever asks."""

    state: BarState
    shown_made_s: float
    _bodies: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def body(self, bartender: str) -> tuple[bytes, str]:
        """Give the order's bytes and their ETag, for one bartender or (empty) for all."""
        with self._lock:
            if bartender not in self._bodies:
                order = self.state.order or _nothing_yet(self.state)
                found = build_order(self.state, order, shown_made_s=self.shown_made_s)
                if bartender:
                    mine = tuple(card for card in found.bartenders if card.id == bartender)
                    found = found.model_copy(update={"bartenders": mine})
                body = found.model_dump_json().encode()
                etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
                self._bodies[bartender] = (body, etag)
            return self._bodies[bartender]

    def is_written(self, bartender: str) -> bool:
        """Whether the bytes are at hand and asking for them costs nothing."""
        return bartender in self._bodies


def _nothing_yet(state: BarState) -> OrderRecord:
    raise Conflict(f"{state.bar.id} has no order yet")
