"""What the solver decides: which builds are made, when, who finishes what, when rounds are served.

Names say what they are: ``start[build=3]``, ``last[round=0]``. Times are deciseconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.timing import Draft, Engine
from solver.timing.arrays import (
    B_TO,
    F_PERSON,
    F_TAIL,
    F_TICKET,
    FREE_FROM,
    H_TO,
    IS_SERVED,
    PUT_FIRST,
    R_TILL,
    SERVE,
    T_ANYONES,
    T_BASE,
    T_EARLIEST,
    T_OWNER,
)
from solver.timing.score import WORST
from solver.units import paced_ds

from .columns import Column, pace_of
from .limits import Round

IN_HAND = -1
"""Stands for the build of a source that is in hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TailVars:
    """A tail of a build: when it starts and, for each who may do it, whether they do."""

    start: cp_model.IntVar
    by: dict[int, cp_model.IntVar]


@dataclass(frozen=True, slots=True, kw_only=True)
class ServingVars:
    """A round's serving.

    Attributes
    ----------
    start : IntVar
    waits : IntVar
        From when on, at the latest, its person starts no other build.
    by : dict
        Whether this person serves.
    sources : list
        One for each stretch that may make the last drink: (literal, build, piece, person). Build
        `IN_HAND` is a build in hand, its piece the row of ``Bench.fixed``.
    """

    start: cp_model.IntVar
    waits: cp_model.IntVar
    by: dict[int, cp_model.IntVar]
    sources: list[tuple[cp_model.IntVar, int, int, int]]


Point = tuple[cp_model.IntVar | None, int]
"""A time in the model: a variable's value, or 0, and so much more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A stretch whose length is decided too: from one time to another if the literal holds."""

    size: cp_model.IntVar
    begin: Point
    end: Point
    literal: cp_model.IntVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """Whether a stretch ends before somebody is away; else it starts once they are back."""

    before: cp_model.IntVar
    start: cp_model.IntVar
    length_ds: int
    begins_ds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """The model with its variables, and what they stand for."""

    cp: cp_model.CpModel
    engine: Engine
    drafts: Sequence[Draft]
    columns: Sequence[Column]
    rounds: Sequence[Round]
    end_ds: int  # everything that counts has started by then
    far_ds: int  # and everything else by then
    chosen: list[cp_model.IntVar]
    start: list[cp_model.IntVar]
    tails: list[list[TailVars]]
    pending: list[TailVars]
    last: dict[int, cp_model.IntVar]
    floor: dict[int, cp_model.IntVar]
    servings: dict[int, ServingVars]
    late: dict[tuple[int, int], cp_model.IntVar]  # by round and step, the objective's own
    made_sits: dict[tuple[int, int], cp_model.IntVar]  # by round and drink made already
    sits: dict[int, cp_model.IntVar]  # by drink
    first: list[cp_model.IntVar]  # what the manager puts first, at most one
    spans: list[Span]
    breaks: list[Break]

    @property
    def puts_worst_first(self) -> bool:
        """Whether the manager puts the worst round first."""
        return int(self.engine.bench.house[PUT_FIRST]) == WORST


def new_model(
    engine: Engine, drafts: Sequence[Draft], columns: Sequence[Column], rounds: Sequence[Round]
) -> Model:
    """Make the variables of a model of these builds and rounds."""
    cp = cp_model.CpModel()
    bench = engine.bench
    end_ds = max([one.latest_ds for one in rounds], default=0)
    others = [int(bench.house[SERVE]) * 3 * len(rounds), 3 * int(bench.tails[:, T_BASE].sum())]
    taken = [int(bench.busy[:, B_TO].max(initial=0)), int(bench.held[:, H_TO].max(initial=0))]
    longest = [piece.length_ds for column in columns for piece in column.pieces]
    far_ds = max(end_ds, *taken) + sum(others) + 4 * max(longest, default=0)
    people = range(engine.num_people)
    starts = [
        cp.new_int_var(min(_earliest(engine, column), end_ds), end_ds, f"start[build={i}]")
        for i, column in enumerate(columns)
    ]
    # What cannot start in time is in no plan that is worth having.
    chosen = [
        cp.new_int_var(0, int(_earliest(engine, column) <= end_ds), f"chosen[build={i}]")
        for i, column in enumerate(columns)
    ]
    return Model(
        cp=cp,
        engine=engine,
        drafts=drafts,
        columns=columns,
        rounds=rounds,
        end_ds=end_ds,
        far_ds=far_ds,
        chosen=chosen,
        start=starts,
        tails=[_tails(cp, engine, column, chosen[i], end_ds) for i, column in enumerate(columns)],
        pending=[
            _pending(cp, engine, row.tolist(), far_ds, n) for n, row in enumerate(bench.tails)
        ],
        last={
            one.ticket: cp.new_int_var(one.earliest_ds, one.latest_ds, f"last[round={one.ticket}]")
            for one in rounds
        },
        floor={p: cp.new_int_var(0, end_ds, f"floor[person={p}]") for p in people},
        servings={
            one.ticket: _serving(cp, engine, columns, one, far_ds)
            for one in rounds
            if bench.tickets[one.ticket, IS_SERVED] and bench.house[R_TILL] >= 0
        },
        late={},
        made_sits={},
        sits={},
        first=[],
        spans=[],
        breaks=[],
    )


