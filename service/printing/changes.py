"""What stands under a drink: a change in the house's words, an allergy, or a note."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from .lexicon import Lexicon
from .prints import Role
from .words import DECORATION, bare, folded, squeezed

_AMOUNT = re.compile(
    r"(?P<amount>\d{1,3}(?:[.,/]\d{1,2})?\s?(?:ml|cl|oz|dash|dashes|bar spoon|tsp|tbsp|drops?))"
    r"\s+(?P<rest>\S.*)",
    re.IGNORECASE,
)
LEADS = frozenset(
    (
        *("obs", "nb", "n", "b", "attention", "achtung", "atención", "caution", "warning"),
        *("guest", "guests", "customer", "client", "gast", "gäste", "convive", "cliente", "ospite"),
        *("gäst", "gjest", "gæst", "is", "are", "has", "ist", "hat", "est", "es", "è", "är", "er"),
    )
)
"""Words before an allergy word that say nothing."""
TOWARDS = frozenset(
    (
        *("to", "a", "al", "alla", "allo", "ai", "agli", "à", "au", "aux", "gegen", "auf", "mot"),
        *("til", "for", "per", "på", "overfor", "voor", "contra", "de", "por", "an", "is", "has"),
        *("against", "z", "na", "the", "ao", "à la"),
    )
)
"""Words between an allergy word and what it speaks of."""
_LABELLED = re.compile(
    r"[^\w\s]{0,2}\s?(?P<label>[^\W\d_]{2,15}(?:\s[^\W\d_]{1,15})?)\s?[:=]\s?(?P<rest>\S.*)"
)
_TWO_TONGUES = re.compile(r"(?<=\s)([^\W\d_]+)/([^\W\d_]+)(?=\s)")
_NO_WORD = re.compile(r"[\W_]+")
_SPLIT = re.compile(r"\s*[,;]\s*|\s/\s")
_SPLIT_ALLERGIES = re.compile(r"\s*(?:[,;/&+]|\band\b|\bund\b|\bet\b|\by\b)\s*", re.IGNORECASE)
_SIGNS = frozenset("+-–")
FEWEST_SIGNS = 2
"""Before an ingredient, of which the nearest says something."""
_OTHER_SIGN = re.compile(r"\s*[+–-]")
_SIGN = re.compile(r"[^\w\s(\[{]{1,3}\s*(?=\S)")
_BRACKETS = re.compile(r"\((.*)\)|\[(.*)\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One thing said under a drink.

    Attributes
    ----------
    role : Role
        `CHANGE`, `ALLERGY` or `NOTE`.
    changes : tuple of dict
    allergies : tuple of str
    note : str
    is_labelled : bool
        A word says what it is; else it is only where it stands that makes it a note.
    """

    role: Role
    changes: tuple[dict[str, Any], ...] = ()
    allergies: tuple[str, ...] = ()
    note: str = ""
    is_labelled: bool = True


def read_said(lexicon: Lexicon, text: str) -> Said:
    """Read what stands under a drink; what is no change and no allergy is a note."""
    if (found := _LABELLED.fullmatch(text.strip())) and not lexicon.note.match(found["label"]):
        # "Option: no ice": some tills say what comes before they say it.
        inner = _read(lexicon, found["rest"])
        if inner.role is Role.CHANGE and _is_sure(lexicon, inner):
            return inner
    return _read(lexicon, text)


def is_counted(lexicon: Lexicon, text: str, rest: str, count: int, *, many: int) -> bool:
    """Whether a count before what stands under a drink says nothing: ``1 x no ice``.

    Of several drinks it may be for one alone, unless the profile has it among its bullets.

    Parameters
    ----------
    lexicon : Lexicon
    text : str
    rest : str
        What stands behind the count.
    count : int
    many : int
        How many there are of the drink.
    """
    words = squeezed(text).casefold()
    if any(
        one[0].isdigit() and words.startswith(f"{one} ") for one in lexicon.profile.changes.bullets
    ):
        return True
    return count == many and _read(lexicon, rest).role is not Role.NOTE


def _is_sure(lexicon: Lexicon, said: Said) -> bool:
    """Whether all that a change names is known, or it names nothing."""
    return lexicon.knows(one for one in said.changes if True not in one.values())


def _read(lexicon: Lexicon, text: str) -> Said:
    if allergies := _allergies(lexicon, text):
        return Said(role=Role.ALLERGY, allergies=allergies)
    plain = squeezed(text)
    body = plain[_bullets_end(lexicon, plain) :]
    if found := lexicon.note.match(body.lstrip(DECORATION)):
        rest = body.lstrip(DECORATION)[found.end() :]
        if rest.strip():
            return Said(role=Role.NOTE, note=rest.strip())
    if changes := _changes(lexicon, plain):
        return Said(role=Role.CHANGE, changes=changes)
    inner = _BRACKETS.fullmatch(body)
    note = (inner[1] or inner[2] or "").strip() if inner else body.strip()
    sign = plain[: len(plain) - len(body)].strip()[-1:]
    if sign in _SIGNS and folded(note) in lexicon.ingredients:
        note = f"{sign} {note}"  # A person has to see it: more of it, or none?
    return Said(role=Role.NOTE, note=note or plain, is_labelled=inner is not None)


def _bullets_end(lexicon: Lexicon, text: str) -> int:
    found = lexicon.bullets.match(text)
    return found.end() if found else 0


