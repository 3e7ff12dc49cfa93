"""Finding out what was asked about a rush, with progress shown and Ctrl-C heard."""

from __future__ import annotations

import signal
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from importlib import metadata
from types import FrameType
from typing import Self

from service.clock import SystemClock
from solver.rush.prep import SURE, prep_list
from solver.rush.replications import Asked, InThisProcess, Runner, Running
from solver.rush.rota import find_rota
from solver.rush.scenario import Policy, Rush
from solver.rush.study import study
from solver.rush.what_if import single_changes, what_if

from .cluster import Cluster
from .findings import Findings, Told
from .lasting import Lasting
from .pool import Pool, cores
from .progress import Bar

ROTA_NIGHTS = 8
"""Each rota is tried on so many nights, unless fewer are asked for: there are many rotas."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What to find out, and by whom.

    Attributes
    ----------
    policies : tuple of Policy
        The first is asked the further questions.
    asked : Asked
    what_if, rota : bool
    sure : float or None
        How sure the prep list has to be; None for none.
    jobs : int or None
        Nights at a time; None for as many as there are cores.
    cluster : str or None
        Address of a Dask scheduler.
    """

    policies: tuple[Policy, ...]
    asked: Asked
    what_if: bool = False
    rota: bool = False
    sure: float | None = None
    jobs: int | None = None
    cluster: str | None = None


class Interrupted:
    """Whether Ctrl-C was pressed; the first time is only noted, the second ends the command."""

    def __init__(self) -> None:
        self._is_pressed = False

    def __call__(self) -> bool:
        """Say whether it was."""
        return self._is_pressed

    def __enter__(self) -> Self:
        self._before = signal.signal(signal.SIGINT, self._note)
        return self

    def __exit__(self, *_: object) -> None:
        signal.signal(signal.SIGINT, self._before)

    def _note(self, _number: int, _frame: FrameType | None) -> None:
        self._is_pressed = True
        signal.signal(signal.SIGINT, self._before)


def find_out(rush: Rush, wanted: Wanted, should_stop: Callable[[], bool]) -> Told | None:
    """Find out what is wanted; None where not one night was whole.

    Raises
    ------
    ClusterTrouble, WorkersLost
        When the nights cannot be run.
    """
    clock = SystemClock()
    asked, first = wanted.asked, wanted.policies[0]
    tried = replace(asked, nights=min(asked.nights, ROTA_NIGHTS), within=None)
    lasting = Lasting(
        ways=wanted.policies,
        nights=asked.nights,
        changes=1 + len(single_changes(rush, seed=asked.seed)) if wanted.what_if else 0,
        rota_nights=tried.nights if wanted.rota else 0,
        clock=clock.monotonic,
    )
    said: set[str] = set()
    with _runner(wanted) as runner:

        def running(what: str, lasting: Lasting | None = None) -> Running:
            bar = Bar(what, said, lasting, clock=clock.monotonic)

            def look_and_ask() -> bool:
                bar.look()
                return should_stop()

            return Running(
                runner=runner,
                clock=clock.monotonic,
                on_progress=bar,
                should_stop=look_and_ask,
            )

        results = study(rush, wanted.policies, asked, running("nights", lasting))
        if results is None:
            return None
        findings = Findings(
            made=clock.now().date().isoformat(),
            version=metadata.version("threedeep"),
            results=results,
        )
        if wanted.what_if and not should_stop():
            found = what_if(rush, first, replace(asked, within=None), running("what if"))
            findings = replace(findings, what_if=found)
        if wanted.rota and not should_stop():
            findings = replace(findings, rota=find_rota(rush, first, tried, running("rotas")))
    if wanted.sure is not None:
        levels = tuple(sorted({*SURE, wanted.sure}))
        rows = prep_list(rush.house, results.policies[0], levels)
        findings = replace(findings, prep=rows, sure=wanted.sure)
    return Told(rush=rush, findings=findings)


def _runner(wanted: Wanted) -> AbstractContextManager[Runner]:
    if wanted.cluster:
        return Cluster(wanted.cluster)
    jobs = wanted.jobs or cores()
    return Pool(jobs) if jobs > 1 else nullcontext(InThisProcess())
