"""Eight more layouts, invented: held out until the mended reader had been tried on them once."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut, by_quiet
from .orders import Item, Order
from .paper import Paper, Style, euros, pounds, wrapped
from .parts import Labels, Row, allergy_and_note, put_item, put_items, put_totals, under
from .truth import Kind, Role
from .words import Words, titled

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)
FAMILY = ("Berg", "Costa", "de Wit", "Ek", "Frost", "Grau", "Hall")
SPANISH = ("ENE", "FEB", "MAR", "ABR", "MAY", "JUN", "JUL", "AGO", "SEP", "OCT", "NOV", "DIC")


def stube(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, German; how many and what it costs stand in a line of their own below."""
    at = order.at
    paper.put("Stube am Salzmarkt", style=Style(tall=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIE", Kind.VOID: "STORNIERT"}.get(order.kind, "GEÄNDERT")
        paper.put(f"*** {said} ***", Role.MARK, style=Style(bold=True, align="center"))
    number = f"{order.number:05}"
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Datum: {at:%d.%m.%y}   Zeit: {at:%H:%M} Uhr", Role.HEAD, facts=facts)
    place = f"Tisch {order.place}" if order.is_floor else f"Theke {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(paper.both(f"Beleg {number}", place), Role.HEAD, style=BOLD, facts=facts)
    name = _whole(order)
    paper.put(f"Es bediente Sie: {name}", Role.HEAD, facts=[("server", name)])
    paper.rule("-")
    for item in order.drinks:
        paper.put(words.on_paper(item), Role.DRINK, style=BOLD, quantity=item.quantity)
        each, whole = _comma(item.pence), _comma(item.pence * item.quantity)
        paper.put(paper.both(f"     {item.quantity} x {each}", whole), Role.AMOUNT)
        under(paper, words, item, indent="     ", loud=BOLD)
    paper.rule("-")
    labels = Labels(
        subtotal="Zwischensumme",
        discount="Nachlass",
        total="Gesamt EUR",
        tax="MwSt 19%",
        money=_comma,
    )
    put_totals(paper, order, labels)


def wharf(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; tab stops of the printer; how many between the name and the price."""
    at = order.at
    paper.raw(b"\x1bD\x1e\x24\x00")
    paper.put("SALTMARCH WHARF BAR", style=Style(bold=True, invert=True, align="center"))
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE TICKET", Kind.VOID: "TICKET VOID"}.get(
            order.kind, "TICKET CHANGED"
        )
        paper.put(said, Role.MARK, style=TALL)
    number = f"{order.number}"
    clock = f"{at:%I:%M:%S %p}"
    facts = [("number", number), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Ticket #: {number}  {at:%d-%b-%Y} {clock}", Role.HEAD, facts=facts)
    place = f"Table {order.place}" if order.is_floor else f"Stool {order.place}"
    facts = [("place", place), ("server", order.server), ("till", f"{order.till}")]
    said = f"{place}  Host: {order.server}  Reg: {order.till}"
    paper.put(said, Role.HEAD, facts=facts)
    _tabbed(paper, "Item", "Qty", "Amount", Role.OTHER, 0)
    paper.rule("=")
    for item in order.drinks:
        first, *more = wrapped(words.on_paper(item), 29)
        price = pounds(item.pence * item.quantity)
        _tabbed(paper, first, str(item.quantity), price, Role.DRINK, item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        under(paper, words, item, indent="  ", sign="- ", loud=BOLD)
    paper.rule("=")
    paper.put(paper.both("Order total", pounds(order.pence)), style=BOLD)
    paper.put("Service not included", style=CENTRED)


def kafe(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Swedish, text in UTF-8; signs for with and without; the allergy word behind."""
    at = order.at
    number = f"A{order.number}"
    place = f"Bord {order.place}" if order.is_floor else f"Plats {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIA", Kind.VOID: "MAKULERAD"}.get(order.kind, "ÄNDRAD")
        paper.put(f"!! {said} !!", Role.MARK, style=BOLD)
    facts = [("number", number), ("time", f"{at:%H:%M}"), ("date", f"{at:%Y-%m-%d}")]
    paper.put(f"Best.nr {number}  {at:%Y-%m-%d} {at:%H:%M}", Role.HEAD, facts=facts)
    paper.put(f"Kassör {order.server}", Role.HEAD, facts=[("server", order.server)])
    paper.put()
    row = Row(form="{quantity} st {name}", indent="   ", loud=BOLD, style=BOLD)
    put_items(paper, words, order.drinks, row)
    paper.put()
    paper.put(f"{sum(item.quantity for item in order.drinks)} st totalt")


def plaza(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Spanish; labels before changes; a discount in the middle; months in letters."""
    at = order.at
    paper.put("PLAZA SALTMARCH", style=Style(bold=True, wide=True, align="center"))
    place = f"TERRAZA {order.place}" if order.is_floor else f"BARRA {order.place}"
    facts = [("place", place)]
    paper.put(f"MESA: {place}", Role.HEAD, style=TALL, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPIA", Kind.VOID: "ANULADO"}.get(order.kind, "CORRECCIÓN")
        paper.put(f"<< {said} >>", Role.MARK, style=TALL)
    name, half = _whole(order), "a. m." if at.hour < 12 else "p. m."
    number = f"{order.number:07}"
    facts = [("number", number), ("server", name)]
    paper.put(paper.both(f"FOLIO {number}", f"MESERO: {name}"), Role.HEAD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    stamp = f"{at:%d}/{SPANISH[at.month - 1]}/{at.year} {at:%I:%M} {half}"
    paper.put(stamp, Role.HEAD, facts=facts)
    paper.rule("*")
    row = Row(form="({quantity}) {name}", money=_dollars, indent="      ", loud=BOLD)
    for index, item in enumerate(order.drinks):
        put_item(paper, words, item, row)
        if index == 0 and order.discount_pence:
            less = paper.both("      DESCUENTO PROMO", f"-{_dollars(order.discount_pence)}")
            paper.put(less)
    paper.rule("*")
    paper.put(paper.both("CUENTA", _dollars(order.pence - order.discount_pence)), style=BOLD)
    paper.put("PROPINA NO INCLUIDA", style=CENTRED)


def tally(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; every line counted at its left, before how many; the hour without a sign."""
    at = order.at
    clock = f"{at:%H}{at:%M} hrs"
    place = f"TABLE {order.place}" if order.is_floor else f"COUNTER {order.place}"
    facts = [("place", place), ("time", f"{at:%H:%M}")]
    paper.put(paper.both(place, clock), Role.HEAD, style=BOLD, facts=facts)
    number = f"{order.number}/{order.till}"
    facts = [("number", number), ("server", order.server)]
    paper.put(f"Docket {number}, {order.server}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Reprint", Kind.VOID: "Void"}.get(order.kind, "Amendment")
        paper.put(f"---- {said} ----", Role.MARK, style=Style(bold=True, align="center"))
    paper.rule("-")
    for index, item in enumerate(order.drinks, start=1):
        form = f"{index:>2}) " + "{quantity} x {name}"
        put_item(paper, words, item, Row(form=form, indent="        ", loud=BOLD))
    paper.rule("-")
    paper.put(f"{len(order.drinks)} lines on this docket")


def gasthof(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Austrian; drinks twice as wide, changes behind slashes on the same line."""
    at = order.at
    number = f"{order.till}/{order.number:04}"
    paper.put(f"Schankbon {number}", Role.HEAD, style=TALL, facts=[("number", number)])
    place = f"Tisch {order.place}" if order.is_floor else f"Schank {order.place}"
    facts = [("place", place), ("time", f"{at:%H:%M}")]
    paper.put(f"{place} um {at:%H:%M}", Role.HEAD, facts=facts)
    paper.put(f"Ober {order.server}", Role.HEAD, facts=[("server", order.server)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "ZWEITDRUCK", Kind.VOID: "STORNO"}.get(order.kind, "KORREKTUR")
        paper.put(said, Role.MARK, style=LARGE)
    paper.put()
    for item in order.drinks:
        said = " / ".join([words.on_paper(item), *map(words.change, item.changes)])
        first, *more = wrapped(f"{item.quantity} {said}", 16, indent="  ")
        paper.put(first, Role.DRINK, quantity=item.quantity, style=LARGE)
        for rest in more:
            paper.put(rest, Role.GOES_ON, style=LARGE)
        allergy_and_note(paper, words, item, "  ")
    paper.put()


def grill(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; which guest gets it at the right edge; sections with a time; month first."""
    at = order.at
    clock = f"{at:%I:%M}{'a' if at.hour < 12 else 'p'}".lstrip("0")
    number = str(order.number)
    place = f"Patio-{order.place}" if order.is_floor else f"Rail-{order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(paper.both(f"CHK {number}", f"TBL {place}"), Role.HEAD, style=TALL, facts=facts)
    facts = [("server", order.server), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    stamp = f"{at:%a} {at.month}/{at.day}/{at:%y} {clock}"
    paper.put(paper.both(f"SVR {order.server}", stamp), Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "REPRINT", Kind.VOID: "VOID CHECK"}.get(order.kind, "UPDATED CHECK")
        paper.put(f"** {said} **", Role.MARK, style=Style(bold=True, invert=True))
    paper.rule("=")
    for heading, items in (("DRINKS", order.drinks), ("FOOD", order.foods)):
        if items:
            paper.put(f"[ {heading} ]", style=CENTRED)
        for index, item in enumerate(items):
            _seated(paper, words, item, 1 + index % order.covers)
    paper.rule("=")
    paper.put(f"{order.covers} GUESTS", style=CENTRED)


def havn(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Danish; the price of one behind the name; the total so far; the server last."""
    at = order.at
    number = f"{order.number}-{order.till}"
    paper.put(f"BON NR. {number}", Role.HEAD, style=BOLD, facts=[("number", number)])
    place = f"BORD {order.place}" if order.is_floor else f"BAR {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "GENUDSKRIFT", Kind.VOID: "ANNULLERET"}.get(order.kind, "RETTELSE")
        paper.put(f"*{said}*", Role.MARK, style=TALL)
    paper.rule(".")
    for item in order.drinks:
        name = words.on_paper(item)
        room = paper.columns - 8
        said = f"{item.quantity} {name} à {_comma(item.pence)}"
        first, *more = wrapped(said, room, indent="   ")
        whole = _comma(item.pence * item.quantity)
        paper.put(paper.both(first, whole), Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        under(paper, words, item, indent="   ", sign="* ", loud=BOLD)
    paper.rule(".")
    paper.put(paper.both("I alt", _comma(order.pence)), style=BOLD)
    facts = [("server", order.server), ("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    foot = f"{at:%d.%m.%Y} kl. {at:%H:%M} v/ {order.server}"
    paper.put(foot, Role.HEAD, facts=facts)


def _seated(paper: Paper, words: Words, item: Item, seat: int) -> None:
    name = item.food or words.on_paper(item)
    first, *more = wrapped(f"{item.quantity} {words.case(name)}", paper.columns - 4, indent="  ")
    role = Role.FOOD if item.food else Role.DRINK
    quantity = 0 if item.food else item.quantity
    paper.put(paper.both(first, f"S{seat}"), role, quantity=quantity)
    for rest in more:
        paper.put(rest, Role.FOOD if item.food else Role.GOES_ON)
    under(paper, words, item, indent="    ", loud=BOLD)


def _tabbed(paper: Paper, name: str, many: str, price: str, role: Role, quantity: int) -> None:
    text = f"{name:<30}{many:<6}{price}"
    paper.put(text, role, quantity=quantity, sent=f"{name}\t{many}\t{price}")


def _whole(order: Order) -> str:
    return f"{order.server} {FAMILY[len(order.server) % len(FAMILY)]}"


def _comma(cents: int) -> str:
    return euros(cents).removesuffix(" €")


def _dollars(cents: int) -> str:
    return f"${pounds(cents)}"


LAYOUTS = (
    Layout(
        name="stube",
        columns=42,
        model="TM-T88V",
        code_page="CP858",
        words=Words(
            allergy="Achtung Allergie: {}",
            note="Bem.: {}",
            ways={
                "leave_out": "ohne {out}",
                "add": "extra {into}",
                "swap": "{into} statt {out}",
                "double": "doppelt",
                "on_the_rocks": "auf Eis",
                "no_ice": "ohne Eis",
            },
            single="{spirit} {mixer}",
            double="dopp. {spirit} {mixer}",
        ),
        write=stube,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="wharf",
        columns=48,
        model="TM-T88V",
        code_page="CP1252",
        words=Words(
            case=titled,
            allergy="ALLERGIC: {}",
            note="Memo: {}",
            ways={"add": "with {into}", "leave_out": "without {out}"},
            single="{spirit} & {mixer}",
            double="{spirit} & {mixer} (large)",
        ),
        write=wharf,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="kafe",
        columns=32,
        model="default",
        raw_encoding="utf-8",
        words=Words(
            allergy="OBS {}-allergi!",
            note="({})",
            ways={
                "leave_out": "- {out}",
                "add": "+ {into}",
                "swap": "{out} -> {into}",
                "double": "dubbel",
                "on_the_rocks": "on the rocks",
                "no_ice": "- is",
            },
            single="{spirit} {mixer}",
            double="stor {spirit} {mixer}",
        ),
        write=kafe,
        finish=by_quiet,
        has_food=False,
    ),
    Layout(
        name="plaza",
        columns=42,
        model="TM-T20II",
        code_page="CP850",
        words=Words(
            case=str.upper,
            allergy="ALERGIA A {}",
            note="NOTA: {}",
            ways={
                "leave_out": "sin: {out}",
                "add": "con: {into}",
                "swap": "cambio: {out} por {into}",
                "double": "doble",
                "on_the_rocks": "en las rocas",
                "no_ice": "sin hielo",
            },
            single="{spirit} con {mixer}",
            double="{spirit} doble con {mixer}",
        ),
        write=plaza,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="tally",
        columns=42,
        model="TM-U220",
        raw_encoding="cp437",
        words=Words(allergy="allergen alert: {}", note="note - {}", ways={"add": "add {into}"}),
        write=tally,
        finish=by_form_feed,
        has_food=False,
    ),
    Layout(
        name="gasthof",
        columns=32,
        model="ZJ-5870",
        code_page="CP850",
        words=Words(
            allergy="ALLERGEN: {}",
            note="Info: {}",
            ways={
                "leave_out": "o. {out}",
                "add": "m. {into}",
                "swap": "{into} anst. {out}",
                "double": "doppelt",
                "on_the_rocks": "auf Eis",
                "no_ice": "o. Eis",
            },
            single="{spirit} {mixer}",
            double="gr. {spirit} {mixer}",
        ),
        write=gasthof,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="grill",
        columns=48,
        model="TM-T20II",
        code_page="CP1252",
        words=Words(
            case=str.upper,
            allergy="ALLERGY!! {}",
            note="MSG {}",
            ways={"leave_out": "NO {out}", "add": "ADD {into}", "swap": "{into} FOR {out}"},
            single="{spirit} {mixer}",
            double="dbl {spirit} {mixer}",
        ),
        write=grill,
        finish=by_cut,
    ),
    Layout(
        name="havn",
        columns=42,
        model="TM-T88V",
        code_page="CP865",
        words=Words(
            case=titled,
            allergy="ALLERGI: {}",
            note="Bemærk: {}",
            ways={
                "leave_out": "uden {out}",
                "add": "med {into}",
                "swap": "{into} i stedet for {out}",
                "double": "dobbelt",
                "on_the_rocks": "på is",
                "no_ice": "uden is",
            },
            single="{spirit} & {mixer}",
            double="dobbelt {spirit} & {mixer}",
        ),
        write=havn,
        finish=by_cut,
        has_food=False,
    ),
)