def _earliest(engine: Engine, column: Column) -> int:
    free = int(engine.bench.people[column.person, FREE_FROM])
    return max(0, free, column.release_ds)


def _tails(
    cp: cp_model.CpModel, engine: Engine, column: Column, chosen: cp_model.IntVar, end_ds: int
) -> list[TailVars]:
    """Make a build's tails; one only its owner may do is done by them when the build is chosen."""
    found = []
    for n, piece in enumerate(column.pieces[1:], start=1):
        name = f"{chosen.name},piece={n}"
        by = {column.person: chosen}
        if piece.is_anyones:
            by = {p: cp.new_bool_var(f"by[{name},person={p}]") for p in range(engine.num_people)}
        found.append(TailVars(start=cp.new_int_var(0, end_ds, f"start[{name}]"), by=by))
    return found


def _pending(cp: cp_model.CpModel, engine: Engine, row: list[int], far_ds: int, n: int) -> TailVars:
    people = range(engine.num_people) if row[T_ANYONES] else (row[T_OWNER],)
    earliest = max(0, row[T_EARLIEST])
    return TailVars(
        start=cp.new_int_var(earliest, max(earliest, far_ds), f"start[pending={n}]"),
        by={p: cp.new_bool_var(f"by[pending={n},person={p}]") for p in people},
    )


def _serving(
    cp: cp_model.CpModel, engine: Engine, columns: Sequence[Column], one: Round, far_ds: int
) -> ServingVars:
    name = f"round={one.ticket}"
    sources = [
        (cp.new_bool_var(f"finishes[{name},build={i},piece={piece},person={p}]"), i, piece, p)
        for i, piece, p in _who_may_finish(engine, columns, one.ticket)
    ]
    people = dict.fromkeys(p for _, _, _, p in sources)
    return ServingVars(
        start=cp.new_int_var(0, far_ds, f"serve[{name}]"),
        # A round may have been whole before the moment, and nobody has served it yet.
        waits=cp.new_int_var(min(0, one.earliest_ds), far_ds, f"waits[{name}]"),
        by={p: cp.new_bool_var(f"serves[{name},person={p}]") for p in people},
        sources=sources,
    )


def _who_may_finish(
    engine: Engine, columns: Sequence[Column], ticket: int
) -> Iterator[tuple[int, int, int]]:
    """Give every stretch that may make a round's last drink: build, piece and person."""
    everybody = range(engine.num_people)
    for i, column in enumerate(columns):
        for n, piece in enumerate(column.pieces):
            if any(of == ticket for of, _ in piece.last):
                for p in everybody if piece.is_anyones else (column.person,):
                    yield i, n, p
    for n, row in enumerate(engine.bench.fixed.tolist()):
        if row[F_TICKET] != ticket:
            continue
        if row[F_TAIL] >= 0:
            tail = engine.bench.tails[row[F_TAIL]].tolist()
            people: Sequence[int] = everybody if tail[T_ANYONES] else (tail[T_OWNER],)
        else:
            # Made by somebody who has left the floor, it is served by anyone.
            people = (row[F_PERSON],) if row[F_PERSON] >= 0 else everybody
        for p in people:
            yield IN_HAND, n, p


def made_ds(engine: Engine, piece: int, at_ds: int, person: int) -> int:
    """Give a time in a piece for the person who works it."""
    if piece == 0:
        return at_ds
    return paced_ds(at_ds, pace_of(engine, person))


def add_span(
    model: Model, begin: Point, end: Point, literal: cp_model.IntVar, name: str
) -> cp_model.IntervalVar:
    """Add an optional interval between two times of the model."""
    size = model.cp.new_int_var(0, 2 * model.far_ds, f"size[{name}]")
    since, until = (at + (0 if var is None else var) for var, at in (begin, end))
    model.cp.add(size == until - since).only_enforce_if(literal)
    model.spans.append(Span(size=size, begin=begin, end=end, literal=literal))
    return model.cp.new_optional_interval_var(since, size, until, literal, name)