def _allergies(lexicon: Lexicon, text: str) -> tuple[str, ...]:
    plain = bare(text)
    if found := lexicon.allergy.match(plain):
        rest = plain[found.end() :]
    elif found := lexicon.allergy_behind.fullmatch(plain):
        rest = found["what"]
    elif (found := lexicon.allergy.search(plain)) and _is_lead(lexicon, plain[: found.start()]):
        rest = plain[found.end() :]
    else:
        return ()
    parts = [_allergen(part) for part in _SPLIT_ALLERGIES.split(rest)]
    # The word alone says that there is one, not which.
    return tuple(filter(None, parts)) or (plain,)


def _allergen(text: str) -> str:
    """Take off words before an allergen that say nothing: ``to``, ``gegen``, ``a``."""
    words = bare(text).split()
    while len(words) > 1 and words[0].casefold().strip("'’:.!") in (LEADS | TOWARDS):
        words.pop(0)
    return bare(" ".join(words))


def _is_lead(lexicon: Lexicon, text: str) -> bool:
    """Whether words before an allergy say nothing more: ``OBS!``, ``NB:``."""
    words = [word for word in _NO_WORD.split(text) if word]
    return all(lexicon.note.match(word) or word.casefold() in LEADS for word in words)


def _changes(lexicon: Lexicon, plain: str) -> tuple[dict[str, Any], ...]:
    """Read one change or several with commas between; nothing where any part is none."""
    if found := _change(lexicon, plain):
        return (found,)
    parts = _SPLIT.split(plain[_bullets_end(lexicon, plain) :])
    if len(parts) == 1:
        return ()
    read = [_change(lexicon, part) for part in parts]
    return tuple(one for one in read if one) if all(read) else ()


def _change(lexicon: Lexicon, plain: str) -> dict[str, Any] | None:
    # A sign may be a bullet before a word, or stand for the word: the one that is nearest does.
    tries = [bare(plain[_bullets_end(lexicon, plain) :])]
    rest = inner[1] or inner[2] if (inner := _BRACKETS.fullmatch(plain)) else plain
    signs = []
    while rest and (found := _SIGN.match(rest)):
        signs.append(rest.strip(" *!"))
        rest = rest[found.end() :]
    tries += [*reversed(signs), plain.strip(" *!")]
    if _TWO_TONGUES.search(tries[0]):
        # "vodka pour/voor dry gin" says it twice.
        twice = {_TWO_TONGUES.sub(rf"\{n}", tries[0]): None for n in (1, 2)}
        tries += [one for one in twice if "/" not in one]
    return next(
        (read for one in tries if (read := _by_words(lexicon, one))), _by_sign(lexicon, signs)
    )


def _by_sign(lexicon: Lexicon, signs: list[str]) -> dict[str, Any] | None:
    """Read a minus or a plus behind a bullet: it is none itself, ``/ - lime juice``."""
    if len(signs) < FEWEST_SIGNS or signs[-1][:1] not in _SIGNS:
        return None
    rest = bare(signs[-1])
    if folded(rest) not in lexicon.ingredients or signs[-2].startswith(signs[-1][:1]):
        return None
    return {"add": {"ingredient": rest}} if signs[-1][0] == "+" else {"leave_out": rest}


def _by_words(lexicon: Lexicon, text: str) -> dict[str, Any] | None:
    if name := lexicon.whole_changes.get(text.casefold()):
        return {name: True}
    whole = {lexicon.whole_changes.get(one.strip()) for one in text.casefold().split("/")}
    if len(whole) == 1 and (name := whole.pop()):
        return {name: True}  # "sur glace/op ijs" is said in two tongues.
    for pattern in lexicon.swaps:
        if found := pattern.fullmatch(text):
            return _swapped(found)
    if (found := lexicon.leave_out.match(text)) and (rest := _ingredient(lexicon, found)):
        return {"leave_out": rest}
    if (found := lexicon.add.match(text)) and (rest := _ingredient(lexicon, found)):
        amount = _AMOUNT.fullmatch(rest)
        if amount is None:
            return {"add": {"ingredient": rest}}
        return {"add": {"ingredient": amount["rest"], "amount": squeezed(amount["amount"])}}
    return _by_known(lexicon, text)


def _by_known(lexicon: Lexicon, text: str) -> dict[str, Any] | None:
    """Read what is a change only where the ingredients in it are known."""
    for pattern in (*lexicon.weak_swaps, lexicon.left_out_behind, lexicon.added_behind):
        found = pattern.fullmatch(text)
        if found is None or not {folded(one) for one in found.groups()} <= lexicon.ingredients:
            continue
        if pattern is lexicon.left_out_behind:
            return {"leave_out": found["what"]}
        if pattern is lexicon.added_behind:
            return {"add": {"ingredient": found["what"]}}
        return _swapped(found)
    return None


def _swapped(found: re.Match[str]) -> dict[str, Any]:
    return {"swap": {"take_out": found["take_out"].strip(), "put_in": found["put_in"].strip()}}


def _ingredient(lexicon: Lexicon, found: re.Match[str]) -> str:
    """Give what a change word speaks of; nothing where the word is weak and that is not known."""
    rest = bare(found.string[found.end() :])
    if found["word"] in _SIGNS and (
        _OTHER_SIGN.match(found.string, found.end("word")) or found.string.rstrip()[-1] in _SIGNS
    ):
        return ""  # "+ - soda" is neither, and "- the bar -" a heading.
    if not any(map(str.isalpha, rest)) or "," in rest:
        return ""
    is_weak = squeezed(found["word"].casefold()) in lexicon.weak
    return "" if is_weak and folded(rest) not in lexicon.ingredients else rest
