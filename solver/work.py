"""Work content: the seconds of a build, from its mixes, its batch and the time standards.

A build is worked in blocks. Block 0 reads the build, starts what runs alone, gathers and
measures bottle by bottle, agitates in waves (each wave strained before the next) and finishes
glass by glass in finishing order; rinsing comes last. Each load that ran alone (a stout that
settles, a coffee that draws, a blender, a chilling glass, warming mugs) is finished in a block
of its own, a tail. Between block 0 and its tails the person works on other builds.

All times here are base times at pace 1.0 in deciseconds; a person's pace is applied once, with
`units.paced_ds`, when blocks are laid on the clock.

Source: the shape is common practice; every number comes from the time standards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from .builds import (
    VESSEL_OF,
    Load,
    is_one_handed,
    loads_of,
    must_wash,
)
from .counter import Counter, GlassPlace, Station, Vessel
from .menu import (
    GarnishWork,
    Ice,
    Ingredient,
    Kind,
    Menu,
    Method,
    Mix,
    Place,
    Pour,
    Pouring,
    Stage,
    Strain,
)
from .snapshot import RailDrink, Snapshot
from .standards import Standards
from .tickets import Channel


class StepKind(StrEnum):
    """What a step is, in the words of the trade."""

    READ = "read"
    GLASS = "glass"
    CHILL = "chill"
    RIM = "rim"
    GATHER = "gather"
    MEASURE = "measure"
    MUDDLE = "muddle"
    ICE = "ice"
    AGITATE = "agitate"
    STRAIN = "strain"
    TOP = "top"
    GARNISH = "garnish"
    COAT = "coat"
    POUR = "pour"
    FLAME = "flame"
    RINSE = "rinse"
    HAND_OVER = "hand_over"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A timed part of a block: its kind, its base time (ds), and what it is about."""

    kind: StepKind
    ds: int
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One stretch of hands.

    Attributes
    ----------
    index : int
        0 for the main block; 1, 2, … for tails.
    title : str
        What it does: ``"make"`` or what finishes, such as ``"top the stout"``.
    base_ds : int
        Hands at pace 1.0.
    steps : tuple of Step
        They add up to `base_ds`.
    made : tuple of (str, int)
        Drinks made in it and when, from the block's start at pace 1.0.
    anchor_base_ds, alone_ds : int
        A tail starts no sooner than the start of block 0 + paced anchor + `alone_ds`; what runs
        alone does not know the person's pace.
    window_ds : int or None
        A tail starts no later than that anchor + `window_ds`; None for no hard limit.
    is_anyones : bool
        Any person on the floor may do it, not only the build's owner.
    """

    index: int
    title: str
    base_ds: int
    steps: tuple[Step, ...]
    made: tuple[tuple[str, int], ...]
    anchor_base_ds: int = 0
    alone_ds: int = 0
    window_ds: int | None = None
    is_anyones: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A vessel or shared equipment held for a stretch of a build.

    From the start of block `from_block` + paced `from_base_ds` until the start of block
    `to_block` + paced `to_base_ds` + `extra_ds` (a machine or a washer, which has no pace).
    """

    resource: str
    units: int
    from_block: int
    from_base_ds: int
    to_block: int
    to_base_ds: int
    extra_ds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The whole work of one build for one person's station."""

    loads: tuple[Load, ...]
    blocks: tuple[Block, ...]
    holds: tuple[Hold, ...]


BLENDER, COFFEE_GROUP, COFFEE_GRINDER = "blender", "coffee_group", "coffee_grinder"
SETTLING_PLACE, TILL, FLAME = "settling_place", "till", "flame"


def vessel_resource(home: str, vessel: Vessel) -> str:
    """Name the vessels of one kind at one station."""
    return f"{vessel.value}@{home}"


def tap_resource(ingredient: str) -> str:
    """Name a tap by what it pours."""
    return f"tap:{ingredient}"


def bottle_resource(ingredient: str) -> str:
    """Name the only open bottle of an ingredient."""
    return f"bottle:{ingredient}"


def well_resource(ice: Ice) -> str:
    """Name a shared ice well by its ice."""
    return f"well:{ice.value}"


