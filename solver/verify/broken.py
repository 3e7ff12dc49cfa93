"""What can be wrong with a plan: the rules by name, and one finding."""

from __future__ import annotations

from dataclasses import dataclass

RULES: dict[str, str] = {
    "drinks": "every waiting drink in exactly one build",
    "set_aside": "what cannot be made now is set aside with its reason",
    "in_hand": "a build in hand is never touched",
    "identity": "a build is known by its drinks",
    "mixes": "drinks of one mix stand together",
    "sharing": "what one head and two hands hold",
    "station": "what a station's mat and vessels hold",
    "person": "made by somebody who is on the floor and may make it",
    "blocks": "every stretch of the work once",
    "time": "times are tenths of a second",
    "duration": "a stretch lasts as long as its work",
    "made": "a drink is made when its own last step ends",
    "start": "nothing starts before it can",
    "break": "nobody is put to work into a break or past the end of a shift",
    "rest": "after so many shakes in a row arms rest",
    "hard_stop": "nothing is made after the hard stop",
    "alone": "what runs by itself is left until it is done",
    "window": "what settled is finished before its window closes",
    "hands": "one pair of hands does one thing at a time",
    "capacity": "no more vessels and equipment than there are",
    "flame": "one flame at a time in the whole bar",
    "serving": "a bar-top round is handed over after its last drink, before another build",
    "starving": "nobody starves",
    "overtaking": "a round that waited too long goes first",
    "pinned": "what a bartender sees as next stays next",
    "cost": "the goal's value is what the goal gives",
}
"""Every rule's short name, which is stable, and what it says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """One broken rule.

    Attributes
    ----------
    rule : str
        A key of `RULES`.
    build : str
        Id of the build, empty where the rule is about the whole plan.
    drinks : tuple of str
        Ids of the drinks concerned.
    seconds : float or None
        When, from the snapshot's moment; None where the rule is not about a moment.
    words : str
        A sentence that names the rule, the build, the drinks and the second.
    """

    rule: str
    build: str
    drinks: tuple[str, ...]
    seconds: float | None
    words: str


def stretch_words(index: int, title: str = "") -> str:
    """Name a stretch of a build's work: "its main work", "finishing (top the stout)".

    Parameters
    ----------
    index : int
        0 for the main one.
    title : str
        What a later one does; empty where the plan names one that the work does not have.
    """
    if index == 0:
        return "its main work"
    return f"finishing ({title})" if title else "finishing"
