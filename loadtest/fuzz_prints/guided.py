"""Changes inputs further that reached a line of the reader nothing reached before."""

from __future__ import annotations

import random
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

import service.printing

from .noise import changed, noise, pieces

READER = str(Path(service.printing.__file__).parent)
FRESH = 0.15
"""How often an input is made up from nothing."""

Claim = Callable[[bytes, Sequence[bytes]], None]


class Reached:
    """Collects which lines of the reader ran; one thread at a time."""

    def __init__(self) -> None:
        self.lines: set[tuple[str, int]] = set()

    def __enter__(self) -> Reached:
        self.lines = set()
        self._before = sys.gettrace()
        sys.settrace(self._call)
        return self

    def __exit__(self, *_: object) -> None:
        sys.settrace(self._before)

    def _call(self, frame: FrameType, _event: str, _arg: Any) -> Any:  # noqa: ANN401 (its protocol)
        return self._line if frame.f_code.co_filename.startswith(READER) else None

    def _line(self, frame: FrameType, event: str, _arg: Any) -> Any:  # noqa: ANN401
        if event == "line":
            self.lines.add((frame.f_code.co_filename, frame.f_lineno))
        return self._line


@dataclass(slots=True, kw_only=True)
class Guided:
    """One run of guided fuzzing.

    Parameters
    ----------
    claim : callable
        Gets bytes and the parts they come in; raises where something does not hold.
    seeds : sequence of bytes
        What is changed first: real prints.
    seed : int
    """

    claim: Claim
    seeds: Sequence[bytes]
    seed: int = 1
    reached: set[tuple[str, int]] = field(default_factory=set)
    num_tried: int = 0
    last: bytes = b""
    """What was tried last."""
    _corpus: list[bytes] = field(default_factory=list)
    _dice: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self._dice = random.Random(self.seed)
        self._corpus = list(self.seeds) or [b""]

    def step(self) -> None:
        """Try one input; what does not hold is raised on."""
        dice, corpus = self._dice, self._corpus
        if dice.random() < FRESH:
            self.last = noise(dice)
        else:
            # Late ones oftener: they reached something new.
            place = int(dice.triangular(0, len(corpus), len(corpus)))
            base = corpus[min(place, len(corpus) - 1)]
            self.last = changed(dice, base, dice.choice(corpus))
        self.num_tried += 1
        with Reached() as run:
            self.claim(self.last, pieces(dice, self.last))
        if run.lines - self.reached:
            self.reached |= run.lines
            corpus.append(self.last)


class TookTooLong(Exception):
    """An input that was still being read when its time was over."""


@contextmanager
def time_limit(seconds: float) -> Iterator[None]:
    """End what runs in the main thread when its time is over; matching a pattern too.

    Raises
    ------
    TookTooLong
    """

    def over(_signal: int, frame: FrameType | None) -> None:
        where = f"{frame.f_code.co_filename}:{frame.f_lineno}" if frame else "somewhere"
        raise TookTooLong(f"still at {where} after {seconds:g} s")

    before = signal.signal(signal.SIGALRM, over)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
