"""Words that tills commonly print, in a few languages: what a profile knows before it is taught.

All of it is common practice of shops and bars, from memory; a profile may replace any list.
"""

from __future__ import annotations

from . import abroad
from .labels import NUMBER, OTHER, PLACE, SERVER, SMALL, TILL, TIME, WHERE

BULLETS = (
    *(
        "-",
        "*",
        ">",
        "•",
        "·",
        "»",
        "~",
        "|",
        "+",
        "--",
        "->",
        "=>",
        "→",
        "–",
        ">>",
        "**",
        "#",
        "/",
    ),
    *(".", "..", "o", "=", "!", "^", "¬", "◦", "°", "&", "@", ":", "*)", "_"),
)
QUANTITY = (
    *("qty", "quantity", "quant", "no of", "pcs", "pc", "pieces", "ea", "each", "units", "unit"),
    *("menge", "anz", "anzahl", "stk", "stck", "stück", "st", "qté", "qte", "quantité", "pce"),
    *("cant", "cantidad", "uds", "ud", "unid", "q.tà", "q.ta", "qta", "quantità", "pz", "pezzi"),
    *("aantal", "stuks", "antal", "antall", "qtd", "qtde", "un", "szt", "ks", "kpl", "count"),
)
"""Words beside a quantity that mean nothing else: ``Qty: 3``, ``3 pcs``."""
LEAVE_OUT = (
    *("no", "without", "w/o", "hold", "hold the", "leave out", "minus", "skip", "less"),
    *("ohne", "kein", "keine", "sans", "sin", "senza", "zonder", "uden", "geen", "utan", "uten"),
    *("pas de", "sem", "bez", "ilman", "omit", "86", "nicht", "niente", "nada de"),
    *("s/", "o/", "o./", "o.", "u/", "z/o", "not", "niet", "ikke", "inte"),
)
ADD = (
    *("add", "plus", "+", "extra", "with extra", "with", "and", "mit", "avec", "con", "met"),
    *("ajouter", "ajout", "supplément", "añadir", "agregar", "más", "mas", "aggiungi", "aggiunta"),
    *("più", "med", "com", "mais", "dazu", "zusätzlich", "toevoegen", "lägg till", "tilsæt", "z"),
    *("double up", "top with", "splash of", "dash of", "more"),
    *("c/", "m/", "m./", "m.", "w/", "a/"),
)
SWAP = (
    *("cambio: {take_out} por {put_in}", "cambio {take_out} por {put_in}"),
    *("cambiar {take_out} por {put_in}", "troca {take_out} por {put_in}"),
    *("cambia {take_out} con {put_in}", "tausch {take_out} gegen {put_in}"),
    *("{take_out} gegen {put_in}", "byt {take_out} mot {put_in}", "bytt {take_out} mot {put_in}"),
    *("remplacer {take_out} par {put_in}", "vervang {take_out} door {put_in}"),
    *("sub {put_in} for {take_out}", "substitute {put_in} for {take_out}"),
    *("swap {take_out} for {put_in}", "swap {take_out} with {put_in}", "{take_out} -> {put_in}"),
    *("swap {take_out} > {put_in}", "swap {take_out} / {put_in}", "{take_out} > {put_in}"),
    *("{put_in} pour {take_out}", "{take_out} to {put_in}"),
    *("{put_in} instead of {take_out}", "{put_in} statt {take_out}"),
    *("{put_in} anstatt {take_out}", "{put_in} for {take_out}", "change {take_out} to {put_in}"),
    *("replace {take_out} with {put_in}", "{put_in} au lieu de {take_out}"),
    *("{put_in} en lugar de {take_out}", "{put_in} invece di {take_out}"),
    *("{put_in} in place of {take_out}", "{put_in} à la place de {take_out}"),
    *("{put_in} a la place de {take_out}", "{put_in} en vez de {take_out}"),
    *("{put_in} al posto di {take_out}", "{put_in} in plaats van {take_out}"),
    *("{put_in} ipv {take_out}", "{put_in} i.p.v. {take_out}", "{put_in} istället för {take_out}"),
    *("{put_in} i stedet for {take_out}", "{put_in} em vez de {take_out}"),
    *("{put_in} anstelle von {take_out}", "{put_in} zamiast {take_out}", "{put_in} not {take_out}"),
    *("{take_out} => {put_in}", "{take_out} → {put_in}"),
    *("replace {take_out} by {put_in}", "{put_in}, not {take_out}", "{put_in} i st f {take_out}"),
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
    *("med", "com", "mais", "z", "más", "mas", "più", "more", "nicht", "86", "dazu"),
    *("{take_out} => {put_in}", "{take_out} → {put_in}", "{put_in} not {take_out}"),
    *("{put_in}, not {take_out}", *abroad.WEAK),
    *("c/", "m/", "m./", "m.", "w/", "a/", "o/", "o./", "o.", "u/", "not", "niet", "ikke", "inte"),
)
"""Words that are a change only before an ingredient that is known: "with the starters" is none."""
DOUBLE = (
    *(
        "double",
        "dbl",
        "make it double",
        "make it a double",
        "doppelt",
        "doppio",
        "doble",
        "dubbel",
    ),
    *("dobbel", "dobbelt", "dupla", "duplo", "doppel", "podwójny", "dvojitý", "x2 spirit"),
)
ROCKS_ABROAD = (
    *("en las rocas", "nas pedras", "con rocas", "auf rocks", "på klipporna", "sur rochers"),
    *("sur glace", "avec glace", "con hielo", "con ghiaccio", "met ijs", "med is", "mit eis"),
    *("com gelo", "z lodem", "op ijs", "på is"),
)
ON_THE_ROCKS = ("rocks", "on the rocks", "on rocks", "over ice", "auf eis", "on ice", *ROCKS_ABROAD)
STRAIGHT_UP = (
    *("up", "straight up", "served up", "straight", "liscio", "liscia", "derecho", "sec", "pur"),
)
ICE = (
    *("ice", "ice cubes", "cubes", "eis", "eiswürfel", "glace", "glaçon", "glaçons", "hielo"),
    *(
        "hielos",
        "ghiaccio",
        "ijs",
        "is",
        "isbiter",
        "isterninger",
        "isbitar",
        "gelo",
        "lód",
        "lodu",
    ),
    *("lodem", "led", "ledu", "rocks", *abroad.ICE),
)
MORE = frozenset(("extra", "+", "plus", "add", "and", "more", "más", "mas", "più", "mais"))
"""Words that ask for more of something: extra ice is not what "with ice" says."""
NO_ICE = (
    *("no ice", "without ice", "hold the ice", "hold ice", "w/o ice", "ohne eis", "kein eis"),
    *("sans glace", "sin hielo", "senza ghiaccio", "zonder ijs", "leave out ice", "minus ice"),
    *(
        "geen ijs",
        "pas de glace",
        "utan is",
        "uten is",
        "uden is",
        "sem gelo",
        "bez lodu",
        "no rocks",
    ),
)
NOTE_ABROAD = (
    *("nb", "n.b."),
    *("remark", "memo", "remarque", "opmerking", "let op", "obs", "anmerkung", "bemerkung"),
    *("observación", "observações", "uwaga", "merk", "bemerk", "instructions", "request"),
)
NOTE = ("note", "notes", "msg", "message", "info", "comment", "hinweis", "nota", *NOTE_ABROAD)
ALLERGY = (
    *("allergy", "allergies", "allergic to", "allergic", "allergen", "allergens", "allergy alert"),
    *("allergie", "allergien", "allergisch gegen", "allergia", "alergia", "allergique a"),
    *("allergy to", "intolerance", "intolerant to", "allergique à", "allergène", "allergènes"),
    *(
        "alergias",
        "alérgico a",
        "alérgica a",
        "alérgenos",
        "allergie",
        "allergico a",
        "allergica a",
    ),
    *(
        "allergisch voor",
        "allergenen",
        "allergi",
        "allergier",
        "allergisk mot",
        "allergisk over for",
    ),
    *("allergen alert", "allergiker", "unverträglichkeit", "uczulenie", "alergie", "allergia"),
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
    *("annule", "anulado", "annullato", "do not make", "deleted", "removed", "stornierung"),
    *("stornobon", "abgesagt", "annulée", "annullamento", "anulación", "anulada", "cancelado"),
    *(
        "geannuleerd",
        "annulering",
        "vervallen",
        "makulerad",
        "annullert",
        "annulleret",
        "anulowano",
    ),
    *(
        "annullata",
        "annullati",
        "annullo",
        "anulada",
        "anulação",
        "anulados",
        "baja",
        "nulo",
        "nul",
    ),
    *("cancelada", "cancelación", "cancelamento", "cancellato", "cancellata", "eliminado"),
    *("eliminada", "makulert", "makulering", "makulerat", "annullering", "slettet", "slettes"),
    *("storniert", "stornato", "stornata", "ungültig", "ogiltig", "ugyldig", "annulés", "retirado"),
    *("removido", "zrušeno", "storno bon", "doorgehaald", "scrapped", "ongeldig", "geschrapt"),
)
REPRINT = (
    *("reprint", "reprinted", "duplicate", "copy", "rpt", "second copy", "nachdruck", "kopie"),
    *("duplicata", "copia", "printed again", "repeat print", "re-print", "zweitdruck", "duplikat"),
    *(
        "reimpresión",
        "duplicado",
        "ristampa",
        "duplicato",
        "kopia",
        "kopi",
        "herdruk",
        "afdruk kopie",
    ),
    *("réimpression", "wiederholung", "segunda via", "2nd copy"),
    *(
        "reimpresion",
        "reimpressão",
        "reimpreso",
        "reimpresa",
        "ristampato",
        "ristampata",
        "duplicaat",
    ),
    *(
        "utskrift på nytt",
        "nyutskrift",
        "nytryck",
        "omtryk",
        "genoptryk",
        "genudskrift",
        "genudskrevet",
        "kopie bon",
        "kopie-bon",
    ),
    *(
        "herdrukt",
        "opnieuw geprint",
        "2a via",
        "2ª via",
        "2.a via",
        "printed twice",
        "dublett",
        "bonkopie",
    ),
    *("erneut gedruckt", "already printed", "wydruk ponowny", "kopia bonu"),
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
    *("correzione", "correctie", "korrektion", "rättelse", "rettelse", "änderung", "modification"),
    *("modifié", "modificado", "modificato", "modifica", "cambio", "gewijzigd", "wijziging"),
    *("ändrad", "ændret", "endret", "correção", "alterado", "korekta", "modified order"),
    *("rettifica", "rettificato", "rettificata", "modificación", "modificada", "modificata"),
    *("modificação", "alterada", "alteração", "corregido", "corregida", "corretto", "corretta"),
    *("corrigé", "corrigée", "rectifié", "korrigiert", "korrigerad", "korrigert", "korrigeret"),
    *("berichtigt", "berichtigung", "endring", "ændring", "ändring", "rettet", "rättad", "ändrat"),
    *("cambiado", "cambiato", "cambiata", "variazione", "variato", "gecorrigeerd", "aangepast"),
    *("aanpassing", "zmiana", "oprava", "amend", "revision", "corrigido", "corrigida"),
    *("rectificación", "rectificado", "änderungsbon"),
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
    *("commande", "bestellung", "pedido", "comanda", "ordine", "bestelling", "ordre", "de", "do"),
    *("do not make", "do not prepare", "already sent", "bon", "item", "items", "the", "a"),
    *(
        "this",
        "is",
        "was",
        "has",
        "been",
        "it",
        "to",
        "now",
        "please",
        "again",
        "this is",
        "of",
        "since",
    ),
)
"""What may stand beside a mark on its line."""

