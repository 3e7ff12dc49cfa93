"""The allergens a label must name, and which of them call for clean kit.

Source: Regulation (EU) No 1169/2011, Annex II (14 substances). Which of them want a clean
spare is a house setting; the default list is common practice. Nobody can promise no traces:
local codes and licensed practice decide.
"""

from __future__ import annotations

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

WASH_FOR: tuple[str, ...] = ("egg", "milk", "nuts", "peanuts", "fish", "crustaceans")
"""Allergens after which a vessel goes to the washer before it serves again (a house setting)."""
