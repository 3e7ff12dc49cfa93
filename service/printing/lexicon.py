"""A profile made ready for reading: its words as patterns, once for many prints."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from operator import attrgetter

from .patterns import whole
from .prints import PrintKind, Sort
from .profile import Profile, QuantityAt, template_pattern
from .vocabulary import COMMON, ICE, MARK_FILLERS, MORE, WEAK
from .words import (
    AFTER_WORD,
    any_of,
    first_words,
    folded,
    globs,
    in_two_tongues,
    squeezed,
    starting,
    tokens,
    unaccented,
)

FACTS = ("number", "place", "server", "till")
FIELDS = ("number", "place", "server", "till", "time", "other")
"""Of the head, in the order in which equally long labels are believed."""
FEWEST_LETTERS = 5
"""Of a word of a drink's name by which another is told to be like it."""
_ALLERGIC = r"(?<![^\W_])(?:al+[eé]r[gjž]|uczul|intoler)[^\W\d_]*"
"""Any word of this stem speaks of an allergy: better one too many than one not seen."""
BEHIND = "{}"
"""Stands in a word for a change for the ingredient, where that is before the word."""
_KEPT_READY = 8
_SHORT_FOR_NUMBER = r"(?:(?:n[°ºo]|nr|num|number)[\s:.#]*(?=\S*\d))?"
"""Between a label and a number: ``Commande n° 2201``."""
_MARKS = {
    PrintKind.TEST: "marks.test",
    PrintKind.REPORT: "marks.report",
    PrintKind.CARD_SLIP: "marks.card_slip",
    PrintKind.VOID: "marks.void",
    PrintKind.REPRINT: "marks.reprint",
    PrintKind.CORRECTION: "marks.correction",
}


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
    mark_words : frozenset of str
        First words of all marks.
    twice : tuple of re.Pattern
        A label of each field in two tongues, with spaces around the stroke.
    any_label : re.Pattern
        A label within a line, with something behind it.
    last_label : re.Pattern
        A label at the end of a part, whose value stands behind a gap.
    small_words : frozenset of str
        Words of the head that say nothing by themselves.
    own_words : re.Pattern
        Those of the profile, which may hold a label: ``Guest at``.
    doubles : re.Pattern
        The profile's own words for a double measure.
    drink_words : tuple of str
        The longer words of the names of drinks.
    where : frozenset of str
        Labels of a place that are no part of its name.
    bar_top, floor : re.Pattern
        Places.
    fillers, void_word, house, money, money_words, person, bullets : re.Pattern
    drink_sections, food_sections, own_sections, drinks, food : frozenset of str
        Folded; `own_sections` are the profile's.
    worded_before, worded_behind, worded_after : re.Pattern
        A quantity with a word beside it: ``Qty: 3``, ``3 pcs``, and both behind a name.
    item_bullets : re.Pattern
    drink_signs, food_signs : frozenset of str
        Small letters.
    whole_changes : mapping of str to str
        Folded words to the name of a change.
    swaps, weak_swaps : tuple of re.Pattern
    leave_out, add, allergy, allergy_behind, note : re.Pattern
    left_out_behind, added_behind : re.Pattern
        Where the ingredient stands before the word; it has to be known.
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
    mark_words: frozenset[str]
    twice: tuple[re.Pattern[str], ...]
    any_label: re.Pattern[str]
    last_label: re.Pattern[str]
    small_words: frozenset[str]
    own_words: re.Pattern[str]
    doubles: re.Pattern[str]
    drink_words: tuple[str, ...]
    where: frozenset[str]
    bar_top: re.Pattern[str]
    floor: re.Pattern[str]
    fillers: re.Pattern[str]
    void_word: re.Pattern[str]
    house: re.Pattern[str]
    money: re.Pattern[str]
    money_words: re.Pattern[str]
    person: re.Pattern[str]
    bullets: re.Pattern[str]
    drink_sections: frozenset[str]
    food_sections: frozenset[str]
    own_sections: frozenset[str]
    drinks: frozenset[str]
    food: frozenset[str]
    worded_before: re.Pattern[str]
    worded_behind: re.Pattern[str]
    worded_after: re.Pattern[str]
    item_bullets: re.Pattern[str]
    drink_signs: frozenset[str]
    food_signs: frozenset[str]
    whole_changes: Mapping[str, str]
    swaps: tuple[re.Pattern[str], ...]
    weak_swaps: tuple[re.Pattern[str], ...]
    leave_out: re.Pattern[str]
    add: re.Pattern[str]
    left_out_behind: re.Pattern[str]
    added_behind: re.Pattern[str]
    allergy: re.Pattern[str]
    allergy_behind: re.Pattern[str]
    note: re.Pattern[str]
    weak: frozenset[str]
    ingredients: frozenset[str]

    @property
    def takes_bare(self) -> bool:
        """Whether a line without a quantity is one of what it names."""
        items = self.profile.items
        return items.bare_is_one or items.quantity is QuantityAt.NOWHERE

    def section_of(self, text: str) -> Sort | None:
        """Give what a heading stands over; None where a line is no heading."""
        word = folded(text)
        if word in self.drink_sections:
            return Sort.DRINK
        return Sort.FOOD if word in self.food_sections else None

    def knows(self, changes: Iterable[object]) -> bool:
        """Whether every ingredient that changes name is known."""
        words = (word for change in changes for word in _named_in(change))
        return all(folded(word) in self.ingredients for word in words)

    def is_house(self, text: str) -> bool:
        """Whether the house prints this line always."""
        return self.house.match(squeezed(text).casefold()) is not None or (
            self.house.match(folded(text)) is not None
        )

    def taken_out(self, text: str) -> list[str]:
        """Give what the profile's own patterns take out of a line."""
        found = (whole(pattern, text) for pattern in self.profile.redact.patterns)
        return [one["value"] for one in found if one and one["value"]]


