"""Four more layouts, invented: held out until the reader had been mended on the seventh set."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut
from .orders import Item, Order
from .paper import Paper, Style, pounds, wrapped
from .parts import Row, put_items, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)
WEEKDAYS = ("Llun", "Mawrth", "Mercher", "Iau", "Gwener", "Sadwrn", "Sul")


def tafarn(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Welsh: a tongue of which the reader knows nothing; the day's name before it."""
    at = order.at
    paper.put("Y Tŷ Halen", style=CENTRED)
    number = f"{order.number}"
    place = f"Bwrdd {order.place}" if order.is_floor else f"Stôl {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(paper.both(f"Archeb rhif {number}", place), Role.HEAD, style=TALL, facts=facts)
    paper.put(f"Gweinydd: {order.server}", Role.HEAD, facts=[("server", order.server)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{WEEKDAYS[at.weekday()]} {at:%d/%m/%Y} am {at:%H:%M}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPI", Kind.VOID: "CANSLWYD"}.get(order.kind, "CYWIRIAD")
        paper.put(f"*** {said} ***", Role.MARK, style=TALL)
    paper.rule("-")
    row = Row(form="{quantity} x {name}", indent="     ", loud=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.rule("-")
    paper.put("Diolch yn fawr", style=CENTRED)


def liner(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, a ship; how many, of what price and what it makes in words below the name."""
    at = order.at
    paper.put("S.S. SALTMARCH // PROMENADE BAR", style=CENTRED)
    number = f"L-{order.number:04}"
    place = f"Lounge C-{order.place}" if order.is_floor else f"Rail {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(paper.both(f"Ticket: {number}", f"To: {place}"), Role.HEAD, style=BOLD, facts=facts)
    facts = [("server", order.server), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    stamp = f"{at:%d %b %y} - {at:%H:%M}".upper()
    paper.put(paper.both(f"Steward: {order.server}", stamp), Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE PRINT", Kind.VOID: "CANCEL - DO NOT PREPARE"}.get(
            order.kind, "CHANGE OF ORDER"
        )
        paper.put(said, Role.MARK, style=TALL)
    paper.rule("=")
    for item in order.drinks:
        for index, row in enumerate(wrapped(words.on_paper(item), paper.columns)):
            role, many = (Role.GOES_ON, 0) if index else (Role.DRINK, item.quantity)
            paper.put(row, role, style=BOLD, quantity=many)
        each, whole = pounds(item.pence), pounds(item.pence * item.quantity)
        paper.put(paper.both(f"    QTY {item.quantity}   EACH {each}", whole), Role.AMOUNT)
        under(paper, words, item, indent="    ", sign="* ", loud=BOLD)
    paper.rule("=")
    paper.put(paper.both("TO CABIN ACCOUNT", pounds(order.pence)), style=BOLD)


def arcade(paper: Paper, order: Order, words: Words) -> None:
    """32 columns; a guest's place before how many; whole sentences about the ticket."""
    at = order.at
    place = f"Booth {order.place}" if order.is_floor else f"Counter {order.place}"
    paper.put(f"Order {order.number} for {place}", Role.HEAD, style=BOLD, facts=_of(order, place))
    if order.kind is not Kind.TICKET:
        said = {
            Kind.REPRINT: "This is a copy, do not make it",
            Kind.VOID: "This order is cancelled",
        }.get(order.kind, "This order was changed to:")
        paper.put(said, Role.MARK, style=Style(invert=True))
    paper.put()
    for heading, items in (("Pour:", order.drinks), ("Plate:", order.foods)):
        if items:
            paper.put(heading, style=Style(underline=1))
        for index, item in enumerate(items):
            _placed(paper, words, item, 1 + index % order.covers)
    paper.put()
    clock = f"{at:%I:%M%p}".lower().lstrip("0")
    facts = [("server", order.server), ("time", f"{at:%H:%M}")]
    paper.put(f"{order.server} sent this at {clock}", Role.HEAD, facts=facts)


def brussel(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; every label in two tongues with a stroke between; how many behind a point."""
    at = order.at
    paper.put("Bar du Sel / Zoutbar", style=CENTRED)
    number = f"{order.number:05}"
    place = f"Table/Tafel {order.place}" if order.is_floor else f"Comptoir/Toog {order.place}"
    paper.put(f"Commande/Bestelling {number}", Role.HEAD, style=BOLD, facts=[("number", number)])
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    paper.put(f"Serveur/Bediening: {order.server}", Role.HEAD, facts=[("server", order.server)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Date/Datum: {at:%d-%m-%Y}  {at:%H:%M}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPIE / KOPIE", Kind.VOID: "ANNULÉ / GEANNULEERD"}.get(
            order.kind, "MODIFIÉ / GEWIJZIGD"
        )
        paper.put(f"-- {said} --", Role.MARK, style=TALL)
    paper.rule("-")
    put_items(paper, words, order.drinks, Row(form="{quantity}. {name}", indent="    ", loud=BOLD))
    paper.rule("-")
    paper.put(f"{order.covers} pers.")


def _of(order: Order, place: str) -> list[tuple[str, str]]:
    return [("number", str(order.number)), ("place", place)]


def _placed(paper: Paper, words: Words, item: Item, guest: int) -> None:
    name = words.case(item.food) if item.food else words.on_paper(item)
    first, *more = wrapped(f"P{guest} {item.quantity} {name}", paper.columns, indent="     ")
    role, rest_role = (Role.FOOD, Role.FOOD) if item.food else (Role.DRINK, Role.GOES_ON)
    paper.put(first, role, quantity=0 if item.food else item.quantity)
    for rest in more:
        paper.put(rest, rest_role)
    under(paper, words, item, indent="     ", loud=BOLD)


LAYOUTS = (
    Layout(
        name="tafarn",
        columns=42,
        model="TM-T88V",
        code_page="CP1252",
        words=Words(
            allergy="Alergedd: {}",
            note="Nodyn: {}",
            ways={
                "leave_out": "heb {out}",
                "add": "gyda {into}",
                "swap": "{into} yn lle {out}",
                "double": "dwbl",
                "on_the_rocks": "ar rew",
                "no_ice": "heb rew",
            },
            single="{spirit} a {mixer}",
            double="{spirit} dwbl a {mixer}",
        ),
        write=tafarn,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="liner",
        columns=48,
        model="TM-T20II",
        code_page="CP437",
        words=Words(
            case=str.upper,
            allergy="* DIETARY: {}",
            note="* REMARKS: {}",
            ways={"leave_out": "NO {out}", "add": "WITH {into}", "swap": "{into}, NO {out}"},
            single="{spirit} WITH {mixer}",
            double="{spirit} WITH {mixer}, DOUBLE",
        ),
        write=liner,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="arcade",
        columns=32,
        model="default",
        raw_encoding="cp437",
        words=Words(
            case=titled,
            allergy="Allergy ({})",
            note="- {} -",
            ways={
                "leave_out": "no {out}",
                "add": "plus {into}",
                "swap": "make it {into} for {out}",
            },
            single="{spirit} + {mixer}",
            double="{spirit} + {mixer} Dbl",
        ),
        write=arcade,
        finish=by_form_feed,
    ),
    Layout(
        name="brussel",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            allergy="Allergie: {}",
            note="NB/Let op: {}",
            ways={
                "leave_out": "sans/zonder {out}",
                "add": "avec/met {into}",
                "swap": "{into} pour/voor {out}",
                "double": "double/dubbel",
                "on_the_rocks": "sur glace/op ijs",
                "no_ice": "sans glace/zonder ijs",
            },
            single="{spirit} {mixer}",
            double="double/dubbele {spirit} {mixer}",
        ),
        write=brussel,
        finish=by_cut,
        has_food=False,
    ),
)
