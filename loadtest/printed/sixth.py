"""Six more layouts, invented: held out until the reader had been mended twice and tried on them."""

from __future__ import annotations

from .layout import Layout, by_cut, by_part_cut, by_quiet
from .orders import Item, Order, house
from .paper import Paper, Style, euros, pounds, wrapped
from .parts import Labels, Row, allergy_and_note, put_item, put_items, put_totals, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)
REVERSED = Style(bold=True, invert=True)


def bistro(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, French; how many at the right edge behind a sign, the hour with spaces."""
    at = order.at
    paper.put("Bistro du Marais Salant", style=CENTRED)
    place = f"Véranda {order.place}" if order.is_floor else f"Zinc {order.place}"
    facts = [("place", place), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(place, f"{at.hour} h {at:%M}"), Role.HEAD, style=TALL, facts=facts)
    number = f"{order.number}"
    facts = [("number", number), ("server", order.server)]
    paper.put(f"Commande n° {number} prise par {order.server}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATA", Kind.VOID: "ANNULÉE"}.get(order.kind, "CORRECTION")
        paper.put(f"* * * {said} * * *", Role.MARK, style=CENTRED)
    paper.rule("-")
    for item in order.drinks:
        first, *more = wrapped(words.on_paper(item), paper.columns - 6)
        line = paper.both(first, f"x{item.quantity}")
        paper.put(line, Role.DRINK, style=BOLD, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON, style=BOLD)
        under(paper, words, item, indent="   ", loud=REVERSED)
    paper.rule("-")
    paper.put(f"{order.covers} convives")


def barco(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, Portuguese; a code before every name, then how many and prices."""
    at = order.at
    paper.put("BARCO BAR LTDA", style=CENTRED)
    paper.put("CUPOM SEM VALOR FISCAL", style=CENTRED)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "SEGUNDA VIA", Kind.VOID: "CANCELADO"}.get(order.kind, "CORRIGIDO")
        paper.put(said, Role.MARK, style=LARGE)
    number = f"{order.number:06}"
    place = f"MESA {order.place}" if order.is_floor else f"BALCÃO {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(paper.both(f"PEDIDO: {number}", place), Role.HEAD, style=BOLD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}"), ("server", order.server)]
    right = f"GARÇOM: {order.server}"
    stamp = f"{at:%d/%m/%Y} {at:%H:%M:%S}"
    paper.put(paper.both(stamp, right), Role.HEAD, facts=facts)
    paper.put(f"{'COD.':<6}{'DESCRIÇÃO':<24}{'QTD':>3}{'UNIT':>7}{'TOTAL':>8}")
    for item in order.drinks:
        first, *more = wrapped(words.on_paper(item), 23)
        each, whole = _comma(item.pence), _comma(item.pence * item.quantity)
        line = f"{_code(item):<6}{first:<24}{item.quantity:>3}{each:>7}{whole:>8}"
        paper.put(line, Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(f"      {rest}", Role.GOES_ON)
        under(paper, words, item, indent="      ", sign="- ", loud=BOLD)
    paper.put(paper.both("TOTAL R$", _comma(order.pence)), style=TALL)
    paper.put("OBRIGADO, VOLTE SEMPRE", style=CENTRED)


def trattoria(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Italian; pieces, capitals; the table short; who and when at the foot."""
    at = order.at
    place = f"TAV. {order.place}" if order.is_floor else f"BANCO {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPIA", Kind.VOID: "STORNO"}.get(order.kind, "VARIAZIONE")
        paper.put(f"## {said} ##", Role.MARK, style=BOLD)
    paper.rule("=")
    row = Row(form="{quantity} PZ {name}", indent="     ", loud=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.rule("=")
    number = f"{order.number}/{order.at:%y}"
    paper.put(f"COMANDA {number}", Role.HEAD, facts=[("number", number)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}"), ("server", order.server)]
    paper.put(f"{at:%d-%m-%Y} {at:%H:%M} - {order.server}", Role.HEAD, facts=facts)


def hotel(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; rooms for tables, amounts in brackets, changes behind semicolons."""
    at = order.at
    paper.put("THE SALTMARCH HOTEL - LOBBY BAR", style=Style(bold=True, align="center"))
    paper.put()
    number = f"HB-{order.number:05}"
    place = f"Room 2{int(order.place):02}" if order.is_floor else f"Bar {order.place}"
    paper.put(f"Guest at : {place}", Role.HEAD, style=BOLD, facts=[("place", place)])
    paper.put(f"Order    : {number}", Role.HEAD, facts=[("number", number)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Taken    : {at:%A %d %B %Y}, {at:%H:%M}", Role.HEAD, facts=facts)
    paper.put(f"By       : {order.server}", Role.HEAD, facts=[("server", order.server)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPY OF ORDER", Kind.VOID: "ORDER CANCELLED"}.get(
            order.kind, "ORDER CHANGED"
        )
        paper.put(said, Role.MARK, style=TALL)
    paper.rule("-")
    for item in order.drinks:
        said = "; ".join([words.on_paper(item), *map(words.change, item.changes)])
        first, *more = wrapped(f"{item.quantity}x  {said}", paper.columns - 11, indent="    ")
        price = f"({pounds(item.pence * item.quantity)})"
        paper.put(paper.both(first, price), Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        allergy_and_note(paper, words, item, "    ")
    paper.rule("-")
    paper.put(paper.both("Charge to room", pounds(order.pence)))
    paper.put("Signature ______________________________")


def keller(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Swiss; numbers with a word and a point, amounts in francs, food among drinks."""
    at = order.at
    paper.put("Kellerbar Salzmoor", style=Style(bold=True, tall=True, align="center"))
    place = f"Tisch-Nr. {order.place}" if order.is_floor else f"Bar-Nr. {order.place}"
    number = f"{order.till}{order.number:04}"
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, f"Rg. {number}"), Role.HEAD, style=BOLD, facts=facts)
    paper.put(f"Bedient von: {order.server}", Role.HEAD, facts=[("server", order.server)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{at:%d.%m.%Y} / {at:%H.%M} Uhr", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLIKAT", Kind.VOID: "STORNO"}.get(order.kind, "ÄNDERUNG")
        paper.put(said, Role.MARK, style=LARGE)
    paper.rule("=")
    row = Row(form="{quantity} Stk. {name}", money=pounds, indent="       ", loud=BOLD)
    for heading, items in (("GETRÄNKE", order.drinks), ("KÜCHE", order.foods)):
        if items:
            paper.put(heading, style=Style(underline=1))
            put_items(paper, words, items, row)
    paper.rule("=")
    labels = Labels(
        subtotal="Zwischentotal", discount="Rabatt", total="Total CHF", tax="MWST inkl. 8.1%"
    )
    put_totals(paper, order, labels)
    paper.put("Besten Dank, auf Wiedersehen", style=CENTRED)


def lounge(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; the number alone on top, a dot before drinks, who sent it last."""
    at = order.at
    number = str(order.number)
    paper.put(number, Role.HEAD, style=LARGE, facts=[("number", number)])
    place = f"VIP {order.place}" if order.is_floor else f"BAR {order.place}"
    paper.put(f">>> {place} <<<", Role.HEAD, style=TALL, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "reprint", Kind.VOID: "voided"}.get(order.kind, "correction")
        paper.put(f"-- {said} --", Role.MARK, style=TALL)
    paper.put()
    row = Row(form="* {quantity} {name}", indent="     ", loud=BOLD, style=BOLD)
    for item in order.drinks:
        put_item(paper, words, item, row)
    paper.put()
    clock = f"{at:%I:%M %p}".lower()
    facts = [("time", f"{at:%H:%M}"), ("server", order.server)]
    paper.put(f"sent {clock} by {order.server}", Role.HEAD, facts=facts)


def _code(item: Item) -> str:
    """Give the number this drink has in the till."""
    recipes = house().menu.recipes
    return f"{101 + recipes.index(item.recipe) if item.recipe else 301:04}"


def _comma(cents: int) -> str:
    return euros(cents).removesuffix(" €")


LAYOUTS = (
    Layout(
        name="bistro",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            allergy="Allergie : {}",
            note="NB : {}",
            ways={
                "leave_out": "SANS {out}",
                "add": "AVEC {into}",
                "swap": "{into} AU LIEU DE {out}",
                "on_the_rocks": "sur glace",
                "no_ice": "SANS glace",
            },
            single="{spirit} {mixer}",
            double="double {spirit} {mixer}",
        ),
        write=bistro,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="barco",
        columns=48,
        model="TM-T20II",
        code_page="CP850",
        words=Words(
            case=str.upper,
            allergy="ALERGIA: {}",
            note="OBS: {}",
            ways={
                "leave_out": "sem {out}",
                "add": "com {into}",
                "swap": "trocar {out} por {into}",
                "double": "duplo",
                "on_the_rocks": "com gelo",
                "no_ice": "sem gelo",
            },
            single="{spirit} com {mixer}",
            double="{spirit} duplo com {mixer}",
        ),
        write=barco,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="trattoria",
        columns=32,
        model="ZJ-5870",
        code_page="CP850",
        words=Words(
            case=str.upper,
            allergy="ALLERGIA {}",
            note="NOTA {}",
            ways={
                "leave_out": "no {out}",
                "add": "+ {into}",
                "swap": "{into} invece di {out}",
                "double": "doppio",
                "on_the_rocks": "on the rocks",
                "no_ice": "no ghiaccio",
            },
            single="{spirit} {mixer}",
            double="{spirit} doppio {mixer}",
        ),
        write=trattoria,
        finish=by_quiet,
        has_food=False,
    ),
    Layout(
        name="hotel",
        columns=48,
        model="TM-T88V",
        code_page="CP1252",
        words=Words(
            allergy="Guest is allergic to {}",
            note="Please note: {}",
            ways={"add": "with {into}", "swap": "{into} in place of {out}"},
            single="{spirit} and {mixer}",
            double="double {spirit} and {mixer}",
        ),
        write=hotel,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="keller",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            case=titled,
            allergy="!! Allergie {} !!",
            note="-> {}",
            ways={
                "leave_out": "Ohne {out}",
                "add": "Mit {into}",
                "swap": "{into} Statt {out}",
                "double": "Doppelt",
                "on_the_rocks": "Auf Eis",
                "no_ice": "Ohne Eis",
            },
            single="{spirit} {mixer}",
            double="Gross {spirit} {mixer}",
        ),
        write=keller,
        finish=by_cut,
    ),
    Layout(
        name="lounge",
        columns=42,
        model="default",
        raw_encoding="cp437",
        words=Words(
            allergy="allergy - {}",
            note=">> {} <<",
            ways={"leave_out": "w/o {out}", "add": "w/ {into}", "swap": "{out} > {into}"},
            single="{spirit} {mixer}",
            double="{spirit} {mixer} DBL",
        ),
        write=lounge,
        finish=by_part_cut,
        has_food=False,
    ),
)
