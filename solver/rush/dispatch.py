"""By the ticket, as a bartender does it who looks at nothing but the rail: quick to say.

The same rule as `solver.baselines.by_the_ticket`, asked one drink at a time of whoever is free
instead of laid out as a whole plan: rounds in order (those that have waited too long first),
drinks in order, the first that these hands may make and that nothing is missing for. What ran by
itself is finished when it is ready; a drink that would take longer than until then waits for it,
and none is begun that would run into a break or past the end of a shift.
"""

from __future__ import annotations

from collections.abc import Iterator

from solver.work import Work

from .bar import Bar
from .next_up import Finish, Make, Next, Stand
from .night import PlanningLog
from .records import BuildNow, DrinkNow, Now, PersonNow, RoundNow
from .starting import missing_for


class ByTheTicket:
    """By the ticket, drink by drink.

    Parameters
    ----------
    bar : Bar
    """

    def __init__(self, bar: Bar) -> None:
        self._bar = bar

    def log(self) -> PlanningLog:
        """Give nothing: no plan is made."""
        return PlanningLog()

    def next_for(self, person: PersonNow) -> Next:
        """Finish what is ready, else begin the first drink that can be begun."""
        tail = first_tail(self._bar, person)
        if tail is not None and tail[0] <= self._bar.now:
            return Finish(tail[1], tail[2])
        ends_ms = (None if tail is None else tail[0], person.leaves_ms)
        before_ms = min((at_ms for at_ms in ends_ms if at_ms is not None), default=None)
        first: DrinkNow | None = None
        for drink in self._waiting():
            if person.id not in self._bar.may(drink).people:
                continue
            if missing_for(self._bar, person, (drink,)) is not None:
                first = first or drink
            elif before_ms is None or self._bar.now + self._takes_ms(person, drink) <= before_ms:
                return Make((drink,))
        if first is not None and tail is None:
            # Nothing can be begun: the oldest waits for what is missing.
            return Make((first,))
        return Stand(until_ms=before_ms)

    def _waiting(self) -> Iterator[DrinkNow]:
        for round_ in in_turn(self._bar):
            for drink in round_.drinks:
                if drink.now is Now.WAITING:
                    yield drink

    def _takes_ms(self, person: PersonNow, drink: DrinkNow) -> int:
        bar = self._bar
        ware = bar.ware(drink, drink.mix)
        work, _ = bar.book.work(person.id, bar.counter, bar.counter_version, (ware,))
        return main_ms(work, person)


def main_ms(work: Work, person: PersonNow) -> int:
    """Give how long a build's first block takes somebody, by the standards."""
    return round(work.blocks[0].base_ds * 100 * person.person.pace)


def in_turn(bar: Bar) -> list[RoundNow]:
    """Give the open rounds: those that have waited too long first, then by age."""
    rules, now = bar.counter.rules, bar.now
    first: list[RoundNow] = []
    later: list[RoundNow] = []
    for round_ in bar.open:
        waited_ms = now - round_.placed_ms
        is_urgent = (
            round_.overtaken >= rules.overtakes_allowed
            or waited_ms * 100 >= round_.promise_s * 1000 * rules.urgent_at_pct
        )
        (first if is_urgent else later).append(round_)
    return first + later


def first_tail(bar: Bar, person: PersonNow) -> tuple[int, BuildNow, int] | None:
    """Give what somebody has to finish next: when it is ready, whose build, and which block.

    Their own, or anyone's that may be finished by anyone or whose owner has left.
    """
    found: tuple[int, BuildNow, int] | None = None
    for build in bar.builds:
        if build.is_lost or not build.ready_ms:
            continue
        for index, ready_ms in build.ready_ms.items():
            if index in build.blocks:
                continue
            is_mine = build.person == person.id
            is_anyones = build.work.blocks[index].is_anyones
            has_left = not bar.people[build.person].is_on
            may = is_mine or (ready_ms <= bar.now and (is_anyones or has_left))
            if may and (found is None or ready_ms < found[0]):
                found = (ready_ms, build, index)
    return found
