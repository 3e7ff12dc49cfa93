"""What tills say in some languages; common practice, from memory."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """The words of one language, several for each thing."""

    number: tuple[str, ...]
    places: tuple[tuple[str, str], ...]
    where: str
    server: tuple[str, ...]
    time: tuple[str, ...]
    till: tuple[str, ...]
    covers: tuple[str, ...]
    house: tuple[str, ...]
    thanks: tuple[str, ...]
    headings: tuple[tuple[str, str], ...]
    guests: tuple[str, ...]
    counts: tuple[str, ...]
    money: tuple[str, ...]
    marks: dict[str, str]
    mixed: tuple[tuple[str, str], ...]
    ways: dict[str, tuple[str, ...]]
    allergy: tuple[str, ...]
    note: str


ENGLISH = Language(
    number=(
        "Order",
        "Ticket",
        "Check",
        "Bill no",
        "Docket",
        "Chit",
        "Ref",
        "Slip no",
        "Job",
        "Tab no",
    ),
    places=(
        ("Table", "Bar"),
        ("Tbl", "Seat"),
        ("table", "stool"),
        ("Table", "Counter"),
        ("Booth", "Perch"),
    ),
    where="Where",
    server=(
        "Server",
        "Taken by",
        "Served by",
        "By",
        "Staff",
        "Waiter",
        "Crew",
        "Rung in by",
        "Opened by",
    ),
    time=("Time", "Sent", "Printed", "Fired", "In at", "Placed"),
    till=("Till", "Terminal", "Station", "Pos", "Device", "From till"),
    covers=("Covers", "Guests", "Pax", "Party of", "Heads"),
    house=(
        "SALTMARCH HOUSE",
        "Quay Lane 3",
        "Bar copy",
        "DRINKS TICKET",
        "Open till late",
        "For the bar",
    ),
    thanks=("Thank you", "Mind the step", "End of ticket", "*** END ***", "See you at high water"),
    headings=(
        ("BAR", "KITCHEN"),
        ("Drinks", "Food"),
        ("From the well", "From the stove"),
        ("WET", "DRY"),
    ),
    guests=("Guest", "Seat", "Cover", "Chair"),
    counts=(
        "Items: {}",
        "{} items",
        "Total items {}",
        "Qty total: {}",
        "No of items   {}",
        "Pieces {}",
    ),
    money=("Total", "incl. VAT"),
    marks={"reprint": "REPRINT", "void": "VOID", "correction": "CORRECTION"},
    mixed=(
        ("{spirit} & {mixer}", "double {spirit} & {mixer}"),
        ("{spirit} and {mixer}", "large {spirit} and {mixer}"),
        ("{spirit}/{mixer}", "dbl {spirit}/{mixer}"),
        ("{spirit} + {mixer}", "{spirit} + {mixer} double"),
        ("{spirit} with {mixer}", "double {spirit} with {mixer}"),
        ("{spirit} {mixer}", "double {spirit} {mixer}"),
    ),
    ways={
        "leave_out": (
            "no {out}",
            "without {out}",
            "w/o {out}",
            "hold {out}",
            "NO {out}",
            "minus {out}",
        ),
        "swap": (
            "sub {into} for {out}",
            "{into} instead of {out}",
            "swap {out} for {into}",
            "{out} > {into}",
        ),
        "add": ("add {into}", "extra {into}", "+ {into}", "plus {into}", "with {into}"),
        "double": ("double", "make it a double"),
        "on_the_rocks": ("on the rocks", "rocks"),
        "straight_up": ("straight up", "up"),
        "no_ice": ("no ice", "without ice"),
    },
    allergy=("ALLERGY", "Allergy", "allergic to", "ALLERGEN", "Allergies"),
    note="Note",
)
GERMAN = Language(
    number=("Bon", "Bon-Nr.", "Bestellung", "Beleg", "Auftrag", "Vorgang"),
    places=(("Tisch", "Theke"), ("Tisch", "Bar"), ("Tisch", "Platz"), ("Tisch", "Hocker")),
    where="Wohin",
    server=("Bedienung", "Kellner", "Bediener", "Service", "Es bediente", "Aufgenommen von"),
    time=("Zeit", "Uhrzeit", "Gedruckt", "Eingang"),
    till=("Kasse", "Terminal", "Gerät"),
    covers=("Gäste", "Personen", "Gedecke"),
    house=("SALTMARCH HOUSE", "Am Kai 3", "Getränkebon", "Thekenbon", "Nur für die Bar"),
    thanks=("Vielen Dank", "Ende", "Bis zur nächsten Flut"),
    headings=(("Getränke", "Küche"), ("THEKE", "SPEISEN"), ("Ausschank", "Herd")),
    guests=("Gast", "Person"),
    counts=("Anzahl: {}", "{} Artikel", "Positionen {}"),
    money=("Summe", "inkl. MwSt"),
    marks={"reprint": "NACHDRUCK", "void": "STORNO", "correction": "KORREKTUR"},
    mixed=(
        ("{spirit} {mixer}", "{spirit} {mixer} doppelt"),
        ("{spirit} mit {mixer}", "doppelt {spirit} mit {mixer}"),
    ),
    ways={
        "leave_out": ("ohne {out}", "kein {out}"),
        "swap": ("{into} statt {out}", "{out} > {into}"),
        "add": ("mit {into}", "plus {into}", "extra {into}"),
        "double": ("doppelt",),
        "on_the_rocks": ("auf Eis",),
        "straight_up": ("straight up", "up"),
        "no_ice": ("ohne Eis", "kein Eis"),
    },
    allergy=("ALLERGIE", "Allergie", "allergisch gegen"),
    note="Hinweis",
)
FRENCH = Language(
    number=("Ticket", "Commande", "Bon n°", "Note"),
    places=(("Table", "Comptoir"), ("Table", "Bar"), ("Table n°", "Bar n°")),
    where="Lieu",
    server=("Serveur", "Servi par", "Pris par", "Vendeur"),
    time=("Heure", "Imprimé", "Envoyé"),
    till=("Caisse", "Poste"),
    covers=("Couverts", "Personnes"),
    house=("Maison Saltmarch", "Côté bar", "Bon de bar", "3, quai du Sel"),
    thanks=("Merci", "Fin de bon", "A bientôt"),
    headings=(("BOISSONS", "CUISINE"), ("Côté zinc", "Côté fourneau")),
    guests=("Convive", "Couvert"),
    counts=("Articles : {}", "{} articles"),
    money=("Total TTC", "dont TVA"),
    marks={"reprint": "DUPLICATA", "void": "ANNULATION", "correction": "RECTIFICATIF"},
    mixed=(
        ("{spirit} {mixer}", "double {spirit} {mixer}"),
        ("{spirit} & {mixer}", "double {spirit} & {mixer}"),
    ),
    ways={
        "leave_out": ("sans {out}",),
        "swap": ("{into} pour {out}", "{into} au lieu de {out}", "{into} à la place de {out}"),
        "add": ("avec {into}", "plus {into}", "ajouter {into}"),
        "double": ("double",),
        "on_the_rocks": ("sur glace", "on the rocks"),
        "straight_up": ("straight up",),
        "no_ice": ("sans glace",),
    },
    allergy=("ALLERGIE", "Allergie", "allergique à"),
    note="Remarque",
)
SPANISH = Language(
    number=("Ticket", "Pedido", "Comanda", "Folio"),
    places=(("Mesa", "Barra"), ("Mesa", "Taburete")),
    where="Lugar",
    server=("Camarero", "Atendido por", "Mesero"),
    time=("Hora", "Impreso", "Enviado"),
    till=("Caja", "Terminal"),
    covers=("Comensales", "Cubiertos"),
    house=("Casa Saltmarch", "Muelle 3", "Comanda de barra"),
    thanks=("Gracias", "Fin"),
    headings=(("BEBIDAS", "COCINA"), ("Del bar", "De la plancha")),
    guests=("Comensal", "Silla"),
    counts=("Artículos: {}", "{} unidades"),
    money=("Total", "IVA incl."),
    marks={"reprint": "COPIA", "void": "ANULADO", "correction": "CORRECCIÓN"},
    mixed=(
        ("{spirit} {mixer}", "{spirit} {mixer} doble"),
        ("{spirit} con {mixer}", "doble {spirit} con {mixer}"),
    ),
    ways={
        "leave_out": ("sin {out}",),
        "swap": ("{into} en lugar de {out}", "{into} en vez de {out}"),
        "add": ("con {into}", "más {into}", "extra {into}"),
        "double": ("doble",),
        "on_the_rocks": ("con hielo", "on the rocks"),
        "straight_up": ("straight up",),
        "no_ice": ("sin hielo",),
    },
    allergy=("ALERGIA", "Alergia", "alérgico a"),
    note="Nota",
)
ITALIAN = Language(
    number=("Comanda", "Ordine", "Scontrino"),
    places=(("Tavolo", "Banco"), ("Tavolo", "Sgabello")),
    where="Dove",
    server=("Cameriere", "Servito da", "Operatore"),
    time=("Ora", "Stampato"),
    till=("Cassa", "Postazione"),
    covers=("Coperti", "Persone"),
    house=("Casa Saltmarch", "Molo 3", "Comanda bar"),
    thanks=("Grazie", "Fine"),
    headings=(("BEVANDE", "CUCINA"), ("Dal banco", "Dai fornelli")),
    guests=("Ospite",),
    counts=("Pezzi: {}", "{} pezzi"),
    money=("Totale", "di cui IVA"),
    marks={"reprint": "COPIA", "void": "ANNULLATO", "correction": "CORREZIONE"},
    mixed=(("{spirit} {mixer}", "{spirit} {mixer} doppio"),),
    ways={
        "leave_out": ("senza {out}",),
        "swap": ("{into} invece di {out}", "{into} al posto di {out}"),
        "add": ("con {into}", "aggiungi {into}"),
        "double": ("doppio",),
        "on_the_rocks": ("con ghiaccio", "on the rocks"),
        "straight_up": ("straight up",),
        "no_ice": ("senza ghiaccio",),
    },
    allergy=("ALLERGIA", "Allergia", "allergico a"),
    note="Nota",
)
DUTCH = Language(
    number=("Bon", "Bestelling", "Bonnummer"),
    places=(("Tafel", "Bar"), ("Tafel", "Kruk")),
    where="Plek",
    server=("Bediening", "Ober", "Geholpen door"),
    time=("Tijd", "Geprint"),
    till=("Kassa",),
    covers=("Gasten", "Personen"),
    house=("Huis Saltmarch", "Kade 3", "Barbon"),
    thanks=("Bedankt", "Einde bon"),
    headings=(("DRANKEN", "KEUKEN"), ("Van de tap", "Van het vuur")),
    guests=("Gast", "Stoel"),
    counts=("Aantal: {}", "{} stuks"),
    money=("Totaal", "incl. BTW"),
    marks={"reprint": "KOPIE", "void": "GEANNULEERD", "correction": "CORRECTIE"},
    mixed=(
        ("{spirit} {mixer}", "dubbele {spirit} {mixer}"),
        ("{spirit} met {mixer}", "{spirit} met {mixer} dubbel"),
    ),
    ways={
        "leave_out": ("zonder {out}", "geen {out}"),
        "swap": ("{into} in plaats van {out}", "{into} ipv {out}"),
        "add": ("met {into}", "extra {into}", "plus {into}"),
        "double": ("dubbel",),
        "on_the_rocks": ("met ijs", "on the rocks"),
        "straight_up": ("straight up",),
        "no_ice": ("zonder ijs", "geen ijs"),
    },
    allergy=("ALLERGIE", "Allergie", "allergisch voor"),
    note="Opmerking",
)
NORDIC = Language(
    number=("Bong", "Ordre", "Order", "Bon nr"),
    places=(("Bord", "Bar"), ("Bord", "Disk"), ("Bord", "Plads")),
    where="Sted",
    server=("Servitör", "Tjener", "Betjent av", "Kassör"),
    time=("Tid", "Kl."),
    till=("Kassa", "Kasse"),
    covers=("Gäster", "Gjester", "Personer"),
    house=("Saltmarch Hus", "Kajen 3", "Barbong"),
    thanks=("Tack", "Takk", "Slut"),
    headings=(("DRYCK", "KÖK"), ("Fra baren", "Fra gryta")),
    guests=("Gäst", "Stol"),
    counts=("Antal: {}", "{} st"),
    money=("Summa", "varav moms"),
    marks={"reprint": "KOPIA", "void": "MAKULERAD", "correction": "KORREKTION"},
    mixed=(
        ("{spirit} {mixer}", "dubbel {spirit} {mixer}"),
        ("{spirit} & {mixer}", "dobbel {spirit} & {mixer}"),
    ),
    ways={
        "leave_out": ("utan {out}", "uten {out}", "uden {out}"),
        "swap": ("{into} istället för {out}", "{into} i stedet for {out}"),
        "add": ("med {into}", "extra {into}"),
        "double": ("dubbel", "dobbel"),
        "on_the_rocks": ("med is", "on the rocks"),
        "straight_up": ("straight up",),
        "no_ice": ("utan is", "uten is"),
    },
    allergy=("ALLERGI", "Allergi", "allergisk mot"),
    note="Obs",
)
LANGUAGES = (
    ENGLISH,
    ENGLISH,
    ENGLISH,
    ENGLISH,
    GERMAN,
    GERMAN,
    FRENCH,
    SPANISH,
    ITALIAN,
    DUTCH,
    NORDIC,
)
