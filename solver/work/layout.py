"""Walks through one build and writes down its blocks, steps, made times and holds."""

from __future__ import annotations

from collections.abc import Sequence

from solver.builds import (
    VESSEL_OF,
    Load,
    is_one_handed,
    loads_of,
    must_wash,
)
from solver.counter import Vessel
from solver.menu import (
    Menu,
    Method,
    Mix,
    Pouring,
)
from solver.snapshot import RailDrink, Snapshot
from solver.standards import Standards
from solver.tickets import Channel

from .known import keep_work, known_work, needs_of, times_of, trips_of
from .resources import (
    BLENDER,
    COFFEE_GRINDER,
    COFFEE_GROUP,
    FLAME,
    SETTLING_PLACE,
    bottle_resource,
    tap_resource,
    vessel_resource,
    well_resource,
)
from .steps import HANDS_OF, Block, Hold, Step, StepKind, Work
from .times import poured_by


def serving_ds(snapshot: Snapshot) -> int:
    """Give the base time of handing a bar-top round over and taking the money."""
    return snapshot.standards["serve_bar_top"]


def wash_ds(standards: Standards) -> int:
    """Give how long a vessel is away in the washer after it was loaded."""
    return standards["washer_run"]


def work_of(snapshot: Snapshot, person_id: str, drinks: Sequence[RailDrink]) -> Work:
    """Give the work of a build, block by block, for the station of a person.

    Parameters
    ----------
    snapshot : Snapshot
    person_id : str
        Who makes it; their station decides reaches, trips and walks, not their pace.
    drinks : sequence of RailDrink
        In finishing order, drinks of one mix together.
    """
    station = snapshot.counter.by_person[person_id].station
    known = known_work(snapshot, station, drinks)
    if known is not None:
        return known
    return keep_work(snapshot, station, drinks, _Layout(snapshot, person_id, drinks).work())


