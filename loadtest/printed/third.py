"""Four more layouts, invented: held out until the reader had been tried on them once."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut
from .orders import Order
from .paper import Paper, Style, pounds
from .parts import Labels, Row, put_item, put_items, put_totals
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
LARGE = Style(bold=True, wide=True, tall=True)


def harbour(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; labels behind colons, one a line; how many in a column at the right."""
    at = order.at
    paper.put("*** BAR ORDER ***", style=Style(bold=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPRINT", Kind.VOID: "VOID"}.get(order.kind, "CORRECTION")
        paper.put(said, Role.MARK, style=LARGE)
    number = str(order.number)
    place = f"{order.place}" if order.is_floor else f"Bar {order.place}"
    place = f"Table {place}" if order.is_floor else place
    paper.put(f"Order number: {number}", Role.HEAD, facts=[("number", number)])
    paper.put(f"Where:        {place}", Role.HEAD, facts=[("place", place)])
    paper.put(f"Taken by:     {order.server}", Role.HEAD, facts=[("server", order.server)])
    paper.put(f"Time:         {at:%H:%M:%S}", Role.HEAD, facts=[("time", f"{at:%H:%M}")])
    paper.rule()
    for item in order.drinks:
        name = words.on_paper(item)
        count = str(item.quantity)
        paper.put(paper.both(name, count), Role.DRINK, quantity=item.quantity)
        for change in item.changes:
            paper.put(f"    * {words.change(change)}", Role.CHANGE)
        if item.allergies:
            paper.put(f"    {words.allergies(item)}", Role.ALLERGY, style=BOLD)
        if item.note:
            paper.put(f"    {words.note.format(item.note)}", Role.NOTE)
    paper.rule()


def slate(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, capitals; number and place on one line; x before how many."""
    at = order.at
    number = f"{order.number:03}"
    place = f"TABLE {order.place}" if order.is_floor else f"SEAT {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(f"CHECK #{number}    {place}", Role.HEAD, style=BOLD, facts=facts)
    stamp = f"{at.day:02} {at:%b %H:%M}".upper()
    clerk = order.server
    facts = [("time", f"{at:%H:%M}"), ("server", clerk)]
    paper.put(f"{stamp}  BY {clerk}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE", Kind.VOID: "VOID"}.get(order.kind, "CHANGED")
        paper.put(f"!! {said} !!", Role.MARK, style=BOLD)
    paper.put()
    put_items(paper, words, order.drinks, Row(form="x{quantity} {name}", indent="   ", loud=BOLD))
    paper.put()


def terrace(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; prices; food after drinks under a heading; a foot with till and number."""
    at = order.at
    paper.put("SALTMARCH TERRACE", style=Style(tall=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPY", Kind.VOID: "CANCELLED"}.get(order.kind, "CORRECTION")
        paper.put(said, Role.MARK, style=BOLD)
    place = f"Table {order.place}" if order.is_floor else f"Stool {order.place}"
    facts = [("place", place), ("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    paper.put(paper.both(place, f"{at:%d/%m/%Y %H:%M}"), Role.HEAD, style=BOLD, facts=facts)
    paper.rule("=")
    row = Row(form="{quantity}  {name}", money=pounds, indent="     ", loud=BOLD)
    for heading, items in (("DRINKS", order.drinks), ("FOOD", order.foods)):
        if items:
            paper.put(heading, style=Style(underline=1))
            put_items(paper, words, items, row)
    paper.rule("=")
    put_totals(paper, order, Labels(tax="incl. VAT"))
    number = str(order.number)
    facts = [("till", str(order.till)), ("number", number), ("server", order.server)]
    foot = f"Till {order.till}  Receipt {number}  Server {order.server}"
    paper.put(foot, Role.HEAD, facts=facts)


def hut(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, large; quantity and sign without a space; changes with a sign at the left."""
    number = str(order.number)
    paper.put(f"No.{number}", Role.HEAD, style=LARGE, facts=[("number", number)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "reprint", Kind.VOID: "void"}.get(order.kind, "correction")
        paper.put(said, Role.MARK, style=LARGE)
    place = f"table {order.place}" if order.is_floor else f"bar {order.place}"
    facts = [("place", place), ("time", f"{order.at:%H:%M}")]
    paper.put(f"{place} at {order.at:%H:%M}", Role.HEAD, facts=facts)
    for item in order.drinks:
        row = Row(
            form="{quantity}x{name}", indent=" ", sign="~ ", loud=BOLD, style=Style(tall=True)
        )
        put_item(paper, words, item, row)
    paper.put(f"({order.server})", Role.HEAD, facts=[("server", order.server)])


LAYOUTS = (
    Layout(
        name="harbour",
        columns=48,
        model="CT-S651",
        code_page="CP1252",
        words=Words(allergy="Allergy: {}", note="Note: {}"),
        write=harbour,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="slate",
        columns=32,
        model="TM-U220",
        raw_encoding="cp437",
        words=Words(
            case=str.upper,
            allergy="ALLERGY: {}",
            single="{spirit} & {mixer}",
            double="DOUBLE {spirit} & {mixer}",
            name_room=27,
        ),
        write=slate,
        finish=by_form_feed,
        has_food=False,
    ),
    Layout(
        name="terrace",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(case=titled, allergy="ALLERGY {}", ways={"leave_out": "hold {out}"}),
        write=terrace,
        finish=by_cut,
    ),
    Layout(
        name="hut",
        columns=32,
        model="ZJ-5870",
        code_page="CP850",
        words=Words(allergy="allergic to {}", ways={"add": "plus {into}"}),
        write=hut,
        finish=by_part_cut,
        has_food=False,
    ),
)
