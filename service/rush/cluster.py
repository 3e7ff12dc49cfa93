"""Nights on more than one machine, by Dask distributed: an optional part of the installation.

The scheduler gives a night whose worker was lost to another one; its numbers are the same, since
everything random in it follows from its own seed. A night that runs cannot be taken back from a
worker, so it looks now and then at an event of the cluster that says stop.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from importlib import import_module, metadata
from typing import Any, Self, TypeVar

from service.clock import SystemClock
from solver.rush.replications import ShouldStop, Stopped, Work

Job = TypeVar("Job")
Found = TypeVar("Found")

LOOK_EVERY_S = 0.5
COUNT_EVERY_S = 2.0
CONNECT_WITHIN_S = 10
WORKERS_WITHIN_S = 30
AHEAD = 2
NOT_INSTALLED = (
    "expected the optional part 'cluster' of the installation; it is missing; "
    "install it by: pip install 'threedeep[cluster]'"
)


class ClusterTrouble(Exception):
    """The cluster cannot be used; says what was expected, what came and what to do."""


class Cluster:
    """A runner (`solver.rush.replications.Runner`) over the workers of a Dask scheduler.

    Parameters
    ----------
    address : str
        The scheduler's, such as ``tcp://10.0.0.5:8786``.

    Raises
    ------
    ClusterTrouble
        When the optional part is not installed, nobody answers there, there is no worker, or a
        worker has another version of this program.
    """

    def __init__(self, address: str) -> None:
        dask = _distributed()
        try:
            self.client = dask.Client(address, timeout=CONNECT_WITHIN_S)
        except (OSError, TimeoutError, ValueError) as error:
            said = f"expected a Dask scheduler at {address}; nobody answers there ({error})"
            raise ClusterTrouble(f"{said}; start one by: dask scheduler") from None
        try:
            self._check_workers()
        except ClusterTrouble:
            self.client.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.client.close()

    @property
    def workers(self) -> int:
        """Nights that can run at once."""
        threads: dict[str, int] = self.client.nthreads()
        return max(1, sum(threads.values()))

    def run(
        self, work: Work[Job, Found], jobs: Iterable[Job], should_stop: ShouldStop
    ) -> Iterator[tuple[int, Found]]:
        """Give ``(position, result)`` as results come; a night whose worker was lost is run again.

        Raises
        ------
        ClusterTrouble
            When workers die over one night again and again.
        """
        dask = _distributed()
        stop = dask.Event(f"threedeep-stop-{uuid.uuid4().hex}", client=self.client)
        waiting = iter(enumerate(jobs))
        running: dict[Any, int] = {}
        clock, most, counted_s = SystemClock(), 0, 0.0
        while not should_stop():
            # Workers come and go; to ask for each night took a quarter of a short one's time.
            if not most or clock.monotonic() > counted_s + COUNT_EVERY_S:
                most, counted_s = AHEAD * self.workers, clock.monotonic()
            for position, job in waiting:
                future = self.client.submit(
                    _carry_out, work, job, stop.name, pure=False, key=f"night-{uuid.uuid4().hex}"
                )
                running[future] = position
                if len(running) >= most:
                    break
            if not running:
                return
            try:
                done = dask.wait(
                    list(running), timeout=LOOK_EVERY_S, return_when="FIRST_COMPLETED"
                ).done
            except TimeoutError:
                continue
            for future in done:
                position = running.pop(future)
                try:
                    found: Found = future.result()
                except dask.KilledWorker as error:
                    raise ClusterTrouble(f"workers die over one night: {error}") from error
                yield position, found
        stop.set()
        self.client.cancel(list(running))

    def _check_workers(self) -> None:
        own = metadata.version("threedeep")
        try:
            # Workers may just be starting, or starting again.
            self.client.wait_for_workers(1, timeout=WORKERS_WITHIN_S)
        except TimeoutError:
            address = self.client.scheduler_info()["address"]
            said = "expected workers at this scheduler; it has none"
            raise ClusterTrouble(f"{said}; start some by: dask worker {address}") from None
        versions = self.client.run(_version)
        for worker, version in sorted(versions.items()):
            if version != own:
                raise ClusterTrouble(
                    f"expected threedeep {own} on every worker; {worker} has {version or 'none'}; "
                    "install the same there"
                )


def _distributed() -> Any:  # noqa: ANN401 - the library says nothing of its types
    try:
        return import_module("distributed")
    except ImportError:
        raise ClusterTrouble(NOT_INSTALLED) from None


def _version() -> str:
    try:
        return metadata.version("threedeep")
    except metadata.PackageNotFoundError:
        return ""


def _carry_out(work: Work[Job, Found], job: Job, stop_name: str) -> Found | None:
    """Carry one job out on a worker; looks at the event that says stop, but not too often."""
    clock = SystemClock()
    stop = _distributed().Event(stop_name)
    next_look_s = clock.monotonic()

    def should_stop() -> bool:
        nonlocal next_look_s
        if clock.monotonic() < next_look_s:
            return False
        next_look_s = clock.monotonic() + LOOK_EVERY_S
        return bool(stop.is_set())

    try:
        return work(job, should_stop)
    except Stopped:
        return None
