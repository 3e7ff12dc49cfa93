"""One bartender at work: comes, takes what is next, works it block by block, serves, leaves."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import simpy

from solver.work import TILL

from .away import Away
from .bar import Bar, shift_of
from .errands import Errands
from .holding import Begun, Held, waits_for
from .next_up import BuildOrder, Finish, Make, Stand
from .night import WaitsFor
from .records import BlockNow, BuildNow, DrinkNow, PersonNow
from .screen import serving_ms
from .script import Cue, Go, Point
from .starting import begin, fitting, missing_for
from .supplies import to_ms

Process = Generator[simpy.Event, Any, None]
READY_SOON_MS = 5000
"""What ran alone is taken up by the tap before it when it is ready within this."""


class AtWork:
    """One pair of hands.

    Parameters
    ----------
    bar : Bar
    person : PersonNow
    order : BuildOrder
        Says what is next.
    held : Held
        What builds in hand hold.
    errands : Errands
        What has to be fetched or filled, and nobody else does.
    """

    def __init__(
        self, bar: Bar, person: PersonNow, order: BuildOrder, held: Held, errands: Errands
    ) -> None:
        self._bar, self._me, self._order = bar, person, order
        self._held, self._errands = held, errands
        self._away = Away(bar, person)
        self._committed: Begun | None = None
        self._at: BuildNow | None = None
        self.process = bar.env.process(self._work())

    def _work(self) -> Process:
        bar, me = self._bar, self._me
        if shift_of(bar.rush, me.id) is None:
            return
        yield from self._away.come()
        while True:
            if me.to_serve:
                yield from self._serve()
            elif self._committed is not None:
                begun, self._committed = self._committed, None
                yield from self._make(begun)
            elif self._away.is_due:
                if self._tails():
                    yield from self._finish_own()
                elif not (yield from self._away.leave()):
                    return
            elif self._errands.is_for_hands:
                yield from self._do_errand()
            else:
                yield from self._next()

    def stop_if_at(self, build: BuildNow) -> None:
        """Stop working on a build that is lost, if these hands are on it."""
        if self._committed is not None and self._committed.build is build:
            self._committed = None
        if self._at is build:
            self.process.interrupt("the build is lost")

    def _tails(self) -> list[tuple[int, BuildNow, int]]:
        """Give what somebody still has to finish of their own builds: when, which, what."""
        return sorted(
            (
                (ready_ms, build, index)
                for build in self._bar.builds
                if build.person == self._me.id and not build.is_lost
                for index, ready_ms in build.ready_ms.items()
                if index not in build.blocks
            ),
            key=lambda row: row[0],
        )

    def _finish_own(self) -> Process:
        """Finish what runs alone before leaving the floor."""
        ready_ms, build, index = self._tails()[0]
        if ready_ms <= self._bar.now:
            yield from self._finish(build, index)
        else:
            yield from self._stand(ready_ms, (), WaitsFor.PLAN, "")

    # ---- what is next ------------------------------------------------------------------------

    def _next(self) -> Process:
        match self._order.next_for(self._me):
            case Make(wanted):
                drinks = fitting(self._bar, self._me, wanted)
                missing = missing_for(self._bar, self._me, drinks)
                if missing is None:
                    yield from self._make(begin(self._bar, self._me, self._held, drinks))
                else:
                    yield from self._stand(None, drinks, *missing)
            case Finish(build, index):
                ready_ms = build.ready_ms[index]
                if ready_ms <= self._bar.now:
                    yield from self._finish(build, index)
                else:
                    yield from self._stand(ready_ms, (), WaitsFor.PLAN, "")
            case Stand(until_ms, instead_of):
                drinks = () if instead_of is None else (instead_of,)
                yield from self._stand(until_ms, drinks, WaitsFor.PLAN, "")

    def _stand(
        self, until_ms: int | None, drinks: tuple[DrinkNow, ...], what: WaitsFor, name: str
    ) -> Process:
        """Stand with free hands until something changes; drinks that could be begun wait for it."""
        bar, since = self._bar, self._bar.now
        if until_ms is not None and until_ms > since:
            yield bar.changed | bar.env.timeout(until_ms - since)
        else:
            yield bar.changed
        for drink in drinks:
            drink.waited.append((since, bar.now, what, name or self._me.person.station))

    # ---- builds --------------------------------------------------------------------------------

    def _make(self, begun: Begun) -> Process:
        build = begun.build
        block = build.blocks[0]
        block.start_ms = self._bar.now
        for drink in build.drinks:
            drink.begun_ms = self._bar.now
        yield from self._block(begun, block)

    def _finish(self, build: BuildNow, index: int) -> Process:
        block = BlockNow(index=index, person=self._me.id, start_ms=self._bar.now)
        build.blocks[index] = block
        bar, ready_ms = self._bar, build.ready_ms[index]
        for position, _ in build.work.blocks[index].made:
            drink = build.drinks[int(position)]
            if drink.is_open:
                station = self._me.person.station
                bar.count_wait(WaitsFor.HANDS, station, ready_ms, bar.now)
        yield from self._block(self._held.begun[build], block)

    def _block(self, begun: Begun, block: BlockNow) -> Process:
        bar, me, build = self._bar, self._me, begun.build
        me.is_busy, self._at = True, build
        if bar.hears_all or (not me.is_behind and block.heard_start_ms is None):
            block.heard_start_ms = bar.now
            for drink in build.drinks:
                bar.hear_begun(drink)
            bar.told()
        since = bar.now
        try:
            yield from self._script(begun, block)
        except simpy.Interrupt:
            # Glass in the ice: what was in these hands is binned.
            me.making.add(since, bar.now)
            me.is_busy = False
            return
        finally:
            self._at = None
        me.making.add(since, bar.now)
        block.end_ms = bar.now
        self._held.forget_if_done(build)
        self._held.abandon_tails(build)
        bar.tidy_builds()
        yield from self._tap(build, block)
        me.is_busy = False

    def _script(self, begun: Begun, block: BlockNow) -> Process:
        bar, build = self._bar, begun.build
        key = self._key(build, block.index)
        wait_ms = 0
        for cue in begun.scripts.blocks[block.index]:
            if isinstance(cue, Go):
                wait_ms += self._takes_ms(cue, key, block.index)
                continue
            if wait_ms:
                yield bar.env.timeout(wait_ms)
                wait_ms = 0
            yield from self._point(begun, cue)
        if wait_ms:
            yield bar.env.timeout(wait_ms)

    @staticmethod
    def _key(build: BuildNow, index: int) -> tuple[str, ...]:
        """What a block's scatter is drawn by: the drinks it makes, else those of its build."""
        made = [build.drinks[int(position)].id for position, _ in build.work.blocks[index].made]
        return tuple(sorted(made)) if index and made else build.key

    def _takes_ms(self, go: Go, key: tuple[str, ...], index: int) -> int:
        turn, which = divmod(go.nth, len(key))
        factor = self._bar.draws.factor(
            self._bar.scenario.scatter, key[which], go.kind, min(index, 1), turn
        )
        return round(go.base_ds * 100 * self._me.pace * factor)

    def _point(self, begun: Begun, point: Point) -> Process:
        bar, build = self._bar, begun.build
        match point.cue:
            case Cue.MADE:
                bar.made(build.drinks[point.which], self._me)
            case Cue.ANCHOR:
                alone_ms = self._held.alone_ms(build, build.work.blocks[point.which].alone_ds)
                build.ready_ms[point.which] = bar.now + alone_ms
                bar.later(alone_ms, bar.stir)
                for position, _ in build.work.blocks[point.which].made:
                    if build.drinks[int(position)].is_open:
                        name = build.work.blocks[point.which].title
                        bar.count_wait(WaitsFor.RUNS_ALONE, name, bar.now, bar.now + alone_ms)
            case Cue.TAKE:
                yield from self._take(begun, point.which)
            case _:
                self._held.let_go(begun, point.which)

    def _take(self, begun: Begun, which: int) -> Process:
        bar, name = self._bar, begun.build.work.holds[which].resource
        request = self._held.ask(begun, which)
        if request is not None and not request.triggered:
            since = bar.now
            yield request
            self._me.standing.add(since, bar.now)
            self._me.stood_in_build.add(since, bar.now)
            count = sum(drink.is_open for drink in begun.build.drinks)
            bar.count_wait(waits_for(name), name, since, bar.now, count)
        self._held.use(begun, which)

    # ---- taps ----------------------------------------------------------------------------------

    def _tap(self, build: BuildNow, block: BlockNow) -> Process:
        """Tap made, at once, late or never; what is next is begun by the same tap."""
        bar, me, taps = self._bar, self._me, self._bar.scenario.taps
        if bar.hears_all:
            bar.hear(me)
            return
        me.is_behind = True
        what = ("tap", self._key(build, block.index)[0], block.index)
        if bar.draws.happens(taps.never_pct, *what, "never"):
            return
        if bar.draws.happens(taps.late_pct, *what, "late"):
            late_s = bar.draws.between(*taps.late_s, *what, "late by")
            bar.later(to_ms(late_s), lambda: bar.hear(me))
            return
        factor = bar.draws.factor(bar.scenario.scatter, *what)
        tap_ms = round(taps.after_s * 1000 * factor)
        since = bar.now
        yield bar.env.timeout(tap_ms)
        me.making.add(since, bar.now)
        self._begin_next()

    def _begin_next(self) -> None:
        """Begin what the order shown has next, by the tap that closes what was at hand."""
        bar, me = self._bar, self._me
        me.free_ms = bar.now + serving_ms(bar, me.person.pace, len(me.to_serve))
        bar.note_heard(me)
        if not self._away.is_due and not self._errands.is_for_hands:
            found = self._order.next_for(me)
            drinks = fitting(bar, me, found.drinks) if isinstance(found, Make) else ()
            if drinks and missing_for(bar, me, drinks) is None:
                begun = begin(bar, me, self._held, drinks)
                begun.build.blocks[0].heard_start_ms = me.free_ms
                for drink in drinks:
                    bar.hear_begun(drink)
                self._committed = begun
        bar.told()

    # ---- serving and errands -----------------------------------------------------------------

    def _serve(self) -> Process:
        """Hand over a bar-top round and take the money; the till may have to be waited for."""
        bar, me = self._bar, self._me
        round_ = me.to_serve[0]
        me.is_busy = True
        if bar.hears_all:
            me.free_ms = bar.now + serving_ms(bar, me.person.pace, len(me.to_serve))
            bar.told()
        till = bar.stuff[TILL]
        request = till.ask()
        if not request.triggered:
            since = bar.now
            yield request
            me.standing.add(since, bar.now)
            bar.count_wait(WaitsFor.TILL, TILL, since, bar.now, len(round_.drinks))
        till.begin_use()
        since = bar.now
        factor = bar.draws.factor(bar.scenario.scatter, round_.id, "serve")
        yield bar.env.timeout(round(serving_ms(bar, me.pace, 1) * factor))
        me.serving.add(since, bar.now)
        till.end_use()
        till.give(request)
        me.to_serve.pop(0)
        round_.served_ms = bar.now
        bar.gone(round_)
        me.is_busy = False
        bar.stir()

    def _do_errand(self) -> Process:
        since = self._bar.now
        self._me.is_busy = True
        yield from self._errands.do_next()
        self._me.errand.add(since, self._bar.now)
        self._me.is_busy = False
