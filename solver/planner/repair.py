"""An earlier plan made good again: what still stands is kept, what is new is put in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from solver.baselines import pinned_drafts
from solver.plan import Plan
from solver.timing import Draft, Engine


def repaired(
    engine: Engine,
    previous: Plan,
    *,
    go_on: Callable[[], bool] = lambda: True,
    keeps_waits: bool = False,
) -> list[Draft]:
    """Give the builds of an earlier plan as far as they still stand, and every new drink put in.

    With `keeps_waits` no tail comes sooner than it was planned, else each as early as it fits.
    """
    drafts = pinned_drafts(engine)
    if keeps_waits:
        drafts = [_as_planned(engine, draft, previous) for draft in drafts]
    placed = {drink for draft in drafts for drink in draft.drinks}
    index = {drink.id: i for i, drink in enumerate(engine.packed.rail.drinks)}
    for build in sorted(previous.builds, key=lambda build: build.start_s):
        drinks = tuple(index[d] for d in build.drinks if d in index and index[d] not in placed)
        if not drinks or build.is_in_hand or build.person not in engine.packed.people:
            continue
        person = engine.packed.people.index(build.person)
        draft = engine.draft_of(replace(build, is_pinned=False), person, drinks)
        if draft is not None:
            drafts.append(draft if keeps_waits else replace(draft, waits_ds=()))
            placed.update(drinks)
    for drinks in _new_builds(engine, placed):
        drafts = _put_where_it_costs_least(engine, drafts, drinks, go_on)
    return drafts


def _as_planned(engine: Engine, draft: Draft, previous: Plan) -> Draft:
    """Give a pinned build its tails no sooner than they were planned."""
    names = {engine.packed.rail.drinks[drink].id for drink in draft.drinks}
    for build in previous.builds:
        if set(build.drinks) == names:
            found = engine.draft_of(build, draft.person, draft.drinks)
            return draft if found is None else replace(found, is_pinned=True)
    return draft


def _new_builds(engine: Engine, placed: set[int]) -> Iterable[tuple[int, ...]]:
    """Join the drinks that no build has yet, by the round."""
    builds: list[list[int]] = []
    ticket_of = [drink.ticket for drink in engine.packed.rail.drinks]
    for drink in range(engine.num_drinks):
        if drink in placed:
            continue
        for build in builds:
            same_round = ticket_of[build[0]] == ticket_of[drink]
            if same_round and _anyone_may(engine, [*build, drink]):
                build.append(drink)
                break
        else:
            builds.append([drink])
    return [tuple(build) for build in builds]


def _anyone_may(engine: Engine, drinks: Sequence[int]) -> bool:
    return any(engine.hands_ds(p, drinks) is not None for p in range(engine.num_people))


def _put_where_it_costs_least(
    engine: Engine, drafts: list[Draft], drinks: tuple[int, ...], go_on: Callable[[], bool]
) -> list[Draft]:
    """Try every person and every place from the end of the list forward, while there is time."""
    best = engine.put_in(drafts, drinks, go_on)
    if best is not None:
        return best
    if len(drinks) == 1:
        return drafts
    for drink in drinks:
        drafts = _put_where_it_costs_least(engine, drafts, (drink,), go_on)
    return drafts
