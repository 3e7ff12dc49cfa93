"""How much ice a drink takes out of the wells.

Source: common practice, no measurement: 0.4 to 0.5 kg a cocktail, about half of it to mix on and
half to serve on; crushed ice packs closer, a block is cut to the glass.
"""

from __future__ import annotations

from .mixes import Mix
from .words import Ice, Method

MIXING_KG = 0.25
SERVING_KG: dict[Ice, float] = {
    Ice.NONE: 0.0,
    Ice.CUBED: 0.2,
    Ice.CRACKED: 0.2,
    Ice.CRUSHED: 0.3,
    Ice.BLOCK: 0.1,
}
ON_ICE = frozenset(
    {
        Method.STIRRED,
        Method.SHAKEN,
        Method.SHAKEN_LONG,
        Method.DRY_SHAKEN,
        Method.THROWN,
        Method.BLENDED,
    }
)
"""Methods that mix on ice which does not stay in the glass."""


def ice_kg(mix: Mix) -> dict[Ice, float]:
    """Give the kilograms of each ice that one drink of a mix takes."""
    found = {mix.serve_ice: SERVING_KG[mix.serve_ice]}
    if mix.method in ON_ICE:
        found[mix.ice] = found.get(mix.ice, 0.0) + MIXING_KG
    found.pop(Ice.NONE, None)
    return found
