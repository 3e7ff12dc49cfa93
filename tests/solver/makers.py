"""Small snapshots and plans made by hand, a few lines each.

The menu has one recipe for every way of making a drink and is named after it. A drink's id is its
ticket's id and its place in it, from 1: ``ticket("a", "sour", "tall")`` holds ``a1`` and ``a2``.
Nothing here plans: `by_hand` writes down starts that a test chose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import isfinite
from pathlib import Path
from typing import Any

import yaml

from solver.builds import build_id
from solver.counter import Counter, Flame, Glass, GlassPlace, HouseRules, Person, Station, Well
from solver.goal import cost_of, hands_price, rounds_of, work_ds_of
from solver.menu import Ice, Ingredient, Menu, Method, Pour, Recipe, Stage
from solver.plan import Plan, PlannedBlock, PlannedBuild, Serving
from solver.snapshot import BlockRun, InHand, Presence, RailDrink, Snapshot, rail_of
from solver.standards import ROWS, Standard, Standards
from solver.tickets import Channel, Drink, Line, Ticket
from solver.units import paced_ds, to_ds, to_s
from solver.verify import verify
from solver.work import Work, serving_ds, work_of
from tests.solver.tiny_menu import tiny_menu

STANDARDS_FILE = Path(__file__).resolve().parents[2] / "sample_tickets" / "standards.yaml"
A_DAY_S = 24 * 3600


@cache
def _house_rows() -> dict[str, float]:
    rows = yaml.safe_load(STANDARDS_FILE.read_text(encoding="utf-8"))["standards"]
    return {name: float(row["seconds"]) for name, row in rows.items()}


def standards(**seconds: float) -> Standards:
    """The packaged table, with other seconds for the rows that are named."""
    rows = _house_rows() | seconds
    return Standards(rows={n: Standard(seconds=s, source="test") for n, s in rows.items()})


def only(**seconds: float) -> Standards:
    """A table in which nothing takes any time but the rows that are named."""
    return standards(**(dict.fromkeys(ROWS, 0.0) | seconds))


def menu(**changes: Any) -> Menu:
    """One recipe for every way of making a drink."""
    return replace(tiny_menu(), **changes)


def station(station_id: str = "one", **changes: Any) -> Station:
    """A station of everything: vessels, cubed and crushed ice, at the pass, a clear place."""
    wells = (Well(ice=Ice.CUBED), Well(ice=Ice.CRUSHED), Well(ice=Ice.BLOCK))
    usual: dict[str, Any] = {"jars": 1, "mugs": 1, "wells": wells, "clear_place": True}
    return Station(id=station_id, **(usual | changes))


def person(person_id: str = "ana", at: str = "one", **changes: Any) -> Person:
    """A bartender of pace 1.0 who is trained for flame."""
    return Person(id=person_id, station=at, **({"trained_for_flame": True} | changes))


def glass(glass_id: str, volume_ml: float, **changes: Any) -> Glass:
    return Glass(id=glass_id, name=glass_id, volume_ml=volume_ml, **changes)


GLASSES = (
    glass("coupe", 180),
    glass("chilled coupe", 180, place=GlassPlace.FREEZER, chilled=2),
    glass("rocks", 300),
    glass("highball", 350),
    glass("pint", 600),
    glass("mug", 250),
)


def counter(num_people: int = 1, **changes: Any) -> Counter:
    """One to three bartenders (ana, ben, cleo), each at a station of their own.

    There is no till: a test that wants rounds served over the bar says ``tills=1``.
    """
    names = (("ana", "one"), ("ben", "two"), ("cleo", "three"))[:num_people]
    usual: dict[str, Any] = {
        "stations": tuple(station(at) for _, at in names),
        "people": tuple(person(who, at) for who, at in names),
        "glasses": GLASSES,
        "blenders": 1,
        "coffee_groups": 1,
        "coffee_grinders": 1,
        "settling_places": 2,
        "tills": 0,
        "taps": ("lager", "ale", "stout"),
        "flame": Flame(allowed=True),
    }
    return Counter(**(usual | changes))


def line(recipe: str, **changes: Any) -> Line:
    return Line(recipe=recipe, **changes)


def ticket(ticket_id: str, *wanted: str | Line, **changes: Any) -> Ticket:
    """A round for the floor, placed now and promised in ten minutes, one drink for each wanted."""
    lines = tuple(line(want) if isinstance(want, str) else want for want in wanted)
    drinks = tuple(Drink(id=f"{ticket_id}{n + 1}", line=n) for n in range(len(lines)))
    usual: dict[str, Any] = {
        "number": ticket_id,
        "channel": Channel.FLOOR,
        "placed_s": 0.0,
        "promise_s": 600,
        "lines": lines,
        "drinks": drinks,
    }
    return Ticket(id=ticket_id, **(usual | changes))


def snapshot(*tickets: Ticket, **changes: Any) -> Snapshot:
    """The tiny bar with these tickets, everybody of its counter on the floor."""
    at: Counter = changes.pop("counter", None) or counter()
    usual: dict[str, Any] = {
        "bar": "test",
        "menu": tiny_menu(),
        "standards": standards(),
        "counter": at,
        "people_on": tuple(Presence(person=who.id) for who in at.people),
        "tickets": tickets,
    }
    return Snapshot(**(usual | changes))


def on_rail(snap: Snapshot, *ids: str) -> list[RailDrink]:
    """Drinks of the snapshot as planners see them, waiting or in hand, in this order."""
    rail = rail_of(snap)
    known = {drink.id: drink for drink in rail.drinks} | rail.in_hand
    return [known[drink_id] for drink_id in ids]


def drinks_of(snap: Snapshot) -> list[str]:
    """Ids of every drink of the snapshot, oldest round first."""
    return [drink.id for one in snap.tickets for drink in one.drinks]


def work_by_ana(*wanted: str | Line, **changes: Any) -> Work:
    """The work of ana when she makes these together."""
    snap = snapshot(ticket("a", *wanted), **changes)
    return work_of(snap, "ana", on_rail(snap, *drinks_of(snap)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """A build as a test wants it: who, which drinks, when; its tails at their earliest."""

    person: str
    drinks: tuple[str, ...]
    start_s: float
    tails_s: tuple[float, ...] = ()
    is_in_hand: bool = False
    is_pinned: bool = False


def hand(who: str, drinks: str, start_s: float = 0.0, **more: Any) -> Hand:
    """``hand("ana", "a1 a2", 12.0)``: ana makes both from 12 s on."""
    return Hand(person=who, drinks=tuple(drinks.split()), start_s=start_s, **more)


def by_hand(snap: Snapshot, *hands: Hand, servings: Sequence[Serving] = (), **changes: Any) -> Plan:
    """Write down a plan with these starts, durations from the work content, and its cost."""
    rail = rail_of(snap)
    builds = tuple(_written(snap, one) for one in hands)
    plan = Plan(
        planner="by hand",
        builds=builds,
        cost=0,
        servings=tuple(servings),
        set_aside=rail.set_aside,
    )
    return recosted(snap, plan, **changes)


def recosted(snap: Snapshot, plan: Plan, **changes: Any) -> Plan:
    """The plan with these fields changed, and the cost that belongs to it unless it is given."""
    plan = replace(plan, **changes)
    if "cost" in changes:
        return plan
    made = {d: to_ds(at) for b in plan.builds for d, at in zip(b.drinks, b.made_s, strict=True)}
    rail = rail_of(snap)
    if not {*rail.in_hand, *(drink.id for drink in rail.drinks)} <= made.keys():
        return plan  # a drink is missing: there is no right cost
    if not all(isfinite(at) for b in plan.builds for k in b.blocks for at in (k.start_s, k.end_s)):
        return plan
    rounds = rounds_of(snap, rail, made)
    hands_cost = hands_price(snap, len(rounds)) * work_ds_of(plan)
    return replace(plan, cost=cost_of(snap.counter.rules, rounds, hands_cost))


def _written(snap: Snapshot, one: Hand) -> PlannedBuild:
    pace = snap.counter.by_person[one.person].pace_pct
    work = work_of(snap, one.person, on_rail(snap, *one.drinks))
    blocks: list[PlannedBlock] = []
    made: dict[str, float] = {}
    for block in work.blocks:
        start_ds = to_ds(one.start_s)
        if block.index and block.index <= len(one.tails_s):
            start_ds = to_ds(one.tails_s[block.index - 1])
        elif block.index:
            start_ds += paced_ds(block.anchor_base_ds, pace) + block.alone_ds
            start_ds = max(start_ds, to_ds(blocks[-1].end_s))
        end_ds = start_ds + paced_ds(block.base_ds, pace)
        blocks.append(
            PlannedBlock(
                index=block.index, person=one.person, start_s=to_s(start_ds), end_s=to_s(end_ds)
            )
        )
        made |= {drink: to_s(start_ds + paced_ds(at, pace)) for drink, at in block.made}
    return PlannedBuild(
        id=build_id(one.drinks),
        person=one.person,
        drinks=one.drinks,
        made_s=tuple(made[drink] for drink in one.drinks),
        blocks=tuple(blocks),
        is_in_hand=one.is_in_hand,
        is_pinned=one.is_pinned,
    )


def with_build(snap: Snapshot, plan: Plan, at: int, **changes: Any) -> Plan:
    """The plan with fields of its build number `at` changed, and the cost that belongs to it."""
    builds = [*plan.builds]
    builds[at] = replace(builds[at], **changes)
    return recosted(snap, plan, builds=tuple(builds))


def with_block(snap: Snapshot, plan: Plan, at: int, block: int, **changes: Any) -> Plan:
    """The plan with fields of one block of one build changed."""
    blocks = [*plan.builds[at].blocks]
    blocks[block] = replace(blocks[block], **changes)
    return with_build(snap, plan, at, blocks=tuple(blocks))


def rules_broken(snap: Snapshot, plan: Plan) -> set[str]:
    """Names of the rules a plan breaks, according to the checker."""
    return {broken.rule for broken in verify(snap, plan)}


def begun(drinks: str, start_s: float, who: str = "ana") -> InHand:
    """``begun("a1 a2", -5)``: ana has had both in hand for 5 s."""
    ids = tuple(drinks.split())
    run = BlockRun(index=0, person=who, start_s=start_s)
    return InHand(build=build_id(ids), person=who, drinks=ids, blocks=(run,))


def with_begun(snap: Snapshot, plan: Plan, made_s: tuple[float, ...], end_s: float) -> Plan:
    """The plan with the snapshot's one build in hand before its own builds."""
    one = snap.in_hand[0]
    run = one.blocks[0]
    block = PlannedBlock(index=0, person=run.person, start_s=run.start_s, end_s=end_s)
    build = PlannedBuild(
        id=one.build,
        person=one.person,
        drinks=one.drinks,
        made_s=made_s,
        blocks=(block,),
        is_in_hand=True,
    )
    return recosted(snap, plan, builds=(build, *plan.builds))


