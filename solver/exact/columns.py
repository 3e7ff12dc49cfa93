"""Every build worth making: which drinks, by whom, in which finishing order.

A snapshot of few drinks has few feasible builds, a hundred or some thousands; a plan is a choice of
them that makes every drink once. Two things keep their number down without losing a best plan:

* drinks that nothing tells apart (same round, same mix, same release) are taken in a fixed order;
* of two orders of the same drinks by the same person, one that is nowhere later, nowhere longer and
  holds nothing for longer makes the other needless.

A drink with a short hold limit (a coffee) that is made earlier may sit, so of two orders neither is
better for making it earlier.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations, product

from solver.timing import Draft, Engine
from solver.timing.arrays import (
    AT,
    BLOCK,
    CLASS,
    DRINK,
    HOLD_LIMIT,
    MAIN,
    MIX,
    MOST_DRINKS,
    NUM_HOLDS,
    NUM_TAILS,
    PACE,
    RELEASE,
    RELEASED,
    TICKET,
)

SHORT_HOLD_DS = 1000
"""Drinks that may sit no longer than this have a price on sitting in the model, others have none.

With a price on all, few orders make others needless, and there are several times the builds.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One stretch of hands of a build.

    Attributes
    ----------
    last : tuple of (int, int)
        For each round with drinks made in it: the round, and when the last of them is made, from
        the piece's start. Base time in a tail, paced in the main piece, as is `length_ds`.
    soon_bad : tuple of (int, int)
        Drinks made in it whose hold limit is at most `SHORT_HOLD_DS`, and when.
    length_ds : int
    anchor_ds, alone_ds : int
        A tail starts no sooner than the build's start + both.
    window_ds : int
        A tail starts no later than the build's start + `anchor_ds` + this; -1 for no limit.
    is_anyones : bool
    """

    last: tuple[tuple[int, int], ...]
    soon_bad: tuple[tuple[int, int], ...]
    length_ds: int
    anchor_ds: int = 0
    alone_ds: int = 0
    window_ds: int = -1
    is_anyones: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Equipment a build holds, from a time in one piece to a time in another, and `extra_ds` on.

    Times in the main piece (0) are paced, in tails they are base times.
    """

    resource: int
    from_piece: int
    from_ds: int
    to_piece: int
    to_ds: int
    extra_ds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A build that may be chosen; drinks, people, rounds and resources are the engine's indexes.

    Attributes
    ----------
    person : int
    drinks : tuple of int
        In finishing order.
    release_ds : int
    klass : int
        ``arrays.URGENT`` or ``arrays.OTHER``.
    pieces : tuple of Piece
        The main one first.
    held : tuple of Held
    """

    person: int
    drinks: tuple[int, ...]
    release_ds: int
    klass: int
    pieces: tuple[Piece, ...]
    held: tuple[Held, ...]

    @property
    def draft(self) -> Draft:
        """The build as the engine takes it."""
        return Draft(person=self.person, drinks=self.drinks)


class NoModel(Exception):
    """The model is not meant for this: too many builds, or more in hand than there is."""


def columns_of(engine: Engine, drafts: Sequence[Draft], most: int) -> list[Column]:
    """Give every build worth making, the drafts' own first.

    Parameters
    ----------
    engine : Engine
    drafts : sequence of Draft
        A plan that has to stay possible. Its pinned builds stay as they are.
    most : int
        More builds than this are refused.

    Raises
    ------
    NoModel
        When there are more.
    """
    pinned = {
        drink: i for i, draft in enumerate(drafts) if draft.is_pinned for drink in draft.drinks
    }
    twins = _twins(engine, pinned)
    found = [column_of(engine, draft.person, draft.drinks) for draft in drafts]
    seen = {(column.person, column.drinks) for column in found if column}
    kept = [column for column in found if column]
    loose = [drink for drink in range(engine.num_drinks) if drink not in pinned]
    for person in range(engine.num_people):
        for drinks in _sets(engine, person, loose, twins, most):
            orders = (column_of(engine, person, order) for order in _orders(engine, drinks, twins))
            new = _undominated(filter(None, orders))
            kept.extend(c for c in new if (c.person, c.drinks) not in seen)
            if len(kept) > most:
                raise NoModel(f"more than {most} builds")
    return kept


def _twins(engine: Engine, pinned: dict[int, int]) -> dict[int, int]:
    """Give for each drink the drink before it that nothing tells it apart from, or -1."""
    bench = engine.bench
    latest: dict[tuple[int, ...], int] = {}
    before = {}
    for drink in range(engine.num_drinks):
        kind = tuple(int(bench.drinks[drink, at]) for at in (TICKET, MIX, RELEASE))
        may = tuple(int(x) for x in bench.may[drink])
        key = (*kind, *may, pinned.get(drink, -1))
        before[drink] = latest.get(key, -1)
        latest[key] = drink
    return before


def _sets(
    engine: Engine, person: int, drinks: Sequence[int], twins: dict[int, int], most: int
) -> list[tuple[int, ...]]:
    """Give the sets of drinks this person may make together, each set's drinks in rail order.

    What may share may also share without one of its drinks, so sets grow drink by drink. Of drinks
    that nothing tells apart a set holds a run.
    """
    singles: list[tuple[int, ...]] = [
        (drink,) for drink in drinks if engine.hands_ds(person, (drink,)) is not None
    ]
    found: list[tuple[int, ...]] = list(singles)
    grown = singles
    for _ in range(1, MOST_DRINKS):
        larger = []
        for chosen in grown:
            for (drink,) in singles:
                if drink <= chosen[-1] or not _keeps_run(chosen, drink, twins):
                    continue
                if engine.hands_ds(person, (*chosen, drink)) is not None:
                    larger.append((*chosen, drink))
        found.extend(larger)
        grown = larger
        if len(found) > most:
            raise NoModel(f"more than {most} sets of drinks")
        if not grown:
            break
    return found


def _keeps_run(chosen: tuple[int, ...], drink: int, twins: dict[int, int]) -> bool:
    before = twins[drink]
    while before >= 0:
        if before in chosen:
            return twins[drink] in chosen
        before = twins[before]
    return True


def _orders(
    engine: Engine, drinks: tuple[int, ...], twins: dict[int, int]
) -> Iterator[tuple[int, ...]]:
    """Give the finishing orders of a set: drinks of one mix together, twins in rail order."""
    groups: dict[int, list[int]] = {}
    for drink in drinks:
        groups.setdefault(int(engine.bench.drinks[drink, MIX]), []).append(drink)
    inside = [
        [p for p in permutations(group) if _in_rail_order(p, twins)] for group in groups.values()
    ]
    for sequence in permutations(range(len(inside))):
        for chosen in product(*(inside[i] for i in sequence)):
            yield tuple(drink for part in chosen for drink in part)


def _in_rail_order(order: Sequence[int], twins: dict[int, int]) -> bool:
    place = {drink: at for at, drink in enumerate(order)}
    return all(place.get(twins[drink], -1) < at for drink, at in place.items())


def column_of(engine: Engine, person: int, drinks: tuple[int, ...]) -> Column | None:
    """Lay one build out; None where this person may not make it."""
    if engine.hands_ds(person, drinks) is None:
        return None
    slots, slot = engine.slots, len(engine.slots.builds) - 1
    row = [int(x) for x in slots.builds[slot]]
    last: list[dict[int, int]] = [{} for _ in range(row[NUM_TAILS] + 1)]
    items = slots.items[slot, : len(drinks)].tolist()
    for item in items:
        ticket = int(engine.bench.drinks[item[DRINK], TICKET])
        in_piece = last[item[BLOCK]]
        in_piece[ticket] = max(in_piece.get(ticket, 0), item[AT])
    bad: list[tuple[tuple[int, int], ...]] = [
        tuple(
            (item[DRINK], item[AT])
            for item in items
            if item[BLOCK] == n and engine.bench.drinks[item[DRINK], HOLD_LIMIT] <= SHORT_HOLD_DS
        )
        for n in range(len(last))
    ]
    pieces = [Piece(last=tuple(sorted(last[0].items())), soon_bad=bad[0], length_ds=row[MAIN])]
    for n, tail in enumerate(slots.tail[slot, : row[NUM_TAILS]].tolist()):
        anchor, alone, window, base, anyones, _ = tail
        pieces.append(
            Piece(
                last=tuple(sorted(last[n + 1].items())),
                soon_bad=bad[n + 1],
                length_ds=base,
                anchor_ds=anchor,
                alone_ds=alone,
                window_ds=window,
                is_anyones=bool(anyones),
            )
        )
    held = tuple(
        Held(resource=r, from_piece=a, from_ds=since, to_piece=b, to_ds=until, extra_ds=extra)
        for r, a, since, b, until, extra in slots.hold[slot, : row[NUM_HOLDS]].tolist()
    )
    return Column(
        person=person,
        drinks=tuple(item[DRINK] for item in items),
        release_ds=row[RELEASED],
        klass=row[CLASS],
        pieces=tuple(pieces),
        held=tuple(sorted(held, key=lambda h: (h.resource, h.from_piece, h.to_piece, h.from_ds))),
    )


def _undominated(columns: Iterable[Column]) -> list[Column]:
    """Keep the orders of one set and person that no other order makes needless."""
    kept: list[Column] = []
    for column in columns:
        if any(_is_no_worse(other, column) for other in kept):
            continue
        kept = [other for other in kept if not _is_no_worse(column, other)]
        kept.append(column)
    return kept


def _is_no_worse(one: Column, other: Column) -> bool:
    """Whether the first order can stand wherever the other stands, with every round as soon."""
    return (
        len(one.pieces) == len(other.pieces)
        and len(one.held) == len(other.held)
        and all(map(_fits_piece, one.pieces, other.pieces))
        and all(map(_fits_hold, one.held, other.held))
    )


def _fits_piece(one: Piece, other: Piece) -> bool:
    if (one.window_ds, one.is_anyones) != (other.window_ds, other.is_anyones):
        return False
    if one.anchor_ds > other.anchor_ds or one.alone_ds > other.alone_ds:
        return False
    if one.window_ds >= 0 and one.anchor_ds != other.anchor_ds:
        return False
    if one.length_ds > other.length_ds or len(one.last) != len(other.last):
        return False
    mine, its = dict(one.soon_bad), dict(other.soon_bad)
    if mine.keys() != its.keys() or any(mine[drink] < its[drink] for drink in mine):
        return False
    pairs = zip(one.last, other.last, strict=True)
    return all(a[0] == b[0] and a[1] <= b[1] for a, b in pairs)


def _fits_hold(one: Held, other: Held) -> bool:
    same = (one.resource, one.from_piece, one.to_piece)
    return (
        same == (other.resource, other.from_piece, other.to_piece)
        and one.from_ds >= other.from_ds
        and one.to_ds <= other.to_ds
        and one.extra_ds <= other.extra_ds
    )


def pace_of(engine: Engine, person: int) -> int:
    """Give a person's pace in hundredths."""
    return int(engine.bench.people[person, PACE])
