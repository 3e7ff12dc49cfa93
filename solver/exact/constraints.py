"""What a plan has to keep, rule by rule; each function is one rule.

Everything the engine lays and everything `verify` accepts is a solution of these constraints, so
that a bound on them bounds every plan. Where a rule is hard to write down exactly it is left out
or weaker here, never stricter.
"""

from __future__ import annotations

from collections.abc import Iterable

from ortools.sat.python import cp_model

from solver.timing.arrays import (
    ALLOWED,
    B_FROM,
    B_PERSON,
    B_TO,
    F_MADE,
    F_OFFSET,
    F_TAIL,
    FREE_FROM,
    IS_SHAKEN,
    IS_URGENT,
    MIX,
    NEVER,
    PLACED,
    RELEASE,
    SERVE,
    SHAKE_FROM,
    STAYS,
    T_BASE,
    URGENT,
)
from solver.units import paced_ds

from .columns import pace_of
from .variables import IN_HAND, Break, Model, add_span, made_ds


def add_constraints(model: Model) -> None:
    """Add every rule but those on equipment."""
    every_drink_once(model)
    pinned_first(model)
    tails_wait(model)
    somebody_works(model)
    rounds_end(model)
    nobody_starves(model)
    urgent_first(model)
    breaks_are_kept(model)
    one_pair_of_hands(model)
    served_before_another_build(model)


def every_drink_once(model: Model) -> None:
    """Every drink is in exactly one chosen build: Σ chosen = 1."""
    for drink in range(model.engine.num_drinks):
        model.cp.add_exactly_one(
            model.chosen[i] for i, column in enumerate(model.columns) if drink in column.drinks
        )


def pinned_first(model: Model) -> None:
    """A pinned build is made, and is its person's first."""
    for draft in model.drafts:
        if not draft.is_pinned:
            continue
        own = [
            i
            for i, column in enumerate(model.columns)
            if column.person == draft.person and set(column.drinks) == set(draft.drinks)
        ]
        model.cp.add_exactly_one(model.chosen[i] for i in own)
        for i, column in enumerate(model.columns):
            if column.person == draft.person and i not in own:
                for pin in own:
                    rule = model.cp.add(model.start[i] >= model.start[pin])
                    rule.only_enforce_if(model.chosen[i], model.chosen[pin])


def tails_wait(model: Model) -> None:
    """What runs alone takes its time: start + anchor + alone <= tail <= start + anchor + window."""
    for i, column in enumerate(model.columns):
        for piece, tail in zip(column.pieces[1:], model.tails[i], strict=True):
            ready = model.start[i] + piece.anchor_ds + piece.alone_ds
            model.cp.add(tail.start >= ready).only_enforce_if(model.chosen[i])
            if piece.window_ds >= 0:
                latest = model.start[i] + piece.anchor_ds + piece.window_ds
                model.cp.add(tail.start <= latest).only_enforce_if(model.chosen[i])


def somebody_works(model: Model) -> None:
    """A tail that is anyone's is worked by one of those on the floor, once they are there."""
    for i, column in enumerate(model.columns):
        for piece, tail in zip(column.pieces[1:], model.tails[i], strict=True):
            if piece.is_anyones:
                model.cp.add(sum(tail.by.values()) == model.chosen[i])
    for tail in model.pending:
        model.cp.add_exactly_one(tail.by.values())
    for tail in (*(tail for tails in model.tails for tail in tails), *model.pending):
        for person, works in tail.by.items():
            free = int(model.engine.bench.people[person, FREE_FROM])
            model.cp.add(tail.start >= free).only_enforce_if(works)


def rounds_end(model: Model) -> None:
    """A round's last drink is made no sooner than any of its drinks: last >= start + offset."""
    for literal, ticket, made in _made(model):
        model.cp.add(model.last[ticket] >= made).only_enforce_if(literal)
    for row in model.engine.bench.fixed.tolist():
        if row[F_TAIL] >= 0:
            tail = model.pending[row[F_TAIL]]
            for person, works in tail.by.items():
                offset = paced_ds(row[F_OFFSET], pace_of(model.engine, person))
                ended = model.cp.add(model.last[row[0]] >= tail.start + offset)
                ended.only_enforce_if(works)


def _made(model: Model) -> Iterable[tuple[cp_model.IntVar, int, cp_model.LinearExpr]]:
    """Give for every piece and who may work it: whether they do, a round, when it is made."""
    for i, column in enumerate(model.columns):
        for ticket, at in column.pieces[0].last:
            yield model.chosen[i], ticket, model.start[i] + at
        for n, tail in enumerate(model.tails[i], start=1):
            for ticket, at in column.pieces[n].last:
                for person, works in tail.by.items():
                    yield works, ticket, tail.start + made_ds(model.engine, n, at, person)


