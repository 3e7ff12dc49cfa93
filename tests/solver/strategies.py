"""Snapshots for hypothesis: menus, counters and rounds of every kind, often short of things.

`snapshots` draws a bar at a moment: people of several paces, some not back yet or not trained;
stations with few vessels, some shared; equipment that is not there; bottles and glasses that are
short; rounds with made drinks, allergies, notes, old enough to go first; builds in hand with and
without tails to come; what was pinned. Everything drawn is a snapshot the solver has to take.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy, composite

from solver.builds import build_id, loads_of, why_not_here, why_not_together
from solver.counter import Counter, Flame, HouseRules, Person, PutFirst, Station, Vessel, Well
from solver.menu import (
    Garnish,
    GarnishWork,
    Ice,
    Menu,
    Method,
    Pour,
    Pouring,
    Recipe,
    Stage,
    Strain,
)
from solver.planner import in_time, with_fair_bound
from solver.snapshot import (
    Away,
    BlockRun,
    GlassesBack,
    InHand,
    InWasher,
    Pinned,
    Presence,
    RailDrink,
    Shortage,
    Snapshot,
    rail_of,
)
from solver.tickets import Channel, Drink, Line, Ticket
from solver.units import paced_ds, to_s
from solver.work import work_of
from tests.solver.makers import GLASSES, menu, standards

T = TypeVar("T")

PACES = (0.85, 1.0, 1.0, 1.15, 1.4)
NAMES = ("ana", "ben", "cleo")
STATIONS = ("one", "two", "three")


@composite
def recipes(draw: DrawFn, name: str) -> Recipe:
    """A recipe nobody would order, of any method, ice, glass and garnish."""
    known = menu()
    method = draw(st.sampled_from(Method))
    poured = [i for i in known.ingredients if _may_pour(method, i.pours)]
    count = draw(st.integers(1, 3))
    chosen = draw(st.lists(st.sampled_from(poured), min_size=count, max_size=count, unique=True))
    if any(ingredient.pours is Pouring.SETTLING_TAP for ingredient in chosen):
        chosen = [i for i in chosen if i.pours is Pouring.SETTLING_TAP]
    pours = tuple(draw(_pours(ingredient.id, ingredient.pours)) for ingredient in chosen)
    is_flamed = method is Method.FLAMED
    garnishes = draw(st.lists(st.sampled_from(GarnishWork), max_size=2, unique=True))
    return Recipe(
        id=name,
        name=name,
        method=method,
        pours=pours,
        glass="mug" if is_flamed else draw(st.sampled_from(["coupe", "highball", "chilled coupe"])),
        ice=draw(st.sampled_from(Ice)),
        serve_ice=draw(st.sampled_from([Ice.NONE, Ice.CUBED, Ice.CRUSHED, Ice.BLOCK])),
        chilled=draw(st.booleans()),
        warmed=draw(st.booleans()),
        lined=draw(st.booleans()),
        rim=draw(st.sampled_from(["", "", "salt", "sugar"])),
        garnishes=tuple(Garnish(name=work.value, work=work) for work in garnishes),
        strain=draw(st.sampled_from(Strain)),
        hold_limit_s=draw(st.sampled_from([30, 90, 210])),
    )


def _mostly(usual: T, *others: T) -> SearchStrategy[T]:
    """The usual value in most draws, one of the others in the rest."""
    return st.sampled_from((*(usual,) * 7, *others))


def _may_pour(method: Method, pours: Pouring) -> bool:
    """Taps and the coffee machine pour into the glass, not into a tin."""
    if pours in (Pouring.TAP, Pouring.SETTLING_TAP):
        return method is Method.DRAUGHT
    if pours is Pouring.MACHINE:
        return method in (Method.COFFEE, Method.SHAKEN, Method.BUILT)
    return True


def _pours(ingredient: str, pours: Pouring) -> SearchStrategy[Pour]:
    amounts = {
        Pouring.TAP: ["250 ml", "500 ml"],
        Pouring.SETTLING_TAP: ["500 ml"],
        Pouring.EGG_READY: ["1 piece"],
        Pouring.EGG_WHOLE: ["1 piece"],
        Pouring.CUBE: ["1 piece"],
        Pouring.LEAVES: ["8 leaf"],
        Pouring.GUN: ["top"],
    }.get(pours, ["10 ml", "25 ml", "50 ml", "65 ml", "2 dash", "1 bar spoon"])
    stages = [Stage.TOP] if pours is Pouring.GUN else list(Stage)
    if pours in (Pouring.TAP, Pouring.SETTLING_TAP, Pouring.MACHINE):
        stages = [Stage.MEASURE]
    return st.builds(
        Pour,
        ingredient=st.just(ingredient),
        amount=st.sampled_from(amounts),
        at=st.sampled_from(stages),
    )


@composite
def menus(draw: DrawFn) -> Menu:
    """The tests' menu with some recipes of chance."""
    more = [draw(recipes(f"odd {n}")) for n in range(draw(st.integers(0, 3)))]
    known = menu()
    return replace(known, recipes=(*known.recipes, *more))