class _Layout:
    """Walks through one build and writes down steps, made times and holds."""

    def __init__(self, snapshot: Snapshot, person_id: str, drinks: Sequence[RailDrink]) -> None:
        counter = snapshot.counter
        self.snapshot = snapshot
        self.station = counter.by_station[counter.by_person[person_id].station]
        self.home = counter.vessel_home(self.station.id)
        self.by_id = {drink.id: drink for drink in drinks}
        self.loads = loads_of([d.id for d in drinks], [d.mix for d in drinks])
        self.washes = [self._washes(load) for load in self.loads]
        self.times = [
            times_of(snapshot, load.mix, len(load.drinks), is_alone=self._is_alone(load))
            for load in self.loads
        ]
        self.steps: list[Step] = []
        self.made: list[tuple[str, int]] = []
        self.holds: list[Hold] = []
        self.clock_ds = 0
        self.anchors: dict[int, int] = {}

    def work(self) -> Work:
        measured_from = self._main_block()
        main = Block(
            index=0,
            title="make",
            base_ds=self.clock_ds,
            steps=tuple(self.steps),
            made=tuple(self.made),
        )
        self._hold_vessels(measured_from, main)
        tails = [i for i, times in enumerate(self.times) if times.has_tail]
        blocks = [main, *(self._tail(load, n + 1, measured_from) for n, load in enumerate(tails))]
        self._hold_kit(measured_from, blocks)
        return Work(loads=self.loads, blocks=tuple(blocks), holds=tuple(self.holds))

    def _is_alone(self, load: Load) -> bool:
        return self.by_id[load.drinks[0]].is_alone

    def _washes(self, load: Load) -> bool:
        wash_for = self.snapshot.counter.rules.wash_for
        return must_wash(load.mix, wash_for, is_alone=self._is_alone(load))

    def _do(self, kind: StepKind, ds: int, what: str = "", hands: int | None = None) -> None:
        if ds:
            hands = HANDS_OF.get(kind, 2) if hands is None else hands
            self.steps.append(Step(kind=kind, ds=ds, what=what, hands=hands))
            self.clock_ds += ds

    def _hold(self, resource: str, from_ds: int, to_ds: int, extra_ds: int = 0) -> None:
        self.holds.append(
            Hold(
                resource=resource,
                units=1,
                from_block=0,
                from_base_ds=from_ds,
                to_block=0,
                to_base_ds=to_ds,
                extra_ds=extra_ds,
            )
        )

    def _main_block(self) -> int:
        s, station = self.snapshot.standards, self.station
        self._do(StepKind.READ, s["read_build"] + s["read_drink"] * len(self.by_id))
        self._start_what_runs_alone()
        gathered_from = self.clock_ds
        needed: dict[str, int] = {}
        for load in self.loads:
            needed |= needs_of(self.snapshot, station, load.mix)
        self._do(StepKind.GATHER, sum(needed.values()), f"{len(needed)} things")
        for load, times in zip(self.loads, self.times, strict=True):
            self._do(StepKind.GLASS, times.glass_prep_ds * len(load.drinks), load.mix.glass)
        measured_from = self.clock_ds
        for load, times in zip(self.loads, self.times, strict=True):
            self._do(StepKind.MEASURE, times.measure_ds, load.mix.name)
        for name in self.snapshot.counter.one_bottle:
            if f"reach:{name}" in needed:
                self._hold(bottle_resource(name), gathered_from, self.clock_ds)
        far = {
            ice: None for load in self.loads for ice in trips_of(self.snapshot, station, load.mix)
        }
        for ice in far:
            self._hold(well_resource(ice), self.clock_ds, self.clock_ds + s["shared_well_trip"])
            self._do(StepKind.ICE, s["shared_well_trip"], f"{ice.value} from the shared well")
        for i, (load, times) in enumerate(zip(self.loads, self.times, strict=True)):
            if times.run_ds:
                self._do(StepKind.AGITATE, times.run_ds, f"start {load.mix.name} blending")
                self._hold(BLENDER, self.clock_ds, self.clock_ds, s["blend_alone"])
                self.anchors[i] = self.clock_ds
        self._waves()
        for load, times in zip(self.loads, self.times, strict=True):
            if not times.has_tail:
                self._do(StepKind.RINSE, times.rinse_ds, load.mix.name)
        return measured_from

    def _start_what_runs_alone(self) -> None:
        s, menu = self.snapshot.standards, self.snapshot.menu
        for i, (load, times) in enumerate(zip(self.loads, self.times, strict=True)):
            if not times.has_tail:
                continue
            began = self.clock_ds
            self._do(StepKind.POUR, times.start_ds, f"start {load.mix.name}")
            self.anchors[i] = self.clock_ds
            if load.mix.has_coffee:
                self._hold(COFFEE_GRINDER, began, self.clock_ds)
                self._hold(COFFEE_GROUP, began, self.clock_ds, s["coffee_draw"])
            for tap in poured_by(menu, load.mix, Pouring.SETTLING_TAP):
                self._hold(tap_resource(tap), began, self.clock_ds)

    def _waves(self) -> None:
        at = 0
        while at < len(self.loads):
            if self.times[at].has_tail:
                at += 1
                continue
            wave = [at]
            if at + 1 < len(self.loads) and self._pairs(at, at + 1):
                wave.append(at + 1)
            self._agitate(wave)
            for i in wave:
                for drink in self.loads[i].drinks:
                    self._finish_glass(i, drink)
            at = wave[-1] + 1

    def _pairs(self, first: int, second: int) -> bool:
        """Two hands for two loads: the same work, neither needing both hands."""
        if self.times[first].has_tail or self.times[second].has_tail:
            return False
        one, other = self.loads[first], self.loads[second]
        if one.mix.method is not other.mix.method:
            return False
        if one.mix.method is Method.DRAUGHT:
            taps = [poured_by(self.snapshot.menu, load.mix, Pouring.TAP) for load in (one, other)]
            return taps[0] != taps[1]
        return is_one_handed(one) and is_one_handed(other)

    def _agitate(self, wave: list[int]) -> None:
        began = self.clock_ds
        ds = max(self.times[i].agitate_ds for i in wave)
        ds += sum(self.times[i].pair_extra_ds for i in wave[1:])
        method = self.loads[wave[0]].mix.method
        kind = StepKind.POUR if method is Method.DRAUGHT else StepKind.AGITATE
        names = " and ".join(self.loads[i].mix.name for i in wave)
        one_handed = kind is StepKind.POUR or all(is_one_handed(self.loads[i]) for i in wave)
        self._do(kind, ds, names, hands=1 if one_handed else 2)
        for i in wave:
            for tap in poured_by(self.snapshot.menu, self.loads[i].mix, Pouring.TAP):
                self._hold(tap_resource(tap), began, self.clock_ds)

    def _finish_glass(self, i: int, drink: str) -> None:
        times = self.times[i]
        if times.flame_ds and self.loads[i].mix.method is not Method.FLAMED:
            lit = self.clock_ds + times.flame_at_ds
            self._hold(FLAME, lit, lit + times.flame_ds)
        self._do(StepKind.STRAIN, times.glass_ds, self.loads[i].mix.name)
        self._do(StepKind.HAND_OVER, self._walk_ds(drink), "to the pass")
        self.made.append((drink, self.clock_ds))

    def _walk_ds(self, drink: str) -> int:
        away = self.by_id[drink].channel is Channel.FLOOR and not self.station.at_pass
        return self.snapshot.standards["walk_pass"] if away else 0

    def _hold_vessels(self, measured_from: int, main: Block) -> None:
        """Hold the vessels that are finished in the main block."""
        for load, times, washes in zip(self.loads, self.times, self.washes, strict=True):
            vessel = VESSEL_OF.get(load.mix.method)
            if vessel is not None and not times.has_tail:
                away = wash_ds(self.snapshot.standards) if washes else 0
                self._hold(vessel_resource(self.home, vessel), measured_from, main.base_ds, away)

    def _hold_kit(self, measured_from: int, blocks: Sequence[Block]) -> None:
        """Hold one kit from measuring until the last vessel is strained."""
        methods = [load.mix.method for load in self.loads]
        if not any(self.washes) and not any(method in VESSEL_OF for method in methods):
            return
        last = blocks[0]
        tails = [load for load, times in zip(self.loads, self.times, strict=True) if times.has_tail]
        for load, block in zip(tails, blocks[1:], strict=True):
            if load.mix.method in VESSEL_OF:
                last = block
        self.holds.append(
            Hold(
                resource=vessel_resource(self.home, Vessel.KIT),
                units=1,
                from_block=0,
                from_base_ds=measured_from,
                to_block=last.index,
                to_base_ds=last.base_ds,
                extra_ds=wash_ds(self.snapshot.standards) if any(self.washes) else 0,
            )
        )

    def _tail(self, i: int, index: int, measured_from: int) -> Block:
        """Lay the block that finishes load `i` once what ran alone is done."""
        load, times, menu = self.loads[i], self.times[i], self.snapshot.menu
        main_ds = self.clock_ds
        self.steps, self.made, self.clock_ds = [], [], 0
        burns = load.mix.method is Method.FLAMED
        self._do(StepKind.FLAME if burns else StepKind.POUR, times.prepare_ds, load.mix.name)
        self._do(StepKind.AGITATE, times.agitate_ds, load.mix.name)
        for drink in load.drinks:
            if times.flame_ds:
                lit = times.flame_at_ds if burns else self.clock_ds + times.flame_at_ds
                self._hold_in_tail(FLAME, index, lit, lit + times.flame_ds)
            self._do(StepKind.STRAIN, times.glass_ds, load.mix.name)
            self._do(StepKind.HAND_OVER, self._walk_ds(drink), "to the pass")
            self.made.append((drink, self.clock_ds))
        self._do(StepKind.RINSE, times.rinse_ds, load.mix.name)
        block = Block(
            index=index,
            title=_tail_title(menu, load.mix),
            base_ds=self.clock_ds,
            steps=tuple(self.steps),
            made=tuple(self.made),
            anchor_base_ds=self.anchors[i],
            alone_ds=times.alone_ds,
            window_ds=times.window_ds if times.window_ds >= 0 else None,
            is_anyones=load.mix.settles and not times.flame_ds,
            alone=Step(
                kind=_alone_kind(load.mix), ds=times.alone_ds, what=_alone_title(load.mix), hands=0
            ),
        )
        self._hold_through(i, block, measured_from)
        self.clock_ds = main_ds
        return block

    def _hold_in_tail(self, resource: str, index: int, from_ds: int, to_ds: int) -> None:
        self.holds.append(
            Hold(
                resource=resource,
                units=1,
                from_block=index,
                from_base_ds=from_ds,
                to_block=index,
                to_base_ds=to_ds,
            )
        )

    def _hold_through(self, i: int, block: Block, measured_from: int) -> None:
        """Hold what stays with the load from the main block until its tail is done."""
        load, menu = self.loads[i], self.snapshot.menu
        vessel = VESSEL_OF.get(load.mix.method)
        held: list[tuple[str, int, int]] = []
        if vessel is not None:
            away = wash_ds(self.snapshot.standards) if self.washes[i] else 0
            warm = load.mix.method is Method.FLAMED
            since = self.anchors[i] if warm else measured_from
            held.append((vessel_resource(self.home, vessel), since, away))
        for tap in poured_by(menu, load.mix, Pouring.SETTLING_TAP):
            held.append((SETTLING_PLACE, self.anchors[i], 0))
            self._hold_in_tail(tap_resource(tap), block.index, 0, block.base_ds)
        for resource, since, away in held:
            self.holds.append(
                Hold(
                    resource=resource,
                    units=1,
                    from_block=0,
                    from_base_ds=since,
                    to_block=block.index,
                    to_base_ds=block.base_ds,
                    extra_ds=away,
                )
            )


def _alone_kind(mix: Mix) -> StepKind:
    if mix.settles or mix.has_coffee:
        return StepKind.POUR
    return StepKind.AGITATE if mix.method is Method.BLENDED else StepKind.CHILL


def _alone_title(mix: Mix) -> str:
    """Say what a load does by itself until its tail."""
    if mix.settles:
        return f"{mix.name} settles"
    if mix.has_coffee:
        return f"coffee draws for {mix.name}"
    if mix.method is Method.BLENDED:
        return f"{mix.name} blends"
    return f"mugs warm for {mix.name}" if mix.method is Method.FLAMED else f"{mix.glass} chills"


def _tail_title(menu: Menu, mix: Mix) -> str:
    if poured_by(menu, mix, Pouring.SETTLING_TAP):
        return f"top {mix.name}"
    if mix.method is Method.FLAMED:
        return f"light {mix.name}"
    return f"finish {mix.name}"
