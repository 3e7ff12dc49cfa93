"""What the routes take, and their limits.

A ticket is taken leniently: a till cannot ask its guest again. Only what cannot be a ticket at
all is refused; a line nobody can read is kept.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
)

from service.taps.events import Event, Happening
from service.taps.stock import Stock
from solver.tickets import LARGEST_QUANTITY, Channel

MOST_LINES = 60
LONGEST_LINE = 4_000
"""Signs of one line as JSON."""


def _line(value: object) -> object:
    """Refuse what is no line at all; whole numbers may come as 2.0."""
    if not isinstance(value, dict):
        return value
    quantity = value.get("quantity")
    if isinstance(quantity, float) and quantity.is_integer():
        value = {**value, "quantity": int(quantity)}
    return value


def _can_be_kept(value: dict[str, Any]) -> dict[str, Any]:
    try:
        text = json.dumps(value, ensure_ascii=False, allow_nan=False).encode()
    except ValueError:
        message = "text and numbers that can be kept; write it as UTF-8, and no NaN"
        raise ValueError(message) from None
    if len(text) > LONGEST_LINE:
        message = f"at most {LONGEST_LINE} signs in a line"
        raise ValueError(message)
    return value


LineBody = Annotated[
    dict[str, Any],
    BeforeValidator(_line),
    AfterValidator(_can_be_kept),
    WithJsonSchema(
        {
            "type": "object",
            "title": "Line",
            "description": "A recipe, or a spirit with a mixer. What cannot be read is kept as an "
            "unread line; only an impossible quantity is refused.",
            "properties": {
                "recipe": {"description": "id, name or alias of a recipe"},
                "spirit": {"description": "id or name of a spirit, instead of a recipe"},
                "mixer": {"description": "id or name of a mixer, beside the spirit"},
                "measure": {"description": "single or double"},
                "garnish": {"description": "a garnish beside the spirit"},
                "quantity": {
                    "type": "integer",
                    "minimum": 1,
                    "maximum": LARGEST_QUANTITY,
                    "default": 1,
                },
                "changes": {
                    "description": "each with one of leave_out, swap {take_out, put_in}, add "
                    "{ingredient, amount}, double, on_the_rocks, straight_up, no_ice"
                },
                "allergies": {"description": "list of allergens the guest named; any text"},
                "note": {"description": "free text; the drink is then made alone"},
            },
            "examples": [
                {"recipe": "harbour-sour", "quantity": 2, "changes": [{"leave_out": "egg-white"}]},
                {"spirit": "gin", "mixer": "tonic", "measure": "double"},
            ],
        }
    ),
]

Short = Annotated[str, Field(max_length=64)]
Text = Annotated[str, Field(max_length=200)]
Minutes = Annotated[float, Field(gt=0, le=24 * 60, allow_inf_nan=False)]


class Body(BaseModel):
    """Base of what is taken: names that nobody knows are refused, so that a slip is seen."""

    model_config = ConfigDict(extra="forbid", use_attribute_docstrings=True)


class TicketBody(BaseModel):
    """A ticket as a till sends it. Names that are not listed are not kept: no guest's name is."""

    model_config = ConfigDict(
        extra="ignore", use_attribute_docstrings=True, coerce_numbers_to_str=True
    )

    number: Annotated[str, Field(min_length=1, max_length=64, pattern=r"\S")]
    """As the till prints it; with till and business day it is known when it comes again."""
    channel: Channel
    placed_at: AwareDatetime | None = None
    """When it was placed, with its offset; now when it is absent."""
    lines: Annotated[list[LineBody], Field(min_length=1, max_length=MOST_LINES)]
    place: Text = ""
    server: Text = ""
    till: Short = ""
    business_day: date | None = None
    """The night it belongs to; worked out from `placed_at` when it is absent."""


class TapBody(Body):
    """What every tap may carry."""

    screen: Annotated[str, Field(max_length=64)] = ""
    """Whose tap it is: undo takes back the last one of the same screen."""


class HandsBody(TapBody):
    """A tap by somebody's hands."""

    bartender: Short | None = None
    """Who really does it; whoever the order says when it is absent."""


class MadeBody(HandsBody):
    """The build, or what the hands did on it, is made."""

    start_next: bool = True


class PutBackBody(TapBody):
    """The build is put back."""

    loss: bool = False
    """After ice is in: its drinks are binned and made again."""
    reason: Text = ""


class CaughtUpBody(HandsBody):
    """Everything up to here is made."""

    up_to: Short | None = None
    """A build of the order: it and all before it, too. Absent: what is in hand."""


class ReasonBody(TapBody):
    """A tap with a reason, where one is given."""

    reason: Text = ""


class RemakeBody(TapBody):
    """The drink went wrong."""

    reason: Annotated[str, Field(min_length=1, max_length=200, pattern=r"\S")]


class HoldBody(TapBody):
    """Hold a round back, or let it go on."""

    hold: bool = True


class ChangeBody(Body):
    """A line of the ticket, and what it is to be instead."""

    line: Annotated[str, Field(max_length=80)]
    to: LineBody


class LinesBody(TapBody):
    """Lines to add, change and take off; only drinks that wait are touched."""

    add: Annotated[list[LineBody], Field(max_length=MOST_LINES)] = []
    change: Annotated[list[ChangeBody], Field(max_length=MOST_LINES)] = []
    void: Annotated[list[Annotated[str, Field(max_length=80)]], Field(max_length=MOST_LINES)] = []


class PouredBody(Body):
    """A spirit, with its mixer and measure where it has them."""

    spirit: Short
    mixer: Annotated[str, Field(max_length=80)] = ""
    measure: Literal["single", "double", ""] = ""


Means = Annotated[
    Annotated[Short, Tag("id")] | Annotated[PouredBody, Tag("poured")],
    Discriminator(lambda means: "poured" if isinstance(means, dict | PouredBody) else "id"),
]


class ResolveBody(TapBody):
    """What an unread line is, or that it is dropped: one of `to`, `means` and `drop`."""

    to: LineBody | None = None
    """The whole line as it should have come."""
    means: Means | None = None
    """What the line's one unknown word stands for: an id, or a spirit with its mixer."""
    remember: bool | None = None
    """Whether the word means that from now on; absent: yes for a word from paper, else no."""
    drop: bool = False
    reason: Text = ""


class UndoBody(Body):
    """Whose last tap is taken back."""

    screen: Annotated[str, Field(max_length=64)] = ""


class StockBody(TapBody):
    """What the bar has of an ingredient."""

    state: Stock
    minutes: Minutes | None = None
    """With ``bottle_out``: how long until it is here; 2 when nobody says."""
    left: Annotated[int, Field(ge=0, le=10_000)] | None = None
    """With ``left``: how many more drinks it is enough for."""


class EventBody(TapBody):
    """Something happened at the bar."""

    event: Happening
    station: Short = ""
    ice: Short = ""
    ingredient: Short = ""
    person: Short = ""
    vessel: Short = ""
    glass: Short = ""
    count: Annotated[int, Field(ge=1, le=40)] = 1
    clean: Annotated[int, Field(ge=0, le=10_000)] | None = None
    chilled: Annotated[int, Field(ge=0, le=10_000)] = 0
    washing: Annotated[int, Field(ge=0, le=10_000)] = 0
    minutes: Minutes | None = None
    allowed: bool | None = None

    @property
    def what_happened(self) -> Event:
        """The event without the screen it was tapped on."""
        return Event(**self.model_dump(exclude={"screen"}))


TicketState = Literal["open", "all"]
