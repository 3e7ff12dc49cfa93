"""The tray of unread lines: a person says what a line is, once, and the word is remembered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from service.errors import BadTicket, Conflict, NotFound, did_you_mean, pointer
from service.naming import (
    MIXER_KINDS,
    POURED_KINDS,
    Meant,
    Poured,
    folded,
    ingredient_names,
    names_in,
    recipe_names,
)
from service.night.aliases import alias_id, alias_mark, aliases_of, poured_words, word_of
from service.night.records import LineRecord, MarkKind, TicketRecord
from service.night.state import Draft
from service.reading import read_line
from solver.menu import Menu

from .rounds import open_line, refuse_quantity, said_of, with_line, with_promise
from .said import Said, names_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What a person says of an unread line: one of `to`, `means` and `drop`.

    Attributes
    ----------
    to : mapping or None
        The whole line as it should have come.
    means : str or Poured
        What the line's one unknown word stands for: an id, or a spirit with its mixer.
    drop : bool
        The line is taken off.
    remember : bool or None
        Whether `means` is an alias of the bar from now on. None: yes for a word from paper,
        which is printed the same again; no for what a till sent as a name.
    reason : str
        Why it is dropped, where somebody says so.
    """

    to: Mapping[str, Any] | None = None
    means: str | Poured = ""
    drop: bool = False
    remember: bool | None = None
    reason: str = ""


def resolve(draft: Draft, line_id: str, answered: Answered) -> Said:
    """Take what a person says of an unread line."""
    ticket, old = _unread(draft, line_id)
    if answered.drop:
        draft.put(with_line(draft.tickets[ticket.id], replace(old, is_void=True)))
        return Said(words=f"dropped from {said_of(ticket)}: {answered.reason or 'no reason given'}")
    if answered.means:
        return _means(draft, ticket, old, answered)
    # What the guest cannot have stays with the line, whoever corrects its name.
    kept = {key: value for key, value in old.raw.items() if key in ("allergies", "note")}
    raw: dict[str, Any] = {**kept, "quantity": old.quantity, **(answered.to or {})}
    refuse_quantity(raw, pointer(("to", "quantity")))
    new = _read(draft, old, raw, raw["quantity"])
    if new.line is None:
        raise _unreadable(new)
    drinks = _taken(draft, ticket, new)
    return Said(words=_words(draft, ticket, drinks), drinks=drinks)


def forget_alias(draft: Draft, wanted: str) -> Said:
    """Take an alias away; lines that were read by it stay as they are."""
    for mark in draft.marks_of(MarkKind.ALIAS):
        if alias_id(mark) == wanted:
            draft.drop("mark", mark.id)
            return Said(words=f"forgotten: what “{word_of(mark)}” stands for")
    raise NotFound(
        f"expected the id of an alias of {draft.bar.id}; came {wanted!r}: see the list of them"
    )


def _means(draft: Draft, ticket: TicketRecord, old: LineRecord, answered: Answered) -> Said:
    """Take what one word of a line stands for, and remember it where that is wanted."""
    if not old.word:
        raise Conflict(
            f"expected a line with one word that nobody knows; {old.id} has none ({old.unread}): "
            "send the whole line as to"
        )
    is_drink = old.raw.get("recipe") == old.word
    if isinstance(answered.means, Poured):
        if not is_drink:
            raise Conflict(
                f"expected the name of a drink; “{old.word}” is one of an ingredient: send its id"
            )
        meant, means = Meant.POURED, poured_words(answered.means)
        name = _poured_name(draft.bar.menu, answered.means)
        raw = {key: value for key, value in old.raw.items() if key != "recipe"}
        raw |= answered.means.as_line
    else:
        meant, means = Meant.RECIPE if is_drink else Meant.INGREDIENT, answered.means
        name = _name(draft, old, meant, means)
        raw = _replaced(old.raw, old.word, means)
    remembers = bool(old.printed) if answered.remember is None else answered.remember
    if remembers and meant is Meant.POURED:
        _check_can_be_made(draft, old, raw)
    if remembers:
        _forget_other(draft, meant, old.word)
        draft.put(alias_mark(meant, old.word, means, draft.now))
    new = _read(draft, old, raw, old.quantity)
    said = f"remembered: “{old.word}” is {name}; " if remembers else ""
    if new.line is not None:
        drinks = _taken(draft, ticket, new)
        return Said(words=said + _words(draft, ticket, drinks), drinks=drinks)
    if not remembers or new.word == old.word:
        raise _unreadable(new)
    # One word of two is known now. What the till sent stays as it came: it is known again by that.
    draft.put(with_line(draft.tickets[ticket.id], replace(new, raw=old.raw)))
    return Said(words=f"{said}the line is still unread: {new.unread}")


