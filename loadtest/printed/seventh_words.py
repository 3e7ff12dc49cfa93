"""What the eight tills of the seventh set say; common practice in their languages, from memory."""

from __future__ import annotations

from .words import Words, titled

KARCZMA = Words(
    allergy="UWAGA ALERGIA: {}",
    note="Uwagi: {}",
    ways={
        "leave_out": "bez {out}",
        "add": "z {into}",
        "swap": "{into} zamiast {out}",
        "double": "podwójny",
        "on_the_rocks": "na lodzie",
        "no_ice": "bez lodu",
    },
    single="{spirit} {mixer}",
    double="podwójny {spirit} {mixer}",
)
RAVINTOLA = Words(
    allergy="ALLERGIA: {}",
    note="Huom. {}",
    ways={
        "leave_out": "ilman {out}",
        "add": "lisää {into}",
        "swap": "{into} eikä {out}",
        "double": "tupla",
        "on_the_rocks": "jäillä",
        "no_ice": "ilman jäitä",
    },
    single="{spirit} {mixer}",
    double="tupla {spirit} {mixer}",
)
LOKANTA = Words(
    allergy="Alerji: {}",
    note="Not: {}",
    ways={
        "leave_out": "{out} yok",
        "add": "{into} ekle",
        "swap": "{out} yerine {into}",
        "double": "duble",
        "on_the_rocks": "buzlu",
        "no_ice": "buz yok",
    },
    single="{spirit} {mixer}",
    double="duble {spirit} {mixer}",
)
DECK = Words(
    case=titled,
    allergy="<< allergic: {} >>",
    note="say: {}",
    ways={"leave_out": "less {out}", "add": "plus {into}", "swap": "{into} not {out}"},
    single="{spirit} + {mixer}",
    double="double {spirit} + {mixer}",
)
CELLAR = Words(
    case=str.upper,
    allergy="!ALG {}",
    note="MSG {}",
    ways={"leave_out": "NO {out}", "add": "ADD {into}", "swap": "{out} TO {into}"},
    single="{spirit}/{mixer}",
    double="{spirit}/{mixer}",
)
TERRACE = Words(
    allergy="GUEST ALLERGY - {}",
    note="({})",
    ways={"leave_out": "hold the {out}", "add": "and {into}", "swap": "{into} for {out}"},
    single="{spirit} and {mixer}",
    double="{spirit} and {mixer}, large",
)
FOYER = Words(
    allergy="Allergic guest: {}",
    note="note: {}",
    ways={"leave_out": "leave out {out}", "add": "add {into}", "swap": "{into} instead of {out}"},
    single="{spirit} & {mixer}",
    double="{spirit} & {mixer} (double)",
)
HOSPODA = Words(
    allergy="ALERGIE - {}",
    note="{}",
    ways={
        "leave_out": "bez {out}",
        "add": "přidat {into}",
        "swap": "{into} místo {out}",
        "double": "dvojitý",
        "on_the_rocks": "s ledem",
        "no_ice": "bez ledu",
    },
    single="{spirit} {mixer}",
    double="velký {spirit} {mixer}",
)
