"""The allergens a label must name, and which of them call for clean kit.

Source: Regulation (EU) No 1169/2011, Annex II (14 substances). Which of them want a clean
spare is a house setting; the default list is common practice. Nobody can promise no traces:
local codes and licensed practice decide.
"""

from __future__ import annotations

import re

ALLERGENS: tuple[str, ...] = (
    "gluten",
    "crustaceans",
    "egg",
    "fish",
    "peanuts",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
)
"""Annex II, in its order, by short names."""

ALSO_CALLED: dict[str, tuple[str, ...]] = {
    "gluten": ("gluten", "wheat", "barley", "rye", "coeliac", "celiac"),
    "crustaceans": ("crustacean", "shellfish", "prawn", "shrimp", "crab", "lobster"),
    "egg": ("egg", "albumen"),
    "fish": ("fish", "anchovy", "anchovies"),
    "peanuts": ("peanut", "groundnut"),
    "soya": ("soya", "soy"),
    "milk": ("milk", "dairy", "lactose", "cream", "butter", "cheese", "whey", "casein"),
    "nuts": ("nut", "almond", "hazelnut", "walnut", "cashew", "pecan", "pistachio", "macadamia"),
    "celery": ("celery", "celeriac"),
    "mustard": ("mustard",),
    "sesame": ("sesame", "tahini"),
    "sulphites": ("sulphite", "sulfite", "sulphur dioxide", "sulfur dioxide"),
    "lupin": ("lupin",),
    "molluscs": ("mollusc", "mollusk", "shellfish", "oyster", "mussel", "clam", "squid"),
}
"""What guests and servers say for each; plurals count too. Common practice, and not complete:
a word that is not here is for a person to read."""


def allergens_in(words: str) -> frozenset[str]:
    """Give the allergens that a few words name, empty where they name none that is known."""
    said = re.findall(r"[a-z]+", words.lower())
    text = " " + " ".join(said) + " "
    singular = " " + " ".join(word.removesuffix("s") for word in said) + " "
    return frozenset(
        allergen
        for allergen, names in ALSO_CALLED.items()
        if any(f" {name} " in text or f" {name} " in singular for name in names)
    )


WASH_FOR: tuple[str, ...] = ("egg", "milk", "nuts", "peanuts", "fish", "crustaceans")
"""Allergens after which a vessel goes to the washer before it serves again (a house setting)."""
