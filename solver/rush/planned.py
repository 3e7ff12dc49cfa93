"""Bartenders who follow a plan: one they have in their heads, or the one on the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from solver.errors import CannotPlan
from solver.plan import Plan, PlannedBuild
from solver.planner import baseline_plan

from .bar import Bar
from .dispatch import first_tail, in_turn
from .next_up import Finish, Make, Next, Stand
from .night import PlanningLog
from .records import BuildNow, DrinkNow, Now, PersonNow, RoundNow
from .screen import Screen, block_numbers, seconds

AHEAD = 3
"""How many rounds after the oldest a rule may look at; as in `solver.baselines`."""


class ByRule:
    """A rule of `solver.baselines`, laid by the timing engine whenever hands are free.

    Nobody plans a whole evening in their head: the rule is given the oldest rounds that whoever
    asks can take part in, one for each of their colleagues and one more, and those just after
    them that it may look ahead to. What comes later cannot change what is begun now.

    Parameters
    ----------
    bar : Bar
    rule : str
        Its name among the baselines.
    clock : callable
        Monotonic seconds, to say what planning took.
    """

    def __init__(self, bar: Bar, rule: str, clock: Callable[[], float]) -> None:
        self._bar, self._rule, self._clock = bar, rule, clock
        self._screen = Screen(bar)
        self._calls = 0
        self._took_s = 0.0

    def log(self) -> PlanningLog:
        """Say how often the rule was asked, and how long that took."""
        return PlanningLog(calls=self._calls, seconds=round(self._took_s, 3))

    def next_for(self, person: PersonNow) -> Next:
        """Do what the rule's plan has first for somebody."""
        rounds = self._oldest(person)
        if not rounds:
            tail = first_tail(self._bar, person)
            return Stand() if tail is None else Finish(tail[1], tail[2])
        began = self._clock()
        self._calls += 1
        try:
            plan = baseline_plan(self._screen.snapshot(rounds), self._rule)
        except CannotPlan:
            return Stand()
        finally:
            self._took_s += self._clock() - began
        return follow(self._bar, plan, person, self._bar.now)

    def _oldest(self, person: PersonNow) -> list[RoundNow]:
        """Give the rounds that decide what somebody begins now."""
        bar = self._bar
        enough = len(bar.on_floor) + 1
        found, own, since_enough = [], 0, 0
        for round_ in in_turn(bar):
            if not any(drink.now is Now.WAITING for drink in round_.drinks):
                continue
            if own >= enough:
                since_enough += 1
                if since_enough > AHEAD:
                    break
            found.append(round_)
            own += may_help(bar, person, round_) is not None
        return found if own else []


def may_help(bar: Bar, person: PersonNow, round_: RoundNow) -> DrinkNow | None:
    """Give the first waiting drink of a round that somebody may make."""
    for drink in round_.drinks:
        if drink.now is Now.WAITING and person.id in bar.may(drink).people:
            return drink
    return None


def follow(bar: Bar, plan: Plan | None, person: PersonNow, made_ms: int) -> Next:
    """Give what a plan has first for somebody whose hands are free.

    Drinks that a colleague is already at, unheard by the screen, are passed over: people see each
    other.
    Starts are taken in their order and as soon as they can be, not at the planned second; but what
    the plan has behind somebody's break is not begun before it.

    Parameters
    ----------
    bar : Bar
    plan : Plan or None
    person : PersonNow
    made_ms : int
        The plan's moment.
    """
    rests_s = None if person.leaves_ms is None else seconds(person.leaves_ms - made_ms)
    waiting = {drink.id: drink for one in bar.open for drink in one.drinks}
    begun = {build.id: build for build in bar.builds}
    found: list[tuple[float, str, Next]] = []
    for planned in plan.builds if plan is not None else ():
        if planned.is_in_hand:
            if planned.id in begun:
                found += _tails(bar, planned, begun[planned.id], person)
        elif planned.person == person.id and (rests_s is None or planned.start_s < rests_s):
            drinks = tuple(waiting[name] for name in planned.drinks if name in waiting)
            if left := tuple(drink for drink in drinks if drink.now is Now.WAITING):
                found.append((planned.start_s, planned.id, Make(left)))
    found += _unheard_tails(bar, person)
    if found:
        return min(found, key=lambda row: row[:2])[2]
    idle = (may_help(bar, person, round_) for round_ in bar.open)
    return Stand(instead_of=next((drink for drink in idle if drink is not None), None))


def _unheard_tails(bar: Bar, person: PersonNow) -> Iterator[tuple[float, str, Next]]:
    """Give what somebody has to finish of builds that the screen never heard they began.

    Whoever put a coffee on knows of it.
    """
    for build in bar.builds:
        if build.person != person.id or build.is_lost or build.blocks[0].heard_start_ms is not None:
            continue
        for index, ready_ms in build.ready_ms.items():
            if index not in build.blocks:
                yield (ready_ms - bar.now) / 1000, build.id, Finish(build, index)


def _tails(
    bar: Bar, planned: PlannedBuild, build: BuildNow, person: PersonNow
) -> Iterator[tuple[float, str, Next]]:
    """Give what a plan has for somebody to finish of a build in hand."""
    true_number = {shown: index for index, shown in block_numbers(bar, build).items()}
    for block in planned.blocks:
        index = true_number.get(block.index)
        if index is None or build.is_lost or block.person != person.id:
            continue
        if index in build.ready_ms and index not in build.blocks:
            yield block.start_s, planned.id, Finish(build, index)
