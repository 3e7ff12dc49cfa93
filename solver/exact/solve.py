"""Runs the solver: the one file that makes a CpSolver."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from solver.goal import TIE, hands_price
from solver.timing import Draft, Engine, Laid
from solver.timing.arrays import PUT_FIRST
from solver.timing.score import MEAN

from .columns import Column, NoModel, columns_of
from .constraints import add_constraints
from .equipment import add_equipment
from .hint import add_hint
from .limits import least_work_ds, rounds_of, within
from .objective import add_objective, primary_bound
from .variables import Model, new_model

MOST_BUILDS = 3000
"""More feasible builds than this are not put into a model."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exact:
    """What an exact solve came to.

    Attributes
    ----------
    drafts : tuple of Draft
        The best plan known, laid by the engine: the one it began with or a better one.
    cost : int
        What the engine says it costs.
    bound : int or None
        The goal's first part (``cost // goal.TIE``) of every plan that keeps the pinned builds of
        the drafts is at least this; None where there was no room for the model.
    is_proven : bool
        Whether the plan's own first part equals the bound.
    """

    drafts: tuple[Draft, ...]
    cost: int
    bound: int | None
    is_proven: bool


def improve(
    engine: Engine,
    drafts: Sequence[Draft],
    *,
    limit_s: float | None,
    deterministic_work: float | None,
    seed: int,
    stop: Callable[[], bool] = lambda: False,
) -> Exact:
    """Look for a better plan among all there are, and prove there is none.

    Parameters
    ----------
    engine : Engine
    drafts : sequence of Draft
        The best plan so far; it must be layable. Pinned builds stay as they are.
    limit_s : float or None
        Wall clock for the solver alone; building the model comes on top.
    deterministic_work : float or None
        Limit in the solver's own units, for the same answer wherever the same wheel runs.
    seed : int
    stop : callable
        Asked before solving, and whenever the solver finds a plan or a bound.

    Returns
    -------
    Exact
        Never worse than `drafts`.
    """
    laid = engine.lay(drafts)
    if laid is None:
        return Exact(drafts=tuple(drafts), cost=0, bound=None, is_proven=False)
    best = _Best(engine, tuple(drafts), laid)
    try:
        model = build(engine, drafts, laid.cost // TIE)
    except NoModel:
        return best.answer(None)
    if stop():
        return best.answer(None)
    solver = cp_model.CpSolver()
    settings = solver.parameters
    settings.num_workers = 1
    settings.random_seed = seed
    settings.symmetry_level = 0
    settings.catch_sigint_signal = False
    # Measured on 24 snapshots of 5 to 7 drinks, 1 s each: probing takes longer than it saves, and
    # no linear relaxation proves 21 of them where level 1 proves 20 and level 2 proves 17.
    settings.cp_model_probing_level = 0
    settings.linearization_level = 0
    if limit_s is not None:
        settings.max_time_in_seconds = limit_s
    if deterministic_work is not None:
        settings.max_deterministic_time = deterministic_work
    watch = _Watch(model, best, stop)
    solver.best_bound_callback = lambda _: solver.stop_search() if stop() else None
    status = solver.solve(model.cp, watch)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return best.answer(None)
    bound = math.ceil(solver.best_objective_bound - 1e-6)
    return best.answer(primary_bound(model, bound))


def build(engine: Engine, drafts: Sequence[Draft], primary: int) -> Model:
    """Build the whole model, hinted with the drafts.

    Parameters
    ----------
    engine : Engine
    drafts : sequence of Draft
    primary : int
        The goal's first part that a plan may cost at most.

    Raises
    ------
    NoModel
        When there are more builds than a model is meant for.
    """
    columns: list[Column] = columns_of(engine, drafts, MOST_BUILDS)
    rounds, left = rounds_of(engine), primary
    if int(engine.bench.house[PUT_FIRST]) == MEAN:
        left -= hands_price(engine.packed.snapshot, len(rounds)) * least_work_ds(engine, columns)
    rounds = within(engine, rounds, left)
    model = new_model(engine, drafts, columns, rounds)
    add_constraints(model)
    add_equipment(model)
    add_objective(model)
    add_hint(model)
    return model


class _Best:
    """The best plan so far, as the engine judges it."""

    def __init__(self, engine: Engine, drafts: tuple[Draft, ...], laid: Laid) -> None:
        self._engine = engine
        self._drafts = drafts
        self._laid = laid

    def offer(self, drafts: tuple[Draft, ...]) -> None:
        laid = self._engine.lay(drafts)
        if laid is not None and laid.rank < self._laid.rank:
            self._drafts, self._laid = drafts, laid

    def answer(self, bound: int | None) -> Exact:
        cost = self._laid.cost
        is_proven = bound is not None and not self._laid.starving_ds and cost // TIE <= bound
        return Exact(drafts=self._drafts, cost=cost, bound=bound, is_proven=is_proven)


class _Watch(cp_model.CpSolverSolutionCallback):
    """Takes every plan the solver finds back to the engine."""

    def __init__(self, model: Model, best: _Best, stop: Callable[[], bool]) -> None:
        super().__init__()
        self._model = model
        self._best = best
        self._stop = stop

    def on_solution_callback(self) -> None:
        """Lay the builds by their start, and keep the list if it is better."""
        model = self._model
        pinned = [set(draft.drinks) for draft in model.drafts if draft.is_pinned]
        found = [
            (self.value(model.start[i]), i)
            for i in range(len(model.columns))
            if self.value(model.chosen[i])
        ]
        drafts = []
        for _, i in sorted(found):
            column = model.columns[i]
            drafts.append(
                Draft(
                    person=column.person,
                    drinks=column.drinks,
                    is_pinned=set(column.drinks) in pinned,
                    waits_ds=self._waits_ds(i),
                )
            )
        self._best.offer(tuple(drafts))
        # Where a tail came later only because hands were taken, it need not be put off.
        self._best.offer(tuple(replace(draft, waits_ds=()) for draft in drafts))
        if self._stop():
            self.stop_search()

    def _waits_ds(self, i: int) -> tuple[int, ...]:
        """How long after what ran alone each tail of a build starts."""
        begin = self.value(self._model.start[i])
        return tuple(
            self.value(tail.start) - begin - piece.anchor_ds - piece.alone_ds
            for piece, tail in zip(
                self._model.columns[i].pieces[1:], self._model.tails[i], strict=True
            )
        )