DRINK_SECTIONS = (
    *("bar", "drinks", "beverages", "cocktails", "wine", "wines", "beer", "beers", "spirits"),
    *("getränke", "boissons", "bebidas", "bevande", "dranken", "the bar", "long drinks", "shots"),
    *("drink", "wet", "from the bar", "bar items", "dryck", "drikke", "drikkevarer", "napoje"),
    *("theke", "ausschank", "barra", "comptoir", "liquor", "softs", "soft drinks", "hot drinks"),
    *("côté bar", "bar side", "minerals", "cellar", "nápoje", "juomat", "ital", "dranken bar"),
)
FOOD_SECTIONS = (
    *("food", "kitchen", "starters", "mains", "sides", "desserts", "snacks", "grill", "pass"),
    *("speisen", "küche", "essen", "cuisine", "cocina", "cucina", "keuken", "bar food", "plates"),
    *("small plates", "dishes", "dry", "from the kitchen", "kitchen items", "eten", "gerechten"),
    *("kök", "mat", "køkken", "mad", "kjøkken", "comida", "plats", "entrées", "piatti", "kuchnia"),
    *("cozinha", "pratos", "to eat", "sandwiches", "pizza", "pasta"),
)

HOUSE = (
    *("couverts #", "# couverts", "# personnes", "# personen", "# coperti", "# cubiertos"),
    *("covers #", "# covers", "guests #", "# guests", "pax #", "# pax", "people #", "# people"),
    *("cover #", "# cover", "qty item", "qty item price", "item", "item price", "item £", "item $"),
    *("item €", "items #", "# items", "page #", "page # of #", "gäste #", "# gäste", "# persons"),
    *("qty description", "quantity item", "description price", "description", "persons #"),
    *("thank you", "thanks", "merci", "danke", "gracias", "grazie", "vielen dank", "bedankt"),
    *("tack", "takk", "tak", "obrigado", "dziękujemy", "děkujeme", "kiitos", "cheers"),
    *("end of ticket", "end of order", "end", "ende", "fin", "fine", "einde", "slut", "fin de bon"),
    *("# items", "total items #", "qty total #", "# pieces", "# articles", "# artikel", "# stuks"),
    *("# unidades", "# pezzi", "# st", "# stk", "# drinks", "# positionen", "# antal"),
)
"""Lines that say nothing about a drink; ``#`` for a number. Nothing here may be a drink's name."""

