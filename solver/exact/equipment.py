"""Vessels, taps, machines, the one flame, the till: no more held at once than there are.

Only what can run short is in the model. A vessel that one person holds within their own main
blocks, say, is never asked for twice at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from ortools.sat.python import cp_model

from solver.timing.arrays import H_FROM, H_RESOURCE, H_TO, R_TILL, T_HOLD_FROM, T_HOLD_TO
from solver.units import paced_ds

from .columns import Column, Held, NoModel, pace_of
from .constraints import serving_ds
from .variables import Model, Point, TailVars, add_span


@dataclass(slots=True, kw_only=True)
class _Use:
    """Who holds one resource: always, or if a build is chosen."""

    taken: list[tuple[int, int]] = field(default_factory=list)
    tails: list[tuple[int, int, int, int]] = field(default_factory=list)
    builds: list[tuple[int, Held]] = field(default_factory=list)


def add_equipment(model: Model) -> None:
    """Keep to the capacity of everything that can run short."""
    capacity = model.engine.bench.capacity
    for resource, use in _uses(model).items():
        if _can_run_short(model, use, int(capacity[resource])):
            _limit(model, use, int(capacity[resource]))
    _limit_tills(model)


def _uses(model: Model) -> dict[int, _Use]:
    bench = model.engine.bench
    found: dict[int, _Use] = {}
    for row in bench.held.tolist():
        if row[H_TO] > max(0, row[H_FROM]):
            use = found.setdefault(row[H_RESOURCE], _Use())
            use.taken.append((max(0, row[H_FROM]), row[H_TO]))
    for n, row in enumerate(bench.tails.tolist()):
        for h in range(row[T_HOLD_FROM], row[T_HOLD_TO]):
            resource, since, until, extra = bench.tail_hold[h].tolist()
            found.setdefault(resource, _Use()).tails.append((n, since, until, extra))
    for i, column in enumerate(model.columns):
        for held in column.held:
            found.setdefault(held.resource, _Use()).builds.append((i, held))
    return found


def _can_run_short(model: Model, use: _Use, capacity: int) -> bool:
    """Whether builds may come to hold more than there is."""
    columns = model.columns
    if not use.builds:
        return False
    people = {columns[i].person for i, _ in use.builds}
    if len(people) == 1 and not use.taken and not use.tails:
        is_within = all(_is_within_main(columns[i], held) for i, held in use.builds)
        if is_within:
            return False
    per_build: dict[int, int] = {}
    for i, _ in use.builds:
        per_build[i] = per_build.get(i, 0) + 1
    per_drink = max(-(-n // len(columns[i].drinks)) for i, n in per_build.items())
    drinks = {drink for i in per_build for drink in columns[i].drinks}
    return len(use.taken) + len(use.tails) + per_drink * len(drinks) > capacity


def _is_within_main(column: Column, held: Held) -> bool:
    is_main = held.from_piece == held.to_piece == 0
    return is_main and held.to_ds + held.extra_ds <= column.pieces[0].length_ds


def _limit(model: Model, use: _Use, capacity: int) -> None:
    intervals: list[cp_model.IntervalVar] = []
    demands: list[int] = []
    kept = sum(since_ds < 0 for _, since_ds, _, _ in use.tails)
    most = max((units for _, _, units in _profile(use.taken, capacity)), default=0)
    if kept + most > capacity:
        raise NoModel("builds in hand hold more than there is until they are finished")
    for at, until, units in _profile(use.taken, capacity):
        intervals.append(model.cp.new_fixed_size_interval_var(at, until - at, "taken"))
        demands.append(units)
    for n, since_ds, until_ds, extra_ds in use.tails:
        for person, works in model.pending[n].by.items():
            pace = pace_of(model.engine, person)
            start = model.pending[n].start
            end: Point = (start, paced_ds(until_ds, pace) + extra_ds)
            begin: Point = (None, 0) if since_ds < 0 else (start, paced_ds(since_ds, pace))
            intervals.append(add_span(model, begin, end, works, f"held[pending={n}]"))
            demands.append(1)
    for i, held in use.builds:
        for interval in _held(model, i, held):
            intervals.append(interval)
            demands.append(1)
    if capacity == 1:
        model.cp.add_no_overlap(intervals)
    else:
        model.cp.add_cumulative(intervals, demands, capacity)


def _profile(taken: list[tuple[int, int]], capacity: int) -> Iterator[tuple[int, int, int]]:
    """Give what is taken already over time, never more than there is: facts may exceed it."""
    points = sorted({at for stretch in taken for at in stretch})
    for begin, end in pairwise(points):
        units = sum(since <= begin < until for since, until in taken)
        if units:
            yield begin, end, min(units, capacity)


def _held(model: Model, i: int, held: Held) -> Iterator[cp_model.IntervalVar]:
    chosen, start = model.chosen[i], model.start[i]
    if held.from_piece == held.to_piece == 0:
        length = held.to_ds + held.extra_ds - held.from_ds
        if length > 0:
            yield model.cp.new_optional_fixed_size_interval_var(
                start + held.from_ds, length, chosen, f"held[{held.resource},build={i}]"
            )
        return
    tail: TailVars = model.tails[i][held.to_piece - 1]
    for person, works in tail.by.items():
        pace = pace_of(model.engine, person)
        end: Point = (tail.start, paced_ds(held.to_ds, pace) + held.extra_ds)
        begin: Point = (start, held.from_ds)
        if held.from_piece:
            begin = (tail.start, paced_ds(held.from_ds, pace))
        yield add_span(model, begin, end, works, f"held[{held.resource},build={i}]")


def _limit_tills(model: Model) -> None:
    """No more rounds are served at once than there are tills."""
    till = int(model.engine.bench.house[R_TILL])
    people = {p for serving in model.servings.values() for p in serving.by}
    if till < 0 or min(len(people), len(model.servings)) <= model.engine.bench.capacity[till]:
        return
    intervals = [
        model.cp.new_optional_fixed_size_interval_var(
            serving.start, serving_ds(model, person), serves, f"till[round={ticket}]"
        )
        for ticket, serving in model.servings.items()
        for person, serves in serving.by.items()
    ]
    capacity = int(model.engine.bench.capacity[till])
    model.cp.add_cumulative(intervals, [1] * len(intervals), capacity)
