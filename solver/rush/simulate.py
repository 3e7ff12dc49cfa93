"""One night of a rush, simulated: the engine is SimPy, the hands work block by block.

Reading order of the parts: `guests`, `troubles`, `scenario` (what a rush is), `night` (its log),
`draws`, `coming` (chance by name, tonight's rounds), `tally`, `records`, `script`, `book`,
`supplies`, `bar` (what is true), `holding`, `starting`, `away`, `errands`, `at_work`,
`happenings` (what is done and what happens), `next_up`, `dispatch`, `screen`, `planned`, `live`
(who says what is next), `written`.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import Any

import simpy

from .at_work import AtWork
from .bar import Bar
from .dispatch import ByTheTicket
from .draws import Draws
from .errands import Errands
from .happenings import Happenings
from .holding import Held
from .live import Live, Plans, counted
from .next_up import BuildOrder
from .night import Night
from .planned import ByRule
from .scenario import Policy, Rush
from .supplies import to_ms
from .written import written

Clock = Callable[[], float]
LOOK_MS = 60_000
"""How often, in the night's time, it is asked whether to go on."""


def simulate(
    rush: Rush,
    *,
    seed: int,
    policy: Policy = Policy.LIVE,
    clock: Clock = lambda: 0.0,
    plans: Plans | None = None,
    go_on: Callable[[float], bool] = lambda _share: True,
) -> Night | None:
    """Simulate one night.

    Parameters
    ----------
    rush : Rush
    seed : int
        The same night for the same rush, policy and seed, on every machine. Two policies, or two
        scenarios, with the same seed see the same guests and the same hands.
    policy : Policy
    clock : callable
        Monotonic seconds, only to say what planning took.
    plans : callable, optional
        Who makes the live planner's plans; by default with as many counted moves as the scenario
        says. With a limit by the clock no night is the same twice.
    go_on : callable
        Called with the share of the night that is over, 0 to 1, once a minute of the night; a
        False answer stops the night.

    Returns
    -------
    Night or None
        None where `go_on` stopped it.
    """
    env = simpy.Environment()
    bar = Bar(env, rush, Draws(seed), hears_all=policy is not Policy.LIVE)
    held, errands = Held(bar), Errands(bar)
    order = _order(bar, policy, clock, plans or counted(rush.scenario.searching.moves))
    at_work = {
        name: AtWork(bar, person, order, held, errands) for name, person in bar.people.items()
    }
    happenings = Happenings(bar, held, errands, at_work)
    closing = _Closing(bar, len(happenings.coming), go_on)
    env.run(until=closing.process)
    if closing.is_stopped:
        return None
    return written(bar, policy, seed, order.log())


def _order(bar: Bar, policy: Policy, clock: Clock, plans: Plans) -> BuildOrder:
    match policy:
        case Policy.BY_THE_TICKET:
            return ByTheTicket(bar)
        case Policy.LIVE:
            return Live(bar, clock, plans)
        case _:
            return ByRule(bar, policy.value, clock)


class _Closing:
    """Ends the night: when the last round is over after last orders, or at the hard stop."""

    def __init__(self, bar: Bar, num_coming: int, go_on: Callable[[float], bool]) -> None:
        self._bar, self._num_coming, self._go_on = bar, num_coming, go_on
        self.is_stopped = False
        self.process = bar.env.process(self._run())

    def _run(self) -> Generator[simpy.Event, Any, None]:
        bar = self._bar
        hard_ms = to_ms(bar.scenario.hard_stop_s)
        while bar.now < hard_ms and not self._is_over():
            if not self._go_on(min(1.0, bar.now / hard_ms)):
                self.is_stopped = True
                return
            yield bar.env.timeout(min(LOOK_MS, hard_ms - bar.now))

    def _is_over(self) -> bool:
        bar = self._bar
        return (
            bar.now >= to_ms(bar.scenario.last_orders_s)
            and len(bar.rounds) == self._num_coming
            and bar.in_system.now == 0
            and not any(one.is_busy or one.to_serve for one in bar.people.values())
        )
