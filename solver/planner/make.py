"""Makes plans: the baselines, the search from the best of them, proofs on a short rail."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from solver.baselines import BASELINES, by_the_ticket
from solver.errors import BadValue, CannotPlan, EngineFault
from solver.goal import TIE, hard_stop_ds, worst_allowed_ds
from solver.plan import Plan
from solver.search import Search, search_is_compiled
from solver.snapshot import Rail, Snapshot, rail_of
from solver.timing import Draft, Engine
from solver.timing.arrays import ALLOWED, LAST, NEVER, PLACED
from solver.timing.compiling import compiling_here
from solver.units import to_ds, to_s

from .budget import Budget, Clock, Deadline, counted
from .found import Found
from .repair import repaired

PINNED_SHARE = 0.7
"""Of the search's time where something is pinned; the rest looks whether to move it is worth it."""

EXACT_DRINKS = 6
"""Rails up to this length are also given to the exact solver.

Measured on the sample house, 16 rails of each length with 1 to 3 bartenders, 100 ms of solving on
two shared cores: 15 proved at 4 drinks, 10 at 5, 9 at 6, 6 at 7, none at 8. Building the model
takes 5 to 20 ms in the median up to 7 drinks, 116 at most.
"""

EXACT_FROM = 0.3
"""Of the search's time on a short rail, after which the exact solver has the rest."""

INSERT_MS = 8.0

if TYPE_CHECKING:
    from solver.exact import Exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """A plan, and the snapshot with the bound that it was made for."""

    snapshot: Snapshot
    plan: Plan


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
    deadline = Deadline(budget, clock)
    rail = _rail(snapshot)
    engine = Engine(snapshot, rail)
    found = Found(snapshot, rail, engine)
    for name, rule in BASELINES.items():
        deadline.look()
        found.add(name, rule(engine))
    deadline.look()
    if previous is not None:
        go_on = deadline.may_repair()
        found.add(previous.planner, repaired(engine, previous, go_on=go_on))
        found.add(previous.planner, repaired(engine, previous, go_on=go_on, keeps_waits=True))
    deadline.begin(len(rail.drinks))
    if rail.drinks and (budget.limit_ms is None or search_is_compiled()):
        _search(engine, found, deadline)
    deadline.look()
    return found.best()


def plan_again(snapshot: Snapshot, *, moves: int, seed: int = 1, previous: Plan | None) -> Again:
    """Plan a snapshot in a long simulation: as `with_fair_bound` and `make_plan` do, packed once.

    What differs is that moves are counted, that the plan is not judged (whoever simulates judges
    a sample of them), and that the exact solver has no part in it.

    Parameters
    ----------
    snapshot : Snapshot
        Without a bound on the worst round; the one by the ticket is set here.
    moves : int
        Counted moves of the search.
    seed : int
    previous : Plan, optional
        As in `make_plan`.

    Raises
    ------
    CannotPlan
        When nothing at all can be made.
    EngineFault
        When no planner could lay every drink.
    """
    rail = _rail(snapshot)
    engine = Engine(replace(snapshot, worst_by_ticket_s=None), rail)
    by_ticket = by_the_ticket(engine)
    if rail.drinks and engine.lay(by_ticket) is not None:
        _set_worst(engine)
    found = Found(engine.packed.snapshot, rail, engine)
    found.add("by the ticket", by_ticket)
    for name in list(BASELINES)[1:]:
        found.add(name, BASELINES[name](engine))
    if previous is not None:
        found.add(previous.planner, repaired(engine, previous))
        found.add(previous.planner, repaired(engine, previous, keeps_waits=True))
    if rail.drinks:
        _search(engine, found, Deadline(Budget(limit_ms=None, moves=moves, seed=seed), _no_clock))
    return Again(snapshot=engine.packed.snapshot, plan=found.unjudged())


