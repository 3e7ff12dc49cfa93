"""Six more layouts, invented: held out until the reader had been tried on them once."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut, by_quiet
from .orders import Order
from .paper import Paper, Style, pounds
from .parts import Labels, Row, put_item, put_items, put_totals, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)


def dotted(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; how many at the right edge, after dots."""
    at = order.at
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Reprint", Kind.VOID: "Void"}.get(order.kind, "Correction")
        paper.put(said, Role.MARK, style=LARGE)
    place = f"Table {order.place}" if order.is_floor else f"Stool {order.place}"
    number = str(order.number)
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, f"Ticket {number}"), Role.HEAD, style=BOLD, facts=facts)
    for heading, items in (("From the bar", order.drinks), ("From the kitchen", order.foods)):
        if not items:
            continue
        paper.put(heading.center(paper.columns).rstrip(), style=Style(underline=1))
        for item in items:
            name = item.food or words.on_paper(item)
            dots = "." * (paper.columns - len(name) - len(str(item.quantity)) - 2)
            role = Role.FOOD if item.food else Role.DRINK
            quantity = 0 if item.food else item.quantity
            paper.put(f"{name} {dots} {item.quantity}", role, quantity=quantity)
            under(paper, words, item, indent="     ", loud=BOLD)
    paper.put()
    facts = [("server", order.server), ("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    foot = paper.both(f"Taken by {order.server}", f"{at:%d %b %Y, %H:%M}")
    paper.put(foot, Role.HEAD, facts=facts)


def quai(paper: Paper, order: Order, words: Words) -> None:
    """42 columns with French labels."""
    at = order.at
    paper.put("Maison Saltmarch — côté bar".replace("—", "-"), style=CENTRED)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATA", Kind.VOID: "ANNULATION"}.get(order.kind, "RECTIFICATIF")
        paper.put(said, Role.MARK, style=BOLD)
    number = str(order.number)
    facts = [("number", number), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(f"Ticket n° {number}", f"{at:%Hh%M}"), Role.HEAD, facts=facts)
    place = f"Table n° {order.place}" if order.is_floor else f"Comptoir {order.place}"
    facts = [("place", place), ("server", order.server)]
    paper.put(paper.both(place, f"Serveur : {order.server}"), Role.HEAD, facts=facts)
    paper.rule("=")
    put_items(paper, words, order.drinks, Row(form="{quantity} × {name}", indent="    "))
    paper.rule("=")
    paper.put(f"{order.covers} couverts")


def bracket(paper: Paper, order: Order, words: Words) -> None:
    """32 columns; how many in brackets, changes in round ones; the time at the foot."""
    number = f"{order.number:06}"
    paper.put(f"TICKET: {number}", Role.HEAD, facts=[("number", number)])
    place = f"TABLE {order.place}" if order.is_floor else f"BAR {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPRINT", Kind.VOID: "VOID"}.get(order.kind, "CORRECTION")
        paper.put(f"** {said} **", Role.MARK, style=BOLD)
    paper.put()
    for item in order.drinks:
        put_item(paper, words, item, Row(form="[{quantity}] {name}", indent="    ", style=BOLD))
    paper.put()
    paper.put(
        f"PRINTED {order.at:%H:%M} ON TILL {order.till}",
        Role.HEAD,
        facts=[("time", f"{order.at:%H:%M}"), ("till", str(order.till))],
    )


def roll(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; the price of one beside how many; prices, totals, payment."""
    at = order.at
    paper.put("Saltmarch House", style=Style(tall=True, align="center"))
    paper.native_qr(f"saltmarch/{order.number}")
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPRINT", Kind.VOID: "VOID SALE"}.get(order.kind, "CORRECTED")
        paper.put(said, Role.MARK, style=Style(invert=True))
    number = f"{order.till}{order.number:04}"
    facts = [("number", number), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(f"Sale {number}", f"{at:%d-%m-%Y %H:%M}"), Role.HEAD, facts=facts)
    place = f"TABLE {order.place}" if order.is_floor else f"BAR {order.place}"
    facts = [("place", place), ("server", order.server)]
    paper.put(paper.both(place, f"Clerk {order.server}"), Role.HEAD, facts=facts)
    paper.rule()
    for item in order.drinks:
        form = "{quantity} @ " + pounds(item.pence) + "  {name}"
        put_item(paper, words, item, Row(form=form, money=pounds, indent="          "))
    paper.rule()
    put_totals(paper, order, Labels(total="Total due", tax="Tax", paid="Cash"), is_paid=True)


def diner(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; dishes stand between drinks with nothing to tell them; the month comes first."""
    at = order.at
    clock = f"{at:%I:%M%p}".lstrip("0")
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE", Kind.VOID: "VOID"}.get(order.kind, "CORRECTION")
        paper.put(f"<<< {said} >>>", Role.MARK, style=BOLD)
    number = str(order.number)
    place = f"TABLE {order.place}" if order.is_floor else f"SEAT {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(f"Order # {number}  {place}", Role.HEAD, style=BOLD, facts=facts)
    stamp = f"{at.month}/{at.day}/{at.year} {clock}"
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}"), ("server", order.server)]
    paper.put(paper.both(stamp, f"Server {order.server}"), Role.HEAD, facts=facts)
    paper.rule("-")
    row = Row(form="{quantity}  {name}", indent="   ", sign="> ", loud=BOLD)
    put_items(paper, words, order.items, row)
    paper.rule("-")


def glass(paper: Paper, order: Order, words: Words) -> None:
    """32 columns; every glass has a line of its own, nothing says how many."""
    at = order.at
    number = str(order.number)
    place = f"Table {order.place}" if order.is_floor else f"Bar {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Copy", Kind.VOID: "Cancelled"}.get(order.kind, "Correction")
        paper.put(said, Role.MARK, style=BOLD)
    paper.rule("*")
    for item in order.drinks:
        put_item(paper, words, item, Row(form="{name}", style=Style(tall=True), indent="  "))
    paper.rule("*")
    facts = [("number", number), ("server", order.server), ("time", f"{at:%H:%M}")]
    paper.put(f"No {number} - {order.server} - {at:%H:%M}", Role.HEAD, facts=facts)


