"""Every list of builds found so far, and the cheapest of them that keeps every rule."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.errors import CannotPlan, EngineFault
from solver.plan import Plan
from solver.snapshot import Rail, Snapshot
from solver.timing import Draft, Engine
from solver.verify import verify


@dataclass(frozen=True, slots=True, kw_only=True)
class _List:
    """A list of builds and what is known of it."""

    cost: int
    starving_ds: int
    name: str
    drafts: list[Draft]
    cost_with_pins: int | None
    is_proven: bool

    def rank(self) -> tuple[int, bool]:
        """Cheapest first; of equals, the one that is proven."""
        return self.cost, not self.is_proven


class Found:
    """Every list of builds found so far, with its cost."""

    def __init__(self, snapshot: Snapshot, rail: Rail, engine: Engine) -> None:
        self._snapshot = snapshot
        self._rail = rail
        self._engine = engine
        self._lists: list[_List] = []

    def add(
        self,
        name: str,
        drafts: list[Draft],
        *,
        cost_with_pins: int | None = None,
        is_proven: bool = False,
    ) -> None:
        """Keep a list, unless it leaves a drink out or cannot be laid."""
        if sum(len(draft.drinks) for draft in drafts) < len(self._rail.drinks):
            return
        laid = self._engine.lay(drafts)
        if laid is not None:
            self._lists.append(
                _List(
                    cost=laid.cost,
                    starving_ds=laid.starving_ds,
                    name=name,
                    drafts=drafts,
                    cost_with_pins=cost_with_pins,
                    is_proven=is_proven,
                )
            )

    def cheapest_drafts(self) -> list[Draft] | None:
        """Give the cheapest list; starving rounds count in its cost."""
        return min(self._lists, key=_List.rank).drafts if self._lists else None

    def unjudged(self) -> Plan:
        """Give the cheapest plan in which nobody starves, or the cheapest, without judging it.

        For long simulations, which judge a sample: the engine lays nothing that breaks another
        rule, unless it has a fault.

        Raises
        ------
        EngineFault
            When there is none.
        """
        if not self._lists:
            raise EngineFault("no planner could lay every drink")
        found = min(self._lists, key=lambda one: (one.starving_ds > 0, one.rank()))
        return self._plan(found)

    def _plan(self, found: _List) -> Plan:
        return replace(
            self._engine.plan(found.drafts, found.name),
            cost_with_pins=found.cost_with_pins,
            is_proven=found.is_proven,
        )

    def best(self) -> Plan:
        """Give the cheapest plan that keeps every rule.

        A bound on the worst round may have been set before something was pinned or begun, so that
        nothing keeps it any more: then the cheapest plan that keeps every other rule.

        Raises
        ------
        CannotPlan
            When not everything can be made before the hard stop: see `in_time`.
        EngineFault
            When there is none.
        """
        broken = ""
        late: Plan | None = None
        is_over = False
        for found in sorted(self._lists, key=_List.rank):
            plan = self._plan(found)
            faults = verify(self._snapshot, plan, rail=self._rail)
            if not faults:
                return plan
            if late is None and {fault.rule for fault in faults} == {"starving"}:
                late = plan
            broken = broken or faults[0].words
            is_over |= "hard_stop" in {fault.rule for fault in faults}
        if late is not None:
            return late
        if is_over:
            raise CannotPlan(("there is no time for every drink before the hard stop",))
        raise EngineFault(broken or "no planner could lay every drink")
