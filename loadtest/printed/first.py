"""Eight layouts, invented, that were known while the reader was written."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut, by_quiet
from .orders import Order
from .paper import Paper, Style, euros, pounds
from .parts import Labels, Row, put_item, put_items, put_totals
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)


def galley(paper: Paper, order: Order, words: Words) -> None:
    """42 columns: the house on top, sections for bar and kitchen, changes set in."""
    at = order.at
    paper.put("SALTMARCH HOUSE", style=Style(bold=True, wide=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "* REPRINT *", Kind.VOID: "* VOID *"}.get(
            order.kind, "* CORRECTION *"
        )
        paper.put(said, Role.MARK, style=Style(bold=True, invert=True))
    place = f"Table {order.place}" if order.is_floor else f"Seat {order.place}"
    facts = [("place", place), ("server", order.server)]
    paper.put(paper.both(place, f"Server: {order.server}"), Role.HEAD, facts=facts)
    facts = [("number", f"{order.number:04}"), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(f"No. {order.number:04}", f"{at:%H:%M}"), Role.HEAD, facts=facts)
    paper.rule()
    row = Row(form="{quantity} x {name}", style=BOLD, loud=Style(bold=True, invert=True))
    for heading, items in (("BAR", order.drinks), ("KITCHEN", order.foods)):
        if items:
            paper.put(heading, style=Style(underline=1))
            put_items(paper, words, items, row)
    paper.rule()
    paper.put(f"Covers {order.covers}")


def narrow(paper: Paper, order: Order, words: Words) -> None:
    """32 columns in capitals; long names are cut off; drinks alone."""
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE", Kind.VOID: "VOID ORDER"}.get(order.kind, "AMENDED ORDER")
        paper.put(said, Role.MARK, style=LARGE if len(said) <= 16 else BOLD)
    number, at = str(order.number), order.at
    paper.put(f"ORDER {number}", Role.HEAD, style=LARGE, facts=[("number", number)])
    place = f"TBL {order.place}" if order.is_floor else f"BAR {order.place}"
    clerk = order.server.upper()
    paper.put(
        f"{place} / {clerk} / TILL {order.till}",
        Role.HEAD,
        facts=[("place", place), ("server", clerk), ("till", str(order.till))],
    )
    stamp = f"{at:%d/%m/%y %H:%M:%S}"
    paper.put(stamp, Role.HEAD, facts=[("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")])
    paper.rule("=")
    row = Row(form="{quantity:<3}{name}", indent="     ", loud=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.rule("=")


def receipt(paper: Paper, order: Order, words: Words) -> None:
    """48 columns with prices, a logo, totals, tax, payment and a code to scan."""
    at = order.at
    paper.picture(240, 64)
    paper.put("Saltmarch House, Quay Lane 3", style=CENTRED)
    paper.put("VAT reg. 000 0000 00", style=CENTRED)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPY - NOT A NEW ORDER", Kind.VOID: "CANCELLED"}
        paper.put(said.get(order.kind, "CORRECTED ORDER"), Role.MARK, style=BOLD)
    number = f"{order.number}"
    stamp = f"{at:%a %d %b %Y %H:%M}"
    facts = [("number", number), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(f"Ticket: {number}", stamp), Role.HEAD, facts=facts)
    place = f"Table: {order.place}" if order.is_floor else f"Bar seat: {order.place}"
    facts = [("place", place), ("till", str(order.till)), ("server", order.server)]
    right = f"Till {order.till}   Served by {order.server}"
    paper.put(paper.both(place, right), Role.HEAD, facts=facts)
    paper.put(paper.both("Item", "£"), style=Style(underline=1))
    row = Row(form="{quantity} {name}", money=pounds, indent="    ", loud=BOLD)
    for heading, items in (("- drinks -", order.drinks), ("- food -", order.foods)):
        if items:
            paper.put(heading)
            put_items(paper, words, items, row)
    paper.put()
    put_totals(paper, order, Labels(), is_paid=True)
    paper.put()
    paper.put("Thank you, see you at high water", style=CENTRED)
    paper.qr(f"saltmarch/{number}")


def chalk(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, how many after the name, plus and minus before changes, half-day clock."""
    at = order.at
    paper.put(f"#{order.number}", Role.HEAD, style=LARGE, facts=[("number", str(order.number))])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "** reprint **", Kind.VOID: "** void **"}
        paper.put(said.get(order.kind, "** correction **"), Role.MARK, style=CENTRED)
    clock = f"{at:%I:%M %p}".lstrip("0")
    place = f"table {order.place}" if order.is_floor else f"bar seat {order.place}"
    paper.put(place, Role.HEAD, style=BOLD, facts=[("place", place)])
    facts = [("time", f"{at:%H:%M}"), ("server", order.server)]
    paper.put(f"{clock}  {order.server}", Role.HEAD, facts=facts)
    paper.put()
    row = Row(form="{name} x{quantity}", indent="  ", loud=Style(bold=True, underline=2))
    for item in order.drinks:
        put_item(paper, words, item, row)
    paper.put()
    paper.put("~ " * 20, style=CENTRED)


