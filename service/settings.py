"""What a running service can be told, with its defaults and the reason for each."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How one process serves.

    Attributes
    ----------
    database : pathlib.Path
        The SQLite file; it and its ``-wal`` are all that a bar's night consists of.
    limit_ms : int
        Wall time a searched plan may take.
    max_body_bytes : int
        Largest request body; a ticket of 60 lines is about 10 kB, a whole menu about 100 kB.
    skew_s : float
        A ticket "from the future" by up to this is taken as placed now: tills' clocks drift.
    overrun_s : float
        A planned start or end that passes by this much is an event that plans anew.
    tick_s : float
        How often passing time is looked at.
    time_replan_s : float
        Passing time alone plans anew at most this often, however late a tap is.
    longest_wait_s : float
        Longest a long poll is held.
    keep_alive_s : float
        A comment is sent on a quiet event stream this often, so that nobody between closes it.
    shown_made_s : float
        A made round that nobody tapped gone leaves the screens after this.
    at_hand_s : float
        Closed tickets are held in memory, and can be undone, this long.
    owns_process : bool
        The process does nothing else: what is loaded once is taken out of garbage collection,
        which otherwise stops everything for a tenth of a second now and then.
    rush_processes : int
        Rushes that are simulated at once, each in a process of its own that steps behind
        everything else. One leaves the other cores to the live planning.
    remember_s : float
        Answers to idempotency keys, and taps with what they changed, are kept this long: both
        repeat what guests said. Never shorter than `at_hand_s`, for undo.
    """

    database: Path = Path("threedeep.db")
    limit_ms: int = 250
    max_body_bytes: int = 1_000_000
    skew_s: float = 300.0
    overrun_s: float = 5.0
    tick_s: float = 0.5
    time_replan_s: float = 10.0
    longest_wait_s: float = 60.0
    keep_alive_s: float = 15.0
    shown_made_s: float = 900.0
    at_hand_s: float = 8 * 3600.0
    owns_process: bool = False
    rush_processes: int = 1
    remember_s: float = 48 * 3600.0
