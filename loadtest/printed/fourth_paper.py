"""How the eight tills of the fourth set put an order on paper."""

from __future__ import annotations

from .orders import Item, Order
from .paper import Paper, Style, euros, pounds, wrapped
from .parts import Labels, Row, allergy_and_note, put_item, put_items, put_totals, under
from .truth import Kind, Role
from .words import Words

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)
REVERSED = Style(bold=True, invert=True, align="center")
WHOLE_NAMES = {
    "Mo": "Mo Hale",
    "Pia": "Pia van Dam",
    "Zoë": "Zoë Marsh",
    "Renée": "Renée B.",
    "Jürgen": "Jürgen K.",
    "Siân": "Siân Price",
    "Tam": "Tam O.",
    "Ana": "Ana Prieto",
    "Björn": "Björn H.",
    "Iñes": "Iñes da Costa",
}
ROOMS = (
    *("Snug", "Garden", "Window", "Fireside", "Gallery", "Long Room", "Cellar", "Porch"),
    *("Library", "Pier Side", "Corner", "Orchard"),
)
WEEKDAYS = ("man", "tir", "ons", "tor", "fre", "lør", "søn")
MONTHS = (
    *("jan", "feb", "mar", "apr", "mai", "jun"),
    *("jul", "aug", "sep", "okt", "nov", "des"),
)


