"""Words that tills commonly print, in a few languages: what a profile knows before it is taught.

All of it is common practice of shops and bars, from memory; a profile may replace any list.
"""

from __future__ import annotations

NUMBER = (
    *("ticket", "ticket no", "ticket nr", "ticket number", "order", "order no", "order number"),
    *("check", "chk", "check no", "cheque", "bill", "docket", "receipt", "receipt no", "no", "nr"),
    *("number", "#", "bon", "bon-nr", "bonnr", "bestellung", "beleg", "commande", "comanda"),
    *("pedido", "bestelling", "ordine", "sale", "invoice", "transaction", "slip"),
)
PLACE = (
    *("table", "tbl", "tab", "seat", "bar seat", "bar stool", "stool", "bar", "counter", "booth"),
    *("room", "terrace", "patio", "tisch", "theke", "platz", "tresen", "mesa", "tavolo", "tafel"),
    *("barra", "bord", "place"),
)
SERVER = (
    *("server", "served by", "waiter", "waitress", "staff", "operator", "user", "employee", "by"),
    *("bedienung", "kellner", "bediener", "serveur", "camarero", "cameriere", "cashier", "clerk"),
    *("taken by", "ordered by", "host"),
)
TILL = ("till", "till no", "kasse", "terminal", "register", "reg", "pos", "caisse", "caja", "cassa")
TIME = ("time", "date", "printed", "placed", "ordered", "sent", "at", "zeit", "uhrzeit", "datum")
OTHER = ("covers", "cover", "guests", "pax", "persons", "people", "page", "course", "gäste")
"""Labels of what nobody at a bar asks for."""
GUESTS = ("guest", "gast", "seat", "cover", "position", "person")
"""Over the items of one guest, with a number."""

BULLETS = ("-", "*", ">", "•", "·", "»", "~", "|", "+", "--", "->", "=>")
LEAVE_OUT = (
    *("no", "without", "w/o", "hold", "hold the", "leave out", "minus", "skip", "less"),
    *("ohne", "kein", "keine", "sans", "sin", "senza", "zonder", "uden"),
)
ADD = ("add", "plus", "+", "extra", "with extra", "with", "and", "mit", "avec", "con", "met")
SWAP = (
    *("sub {put_in} for {take_out}", "substitute {put_in} for {take_out}"),
    *("swap {take_out} for {put_in}", "swap {take_out} with {put_in}", "{take_out} -> {put_in}"),
    *("swap {take_out} > {put_in}", "swap {take_out} / {put_in}", "{take_out} > {put_in}"),
    *("{put_in} pour {take_out}", "{take_out} to {put_in}"),
    *("{put_in} instead of {take_out}", "{put_in} statt {take_out}"),
    *("{put_in} anstatt {take_out}", "{put_in} for {take_out}", "change {take_out} to {put_in}"),
    *("replace {take_out} with {put_in}", "{put_in} au lieu de {take_out}"),
    *("{put_in} en lugar de {take_out}", "{put_in} invece di {take_out}"),
    "{put_in} in place of {take_out}",
)
WEAK = (
    "+",
    "extra",
    "with extra",
    "with",
    "and",
    "mit",
    "avec",
    "con",
    "met",
    "less",
    "{put_in} for {take_out}",
    "{put_in} pour {take_out}",
    "{take_out} to {put_in}",
    "{take_out} > {put_in}",
    "{take_out} -> {put_in}",
)
"""Words that are a change only before an ingredient that is known: "with the starters" is none."""
DOUBLE = ("double", "dbl", "make it double", "make it a double", "doppelt", "doppio", "doble")
ON_THE_ROCKS = ("rocks", "on the rocks", "on rocks", "over ice", "auf eis", "on ice")
STRAIGHT_UP = ("up", "straight up", "served up", "straight")
NO_ICE = (
    *("no ice", "without ice", "hold the ice", "hold ice", "w/o ice", "ohne eis", "kein eis"),
    *("sans glace", "sin hielo", "senza ghiaccio", "zonder ijs", "leave out ice", "minus ice"),
)
NOTE = ("note", "notes", "msg", "message", "info", "comment", "hinweis", "nota", "remark", "memo")
ALLERGY = (
    *("allergy", "allergies", "allergic to", "allergic", "allergen", "allergens", "allergy alert"),
    *("allergie", "allergien", "allergisch gegen", "allergia", "alergia", "allergique a"),
    *("allergy to", "intolerance", "intolerant to"),
)

