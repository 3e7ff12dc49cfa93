"""Three more layouts, invented: held out until the reader had been mended on nine sets."""

from __future__ import annotations

from .layout import Layout, by_cut, by_part_cut
from .orders import Item, Order
from .paper import Paper, Style, pounds, wrapped
from .parts import Row, put_items, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
TALL = Style(bold=True, tall=True)


def winery(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; one fact a line in sentences, how many as "times", the foot first."""
    at = order.at
    paper.put("Saltmarch Cellar Door", style=CENTRED)
    place = f"Barrel {order.place}" if order.is_floor else f"Ledge {order.place}"
    facts = [("server", order.server), ("place", place)]
    text = f"{order.server} took this order at {place}"
    paper.put(text, Role.HEAD, style=BOLD, facts=facts)
    facts = [("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    paper.put(f"It is {at:%H:%M} on {at:%A} {at:%d/%m/%Y}", Role.HEAD, facts=facts)
    number = f"{order.number}"
    paper.put(f"Its number is {number}", Role.HEAD, facts=[("number", number)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Printed twice", Kind.VOID: "No longer wanted"}.get(
            order.kind, "Changed since"
        )
        paper.put(f"! {said} !", Role.MARK, style=TALL)
    paper.rule("-")
    row = Row(form="{quantity} times {name}", indent="      ", sign="- ", loud=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.rule("-")


def tanzlokal(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, German and English mixed; changes behind a stroke, guests at the left edge."""
    at = order.at
    number = f"N{order.number:05}"
    place = f"Loge {order.place}" if order.is_floor else f"Tresen {order.place}"
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, number), Role.HEAD, style=TALL, facts=facts)
    facts = [("server", order.server), ("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    paper.put(f"{order.server}, {at:%d.%m.%y}, {at:%H:%M}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Copy", Kind.VOID: "Weg damit / storniert"}.get(
            order.kind, "Neu gefasst / geändert"
        )
        paper.put(said.upper(), Role.MARK, style=BOLD)
    paper.rule("#")
    for item in order.drinks:
        first, *more = wrapped(f"{item.quantity:>2}  {words.on_paper(item)}", 42, indent="    ")
        paper.put(first, Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        under(paper, words, item, indent="    / ", loud=BOLD)
    paper.rule("#")
    paper.put(f"Summe {pounds(order.pence)}", style=BOLD)


def harbour(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; a frame of strokes around everything, prices, food under a heading."""
    at = order.at
    place = f"Quay {order.place}" if order.is_floor else f"Mooring {order.place}"
    number = f"{order.till}{order.number}"
    facts = [("place", place), ("number", number)]
    paper.put(_framed(f"Berth: {place}", f"Order {number}"), Role.HEAD, style=BOLD, facts=facts)
    facts = [("server", order.server), ("time", f"{at:%H:%M}")]
    paper.put(_framed(f"Hand: {order.server}", f"{at:%H:%M}"), Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Reprint", Kind.VOID: "Cancelled"}.get(order.kind, "Updated")
        paper.put(_framed(said.upper(), ""), Role.MARK, style=BOLD)
    paper.put(f"+{'-' * 46}+")
    for heading, items in (("From the taps", order.drinks), ("From the galley", order.foods)):
        if items:
            paper.put(_framed(heading, ""))
        for item in items:
            name = words.case(item.food) if item.food else words.on_paper(item)
            first, *more = wrapped(f"{item.quantity} x {name}", 34, indent="    ")
            role, rest_role = (Role.FOOD, Role.FOOD) if item.food else (Role.DRINK, Role.GOES_ON)
            price = pounds(item.pence * item.quantity)
            paper.put(_framed(first, price), role, quantity=0 if item.food else item.quantity)
            for rest in more:
                paper.put(_framed(rest, ""), rest_role)
            for role, text in _said(words, item):
                paper.put(_framed(f"    {text}", ""), role)
    paper.put(f"+{'-' * 46}+")


def _framed(left: str, right: str) -> str:
    room = 44 - len(right)
    return f"| {left[:room]:<{room}}{right} |"


def _said(words: Words, item: Item) -> list[tuple[Role, str]]:
    """Give what is said of an item, cut to one line each."""
    if item.food:
        return [(Role.FOOD, words.case(item.note))] if item.note else []
    said = [(Role.CHANGE, words.change(change)) for change in item.changes]
    said += [(Role.ALLERGY, words.allergies(item))] if item.allergies else []
    return said + ([(Role.NOTE, words.note.format(words.case(item.note)))] if item.note else [])


LAYOUTS = (
    Layout(
        name="winery",
        columns=42,
        model="TM-T88V",
        code_page="CP1252",
        words=Words(
            allergy="cannot have {}",
            note="they said: {}",
            ways={"leave_out": "without {out}", "add": "with {into}"},
            single="{spirit} and {mixer}",
            double="double {spirit} and {mixer}",
        ),
        write=winery,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="tanzlokal",
        columns=42,
        model="TM-T20II",
        code_page="CP858",
        words=Words(
            allergy="Allergie! {}",
            note="Info {}",
            ways={
                "leave_out": "ohne {out}",
                "add": "plus {into}",
                "swap": "{into} anstelle von {out}",
                "double": "doppelt",
                "on_the_rocks": "auf Eis",
                "no_ice": "ohne Eis",
            },
            single="{spirit} + {mixer}",
            double="{spirit} + {mixer}, doppelt",
        ),
        write=tanzlokal,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="harbour",
        columns=48,
        model="TM-T88V",
        code_page="CP437",
        words=Words(
            case=titled,
            allergy="Allergy: {}",
            note="Note: {}",
            ways={"leave_out": "no {out}", "add": "add {into}"},
            single="{spirit} & {mixer}",
            double="double {spirit} & {mixer}",
        ),
        write=harbour,
        finish=by_part_cut,
    ),
)
