"""What may stand in a file or a body: adapters over the solver's own dataclasses.

There is no second set of models. Where a document is a solver's dataclass, an adapter reads and
writes it as it is; around them stand the few shapes that only files and bodies have. A key that
nobody knows is refused everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Any

from pydantic import AwareDatetime, TypeAdapter, with_config

from service.printing.house import Prints
from service.strict import STRICT, Text
from solver.counter import Counter
from solver.errors import BadValue
from solver.menu import Menu
from solver.plan import Plan
from solver.rush.scenario import Scenario
from solver.snapshot import Snapshot
from solver.standards import ROWS, Standard, Standards
from solver.tickets import Channel, Line

from .bars import check_id, check_timezone

MOST_LINES = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class BarHead:
    """Who a bar is.

    Attributes
    ----------
    id : str
        Small letters, digits and hyphens: it stands in addresses.
    name : str
        As guests know it.
    timezone : str
        IANA name, such as ``Europe/London``.
    """

    id: Text
    name: Text
    timezone: Text

    def __post_init__(self) -> None:
        check_id(self.id)
        check_timezone(self.timezone)


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class BarFile:
    """One bar as one file.

    Attributes
    ----------
    bar : BarHead
        Who it is.
    counter : Counter
        Its physical side.
    menu : Menu
        What it makes.
    standards : mapping of str to Standard
        Time standards that the house measured itself; every other row is the common one.
    prints : Prints or None
        What it does with the prints of a till; absent for a bar without.
    """

    bar: BarHead
    counter: Counter
    menu: Menu
    standards: Mapping[str, Standard] = field(default_factory=dict)
    prints: Prints | None = None


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class StandardsFile:
    """A table of time standards: every row, each with its source."""

    standards: Mapping[str, Standard]

    def __post_init__(self) -> None:
        Standards(rows=self.standards)


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class TicketBody:
    """A ticket as a till sends it: what one party ordered at one moment.

    Attributes
    ----------
    number : str
        As the till prints it.
    channel : Channel
        Across the bar top, or to the floor.
    placed_at : datetime
        When it was placed, with its offset: ``2027-02-12T21:04:10Z``.
    lines : tuple of Line
        At least one.
    place : str
        Seat or table.
    server, till : str
        Who took it, and where.
    business_day : date or None
        The night it belongs to; worked out from `placed_at` when it is absent.
    """

    number: Text
    channel: Channel
    placed_at: AwareDatetime
    lines: tuple[Line, ...]
    place: Text = ""
    server: Text = ""
    till: Text = ""
    business_day: date | None = None

    def __post_init__(self) -> None:
        if not self.number.strip():
            raise BadValue("the number that the till prints", "nothing")
        if not 1 <= len(self.lines) <= MOST_LINES:
            raise BadValue(f"1 to {MOST_LINES} lines", len(self.lines), "split a larger ticket")


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFile(Plan):
    """A plan, and the snapshot file that it answers, where it came from a file.

    Attributes
    ----------
    snapshot_file : str
        Path as it was given to the command; empty where there was none.
    """

    snapshot_file: str = ""

    @property
    def plan(self) -> Plan:
        """The plan alone."""
        return Plan(**{row.name: getattr(self, row.name) for row in fields(Plan)})


for _root in (Counter, Menu, Standards, Snapshot, Plan, Line, Scenario):
    # On the root it counts for everything below it; the solver itself knows nothing of pydantic.
    with_config(STRICT)(_root)

BAR_FILE: TypeAdapter[BarFile] = TypeAdapter(BarFile)
STANDARDS_FILE: TypeAdapter[StandardsFile] = TypeAdapter(StandardsFile)
COUNTER: TypeAdapter[Counter] = TypeAdapter(Counter)
MENU: TypeAdapter[Menu] = TypeAdapter(Menu)
PRINTS: TypeAdapter[Prints | None] = TypeAdapter(Prints | None)
STANDARDS: TypeAdapter[Standards] = TypeAdapter(Standards)
LINE: TypeAdapter[Line] = TypeAdapter(Line)
TICKET_BODY: TypeAdapter[TicketBody] = TypeAdapter(TicketBody)
SNAPSHOT: TypeAdapter[Snapshot] = TypeAdapter(Snapshot)
PLAN: TypeAdapter[Plan] = TypeAdapter(Plan)
PLAN_FILE: TypeAdapter[PlanFile] = TypeAdapter(PlanFile)
RUSH_FILE: TypeAdapter[Scenario] = TypeAdapter(Scenario)

PUBLISHED: dict[str, TypeAdapter[Any]] = {
    "bar": BAR_FILE,
    "ticket": TICKET_BODY,
    "snapshot": SNAPSHOT,
    "plan": PLAN_FILE,
    "rush": RUSH_FILE,
}
"""Documents whose JSON Schema is published, by name."""


def json_schema(name: str) -> dict[str, Any]:
    """Give the JSON Schema of a published document, with the fields' meanings.

    Parameters
    ----------
    name : str
        A key of `PUBLISHED`.
    """
    schema = PUBLISHED[name].json_schema(mode="validation")
    for part in (schema, *schema.get("$defs", {}).values()):
        _describe(part)
    if name == "bar":
        schema["properties"]["standards"]["propertyNames"] = {"enum": list(ROWS)}
    # The dialect first, so that a reader sees at once what this is.
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": f"Three Deep: {name}",
    }


def _describe(part: dict[str, Any]) -> None:
    """Move what a docstring says about each attribute to that property."""
    for row in part.get("properties", {}).values():
        row.pop("title", None)
    text, _, attributes = part.get("description", "").partition("Attributes\n----------\n")
    if text:
        part["description"] = " ".join(text.split())
    names: list[str] = []
    said: dict[str, list[str]] = {}
    for line in attributes.splitlines():
        if line.startswith(" "):
            for name in names:
                said.setdefault(name, []).append(line.strip())
        elif line.strip():
            names = [name.strip() for name in line.partition(" : ")[0].split(",")]
    for name, lines in said.items():
        if name in part.get("properties", {}):
            part["properties"][name]["description"] = " ".join(lines).replace("``", "'")
