"""Words that tills print in more tongues, by the place in a profile that they add to.

Finnish, Estonian, Polish, Czech, Slovak, Croatian, Hungarian, Romanian, Turkish, Catalan and Welsh,
and a few of other tongues that were met less often. All of it is common practice, from memory;
`vocabulary` puts it to its own lists.
"""

from __future__ import annotations

ICE = (
    *("jäitä", "jää", "jäät", "jäillä", "jääta", "jääga", "buz", "jég", "jeget", "jéggel"),
    *("gheață", "gheata", "leda", "ledom", "ľad", "ľadu", "ľadom", "gel"),
)
WEAK = (
    *("s", "se", "so", "sa", "cu", "amb", "ei", "en plus", "off", "ekstra", "dodaj", "plusz"),
    *("{put_in} eikä {take_out}", "{put_in} a nie {take_out}", "{put_in}, no {take_out}"),
    *("{put_in} rather than {take_out}", "{take_out} becomes {put_in}"),
)
"""Words that mean something else in another tongue: a change only before what is known."""

ABROAD: dict[str, tuple[str, ...]] = {
    "head.number.labels": (
        *(
            "archeb",
            "archeb rhif",
            "tocyn",
        ),
        *("tilausnumero", "tilaus nro", "kuitti", "kuittinro", "nr zamówienia", "rachunek"),
        *("paragon", "účet", "účet č", "účtenka č", "objednávka č", "bon č", "fiş", "fiş no"),
        *("sipariş", "sipariş no", "adisyon", "adisyon no", "rendelés", "rendelésszám", "számla"),
        *("nyugta", "comanda nr", "bon nr", "narudžba", "račun", "račun br", "comanda núm"),
        *("tellimus", "arve", "conta", "order ref", "slip number", "running no", "our ref"),
    ),
    "head.place.labels": (
        *(
            "bwrdd",
            "stôl y bar",
        ),
        *("tiski", "baaritiski", "terassi", "stół", "lada", "ogródek", "výčep", "pult", "stôl"),
        *("masa", "tezgah", "bahçe", "teras", "asztal", "terasz", "terasă", "šank", "terasa"),
        *("taula", "laud", "lett", "hatch", "shelf", "parasol", "cabana", "bench"),
    ),
    "head.where": (
        *("sijainti", "minne", "gdzie", "kam", "yer", "konum", "hely", "mjesto", "lloc", "koht"),
        *("for", "bring to", "take to", "serve at", "serve to", "carry to", "leave at", "put at"),
    ),
    "head.server.labels": (
        *(
            "gweinydd",
            "gweinyddes",
        ),
        *("myyjä", "obsługa", "obsługuje", "obsluha", "obsluhoval", "obsloužil", "čašník"),
        *("garson", "kasiyer", "pincér", "felszolgáló", "kiszolgálta", "ospătar", "chelner"),
        *("servit de", "konobar", "konobarica", "cambrer", "cambrera", "atès per", "teenindaja"),
        *("usher", "runner", "your server", "looked after by", "placed by", "steward", "who"),
    ),
    "head.till.labels": ("pénztár", "blagajna", "pokladňa", "caixa", "unit no"),
    "head.time.labels": (
        *("klo", "pvm", "päiväys", "tulostettu", "czas", "godzina", "wydrukowano", "vytištěno"),
        *("tarih", "saat", "dátum", "idő", "időpont", "nyomtatva", "vrijeme", "kell", "kuupäev"),
    ),
    "head.other.labels": (
        *("henkilöä", "asiakkaat", "hlö", "osoby", "goście", "hosté", "kişi", "misafir"),
        *("vendég", "vendégek", "persoane", "osobe", "persones", "inimesi", "diners", "seats"),
    ),
    "items.quantity_words": ("adet", "ad", "db", "buc", "kom", "tk", "krát", "szt", "no. of"),
    "changes.leave_out": (
        *(
            "retirer",
            "enlever",
            "ôter",
            "quitar",
            "togliere",
            "weglassen",
            "verwijder",
            "fjern",
            "ta bort",
            "usuń",
            "odebrat",
        ),
        *("heb",),
        *("ei", "poista", "fără", "fara", "sense", "ilma", "brez", "take out", "leave off"),
        *("{} yok", "{} nélkül", "{} pois", "{} out", "{} off", "{} none", "{} weg", "{} raus"),
    ),
    "changes.add": (
        *("gyda",),
        *("lisää", "lisa", "dodaj", "dodatkowo", "přidat", "přidej", "navíc", "pridať", "s", "se"),
        *("so", "sa", "cu", "amb", "afegir", "adaugă", "plusz", "ekstra", "en plus", "finish with"),
        *("{} ekle", "{} extra", "{} added", "{} lisää", "{} navíc", "{} pluszban"),
    ),
    "changes.swap": (
        *("{put_in} yn lle {take_out}",),
        *("{put_in} eikä {take_out}", "{put_in} místo {take_out}", "{put_in} namiesto {take_out}"),
        *("{take_out} yerine {put_in}", "{take_out} helyett {put_in}"),
        *("{put_in} în loc de {take_out}", "{put_in} in loc de {take_out}"),
        *("{put_in} umjesto {take_out}", "{put_in} en lloc de {take_out}"),
        *("{take_out} asemel {put_in}", "{put_in} a nie {take_out}"),
        *("{put_in} rather than {take_out}", "switch {take_out} to {put_in}"),
        *("switch {take_out} for {put_in}", "use {put_in} for {take_out}"),
        *("{put_in}, no {take_out}", "make it {put_in} for {take_out}"),
        *(
            "make it {put_in} not {take_out}",
            "use {put_in} not {take_out}",
            "{take_out} becomes {put_in}",
        ),
    ),
    "changes.double": (
        *(
            "double dose",
            "dose double",
            "dopp",
        ),
        *("dwbl",),
        *("tupla", "tuplana", "duble", "duplán", "dublu", "dublă", "dvojitá", "dvojité", "dupli"),
        *("podwójna", "podwójne", "topelt", "dobla", "dvojna"),
    ),
    "changes.on_the_rocks": (
        *(
            "ar rew",
            "gyda rhew",
        ),
        *("jäillä", "jäiden kanssa", "na lodzie", "s ledem", "na ledu", "s ľadom", "buzlu"),
        *(
            "jéggel",
            "cu gheață",
            "pe gheață",
            "s ledom",
            "amb gel",
            "jääga",
            "over rocks",
            "a. eis",
            "m. eis",
        ),
    ),
    "changes.no_ice": (
        *(
            "heb rew",
            "dim rhew",
        ),
        *("ilman jäitä", "ei jäitä", "bez ledu", "bez leda", "bez ľadu", "buzsuz", "buz yok"),
        *("jég nélkül", "fără gheață", "sense gel", "ilma jääta", "ice out", "ice off", "ice none"),
    ),
    "changes.note": (
        *("nodyn",),
        *("huom", "huomio", "viesti", "uwagi", "pozn", "poznámka", "megjegyzés", "megj"),
        *(
            "observații",
            "napomena",
            "märkus",
            "say",
            "tell",
            "remember",
            "please note",
            "attn",
            "remarks",
        ),
    ),
    "changes.allergy": (
        "alg",
        "algy",
        "allrgy",
        "alerji",
        "alerjen",
        "allergeenit",
        "dietary",
        "diet",
        "must not have",
        "cannot have",
        "can't have",
        "must avoid",
    ),
    "marks.void": (
        *(
            "all void",
            "à annuler",
            "entfällt",
            "kommt nicht",
        ),
        *(
            "canslwyd",
            "dilëwyd",
        ),
        *("mitätöity", "mitätöinti", "peruttu", "peruutus", "poistettu", "anulowane", "anulacja"),
        *("stornováno", "zrušené", "iptal", "iptal edildi", "sztornó", "törölve", "törlés"),
        *("anulat", "anulare", "stornat", "stornirano", "otkazano", "anul·lat", "anullat"),
        *("tühistatud", "take off", "taken off", "remove", "remove from order", "withdrawn"),
        *(
            "do not serve",
            "do not prepare",
            "struck off",
            "no longer wanted",
            "not wanted",
            "call off",
            "called off",
        ),
    ),
    "marks.reprint": (
        *(
            "printed once more",
            "once more",
            "déjà imprimé",
            "2. ausdruck",
            "zweiter ausdruck",
        ),
        *("copi",),
        *("kopio", "uusinta", "uusintatulostus", "wtórnik", "duplikát", "kópia", "opis", "kopya"),
        *("tekrar", "ikinci kopya", "másolat", "ismétlés", "copie", "duplicat", "reimprimat"),
        *("kopija", "ponovljen ispis", "còpia", "koopia", "kordus", "second print", "repeat"),
        *("printed before", "another copy", "copy only", "already made"),
    ),
    "marks.correction": (
        *("put right",),
        *(
            "cywiriad",
            "newidiwyd",
        ),
        *("korjattu", "korjaus", "muutos", "muutettu", "zmieniono", "změna", "opraveno", "zmena"),
        *("düzeltme", "değişiklik", "javítás", "javítva", "módosítás", "módosítva", "helyesbítés"),
        *("corecție", "corectat", "modificare", "modificat", "ispravak", "izmjena", "izmijenjeno"),
        *("correcció", "modificació", "parandus", "muudatus", "now reads", "replaces", "replaced"),
        *("replaces the first", "replaces earlier", "supersedes", "new version", "adjusted"),
        *(
            "adjustment",
            "edited",
            "altered",
            "alteration",
            "as changed",
            "replacement",
            "reads now",
        ),
        *("second version", "change of order", "order changed"),
    ),
    "sections.drinks": (
        *("içecekler", "i̇çecekler", "italok", "băuturi", "pića", "begudes", "joogid", "to drink"),
    ),
    "sections.food": (
        *("ruoka", "ruoat", "keittiö", "jedzenie", "dania", "kuchyně", "jídlo", "jídla", "mutfak"),
        *("yiyecekler", "yemek", "konyha", "ételek", "bucătărie", "mâncare", "kuhinja", "hrana"),
        *("jela", "cuina", "köök", "toit", "kuchyňa", "jedlá"),
    ),
    "channels.bar_top": (
        *("tiski *", "baaritiski *", "lada *", "výčep *", "pult *", "tezgah *", "šank *"),
        *("lett *", "hatch *"),
    ),
    "channels.floor": (
        *("bwrdd *",),
        *("pöytä *", "stolik *", "stół *", "stůl *", "stôl *", "masa *", "asztal *", "taula *"),
        *("laud *", "teras *", "terasz *", "terasa *", "terassi *", "shelf *"),
    ),
    "house": (
        *("kiitos", "teşekkürler", "afiyet olsun", "köszönjük", "mulțumim", "hvala", "aitäh"),
        *(
            "gràcies",
            "# hlö",
            "# kişi",
            "# osób",
            "# osob",
            "# fő",
            "# kpl",
            "# szt",
            "# db",
            "# pers",
        ),
    ),
    "money": (
        *(
            "zusammen",
            "à régler",
        ),
        *(
            "cyfanswm",
            "taw",
        ),
        *("välisumma", "alennus", "do zapłaty", "dph", "k úhradě", "sleva", "toplam", "kdv"),
        *("ara toplam", "indirim", "összesen", "áfa", "végösszeg", "de plată", "reducere"),
        *("ukupno", "pdv", "popust", "kokku", "w tym vat", "spolu", "zľava", "suma total"),
    ),
}
"""``{}`` in a word for a change is the ingredient, where that stands before the word."""