MONEY = (
    *("total", "subtotal", "sub total", "sub-total", "tax", "vat", "service charge", "gratuity"),
    *("service", "tip", "discount", "happy hour", "cash", "card", "change due", "balance", "paid"),
    *("amount due", "amount", "total due", "round total", "rounding", "deposit", "promo", "comp"),
    *("change", "summe", "gesamt", "zwischensumme", "rabatt", "mwst", "inkl", "bar gegeben", "net"),
    *("tendered", "to pay", "due", "incl", "included", "sum", "staff discount", "loyalty", "offer"),
    *("remise", "tva", "iva", "totale", "importe", "descuento", "sconto", "totaal", "summa", "btw"),
    *("incl. vat", "incl vat", "inkl. mwst", "total ttc", "dont tva", "total ht", "di cui iva"),
    *("varav moms", "moms", "mva", "ust", "podatek", "suma", "razem", "celkem", "yhteensä", "alv"),
    *("gst", "hst", "service incl", "korting", "rabatt", "rabat", "subtotaal", "sous-total"),
    *("delsumma", "subtotale", "imponibile", "zu zahlen", "à payer", "a pagar", "da pagare"),
    *("te betalen", "att betala", "at betale", "bezahlt", "payé", "pagado", "pagato", "betaald"),
)
PERSON = (
    *("guest", "guest name", "customer", "name", "phone", "tel", "mobile", "email", "e-mail"),
    *("gast", "kunde", "cliente", "client", "member", "room guest"),
)

