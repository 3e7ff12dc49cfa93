"""A bar without sharing as a flexible job shop, solved by PyJobShop, a scheduling library not ours.

A round is a job that ends with its last drink. Bartenders are the modes of every stretch of hands;
what runs by itself is a task of the machine that it runs on. The tasks and their seconds stand
here once more, written down by hand from the recipes and time standards below: nothing of our own
work content or timing is read.
"""

from __future__ import annotations

from dataclasses import dataclass

from pyjobshop import Model  # type: ignore[import-untyped]
from pyjobshop.ProblemData import (  # type: ignore[import-untyped]
    Job,
    Machine,
    Mode,
    Renewable,
    Task,
)
from pyjobshop.Result import SolveStatus  # type: ignore[import-untyped]

PATIENCE_S = 30.0

LARGE_S, SMALL_S, GUN_S, SHAKE_S, STRAIN_S, PINT_S = 3, 2, 2, 11, 3, 13
COFFEE_S, DRAWS_S, FINISHED_S = 15, 27, 7
BLENDER_S, BLENDS_S, EMPTIED_S, JAR_S = 8, 25, 7, 12
STOUT_S, SETTLES_S, WINDOW_S, TOP_S = 20, 60, 90, 9
RINSE_S = 4
MIXED_S = LARGE_S + 2 * SMALL_S
"""50 ml, 25 ml and 15 ml."""

ROWS = {
    "measure_large": float(LARGE_S),
    "measure_small": float(SMALL_S),
    "top_gun": float(GUN_S),
    "shake": float(SHAKE_S),
    "strain": float(STRAIN_S),
    "rinse": float(RINSE_S),
    "draught_pint": float(PINT_S),
    "coffee_hands": float(COFFEE_S),
    "coffee_draw": float(DRAWS_S),
    "coffee_finish": float(FINISHED_S),
    "blend_start": float(BLENDER_S),
    "blend_alone": float(BLENDS_S),
    "blend_pour": float(EMPTIED_S),
    "rinse_jar": float(JAR_S),
    "stout_pour": float(STOUT_S),
    "stout_settle": float(SETTLES_S),
    "stout_window": float(WINDOW_S),
    "stout_top": float(TOP_S),
}
"""The time standards of these bars in seconds; every other row is 0."""

DRINKS = ("sour", "tall", "lager", "coffee", "frozen", "stout")
RUN_ALONE = ("coffee", "frozen", "stout")


@dataclass(frozen=True, kw_only=True)
class Bar:
    """What a job shop needs to know of a bar.

    Attributes
    ----------
    rounds : tuple of tuple of str
        The drinks of each round, by recipe.
    weights : tuple of int
        Of each round.
    paces : tuple of int
        Of each bartender, in tenths: 10 takes the seconds above, 12 a fifth more.
    blenders, groups, places : int
        Blenders, coffee groups (with one grinder) and settling places.
    """

    rounds: tuple[tuple[str, ...], ...]
    weights: tuple[int, ...]
    paces: tuple[int, ...]
    blenders: int
    groups: int
    places: int


def least(bar: Bar, *, clear_weight: int = 0) -> int:
    """Least Σ weight × last drink, and `clear_weight` × when nothing is open, in deciseconds."""
    return _Shop(bar).solve(clear_weight)


class _Shop:
    def __init__(self, bar: Bar) -> None:
        self.model = Model()
        self.people = [self.model.add_machine(name=f"p{n + 1}") for n in range(len(bar.paces))]
        self.paces = bar.paces
        self.blenders = self.model.add_renewable(bar.blenders)
        self.groups = self.model.add_renewable(bar.groups)
        self.grinder = self.model.add_machine()
        self.places = self.model.add_renewable(bar.places)
        self.taps = {beer: self.model.add_machine() for beer in ("lager", "stout")}
        for drinks, weight in zip(bar.rounds, bar.weights, strict=True):
            job = self.model.add_job(weight=weight, due_date=0)
            for drink in drinks:
                self._add(drink, job)

    def solve(self, clear_weight: int) -> int:
        # Being late for a moment that is now is when a round ends; the latest of them is `clear`.
        self.model.set_objective(weight_total_flow_time=1, weight_max_tardiness=clear_weight)
        result = self.model.solve(time_limit=PATIENCE_S, display=False, num_workers=2)
        assert result.status == SolveStatus.OPTIMAL
        return int(result.objective)

    def _add(self, drink: str, job: Job) -> None:
        match drink:
            case "sour":
                self._then(
                    self._hands(job, MIXED_S + SHAKE_S + STRAIN_S), self._hands(None, RINSE_S)
                )
            case "tall":
                self._hands(job, LARGE_S + GUN_S)
            case "lager":
                self._hands(job, PINT_S, self.taps["lager"])
            case "coffee":
                first = self._hands(job, COFFEE_S, self.grinder, self.groups)
                draws = self._runs(job, DRAWS_S, self.groups, after=first)
                last = self._hands(job, FINISHED_S)
                self.model.add_end_before_start(draws, last[0])
                self._by_the_same(first, last)
            case "frozen":
                first = self._hands(job, MIXED_S + BLENDER_S)
                blends = self._runs(job, BLENDS_S, self.blenders, after=first)
                last = self._hands(job, EMPTIED_S)
                self.model.add_end_before_start(blends, last[0])
                self._by_the_same(first, last)
                self._then(last, self._hands(None, JAR_S))
            case "stout":
                first = self._hands(job, STOUT_S, self.taps["stout"])
                place = self._runs(job, SETTLES_S, self.places, after=first, allow_idle=True)
                last = self._hands(job, TOP_S, self.taps["stout"])
                self.model.add_end_before_start(first[0], last[0], SETTLES_S * 10)
                self.model.add_start_before_end(last[0], first[0], -WINDOW_S * 10)
                self.model.add_end_at_end(place, last[0])

    def _hands(
        self, job: Job | None, seconds: int, *held: Machine | Renewable
    ) -> tuple[Task, list[Mode]]:
        """Add a stretch of hands, by anyone, at their pace, with this equipment."""
        task = self.model.add_task(job=job)
        modes = [
            self.model.add_mode(
                task,
                [person, *held],
                seconds * pace,
                [0, *(int(isinstance(one, Renewable)) for one in held)],
            )
            for person, pace in zip(self.people, self.paces, strict=True)
        ]
        return task, modes

    def _runs(
        self,
        job: Job,
        seconds: int,
        on: Renewable,
        *,
        after: tuple[Task, list[Mode]],
        allow_idle: bool = False,
    ) -> Task:
        """Add what runs by itself from the end of a stretch of hands on."""
        task = self.model.add_task(job=job, allow_idle=allow_idle)
        self.model.add_mode(task, on, seconds * 10, 1)
        self.model.add_start_at_end(task, after[0])
        return task

    def _by_the_same(self, first: tuple[Task, list[Mode]], last: tuple[Task, list[Mode]]) -> None:
        for one, other in zip(first[1], last[1], strict=True):
            self.model.add_mode_dependency(one, [other])

    def _then(self, first: tuple[Task, list[Mode]], last: tuple[Task, list[Mode]]) -> None:
        """The same hands go on at once: the glass is made, and then the vessel is rinsed."""
        self._by_the_same(first, last)
        self.model.add_start_at_end(last[0], first[0])