def capacities(counter: Counter) -> dict[str, int]:
    """Give every resource of a counter and how many may be held at once.

    One flame at a time in the whole bar, whatever the counter says.
    """
    found = {
        vessel_resource(station.id, vessel): station.num_vessels(vessel)
        for station in counter.stations
        for vessel in Vessel
    }
    found |= {
        BLENDER: counter.blenders,
        COFFEE_GROUP: counter.coffee_groups,
        COFFEE_GRINDER: counter.coffee_grinders,
        SETTLING_PLACE: counter.settling_places,
        TILL: counter.tills,
        FLAME: 1,
    }
    found |= {tap_resource(tap): 1 for tap in counter.taps}
    found |= {bottle_resource(ingredient): 1 for ingredient in counter.one_bottle}
    found |= {well_resource(well.ice): well.scoops_at_once for well in counter.shared_wells}
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTimes:
    """Base times of one vessel's fill, in deciseconds; see the fields' comments."""

    start_ds: int  # hands that start what runs alone, before gathering
    measure_ds: int  # measuring and muddling into this vessel
    run_ds: int  # filling and starting the blender, once everything is measured
    prepare_ds: int  # in the tail before agitating: emptying chilled glasses, the flame itself
    agitate_ds: int  # ice in, agitate, open; for draught the pour
    pair_extra_ds: int  # what this load adds when it shares the wave before it
    glass_ds: int  # each glass: ice, strain, top, garnish
    glass_prep_ds: int  # each glass: fetched, rimmed, lined, coated
    rinse_ds: int
    alone_ds: int  # -1 where nothing runs alone and the load has no tail
    window_ds: int  # -1 where nothing spoils by waiting
    flame_at_ds: int  # where in glass_ds (or in prepare_ds, for a flamed drink) the flame begins
    flame_ds: int  # how long it burns; 0 for none

    @property
    def has_tail(self) -> bool:
        """Whether the load is finished in a block of its own."""
        return self.alone_ds >= 0


def load_times(
    standards: Standards, menu: Menu, mix: Mix, size: int, *, washes: bool, no_throw: bool = False
) -> LoadTimes:
    """Give the base times of a vessel that holds `size` drinks of a mix.

    Parameters
    ----------
    standards : Standards
    menu : Menu
    mix : Mix
    size : int
        Drinks in the vessel, 1 or more.
    washes : bool
        A clean spare is taken and the vessel goes to the washer.
    no_throw : bool
        The house does not throw burning drinks.
    """
    s = standards
    settles = _pours(menu, mix, Pouring.SETTLING_TAP)
    start_ds, alone, window_ds, prepare_ds = 0, -1, -1, 0
    flame_at_ds = flame_ds = 0
    if settles:
        start_ds, alone = s["stout_pour"], s["stout_settle"]
        window_ds = s["stout_window"]
        prepare_ds = s["stout_top"]
    if mix.has_coffee:
        start_ds, alone = start_ds + s["coffee_hands"], max(alone, s["coffee_draw"])
        prepare_ds += s["coffee_finish"]
    if mix.method is Method.BLENDED:
        alone = max(alone, s["blend_alone"])
    if mix.chill_by_ice:
        start_ds, alone = start_ds + s["chill_hands"] * size, max(alone, s["chill_alone"])
        prepare_ds += s["chill_dump"] * size
    if mix.method is Method.FLAMED:
        start_ds, alone = start_ds + s["mugs_warm_hands"], max(alone, s["mugs_warm_alone"])
        flame_at_ds = prepare_ds + s["flame_clear"] + s["flame_measure"]
        flame_ds = s["flame_light"] + (0 if no_throw else s["flame_throw"]) + s["flame_snuff"]
        prepare_ds = flame_at_ds + flame_ds + s["flame_pour"]
    glass_ds, burns_at_ds, burns_ds = _glass_ds(s, menu, mix, size)
    if mix.method is not Method.FLAMED:
        flame_at_ds, flame_ds = burns_at_ds, burns_ds
    elif burns_ds:
        flame_ds = prepare_ds - flame_at_ds + burns_at_ds + burns_ds
    agitate_ds, pair_extra_ds = _agitate_ds(s, menu, mix)
    return LoadTimes(
        start_ds=start_ds,
        measure_ds=0 if mix.method is Method.FLAMED else _measure_ds(s, menu, mix, size),
        run_ds=s["blend_start"] if mix.method is Method.BLENDED else 0,
        prepare_ds=prepare_ds,
        agitate_ds=agitate_ds,
        pair_extra_ds=pair_extra_ds,
        glass_ds=glass_ds,
        glass_prep_ds=_glass_prep_ds(s, mix),
        rinse_ds=_rinse_ds(s, mix, washes=washes),
        alone_ds=alone,
        window_ds=window_ds,
        flame_at_ds=flame_at_ds,
        flame_ds=flame_ds,
    )


