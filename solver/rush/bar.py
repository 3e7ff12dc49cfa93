"""The bar as it really is while a night runs: rounds, drinks, people, and what is held.

Everybody else in this package changes a night through here, so that every change is counted once
and everyone who stands idle hears of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import simpy

from solver.counter import Counter
from solver.menu import Mix
from solver.tickets import Channel, Line, promise_s
from solver.work import capacities

from .book import Book, May, Ware
from .coming import Coming, Orders
from .draws import Draws
from .night import DrinkEnd, Mishap, WaitsFor
from .records import BuildNow, DrinkNow, Now, PersonNow, RoundNow
from .scenario import Rush, Shift
from .supplies import Glasses, Shelf, Wells, after, to_ms
from .tally import Standing, Steps, Stuff, Tally

WASHER = "washer"
PASS = "pass"  # noqa: S105  # the end of the bar, not a password


class Bar:
    """One night's truth.

    Parameters
    ----------
    env : simpy.Environment
    rush : Rush
    draws : Draws
    hears_all : bool
        Whether everything that hands do is known at once, by everybody: a bar without screens,
        whose bartenders see each other. Otherwise the screen knows what is tapped.
    """

    def __init__(
        self, env: simpy.Environment, rush: Rush, draws: Draws, *, hears_all: bool
    ) -> None:
        scenario = rush.scenario
        self.env, self.rush, self.draws, self.hears_all = env, rush, draws, hears_all
        self.scenario = scenario
        self.num_quarters = scenario.num_quarters
        self.counter = _counter(rush)
        self.counter_version = 0
        self.orders = Orders(rush, draws)
        self.book = Book(replace(rush.house, counter=self.counter))
        self.rounds: list[RoundNow] = []
        self.open: list[RoundNow] = []
        """Rounds with a drink that is not made, truly or as the screen knows it; oldest first."""
        self.whole: dict[Channel, list[int]] = {channel: [] for channel in Channel}
        """When the rounds were placed that the screen knows to be whole, in that order."""
        self.builds: list[BuildNow] = []
        """Builds in hand, truly or as the screen knows it, in the order they were begun."""
        self.people = {person.id: self._person(person.id) for person in self.counter.people}
        self.stuff = {
            name: Stuff(env, name, count, self.num_quarters)
            for name, count in capacities(self.counter).items()
            if count > 0
        }
        self.washer = Stuff(env, WASHER, 1_000_000, self.num_quarters)
        self.on_pass = Standing(env, self.num_quarters)
        """Made drinks of floor rounds that are not whole; a whole round is carried away."""
        self.in_washer: list[tuple[int, str]] = []
        """Vessels in the washer: when each is back, and its name as a resource."""
        self.glasses = Glasses(env, self.counter, scenario.supplies, self.stir)
        self.wells = Wells(env, self.counter, scenario.supplies)
        menu = rush.house.menu
        self.shelf = Shelf(
            env, [one.id for one in menu.ingredients], dict(scenario.supplies.prepared_ml)
        )
        self.waits: dict[tuple[WaitsFor, str], Tally] = {}
        self.in_system, self.open_drinks = Steps(), Steps()
        self.mishaps: list[Mishap] = []
        self.version = 0
        self.heard: Callable[[], None] = lambda: None
        """Called when the screen hears something; the planner sets it."""
        self.ran_out: Callable[[str], None] = lambda _name: None
        self.wants_ice: Callable[[str], None] = lambda _name: None
        self._changed = env.event()
        self._on: tuple[str, ...] = ()

    def _person(self, person_id: str) -> PersonNow:
        person = self.counter.by_person[person_id]
        shift = shift_of(self.rush, person_id)
        pace = shift.pace if shift is not None and shift.pace is not None else person.pace
        return PersonNow(
            person=person,
            pace=pace,
            on=Tally(self.num_quarters),
            making=Tally(self.num_quarters),
            serving=Tally(self.num_quarters),
            errand=Tally(self.num_quarters),
            standing=Tally(self.num_quarters),
            stood_in_build=Tally(self.num_quarters),
        )

    @property
    def now(self) -> int:
        """Milliseconds from the doors."""
        return int(self.env.now)

    @property
    def on_floor(self) -> tuple[str, ...]:
        """Who is on the floor, in the order of the counter."""
        return self._on

    def put_on_floor(self, person: PersonNow, *, is_on: bool, back_ms: int | None = None) -> None:
        """Note that somebody comes onto the floor or leaves it."""
        person.is_on, person.back_ms = is_on, back_ms
        self._on = tuple(name for name, one in self.people.items() if one.is_on)
        self.told()

    def change_counter(self, counter: Counter) -> None:
        """Note that something of the counter is out, or back."""
        self.counter = counter
        self.counter_version += 1
        self.told()

    def stir(self) -> None:
        """Let everyone who stands idle look again."""
        self.version += 1
        changed, self._changed = self._changed, self.env.event()
        changed.succeed()

    @property
    def changed(self) -> simpy.Event:
        """The event that comes with the next change."""
        return self._changed

    def told(self) -> None:
        """Note that something happened that the screen knows of."""
        self.heard()
        self.stir()

    def say(self, words: str) -> None:
        """Write down something that went wrong."""
        self.mishaps.append(Mishap(at_s=self.now / 1000, words=words))

    def count_wait(
        self, what: WaitsFor, name: str, from_ms: int, to_ms: int, weight: int = 1
    ) -> None:
        """Count drink-seconds that were waited for something."""
        if to_ms > from_ms and weight:
            tally = self.waits.setdefault((what, name), Tally(self.num_quarters))
            tally.add(from_ms, to_ms, weight)

    def may(self, drink: DrinkNow) -> May:
        """Say who on the floor may make a drink; glasses and bottles aside."""
        return self.book.who_may(
            drink.line, drink.round.channel, self.counter, self.counter_version, self._on
        )

    def ware(self, drink: DrinkNow, mix: Mix) -> Ware:
        """Give a drink as work sees it, in the glass that was taken for it."""
        return Ware(sort=drink.sort, channel=drink.round.channel, by_ice=mix.chill_by_ice)

    # ---- the life of a round -----------------------------------------------------------------

    def place(self, coming: Coming, lines: tuple[Line, ...]) -> RoundNow:
        """Place a round: it is on the rail from now on."""
        mixes = [self.book.sort_of(line)[0] for line in lines]
        methods = frozenset(mix.method for mix in mixes)
        promised_s = promise_s(self.counter.rules, coming.channel, methods)
        number = str(len(self.rounds) + 1)
        found = RoundNow(coming=coming, number=number, promise_s=promised_s)
        self.rounds.append(found)
        self.open.append(found)
        self.in_system.add(self.now, 1)
        for line in lines:
            self._put_drink(found, line)
        self.told()
        return found

    def add_drink(self, round_: RoundNow, line: Line, *, is_remake: bool = False) -> None:
        """Put one more drink on a round that is open."""
        self._put_drink(round_, line, is_remake=is_remake)

    def _put_drink(self, round_: RoundNow, line: Line, *, is_remake: bool = False) -> None:
        mix, sort = self.book.sort_of(line)
        drink = DrinkNow(
            id=f"{round_.id}.{len(round_.drinks) + 1}",
            round=round_,
            line=line,
            mix=mix,
            sort=sort,
            ordered_ms=self.now,
            is_remake=is_remake,
        )
        round_.drinks.append(drink)
        self.open_drinks.add(self.now, 1)

    def made(self, drink: DrinkNow, by: PersonNow) -> None:
        """Note that hands made a drink; one that nobody wants any more is poured away."""
        if drink.now is not Now.IN_HAND:
            return
        drink.now, drink.end = Now.MADE, DrinkEnd.MADE
        drink.made_ms = drink.ended_ms = self.now
        if self.hears_all:
            drink.heard, drink.heard_made_ms = Now.MADE, self.now
        by.num_drinks += 1
        self.open_drinks.add(self.now, -1)
        if drink.round.channel is Channel.FLOOR:
            self.on_pass.add(1)
        self._close_if_whole(drink.round, by)

    def drop(self, drink: DrinkNow, end: DrinkEnd) -> None:
        """Take a drink off the rail: void, given up, or lost; its build, if any, goes on."""
        if not drink.is_open:
            return
        if drink.now is Now.IN_HAND:
            self.glasses.leave(drink.mix.glass, 0)
        drink.now = drink.heard = Now.OVER
        drink.end, drink.ended_ms = end, self.now
        self.open_drinks.add(self.now, -1)

    def settle(self, round_: RoundNow, by: PersonNow | None = None) -> None:
        """Close a round of which nothing is left to make, after drinks were taken off it."""
        self._close_if_whole(round_, by)
        self.told()

    def _close_if_whole(self, round_: RoundNow, by: PersonNow | None) -> None:
        if round_.over_ms is not None or round_.is_open:
            return
        round_.over_ms = self.now
        self.in_system.add(self.now, -1)
        made = [drink for drink in round_.drinks if drink.made_ms is not None]
        if round_.channel is Channel.FLOOR:
            self.on_pass.add(-len(made))
        if made:
            last = max(made, key=lambda drink: drink.made_ms or 0)
            round_.last_made_ms = last.made_ms
            for other in self.open:
                is_passed = other.channel is round_.channel and other.over_ms is None
                if is_passed and other.placed_ms < round_.placed_ms:
                    other.overtaken += 1
            self._hand_over(round_, by or self._maker_of(last))
        self._tidy_rounds()

    def _maker_of(self, drink: DrinkNow) -> PersonNow:
        assert drink.build is not None  # noqa: S101  # a made drink has a build
        return self.people[drink.build.person]

    def _hand_over(self, round_: RoundNow, by: PersonNow) -> None:
        if round_.channel is Channel.BAR_TOP and self.counter.tills:
            by.to_serve.append(round_)
            self.stir()
        else:
            self.gone(round_)

    def gone(self, round_: RoundNow) -> None:
        """Note that a round left the bar; its glasses come back later."""
        round_.gone_ms = self.now
        for drink in round_.drinks:
            if drink.end is DrinkEnd.MADE:
                least, most = self.scenario.supplies.glass_back_s
                back_s = self.draws.between(least, most, drink.id, "glass")
                self.glasses.leave(drink.mix.glass, to_ms(back_s))

    def tidy_builds(self) -> None:
        """Keep at hand only builds that are open, truly or as the screen knows it."""
        self.builds = [b for b in self.builds if not b.is_done or b.is_unheard]

    def _tidy_rounds(self) -> None:
        """Keep at hand only rounds that are open, truly or as the screen knows it."""
        kept = []
        for round_ in self.open:
            if round_.is_heard_open or round_.over_ms is None:
                kept.append(round_)
            elif any(drink.made_ms is not None for drink in round_.drinks):
                self.whole[round_.channel].append(round_.placed_ms)
                self.whole[round_.channel].sort()
        self.open = kept

    # ---- what the screen hears -----------------------------------------------------------------

    def hear_begun(self, drink: DrinkNow) -> None:
        """Let the screen hear that a drink is in somebody's hands."""
        if drink.heard is Now.WAITING:
            drink.heard = Now.IN_HAND

    def hear(self, person: PersonNow) -> None:
        """Let the screen hear everything that somebody did up to now: one tap says it all."""
        self.note_heard(person)
        self.told()

    def note_heard(self, person: PersonNow) -> None:
        """Take down what a tap says, without telling anybody yet."""
        is_news = False
        for build in self.builds:
            for block in build.blocks.values():
                if block.person != person.id and not _is_known_by(build, person):
                    continue
                if block.heard_start_ms is None:
                    is_over = block.end_ms is not None
                    block.heard_start_ms = block.start_ms if is_over else self.now
                    for drink in build.drinks:
                        self.hear_begun(drink)
                if block.end_ms is not None and block.heard_end_ms is None:
                    block.heard_end_ms = self.now
                    self._hear_made(build, block.index, block.heard_start_ms)
                    is_news = True
        person.is_behind = False
        self.tidy_builds()
        if is_news and not self.hears_all:
            self._tidy_rounds()

    def _hear_made(self, build: BuildNow, index: int, since_ms: int) -> None:
        """Close a block's drinks; their times are spread as the standards spread them."""
        made = build.work.blocks[index].made
        last = max((at_ds for _, at_ds in made), default=1) or 1
        for position, at_ds in made:
            drink = build.drinks[int(position)]
            if drink.is_heard_open:
                drink.heard = Now.MADE
                drink.heard_made_ms = since_ms + (self.now - since_ms) * at_ds // last

    def later(self, delay_ms: int, do: Callable[[], None]) -> None:
        """Have something happen a little later."""
        after(self.env, delay_ms, do)


def _is_known_by(build: BuildNow, person: PersonNow) -> bool:
    """Whether somebody's tap on a tail says that the build before it was made."""
    return any(block.person == person.id for block in build.blocks.values() if block.index)


def shift_of(rush: Rush, person_id: str) -> Shift | None:
    """Give somebody's shift; None for who does not work in this rush."""
    return next((shift for shift in rush.shifts if shift.person == person_id), None)


def _counter(rush: Rush) -> Counter:
    counter, scenario = rush.house.counter, rush.scenario
    tills = counter.tills if scenario.has_order_and_pay else 0
    return replace(counter, tills=tills, people=(*counter.people, *scenario.more_people))
