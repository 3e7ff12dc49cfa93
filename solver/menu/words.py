"""The words of a menu: places, kinds, ways of pouring, methods, ice, stages, garnish work."""

from __future__ import annotations

from enum import StrEnum


class Place(StrEnum):
    """Where a bottle lives, nearest first."""

    SPEED_RAIL = "speed_rail"
    BACK_BAR = "back_bar"
    FRIDGE = "fridge"
    STORE = "store"


class Kind(StrEnum):
    """What an ingredient is, as far as changes, cautions and patterns need to know."""

    SPIRIT = "spirit"
    LIQUEUR = "liqueur"
    WINE = "wine"
    BEER = "beer"
    MIXER = "mixer"
    JUICE = "juice"
    SYRUP = "syrup"
    BITTERS = "bitters"
    DAIRY = "dairy"
    EGG = "egg"
    HERB = "herb"
    FRUIT = "fruit"
    COFFEE = "coffee"
    OTHER = "other"


class Pouring(StrEnum):
    """How an ingredient leaves its container; each has its own time standard."""

    SPOUT = "spout"
    CAPPED = "capped"
    THICK = "thick"
    FREE = "free"
    GUN = "gun"
    BOTTLE = "bottle"
    SPARKLING = "sparkling"
    WINE = "wine"
    TAP = "tap"
    SETTLING_TAP = "settling_tap"
    MACHINE = "machine"
    EGG_PARTED = "egg_parted"
    EGG_READY = "egg_ready"
    EGG_WHOLE = "egg_whole"
    CUBE = "cube"
    LEAVES = "leaves"
    PRESSED = "pressed"
    SPOONED = "spooned"


class Method(StrEnum):
    """How a drink is made. ``dry_shaken`` is a dry shake and then a long one on ice."""

    BUILT = "built"
    STIRRED = "stirred"
    SHAKEN = "shaken"
    SHAKEN_LONG = "shaken_long"
    DRY_SHAKEN = "dry_shaken"
    THROWN = "thrown"
    SWIZZLED = "swizzled"
    BLENDED = "blended"
    DRAUGHT = "draught"
    POURED = "poured"
    COFFEE = "coffee"
    FLAMED = "flamed"


class Ice(StrEnum):
    """Ice by its cut; ``crushed`` is also called fine."""

    CUBED = "cubed"
    CRUSHED = "crushed"
    CRACKED = "cracked"
    BLOCK = "block"
    NONE = "none"


class Stage(StrEnum):
    """When an ingredient goes in: with the measuring, muddled, or onto the finished drink."""

    MEASURE = "measure"
    MUDDLE = "muddle"
    COAT = "coat"
    TOP = "top"
    FLOAT = "float"


class Strain(StrEnum):
    """How a drink leaves its vessel; ``double`` adds a fine strainer and is one tin at a time."""

    SINGLE = "single"
    DOUBLE = "double"
    FOAM = "foam"


class GarnishWork(StrEnum):
    """The hand's work on a garnish; each has its own time standard."""

    TRAY = "tray"
    PICK = "pick"
    PRE_CUT = "pre_cut"
    CUT = "cut"
    FLAMED = "flamed"
    HERB = "herb"
    GRATED = "grated"
    DROPS = "drops"
    STRAW = "straw"
