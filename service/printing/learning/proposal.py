"""A profile proposed from sample prints, tried on them, with what is unsure said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import yaml

from service.printing.prints import Print
from service.printing.profile import MOST_WORDS, PROFILE, Changes, Profile
from service.printing.reading import read_print
from solver.errors import BadValue
from solver.menu import Menu

from .heads import constants_of, labels_of, words_of
from .lines import head_lines
from .looks import items_of, paper_of, width_of
from .parts import (
    day_first_of,
    food_of,
    house_of,
    seats_of,
    sections_of,
    wraps_of,
)
from .samples import FEWEST, known_of, prints_in, sheets_of
from .sayings import changes_of, counts_of

LINE_WIDTH = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What was learned.

    Attributes
    ----------
    profile : Profile
    prints : tuple of Print
        The samples, read with it.
    unsure : tuple of str
        What a person has to look at, in words.
    """

    profile: Profile
    prints: tuple[Print, ...]
    unsure: tuple[str, ...]


def learn(files: Sequence[bytes], *, name: str, menu: Menu | None = None) -> Proposal:
    """Propose a profile from sample prints; the same samples always give the same profile.

    Parameters
    ----------
    files : sequence of bytes
        Each one print or several, as a till sends them.
    name : str
        What the profile is called.
    menu : Menu or None
        The bar's; with it drinks and ingredients are known, and so is what is neither.

    Raises
    ------
    BadValue
        For fewer than three prints with text on them.
    """
    raw = prints_in(files)
    known = known_of(menu)
    paper, unsure = paper_of(raw)
    kept = [
        (row, sheet)
        for row, sheet in zip(raw, sheets_of(raw, paper), strict=True)
        if any(sheet.inked)
    ]
    if len(kept) < FEWEST:
        num_pictures = sum(sheet.pictures > 0 for sheet in sheets_of(raw, paper)) - len(kept)
        hint = "print a few drink tickets with a change, an allergy note and two quantities"
        if num_pictures > 0:
            hint = "some are pictures, which nobody can read: set the till to print text"
        raise BadValue(f"{FEWEST} prints or more with text on them", len(kept), hint)
    sheets = [sheet for _, sheet in kept]
    paper = replace(paper, width=width_of(sheets, unsure))
    # Known from the first look on: "extra" is a change before an ingredient and a note elsewhere.
    changes = Changes(ingredients=tuple(sorted(known.ingredients.values())))
    items = items_of(sheets, known, unsure)
    names = sorted({recipe.name for recipe in known.drinks.values() if recipe is not None})
    if len(names) <= MOST_WORDS:
        items = replace(items, drinks=tuple(names))
    profile = Profile(name=name, paper=paper, items=items, changes=changes)
    profile = seats_of(profile, [[line.text for line in sheet.inked] for sheet in sheets])

    is_name = known.is_name if known.drinks else None

    def read(profile: Profile) -> list[Print]:
        return [
            read_print(row.data, profile, begins_with=row.begins_with, is_name=is_name)
            for row, _ in kept
        ]

    profile = wraps_of(profile, read(profile), known)
    profile = counts_of(profile, read(profile), known, unsure)
    profile = changes_of(profile, read(profile), known, unsure)
    texts = [line.text for sheet in sheets for line in sheet.inked]
    profile = day_first_of(profile, texts, unsure)
    profile = constants_of(profile, read(profile), known, unsure)
    profile = labels_of(profile, read(profile), known, unsure)
    profile = words_of(profile, read(profile), known)
    profile = head_lines(profile, read(profile), known, unsure)
    profile = sections_of(profile, read(profile), known, unsure)
    profile = house_of(profile, read(profile), known, unsure)
    profile = food_of(profile, read(profile), known, unsure)
    # A till numbers its tickets and says where they go: what hides from these samples is asked for.
    profile = replace(profile, head=replace(profile.head, expects=("number", "place")))
    prints = read(profile)
    if menu is None:
        unsure.append("no menu was given (--bar): what is a drink and what is food is not known")
    if known.drinks and not any(known.is_drink(i.name) for read in prints for i in read.items):
        unsure.append("no drink of the menu was found on any sample: look at items, patterns")
    unsure += _channels(prints) + _lacking(prints)
    return Proposal(profile=profile, prints=tuple(prints), unsure=tuple(dict.fromkeys(unsure)))


def _channels(prints: Sequence[Print]) -> list[str]:
    """Name places of which nobody knows whether they are at the bar top or on the floor."""
    places = sorted({read.place for read in prints if read.place and read.channel is None})
    if not places:
        return []
    said = "say under channels which are bar_top and which floor, such as 'B*'"
    return [f"where is {', '.join(map(repr, places[:4]))}? {said}"]


def _lacking(prints: Sequence[Print]) -> list[str]:
    """Say what no sample shows, and what was not understood on them."""
    said = []
    names = {"number": "a ticket number", "place": "a table or seat", "server": "a server"}
    for field, words in names.items():
        num_with = sum(bool(getattr(read, field)) for read in prints)
        if num_with == 0:
            hint = "name its label under head, or take it out of head, expects, if no ticket has it"
            said.append(f"no sample shows {words}" + (f": {hint}" if field != "server" else ""))
        elif num_with < len(prints):
            said.append(f"only {num_with} of {len(prints)} samples show {words}")
    if not any(read.printed and read.printed.at for read in prints):
        said.append("no sample shows a time")
    if not any(item.changes for read in prints for item in read.items):
        said.append("no sample has a change ('no salt'): common words are expected")
    if not any(item.allergies for read in prints for item in read.items):
        said.append("no sample has an allergy note: common words are expected")
    said += [f"on sample {n}: {d}" for n, read in enumerate(prints, 1) for d in read.doubts]
    said += [
        f"on sample {n}, {item.quantity} {item.name}: {doubt}"
        for n, read in enumerate(prints, 1)
        for item in read.items
        for doubt in item.doubts
    ]
    return said


def profile_text(proposal: Proposal) -> str:
    """Give the profile as YAML: what is usual is left out, what is unsure stands at the top."""
    plain = PROFILE.dump_python(proposal.profile, mode="json", exclude_defaults=True)
    rows = ["A reading profile: how one till prints. What is not said here is as usual."]
    rows += [f"Not sure: {one}" for one in proposal.unsure]
    head = "".join(f"# {row}\n" for row in rows)
    return head + yaml.safe_dump(
        plain, sort_keys=False, allow_unicode=True, width=LINE_WIDTH, default_flow_style=None
    )
