"""Four more layouts, invented: held out until the reader had been mended on eight sets."""

from __future__ import annotations

from .layout import Layout, by_cut, by_part_cut, by_quiet
from .orders import Item, Order
from .paper import Paper, Style, pounds, wrapped
from .parts import Labels, Row, put_item, put_items, put_totals, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)


def orangery(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; facts in round brackets, tallies for how many, the void on every line."""
    at = order.at
    paper.put("The Orangery", style=Style(bold=True, align="center"))
    place = f"Lawn {order.place}" if order.is_floor else f"Hob {order.place}"
    paper.put(f"( {place} )", Role.HEAD, style=LARGE, facts=[("place", place)])
    number = f"{order.number:04}"
    facts = [("number", number), ("server", order.server), ("time", f"{at:%H:%M}")]
    text = f"(no {number}) ({order.server}) ({at:%H:%M})"
    paper.put(text, Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "printed once more", Kind.VOID: "all void"}.get(
            order.kind, "put right"
        )
        paper.put(f"( {said} )", Role.MARK, style=TALL)
    paper.put()
    for item in order.drinks:
        form = "void {quantity} x {name}" if order.kind is Kind.VOID else "{quantity} x {name}"
        put_item(paper, words, item, Row(form=form, indent="    ", sign="~ ", loud=BOLD))
        paper.put()
    paper.put(f"( {sum(item.quantity for item in order.drinks)} to make )", style=CENTRED)


def lokal(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, German; short for everything, the day's number, prices before names."""
    at = order.at
    place = f"T-{order.place}" if order.is_floor else f"B-{order.place}"
    number = f"{at:%j}.{order.number}"
    facts = [("place", place), ("number", number), ("server", order.server)]
    text = f"{place} | {number} | {order.server}"
    paper.put(text, Role.HEAD, style=TALL, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"vom {at:%d.%m.%Y}, {at:%H:%M:%S} Uhr", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "2. Ausdruck", Kind.VOID: "entfällt"}.get(order.kind, "berichtigt")
        paper.put(f">>> {said} <<<", Role.MARK, style=BOLD)
    paper.rule("=")
    for item in order.drinks:
        price = pounds(item.pence * item.quantity).replace(".", ",")
        first, *more = wrapped(f"{item.quantity} {words.on_paper(item)}", 38, indent="  ")
        paper.put(f"{price:>8} {first}", Role.DRINK, style=BOLD, quantity=item.quantity)
        for rest in more:
            paper.put(f"{'':>9}{rest}", Role.GOES_ON, style=BOLD)
        under(paper, words, item, indent=" " * 13, loud=BOLD)
    paper.rule("=")
    whole = pounds(order.pence).replace(".", ",")
    paper.put(f"{whole:>8} zusammen", style=BOLD)


def stadium(paper: Paper, order: Order, words: Words) -> None:
    """32 columns; rows and seats for places, large drinks, courses as headings, food among them."""
    at = order.at
    place = f"Row {order.place}" if order.is_floor else f"Kiosk {order.place}"
    paper.put(f"DELIVER TO {place}", Role.HEAD, style=BOLD, facts=[("place", place)])
    number = f"{order.number}-{order.covers}"
    paper.put(f"JOB NUMBER {number}", Role.HEAD, facts=[("number", number)])
    facts = [("server", order.server), ("time", f"{at:%H:%M}")]
    clock = f"{at:%I.%M %p}".lower()
    paper.put(f"PLACED {clock} BY {order.server}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPEAT TICKET", Kind.VOID: "VOIDED TICKET"}.get(
            order.kind, "EDITED TICKET"
        )
        paper.put(said, Role.MARK, style=TALL)
    paper.rule("*")
    for heading, items in (("FIRST HALF", order.drinks), ("SECOND HALF", order.foods)):
        if items:
            paper.put(f"*{heading}*")
        row = Row(form="{quantity}-{name}", style=TALL, indent="  ", sign=">")
        put_items(paper, words, items, row)
    paper.rule("*")


def chalet(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, French; how many at the very left of a table with strokes, sizes in words."""
    at = order.at
    paper.put("Chalet des Salines", style=CENTRED)
    number = f"{order.till}-{order.number}"
    place = f"Terrasse {order.place}" if order.is_floor else f"Zinc {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(f"Bon {number} pour {place}", Role.HEAD, style=BOLD, facts=facts)
    facts = [("time", f"{at:%H:%M}"), ("server", order.server), ("date", f"{at:%Y-%m-%d}")]
    text = f"envoyé le {at:%d/%m/%Y} à {at:%Hh%M} par {order.server}"
    paper.put(text, Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "déjà imprimé", Kind.VOID: "à annuler"}.get(order.kind, "rectifié")
        paper.put(f"!! {said} !!", Role.MARK, style=TALL)
    paper.rule("-")
    paper.put(f"{'Qté':<4}| Désignation")
    paper.rule("-")
    for item in order.drinks:
        _between_strokes(paper, words, item)
    paper.rule("-")
    put_totals(paper, order, LABELS)


def _between_strokes(paper: Paper, words: Words, item: Item) -> None:
    first, *more = wrapped(words.on_paper(item), 36)
    paper.put(f"{item.quantity:<4}| {first}", Role.DRINK, quantity=item.quantity)
    for rest in more:
        paper.put(f"    | {rest}", Role.GOES_ON)
    if item.spirit:
        size = "grand format" if item.measure == "double" else "petit format"
        paper.put(f"    |   {size}", Role.GOES_ON)
    under(paper, words, item, indent="    |   ", loud=BOLD)


LABELS = Labels(subtotal="Sous-total", discount="Remise", total="À régler", tax="dont TVA 20%")
LAYOUTS = (
    Layout(
        name="orangery",
        columns=42,
        model="TM-T88V",
        code_page="CP1252",
        words=Words(
            allergy="allergies! {}",
            note="~ please: {}",
            ways={"leave_out": "omit {out}", "add": "and {into}", "swap": "{into} replaces {out}"},
            single="{spirit} with {mixer}",
            double="{spirit} with {mixer} [double]",
        ),
        write=orangery,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="lokal",
        columns=48,
        model="TM-T20II",
        code_page="CP858",
        words=Words(
            allergy="ACHTUNG {}-Allergie",
            note="Gast sagt: {}",
            ways={
                "leave_out": "o. {out}",
                "add": "m. {into}",
                "swap": "{into} f. {out}",
                "double": "dopp.",
                "on_the_rocks": "a. Eis",
                "no_ice": "o. Eis",
            },
            single="{spirit} {mixer}",
            double="dopp. {spirit} {mixer}",
        ),
        write=lokal,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="stadium",
        columns=32,
        model="default",
        raw_encoding="cp437",
        words=Words(
            case=str.upper,
            allergy=">ALLERGY {}<",
            note=">{}",
            ways={"leave_out": "NO {out}", "add": "ADD {into}", "swap": "{into} INST {out}"},
            single="{spirit} & {mixer}",
            double="LGE {spirit} & {mixer}",
        ),
        write=stadium,
        finish=by_quiet,
    ),
    Layout(
        name="chalet",
        columns=42,
        model="TM-T88V",
        code_page="CP850",
        words=Words(
            case=titled,
            allergy="ALLERGIE {}",
            note="« {} »",
            ways={
                "leave_out": "Retirer {out}",
                "add": "Ajouter {into}",
                "swap": "Remplacer {out} par {into}",
                "double": "Double dose",
                "on_the_rocks": "Avec glaçons",
                "no_ice": "Sans glaçons",
            },
            single="{spirit} {mixer}",
            double="{spirit} {mixer}",
        ),
        write=chalet,
        finish=by_cut,
        has_food=False,
    ),
)
