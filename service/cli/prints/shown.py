"""A print that was read, line by line, as a person at a terminal looks at it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from service.cli.common import counted
from service.files.documents import BadFile, Fault
from service.files.marked import LARGEST_JSON
from service.printing.prints import Item, Print, PrintedLine, PrintKind, Role, Sort
from service.reading import said

ROLE_WORDS = {
    Role.BLANK: "",
    Role.RULE: "",
    Role.HEAD: "head",
    Role.SECTION: "heading",
    Role.MARK: "mark",
    Role.ITEM: "",
    Role.GOES_ON: "… goes on",
    Role.CHANGE: "change",
    Role.ALLERGY: "ALLERGY",
    Role.NOTE: "note",
    Role.MONEY: "money",
    Role.HOUSE: "house",
    Role.CARD: "card data",
    Role.CODE: "picture",
    Role.ASIDE: "no ticket",
    Role.UNREAD: "? UNREAD",
}
KIND_WORDS = {
    PrintKind.DRINKS: "a ticket",
    PrintKind.NO_DRINKS: "food alone, nothing for the bar",
    PrintKind.VOID: "a void: these are taken off",
    PrintKind.REPRINT: "a reprint: nothing new is to be made",
    PrintKind.CORRECTION: "a correction",
    PrintKind.TEST: "a test print",
    PrintKind.DRAWER: "a drawer pulse, nothing on paper",
    PrintKind.REPORT: "a report",
    PrintKind.CARD_SLIP: "a card slip",
    PrintKind.PICTURE: "? one picture: it cannot be read; set the till to print text",
    PrintKind.EMPTY: "nothing on paper",
    PrintKind.UNKNOWN: "? not understood: a person has to look",
}
SORT_WORDS = {Sort.DRINK: "drink", Sort.FOOD: "food", Sort.UNSURE: "drink or food?"}
FOR_DISHES = "of food"
MARGIN = 10


def bytes_of(path: Path) -> bytes:
    """Read a file of printer bytes.

    Raises
    ------
    BadFile
    """
    file = str(path)
    try:
        if path.stat().st_size > LARGEST_JSON:
            said_ = f"expected at most {LARGEST_JSON // 1_000_000} MB of prints; this is larger"
            raise BadFile([Fault(file=file, line=None, place="", said=said_)])
        data = path.read_bytes()
    except OSError as error:
        reason = {FileNotFoundError: "there is no such file", IsADirectoryError: "this is a folder"}
        said_ = reason.get(type(error), f"it cannot be read ({error.strerror})")
        raise BadFile([Fault(file=file, line=None, place="", said=said_)]) from None
    if not data:
        said_ = "expected the bytes that a till sends to a printer; came an empty file"
        raise BadFile([Fault(file=file, line=None, place="", said=said_)])
    return data


def print_words(title: str, read: Print) -> str:
    """Write a print as its head in words, then line by line with what each is."""
    rows = [f"{title}: {', '.join(_head_words(read))}"]
    rows += [
        f"  {_line_words(read, line):<{MARGIN}} | {line.preview}"
        for line in read.lines
        if line.text
    ]
    rows += [f"  = {words}" for words in _order_words(read)]
    rows += [f"  ? {words}" for words in doubts_of(read)]
    return "\n".join(rows)


def doubts_of(read: Print) -> Iterator[str]:
    """Give everything that is not sure about a print, in words."""
    yield from read.doubts
    for item in read.items:
        for doubt in item.doubts:
            yield f"{item.quantity} {item.name}: {doubt}"


def print_json(file: str, read: Print) -> dict[str, Any]:
    """Give a print for ``--json``; its lines are redacted."""
    printed = read.printed
    return {
        "file": file,
        "kind": read.kind.value,
        "number": read.number,
        "place": read.place,
        "channel": read.channel.value if read.channel else "",
        "server": read.server,
        "till": read.till,
        "printed": printed.text if printed else "",
        "items": [
            {
                "sort": item.sort.value,
                **item.as_line(),
                "is_void": item.is_void,
                "seat": item.seat,
                "doubts": list(item.doubts),
            }
            for item in read.items
        ],
        "note": read.note,
        "allergies": list(read.allergies),
        "doubts": list(read.doubts),
        "lines": [{"role": line.role.value, "text": line.preview} for line in read.lines],
    }


def _head_words(read: Print) -> Iterator[str]:
    yield KIND_WORDS[read.kind]
    for label, value in (("number", read.number), ("", read.place)):
        if value:
            yield f"{label} {value}".strip()
    if read.channel is not None:
        yield read.channel.value.replace("_", " ")
    for label, value in (("server", read.server), ("till", read.till)):
        if value:
            yield f"{label} {value}"
    if read.printed is not None:
        yield read.printed.text


def _line_words(read: Print, line: PrintedLine) -> str:
    if line.role is Role.ITEM:
        sorts = dict.fromkeys(SORT_WORDS[read.items[item].sort] for item in line.items)
        return " and ".join(sorts)
    words = ROLE_WORDS[line.role]
    dishes = [read.items[item].sort is Sort.FOOD for item in line.items]
    # What the kitchen is told of a dish is no change to a drink.
    return FOR_DISHES if words and dishes and all(dishes) else words


def _order_words(read: Print) -> Iterator[str]:
    """Write what the bar would take from it."""
    for item in read.drinks:
        if read.kind in (PrintKind.REPORT, PrintKind.CARD_SLIP, PrintKind.TEST):
            return
        yield f"{'take off ' if item.is_void else ''}{item.quantity} × {_item_words(item)}"
    dishes: Sequence[Item] = [item for item in read.items if item.sort is Sort.FOOD]
    if dishes:
        yield f"{counted(len(dishes), 'line')} of food left out"
    if read.allergies:
        yield f"ALLERGY for the whole ticket: {', '.join(read.allergies)}"
    if read.note:
        yield f"note for the whole ticket: {read.note}"


def _item_words(item: Item) -> str:
    return said({k: v for k, v in item.as_line().items() if k != "quantity"})
