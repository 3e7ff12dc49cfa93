"""Cards of the build order: one drink, one build, one stretch, as a screen shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from service.api.models import BuildCard, DrinkCard, QueueCard, Stretch
from service.night.records import BuildRecord, DrinkRecord, DrinkState, StretchRecord, TicketRecord
from service.night.state import BarState
from service.taps.said import names_of
from service.taps.working import ice_in_ds
from solver.grid import pour_grid
from solver.grid.words import caution_words, change_words, garnish_words
from solver.menu import Ice
from solver.plan import PlannedBlock, PlannedBuild
from solver.snapshot import Rail, RailDrink, Snapshot
from solver.units import paced_ds, to_s
from solver.work import Block, work_of

from .spoken import spoken

ICE_WORDS: dict[Ice, str] = {Ice.NONE: "", Ice.BLOCK: "one block"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """What every card of one order is drawn from."""

    state: BarState
    snapshot: Snapshot
    rail: Rail
    moment: datetime

    def at(self, seconds: float) -> datetime:
        """Give a time of the plan as a time of day."""
        return self.moment + timedelta(seconds=seconds)

    def paced(self, person: str, base_ds: int) -> timedelta:
        """Give base work at a person's pace."""
        pace_pct = self.snapshot.counter.by_person[person].pace_pct
        return timedelta(seconds=to_s(paced_ds(base_ds, pace_pct)))

    def rail_drinks(self, build: PlannedBuild) -> list[RailDrink]:
        """Give the drinks of a planned or begun build, in finishing order."""
        waiting = {drink.id: drink for drink in self.rail.drinks}
        known = self.rail.in_hand if build.is_in_hand else waiting
        return [known[name] for name in build.drinks]

    def tickets_of(self, drinks: Sequence[str]) -> list[TicketRecord]:
        """Give the tickets some drinks belong to, oldest first, each once."""
        names = {self.state.drinks[name].ticket for name in drinks}
        found = [self.state.tickets[name] for name in names]
        return sorted(found, key=lambda ticket: (ticket.placed_at, ticket.id))


def build_card(table: Table, build: PlannedBuild) -> BuildCard:
    """Draw a build, in hand or planned."""
    drinks = table.rail_drinks(build)
    work = work_of(table.snapshot, build.person, drinks)
    record = table.state.builds.get(build.id) if build.is_in_hand else None
    cards = tuple(drink_card(table, drink) for drink in drinks)
    began = record.stretches[0].started_at if record else None
    put_back_until = None
    if record is not None and began is not None and all(d.state == "in_hand" for d in cards):
        put_back_until = began + table.paced(build.person, ice_in_ds(work))
    return BuildCard(
        id=build.id,
        state="in_hand" if build.is_in_hand else "planned",
        bartender=build.person,
        title=_title(table, build),
        rounds=_rounds(table, build),
        places=_places(table, build),
        drinks=cards,
        grid=pour_grid(table.snapshot.menu, table.snapshot.counter, drinks),
        stretches=tuple(
            _stretch(table, build, block, planned, record)
            for block, planned in zip(work.blocks, build.blocks, strict=False)
        ),
        cautions=tuple(dict.fromkeys(words for card in cards for words in card.cautions)),
        is_at_hand=record is not None and record.at_hand is not None,
        planned_start=table.at(build.start_s),
        planned_made=table.at(max(build.made_s)),
        started_at=began,
        put_back_until=put_back_until,
    )


def queue_card(table: Table, build: PlannedBuild) -> QueueCard:
    """Draw a build further down the queue."""
    return QueueCard(
        id=build.id,
        title=_title(table, build),
        drinks=build.drinks,
        rounds=_rounds(table, build),
        places=_places(table, build),
        planned_start=table.at(build.start_s),
        planned_made=table.at(max(build.made_s)),
    )


def drink_card(table: Table, drink: RailDrink) -> DrinkCard:
    """Draw one glass."""
    mix, line = drink.mix, drink.line
    menu, counter = table.snapshot.menu, table.snapshot.counter
    record = table.state.drinks[drink.id]
    ticket = table.state.tickets[drink.ticket]
    recipe = menu.by_recipe.get(line.recipe)
    glass = counter.by_glass.get(mix.glass)
    return DrinkCard(
        id=drink.id,
        name=mix.name,
        ticket=ticket.id,
        number=ticket.number,
        channel=ticket.channel.value,
        place=ticket.place,
        glass=glass.name if glass else mix.glass,
        ice=ICE_WORDS.get(mix.serve_ice, f"{mix.serve_ice.value} ice"),
        rim=mix.rim,
        garnish=tuple(garnish_words(garnish) for garnish in mix.garnishes),
        changes=tuple(change_words(menu, change) for change in line.changes),
        allergies=line.allergies,
        note=line.note,
        is_alone=drink.is_alone,
        cautions=caution_words(mix, recipe.cautions if recipe else ()),
        state=_shown_state(record),
        made_at=record.made_at,
    )


def _shown_state(record: DrinkRecord) -> Literal["waiting", "in_hand", "made"]:
    if record.state is DrinkState.WAITING:
        return "waiting"
    return "in_hand" if record.state is DrinkState.IN_HAND else "made"


def _stretch(
    table: Table,
    build: PlannedBuild,
    block: Block,
    planned: PlannedBlock,
    record: BuildRecord | None,
) -> Stretch:
    runs: dict[int, StretchRecord] = {s.index: s for s in record.stretches} if record else {}
    run = runs.get(block.index)
    ready_at = window_until = None
    if block.index:
        began = runs[0].started_at if runs else table.at(build.start_s)
        anchor = began + table.paced(build.person, block.anchor_base_ds)
        ready_at = anchor + timedelta(seconds=to_s(block.alone_ds))
        if block.window_ds is not None:
            window_until = anchor + timedelta(seconds=to_s(block.window_ds))
    return Stretch(
        index=block.index,
        title=block.title,
        say=spoken(block.steps),
        state="to_come" if run is None else "in_hand" if run.ended_at is None else "done",
        bartender=run.person if run else planned.person,
        planned_start=table.at(planned.start_s),
        planned_end=table.at(planned.end_s),
        started_at=run.started_at if run else None,
        ready_at=ready_at,
        window_until=window_until,
    )


def _title(table: Table, build: PlannedBuild) -> str:
    return names_of(table.state.drinks[name] for name in build.drinks)


def _rounds(table: Table, build: PlannedBuild) -> tuple[str, ...]:
    return tuple(ticket.number for ticket in table.tickets_of(build.drinks))


def _places(table: Table, build: PlannedBuild) -> tuple[str, ...]:
    places = (ticket.place for ticket in table.tickets_of(build.drinks) if ticket.place)
    return tuple(dict.fromkeys(places))