FIELDS = {"number": NUMBER, "place": PLACE, "server": SERVER, "till": TILL, "time": TIME}
"""Labels of the head."""

BAR_TOP = (
    *("rail*", "plats *", "platz *", "schank *"),
    *("bar*", "seat *", "stool *", "counter *", "theke *", "tresen *", "barra *", "comptoir *"),
    *("hocker *", "barhocker *", "banco *", "sgabello *", "taburete *", "kruk *", "disk *"),
    *("toog *", "balcão *", "perch *", "zinc *", "mostrador *"),
)
FLOOR = (
    *("table*", "tbl*", "tisch *", "mesa *", "tavolo *", "tafel *", "booth *", "bord *"),
    *(
        "stolik *",
        "stůl *",
        "pöytä *",
        "terrace*",
        "terrasse*",
        "terraza*",
        "patio*",
        "salon*",
        "salón*",
        "deck*",
        "room *",
        "zimmer *",
        "garden*",
    ),
)

_COMMON: dict[str, tuple[str, ...]] = {
    "head.number.labels": NUMBER,
    "head.place.labels": PLACE,
    "head.server.labels": SERVER,
    "head.till.labels": TILL,
    "head.time.labels": TIME,
    "head.other.labels": OTHER,
    "head.words": SMALL,
    "head.where": WHERE,
    "items.quantity_words": QUANTITY,
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
COMMON = {path: (*words, *abroad.ABROAD.get(path, ())) for path, words in _COMMON.items()}
"""By the place in a profile that adds to them."""