def _named_in(change: object) -> list[str]:
    """Give every word of a change, however deep: ingredients, and an amount where there is one."""
    if isinstance(change, dict):
        return [word for below in change.values() for word in _named_in(below)]
    return [change] if isinstance(change, str) else []


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


def words_of(profile: Profile, path: str) -> tuple[str, ...]:
    """Give the words of one list of a profile, such as ``changes.add``, with the common ones."""
    own: tuple[str, ...] = attrgetter(path)(profile)
    common = COMMON.get(path, ()) if profile.common_words else ()
    not_here = set(map(str.casefold, profile.not_here))
    return (*own, *(word for word in common if word.casefold() not in not_here))


def _made(profile: Profile) -> Lexicon:
    def words(path: str) -> tuple[str, ...]:
        return words_of(profile, path)

    items, changes = profile.items, profile.changes
    seats = set(map(str.casefold, profile.head.seat.labels))
    labels = {name: words(f"head.{name}.labels") for name in FIELDS}
    # Over the items of one guest, a word such as "seat" is no place of the whole ticket.
    labels["place"] = tuple(
        word for word in (*labels["place"], *words("head.where")) if word.casefold() not in seats
    )
    # What the profile itself says is sure.
    weak = frozenset(WEAK) - {row.casefold() for row in (*changes.add, *changes.leave_out)}
    weak -= set(changes.swap)
    allergic = f"{any_of(words('changes.allergy')).pattern}|{_ALLERGIC}"
    marks = {
        kind: tuple(dict.fromkeys((*words(path), *map(unaccented, words(path)))))
        for kind, path in _MARKS.items()
    }
    counts = words("items.quantity_words")
    return Lexicon(
        profile=profile,
        labels={
            name: starting(
                labels[name], then=_SHORT_FOR_NUMBER if name in ("number", "place") else ""
            )
            for name in FIELDS
        },
        seat=starting(profile.head.seat.labels),
        templates=tuple(map(template_pattern, profile.head.lines)),
        marks=tuple(
            (kind, any_of(told), any_of(word for word in told if " " in word.strip()))
            for kind, told in marks.items()
        ),
        mark_words=first_words(word for told in marks.values() for word in told),
        twice=tuple(_twice(labels[name]) for name in FIELDS),
        any_label=_within(word for name in FIELDS for word in labels[name]),
        last_label=re.compile(
            rf"(?<=\s)(?:{any_of(word for name in FIELDS for word in labels[name]).pattern})"
            rf"{AFTER_WORD}$",
            re.IGNORECASE,
        ),
        small_words=frozenset(map(folded, words("head.words"))),
        own_words=starting(profile.head.words),
        doubles=any_of(changes.double),
        drink_words=tuple(
            sorted(one for one in tokens(" ".join(items.drinks)) if len(one) >= FEWEST_LETTERS)
        ),
        where=frozenset(map(folded, words("head.where"))),
        bar_top=globs(words("channels.bar_top")),
        floor=globs(words("channels.floor")),
        fillers=any_of(MARK_FILLERS),
        void_word=starting(marks[PrintKind.VOID]),
        house=globs(words("house")),
        money=starting(words("money")),
        money_words=any_of(words("money")),
        person=re.compile(
            rf"(?:^|(?<=\s\s)){starting(words('redact.labels')).pattern}", re.IGNORECASE
        ),
        bullets=_bullets(words("changes.bullets")),
        drink_sections=frozenset(map(folded, words("sections.drinks"))),
        food_sections=frozenset(map(folded, words("sections.food"))),
        own_sections=frozenset(map(folded, (*profile.sections.drinks, *profile.sections.food))),
        drinks=frozenset(map(folded, items.drinks)),
        food=frozenset(map(folded, items.food)),
        worded_before=re.compile(
            rf"(?:{any_of(counts).pattern})[\s:.=]{{0,6}}(?=[x×(\[]?\d)", re.IGNORECASE
        ),
        # "3 St Clement's" is a drink: behind a quantity only what the profile itself says counts.
        worded_behind=re.compile(
            rf"(?P<quantity>\d{{1,4}})\s?(?:{any_of(items.quantity_words).pattern})[\s:.x×]+(?=\S)",
            re.IGNORECASE,
        ),
        worded_after=re.compile(
            rf"(?P<name>\S.*?)[\s,:|-]+(?P<before>(?:{any_of(counts).pattern})[\s:.=]*)?"
            rf"[x×(\[]?(?P<quantity>\d{{1,4}})[)\]]?\s?(?P<behind>(?:{any_of(counts).pattern})\.?)?",
            re.IGNORECASE,
        ),
        item_bullets=_bullets(items.bullets),
        drink_signs=frozenset(word.casefold() for word in items.drink_signs),
        food_signs=frozenset(word.casefold() for word in items.food_signs),
        whole_changes=_whole_changes(words),
        swaps=tuple(_swap(row) for row in words("changes.swap") if row not in weak),
        weak_swaps=tuple(_swap(row) for row in words("changes.swap") if row in weak),
        leave_out=starting(_before(words("changes.leave_out"))),
        add=starting(_before(words("changes.add"))),
        left_out_behind=_behind(words("changes.leave_out")),
        added_behind=_behind(words("changes.add")),
        allergy=re.compile(rf"(?P<word>{in_two_tongues(allergic)}){AFTER_WORD}", re.IGNORECASE),
        allergy_behind=re.compile(
            rf"(?P<what>\S.{{0,60}}?)(?:\s+|\s?-\s?)(?:{allergic})", re.IGNORECASE
        ),
        note=starting(words("changes.note")),
        weak=weak,
        ingredients=frozenset(map(folded, changes.ingredients)),
    )


