"""What many layouts print alike: items with what is under them, totals, prints without drinks."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from .orders import Item, Order, house
from .paper import PLAIN, Paper, Style, pounds, wrapped
from .truth import Kind, Role
from .words import Words

Money = Callable[[int], str]


def under(
    paper: Paper, words: Words, item: Item, *, indent: str, loud: Style = PLAIN, sign: str = ""
) -> None:
    """Print what stands under a drink: changes, allergies, a note; under a dish, its cooking.

    Parameters
    ----------
    paper : Paper
    words : Words
    item : Item
    indent : str
        Spaces before each of them.
    loud : Style
        How an allergy is set.
    sign : str
        What stands before a change, such as ``- ``.
    """
    if item.food:
        if item.note:
            _long(paper, f"{indent}{sign}{words.case(item.note)}", Role.FOOD, indent, Role.FOOD)
        return
    for change in item.changes:
        _long(paper, f"{indent}{sign}{words.change(change)}", Role.CHANGE, indent + "  ")
    if item.allergies:
        _long(paper, f"{indent}{words.allergies(item)}", Role.ALLERGY, indent + "  ", style=loud)
    if item.note:
        _long(paper, indent + words.note.format(words.case(item.note)), Role.NOTE, indent + "  ")


def allergy_and_note(paper: Paper, words: Words, item: Item, indent: str) -> None:
    """Write only these two; changes stand on the drink's own line."""
    if item.allergies:
        paper.put(f"{indent}{words.allergies(item)}", Role.ALLERGY, style=Style(bold=True))
    if item.note:
        paper.put(f"{indent}{words.note.format(item.note)}", Role.NOTE, style=PLAIN)


def _long(
    paper: Paper,
    text: str,
    role: Role,
    indent: str,
    goes_on: Role = Role.GOES_ON,
    *,
    style: Style = PLAIN,
) -> None:
    room = paper.columns // 2 if style.wide else paper.columns
    first = len(text) - len(text.lstrip())
    rows = wrapped(text.strip(), room - first, indent=" " * (len(indent) - first))
    for row, one in enumerate(rows):
        paper.put(" " * first + one, goes_on if row else role, style=style)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """How an item's first line is printed.

    Attributes
    ----------
    form : str
        With ``{quantity}`` and ``{name}``.
    style : Style
    money : callable or None
        How a price is written at the right edge; None where there are no prices.
    indent : str
        Before what stands under it.
    loud : Style
        How an allergy is set.
    sign : str
        Before a change.
    """

    form: str
    style: Style = PLAIN
    money: Money | None = None
    indent: str = "   "
    loud: Style = PLAIN
    sign: str = ""
    food_form: str = ""


def put_item(paper: Paper, words: Words, item: Item, row: Row) -> None:
    """Print one item, its name over several lines where it is too long, and what is under it."""
    is_food = bool(item.food)
    name = words.case(item.food) if is_food else words.on_paper(item)
    form = row.food_form if is_food and row.food_form else row.form
    text = form.format(quantity=item.quantity, name=name)
    price = row.money(item.pence * item.quantity) if row.money else ""
    room = paper.columns // 2 if row.style.wide else paper.columns
    lines = wrapped(text, room - (len(price) + 1 if price else 0), indent=row.indent)
    role = Role.FOOD if is_food else Role.DRINK
    first = paper.both(lines[0], price, room) if price else lines[0]
    paper.put(first, role, style=row.style, quantity=0 if is_food else item.quantity)
    for more in lines[1:]:
        paper.put(more, Role.FOOD if is_food else Role.GOES_ON, style=row.style)
    under(paper, words, item, indent=row.indent, loud=row.loud, sign=row.sign)


def put_items(paper: Paper, words: Words, items: Iterable[Item], row: Row) -> None:
    """Print items one under the other."""
    for item in items:
        put_item(paper, words, item, row)


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """What money lines are called."""

    subtotal: str = "Subtotal"
    discount: str = "Discount"
    total: str = "TOTAL"
    tax: str = "VAT 20%"
    paid: str = "CARD"
    money: Money = pounds


def put_totals(paper: Paper, order: Order, labels: Labels, *, is_paid: bool = False) -> None:
    """Print what it comes to."""
    due = order.pence - order.discount_pence
    if order.discount_pence:
        paper.put(paper.both(labels.subtotal, labels.money(order.pence)))
        paper.put(paper.both(labels.discount, "-" + labels.money(order.discount_pence)))
    paper.put(paper.both(labels.total, labels.money(due)), style=Style(bold=True))
    paper.put(paper.both(labels.tax, labels.money(due // 6)))
    if is_paid:
        paper.put(paper.both(labels.paid, labels.money(due)))


def shift_report(paper: Paper, rng: random.Random, at: datetime) -> None:
    """Print what a till prints at the end of a shift; it names drinks with how many were sold."""
    paper.put("SHIFT REPORT", Role.MARK, style=Style(bold=True))
    paper.put(f"{at:%d/%m/%Y %H:%M}")
    paper.rule()
    paper.put(paper.both("Gross sales", pounds(rng.randint(80_000, 900_000))))
    paper.put(paper.both("Discounts", pounds(rng.randint(0, 9_000))))
    paper.put(paper.both("Covers", str(rng.randint(20, 300))))
    paper.rule()
    for recipe in rng.sample(house().menu.recipes, 5):
        sold = rng.randint(2, 60)
        paper.put(paper.both(f"{sold} {recipe.name}", pounds(sold * 950)))
    paper.rule()
    paper.put(paper.both("Cash in drawer", pounds(rng.randint(10_000, 60_000))))


def test_print(paper: Paper) -> None:
    """Print what a printer prints to show that it prints."""
    paper.put("PRINTER TEST", Role.MARK, style=Style(bold=True))
    paper.put("abcdefghijklmnopqrstuvwxyz")
    paper.put("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    paper.put("0123456789 !?&%$()")
    paper.put("Connection OK")


def card_slip(paper: Paper, rng: random.Random, at: datetime) -> None:
    """Print a card slip: nothing of it is the bar's business."""
    paper.put("CARD SALE", Role.MARK, style=Style(bold=True))
    paper.put(f"{at:%d/%m/%y %H:%M:%S}")
    paper.put(f"**** **** **** {rng.randint(1000, 9999)}")
    paper.put("EXP **/**   CONTACTLESS")
    paper.put(paper.both("AMOUNT", pounds(rng.randint(500, 9000))))
    paper.put(f"AUTH CODE {rng.randint(100_000, 999_999)}")
    paper.put("CUSTOMER COPY")


def is_taken_off(order: Order) -> bool:
    """Whether its drinks are not wanted any more."""
    return order.kind is Kind.VOID