def serving(snap: Snapshot, ticket_id: str, who: str, start_s: float) -> Serving:
    """A round handed over from `start_s` on, as long as this person takes."""
    lasts_ds = paced_ds(serving_ds(snap), snap.counter.by_person[who].pace_pct)
    end_s = to_s(to_ds(start_s) + lasts_ds)
    return Serving(ticket=ticket_id, person=who, start_s=start_s, end_s=end_s)


def reduction_snapshot(
    seconds: Sequence[float],
    *,
    weights: Sequence[int] = (),
    num_people: int = 1,
    setup_s: float = 0.0,
    per_build: int = 1,
    **rules: Any,
) -> Snapshot:
    """A snapshot that is a known scheduling problem: one drink a ticket, each so many seconds.

    Drink ``j11`` of ticket ``j1`` takes ``seconds[0]`` of hands, by anyone, with nothing to hold
    but the hands. Lateness, sitting, serving, fairness and who comes next are switched off, so the
    goal is Σ weight × made time (``put_first=PutFirst.CLEAR`` makes it the end of everything).

    Parameters
    ----------
    seconds : sequence of float
        Multiples of 0.1, up to 400.
    weights : sequence of int
        Aligned with `seconds`; all 1 when empty.
    num_people : int
        1 to 3 bartenders of pace 1.0.
    setup_s : float
        Taken once by every build, before anything else.
    per_build : int
        1 to 8 drinks that may share a build, each made when its own seconds end.
    """
    recipes = tuple(
        Recipe(
            id=f"{to_ds(duration)}",
            name=f"{duration:g} s",
            method=Method.BUILT,
            pours=(Pour(ingredient="time", amount=f"{to_ds(duration)} dash", at=Stage.TOP),),
            glass="glass",
            hold_limit_s=7200,
        )
        for duration in dict.fromkeys(seconds)
    )
    tickets = tuple(
        ticket(f"j{n + 1}", f"{to_ds(duration)}", weight=weight, promise_s=A_DAY_S)
        for n, (duration, weight) in enumerate(
            zip(seconds, weights or [1] * len(seconds), strict=True)
        )
    )
    limits: dict[str, Any] = {
        "next_line_pct": 0,
        "drinks_per_build": per_build,
        "same_mix_per_build": per_build,
        "mixes_per_build": per_build,
    }
    return snapshot(
        *tickets,
        menu=Menu(ingredients=(Ingredient(id="time", name="Time"),), recipes=recipes),
        standards=only(dash=0.1, read_build=setup_s),
        counter=counter(
            num_people, glasses=(glass("glass", 300),), rules=HouseRules(**(limits | rules))
        ),
    )


def total_hands_ds(work: Work) -> int:
    """All hands of a build at pace 1.0, tails included."""
    return sum(block.base_ds for block in work.blocks)
