"""Work for workers: functions of a module, so that another process finds them by name."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path
from typing import Any

from solver.rush.replications import ShouldStop, Stopped


def drawn(seed: int, _should_stop: ShouldStop) -> tuple[float, ...]:
    """Numbers that follow from the seed alone."""
    rng = random.Random(seed)
    return tuple(rng.random() for _ in range(50))


def drawn_slowly(seed: int, _should_stop: ShouldStop) -> tuple[float, ...]:
    """The same, in a night long enough to be killed in."""
    time.sleep(0.15)
    return drawn(seed, _should_stop)


def kills_its_worker_once(job: tuple[int, str], should_stop: ShouldStop) -> tuple[float, ...]:
    """The worker dies over seed 3, the first time."""
    seed, mark = job
    if seed == 3 and not Path(mark).exists():
        Path(mark).touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return drawn(seed, should_stop)


def kills_its_worker(_job: Any, _should_stop: ShouldStop) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def never_ends(job: tuple[int, str], should_stop: ShouldStop) -> int:
    """Writes down its process, then works until it is told to stop."""
    seed, folder = job
    Path(folder, str(os.getpid())).touch()
    while not should_stop():
        time.sleep(0.02)
    Path(folder, "stopped").touch()
    raise Stopped(seed)


def refuses(seed: int, _should_stop: ShouldStop) -> None:
    raise ValueError(seed)
