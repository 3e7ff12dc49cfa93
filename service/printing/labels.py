"""Words before the facts of a ticket's head, in many tongues; common practice, from memory."""

from __future__ import annotations

NUMBER = (
    *("ticket", "ticket no", "ticket nr", "ticket number", "order", "order no", "order number"),
    *("check", "chk", "check no", "cheque", "bill", "docket", "receipt", "receipt no", "no", "nr"),
    *("number", "#", "bon", "bon-nr", "bonnr", "bestellung", "beleg", "commande", "comanda"),
    *("pedido", "bestelling", "ordine", "sale", "invoice", "transaction", "slip", "slip no"),
    *("chit", "ref", "reference", "tab no", "job", "docket no", "bill no", "invoice no", "seq"),
    *("bon nr", "bonnummer", "beleg-nr", "beleg nr", "belegnummer", "auftrag", "auftrag nr"),
    *("bestellnummer", "rechnung", "rechnung nr", "vorgang", "bon n°", "note n°", "folio", "orden"),
    *(
        "orden no",
        "scontrino",
        "comanda n",
        "conto",
        "rekening",
        "bong",
        "ordre",
        "ordrenr",
        "nota",
    ),
    *("ordernr", "bestelnummer", "zamówienie", "objednávka", "účtenka", "tilaus", "talão", "nº"),
    *("rg", "rg nr", "rg-nr", "rgnr"),
)
PLACE = (
    *("table", "tbl", "tab", "seat", "bar seat", "bar stool", "stool", "bar", "counter", "booth"),
    *("room", "terrace", "patio", "tisch", "theke", "platz", "tresen", "mesa", "tavolo", "tafel"),
    *("barra", "bord", "place", "tbl no", "table no", "table n°", "tisch nr", "comptoir", "zinc"),
    *("hocker", "barhocker", "platz nr", "banco", "sgabello", "taburete", "silla", "mostrador"),
    *("kruk", "toog", "disk", "plads", "plass", "balcão", "stolik", "stůl", "pöytä", "perch"),
    *("chair", "lounge", "garden", "deck", "position", "tab name", "zimmer", "raum", "terrasse"),
    *("chambre", "habitación", "camera", "kamer", "sofa", "pult", "garten"),
)
WHERE = (
    *("where", "place", "location", "deliver to", "goes to", "wohin", "ort", "lieu", "emplacement"),
    *("lugar", "ubicación", "dove", "luogo", "plek", "plaats", "sted", "plats", "local", "loc"),
)
"""Words before a place that are no part of its name: ``Where: Table 4``."""
SERVER = (
    *("server", "served by", "waiter", "waitress", "staff", "operator", "user", "employee", "by"),
    *("bedienung", "kellner", "bediener", "serveur", "camarero", "cameriere", "cashier", "clerk"),
    *("taken by", "ordered by", "host", "opened by", "rung in by", "entered by", "keyed by"),
    *("crew", "attendant", "bartender", "barkeeper", "you were served by", "rep", "sold by"),
    *("es bediente", "es bediente sie", "aufgenommen von", "bedient von", "mitarbeiter"),
    *("serveuse", "servi par", "pris par", "vendeur", "caissier", "employé", "par"),
    *("camarera", "atendido por", "le atendió", "mesero", "mesera", "mozo", "garzón", "vendedor"),
    *("cameriera", "servito da", "operatore", "addetto", "ober", "bediening", "geholpen door"),
    *("medewerker", "servitör", "servitris", "tjener", "betjent av", "betjent af", "kassör"),
    *(
        "ekspedient",
        "empregado",
        "atendente",
        "garçom",
        "kelner",
        "kelnerka",
        "číšník",
        "tarjoilija",
    ),
    *("serv", "srv", "serv by", "svr", "waiter no", "clerk no", "rung by", "sold to you by"),
)
TILL = (
    *("till", "till no", "kasse", "terminal", "register", "reg", "pos", "caisse", "caja", "cassa"),
    *(
        "from till",
        "device",
        "station",
        "workstation",
        "term",
        "kasse nr",
        "gerät",
        "poste",
        "puesto",
    ),
    *("postazione", "kassa", "caixa", "kasa", "pokladna", "point of sale", "kassenplatz"),
)
TIME = (
    *("time", "date", "printed", "placed", "ordered", "sent", "at", "zeit", "uhrzeit", "datum"),
    *("fired", "in at", "opened", "date/time", "when", "gedruckt", "eingang", "um", "heure"),
    *("imprimé", "envoyé", "le", "hora", "fecha", "impreso", "enviado", "ora", "data", "stampato"),
    *("tijd", "geprint", "tid", "kl", "klockan", "dato", "utskrivet", "godz", "čas", "aika"),
)
OTHER = (
    *("covers", "cover", "guests", "pax", "persons", "people", "page", "course", "gäste"),
    *("party of", "heads", "party", "personen", "gedecke", "couverts", "personnes", "comensales"),
    *("cubiertos", "personas", "coperti", "persone", "gasten", "gäster", "gjester", "gæster"),
    *("personer", "pessoas", "osób", "gang", "plat", "items", "no of items", "total items"),
    *("qty total", "total qty", "pieces", "total drinks", "drinks total", "anzahl", "artikel"),
    *("positionen", "articles", "artículos", "unidades", "pezzi", "articoli", "aantal", "antal"),
    *(
        "antall",
        "seq no",
    ),
)
"""Labels of what nobody at a bar asks for."""
GUESTS = (
    *("guest", "gast", "seat", "cover", "position", "person", "chair", "diner", "platz", "stuhl"),
    *(
        "convive",
        "couvert",
        "client",
        "chaise",
        "comensal",
        "silla",
        "cliente",
        "ospite",
        "coperto",
    ),
    *("stoel", "gäst", "gjest", "gæst", "stol", "lugar", "osoba", "host"),
)
"""Over the items of one guest, with a number."""

SMALL = (
    *("on", "at", "the", "to", "of", "for", "in", "from", "and", "by", "no", "nr", "n°", "nº", "h"),
    *(
        "um",
        "am",
        "im",
        "an",
        "auf",
        "bei",
        "von",
        "für",
        "uhr",
        "le",
        "la",
        "les",
        "à",
        "au",
        "aux",
    ),
    *(
        "pour",
        "par",
        "chez",
        "de",
        "du",
        "des",
        "en",
        "el",
        "los",
        "para",
        "por",
        "a",
        "il",
        "alle",
    ),
    *("per", "da", "di", "su", "op", "aan", "voor", "van", "om", "te", "till", "på", "för", "av"),
    *("kl", "ved", "til", "i", "den", "hrs", "hr", "with", "was", "is", "took", "serving", "your"),
    *WHERE,
)
"""Words between facts that say nothing by themselves: ``PRINTED 18:06 ON TILL 1``."""