def kontor(paper: Paper, order: Order, words: Words) -> None:
    """42 columns with German labels and prices in euros."""
    at = order.at
    paper.put("Saltmarch House am Kai", style=CENTRED)
    paper.put("Getränkebon", style=Style(bold=True, tall=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "NACHDRUCK", Kind.VOID: "STORNO"}.get(order.kind, "KORREKTUR")
        paper.put(said, Role.MARK, style=BOLD)
    number = str(order.number)
    paper.put(f"Bon-Nr.: {number}", Role.HEAD, facts=[("number", number)])
    place = f"Tisch {order.place}" if order.is_floor else f"Theke {order.place}"
    paper.put(
        paper.both(place, f"Bedienung: {order.server}"),
        Role.HEAD,
        facts=[("place", place), ("server", order.server)],
    )
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}"), ("till", str(order.till))]
    paper.put(paper.both(f"{at:%d.%m.%Y %H:%M}", f"Kasse {order.till}"), Role.HEAD, facts=facts)
    paper.rule()
    put_items(paper, words, order.drinks, Row(form="{quantity}x {name}", money=euros))
    paper.rule()
    labels = Labels(
        subtotal="Zwischensumme",
        discount="Rabatt",
        total="SUMME",
        tax="inkl. 19% MwSt",
        money=euros,
    )
    put_totals(paper, order, labels)


