"""What builds in hand hold: vessels, taps, machines, until they are let go, or washed."""

from __future__ import annotations

from dataclasses import dataclass, field

from simpy.resources.resource import Request

from solver.work import BLENDER, COFFEE_GRINDER, COFFEE_GROUP, FLAME, SETTLING_PLACE, TILL

from .bar import Bar
from .night import ResourceKind, WaitsFor
from .records import BlockNow, BuildNow
from .script import Scripted

_BY_NAME = {
    SETTLING_PLACE: ResourceKind.SETTLING_PLACE,
    FLAME: ResourceKind.FLAME,
    TILL: ResourceKind.TILL,
    BLENDER: ResourceKind.MACHINE,
    COFFEE_GROUP: ResourceKind.MACHINE,
    COFFEE_GRINDER: ResourceKind.MACHINE,
}
_BY_PREFIX = {
    "tap": ResourceKind.TAP,
    "bottle": ResourceKind.BOTTLE,
    "well": ResourceKind.WELL,
}


def kind_of(resource: str) -> ResourceKind:
    """Say what sort of thing a resource is, by its name."""
    if "@" in resource:
        return ResourceKind.VESSEL
    found = _BY_NAME.get(resource)
    return found or _BY_PREFIX.get(resource.partition(":")[0], ResourceKind.MACHINE)


def waits_for(resource: str) -> WaitsFor:
    """Say what hands wait for that wait for a resource."""
    return WaitsFor(kind_of(resource).value)


@dataclass(slots=True, kw_only=True, eq=False)
class Begun:
    """A build in hand with its scripts, and by hold: what was asked for, what is in use."""

    build: BuildNow
    scripts: Scripted
    requests: dict[int, Request] = field(default_factory=dict)
    in_use: set[int] = field(default_factory=set)


class Held:
    """Everything that is held by builds in hand.

    Parameters
    ----------
    bar : Bar
    """

    def __init__(self, bar: Bar) -> None:
        self._bar = bar
        self.begun: dict[BuildNow, Begun] = {}

    def begin(self, build: BuildNow, scripts: Scripted) -> Begun:
        """Keep what a build must have from its start for it; all of it is free."""
        begun = Begun(build=build, scripts=scripts)
        self.begun[build] = begun
        for which in scripts.at_start:
            self.ask(begun, which)
        return begun

    def ask(self, begun: Begun, which: int) -> Request | None:
        """Ask for what a hold needs, once; None where the bar has none to wait for."""
        stuff = self._bar.stuff.get(begun.build.work.holds[which].resource)
        if stuff is not None and which not in begun.requests:
            begun.requests[which] = stuff.ask()
        return begun.requests.get(which)

    def use(self, begun: Begun, which: int) -> None:
        """Note that something that is there is in use from now on."""
        if which in begun.requests:
            begun.in_use.add(which)
            self._bar.stuff[begun.build.work.holds[which].resource].begin_use()

    def let_go(self, begun: Begun, which: int) -> None:
        """Let something go: a machine once it has run, a vessel once it is washed."""
        if which not in begun.requests:
            return
        hold = begun.build.work.holds[which]
        stuff, request = self._bar.stuff[hold.resource], begun.requests.pop(which)
        is_used = which in begun.in_use
        begun.in_use.discard(which)
        if not hold.extra_ds or not is_used:
            if is_used:
                stuff.end_use()
            stuff.give(request)
            self._bar.stir()
            return
        bar, washes = self._bar, "@" in hold.resource
        extra_ms = self.alone_ms(begun.build, hold.extra_ds)
        if washes:
            stuff.end_use()
            bar.washer.begin_use()
            back = (bar.now + extra_ms, hold.resource)
            bar.in_washer.append(back)

        def is_back() -> None:
            if washes:
                bar.washer.end_use()
                bar.in_washer.remove(back)
            else:
                stuff.end_use()
            stuff.give(request)
            bar.stir()

        bar.later(extra_ms, is_back)

    def alone_ms(self, build: BuildNow, alone_ds: int) -> int:
        """Give how long something of a build runs by itself."""
        scatter = self._bar.scenario.scatter
        if not scatter.scatters_alone:
            return alone_ds * 100
        return round(alone_ds * 100 * self._bar.draws.factor(scatter, build.key[0], "alone"))

    def abandon_tails(self, build: BuildNow) -> None:
        """Pour away what ran by itself for drinks that nobody wants any more."""
        begun = self.begun.get(build)
        if begun is None or build.blocks[0].end_ms is None:
            return
        now = self._bar.now
        for block in build.work.blocks[1:]:
            drinks = [build.drinks[int(position)] for position, _ in block.made]
            if block.index in build.blocks or any(drink.is_open for drink in drinks):
                continue
            build.blocks[block.index] = BlockNow(
                index=block.index,
                person=build.person,
                start_ms=now,
                end_ms=now,
                heard_start_ms=now,
                heard_end_ms=now,
            )
            for which in list(begun.requests):
                if build.work.holds[which].to_block == block.index:
                    self.let_go(begun, which)
        self.forget_if_done(build)

    def forget_if_done(self, build: BuildNow) -> None:
        """Forget a build when its last block is done."""
        if build.is_done:
            self.begun.pop(build, None)

    def lose(self, build: BuildNow) -> None:
        """Let go of all that a binned build holds."""
        begun = self.begun.pop(build, None)
        build.is_lost = True
        for which in list(begun.requests) if begun is not None else ():
            assert begun is not None  # noqa: S101  # for the type checker
            self.let_go(begun, which)