def _check_can_be_made(draft: Draft, old: LineRecord, raw: Mapping[str, Any]) -> None:
    """Refuse to remember what no bar can pour: a double of a spirit in a pint, for one."""
    new = _read(draft, old, raw, old.quantity)
    if new.line is None:
        raise _unreadable(new)


def _forget_other(draft: Draft, meant: Meant, word: str) -> None:
    """Take away what the name of a drink meant before, where it was the other sort of drink."""
    for other in {Meant.RECIPE, Meant.POURED} - {meant} if meant is not Meant.INGREDIENT else ():
        for mark in draft.marks_of(MarkKind.ALIAS):
            if mark.key == f"{other.value} {folded(word)}":
                draft.drop("mark", mark.id)


def poured_name(menu: Menu, poured: Poured) -> str | None:
    """Give the name of a spirit with its mixer; None where one is not on the menu."""
    spirit, mixer = menu.by_ingredient.get(poured.spirit), menu.by_ingredient.get(poured.mixer)
    if spirit is None or (mixer is None and poured.mixer):
        return None
    names = spirit.name + (f" and {mixer.name}" if mixer else "")
    return f"{poured.measure} {names}".strip()


def _poured_name(menu: Menu, poured: Poured) -> str:
    """Give such a name; refuse what is not there, or is no spirit or no mixer."""
    for where, wanted, kinds in (
        ("spirit", poured.spirit, POURED_KINDS),
        ("mixer", poured.mixer, MIXER_KINDS),
    ):
        ids = set(ingredient_names(menu, kinds).values())
        if wanted not in ids and (wanted or where == "spirit"):
            raise BadTicket(
                f"expected the id of a {where} of the menu; came {wanted!r}"
                f"{did_you_mean(wanted, ids)}",
                errors=[{"path": f"/means/{where}", "detail": "not on the menu"}],
            )
    return poured_name(menu, poured) or poured.spirit


def _name(draft: Draft, old: LineRecord, meant: Meant, wanted: str) -> str:
    """Give the name of what a word is said to mean; refuse what is not there."""
    menu = draft.bar.menu
    if meant is Meant.RECIPE:
        if wanted in menu.by_recipe:
            return menu.by_recipe[wanted].name
        names = recipe_names(menu)
    else:
        recipe = menu.by_recipe.get(str(old.raw.get("recipe")))
        names = ingredient_names(menu) | (names_in(menu, recipe) if recipe else {})
        if wanted in names.values():
            row = menu.by_ingredient.get(wanted)
            return row.name if row else wanted
    raise BadTicket(
        f"expected the id of {'a recipe' if meant is Meant.RECIPE else 'an ingredient'} of the "
        f"menu; came {wanted!r}{did_you_mean(wanted, set(names.values()))}",
        errors=[{"path": "/means", "detail": "not on the menu"}],
    )


def _read(draft: Draft, old: LineRecord, raw: Mapping[str, Any], quantity: int) -> LineRecord:
    aliases = aliases_of(draft.marks_of(MarkKind.ALIAS))
    new = read_line(draft.bar.menu, old.id, raw, quantity, aliases=aliases)
    return replace(new, printed=old.printed)


def _taken(draft: Draft, ticket: TicketRecord, new: LineRecord) -> tuple[str, ...]:
    """Put the drinks of a line that is read now on its ticket."""
    old = draft.tickets[ticket.id].line_of(new.id)
    draft.put(with_line(draft.tickets[ticket.id], replace(new, raw=old.raw)))
    drinks = open_line(draft, ticket.id, new)
    draft.put(with_promise(draft, draft.tickets[ticket.id]))
    return drinks


def _words(draft: Draft, ticket: TicketRecord, drinks: tuple[str, ...]) -> str:
    names = names_of(draft.drinks[name] for name in drinks)
    return f"read for {said_of(ticket)}: {names}"


def _unreadable(new: LineRecord) -> BadTicket:
    return BadTicket(
        f"this cannot be read either: {new.unread}",
        errors=[{"path": "/to", "detail": new.unread}],
        state={"nearest": list(new.nearest)},
    )


def _replaced(part: Any, word: str, means: str) -> Any:  # noqa: ANN401 (whatever a till sent)
    """Give a line with a word replaced wherever it stands alone."""
    if isinstance(part, Mapping):
        return {key: _replaced(value, word, means) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [_replaced(value, word, means) for value in part]
    return means if part == word else part


def _unread(draft: Draft, line_id: str) -> tuple[TicketRecord, LineRecord]:
    for ticket in draft.tickets.values():
        for line in ticket.lines:
            if line.id == line_id:
                if not line.is_unread:
                    raise Conflict(f"expected an unread line; {line_id} is read or void already")
                return ticket, line
    raise NotFound(f"expected an unread line of {draft.bar.id}; came {line_id!r}; see the tray")