def nobody_starves(model: Model) -> None:
    """No drink is made later than its round may take; what is in hand already is nobody's plan."""
    tickets = model.engine.bench.tickets
    for literal, ticket, made in _made(model):
        if tickets[ticket, ALLOWED] < NEVER:
            latest = int(tickets[ticket, PLACED] + tickets[ticket, ALLOWED])
            model.cp.add(made <= latest).only_enforce_if(literal)


def urgent_first(model: Model) -> None:
    """Nobody starts other work who could start a drink of a round that goes first."""
    may = model.engine.bench.may
    pinned, urgent = pinned_drinks(model), urgent_drinks(model)
    for i, column in enumerate(model.columns):
        first = urgent & set(column.drinks)
        for person, floor in model.floor.items():
            if any(may[drink, person] and could_start(model, drink, person) for drink in first):
                model.cp.add(floor >= model.start[i]).only_enforce_if(model.chosen[i])
        if urgent and column.klass != URGENT and pinned.isdisjoint(column.drinks):
            after = model.cp.add(model.start[i] >= model.floor[column.person])
            after.only_enforce_if(model.chosen[i])


def could_start(model: Model, drink: int, person: int) -> bool:
    """Whether nothing but other work keeps a person from a drink: their arms are rested."""
    bench = model.engine.bench
    shaken = bench.mixes[bench.drinks[drink, MIX], IS_SHAKEN]
    return not (shaken and bench.people[person, SHAKE_FROM] > 0)


def breaks_are_kept(model: Model) -> None:
    """Nothing runs into a break or past the end of a shift, but for who leaves last."""
    may = model.engine.bench.may
    for person, begins, ends in model.engine.bench.away.tolist():
        for i, column in enumerate(model.columns):
            stays = all(may[drink, person] == STAYS for drink in column.drinks)
            if ends >= NEVER and stays:
                continue
            if column.person == person:
                length = column.pieces[0].length_ds
                _clear_of(model, model.start[i], length, model.chosen[i], (begins, ends))
            for n, tail in enumerate(model.tails[i], start=1):
                if person in tail.by:
                    length = paced_ds(column.pieces[n].length_ds, pace_of(model.engine, person))
                    _clear_of(model, tail.start, length, tail.by[person], (begins, ends))


def _clear_of(
    model: Model,
    start: cp_model.IntVar,
    length: int,
    literal: cp_model.IntVar,
    away: tuple[int, int],
) -> None:
    """A stretch ends before somebody is away, or starts once they are back."""
    begins, ends = away
    before = model.cp.new_bool_var(f"before[{literal.name},away={begins}]")
    model.cp.add(start + length <= begins).only_enforce_if(literal, before)
    if ends >= NEVER:
        model.cp.add_implication(literal, before)
    else:
        model.cp.add(start >= ends).only_enforce_if(literal, ~before)
    model.breaks.append(Break(before=before, start=start, length_ds=length, begins_ds=begins))


def pinned_drinks(model: Model) -> set[int]:
    """Give the drinks that somebody is to make next."""
    return {drink for draft in model.drafts if draft.is_pinned for drink in draft.drinks}


def urgent_drinks(model: Model) -> set[int]:
    """Give the drinks that go first, but for what waits for a bottle or a glass, or is pinned."""
    drinks = model.engine.bench.drinks
    return {
        drink
        for drink in range(model.engine.num_drinks)
        if drinks[drink, IS_URGENT] and not drinks[drink, RELEASE]
    } - pinned_drinks(model)


def one_pair_of_hands(model: Model) -> None:
    """A person's blocks, tails and servings do not overlap."""
    taken: dict[int, list[cp_model.IntervalVar]] = {p: [] for p in model.floor}
    for person, begin, end in _already_taken(model):
        taken[person].append(model.cp.new_fixed_size_interval_var(begin, end - begin, "in hand"))
    for i, column in enumerate(model.columns):
        taken[column.person].append(_main(model, i))
        for n, tail in enumerate(model.tails[i], start=1):
            for person, works in tail.by.items():
                length = paced_ds(column.pieces[n].length_ds, pace_of(model.engine, person))
                taken[person].append(
                    model.cp.new_optional_fixed_size_interval_var(
                        tail.start, length, works, f"hands[build={i},piece={n},person={person}]"
                    )
                )
    for n, tail in enumerate(model.pending):
        for person, works in tail.by.items():
            base = int(model.engine.bench.tails[n, T_BASE])
            length = paced_ds(base, pace_of(model.engine, person))
            taken[person].append(
                model.cp.new_optional_fixed_size_interval_var(
                    tail.start, length, works, f"hands[pending={n},person={person}]"
                )
            )
    for ticket, serving in model.servings.items():
        for person, serves in serving.by.items():
            taken[person].append(
                model.cp.new_optional_fixed_size_interval_var(
                    serving.start,
                    serving_ds(model, person),
                    serves,
                    f"serving[round={ticket},person={person}]",
                )
            )
    for intervals in taken.values():
        model.cp.add_no_overlap(intervals)


