"""Why a plan is as it is, and what to put right where there is none.

Reading order: `together` (what sharing saves), `turn` (what a build's place does), `why` (both, for
a build), `facts` (one fact and the snapshot without it), `in_the_way` (which may keep a drink from
being made), `mending` (the fewest to put right), `words` (all of it as it is said).
"""

from .facts import Fact, mend
from .in_the_way import facts_about
from .mending import Mending, fewest_facts, mendings, smallest_mending
from .together import Part, Together, together
from .turn import Later, Order, RoundShift, Turn
from .why import Why, explain, why
from .words import mending_words, together_words, turn_words

__all__ = [
    "Fact",
    "Later",
    "Mending",
    "Order",
    "Part",
    "RoundShift",
    "Together",
    "Turn",
    "Why",
    "explain",
    "facts_about",
    "fewest_facts",
    "mend",
    "mending_words",
    "mendings",
    "smallest_mending",
    "together",
    "together_words",
    "turn_words",
    "why",
]
