"""Nights on this machine's cores: a pool of processes, each its own interpreter.

A worker ends by itself as soon as the pipe that its parent holds is closed, whether the parent
closed it (told to stop) or was killed: no night goes on that nobody waits for.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import Connection
from typing import Self, TypeVar

from solver.rush.replications import ShouldStop, Work

Job = TypeVar("Job")
Found = TypeVar("Found")

LOOK_EVERY_S = 0.2
MOST_LOST_IN_A_ROW = 3
AHEAD = 2
"""Jobs in a worker's hands or waiting beside it; more would only be pickled early."""


class WorkersLost(Exception):
    """Workers die again and again without finishing a night."""

    def __init__(self) -> None:
        super().__init__(
            f"expected a night from the workers; came nothing, {MOST_LOST_IN_A_ROW} times in a row "
            "they died; is there memory enough? try fewer by --jobs 1"
        )


def cores() -> int:
    """Give how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Pool:
    """A runner (`solver.rush.replications.Runner`) over processes of this machine.

    Parameters
    ----------
    workers : int
        How many processes.
    """

    def __init__(self, workers: int) -> None:
        self.workers = workers
        self._executor: ProcessPoolExecutor | None = None
        self._leash: Connection | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._end()

    def run(
        self, work: Work[Job, Found], jobs: Iterable[Job], should_stop: ShouldStop
    ) -> Iterator[tuple[int, Found]]:
        """Give ``(position, result)`` as results come; a night whose worker died is run again.

        Raises
        ------
        WorkersLost
        """
        todo = dict(enumerate(jobs))
        lost = 0
        while todo:
            try:
                for position, found in self._some(work, dict(todo), should_stop):
                    del todo[position]
                    lost = 0
                    yield position, found
            except BrokenProcessPool:
                self._end()
                lost += 1
                if lost == MOST_LOST_IN_A_ROW:
                    raise WorkersLost from None
            else:
                return

    def _some(
        self, work: Work[Job, Found], todo: dict[int, Job], should_stop: ShouldStop
    ) -> Iterator[tuple[int, Found]]:
        executor = self._started()
        waiting = iter(todo.items())
        running: dict[Future[Found], int] = {}
        while not should_stop():
            for position, job in waiting:
                running[executor.submit(_carry_out, work, job)] = position
                if len(running) >= AHEAD * self.workers:
                    break
            if not running:
                return
            done, _ = wait(running, timeout=LOOK_EVERY_S, return_when=FIRST_COMPLETED)
            for future in done:
                position = running.pop(future)
                yield position, future.result()
        self._end()

    def _started(self) -> ProcessPoolExecutor:
        if self._executor is None:
            held, self._leash = multiprocessing.Pipe(duplex=False)
            self._executor = ProcessPoolExecutor(
                self.workers,
                mp_context=multiprocessing.get_context("spawn"),
                initializer=_begin,
                initargs=(held,),
            )
        return self._executor

    def _end(self) -> None:
        """End the workers at once; what they had in hand is lost."""
        executor, self._executor = self._executor, None
        if self._leash is not None:
            self._leash.close()
        if executor is not None:
            executor.shutdown(wait=True, cancel_futures=True)


def _carry_out(work: Callable[[Job, ShouldStop], Found], job: Job) -> Found:
    return work(job, _never)


def _never() -> bool:
    return False


def _begin(held: Connection) -> None:
    """Prepare a worker: Ctrl-C is the parent's business, and the leash is watched."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_leash, args=(held,), daemon=True).start()


def _end_with_the_leash(held: Connection) -> None:
    try:
        held.recv()
    except EOFError:
        os._exit(0)
