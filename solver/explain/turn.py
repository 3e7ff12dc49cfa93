"""Why now: what would come of a build if its person made it one place later."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from solver.builds import build_id
from solver.errors import EngineFault
from solver.goal import TIE, RoundTimes, made_times_ds, rounds_of
from solver.plan import Plan, PlannedBuild
from solver.snapshot import Pinned, Rail, Snapshot
from solver.timing import Draft, Engine
from solver.units import DS_PER_S, to_s
from solver.verify import Broken, verify

STARVING = "starving"
"""The one rule that a build made later may break: it may be why the build comes now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundShift:
    """How much sooner a round is done because a build comes now; negative for later (s)."""

    ticket: str
    sooner_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What a build's place in the order does.

    Attributes
    ----------
    before : str
        Id of the build that its person makes after it; empty where there is none, and for a build
        in hand.
    rounds : tuple of RoundShift
        Rounds that end sooner or later for its coming before that one, most sooner first.
    is_possible : bool
        Whether it could be made one place later at all.
    starves : bool
        One place later, some round would take longer than the house lets anybody wait.
    sat_less_s : float
        How much less drinks sit past their hold limits.
    gain_s : float
        What its place is worth, in the goal's weighted seconds; less than 0 where the plan would
        have been better the other way round.
    """

    before: str = ""
    rounds: tuple[RoundShift, ...] = ()
    is_possible: bool = True
    starves: bool = False
    sat_less_s: float = 0.0
    gain_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """A plan with one build moved, and the snapshot that it is judged by.

    The snapshot is the plan's own, less the pins that the plan has moved and that of the build.
    """

    snapshot: Snapshot
    plan: Plan
    broken: tuple[Broken, ...]


class Order:
    """The builds of a plan as a list, the way the engine lays them. Lives for one explanation.

    Parameters
    ----------
    snapshot : Snapshot
    plan : Plan
        Of this snapshot. Where no list gives just this plan (time has passed since it was laid),
        its builds are laid anew in the order of their starts, and that is what is explained.
    rail : Rail
        Of the snapshot.
    """

    def __init__(self, snapshot: Snapshot, plan: Plan, rail: Rail) -> None:
        self._snapshot = snapshot
        self._rail = rail
        self._position = {drink.id: i for i, drink in enumerate(rail.drinks)}
        self._engine = Engine(snapshot, rail)
        known = [build for build in plan.builds if self._is_layable(build)]
        known.sort(key=lambda build: build.start_s)
        self._keeps_waits = False
        self._builds = self._laying_order(known)
        if not self._is_as_planned(self._builds):
            # A tail may have been put off for another build.
            self._keeps_waits = True
            self._builds = self._laying_order(known)
        self.plan = self._laid(self._builds)
        self._broken = _rules(verify(snapshot, self.plan, rail=rail))

    def turn_of(self, build: PlannedBuild) -> Turn:
        """Say what becomes of the rounds when a build changes places with its person's next."""
        after = self.next_of(build)
        if after is None:
            return Turn()
        later = self.one_place_later(build)
        if later is None:
            return Turn(before=after.id, is_possible=False)
        rounds = [*zip(self._rounds(self.plan), self._rounds(later.plan), strict=True)]
        shifts = [
            RoundShift(ticket=now.ticket, sooner_s=to_s(then.last_ds - now.last_ds))
            for now, then in rounds
            if then.last_ds != now.last_ds
        ]
        return Turn(
            before=after.id,
            rounds=tuple(sorted(shifts, key=lambda shift: -shift.sooner_s)),
            sat_less_s=to_s(sum(then.sat_ds - now.sat_ds for now, then in rounds)),
            starves=STARVING in _rules(later.broken) - self._broken,
            gain_s=(later.plan.cost // TIE - self.plan.cost // TIE) / DS_PER_S,
        )

    def next_of(self, build: PlannedBuild) -> PlannedBuild | None:
        """Give the build that this one's person makes after it; none after one in hand."""
        mine = [other for other in self.plan.builds if other.person == build.person]
        mine = [other for other in mine if not other.is_in_hand]
        ids = [other.id for other in sorted(mine, key=lambda other: (other.start_s, other.id))]
        at = ids.index(build.id) + 1 if build.id in ids else len(ids)
        return next((other for other in mine if other.id in ids[at : at + 1]), None)

    def one_place_later(self, build: PlannedBuild) -> Later | None:
        """Give the plan in which a build comes after its person's next; none where there is none.

        Raises
        ------
        EngineFault
            When that breaks a rule that the plan keeps, other than that nobody starves.
        """
        after = self.next_of(build)
        if after is None:
            return None
        others = [other for other in self._builds if other.id != build.id]
        at = [other.id for other in others].index(after.id) + 1
        order = [*others[:at], replace(build, is_pinned=False), *others[at:]]
        snapshot = replace(self._snapshot, pinned=self._pins_but(build))
        engine = Engine(snapshot, self._rail) if build.is_pinned else self._engine
        drafts = self._drafts(order)
        if engine.lay(drafts) is None:
            return None
        plan = engine.plan(drafts, "one place later")
        broken = verify(snapshot, plan, rail=self._rail)
        if _rules(broken) - self._broken - {STARVING}:
            raise EngineFault(broken[0].words)
        return Later(snapshot=snapshot, plan=plan, broken=broken)

    def _pins_but(self, build: PlannedBuild) -> tuple[Pinned, ...]:
        """Give the pins that the plan keeps, without this build's."""
        kept = {b.id for b in self._builds if b.is_pinned and b.id != build.id}
        return tuple(pin for pin in self._snapshot.pinned if build_id(pin.drinks) in kept)

    def _is_layable(self, build: PlannedBuild) -> bool:
        return (
            not build.is_in_hand
            and build.person in self._engine.packed.people
            and all(drink in self._position for drink in build.drinks)
        )

    def _laying_order(self, builds: list[PlannedBuild]) -> list[PlannedBuild]:
        """Give the builds in an order in which each is laid just where the plan has it.

        A build that could start sooner than the plan has it waits for one that was laid before it;
        one that is laid at its planned time stays there whatever else is laid at its own.
        """
        if self._is_as_planned(builds):
            return builds
        waiting, laid = [*builds], list[PlannedBuild]()
        while waiting:
            fits = next((b for b in waiting if self._is_as_planned([*laid, b])), None)
            if fits is None:
                return builds
            laid.append(fits)
            waiting.remove(fits)
        return laid

    def _is_as_planned(self, builds: Sequence[PlannedBuild]) -> bool:
        drafts = self._drafts(builds)
        if self._engine.lay(drafts) is None:
            return False
        blocks = {build.id: build.blocks for build in self._engine.plan(drafts, "").builds}
        return all(blocks[build.id] == build.blocks for build in builds)

    def _laid(self, builds: Sequence[PlannedBuild]) -> Plan:
        return self._engine.plan(self._drafts(builds), "as planned")

    def _drafts(self, builds: Sequence[PlannedBuild]) -> list[Draft]:
        people = self._engine.packed.people
        found = []
        for build in builds:
            person = people.index(build.person)
            drinks = tuple(self._position[drink] for drink in build.drinks)
            draft = Draft(person=person, drinks=drinks, is_pinned=build.is_pinned)
            kept = self._engine.draft_of(build, person, drinks) if self._keeps_waits else None
            found.append(kept or draft)
        return found

    def _rounds(self, plan: Plan) -> list[RoundTimes]:
        return rounds_of(self._snapshot, self._rail, made_times_ds(plan))


def _rules(broken: Iterable[Broken]) -> set[str]:
    return {fault.rule for fault in broken}