def setups(snapshot: Snapshot, station: Station, mix: Mix) -> dict[str, int]:
    """Give what a mix needs once per build, however many of it are made, and its base time.

    Keys are distinct per thing, so that a build's set-up is the sum over the union of its
    mixes: each bottle reached for, the first glass of a kind, the first rim and garnish of a
    kind, washing hands after eggs.
    """
    s, menu, counter = snapshot.standards, snapshot.menu, snapshot.counter
    found: dict[str, int] = {}
    for name in mix.ingredients:
        ingredient = menu.ingredient(name)
        found[f"reach:{name}"] = _reach_ds(s, station, ingredient)
        if ingredient.pours in (Pouring.EGG_PARTED, Pouring.EGG_WHOLE):
            found["hands"] = s["egg_hands"]
    shelf = counter.by_glass[mix.glass].place is GlassPlace.BACK_SHELF
    found[f"glass:{mix.glass}"] = (
        s["glass_first"] - s["glass_more"] + (s["glass_back_shelf"] if shelf else 0)
    )
    if mix.rim:
        found[f"rim:{mix.rim}"] = s["rim_first"] - s["rim_more"]
    for garnish in mix.garnishes:
        found[f"garnish:{garnish.name}"] = s["garnish_setup"]
    return found


def trips(snapshot: Snapshot, station: Station, mix: Mix) -> tuple[Ice, ...]:
    """Give the ices of a mix that are not at this station's hand."""
    counter = snapshot.counter
    return tuple(
        ice
        for ice in dict.fromkeys((mix.ice, mix.serve_ice))
        if not station.has_ice(ice) and counter.shared_well(ice) is not None
    )


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
    return _Layout(snapshot, person_id, drinks).work()


def serving_ds(snapshot: Snapshot) -> int:
    """Give the base time of handing a bar-top round over and taking the money."""
    return snapshot.standards["serve_bar_top"]


def wash_ds(standards: Standards) -> int:
    """Give how long a vessel is away in the washer after it was loaded."""
    return standards["washer_run"]


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
            load_times(
                snapshot.standards,
                snapshot.menu,
                load.mix,
                len(load.drinks),
                washes=washes,
                no_throw=counter.flame.no_throw,
            )
            for load, washes in zip(self.loads, self.washes, strict=True)
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

    def _washes(self, load: Load) -> bool:
        alone = self.by_id[load.drinks[0]].is_alone
        return must_wash(load.mix, self.snapshot.counter.rules.wash_for, is_alone=alone)

    def _do(self, kind: StepKind, ds: int, what: str = "") -> None:
        if ds:
            self.steps.append(Step(kind=kind, ds=ds, what=what))
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
            needed |= setups(self.snapshot, station, load.mix)
        self._do(StepKind.GATHER, sum(needed.values()), f"{len(needed)} things")
        for load, times in zip(self.loads, self.times, strict=True):
            self._do(StepKind.GLASS, times.glass_prep_ds * len(load.drinks), load.mix.glass)
        measured_from = self.clock_ds
        for load, times in zip(self.loads, self.times, strict=True):
            self._do(StepKind.MEASURE, times.measure_ds, load.mix.name)
        for name in self.snapshot.counter.one_bottle:
            if f"reach:{name}" in needed:
                self._hold(bottle_resource(name), gathered_from, self.clock_ds)
        far = {ice: None for load in self.loads for ice in trips(self.snapshot, station, load.mix)}
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
            for tap in _pours(menu, load.mix, Pouring.SETTLING_TAP):
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
            taps = [_pours(self.snapshot.menu, load.mix, Pouring.TAP) for load in (one, other)]
            return taps[0] != taps[1]
        return is_one_handed(one) and is_one_handed(other)

    def _agitate(self, wave: list[int]) -> None:
        began = self.clock_ds
        ds = max(self.times[i].agitate_ds for i in wave)
        ds += sum(self.times[i].pair_extra_ds for i in wave[1:])
        method = self.loads[wave[0]].mix.method
        kind = StepKind.POUR if method is Method.DRAUGHT else StepKind.AGITATE
        names = " and ".join(self.loads[i].mix.name for i in wave)
        self._do(kind, ds, names)
        for i in wave:
            for tap in _pours(self.snapshot.menu, self.loads[i].mix, Pouring.TAP):
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
        for tap in _pours(menu, load.mix, Pouring.SETTLING_TAP):
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


