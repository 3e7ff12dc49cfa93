"""Eight more layouts, invented: held out until the reader of six sets had been tried on them."""

from __future__ import annotations

from .layout import Layout, by_cut, by_form_feed, by_part_cut, by_quiet
from .orders import Item, Order
from .paper import PLAIN, Paper, Style, pounds, wrapped
from .parts import Labels, Row, put_item, put_items, put_totals, under
from .seventh_words import (
    CELLAR,
    DECK,
    FOYER,
    HOSPODA,
    KARCZMA,
    LOKANTA,
    RAVINTOLA,
    TERRACE,
)
from .truth import Kind, Role
from .words import Words

BOLD = Style(bold=True)
CENTRED = Style(align="center")
LARGE = Style(bold=True, wide=True, tall=True)
TALL = Style(bold=True, tall=True)


def karczma(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, Polish; pieces and prices at the right edge, the waiter before the table."""
    at = order.at
    paper.put("Karczma Solna", style=CENTRED)
    number = f"{order.number}/{at:%m}/{at:%Y}"
    paper.put(f"Zamówienie nr {number}", Role.HEAD, style=TALL, facts=[("number", number)])
    place = f"Stolik {order.place}" if order.is_floor else f"Bar {order.place}"
    facts = [("server", order.server), ("place", place)]
    paper.put(paper.both(f"Kelner: {order.server}", place), Role.HEAD, style=BOLD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{at:%d.%m.%Y}, godz. {at:%H:%M}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIA", Kind.VOID: "ANULOWANO"}.get(order.kind, "KOREKTA")
        paper.put(f"=== {said} ===", Role.MARK, style=TALL)
    paper.rule("-")
    for item in order.drinks:
        right = f"{item.quantity} szt. {_comma(item.pence * item.quantity):>7}"
        first, *more = wrapped(words.on_paper(item), paper.columns - len(right) - 2)
        paper.put(paper.both(first, right), Role.DRINK, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON)
        under(paper, words, item, indent="    ", sign="> ", loud=BOLD)
    paper.rule("-")
    labels = Labels(
        subtotal="Suma", discount="Rabat", total="DO ZAPŁATY", tax="w tym VAT 23%", money=_comma
    )
    put_totals(paper, order, labels)


def ravintola(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Finnish; a star behind how many, the order's number and the hour at the foot."""
    at = order.at
    place = f"PÖYTÄ {order.place}" if order.is_floor else f"TISKI {order.place}"
    paper.put(place, Role.HEAD, style=LARGE, facts=[("place", place)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIO", Kind.VOID: "MITÄTÖITY"}.get(order.kind, "KORJATTU")
        paper.put(f"* {said} *", Role.MARK, style=TALL)
    paper.put()
    row = Row(form="{quantity}* {name}", indent="   ", loud=BOLD, style=BOLD, sign="+")
    put_items(paper, words, order.drinks, row)
    paper.put()
    number = f"{order.till}{order.number:03}"
    facts = [("number", number), ("time", f"{at:%H:%M}")]
    paper.put(f"Tilaus {number} klo {at:%H.%M}", Role.HEAD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("server", order.server)]
    day = f"{at.day}.{at.month}.{at.year}"
    paper.put(f"{day} Tarjoilija {order.server}", Role.HEAD, facts=facts)


def lokanta(paper: Paper, order: Order, words: Words) -> None:
    """48 columns, Turkish; words of a change stand behind it; a table; dishes under a heading."""
    at = order.at
    paper.put("TUZLA LOKANTASI", style=Style(bold=True, align="center"))
    number = f"{order.number:05}"
    place = f"Masa {order.place}" if order.is_floor else f"Bar {order.place}"
    paper.put(f"{'Fiş No':<10}: {number}", Role.HEAD, facts=[("number", number)])
    paper.put(f"{'Yer':<10}: {place}", Role.HEAD, style=BOLD, facts=[("place", place)])
    paper.put(f"{'Garson':<10}: {order.server}", Role.HEAD, facts=[("server", order.server)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{'Tarih':<10}: {at:%d/%m/%Y}  Saat: {at:%H:%M}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPYA", Kind.VOID: "İPTAL"}.get(order.kind, "DÜZELTME")
        paper.put(f"### {said} ###", Role.MARK, style=LARGE)
    paper.rule("=")
    paper.put(f"{'Adet':<6}{'Ürün':<32}{'Tutar':>10}")
    for heading, items in (("İçecekler", order.drinks), ("Mutfak", order.foods)):
        if items:
            paper.put(heading, style=Style(underline=1))
        for item in items:
            _in_a_table(paper, words, item)
    paper.rule("=")
    paper.put(paper.both("TOPLAM", _comma(order.pence)), style=BOLD)
    paper.put("Afiyet olsun", style=CENTRED)


def deck(paper: Paper, order: Order, words: Words) -> None:
    """48 columns; labels over values; every change counted; a letter says who makes it."""
    at = order.at
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "PRINTED AGAIN", Kind.VOID: "TAKE OFF"}.get(order.kind, "NOW READS")
        paper.put(said, Role.MARK, style=LARGE)
    place = f"T{order.place}" if order.is_floor else f"B{order.place}"
    number = f"{order.number}"
    paper.put(f"{'CHIT':<12}{'PLACE':<12}{'GUESTS':<12}{'CREW':<12}")
    facts = [("number", number), ("place", place), ("server", order.server)]
    values = f"{number:<12}{place:<12}{order.covers:<12}{order.server:<12}"
    paper.put(values, Role.HEAD, style=BOLD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"{at:%a %d %b %Y}  {at:%I.%M%p}".lower(), Role.HEAD, facts=facts)
    paper.rule("-")
    for item in order.items:
        name = words.case(item.food) if item.food else words.on_paper(item)
        first, *more = wrapped(f"{item.quantity:>2}  {name}", 42, indent="    ")
        role, rest_role = (Role.FOOD, Role.FOOD) if item.food else (Role.DRINK, Role.GOES_ON)
        line = paper.both(first, "(K)" if item.food else "(B)")
        paper.put(line, role, quantity=0 if item.food else item.quantity)
        for rest in more:
            paper.put(rest, rest_role)
        under(paper, words, item, indent="      ", sign="1 x ", loud=BOLD)
    paper.rule("-")


def cellar(paper: Paper, order: Order, words: Words) -> None:
    """32 columns in capitals; a bar behind how many, sizes on a line of their own, guests."""
    at = order.at
    number = f"{order.number:04}"
    place = f"VAULT {order.place}" if order.is_floor else f"STOOL {order.place}"
    facts = [("place", place), ("number", number)]
    paper.put(paper.both(place, f"NO.{number}"), Role.HEAD, style=TALL, facts=facts)
    facts = [("time", f"{at:%H:%M}"), ("server", order.server)]
    paper.put(f"@{at:%H:%M} {order.server}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "COPY", Kind.VOID: "CANCELLED"}.get(order.kind, "AMENDED")
        paper.put(f"[[{said}]]", Role.MARK, style=BOLD)
    half = (len(order.drinks) + 1) // 2
    for index, item in enumerate(order.drinks):
        if len(order.drinks) > 2 and index in (0, half):
            paper.put(f"~~ GUEST {1 + (index > 0)} ~~", style=CENTRED)
        text = f"{item.quantity:02}|{words.on_paper(item)}"
        first, *more = wrapped(text, paper.columns, indent="   ")
        paper.put(first, Role.DRINK, style=BOLD, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON, style=BOLD)
        if item.spirit:
            size = "LARGE" if item.measure == "double" else "SINGLE"
            paper.put(f"   ~{size}", Role.GOES_ON)
        under(paper, words, item, indent="   ", sign="~", loud=Style(invert=True))
    paper.rule("~")


def terrace(paper: Paper, order: Order, words: Words) -> None:
    """42 columns; headings say when, not what; a void is written with a minus; "2 of"."""
    at = order.at
    place = f"TABLE {order.place}" if order.is_floor else f"HATCH {order.place}"
    text = f"For {place} (party of {order.covers})"
    paper.put(text, Role.HEAD, style=TALL, facts=[("place", place)])
    number = f"S{order.number}"
    facts = [("number", number), ("server", order.server), ("time", f"{at:%H:%M}")]
    clock = f"{at:%I.%M}{'am' if at.hour < 12 else 'pm'}".lstrip("0")
    paper.put(f"Chit {number} rung by {order.server} at {clock}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "Second copy", Kind.VOID: "Remove from order"}.get(
            order.kind, "Replaces the first"
        )
        paper.put(f"/// {said} ///", Role.MARK, style=BOLD)
    sign = "-" if order.kind is Kind.VOID else ""
    for heading, items in (("Straight away", order.drinks), ("When called", order.foods)):
        if items:
            paper.put(f"- - - {heading} - - -", style=CENTRED)
        row = Row(form=sign + "{quantity} of {name}", indent="     ", sign="..", loud=BOLD)
        put_items(paper, words, items, row)
    paper.put()
    paper.put("Salt on the terrace, sun until eight")


def foyer(paper: Paper, order: Order, words: Words) -> None:
    """42 columns, a theatre; how many behind a dash, a word before the changes, shelves."""
    at = order.at
    paper.put("SALTMARCH PLAYHOUSE - FOYER BAR", style=CENTRED)
    paper.put("Interval drinks", style=CENTRED)
    number = f"A{order.number:04}"
    place = f"Shelf {order.place}" if order.is_floor else f"Hatch {order.place}"
    facts = [("place", place)]
    paper.put(f"Put out on: {place}", Role.HEAD, style=TALL, facts=facts)
    paper.put(f"Reference : {number}", Role.HEAD, facts=[("number", number)])
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}")]
    paper.put(f"Ordered   : {at.day} {at:%B %Y} at {at:%H:%M}", Role.HEAD, facts=facts)
    paper.put(f"Usher     : {order.server}", Role.HEAD, facts=[("server", order.server)])
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "DUPLICATE", Kind.VOID: "ORDER VOIDED"}.get(order.kind, "CORRECTED")
        paper.put(said, Role.MARK, style=TALL)
    paper.rule("_")
    for item in order.drinks:
        first, *more = wrapped(f"{words.on_paper(item)} - {item.quantity}", paper.columns)
        paper.put(first, Role.DRINK, style=BOLD, quantity=item.quantity)
        for rest in more:
            paper.put(rest, Role.GOES_ON, style=BOLD)
        under(paper, words, item, indent="  ", sign="change: ", loud=BOLD)
    paper.rule("_")
    paper.put("Ring the bell when all is out", style=CENTRED)


def hospoda(paper: Paper, order: Order, words: Words) -> None:
    """32 columns, Czech; how many behind the name with its sign, notes without one."""
    at = order.at
    number = f"{order.number}"
    place = f"Stůl {order.place}" if order.is_floor else f"Výčep {order.place}"
    facts = [("number", number), ("place", place)]
    paper.put(f"{place} / Účet {number}", Role.HEAD, style=BOLD, facts=facts)
    facts = [("date", f"{at:%Y-%m-%d}"), ("time", f"{at:%H:%M}"), ("server", order.server)]
    stamp = f"{at.day}. {at.month}. {at:%Y} {at:%H:%M}"
    paper.put(f"{stamp} {order.server}", Role.HEAD, facts=facts)
    if order.kind is not Kind.TICKET:
        said = {Kind.REPRINT: "KOPIE", Kind.VOID: "STORNO"}.get(order.kind, "OPRAVA")
        paper.put(f"!!! {said} !!!", Role.MARK, style=LARGE)
    paper.rule(".")
    for item in order.drinks:
        put_item(paper, words, item, Row(form="{name} {quantity}x", indent="  ", loud=BOLD))
    paper.rule(".")


def _in_a_table(paper: Paper, words: Words, item: Item) -> None:
    name = words.case(item.food) if item.food else words.on_paper(item)
    first, *more = wrapped(name, 31)
    role, rest_role = (Role.FOOD, Role.FOOD) if item.food else (Role.DRINK, Role.GOES_ON)
    price = _comma(item.pence * item.quantity)
    line = f"{item.quantity:<6}{first:<32}{price:>10}"
    paper.put(line, role, quantity=0 if item.food else item.quantity)
    for rest in more:
        paper.put(f"      {rest}", rest_role, style=PLAIN)
    under(paper, words, item, indent="        ", loud=BOLD)


def _comma(cents: int) -> str:
    return pounds(cents).replace(".", ",")


LAYOUTS = (
    Layout(
        name="karczma",
        columns=42,
        model="TM-T88V",
        code_page="CP852",
        words=KARCZMA,
        write=karczma,
        finish=by_cut,
        has_food=False,
    ),
    Layout(
        name="ravintola",
        columns=32,
        model="default",
        code_page="CP858",
        words=RAVINTOLA,
        write=ravintola,
        finish=by_quiet,
        has_food=False,
    ),
    Layout(
        name="lokanta",
        columns=48,
        model="TM-T20II",
        code_page="CP857",
        words=LOKANTA,
        write=lokanta,
        finish=by_part_cut,
    ),
    Layout(
        name="deck",
        columns=48,
        model="TM-T88V",
        code_page="CP437",
        words=DECK,
        write=deck,
        finish=by_cut,
    ),
    Layout(
        name="cellar",
        columns=32,
        model="default",
        raw_encoding="cp850",
        words=CELLAR,
        write=cellar,
        finish=by_form_feed,
        has_food=False,
    ),
    Layout(
        name="terrace",
        columns=42,
        model="TM-T88V",
        code_page="CP1252",
        words=TERRACE,
        write=terrace,
        finish=by_cut,
    ),
    Layout(
        name="foyer",
        columns=42,
        model="TM-T20II",
        code_page="CP858",
        words=FOYER,
        write=foyer,
        finish=by_part_cut,
        has_food=False,
    ),
    Layout(
        name="hospoda",
        columns=32,
        model="TM-T88V",
        code_page="CP1250",
        words=HOSPODA,
        write=hospoda,
        finish=by_cut,
        has_food=False,
    ),
)