VOID = (
    *(
        "void",
        "voided",
        "cancelled",
        "canceled",
        "cancel",
        "cancellation",
        "storno",
        "annulé",
        "annulation",
    ),
    *("annule", "anulado", "annullato", "do not make", "deleted", "removed"),
)
REPRINT = (
    *("reprint", "reprinted", "duplicate", "copy", "rpt", "second copy", "nachdruck", "kopie"),
    *("duplicata", "copia", "printed again", "repeat print", "re-print"),
)
CORRECTION = (
    *("correction", "corrected", "changed", "amended", "corr", "korrektur", "geändert", "modified"),
    *(
        "amendment",
        "change to",
        "updated",
        "update",
        "revised",
        "correctif",
        "rectificatif",
        "rectification",
        "corrección",
    ),
)
TEST = ("test print", "printer test", "test page", "self test", "testdruck", "print test", "test")
REPORT = (
    *("shift report", "sales report", "end of shift", "end of day", "day report", "daily report"),
    *("x report", "z report", "tagesabschluss", "kassenbericht", "cash up", "till report"),
    *("report", "cash report", "takings", "summary of the day", "day summary"),
)
CARD_SLIP = (
    *("customer copy", "merchant copy", "cardholder copy", "card sale", "card payment"),
    *("auth code", "card slip", "card receipt", "kundenbeleg", "händlerbeleg", "kartenzahlung"),
    "cardholder",
)
MARK_FILLERS = (
    *(
        "order",
        "ticket",
        "print",
        "not a new order",
        "not a new ticket",
        "of order",
        "of ticket",
        "sale",
        "bill",
        "check",
    ),
    *("commande", "bestellung"),
    *("do not make", "do not prepare", "already sent", "bon", "item", "items", "the", "a"),
)
"""What may stand beside a mark on its line."""

DRINK_SECTIONS = (
    *("bar", "drinks", "beverages", "cocktails", "wine", "wines", "beer", "beers", "spirits"),
    *("getränke", "boissons", "bebidas", "bevande", "dranken", "the bar", "long drinks", "shots"),
)
FOOD_SECTIONS = (
    *("food", "kitchen", "starters", "mains", "sides", "desserts", "snacks", "grill", "pass"),
    *("speisen", "küche", "essen", "cuisine", "cocina", "cucina", "keuken", "bar food", "plates"),
    *("small plates", "dishes"),
)

HOUSE = (
    *("couverts #", "# couverts", "# personnes", "# personen", "# coperti", "# cubiertos"),
    *("covers #", "# covers", "guests #", "# guests", "pax #", "# pax", "people #", "# people"),
    *("cover #", "# cover", "qty item", "qty item price", "item", "item price", "item £", "item $"),
    *("item €", "items #", "# items", "page #", "page # of #", "gäste #", "# gäste", "# persons"),
    *("qty description", "quantity item", "description price", "description", "persons #"),
    *("thank you", "thanks", "merci", "danke", "gracias", "grazie", "vielen dank"),
)
"""Lines that say nothing about a drink; ``#`` for a number. Nothing here may be a drink's name."""

MONEY = (
    *("total", "subtotal", "sub total", "sub-total", "tax", "vat", "service charge", "gratuity"),
    *("service", "tip", "discount", "happy hour", "cash", "card", "change due", "balance", "paid"),
    *("amount due", "amount", "total due", "round total", "rounding", "deposit", "promo", "comp"),
    *("change", "summe", "gesamt", "zwischensumme", "rabatt", "mwst", "inkl", "bar gegeben", "net"),
    *("tendered", "to pay", "due", "incl", "included", "sum", "staff discount", "loyalty", "offer"),
    *("remise", "tva", "iva", "totale", "importe", "descuento", "sconto"),
)
PERSON = (
    *("guest", "guest name", "customer", "name", "phone", "tel", "mobile", "email", "e-mail"),
    *("gast", "kunde", "cliente", "client", "member", "room guest"),
)

FIELDS = {"number": NUMBER, "place": PLACE, "server": SERVER, "till": TILL, "time": TIME}
"""Labels of the head."""

BAR_TOP = ("bar*", "seat *", "stool *", "counter *", "theke *", "tresen *", "barra *")
FLOOR = ("table*", "tbl*", "tisch *", "mesa *", "tavolo *", "tafel *", "booth *")

COMMON: dict[str, tuple[str, ...]] = {
    "head.number.labels": NUMBER,
    "head.place.labels": PLACE,
    "head.server.labels": SERVER,
    "head.till.labels": TILL,
    "head.time.labels": TIME,
    "head.other.labels": OTHER,
    "changes.bullets": BULLETS,
    "changes.leave_out": LEAVE_OUT,
    "changes.add": ADD,
    "changes.swap": SWAP,
    "changes.double": DOUBLE,
    "changes.on_the_rocks": ON_THE_ROCKS,
    "changes.straight_up": STRAIGHT_UP,
    "changes.no_ice": NO_ICE,
    "changes.note": NOTE,
    "changes.allergy": ALLERGY,
    "marks.void": VOID,
    "marks.reprint": REPRINT,
    "marks.correction": CORRECTION,
    "marks.test": TEST,
    "marks.report": REPORT,
    "marks.card_slip": CARD_SLIP,
    "sections.drinks": DRINK_SECTIONS,
    "sections.food": FOOD_SECTIONS,
    "channels.bar_top": BAR_TOP,
    "channels.floor": FLOOR,
    "house": HOUSE,
    "money": MONEY,
    "redact.labels": PERSON,
}
"""By the place in a profile that adds to them."""