def _tail_title(menu: Menu, mix: Mix) -> str:
    if _pours(menu, mix, Pouring.SETTLING_TAP):
        return f"top {mix.name}"
    if mix.method is Method.FLAMED:
        return f"light {mix.name}"
    return f"finish {mix.name}"


def _pours(menu: Menu, mix: Mix, pouring: Pouring) -> tuple[str, ...]:
    """Give the ingredients of a mix that come out this way."""
    return tuple(name for name in mix.ingredients if menu.ingredient(name).pours is pouring)


_NO_REACH = (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.MACHINE, Pouring.GUN)


def _reach_ds(s: Standards, station: Station, ingredient: Ingredient) -> int:
    if ingredient.pours in _NO_REACH:
        return 0
    if ingredient.lives is Place.SPEED_RAIL and ingredient.id in station.lacks:
        return s["reach_other_station"]
    return s[f"reach_{ingredient.lives.value}"]


def _scoop_ds(s: Standards, ice: Ice) -> int:
    match ice:
        case Ice.NONE:
            return 0
        case Ice.CRUSHED:
            return s["scoop_crushed"]
        case Ice.BLOCK:
            return s["ice_block"]
        case _:
            return s["scoop"]


def _measure_ds(s: Standards, menu: Menu, mix: Mix, size: int) -> int:
    """Seconds to measure everything that goes in before agitating, into one vessel."""
    total = 0
    for pour in mix.pours:
        if pour.at in (Stage.MEASURE, Stage.MUDDLE):
            total += _pour_ds(s, menu.ingredient(pour.ingredient), pour, size)
    return total + _muddle_ds(s, menu, mix)


def _muddle_ds(s: Standards, menu: Menu, mix: Mix) -> int:
    muddled = [menu.ingredient(pour.ingredient) for pour in mix.pours if pour.at is Stage.MUDDLE]
    if not muddled:
        return 0
    if any(ingredient.pours is Pouring.CUBE for ingredient in muddled):
        return s["muddle_cube"]
    if any(ingredient.kind is Kind.FRUIT for ingredient in muddled):
        return s["muddle_fruit"]
    return s["muddle_leaf"]


_BY_PIECE = {
    Pouring.CUBE: "cube",
    Pouring.PRESSED: "pressed",
    Pouring.EGG_PARTED: "egg_parted",
    Pouring.EGG_READY: "egg_ready",
    Pouring.EGG_WHOLE: "egg_whole",
}
_BY_GLASS = {
    Pouring.GUN: "top_gun",
    Pouring.BOTTLE: "top_bottle",
    Pouring.SPARKLING: "top_sparkling",
    Pouring.WINE: "wine_glass",
    Pouring.LEAVES: "leaves",
}
_SPOONS = ("bar spoon", "teaspoon", "tablespoon")


def _pour_ds(s: Standards, ingredient: Ingredient, pour: Pour, size: int) -> int:
    """Seconds to pour one ingredient for `size` drinks into one vessel."""
    amount = pour.measured
    pieces = max(1, round(amount.quantity)) * size
    if ingredient.pours in (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.MACHINE):
        return 0
    if ingredient.pours in _BY_PIECE:
        return s[_BY_PIECE[ingredient.pours]] * pieces
    if ingredient.pours is Pouring.BOTTLE and ingredient.kind in (Kind.BEER, Kind.WINE):
        return s["bottle_open"] * size
    if ingredient.pours in _BY_GLASS:
        return s[_BY_GLASS[ingredient.pours]] * size
    if amount.unit == "dash":
        return s["dash"] * pieces
    if amount.unit in _SPOONS or ingredient.pours is Pouring.SPOONED:
        return s["bar_spoon"] * pieces
    if amount.is_top:
        return s["top_bottle"] * size
    return _jigger_ds(s, ingredient.pours, amount.ml * size)


