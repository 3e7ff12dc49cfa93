"""Nights again and again: which to run, when there are enough, and why the run ended.

A night is named by its number; everything random in it follows from `night_seed`, so that a night
is the same on whatever worker it runs, and two policies meet the same guests and the same hands.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Generic, Protocol, TypeVar

from solver.errors import BadValue

from .intervals import CHANCE_ONLY, CONFIDENCE, Interval, nights_needed, t_interval

MOST_NIGHTS = 10_000
MOST_TOLD = 1000
PILOT = 20
"""First nights whose scatter says how many are needed; fewer make the interval much wider."""

Which = TypeVar("Which", bound=Hashable)
Found = TypeVar("Found")
Job = TypeVar("Job")
Clock = Callable[[], float]
ShouldStop = Callable[[], bool]
Work = Callable[[Job, ShouldStop], Found]
"""Carries one job out; looks at the second argument now and then and raises `Stopped` on a yes."""


class Ended(StrEnum):
    """Why a run ended."""

    NIGHTS = "the nights that were asked for"
    NARROW = "the interval is as narrow as asked"
    MOST = "the most nights a run may have"
    TIME = "the time was up"
    CANCELLED = "cancelled"


WATCHED = (
    "an interval that is watched while it runs is narrower than honest: it counts when the run "
    "has ended"
)
BY_HAND = (
    "this run was ended by hand while it could be watched, and whoever stops at an interval that "
    "suits has it narrower than honest"
)


def note_of(ended: Ended) -> str:
    """Say what the intervals of a run cover, and what they do not."""
    return f"{CHANCE_ONLY}; {BY_HAND}" if ended is Ended.CANCELLED else CHANCE_ONLY


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How long to run.

    Attributes
    ----------
    nights : int
        So many nights; with `within`, the first ones, whose scatter says how many are needed.
    within : float or None
        Wanted half width of the interval of every watched figure, in that figure's unit.
    time_s : float or None
        End after so many seconds with the nights that are whole.
    seed : int
    most_nights : int
        With `within`, never more than so many.
    """

    nights: int = PILOT
    within: float | None = None
    time_s: float | None = None
    seed: int = 1
    most_nights: int = MOST_NIGHTS

    def __post_init__(self) -> None:
        if not 1 <= self.nights <= self.most_nights <= MOST_NIGHTS:
            raise BadValue(f"1 to {MOST_NIGHTS} nights", self.nights)
        if self.within is not None and not self.within > 0:
            raise BadValue("an interval narrower than some width above 0", self.within)
        if self.within is not None and self.nights < 2:
            raise BadValue("two nights or more before an interval can be judged", self.nights)
        if self.time_s is not None and not self.time_s > 0:
            raise BadValue("a time above 0 seconds", self.time_s)
        if not 0 <= self.seed < 2**32:
            raise BadValue("a seed from 0 to 4294967295", self.seed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a run is.

    Attributes
    ----------
    done : int
        Nights that are done, every policy's counted.
    of : int or None
        How many will be run, which may grow once; None where nobody knows.
    running : mapping of str to Interval
        The watched figures as they stand. They are looked at again and again, so only the
        intervals at the end cover as often as they say.
    doing : str
        What is run at the moment, where there is more than one thing.
    note : str
        The same in words, for whoever sees them.
    """

    done: int
    of: int | None
    doing: str = ""
    running: Mapping[str, Interval] = field(default_factory=dict)
    note: str = WATCHED


class Runner(Protocol):
    """Whatever carries nights out: this process, a pool of its own, a cluster."""

    @property
    def workers(self) -> int:
        """How many nights can run at once."""
        ...

    def run(
        self,
        work: Work[Job, Found],
        jobs: Iterable[Job],
        should_stop: ShouldStop,
    ) -> Iterator[tuple[int, Found]]:
        """Give ``(position, result)`` as results come, in any order; end early when told to.

        A job whose worker was lost is run again.
        """
        ...


class InThisProcess:
    """One night after the other, here."""

    workers = 1

    def run(
        self,
        work: Work[Job, Found],
        jobs: Iterable[Job],
        should_stop: ShouldStop,
    ) -> Iterator[tuple[int, Found]]:
        """Give results in the order of the jobs."""
        for position, job in enumerate(jobs):
            if should_stop():
                return
            try:
                found = work(job, should_stop)
            except Stopped:
                return
            yield position, found


class Stopped(Exception):
    """A night was told to stop before its end; it has no figures."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """Who carries nights out, by which clock, and who watches.

    Attributes
    ----------
    runner : Runner
    clock : callable
        Monotonic seconds.
    on_progress : callable
        Told how far the run is.
    should_stop : callable
        Asked several times a second; after a yes only nights that are whole are kept.
    """

    runner: Runner
    clock: Clock
    on_progress: Callable[[Progress], None] = lambda _progress: None
    should_stop: ShouldStop = lambda: False


@dataclass(frozen=True, slots=True, kw_only=True)
class Run(Generic[Which, Found]):
    """What came out.

    Attributes
    ----------
    nights : mapping of Which to tuple of Found
        The whole nights of each, as many for each and in the order of their numbers.
    pilot : int
        How many first nights a scatter may be taken from (`t_interval`).
    ended : Ended
    """

    nights: Mapping[Which, tuple[Found, ...]]
    pilot: int
    ended: Ended

    @property
    def num_nights(self) -> int:
        """How many nights each has."""
        return min((len(found) for found in self.nights.values()), default=0)


def night_seed(seed: int, night: int) -> int:
    """Give the seed of one night; nights of neighbouring runs have nothing in common."""
    return (seed << 32) + night


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial(Generic[Which, Job, Found]):
    """What to run, and which figures have to become narrow.

    Attributes
    ----------
    of : tuple of Which
        What is compared: policies, single changes; each runs every night.
    job : callable
        Makes the job of one of them on the night with a seed.
    work : callable
        Carries a job out; a function of a module, so that a worker finds it by its name.
    watched : callable
        Gives, from the whole nights so far, each watched figure by its name, one value a night.
    """

    of: tuple[Which, ...]
    job: Callable[[Which, int], Job]
    work: Work[Job, Found]
    watched: Callable[[Mapping[Which, Sequence[Found]]], Mapping[str, Sequence[float]]]


def run_nights(
    trial: Trial[Which, Job, Found], asked: Asked, running: Running
) -> Run[Which, Found]:
    """Run nights until there are as many as asked, the intervals are narrow, or time is up.

    With `Asked.within` in two stages: the first nights give the scatter, the scatter gives the
    number of nights (`nights_needed`), and those are run. Looking at the interval after every
    night and stopping at the first narrow one would be shorter, and would cover too seldom.

    Parameters
    ----------
    trial : Trial
    asked : Asked
    running : Running
    """
    clock, should_stop = running.clock, running.should_stop
    ends_s = None if asked.time_s is None else clock() + asked.time_s
    state = _Stretch(trial=trial, asked=asked, on_progress=running.on_progress)

    def is_over() -> bool:
        return should_stop() or (ends_s is not None and clock() >= ends_s)

    state.run(asked.nights, running.runner, is_over)
    ended, wanted = Ended.NIGHTS, asked.nights
    if asked.within is not None and state.is_whole(asked.nights):
        wanted, ended = _wanted(state.watched(), asked, asked.within)
        state.run(wanted, running.runner, is_over)
    if not state.is_whole(wanted):
        ended = Ended.CANCELLED if should_stop() else Ended.TIME
    kept = state.whole()
    num_nights = min(len(found) for found in kept.values())
    return Run(nights=kept, pilot=min(asked.nights, num_nights), ended=ended)


def _wanted(
    watched: Mapping[str, Sequence[float]], asked: Asked, within: float
) -> tuple[int, Ended]:
    needed = [
        nights_needed(values, within=within) for values in watched.values() if len(values) >= 2
    ]
    # A figure that fewer than two nights have will not become narrow.
    if len(needed) < len(watched) or not needed:
        return asked.most_nights, Ended.MOST
    most = max(asked.nights, *needed)
    return min(most, asked.most_nights), Ended.NARROW if most <= asked.most_nights else Ended.MOST


class _Stretch(Generic[Which, Job, Found]):
    """The nights of one run as they come in."""

    def __init__(
        self,
        *,
        trial: Trial[Which, Job, Found],
        asked: Asked,
        on_progress: Callable[[Progress], None],
    ) -> None:
        self.trial, self.asked, self.on_progress = trial, asked, on_progress
        self.found: dict[Which, dict[int, Found]] = {which: {} for which in trial.of}
        self.planned = 0

    def run(self, nights: int, runner: Runner, should_stop: ShouldStop) -> None:
        """Run every night below a number that has not been run."""
        # All that is compared meets one night before the next begins: whenever time is up, there
        # are as many nights of each.
        todo = [(which, night) for night in range(self.planned, nights) for which in self.trial.of]
        self.planned = nights
        jobs = [self.trial.job(which, night_seed(self.asked.seed, night)) for which, night in todo]
        for position, found in runner.run(self.trial.work, jobs, should_stop):
            which, night = todo[position]
            self.found[which][night] = found
            self._tell()
            if should_stop():
                return

    def whole(self) -> dict[Which, tuple[Found, ...]]:
        """Nights from the first on that all have: no night is left out for having been long."""
        have = set.intersection(*(set(nights) for nights in self.found.values()))
        count = next((n for n in range(self.planned) if n not in have), self.planned)
        return {
            which: tuple(nights[n] for n in range(count)) for which, nights in self.found.items()
        }

    def is_whole(self, nights: int) -> bool:
        """Whether all have so many nights."""
        return all(len(found) >= nights for found in self.found.values())

    def watched(self) -> Mapping[str, Sequence[float]]:
        """The watched figures over the whole nights."""
        return self.trial.watched(self.whole())

    def _tell(self) -> None:
        of = self.planned * len(self.trial.of)
        done = sum(len(found) for found in self.found.values())
        if done % max(1, of // MOST_TOLD) and done < of:
            return
        whole = self.whole()
        watched = self.trial.watched(whole) if any(whole.values()) else {}
        running = {
            name: t_interval(values, confidence=CONFIDENCE)
            for name, values in watched.items()
            if values
        }
        self.on_progress(Progress(done=done, of=of, running=running))