def taverna(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Italian; a reversed title, points in the time, prices with the sign first."""
    at = order.at
    paper.put(" COMANDA BANCO ", style=Style(bold=True, invert=True, tall=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "RISTAMPA", Kind.VOID: "ANNULLATA"}.get(order.kind, "RETTIFICA")
        paper.put(f"*** {said} ***", Role.MARK, style=CENTRED)
    place = f"Tavolo {order.place}" if order.is_floor else f"Banco {order.place}"
    facts = [("place", place)]
    paper.put(paper.both(place, f"Coperti {order.covers}"), Role.HEAD, style=BOLD, facts=facts)
    name = WHOLE_NAMES[order.server]
    paper.put(f"Cameriere: {name}", Role.HEAD, facts=[("server", name)])
    number = f"{order.number:04}"
    facts = [("number", number), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    stamp = f"del {at:%d/%m/%Y} ore {at:%H.%M}"
    paper.put(f"Comanda n. {number} {stamp}", Role.HEAD, facts=facts)
    paper.rule("-")
    row = Row(form="{quantity:>2} x {name}", money=_first, indent="     ", loud=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.rule("-")
    labels = Labels(
        subtotal="Subtotale",
        discount="Sconto",
        total="TOTALE EURO",
        tax="di cui IVA 22%",
        money=_first,
    )
    put_totals(paper, order, labels)
    paper.put("Documento non fiscale", style=CENTRED)


def bodega(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Spanish; units after how many, everything under a drink in square brackets."""
    at = order.at
    number = f"T-{order.number:04}"
    paper.put(f"PEDIDO {number}", Role.HEAD, style=TALL, facts=[("number", number)])
    place = f"SALON {order.place}" if order.is_floor else f"BARRA {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REIMPRESION", Kind.VOID: "ANULACION"}.get(order.kind, "MODIFICACION")
        paper.put(said, Role.MARK, style=Style(bold=True, invert=True))
    name = WHOLE_NAMES[order.server]
    paper.put(f"Atendido por: {name}", Role.HEAD, facts=[("server", name)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Fecha: {at:%d-%m-%y} Hora: {at:%H:%M}h", Role.HEAD, facts=facts)
    paper.rule("=")
    for item in order.drinks:
        put_item(paper, words, item, Row(form="{quantity} ud. {name}", indent="  ", loud=BOLD))
    paper.rule("=")
    total = sum(item.quantity for item in order.drinks)
    paper.put(f"Total unidades: {total}")


def brouwer(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, Dutch; a table with the price of one and of all behind the name."""
    at = order.at
    paper.put("Saltmarch House aan de kade", style=CENTRED)
    paper.put("Kade 3, btw-nr. NL000000000B00", style=CENTRED)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIE", Kind.VOID: "GEANNULEERD"}.get(order.kind, "GEWIJZIGD")
        paper.put(said, Role.MARK, style=LARGE)
    number = f"2027{order.number:05}"
    place = f"Tafel {order.place}" if order.is_floor else f"Bar {order.place}"
    paper.put(f"Bonnummer : {number}", Role.HEAD, facts=[("number", number)])
    paper.put(f"Plaats    : {place}", Role.HEAD, facts=[("place", place)])
    paper.put(f"Bediening : {order.server}", Role.HEAD, facts=[("server", order.server)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Datum     : {at:%d-%m-%Y}  Tijd : {at:%H:%M}", Role.HEAD, facts=facts)
    paper.put()
    paper.put(f"{'Aant.':<6}{'Omschrijving':<26}{'Prijs':>7}{'Bedrag':>9}", style=BOLD)
    paper.rule("-")
    for item in order.drinks:
        name, *more = wrapped(words.on_paper(item), 25)
        each, whole = _comma(item.pence), _comma(item.pence * item.quantity)
        text = f"{item.quantity:>3}   {name:<26}{each:>7}{whole:>9}"
        paper.put(text, Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(f"      {rest}", Role.GOES_ON)
        under(paper, words, item, indent="      ", sign="- ", loud=BOLD)
    paper.rule("-")
    due = order.pence
    paper.put(paper.both("Totaal te betalen", _comma(due)), style=TALL)
    paper.put(paper.both("btw 21%", _comma(due // 6)))
    paper.put(paper.both("Fooi", "........"))
    paper.put("Tot ziens!", style=CENTRED)


def fjord(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Norwegian; changes on the drink's own line behind commas."""
    at = order.at
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPI", Kind.VOID: "MAKULERT"}.get(order.kind, "ENDRING")
        paper.put(f"== {said} ==", Role.MARK, style=TALL)
    number = str(order.number)
    place = f"Bord {order.place}" if order.is_floor else f"Disk {order.place}"
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, f"Ordre {number}"), Role.HEAD, style=TALL, facts=facts)
    when = f"{WEEKDAYS[at.weekday()]} {at.day}. {MONTHS[at.month - 1]} {at.year} kl. {at:%H.%M}"
    paper.put(when, Role.HEAD, facts=[("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")])
    paper.put(f"Betjent av {order.server}", Role.HEAD, facts=[("server", order.server)])
    paper.rule("_")
    for item in order.drinks:
        said = ", ".join([words.on_paper(item), *map(words.change, item.changes)])
        first, *more = wrapped(f"{item.quantity} stk {said}", paper.columns, indent="      ")
        paper.put(first, Role.DRINK, quantity=item.quantity, style=BOLD)
        for rest in more:
            paper.put(rest, Role.GOES_ON, style=BOLD)
        allergy_and_note(paper, words, item, "      ")
    paper.rule("_")
    paper.put(f"Antall gjester: {order.covers}")


def balcao(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Portuguese; a dash behind how many; with and without by two letters."""
    at = order.at
    paper.put("BAR", style=Style(bold=True, wide=True, tall=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "2.a VIA", Kind.VOID: "ANULADO"}.get(order.kind, "ALTERADO")
        paper.put(said, Role.MARK, style=Style(bold=True, align="center"))
    number = str(order.number)
    place = f"Mesa {order.place}" if order.is_floor else f"Balcão {order.place}"
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, f"Pedido {number}"), Role.HEAD, style=BOLD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{at:%Y/%m/%d %H:%M:%S}", Role.HEAD, facts=facts)
    paper.put()
    row = Row(form="{quantity} - {name}", indent="    ", loud=BOLD, style=Style(tall=True))
    put_items(paper, words, order.drinks, row)
    paper.put()
    name = WHOLE_NAMES[order.server]
    paper.put(f"Empregado: {name}", Role.HEAD, facts=[("server", name)])
    paper.put("- - - - - - - - - - - - - - - -")


def canteen(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; rooms for tables, seats, how many in brackets behind the name, a tab so far."""
    at = order.at
    clock = f"{at:%I:%M %p}".lstrip("0")
    number = f"{'ABC'[order.till - 1]}{order.number}"
    room = ROOMS[int(order.place) % len(ROOMS)]
    place = f"{room}" if order.is_floor else f"Rail {order.place}"
    paper.put(
        paper.both(f"Order {number}", clock),
        Role.HEAD,
        style=BOLD,
        facts=[("number", number), ("time", f"{at:%H:%M}")],
    )
    paper.put(f"For: {place}", Role.HEAD, style=TALL, facts=[("place", place)])
    name = WHOLE_NAMES[order.server]
    facts = [("server", name), ("date", f"{at:%Y-%m-%d}")]
    stamp = f"{at:%b} {at.day}, {at.year}"
    paper.put(paper.both(f"Rung by: {name}", stamp), Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Second copy", Kind.VOID: "Void order"}.get(order.kind, "Changed")
        paper.put(f"** {said} **", Role.MARK, style=BOLD)
    paper.rule("~")
    for place_at, items in enumerate(_shared_out(order.drinks), start=1):
        paper.put(f"Seat {place_at}", style=Style(underline=1))
        row = Row(form="{name} ({quantity})", indent="    ", sign="> ", loud=BOLD)
        put_items(paper, words, items, row)
    if order.foods:
        paper.put("Kitchen", style=Style(underline=1))
        put_items(paper, words, order.foods, Row(form="{name} ({quantity})", indent="    "))
    paper.rule("~")
    paper.put(paper.both("Tab so far", f"${pounds(order.pence + 100 * order.covers)}"))
    paper.put("Tip suggestions: 18% / 20% / 22%", style=CENTRED)


def brasserie(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, French; how many with decimals, courses over the dishes, the time in words."""
    at = order.at
    paper.put("BRASSERIE SALTMARCH", style=CENTRED)
    place = f"TABLE {order.place}" if order.is_floor else f"BAR {order.place}"
    paper.put(f" {place} ", Role.HEAD, style=REVERSED, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "RÉIMPRESSION", Kind.VOID: "ANNULATION"}.get(
            order.kind, "MODIFICATION"
        )
        paper.put(said, Role.MARK, style=TALL)
    number = f"{order.number:06}"
    facts = [("number", number), ("server", order.server)]
    paper.put(f"Note {number} - Serv. {order.server}", Role.HEAD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Le {at:%d/%m/%y} à {at:%H:%M}", Role.HEAD, facts=facts)
    row = Row(form="{quantity:.2f} {name}", money=pounds, indent="     ", loud=BOLD)
    paper.put("--- BOISSONS ---", style=CENTRED)
    put_items(paper, words, order.drinks, row)
    for heading, items in (("A ENVOYER", order.foods[:1]), ("A SUIVRE", order.foods[1:])):
        if items:
            paper.put(f"--- CUISINE : {heading} ---", style=CENTRED)
            put_items(paper, words, items, row)
    paper.rule("-")
    labels = Labels(subtotal="Sous-total", discount="Remise", total="NET A PAYER", tax="dont TVA")
    put_totals(paper, order, labels)
    paper.put(f"Nb couverts : {order.covers}")
    paper.put("Service compris - Merci de votre visite", style=CENTRED)


def snug(paper: Paper, order: Order, words: Words) -> None:
    """32 columns; a zero before how many; changes in round brackets on the drink's own line."""
    at = order.at
    number = f"{order.number}{'KLM'[order.till - 1]}"
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "PRINTED AGAIN", Kind.VOID: "CANCELLED"}.get(order.kind, "AMENDED")
        paper.put(said, Role.MARK, style=Style(bold=True, invert=True, tall=True))
    place = f"TABLE {order.place}" if order.is_floor else f"BAR {order.place}"
    facts = [("place", place), ("time", f"{at:%H:%M}")]
    clock = f"{at:%I.%M%p}".lstrip("0").lower()
    paper.put(paper.both(place, clock), Role.HEAD, style=TALL, facts=facts)
    facts = [("number", number), ("server", order.server)]
    paper.put(f"Chit {number} from {order.server}", Role.HEAD, facts=facts)
    paper.put(". " * 16)
    for item in order.drinks:
        said = " ".join([words.on_paper(item), *map(words.change, item.changes)])
        first, *more = wrapped(f"{item.quantity:02} {said}", paper.columns, indent="   ")
        paper.put(first, Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        allergy_and_note(paper, words, item, "   ")
    paper.put(". " * 16)
    paper.put(f"{len(order.drinks)} lines, {order.covers} heads")


def _shared_out(items: list[Item]) -> list[list[Item]]:
    half = (len(items) + 1) // 2
    return [part for part in (items[:half], items[half:]) if part]


def _first(cents: int) -> str:
    return "€ " + euros(cents).removesuffix(" €")


def _comma(cents: int) -> str:
    return euros(cents).removesuffix(" €")