LAYOUTS = (
    Layout(
        name="dotted",
        columns=42,
        model="TM-T88V",
        code_page="CP850",
        words=Words(allergy="ALLERGY: {}"),
        write=dotted,
        finish=by_cut,
    ),
    Layout(
        name="quai",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            allergy="ALLERGIE : {}",
            ways={"leave_out": "sans {out}", "add": "avec {into}", "swap": "{into} pour {out}"},
            single="{spirit} {mixer}",
            double="double {spirit} {mixer}",
        ),
        write=quai,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="bracket",
        columns=32,
        model="ZJ-5870",
        raw_encoding="cp437",
        words=Words(
            case=str.upper,
            allergy="(ALLERGY {})",
            note="({})",
            single="{spirit} WITH {mixer}",
            double="DOUBLE {spirit} WITH {mixer}",
            ways={
                "leave_out": "(no {out})",
                "swap": "({out} to {into})",
                "add": "(add {into})",
                "double": "(double)",
                "on_the_rocks": "(on the rocks)",
                "straight_up": "(straight up)",
                "no_ice": "(no ice)",
            },
        ),
        write=bracket,
        finish=by_form_feed,
        has_food=False,
    ),
    Layout(
        name="roll",
        columns=48,
        model="TM-T20II",
        code_page="CP858",
        words=Words(case=titled, allergy="Allergen: {}", note="Msg: {}"),
        write=roll,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="diner",
        columns=42,
        model="T-1",
        code_page="CP850",
        words=Words(case=titled, allergy="!! {} allergy !!", ways={"add": "extra {into}"}),
        write=diner,
        finish=by_cut,
    ),
    Layout(
        name="glass",
        columns=32,
        model="TH230",
        code_page="CP858",
        words=Words(allergy="allergy: {}"),
        write=glass,
        finish=by_quiet,
        has_food=False,
        is_single=True,
    ),
)
