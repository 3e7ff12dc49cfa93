"""An earlier plan made good again: what still stands is kept, what is new is put in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from solver.baselines import pinned_drafts
from solver.plan import Plan
from solver.timing import Draft, Engine


def repaired(
    engine: Engine, previous: Plan, *, go_on: Callable[[], bool] = lambda: True
) -> list[Draft]:
    """Give the builds of an earlier plan as far as they still stand, and every new drink put in."""
    drafts = pinned_drafts(engine)
    placed = {drink for draft in drafts for drink in draft.drinks}
    index = {drink.id: i for i, drink in enumerate(engine.packed.rail.drinks)}
    for build in sorted(previous.builds, key=lambda build: build.start_s):
        drinks = tuple(index[d] for d in build.drinks if d in index and index[d] not in placed)
        if not drinks or build.is_in_hand or build.person not in engine.packed.people:
            continue
        person = engine.packed.people.index(build.person)
        if engine.hands_ds(person, drinks) is not None:
            drafts.append(Draft(person=person, drinks=drinks))
            placed.update(drinks)
    for drinks in _new_builds(engine, placed):
        drafts = _put_where_it_costs_least(engine, drafts, drinks, go_on)
    return drafts


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
    best: list[Draft] | None = None
    best_cost = 0
    for at in range(len(drafts), -1, -1):
        for person in range(engine.num_people):
            trial = [*drafts[:at], Draft(person=person, drinks=drinks), *drafts[at:]]
            laid = engine.lay(trial)
            if laid is not None and (best is None or laid.cost < best_cost):
                best, best_cost = trial, laid.cost
        if best is not None and not go_on():
            break
    if best is not None:
        return best
    if len(drinks) == 1:
        return drafts
    for drink in drinks:
        drafts = _put_where_it_costs_least(engine, drafts, (drink,), go_on)
    return drafts
