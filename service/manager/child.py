"""The process that one rush runs in: told by its input, heard by its output, gone with its parent.

The first line of its input is the task. A second line, or the end of the input (the service was
stopped, or died), asks it to stop; it then gives what is whole. Each line of its output is one
JSON object: ``progress``, ``results`` or ``fault``. It is started as a process of its own
(``python -m service.manager.child``), so that a rush never shares the interpreter with the live
planning, and it steps behind everything else that runs on the machine.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from collections.abc import Callable
from typing import IO, Any

NICE = 10
"""Behind the bar, and yet it goes on.

Measured with two processes that never rest beside the service, on two cores that others used as
well (2026-11-25, 60 posts each): a posted ticket was on the order after 57 ms in the median with
none beside it, 64 at niceness 15, 76 at 10, 97 at 5 and 164 at 0. At 15 each of the two had 5% of
a core, at 10 8%, at 5 11%.
"""
STOPS_WITHIN_S = 5.0
"""A rush that was asked to stop and goes on is ended after this."""
TELL_EVERY_S = 0.25


class Teller:
    """Writes one JSON object a line; progress no oftener than somebody can see it."""

    def __init__(self, out: IO[str], clock: Callable[[], float]) -> None:
        self._out = out
        self._clock = clock
        self._told_at = -TELL_EVERY_S

    def progress(self, found: Any) -> None:  # noqa: ANN401 (whatever JSON holds)
        """Tell how far it is, unless that was told a moment ago."""
        now = self._clock()
        if now - self._told_at >= TELL_EVERY_S:
            self._told_at = now
            self.tell(progress=found)

    def tell(self, **said: Any) -> None:  # noqa: ANN401 (whatever JSON holds)
        """Tell it now."""
        self._out.write(json.dumps(said, allow_nan=False) + "\n")
        self._out.flush()


def step_behind() -> None:
    """Let everything else on this machine go first."""
    if hasattr(os, "nice"):
        os.nice(NICE)


def main() -> int:
    """Run the rush of the first line of the input."""
    step_behind()
    from service.clock import SystemClock  # noqa: PLC0415 (behind everything else)

    from .work import carry_out  # noqa: PLC0415

    stop = threading.Event()
    task = json.loads(sys.stdin.readline())

    def listen() -> None:
        sys.stdin.readline()
        stop.set()
        # Whoever asked is waiting, or is no more: a night that cannot stop is left where it is.
        threading.Event().wait(STOPS_WITHIN_S)
        os._exit(1)

    threading.Thread(target=listen, name="listen", daemon=True).start()
    clock = SystemClock().monotonic
    teller = Teller(sys.stdout, clock)
    try:
        results = carry_out(task, clock=clock, on_progress=teller.progress, should_stop=stop.is_set)
    except Exception as error:
        teller.tell(fault=f"{type(error).__name__}: {error}")
        raise
    teller.tell(results=results)
    return 0


if __name__ == "__main__":
    code = main()
    # The listener is still at its input: nothing waits for it.
    os._exit(code)