def _jigger_ds(s: Standards, pours: Pouring, total_ml: float) -> int:
    """Seconds of jigger loads: full ones of 60 ml, and a small or a large one for the rest."""
    if pours is Pouring.FREE:
        return round(s["free_pour"] * total_ml / 50)
    full, rest_ml = divmod(round(total_ml, 1), 60)
    loads = int(full) + (rest_ml > 0)
    if pours is Pouring.THICK:
        return s["measure_thick"] * loads
    ds = s["measure_large"] * int(full)
    if rest_ml > 0:
        ds += s["measure_small"] if rest_ml <= 30 else s["measure_large"]
    return ds + (s["measure_capped"] * loads if pours is Pouring.CAPPED else 0)


_STIR = {Ice.CRUSHED: "stir_crushed", Ice.CRACKED: "stir_cracked"}


def _agitate_ds(s: Standards, menu: Menu, mix: Mix) -> tuple[int, int]:
    """Seconds to ice and agitate one vessel, and what it adds as the second of a wave."""
    ice = _scoop_ds(s, mix.ice)
    lids = s["close_tin"] + s["open_tin"]
    match mix.method:
        case Method.SHAKEN:
            return ice + lids + s["shake"], ice + lids
        case Method.SHAKEN_LONG:
            return ice + lids + s["shake_long"], ice + lids
        case Method.DRY_SHAKEN:
            dry = s["dry_shake"] + s["dry_open_ice"]
            return dry + lids + s["shake_long"], lids
        case Method.THROWN:
            return ice + s["throw"], ice
        case Method.STIRRED:
            return ice + s[_STIR.get(mix.ice, "stir_cubed")], ice
        case Method.DRAUGHT:
            return _draught_ds(s, menu, mix)
        case _:
            return 0, 0


LARGE_DRAUGHT_ML = 400.0


def _draught_ds(s: Standards, menu: Menu, mix: Mix) -> tuple[int, int]:
    taps = [p for p in mix.pours if menu.ingredient(p.ingredient).pours is Pouring.TAP]
    if not taps:
        return 0, 0
    large = sum(pour.measured.ml for pour in taps) >= LARGE_DRAUGHT_ML
    ds = s["draught_pint"] if large else s["draught_half"]
    return ds, min(ds, s["draught_second_tap"])


def _glass_prep_ds(s: Standards, mix: Mix) -> int:
    ds = s["glass_more"]
    if mix.chilled and not mix.chill_by_ice:
        ds += s["glass_freezer"]
    if mix.warmed:
        ds += s["chill_hands"]
    if mix.lined:
        ds += s["lining"]
    if mix.rim:
        ds += s["rim_more"]
    return ds + s["coat"] * sum(pour.at is Stage.COAT for pour in mix.pours)


_STRAIN = {Strain.SINGLE: "strain", Strain.DOUBLE: "strain_double", Strain.FOAM: "strain_foam"}


def _glass_ds(s: Standards, menu: Menu, mix: Mix, size: int) -> tuple[int, int, int]:
    """Seconds to finish one glass, and when in it a flamed garnish burns and for how long."""
    ds = _scoop_ds(s, mix.serve_ice)
    if mix.method is Method.BLENDED:
        ds += s["blend_pour"]
    elif mix.method is Method.SWIZZLED:
        ds += s["swizzle"]
    elif mix.method is not Method.FLAMED and mix.method in VESSEL_OF:
        ds += s[_STRAIN[mix.strain]] + (s["split_tin"] if size > 1 else 0)
    for pour in mix.pours:
        if pour.at is Stage.FLOAT:
            ds += s["float"]
        elif pour.at is Stage.TOP:
            ds += _pour_ds(s, menu.ingredient(pour.ingredient), pour, 1)
    burns_at_ds = burns_ds = 0
    for garnish in sorted(mix.garnishes, key=lambda g: g.work is GarnishWork.FLAMED):
        one = s[f"garnish_{garnish.work.value}"]
        if garnish.work is GarnishWork.FLAMED:
            burns_at_ds, burns_ds = (ds if not burns_ds else burns_at_ds), burns_ds + one
        ds += one
    return ds, burns_at_ds, burns_ds


def _rinse_ds(s: Standards, mix: Mix, *, washes: bool) -> int:
    if mix.method not in VESSEL_OF:
        return s["clean_spare"] + s["washer_load"] if washes else 0
    if mix.method is Method.BLENDED:
        return s["rinse_jar"] + (s["clean_spare"] if washes else 0)
    return s["clean_spare"] + s["washer_load"] if washes else s["rinse"]
