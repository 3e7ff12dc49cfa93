"""A profile made ready for reading: its words as patterns, once for many prints."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from .patterns import whole
from .prints import PrintKind
from .profile import Profile, template_pattern
from .vocabulary import MARK_FILLERS, WEAK
from .words import any_of, folded, globs, squeezed, starting

FIELDS = ("number", "place", "server", "till", "time")
"""Of the head, in the order in which equally long labels are believed."""
_KEPT_READY = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Lexicon:
    """What `reading` asks a profile.

    Attributes
    ----------
    profile : Profile
    labels : mapping of str to re.Pattern
        Of the head's fields; ``word`` is the label, what may stand behind it is matched too.
    seat : re.Pattern
    templates : tuple of str
        The head's unlabelled lines, as regular expressions.
    marks : tuple of (PrintKind, re.Pattern, re.Pattern)
        Words that say what a print is: any of them, and those that may begin a longer line.
    fillers, void_word, house, money, person, bullets : re.Pattern
    drink_sections, food_sections, drinks, food : frozenset of str
        Folded.
    drink_signs, food_signs : frozenset of str
        Small letters.
    whole_changes : mapping of str to str
        Folded words to the name of a change.
    swaps, weak_swaps : tuple of re.Pattern
    leave_out, add, allergy, allergy_behind, note : re.Pattern
    weak : frozenset of str
        Change words that need a known ingredient behind them.
    ingredients : frozenset of str
        Folded.
    """

    profile: Profile
    labels: Mapping[str, re.Pattern[str]]
    seat: re.Pattern[str]
    templates: tuple[str, ...]
    marks: tuple[tuple[PrintKind, re.Pattern[str], re.Pattern[str]], ...]
    fillers: re.Pattern[str]
    void_word: re.Pattern[str]
    house: re.Pattern[str]
    money: re.Pattern[str]
    person: re.Pattern[str]
    bullets: re.Pattern[str]
    drink_sections: frozenset[str]
    food_sections: frozenset[str]
    drinks: frozenset[str]
    food: frozenset[str]
    drink_signs: frozenset[str]
    food_signs: frozenset[str]
    whole_changes: Mapping[str, str]
    swaps: tuple[re.Pattern[str], ...]
    weak_swaps: tuple[re.Pattern[str], ...]
    leave_out: re.Pattern[str]
    add: re.Pattern[str]
    allergy: re.Pattern[str]
    allergy_behind: re.Pattern[str]
    note: re.Pattern[str]
    weak: frozenset[str]
    ingredients: frozenset[str]

    def is_house(self, text: str) -> bool:
        """Whether the house prints this line always."""
        return self.house.match(squeezed(text).casefold()) is not None or (
            self.house.match(folded(text)) is not None
        )

    def taken_out(self, text: str) -> list[str]:
        """Give what the profile's own patterns take out of a line."""
        found = (whole(pattern, text) for pattern in self.profile.redact.patterns)
        return [one["value"] for one in found if one and one["value"]]


_ready: dict[int, Lexicon] = {}


def lexicon_of(profile: Profile) -> Lexicon:
    """Give the profile made ready; the last few are kept."""
    found = _ready.get(id(profile))
    if found is None or found.profile is not profile:
        found = _made(profile)
        while len(_ready) >= _KEPT_READY:
            _ready.pop(next(iter(_ready)), None)
        _ready[id(profile)] = found
    return found


def _made(profile: Profile) -> Lexicon:
    head, changes, items = profile.head, profile.changes, profile.items
    strong_swaps = [row for row in changes.swap if row not in WEAK]
    return Lexicon(
        profile=profile,
        labels={name: starting(getattr(head, name).labels) for name in FIELDS},
        seat=starting(head.seat.labels),
        templates=tuple(map(template_pattern, head.lines)),
        marks=tuple(_marks(profile)),
        fillers=any_of(MARK_FILLERS),
        void_word=starting(profile.marks.void),
        house=globs(profile.house),
        money=starting(profile.money),
        person=re.compile(
            rf"(?:^|\s{{2,}}){starting(profile.redact.labels).pattern}", re.IGNORECASE
        ),
        bullets=_bullets(changes.bullets),
        drink_sections=frozenset(map(folded, profile.sections.drinks)),
        food_sections=frozenset(map(folded, profile.sections.food)),
        drinks=frozenset(map(folded, items.drinks)),
        food=frozenset(map(folded, items.food)),
        drink_signs=frozenset(word.casefold() for word in items.drink_signs),
        food_signs=frozenset(word.casefold() for word in items.food_signs),
        whole_changes={
            folded(word): name
            for name in ("double", "on_the_rocks", "straight_up", "no_ice")
            for word in getattr(changes, name)
        },
        swaps=tuple(map(_swap, strong_swaps)),
        weak_swaps=tuple(_swap(row) for row in changes.swap if row in WEAK),
        leave_out=starting(changes.leave_out),
        add=starting(changes.add),
        allergy=starting(changes.allergy),
        allergy_behind=re.compile(
            rf"(?P<what>\S.{{0,60}}?)\s+(?:{any_of(changes.allergy).pattern})", re.IGNORECASE
        ),
        note=starting(changes.note),
        weak=frozenset(row for row in WEAK if "{" not in row) | {"extra", "with extra"},
        ingredients=frozenset(map(folded, changes.ingredients)),
    )


def _marks(profile: Profile) -> list[tuple[PrintKind, re.Pattern[str], re.Pattern[str]]]:
    marks = profile.marks
    rows = (
        (PrintKind.TEST, marks.test),
        (PrintKind.REPORT, marks.report),
        (PrintKind.CARD_SLIP, marks.card_slip),
        (PrintKind.VOID, marks.void),
        (PrintKind.REPRINT, marks.reprint),
        (PrintKind.CORRECTION, marks.correction),
    )
    return [
        (kind, any_of(words), any_of(word for word in words if " " in word.strip()))
        for kind, words in rows
    ]


def _bullets(signs: tuple[str, ...]) -> re.Pattern[str]:
    told = sorted(filter(None, map(str.strip, signs)), key=lambda sign: (-len(sign), sign))
    if not told:
        return re.compile("")
    # A letter as a bullet has to stand by itself.
    rows = (re.escape(sign) + (r"(?=\s)" if sign[-1].isalnum() else "") for sign in told)
    return re.compile(rf"(?:(?:{'|'.join(rows)})\s*){{0,4}}", re.IGNORECASE)


def _swap(template: str) -> re.Pattern[str]:
    said = re.escape(squeezed(template.casefold())).replace(r"\ ", " ")
    for name in ("put_in", "take_out"):
        said = said.replace(rf"\{{{name}\}}", rf"(?P<{name}>\S.{{0,47}}?)", 1)
    return re.compile(said, re.IGNORECASE)