def terse(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, everything about the ticket on one line, no code page, no cut."""
    mark = {Kind.TICKET: "", Kind.REPRINT: "RPT", Kind.VOID: "VOID"}.get(order.kind, "CORR")
    place = f"T{order.place}" if order.is_floor else f"B{order.place}"
    number, clerk = str(order.number), order.server
    if mark:
        paper.put(f"*** {mark} ***", Role.MARK)
    paper.put(
        f"{place} {number} {order.at:%H:%M} {clerk}",
        Role.HEAD,
        facts=[
            ("place", place),
            ("number", number),
            ("time", f"{order.at:%H:%M}"),
            ("server", clerk),
        ],
    )
    put_items(paper, words, order.drinks, Row(form="{quantity} {name}", indent="  "))


def poster(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, drinks in double size, so that names go over two lines; bar code; pulse."""
    if order.kind is Kind.TICKET:
        paper.pulse()
    else:
        said = {Kind.REPRINT: "REPRINT", Kind.VOID: "VOIDED"}.get(order.kind, "CORRECTION")
        paper.put(said, Role.MARK, style=LARGE)
    number = f"{order.number:05}"
    paper.put(
        f"Order {number}   {order.at:%H:%M}",
        Role.HEAD,
        facts=[("number", number), ("time", f"{order.at:%H:%M}")],
    )
    place = f"TABLE {order.place}" if order.is_floor else f"SEAT {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    paper.rule("_")
    row = Row(
        form="{quantity} x {name}",
        style=LARGE,
        indent="    ",
        loud=LARGE,
        food_form="F {quantity} x {name}",
    )
    put_items(paper, words, order.items, row)
    paper.rule("_")
    paper.put(f"server {order.server}", Role.HEAD, facts=[("server", order.server)])
    paper.barcode(f"{order.number:012}")


def ledger(paper: Paper, order: Order, words: Words) -> None:
    """42 columns as a table, guests one after the other, number with a dash."""
    at = order.at
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPRINTED", Kind.VOID: "VOID"}.get(order.kind, "CHANGED ORDER")
        paper.put(f"---- {said} ----", Role.MARK, style=CENTRED)
    number = f"{order.till}-{order.number}"
    facts = [("number", number), ("place", f"Table {order.place}")]
    if not order.is_floor:
        facts = [("number", number), ("place", f"Counter {order.place}")]
    paper.put(paper.both(f"Check {number}", facts[1][1]), Role.HEAD, style=BOLD, facts=facts)
    facts = [("server", order.server), ("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    paper.put(paper.both(order.server, f"{at:%Y-%m-%d %H:%M}"), Role.HEAD, facts=facts)
    paper.put("Qty  Item", style=Style(underline=1))
    row = Row(form="{quantity:>3}  {name}", indent="       ", loud=BOLD)
    half = (len(order.drinks) + 1) // 2
    for guest, items in enumerate((order.drinks[:half], order.drinks[half:]), start=1):
        if items and len(order.drinks) > 2:
            paper.put(f"Guest {guest}")
        put_items(paper, words, items, row)
    if order.foods:
        paper.put("FOOD")
        put_items(paper, words, order.foods, row)
    paper.rule(".")


LAYOUTS = (
    Layout(
        name="galley",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(allergy="** ALLERGY: {} **"),
        write=galley,
        finish=by_cut,
    ),
    Layout(
        name="narrow",
        columns=32,
        model="default",
        code_page="CP850",
        words=Words(
            case=str.upper,
            allergy="!ALLERGY {}!",
            single="{spirit}/{mixer}",
            double="DBL {spirit}/{mixer}",
            ways={"swap": "swap {out} > {into}", "add": "add {into}"},
            name_room=24,
        ),
        write=narrow,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="receipt",
        columns=48,
        model="TM-T20II",
        code_page="CP1252",
        words=Words(case=titled, allergy="Allergy: {}", note="Note: {}"),
        write=receipt,
        finish=by_cut,
    ),
    Layout(
        name="chalk",
        columns=42,
        model="simple",
        raw_encoding="cp437",
        words=Words(
            allergy="allergic to {}",
            ways={"leave_out": "- {out}", "swap": "{into} instead of {out}"},
            single="{spirit} and {mixer}",
            double="double {spirit} and {mixer}",
        ),
        write=chalk,
        finish=by_form_feed,
        has_food=False,
    ),
    Layout(
        name="kontor",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            allergy="ALLERGIE: {}",
            note="Hinweis: {}",
            ways={"leave_out": "ohne {out}", "swap": "{into} statt {out}", "add": "mit {into}"},
            single="{spirit} {mixer}",
            double="{spirit} {mixer} doppelt",
        ),
        write=kontor,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="terse",
        columns=32,
        model="TM-U220",
        raw_encoding="cp437",
        words=Words(
            case=str.upper,
            allergy="ALLERGY {}",
            single="{spirit} + {mixer}",
            double="LARGE {spirit} + {mixer}",
            ways={"leave_out": "w/o {out}", "add": "extra {into}"},
            name_room=28,
        ),
        write=terse,
        finish=by_quiet,
        has_food=False,
    ),
    Layout(
        name="poster",
        columns=48,
        model="CT-S651",
        code_page="CP858",
        words=Words(allergy="ALLERGY {}", note="({})"),
        write=poster,
        finish=by_cut,
    ),
    Layout(
        name="ledger",
        columns=42,
        model="RP326",
        code_page="CP1252",
        words=Words(
            case=titled,
            allergy="Allergy - {}",
            note="* {}",
            ways={"leave_out": "without {out}"},
        ),
        write=ledger,
        finish=by_part_cut,
    ),
)
