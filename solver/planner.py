"""Puts the planners together: anytime, always an answer, judged by `verify` before anyone sees it.

First the baselines and the repaired previous plan, then the local search from the best of them,
then, where the rail is short, exact proofs. What is returned is the cheapest plan that keeps
every rule, so it is never worse than a baseline or a hint that does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from .baselines import BASELINES, by_the_ticket, pinned_drafts
from .errors import BadValue, CannotPlan, EngineFault
from .goal import TIE, measures_of
from .plan import Plan
from .search import Search, search_is_compiled
from .snapshot import Rail, Snapshot, rail_of
from .timing import Draft, Engine
from .verify import verify

Clock = Callable[[], float]
"""A monotonic clock in seconds, passed in; the solver has none of its own."""

RESERVE_MS = 10.0
RESERVE_PER_DRINK_MS = 0.3
"""Kept back from a limit for laying out, verifying and handing over the final plan; more where the
baselines already took longer than this, which is how a busy machine shows."""

PINNED_SHARE = 0.7
"""Of the search's time where something is pinned; the rest looks whether to move it is worth it."""

INSERT_MS = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How long a plan may take: by the clock, or by counted moves for the same plan anywhere.

    Attributes
    ----------
    limit_ms : int or None
        Wall clock from call to verified plan. None with `moves`.
    moves : int or None
        Moves of the local search; no clock is looked at.
    seed : int
    """

    limit_ms: int | None = 250
    moves: int | None = None
    seed: int = 1

    def __post_init__(self) -> None:
        if (self.limit_ms is None) == (self.moves is None):
            raise BadValue("either limit_ms or moves, the other None", (self.limit_ms, self.moves))
        if self.limit_ms is not None and not 1 <= self.limit_ms <= 3_600_000:
            raise BadValue("limit_ms from 1 to 3600000 milliseconds", self.limit_ms)
        if self.moves is not None and not 1 <= self.moves <= 1_000_000_000:
            raise BadValue("moves from 1 to 1000000000", self.moves)


def with_fair_bound(snapshot: Snapshot) -> Snapshot:
    """Give the snapshot with the worst time to last drink that by the ticket gives."""
    rail = rail_of(snapshot)
    if not rail.drinks or not snapshot.people_on:
        return replace(snapshot, worst_by_ticket_s=None)
    engine = Engine(replace(snapshot, worst_by_ticket_s=None), rail)
    plan = engine.plan(by_the_ticket(engine), "by the ticket")
    worst_s = measures_of(snapshot, plan).worst_s
    return replace(snapshot, worst_by_ticket_s=worst_s)


def make_plan(
    snapshot: Snapshot, budget: Budget, *, clock: Clock, previous: Plan | None = None
) -> Plan:
    """Plan a snapshot.

    Parameters
    ----------
    snapshot : Snapshot
    budget : Budget
        Within a wall-clock limit nothing is compiled for the search: before `warm_up` is through,
        the cheapest baseline or repaired plan is given.
    clock : callable
        Monotonic seconds; not looked at when the budget counts moves.
    previous : Plan, optional
        The order as it stands: repaired, it is where the search may begin.

    Returns
    -------
    Plan
        The cheapest found that keeps every rule.

    Raises
    ------
    CannotPlan
        When nothing at all can be made; with the reasons.
    EngineFault
        When no planner gave a plan that keeps the rules, which is a fault of ours.
    """
    deadline = _Deadline(budget, clock)
    rail = _rail(snapshot)
    engine = Engine(snapshot, rail)
    found = _Found(snapshot, rail, engine)
    for name, rule in BASELINES.items():
        found.add(name, rule(engine))
    if previous is not None:
        found.add(previous.planner, repaired(engine, previous))
    deadline.begin(len(rail.drinks))
    if rail.drinks and (budget.limit_ms is None or search_is_compiled()):
        _search(engine, found, deadline)
    return found.best()


def insert(snapshot: Snapshot, previous: Plan | None, *, clock: Clock) -> Plan:
    """Put new drinks into the present order at once; the searched plan follows.

    The builds of `previous` keep their people and their sequence; drinks that it does not have
    are joined into builds by the round and each put where it costs least, within some
    milliseconds. Without a previous plan, the cheapest baseline is given.

    Raises
    ------
    CannotPlan
        When nothing at all can be made.
    EngineFault
        As in `make_plan`.
    """
    until = clock() + INSERT_MS / 1000
    rail = _rail(snapshot)
    engine = Engine(snapshot, rail)
    found = _Found(snapshot, rail, engine)
    if previous is not None:
        found.add("inserted", repaired(engine, previous, go_on=lambda: clock() < until))
    if previous is None or found.is_empty:
        for name, rule in BASELINES.items():
            found.add(name, rule(engine))
    return found.best()


def baseline_plan(snapshot: Snapshot, name: str) -> Plan:
    """Give the plan of one baseline, whether or not it keeps every rule.

    Raises
    ------
    CannotPlan
        When nothing at all can be made.
    BadValue
        When there is no baseline of that name.
    """
    if name not in BASELINES:
        raise BadValue(f"one of {', '.join(BASELINES)}", name)
    engine = Engine(snapshot, _rail(snapshot))
    return engine.plan(BASELINES[name](engine), name)


def warm_up(snapshot: Snapshot, *, quick_done: Callable[[], None] = lambda: None) -> None:
    """Compile everything a plan needs, or load it from the cache, by planning a snapshot once.

    Parameters
    ----------
    snapshot : Snapshot
        Any that has a drink to make.
    quick_done : callable
        Called half-way, when baselines and insertion are ready and only the search is not.
    """
    engine = Engine(snapshot)
    drafts = by_the_ticket(engine)
    engine.plan(drafts, "by the ticket")
    quick_done()
    search = Search(engine, drafts, seed=1)
    search.run(_counted(search, 1))


def _rail(snapshot: Snapshot) -> Rail:
    rail = rail_of(snapshot)
    if not rail.drinks and not snapshot.in_hand:
        reasons = dict.fromkeys(entry.reason for entry in rail.set_aside)
        raise CannotPlan(tuple(reasons) or ("the rail is empty",))
    if rail.drinks and not snapshot.people_on:
        raise CannotPlan(("nobody is on the floor",))
    return rail


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


def _search(engine: Engine, found: _Found, deadline: _Deadline) -> None:
    drafts = found.cheapest_drafts()
    if drafts is None:
        return
    has_pins = any(draft.is_pinned for draft in drafts)
    search = Search(engine, drafts, seed=deadline.seed)
    search.run(deadline.progress(search, 0.0, PINNED_SHARE if has_pins else 1.0))
    found.add("search", search.drafts())
    if has_pins:
        with_pins = search.cost
        loose = [replace(draft, is_pinned=False) for draft in search.drafts()]
        free = Search(engine, loose, seed=deadline.seed + 1)
        free.run(deadline.progress(free, PINNED_SHARE, 1.0))
        margin = 100 - engine.packed.snapshot.counter.rules.steady_margin_pct
        if (free.cost // TIE) * 100 < (with_pins // TIE) * margin:
            found.add("search", free.drafts(), cost_with_pins=with_pins)


class _Deadline:
    """Turns a budget into the progress of a search."""

    def __init__(self, budget: Budget, clock: Clock) -> None:
        self.seed = budget.seed
        self._budget = budget
        self._clock = clock
        self._start = self._from = self._until = 0.0
        if budget.limit_ms is not None:
            self._start = clock()

    def begin(self, num_drinks: int) -> None:
        """Note that the search begins; the reserve is for everything after it."""
        if self._budget.limit_ms is None:
            return
        reserve_ms = RESERVE_MS + RESERVE_PER_DRINK_MS * num_drinks
        self._from = self._clock()
        reserve_s = max(reserve_ms / 1000, self._from - self._start)
        self._until = self._start + self._budget.limit_ms / 1000 - reserve_s

    def progress(self, search: Search, begin: float, end: float) -> Callable[[], float]:
        """Give the progress of a search that may use the stretch from `begin` to `end`."""
        if self._budget.moves is not None:
            return _counted(search, max(1, round(self._budget.moves * (end - begin))))
        length = max(1e-9, self._until - self._from)
        start, stop = self._from + begin * length, self._from + end * length
        if self._until <= self._from:
            return lambda: 1.0
        return lambda: (self._clock() - start) / (stop - start)


def _counted(search: Search, moves: int) -> Callable[[], float]:
    return lambda: search.num_tried / moves


class _Found:
    """Every list of builds found so far, with its cost."""

    def __init__(self, snapshot: Snapshot, rail: Rail, engine: Engine) -> None:
        self._snapshot = snapshot
        self._rail = rail
        self._engine = engine
        self._lists: list[tuple[int, int, str, list[Draft], int | None]] = []

    @property
    def is_empty(self) -> bool:
        return not self._lists

    def add(self, name: str, drafts: list[Draft], *, cost_with_pins: int | None = None) -> None:
        """Keep a list, unless it leaves a drink out or cannot be laid."""
        if sum(len(draft.drinks) for draft in drafts) < len(self._rail.drinks):
            return
        laid = self._engine.lay(drafts)
        if laid is not None:
            order = len(self._lists)
            self._lists.append((laid.cost, order, name, drafts, cost_with_pins))

    def cheapest_drafts(self) -> list[Draft] | None:
        """Give the cheapest list; starving rounds count in its cost."""
        return min(self._lists)[3] if self._lists else None

    def best(self) -> Plan:
        """Give the cheapest plan that keeps every rule.

        A bound on the worst round may have been set before something was pinned or begun, so that
        nothing keeps it any more: then the cheapest plan that keeps every other rule.

        Raises
        ------
        EngineFault
            When there is none.
        """
        broken = ""
        late: Plan | None = None
        for _, _, name, drafts, cost_with_pins in sorted(self._lists, key=lambda row: row[:2]):
            plan = self._engine.plan(drafts, name)
            if cost_with_pins is not None:
                plan = replace(plan, cost_with_pins=cost_with_pins)
            faults = verify(self._snapshot, plan, rail=self._rail)
            if not faults:
                return plan
            if late is None and {fault.rule for fault in faults} == {"starving"}:
                late = plan
            broken = broken or faults[0].words
        if late is not None:
            return late
        raise EngineFault(broken or "no planner could lay every drink")