@composite
def counters(draw: DrawFn) -> Counter:
    """One to three people at one to three stations, with much or little to work with."""
    num_people = draw(st.integers(1, 3))
    num_stations = draw(st.integers(1, num_people))
    stations = tuple(
        Station(
            id=STATIONS[n],
            at_pass=draw(st.booleans()),
            tin_sets=draw(_mostly(4, 2, 1, 0)),
            mixing_glasses=draw(_mostly(2, 1, 0)),
            jars=draw(_mostly(1, 0)),
            mugs=draw(_mostly(1, 0)),
            kits=draw(_mostly(3, 1)),
            shared_with=draw(st.sampled_from(["", STATIONS[0]])) if n else "",
            mat=draw(_mostly(8, 4, 2)),
            wells=tuple(
                Well(ice=ice) for ice in Ice if ice is not Ice.NONE and draw(_mostly(True, False))
            ),
            lacks=tuple(draw(st.lists(st.sampled_from(["gin", "lemon"]), max_size=2, unique=True))),
            clear_place=draw(_mostly(True, False)),
        )
        for n in range(num_stations)
    )
    people = tuple(
        Person(
            id=NAMES[n],
            station=STATIONS[draw(st.integers(0, num_stations - 1))],
            pace=draw(st.sampled_from(PACES)),
            trained_for_flame=draw(_mostly(True, False)),
            not_trained_on=draw(_mostly((), (Method.STIRRED,), (Method.COFFEE,))),
        )
        for n in range(num_people)
    )
    return Counter(
        stations=stations,
        people=people,
        glasses=tuple(
            replace(
                glass,
                clean=draw(_mostly(48, 2, 0)),
                chilled=draw(st.sampled_from([0, 0, 1, 3])),
            )
            for glass in GLASSES
        ),
        blenders=draw(_mostly(1, 0)),
        coffee_groups=draw(_mostly(1, 2, 0)),
        coffee_grinders=draw(_mostly(1, 0)),
        settling_places=draw(_mostly(2, 1, 0)),
        tills=draw(st.integers(0, 2)),
        taps=draw(_mostly(("lager", "ale", "stout"), ("lager", "stout"), ())),
        shared_wells=draw(
            st.sampled_from(
                [
                    (),
                    (Well(ice=Ice.CRUSHED), Well(ice=Ice.CUBED)),
                    (Well(ice=Ice.CUBED, scoops_at_once=2), Well(ice=Ice.BLOCK)),
                ]
            )
        ),
        one_bottle=draw(st.sampled_from([(), (), ("gin",), ("lemon", "rye")])),
        flame=Flame(allowed=draw(_mostly(True, False)), no_throw=draw(st.booleans())),
        rules=draw(house_rules()),
    )


@composite
def house_rules(draw: DrawFn) -> HouseRules:
    """Limits of head and hands, prices, and what the manager puts first."""
    most = draw(st.integers(1, 6))
    return HouseRules(
        drinks_per_build=draw(st.integers(1, most)) if most < 4 else 4,
        mixes_per_build=1 if most < 4 else draw(st.integers(1, 3)),
        bottles_per_build=draw(st.sampled_from([8, 4, 12])),
        same_mix_per_build=most,
        put_first=draw(st.sampled_from(PutFirst)),
        sit_price=draw(st.sampled_from([2, 0, 5])),
        fair_slack_pct=draw(st.sampled_from([10, 0, 30])),
        steady_margin_pct=draw(st.sampled_from([5, 0])),
        wash_for=draw(st.sampled_from([("egg", "milk"), ()])),
        pass_room=draw(_mostly(0, 1, 2)),
        pass_price=draw(st.sampled_from([20, 300])),
    )


