"""How far a rush is: a bar on a terminal, a line a minute elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Callable

from tqdm import tqdm

from solver.rush.replications import Progress

from .busy import busy_here
from .lasting import Lasting
from .words import capital, minutes_between

SAID_EVERY_S = 60.0


class Bar:
    """A bar of progress on a terminal, with the figures as they stand; elsewhere a line a minute.

    Parameters
    ----------
    what : str
        What is run.
    said : set of str
        Lines that stand above the bars already; each is written once.
    lasting : Lasting or None
        Says how long all of it will take.
    clock : callable
        Monotonic seconds.
    """

    def __init__(
        self, what: str, said: set[str], lasting: Lasting | None, *, clock: Callable[[], float]
    ) -> None:
        self._bar = tqdm(desc=what, unit="night", file=sys.stderr, leave=False, disable=None)
        self._what, self._said, self._lasting, self._clock = what, said, lasting, clock
        self._progress: Progress | None = None
        self._said_s = clock()

    def __call__(self, progress: Progress) -> None:
        """Show how far it is."""
        self._progress = progress
        if self._lasting is not None and (words := self._lasting.words(progress)):
            self._write(words)
        if self._bar.disable:
            self.look()
            return
        self._bar.total = progress.of
        if any(one.low is not None for one in progress.running.values()):
            self._write(progress.note)
        if progress.doing:
            self._bar.set_description(progress.doing, refresh=False)
        self._bar.set_postfix_str(_figures(progress), refresh=False)
        self._bar.update(progress.done - self._bar.n)
        if progress.of is None or progress.done >= progress.of:
            self._bar.refresh()

    def look(self) -> None:
        """Say how far it is once a minute, where there is no terminal for a bar.

        On a terminal it is said while no night is done.
        """
        has_bar = not self._bar.disable
        if self._clock() - self._said_s < SAID_EVERY_S or (has_bar and self._progress):
            return
        self._said_s = self._clock()
        self._write_line("; ".join(filter(None, (self._far(), busy_here()))))

    def _far(self) -> str:
        if self._progress is None:
            return f"{self._what}: not one is done yet"
        progress, figures = self._progress, _figures(self._progress)
        of = "" if progress.of is None else f" of {progress.of}"
        return f"{self._what}: {progress.done}{of} done{': ' if figures else ''}{figures}"

    def _write(self, words: str) -> None:
        """Write a line above the bar, where it stays."""
        if words not in self._said:
            self._said.add(words)
            self._write_line(words)

    def _write_line(self, words: str) -> None:
        tqdm.write(f"{capital(words)}.", file=sys.stderr)


def _figures(progress: Progress) -> str:
    """Give the figures as they stand: one line has room for two; many are ranked at the end."""
    said = [f"{name} {minutes_between(now)}" for name, now in progress.running.items()]
    return " · ".join(said) if len(said) <= 2 else ""
