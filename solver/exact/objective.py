"""The goal without its tie part: what is made small.

Of the drinks that the plan makes, only those with a short hold limit have a price on sitting here.
Sitting, and glasses too many on the pass, only ever add to the goal, so a bound on this bounds the
goal's whole first part.
"""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from solver.goal import FIRST, hands_price
from solver.timing.arrays import HOLD_LIMIT, PUT_FIRST, SIT_PRICE, TICKET
from solver.timing.score import MEAN, WORST
from solver.units import paced_ds

from .columns import pace_of
from .variables import Model, made_ds


def add_objective(model: Model) -> None:
    """Minimise Σ weight·(T + Σ max(0, T − step·promise)) and hands, with what is put first.

    With something first the goal is ``FIRST·first + total // rounds``; the solver is given that
    times the number of rounds, which is a whole number: see `primary_bound`.
    """
    cp = model.cp
    terms: list[cp_model.LinearExprT] = []
    for one in model.rounds:
        waited = model.last[one.ticket] - one.placed_ds
        terms.append(one.weight * waited)
        for n, late_from in enumerate(one.late_from_ds()):
            most = max(0, one.latest_ds - one.placed_ds - late_from)
            late = cp.new_int_var(0, most, f"late[round={one.ticket},step={n}]")
            cp.add(late >= waited - late_from)
            model.late[one.ticket, n] = late
            terms.append(one.weight * late)
        for n, sits_from in enumerate(one.sits_from_ds):
            most = max(0, one.latest_ds - sits_from)
            sits = cp.new_int_var(0, most, f"sits[round={one.ticket},made={n}]")
            cp.add(sits >= model.last[one.ticket] - sits_from)
            model.made_sits[one.ticket, n] = sits
            terms.append(one.sit_price * sits)
    sit_price = int(model.engine.bench.house[SIT_PRICE])
    terms.extend(sit_price * sits for sits in _sits(model))
    terms.extend(_hands(model))
    put_first = int(model.engine.bench.house[PUT_FIRST])
    if put_first != MEAN and model.rounds:
        most = max(max(0, one.latest_ds - min(0, one.placed_ds)) for one in model.rounds)
        first = cp.new_int_var(0, most, "first")
        for one in model.rounds:
            placed = one.placed_ds if put_first == WORST else 0
            cp.add(first >= model.last[one.ticket] - placed)
        model.first.append(first)
        terms.append(FIRST * len(model.rounds) * first)
    cp.minimize(sum(terms))


def _hands(model: Model) -> Iterable[cp_model.LinearExprT]:
    """What the hands cost of all builds that are chosen."""
    price = hands_price(model.engine.packed.snapshot, len(model.rounds))
    if price == 0:
        return
    for i, column in enumerate(model.columns):
        yield price * column.pieces[0].length_ds * model.chosen[i]
        for piece, tail in zip(column.pieces[1:], model.tails[i], strict=True):
            for person, works in tail.by.items():
                yield price * paced_ds(piece.length_ds, pace_of(model.engine, person)) * works


def primary_bound(model: Model, bound: int) -> int:
    """Turn a bound on the objective into one on the goal's first part."""
    if int(model.engine.bench.house[PUT_FIRST]) == MEAN or not model.rounds:
        return bound
    return bound // len(model.rounds)


def _sits(model: Model) -> Iterable[cp_model.IntVar]:
    """How long drinks with a short hold limit sit: sits >= last - made - hold limit."""
    drinks = model.engine.bench.drinks
    latest = {one.ticket: one.latest_ds for one in model.rounds}
    for i, column in enumerate(model.columns):
        for n, piece in enumerate(column.pieces):
            for drink, at in piece.soon_bad:
                ticket = int(drinks[drink, TICKET])
                if drink not in model.sits:
                    name = f"sits[drink={drink}]"
                    model.sits[drink] = model.cp.new_int_var(0, latest[ticket], name)
                sits = model.last[ticket] - int(drinks[drink, HOLD_LIMIT]) - model.sits[drink]
                if n == 0:
                    rule = model.cp.add(sits <= model.start[i] + at)
                    rule.only_enforce_if(model.chosen[i])
                    continue
                tail = model.tails[i][n - 1]
                for person, works in tail.by.items():
                    made = tail.start + made_ds(model.engine, n, at, person)
                    model.cp.add(sits <= made).only_enforce_if(works)
    yield from model.sits.values()