@composite
def tickets(draw: DrawFn, number: int, known: Menu) -> Ticket:
    """A round of one to four drinks; some made already, some with an allergy or a note."""
    names = [recipe.id for recipe in known.recipes]
    lines = []
    for _ in range(draw(st.integers(1, 3))):
        if draw(st.integers(0, 4)) == 0:
            lines.append(Line(spirit=draw(st.sampled_from(["gin", "rum"])), mixer="tonic"))
            continue
        plain = Line(recipe=draw(st.sampled_from(names)))
        apart = (replace(plain, allergies=("milk",)), replace(plain, note="?"))
        lines.append(draw(_mostly(plain, *apart)))
    placed_s = -draw(st.integers(0, 6000)) / 10
    drinks = []
    for n in range(draw(st.integers(1, 4))):
        made = draw(st.integers(0, 5)) == 0
        made_s = -draw(st.integers(0, int(-placed_s * 10))) / 10 if made else None
        drinks.append(
            Drink(id=f"t{number}-{n}", line=draw(st.integers(0, len(lines) - 1)), made_s=made_s)
        )
    return Ticket(
        id=f"t{number}",
        number=str(number),
        channel=draw(st.sampled_from(Channel)),
        placed_s=placed_s,
        promise_s=draw(st.sampled_from([60, 180, 360, 600])),
        weight=draw(st.sampled_from([1, 1, 1, 3])),
        overtaken=draw(st.sampled_from([0, 0, 0, 3])),
        is_on_hold=draw(_mostly(False, False, False, True)),
        lines=tuple(lines),
        drinks=tuple(drinks),
    )


@composite
def presences(draw: DrawFn, person: str) -> Presence:
    """Somebody on the floor; now and then with a break, the end of a shift, or tired arms."""
    begins = draw(st.sampled_from([-20.0, 30.0, 100.5]))
    return Presence(
        person=person,
        from_s=draw(st.sampled_from([0.0, 0.0, 0.0, 30.0])),
        away=draw(
            _mostly(
                (),
                (Away(from_s=begins, until_s=begins + 60.0),),
                (Away(from_s=begins),),
                (Away(from_s=begins, until_s=begins + 40.0), Away(from_s=begins + 200.0)),
            )
        ),
        shake_from_s=draw(_mostly(0.0, 25.0)),
    )


@composite
def snapshots(draw: DrawFn, *, least_tickets: int = 2, most_tickets: int = 4) -> Snapshot:
    """A bar at a moment."""
    at, known = draw(counters()), draw(menus())
    rounds = [
        draw(tickets(n, known)) for n in range(draw(st.integers(least_tickets, most_tickets)))
    ]
    on = [draw(presences(who.id)) for who in at.people]
    if len(on) > 1 and draw(st.integers(0, 4)) == 0:
        on.pop()
    snap = Snapshot(
        bar="odd",
        menu=known,
        standards=standards(),
        counter=at,
        people_on=tuple(on),
        tickets=tuple(rounds),
        short=tuple(draw(st.lists(_shortages(), max_size=1))),
        in_washer=tuple(
            InWasher(
                station=station.id,
                vessel=draw(st.sampled_from([Vessel.TIN_SET, Vessel.KIT])),
                back_s=draw(st.sampled_from([20.0, 90.5])),
            )
            for station in at.stations
            if draw(st.integers(0, 4)) == 0
        ),
        glasses_back=draw(
            st.sampled_from([(), (GlassesBack(glass="coupe", count=3, back_s=60.0),)])
        ),
    )
    snap = draw(_with_builds_in_hand(snap))
    snap = draw(_with_pins(snap))
    if draw(st.integers(0, 4)) == 0:
        snap = in_time(replace(snap, hard_stop_s=draw(st.sampled_from([0.0, 60.0, 150.0, 400.0]))))
    return with_fair_bound(snap) if draw(st.booleans()) else snap


