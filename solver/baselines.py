"""The three ways a bar works today: by the ticket, by the round, and look-ahead.

All use the timing engine and the house's limits of head and hands; the next build goes to
whoever is free first and may make it; a person works on while something runs by itself. Pinned
builds come first, and rounds that have waited too long before the others, as in every plan.
A rule gives drafts, builds in the order they are begun; the engine gives them times.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .goal import urgent_tickets
from .menu import Kind, Menu, Method, Mix, Pouring, Strain
from .snapshot import is_soon_away
from .timing import Draft, Engine
from .timing.arrays import SHAKE_FROM

LOOK_AHEAD_TICKETS = 3
"""How many tickets after the oldest an experienced bartender still has in mind."""


def by_the_ticket(engine: Engine) -> list[Draft]:
    """Tickets in order, drinks in order, one at a time."""
    start = pinned_drafts(engine)
    singles = ((drink,) for round_ in rounds(engine, start) for drink in round_)
    return give_out(engine, start, singles)


def by_the_round(engine: Engine) -> list[Draft]:
    """Tickets in order; in one, each drink joins the first build of its round that it may share."""
    start = pinned_drafts(engine)
    builds: list[tuple[int, ...]] = []
    for round_ in rounds(engine, start):
        own: list[list[int]] = []
        for drink in round_:
            for build in own:
                if engine.least_hands_ds([*build, drink]) is not None:
                    build.append(drink)
                    break
            else:
                own.append([drink])
        builds.extend(map(tuple, own))
    return give_out(engine, start, builds)


def look_ahead(engine: Engine) -> list[Draft]:
    """Work as an experienced bartender does.

    The oldest whole round with its methods mixed, each drink where it saves most; the same mixes
    from the next three tickets in the same vessels, where that costs less than making them
    later; what settles or runs by itself is started first; foam, fizz, beer and wine come last.
    """
    start = pinned_drafts(engine)
    waiting = rounds(engine, start)
    builds: list[tuple[int, ...]] = []
    taken: set[int] = set()
    for at, round_ in enumerate(waiting):
        own: list[list[int]] = []
        for drink in _in_finishing_order(engine, [d for d in round_ if d not in taken]):
            _join_where_it_saves_most(engine, own, drink)
        ahead = [d for later in waiting[at + 1 : at + 1 + LOOK_AHEAD_TICKETS] for d in later]
        for drink in ahead:
            if drink not in taken and _joins_its_own_mix(engine, own, drink):
                taken.add(drink)
        taken.update(round_)
        ordered = [tuple(_in_finishing_order(engine, build)) for build in own]
        builds.extend(sorted(ordered, key=lambda build: _starting_rank(engine, build)))
    return give_out(engine, start, builds)


BASELINES = {
    "by the ticket": by_the_ticket,
    "by the round": by_the_round,
    "look-ahead": look_ahead,
}
"""Every baseline by its name in a plan."""


def pinned_drafts(engine: Engine) -> list[Draft]:
    """Give the pinned builds of a snapshot that are still possible, one a person."""
    index = {drink.id: i for i, drink in enumerate(engine.packed.rail.drinks)}
    found: list[Draft] = []
    used: set[int] = set()
    for pin in engine.packed.snapshot.pinned:
        if pin.person not in engine.packed.people or not set(pin.drinks) <= set(index):
            continue
        person = engine.packed.people.index(pin.person)
        drinks = tuple(index[name] for name in pin.drinks)
        if _cannot_be_next(engine, person, drinks):
            continue
        if used & {*drinks} or any(draft.person == person for draft in found):
            continue
        if engine.hands_ds(person, drinks) is not None:
            found.append(Draft(person=person, drinks=drinks, is_pinned=True))
            used.update(drinks)
    return found


def _cannot_be_next(engine: Engine, person: int, drinks: Sequence[int]) -> bool:
    """Whether somebody has to rest from shaking first, or leaves before long."""
    chosen = [engine.packed.rail.drinks[drink] for drink in drinks]
    if engine.bench.people[person, SHAKE_FROM] > 0 and any(d.mix.is_shaken for d in chosen):
        return True
    name = engine.packed.people[person]
    stays = all(name in drink.stays for drink in chosen)
    return is_soon_away(engine.packed.snapshot, name, stays=stays)


def rounds(engine: Engine, start: Sequence[Draft]) -> list[list[int]]:
    """Give the waiting drinks by round, those that have waited too long first, then by age."""
    taken = {drink for draft in start for drink in draft.drinks}
    urgent = urgent_tickets(engine.packed.snapshot)
    by_ticket: dict[str, list[int]] = {}
    for i, drink in enumerate(engine.packed.rail.drinks):
        if i not in taken:
            by_ticket.setdefault(drink.ticket, []).append(i)
    return [by_ticket[name] for name in sorted(by_ticket, key=lambda name: name not in urgent)]


def give_out(
    engine: Engine, start: Sequence[Draft], builds: Iterable[tuple[int, ...]]
) -> list[Draft]:
    """Give each build in turn to whoever is free first and may make it.

    Rounds that go first may leave no time for a build before its person's shift ends; then
    everything is given to those who stay.
    """
    wanted = list(builds)
    drafts = _given_out(engine, start, wanted)
    if engine.has_breaks and engine.lay(drafts) is None:
        return _given_out(engine, start, wanted, to_who_stays=True)
    return drafts


def _given_out(
    engine: Engine,
    start: Sequence[Draft],
    builds: Sequence[tuple[int, ...]],
    *,
    to_who_stays: bool = False,
) -> list[Draft]:
    engine.begin()
    drafts = [draft for draft in start if engine.add(draft)]
    for drinks in builds:
        people = _who_is_free_first(engine, drinks)
        if to_who_stays:
            people = [who for who in people if engine.stays(who, drinks)]
        for person in people:
            draft = Draft(person=person, drinks=drinks)
            if engine.add(draft):
                drafts.append(draft)
                break
        else:
            for drink in drinks if len(drinks) > 1 else ():
                people = _who_is_free_first(engine, (drink,))
                if to_who_stays:
                    people = [who for who in people if engine.stays(who, (drink,))]
                drafts.extend(_alone(engine, drink, people))
    return drafts


def _who_is_free_first(engine: Engine, drinks: Sequence[int]) -> list[int]:
    """Order people by when their hands are free; before a break, for what still fits."""
    free = {person: engine.free_at(person) for person in range(engine.num_people)}
    if engine.has_breaks:
        free = {person: max(at, engine.could_start(person, drinks)) for person, at in free.items()}
    return sorted(free, key=lambda person: (free[person], person))


def _alone(engine: Engine, drink: int, people: Sequence[int]) -> list[Draft]:
    """A build nobody may make whole is made drink by drink."""
    for person in people:
        draft = Draft(person=person, drinks=(drink,))
        if engine.add(draft):
            return [draft]
    return []


def _join_where_it_saves_most(engine: Engine, own: list[list[int]], drink: int) -> None:
    alone = engine.least_hands_ds([drink]) or 0
    best, saving = None, 0
    for build in own:
        now, joined = engine.least_hands_ds(build), engine.least_hands_ds([*build, drink])
        if now is not None and joined is not None and now + alone - joined > saving:
            best, saving = build, now + alone - joined
    if best is None:
        own.append([drink])
    else:
        best.append(drink)


def _joins_its_own_mix(engine: Engine, own: list[list[int]], drink: int) -> bool:
    mixes = [d.mix for d in engine.packed.rail.drinks]
    for build in own:
        if any(mixes[other] == mixes[drink] for other in build):
            alone = engine.least_hands_ds([drink]) or 0
            now, joined = engine.least_hands_ds(build), engine.least_hands_ds([*build, drink])
            if now is not None and joined is not None and joined < now + alone:
                build.append(drink)
                return True
    return False


def _in_finishing_order(engine: Engine, drinks: Sequence[int]) -> list[int]:
    menu = engine.packed.snapshot.menu
    mixes = [drink.mix for drink in engine.packed.rail.drinks]
    return sorted(drinks, key=lambda i: (_finishing_rank(menu, mixes[i]), mixes[i].name))


def _starting_rank(engine: Engine, drinks: Sequence[int]) -> tuple[bool, int]:
    """Of a round's builds, what runs by itself is started first, then the longest."""
    menu = engine.packed.snapshot.menu
    mixes = [engine.packed.rail.drinks[i].mix for i in drinks]
    runs_alone = any(_finishing_rank(menu, mix) == 0 for mix in mixes)
    return not runs_alone, -(engine.least_hands_ds(drinks) or 0)


def _finishing_rank(menu: Menu, mix: Mix) -> int:
    """What runs by itself first, then what stands well, then foam, fizz, and beer and wine last.

    Source: common practice.
    """
    poured = {menu.ingredient(name).pours for name in mix.ingredients}
    if mix.has_coffee or mix.chill_by_ice or Pouring.SETTLING_TAP in poured:
        return 0
    if mix.method in (Method.BLENDED, Method.FLAMED):
        return 0
    if mix.method in (Method.DRAUGHT, Method.POURED):
        return 5
    if Pouring.SPARKLING in poured:
        return 4
    if mix.strain is Strain.FOAM:
        return 3
    if any(menu.ingredient(name).kind is Kind.MIXER for name in mix.ingredients):
        return 2
    return 1