def _set_worst(engine: Engine) -> None:
    """Take the list that is laid as the bound on the worst round."""
    last_ds, packed = engine.clock.tickets[:, LAST], engine.packed
    waited_ds = (last_ds - packed.bench.tickets[:, PLACED])[last_ds > -NEVER]
    worst_s = to_s(int(waited_ds.max(initial=0)))
    packed.snapshot = replace(packed.snapshot, worst_by_ticket_s=worst_s)
    stop_ds = hard_stop_ds(packed.snapshot)
    for i, ticket in enumerate(packed.tickets):
        allowed_ds = worst_allowed_ds(packed.snapshot, to_ds(ticket.promise_s))
        if stop_ds is not None:
            left_ds = stop_ds - to_ds(ticket.placed_s)
            allowed_ds = left_ds if allowed_ds is None else min(allowed_ds, left_ds)
        packed.bench.tickets[i, ALLOWED] = NEVER if allowed_ds is None else allowed_ds


def _no_clock() -> float:
    return 0.0


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
    found = Found(snapshot, rail, engine)
    if previous is not None:
        found.add("inserted", repaired(engine, previous, go_on=lambda: clock() < until))
        try:
            return found.best()
        except EngineFault:
            # What stood in the order cannot stand any more: begin afresh.
            pass
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


def warm_up(snapshot: Snapshot, *, can_plan: Callable[[], None] = lambda: None) -> None:
    """Compile everything a plan needs, or load it from the cache, by planning a snapshot once.

    Other threads may plan meanwhile: what is not compiled yet is plain Python to them, and they
    go without a search.

    Parameters
    ----------
    snapshot : Snapshot
        Any that has a drink to make.
    can_plan : callable
        Called as soon as others need not wait.
    """
    with compiling_here():
        can_plan()
        engine = Engine(snapshot)
        drafts = by_the_ticket(engine)
        engine.plan(drafts, "by the ticket")
        if not drafts:
            return
        engine.put_in(drafts[:-1], drafts[-1].drinks, lambda: True)
        search = Search(engine, drafts, seed=1)
        search.run(counted(search, 1))
    _prover()


def _rail(snapshot: Snapshot) -> Rail:
    rail = rail_of(snapshot)
    if not rail.drinks and not snapshot.in_hand:
        reasons = dict.fromkeys(entry.reason for entry in rail.set_aside)
        raise CannotPlan(tuple(reasons) or ("the rail is empty",))
    if not snapshot.people_on:
        raise CannotPlan(("nobody is on the floor",))
    return rail


def _search(engine: Engine, found: Found, deadline: Deadline) -> None:
    drafts = found.cheapest_drafts()
    if drafts is None:
        return
    has_pins = any(draft.is_pinned for draft in drafts)
    is_short = engine.num_drinks <= EXACT_DRINKS and not engine.has_absent
    end = EXACT_FROM if is_short else 1.0
    kept_until = end * (PINNED_SHARE if has_pins else 1.0)
    search = Search(engine, drafts, seed=deadline.seed)
    search.run(deadline.progress(search, 0.0, kept_until))
    found.add("search", search.drafts())
    if has_pins:
        loose = [replace(draft, is_pinned=False) for draft in search.drafts()]
        # What is shown as next may fit before its person leaves only because it comes first.
        if engine.lay(loose) is not None:
            free = Search(engine, loose, seed=deadline.seed + 1)
            free.run(deadline.progress(free, kept_until, end))
            margin = 100 - engine.packed.snapshot.counter.rules.steady_margin_pct
            if (free.cost // TIE) * 100 < (search.cost // TIE) * margin:
                found.add("search", free.drafts(), cost_with_pins=search.cost)
                return
    if is_short:
        _prove(engine, found, search.drafts(), deadline)


def _prove(engine: Engine, found: Found, drafts: Sequence[Draft], deadline: Deadline) -> None:
    """Have the exact solver improve on the search, and prove it where there is time for it."""
    limit_s, work = deadline.for_exact()
    if limit_s is None and work is None:
        return
    exact = _prover()(engine, drafts, limit_s=limit_s, deterministic_work=work, seed=deadline.seed)
    found.add("exact", list(exact.drafts), is_proven=exact.is_proven)


def _prover() -> Callable[..., Exact]:
    """Give the exact solver, which no first plan needs; to import it takes most of a second."""
    from solver.exact import improve  # noqa: PLC0415

    return improve