def _shortages() -> SearchStrategy[Shortage]:
    state: list[dict[str, Any]] = [{"left": 0}, {"left": 1}, {"back_s": 40.0}]
    return st.builds(
        lambda name, how: Shortage(ingredient=name, **how),
        st.sampled_from(["gin", "lemon", "lager", "whisky", "mint"]),
        st.sampled_from(state),
    )


def may_share(snap: Snapshot, who: str, drinks: list[RailDrink]) -> bool:
    """Whether this person may make these drinks in one build."""
    at = snap.counter
    mixes = [drink.mix for drink in drinks]
    bottles = len({name for mix in mixes for name in mix.ingredients})
    station = at.by_station[at.by_person[who].station]
    loads = loads_of([drink.id for drink in drinks], mixes)
    return (
        all(who in drink.people and not drink.release_ds for drink in drinks)
        and not why_not_together(at.rules, mixes, [d.is_alone for d in drinks], bottles)
        and not why_not_here(at, station, loads)
    )


@composite
def _together(draw: DrawFn, snap: Snapshot, who: str, free: list[RailDrink]) -> list[RailDrink]:
    """Some of these drinks that this person may make together, in finishing order; may be none."""
    chosen: list[RailDrink] = []
    for drink in draw(st.permutations(free))[:3]:
        grouped = sorted(
            [*chosen, drink],
            key=lambda d: (
                [e.mix for e in chosen].index(d.mix)
                if d.mix in [e.mix for e in chosen]
                else len(chosen)
            ),
        )
        if may_share(snap, who, grouped):
            chosen = grouped
    return chosen


@composite
def _with_builds_in_hand(draw: DrawFn, snap: Snapshot) -> Snapshot:
    """Put builds into some hands, their main block running or done, tails to come or not."""
    found: list[InHand] = []
    taken: set[str] = set()
    for who in snap.counter.by_person:
        if draw(st.integers(0, 2)):
            continue
        # Somebody who has just left the floor may have left a build behind.
        everybody = replace(snap, people_on=tuple(map(_present, snap.counter.by_person)))
        free = [d for d in rail_of(everybody).drinks if d.id not in taken]
        drinks = draw(_together(snap, who, free)) if free else []
        if not drinks:
            continue
        taken.update(drink.id for drink in drinks)
        found.append(draw(_begun(snap, who, drinks)))
    return replace(snap, in_hand=tuple(found))


def _present(who: str) -> Presence:
    return Presence(person=who)


@composite
def _begun(draw: DrawFn, snap: Snapshot, who: str, drinks: list[RailDrink]) -> InHand:
    work = work_of(snap, who, drinks)
    main_ds = paced_ds(work.blocks[0].base_ds, snap.counter.by_person[who].pace_pct)
    is_done = len(work.blocks) > 1 and draw(st.booleans())
    since_ds = draw(st.integers(0, 2 * main_ds)) + (main_ds if is_done else 0)
    runs = [BlockRun(index=0, person=who, start_s=to_s(-since_ds), is_done=is_done)]
    if is_done and len(work.blocks) > 2 and draw(st.booleans()):
        runs.append(BlockRun(index=1, person=who, start_s=to_s(-draw(st.integers(0, 50)))))
    ids = tuple(drink.id for drink in drinks)
    return InHand(build=build_id(ids), person=who, drinks=ids, blocks=tuple(runs))


@composite
def _with_pins(draw: DrawFn, snap: Snapshot) -> Snapshot:
    """Pin what some people see as next, possible or (rarely) not."""
    pins: list[Pinned] = []
    taken: set[str] = set()
    for who in (present.person for present in snap.people_on):
        if draw(st.integers(0, 2)):
            continue
        free = [d for d in rail_of(snap).drinks if d.id not in taken]
        drinks = draw(_together(snap, who, free)) if free else []
        if drinks:
            taken.update(drink.id for drink in drinks)
            pins.append(Pinned(person=who, drinks=tuple(drink.id for drink in drinks)))
    return replace(snap, pinned=tuple(pins))