def _main(model: Model, i: int) -> cp_model.IntervalVar:
    return model.cp.new_optional_fixed_size_interval_var(
        model.start[i], model.columns[i].pieces[0].length_ds, model.chosen[i], f"hands[build={i}]"
    )


def serving_ds(model: Model, person: int) -> int:
    """Give how long a person takes to serve a round."""
    return paced_ds(int(model.engine.bench.house[SERVE]), pace_of(model.engine, person))


def _already_taken(model: Model) -> Iterable[tuple[int, int, int]]:
    """Give when hands are taken by builds in hand, joined where two facts overlap."""
    rows = sorted(model.engine.bench.busy.tolist())
    joined: list[list[int]] = []
    for row in rows:
        if row[B_TO] <= 0:
            continue
        begin = max(0, row[B_FROM])
        if joined and joined[-1][0] == row[B_PERSON] and begin <= joined[-1][2]:
            joined[-1][2] = max(joined[-1][2], row[B_TO])
        else:
            joined.append([row[B_PERSON], begin, row[B_TO]])
    yield from ((person, begin, end) for person, begin, end in joined)


def served_before_another_build(model: Model) -> None:
    """Whoever finished a bar-top round serves it before they start another build.

    The round is finished by one of its sources; from the end of that stretch until the serving its
    person starts nothing.
    """
    for ticket, serving in model.servings.items():
        model.cp.add_exactly_one(literal for literal, _, _, _ in serving.sources)
        model.cp.add(serving.start >= model.last[ticket])
        model.cp.add(serving.start >= serving.waits)
        for person, serves in serving.by.items():
            own = [literal for literal, _, _, p in serving.sources if p == person]
            model.cp.add(sum(own) == serves)
            free = int(model.engine.bench.people[person, FREE_FROM])
            model.cp.add(serving.start >= free).only_enforce_if(serves)
        for literal, i, piece, person in serving.sources:
            _is_source(model, ticket, literal, (i, piece, person))
    for person in model.floor:
        _no_build_meanwhile(model, person)


def _is_source(
    model: Model, ticket: int, literal: cp_model.IntVar, source: tuple[int, int, int]
) -> None:
    """If this stretch makes the last drink, the round ends with it: last <= made."""
    i, n, person = source
    serving, last = model.servings[ticket], model.last[ticket]
    if i == IN_HAND:
        row = model.engine.bench.fixed[n].tolist()
        made: cp_model.LinearExprT = row[F_MADE]
        if row[F_TAIL] >= 0:
            tail = model.pending[row[F_TAIL]]
            made = tail.start + paced_ds(row[F_OFFSET], pace_of(model.engine, person))
            model.cp.add_implication(literal, tail.by[person])
    elif n == 0:
        made = model.start[i] + dict(model.columns[i].pieces[0].last)[ticket]
        model.cp.add_implication(literal, model.chosen[i])
    else:
        column = model.columns[i]
        at = dict(column.pieces[n].last)[ticket]
        made = model.tails[i][n - 1].start + made_ds(model.engine, n, at, person)
        model.cp.add_implication(literal, model.tails[i][n - 1].by[person])
    model.cp.add(last <= made).only_enforce_if(literal)
    end = last if i == IN_HAND or n > 0 else model.start[i] + model.columns[i].pieces[0].length_ds
    model.cp.add(serving.waits <= end).only_enforce_if(literal)


def _no_build_meanwhile(model: Model, person: int) -> None:
    """Main blocks take the whole of a person, rounds waiting for their serving a share each."""
    waiting = [
        add_span(
            model,
            (serving.waits, 0),
            (serving.start, 0),
            serving.by[person],
            f"waits[round={ticket},person={person}]",
        )
        for ticket, serving in model.servings.items()
        if person in serving.by
    ]
    mains = [_main(model, i) for i, c in enumerate(model.columns) if c.person == person]
    if waiting and mains:
        demands = [len(waiting)] * len(mains) + [1] * len(waiting)
        model.cp.add_cumulative([*mains, *waiting], demands, len(waiting))
