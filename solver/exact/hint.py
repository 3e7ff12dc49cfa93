"""The plan at hand as a complete hint: a value for every variable of the model.

Source: measured and reported, a partial hint is often lost; the solver is also told not to look
for symmetry, which was seen to break complete ones.
"""

from __future__ import annotations

from collections.abc import Iterator

from ortools.sat.python import cp_model

from solver.errors import EngineFault
from solver.timing.arrays import (
    F_TAIL,
    HOLD_LIMIT,
    LAST,
    MADE,
    SERVE_BY,
    SERVE_START,
    TAIL_START,
    TAIL_WHO,
    TICKET,
)

from .constraints import could_start, urgent_drinks
from .limits import Round
from .variables import IN_HAND, Model, Point, ServingVars, made_ds

Values = dict[int, int]
"""A value for each variable, by its index in the model."""


def add_hint(model: Model) -> Values:
    """Hint the model's drafts as the engine lays them; gives the values.

    Raises
    ------
    EngineFault
        When the drafts cannot be laid.
    """
    values = _values(model)
    model.cp.clear_hints()  # type: ignore[no-untyped-call]
    for index, value in values.items():
        model.cp.add_hint(model.cp.get_int_var_from_proto_index(index), value)
    return values


def _values(model: Model) -> Values:
    engine = model.engine
    if engine.lay(model.drafts) is None:
        raise EngineFault("the plan to hint cannot be laid")
    clock = engine.clock
    values: Values = {}
    slot_of = _slots(model)
    for i, start in enumerate(model.start):
        values[model.chosen[i].index] = int(i in slot_of)
        values[start.index] = int(clock.start[slot_of[i]]) if i in slot_of else _least(start)
    for i, tails in enumerate(model.tails):
        for n, tail in enumerate(tails):
            at, who = _least(tail.start), -1
            if i in slot_of:
                at = int(clock.tails[slot_of[i], n, TAIL_START])
                who = int(clock.tails[slot_of[i], n, TAIL_WHO])
            values[tail.start.index] = at
            values |= {var.index: int(p == who) for p, var in tail.by.items()}
    for n, tail in enumerate(model.pending):
        values[tail.start.index] = int(clock.pending[n, TAIL_START])
        who = int(clock.pending[n, TAIL_WHO])
        values |= {var.index: int(p == who) for p, var in tail.by.items()}
    for ticket, last in model.last.items():
        values[last.index] = int(clock.tickets[ticket, LAST])
    values |= dict(_floors(model, values))
    for ticket, serving in model.servings.items():
        values |= dict(_serving(model, values, ticket, serving))
    for span in model.spans:
        is_used = values[span.literal.index]
        length = _at(values, span.end) - _at(values, span.begin)
        values[span.size.index] = length if is_used else _least(span.size)
    for one in model.breaks:
        ends = values[one.start.index] + one.length_ds
        values[one.before.index] = int(ends <= one.begins_ds)
    values |= dict(_goal(model, values))
    return values


def _least(var: cp_model.IntVar) -> int:
    """A value for a variable that nothing depends on."""
    return int(var.proto.domain[0])


def _at(values: Values, point: Point) -> int:
    var, more_ds = point
    return more_ds + (0 if var is None else values[var.index])


def _slots(model: Model) -> dict[int, int]:
    """Give for each build of the drafts its column and its slot."""
    index = {(c.person, c.drinks): i for i, c in reversed(list(enumerate(model.columns)))}
    by_set = {(d.person, frozenset(d.drinks)): slot for slot, d in enumerate(model.drafts)}
    found = {}
    for (person, drinks), i in index.items():
        slot = by_set.get((person, frozenset(drinks)))
        if slot is not None and i < len(model.drafts):
            found[i] = slot
    return found


def _floors(model: Model, values: Values) -> Iterator[tuple[int, int]]:
    may, urgent = model.engine.bench.may, urgent_drinks(model)
    for person, floor in model.floor.items():
        starts = [
            values[model.start[i].index]
            for i, column in enumerate(model.columns)
            if values[model.chosen[i].index]
            and any(
                may[drink, person] and could_start(model, drink, person)
                for drink in urgent & set(column.drinks)
            )
        ]
        yield floor.index, max(starts, default=0)


def _serving(
    model: Model, values: Values, ticket: int, serving: ServingVars
) -> Iterator[tuple[int, int]]:
    """The first stretch that made the last drink, by the person the engine lets serve it."""
    clock = model.engine.clock
    who, last = int(clock.tickets[ticket, SERVE_BY]), int(clock.tickets[ticket, LAST])
    source = next(
        s for s in serving.sources if s[3] == who and _made(model, values, ticket, s) == last
    )
    for literal, *_ in serving.sources:
        yield literal.index, int(literal is source[0])
    for p, var in serving.by.items():
        yield var.index, int(p == who)
    yield serving.start.index, int(clock.tickets[ticket, SERVE_START])
    _, i, n, _ = source
    end = last
    if i != IN_HAND and n == 0:
        end = values[model.start[i].index] + model.columns[i].pieces[0].length_ds
    yield serving.waits.index, end


def _made(
    model: Model, values: Values, ticket: int, source: tuple[cp_model.IntVar, int, int, int]
) -> int | None:
    """When a stretch makes its last drink of a round; None where this person does not work it."""
    _, i, n, person = source
    if i == IN_HAND:
        row = model.engine.bench.fixed[n].tolist()
        if row[F_TAIL] < 0:
            return int(model.engine.clock.fixed_made[n])
        tail = model.pending[row[F_TAIL]]
        if not values[tail.by[person].index]:
            return None
        return int(model.engine.clock.fixed_made[n])
    if not values[model.chosen[i].index]:
        return None
    at = dict(model.columns[i].pieces[n].last)[ticket]
    if n == 0:
        return values[model.start[i].index] + at
    tail = model.tails[i][n - 1]
    if not values[tail.by[person].index]:
        return None
    return values[tail.start.index] + made_ds(model.engine, n, at, person)


def _goal(model: Model, values: Values) -> Iterator[tuple[int, int]]:
    def waited(one: Round) -> int:
        return values[model.last[one.ticket].index] - one.placed_ds

    for one in model.rounds:
        for n, late_from in enumerate(one.late_from_ds()):
            yield model.late[one.ticket, n].index, max(0, waited(one) - late_from)
        for n, sits_from in enumerate(one.sits_from_ds):
            last = values[model.last[one.ticket].index]
            yield model.made_sits[one.ticket, n].index, max(0, last - sits_from)
    bench, clock = model.engine.bench, model.engine.clock
    for drink, sits in model.sits.items():
        last = values[model.last[int(bench.drinks[drink, TICKET])].index]
        sat = last - int(clock.drinks[drink, MADE]) - int(bench.drinks[drink, HOLD_LIMIT])
        yield sits.index, max(0, sat)
    for first in model.first:
        placed = {one.ticket: one.placed_ds for one in model.rounds}
        is_worst = model.puts_worst_first
        ends = [
            values[last.index] - (placed[ticket] if is_worst else 0)
            for ticket, last in model.last.items()
        ]
        yield first.index, max(0, *ends, 0)
