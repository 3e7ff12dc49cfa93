"""Change words: what stands before an ingredient, and whether the drink has that ingredient."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.printing.lexicon import BEHIND
from service.printing.prints import Item, Print, Role
from service.printing.profile import Profile
from service.printing.words import folded, squeezed
from solver.menu import Recipe

from .samples import Known

_COUNTED = re.compile(r"(?P<count>\d{1,2}(?:\s?[x×])?)\s+(?P<rest>[^\W\d_].*)", re.IGNORECASE)
LONGEST_WORD = 16
FEWEST_COUNTED = 2
"""Lines under drinks with a count, by which it is told that it says nothing."""
FEWEST_TAKEN_OUT = 3
"""Changes with one word, all of what is in the drink anyway, that show that it is left out.

A minus shows it at once.
"""


def changes_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Propose change words that are not common ones, from notes that end in an ingredient."""
    words: dict[str, Counter[str]] = defaultdict(Counter)
    swaps: Counter[str] = Counter()
    unnamed: Counter[str] = Counter()
    for item, text in _notes(prints):
        recipe = known.drinks.get(folded(item.name))
        if swap := _swap(text, recipe, known):
            swaps[swap] += 1
        elif worded := _prefix(text, known) or _suffix(text, known):
            word, name = worded
            # More of what is in the drink anyway is still added.
            is_plus = word[0] == "+" and "-" not in word
            has = recipe is not None and known.holds(recipe, name) and not is_plus
            words[word]["leave_out" if has else "add"] += 1
        elif text[:1] in "+-" and not known.ingredients:
            unnamed[text[:1]] += 1
    leave_out: list[str] = []
    add: list[str] = []
    for word, found in sorted(words.items()):
        # What is not in the drink can only come in; what is in it may go, or come in once more.
        fewest = 1 if word[-1] in "-–−" else FEWEST_TAKEN_OUT
        if not found["add"] and found["leave_out"] < fewest:
            said = "taken out or added"
            unsure.append(
                f"'{word}' before an ingredient: is it {said}? Until changes, leave_out or add, "
                "says so, it is a note that somebody has to read"
            )
            continue
        what = max(found, key=lambda one: (found[one], one))
        (leave_out if what == "leave_out" else add).append(word)
        said = "left out" if what == "leave_out" else "added"
        sure = "" if len(found) == 1 else ", mostly"
        unsure.append(f"'{word}' before an ingredient means that it is {said}{sure}")
    if "-" in words and "-" in leave_out and "+" not in words:
        unsure.append("'+' before an ingredient is taken for added, as '-' is for left out")
    unsure += [f"'{template}' is taken for a swap" for template in sorted(swaps)]
    for sign in sorted(unnamed):
        what = {"-": "left out (then add it to changes, leave_out)", "+": "added"}[sign]
        unsure.append(f"'{sign}' stands before words under drinks: is that {what}?")
    changes = replace(
        profile.changes,
        leave_out=tuple(leave_out),
        add=tuple(add),
        swap=tuple(sorted(swaps)),
    )
    return replace(profile, changes=changes)


def counts_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Find a count of one before all that stands under drinks: ``1 x no ice`` under three."""
    found = Counter(
        match["count"].casefold()
        for _, text in _notes(prints)
        if (match := _COUNTED.fullmatch(text)) and not known.is_near(match["rest"])
    )
    if len(found) != 1 or (count := found.popitem())[1] < FEWEST_COUNTED:
        return profile
    if not count[0].startswith("1"):
        return profile
    unsure.append(f"'{count[0]}' before what is said of a drink is passed over, also under several")
    bullets = (*profile.changes.bullets, count[0])
    return replace(profile, changes=replace(profile.changes, bullets=bullets))


def _notes(prints: Sequence[Print]) -> Iterator[tuple[Item, str]]:
    """Give what stands under an item and was read as a note, line by line."""
    for read in prints:
        for line in read.lines:
            if line.role is Role.NOTE and line.items:
                yield read.items[line.items[0]], squeezed(line.text)


def _prefix(text: str, known: Known) -> tuple[str, str] | None:
    """Give the words before an ingredient that ends a text, and that ingredient."""
    plain = squeezed(text.strip(" *!()")).casefold()
    for name in sorted(known.ingredients, key=len, reverse=True):
        if plain.endswith(" " + name):
            before = plain[: -len(name)].strip(" :.")
            if before and len(before) <= LONGEST_WORD and not any(map(str.isdigit, before)):
                return before, name
    return None


def _suffix(text: str, known: Known) -> tuple[str, str] | None:
    """Give the words behind an ingredient that begins a text, as ``{} out``, and the ingredient."""
    plain = squeezed(text.strip(" *!()")).casefold()
    for name in sorted(known.ingredients, key=len, reverse=True):
        if plain.startswith(name + " "):
            behind = plain[len(name) :].strip(" :.-")
            if 1 < len(behind) <= LONGEST_WORD and not any(map(str.isdigit, behind)):
                return f"{BEHIND} {behind}", name
    return None


def _swap(text: str, recipe: Recipe | None, known: Known) -> str:
    """Write a text with two ingredients as a swap; the one that is in the drink goes out."""
    plain = squeezed(text.strip(" *!()-+>")).casefold()
    found: list[str] = []
    for name in sorted(known.ingredients, key=len, reverse=True):
        # Long names first: what is taken by one is no part of a shorter one.
        taken = re.subn(
            rf"(?<![^\W_{{]){re.escape(name)}(?![^\W_}}])", f"{{{len(found)}}}", plain, count=1
        )
        if taken[1]:
            plain = taken[0]
            found.append(name)
    outs = [name for name in found if recipe is not None and known.holds(recipe, name)]
    if len(found) != 2 or len(outs) != 1:
        return ""
    for place, name in enumerate(found):
        part = "{take_out}" if name == outs[0] else "{put_in}"
        plain = plain.replace(f"{{{place}}}", part)
    # Two ingredients and nothing between say nothing.
    between = plain.replace("{take_out}", "").replace("{put_in}", "")
    return plain if between.strip() else ""