def _whole_changes(words: Callable[[str], tuple[str, ...]]) -> dict[str, str]:
    """Give whole changes; a word for without or with before a word for ice is one too."""
    found = {
        f"{before} {ice}".casefold(): name
        for name, path in (("no_ice", "changes.leave_out"), ("on_the_rocks", "changes.add"))
        for before in words(path)
        if before not in MORE and BEHIND not in before
        for ice in ICE
    }
    return found | {
        folded(word): name
        for name in ("double", "on_the_rocks", "straight_up", "no_ice")
        for word in words(f"changes.{name}")
    }


def _before(words: Iterable[str]) -> tuple[str, ...]:
    """Give the words that stand before an ingredient."""
    return tuple(word for word in words if BEHIND not in word)


def _behind(words: Iterable[str]) -> re.Pattern[str]:
    """Give a pattern of an ingredient with a word for a change behind it: ``lime juice out``."""
    told = any_of(word.replace(BEHIND, "") for word in words if BEHIND in word).pattern
    return re.compile(rf"(?P<what>\S.{{0,47}}?)(?:\s|\s?[:=–-]\s?)(?:{told})", re.IGNORECASE)


def _within(labels: Iterable[str]) -> re.Pattern[str]:
    words = any_of(labels).pattern
    return re.compile(rf"(?<=\s)[<(\[]?(?:{words}){AFTER_WORD}(?=\S)", re.IGNORECASE)


def _twice(labels: Iterable[str]) -> re.Pattern[str]:
    words = any_of(labels).pattern
    return re.compile(rf"(?<!\S)({words}) / ({words})(?=[\s:.=])", re.IGNORECASE)


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
