"""What happens to a bar: guests come, think again and give up; bottles, kegs and ice go wrong."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import replace
from functools import partial
from typing import Any

import simpy

from solver.counter import Counter
from solver.tickets import Line

from .at_work import AtWork
from .bar import Bar
from .coming import Coming, Rethink, Thought, tonight
from .errands import Errands
from .holding import Held
from .night import DrinkEnd, WaitsFor
from .records import BuildNow, DrinkNow, Now, RoundNow
from .scenario import Rush
from .supplies import to_ms
from .troubles import SHARED, GlassInWell, KegBlown

MOST_ATTEMPTS = 40
"""How often a guest is told that something is out before they drink what there is."""

ASKED_AFTER_S = (45.0, 120.0)
"""How soon somebody asks a guest whose drink is set aside; from memory."""


class Happenings:
    """Everything that comes from outside in one night.

    Parameters
    ----------
    bar : Bar
    held : Held
    errands : Errands
    at_work : dict of str to AtWork
        Everyone's hands, by person.
    """

    def __init__(self, bar: Bar, held: Held, errands: Errands, at_work: dict[str, AtWork]) -> None:
        self._bar, self._held, self._errands, self._at_work = bar, held, errands, at_work
        bar.ran_out = self._ran_out
        self.coming = tonight(bar.rush, bar.draws)
        bar.env.process(self._guests())
        self._troubles()

    # ---- guests --------------------------------------------------------------------------------

    def _guests(self) -> Generator[simpy.Event, Any, None]:
        bar = self._bar
        for coming in self.coming:
            if coming.at_ms > bar.now:
                yield bar.env.timeout(coming.at_ms - bar.now)
            lines = (self._to_be_had(coming.id, n, line) for n, line in enumerate(coming.lines))
            round_ = bar.place(coming, tuple(lines))
            self._what_follows(coming, round_)

    def _what_follows(self, coming: Coming, round_: RoundNow) -> None:
        bar = self._bar
        if coming.gives_up_ms is not None:
            bar.later(coming.gives_up_ms - bar.now, lambda: self._give_up(round_))
        for n, drink in enumerate(round_.drinks):
            self._ask_unless_makable(drink, n)
        for thought in coming.thoughts:
            bar.later(thought.at_ms - bar.now, partial(self._rethink, round_, thought))

    def _to_be_had(self, ticket: str, n: int, line: Line) -> Line:
        """Give what a guest orders of what is to be had: who hears of an 86 takes another."""
        bar = self._bar
        eighty_six = {name for name, back_ms in bar.shelf.out.items() if back_ms is None}
        for attempt in range(1, MOST_ATTEMPTS):
            if eighty_six.isdisjoint(bar.book.sort_of(line)[0].ingredients):
                break
            line = bar.orders.drink(ticket, n, attempt)
        return line

    def _ask_unless_makable(self, drink: DrinkNow, n: int) -> None:
        """Have somebody ask the guest who ordered what nobody can make now.

        It is set aside with its reason: a noted allergen that is in it, a flame while the room is
        too full, ice that is out. After a minute or so the guest has something else. Whether a
        flame may be lit is looked at again, for the room may fill up meanwhile.
        """
        if drink.mix.has_flame or not self._is_makable(drink):
            wait_s = self._bar.draws.between(*ASKED_AFTER_S, drink.id, "asked")
            self._bar.later(to_ms(wait_s), partial(self._ask, drink, n))

    def _is_makable(self, drink: DrinkNow) -> bool:
        bar = self._bar
        limit = bar.counter.flame.off_above_open_drinks
        is_too_full = drink.mix.has_flame and bar.open_drinks.now > limit
        return bool(bar.may(drink).people) and not is_too_full

    def _ask(self, drink: DrinkNow, n: int) -> None:
        if drink.now is not Now.WAITING:
            return
        if self._is_makable(drink):
            self._ask_unless_makable(drink, n)
        elif self._bar.on_floor:
            self._swap(drink, n)
            self._bar.settle(drink.round)
        else:
            self._ask_unless_makable(drink, n)

    def _give_up(self, round_: RoundNow) -> None:
        """Let guests go who saw nobody at their round."""
        if any(drink.now in (Now.IN_HAND, Now.MADE) for drink in round_.drinks):
            return
        if not round_.is_open:
            return
        round_.gave_up_ms = self._bar.now
        for drink in round_.drinks:
            self._bar.drop(drink, DrinkEnd.GAVE_UP)
        self._bar.settle(round_)

    def _rethink(self, round_: RoundNow, thought: Thought) -> None:
        if not round_.is_open:
            return
        bar = self._bar
        if thought.what is Rethink.ONE_MORE:
            n = len(round_.coming.lines)
            bar.add_drink(round_, self._to_be_had(round_.id, n, bar.orders.drink(round_.id, n)))
            bar.told()
            return
        drink = round_.drinks[thought.drink]
        if not drink.is_open:
            return
        if thought.what is Rethink.SWAP:
            self._swap(drink, thought.drink)
        else:
            self._drop(drink, DrinkEnd.VOID)
        bar.settle(round_)

    def _swap(self, drink: DrinkNow, n: int) -> None:
        """Order another drink in place of one; one that is in hand is binned."""
        bar, ticket = self._bar, drink.round.id
        end = DrinkEnd.LOST if drink.now is Now.IN_HAND else DrinkEnd.VOID
        line = drink.line
        for attempt in range(MOST_ATTEMPTS):
            line = self._to_be_had(
                ticket, n, bar.orders.drink(ticket, n, (attempt + 1) * MOST_ATTEMPTS)
            )
            line = replace(line, allergies=drink.line.allergies)
            may = bar.book.who_may(
                line, drink.round.channel, bar.counter, bar.counter_version, bar.on_floor
            )
            if may.people and not bar.book.sort_of(line)[0].has_flame:
                break
        bar.add_drink(drink.round, line)
        self._drop(drink, end)

    def _drop(self, drink: DrinkNow, end: DrinkEnd) -> None:
        self._bar.drop(drink, end)
        if drink.build is not None:
            self._held.abandon_tails(drink.build)

    # ---- bottles and kegs ------------------------------------------------------------------------

    def _troubles(self) -> None:
        bar, troubles = self._bar, self._bar.scenario.troubles
        for out in troubles.runs_out:
            at_ms = to_ms(bar.scenario.at_s(out.at))
            bar.later(at_ms, partial(self._out, out.ingredient, out.back_after_s))
        for keg in troubles.kegs_blown:
            at_ms = to_ms(bar.scenario.at_s(keg.at))
            bar.later(at_ms, partial(self._keg_blown, keg))
        for glass in troubles.glass_in_wells:
            at_ms = to_ms(bar.scenario.at_s(glass.at))
            bar.later(at_ms, partial(self._glass_in_well, glass))

    def _ran_out(self, ingredient: str) -> None:
        """What was prepared is used up; drinks that are begun have theirs."""
        self._bar.later(0, lambda: self._out(ingredient, None))

    def _out(self, ingredient: str, back_after_s: float | None) -> None:
        bar = self._bar
        name = bar.rush.house.menu.ingredient(ingredient).name
        if back_after_s is None:
            bar.shelf.run_out(ingredient, None)
            bar.say(f"86: {name}")
            self._swap_all(ingredient)
        else:
            back_ms = bar.now + to_ms(back_after_s)
            bar.shelf.run_out(ingredient, back_ms)
            bar.say(f"bottle out: {name}, back in {back_after_s / 60:.0f} minutes")
            bar.later(to_ms(back_after_s), lambda: self._back(ingredient))
        bar.told()

    def _back(self, ingredient: str) -> None:
        bar = self._bar
        since_ms = bar.shelf.out_since_ms(ingredient)
        for round_ in bar.open:
            for drink in round_.drinks:
                if drink.now is Now.WAITING and ingredient in drink.mix.ingredients:
                    since = max(since_ms, drink.ordered_ms)
                    drink.waited.append((since, bar.now, WaitsFor.STOCK, ingredient))
        bar.shelf.bring(ingredient)
        bar.told()

    def _swap_all(self, ingredient: str) -> None:
        """Ask the guests whose drinks wait for what is not coming what they have instead."""
        for round_ in list(self._bar.open):
            for n, drink in enumerate(list(round_.drinks)):
                if drink.now is Now.WAITING and ingredient in drink.mix.ingredients:
                    self._swap(drink, n)

    def _keg_blown(self, keg: KegBlown) -> None:
        bar = self._bar
        name = bar.rush.house.menu.ingredient(keg.tap).name
        bar.say(f"the keg of {name} is empty")
        bar.shelf.run_out(keg.tap, bar.now + to_ms(keg.change_s))
        self._errands.ask(f"keg of {name}", keg.change_s, lambda: self._back(keg.tap))
        bar.told()

    # ---- glass in ice --------------------------------------------------------------------------

    def _glass_in_well(self, glass: GlassInWell) -> None:
        """Take a well out at once; what is being made beside it is binned and made again."""
        bar = self._bar
        bar.say(f"glass in the {glass.ice.value} ice at {glass.station}: the well is out")
        well = bar.wells.by_name[f"{glass.station}/{glass.ice.value}"]
        well.is_out = True
        bar.change_counter(_without(bar.counter, glass))
        for build in list(bar.builds):
            at = bar.people[build.person].person.station
            if at == glass.station and not build.is_done:
                self._bin(build)
        for round_ in bar.open:
            for n, drink in enumerate(round_.drinks):
                if drink.now is Now.WAITING:
                    self._ask_unless_makable(drink, n)
        bar.tidy_builds()
        bar.told()
        bar.later(to_ms(glass.out_s), lambda: self._well_back(glass))

    def _bin(self, build: BuildNow) -> None:
        """Bin a build in hand: its drinks are ordered anew, whoever works on it stops."""
        for drink in build.drinks:
            if drink.is_open:
                self._bar.add_drink(drink.round, drink.line, is_remake=True)
                self._bar.drop(drink, DrinkEnd.LOST)
        for at_work in self._at_work.values():
            at_work.stop_if_at(build)
        self._held.lose(build)

    def _well_back(self, glass: GlassInWell) -> None:
        bar = self._bar
        bar.wells.fill(f"{glass.station}/{glass.ice.value}")
        bar.change_counter(_with(bar.counter, bar.rush, glass))


def _without(counter: Counter, glass: GlassInWell) -> Counter:
    """Give the counter without a well."""
    if glass.station == SHARED:
        left = tuple(well for well in counter.shared_wells if well.ice is not glass.ice)
        return replace(counter, shared_wells=left)
    return replace(
        counter,
        stations=tuple(
            replace(s, wells=tuple(w for w in s.wells if w.ice is not glass.ice))
            if s.id == glass.station
            else s
            for s in counter.stations
        ),
    )


def _with(counter: Counter, rush: Rush, glass: GlassInWell) -> Counter:
    """Give the counter with a well as the house has it."""
    house = rush.house.counter
    if glass.station == SHARED:
        back = tuple(w for w in house.shared_wells if w.ice is glass.ice)
        return replace(counter, shared_wells=(*counter.shared_wells, *back))
    back = tuple(w for w in house.by_station[glass.station].wells if w.ice is glass.ice)
    return replace(
        counter,
        stations=tuple(
            replace(s, wells=(*s.wells, *back)) if s.id == glass.station else s
            for s in counter.stations
        ),
    )
