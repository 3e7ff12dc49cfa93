"""A simulated rush as the service keeps it: what was asked, how it stands, what came out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from pydantic import TypeAdapter

from service.store import KeptRush


class RushState(StrEnum):
    """The life of a rush. ``broken_off``: the service stopped while it ran."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    CANCELLED = "cancelled"
    FAILED = "failed"
    BROKEN_OFF = "broken_off"


ENDED = (RushState.DONE, RushState.CANCELLED, RushState.FAILED, RushState.BROKEN_OFF)


@dataclass(frozen=True, slots=True, kw_only=True)
class RushRecord:
    """One rush.

    Attributes
    ----------
    id, bar, name : str
    state : RushState
    said : str
        How it stands, or why it ended, in words.
    asked : dict
        What was asked, as it was told.
    night : str
        The business day whose tickets it replays; empty for drawn guests.
    told_at, begun_at, ended_at : datetime or None
    progress, results : dict or None
        Plain data as JSON has it. A cancelled rush keeps what was whole.
    """

    id: str
    bar: str
    name: str
    state: RushState
    said: str
    asked: dict[str, Any]
    told_at: datetime
    night: str = ""
    begun_at: datetime | None = None
    ended_at: datetime | None = None
    progress: dict[str, Any] | None = None
    results: dict[str, Any] | None = None

    @property
    def is_ended(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in ENDED


_RECORD: TypeAdapter[RushRecord] = TypeAdapter(RushRecord)


def kept(record: RushRecord) -> KeptRush:
    """Write a rush down as the store keeps it."""
    return KeptRush(
        bar=record.bar,
        id=record.id,
        state=record.state.value,
        since=record.told_at,
        body=_RECORD.dump_json(record).decode(),
    )


def record_of(row: KeptRush) -> RushRecord:
    """Read a rush as the store keeps it."""
    return _RECORD.validate_json(row.body)
