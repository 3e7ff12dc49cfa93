"""What a print is, from its marks and from what was found on it; and where its round goes."""

from __future__ import annotations

from solver.tickets import Channel

from .lexicon import Lexicon
from .paper import Sheet
from .prints import Print, PrintKind, Sort
from .words import squeezed


def kind_of(
    read: Print, marks: list[PrintKind], sheet: Sheet, *, has_unread: bool = False
) -> tuple[PrintKind, list[str]]:
    """Give the kind of a print and what is doubtful about it.

    Where lines were not understood, dishes alone are no proof that no drink is there.
    """
    doubts = []
    if len(marks) > 1:
        said = " and ".join(mark.value.replace("_", " ") for mark in marks)
        doubts.append(f"it says {said}; the first was believed")
    if marks:
        return marks[0], doubts
    if read.items:
        has_drink = any(item.sort is not Sort.FOOD for item in read.items)
        if not has_drink and has_unread:
            return PrintKind.UNKNOWN, doubts
        return (PrintKind.DRINKS if has_drink else PrintKind.NO_DRINKS), doubts
    if any(line.text for line in sheet.inked):
        doubts.append("no drink was found on it")
        return PrintKind.UNKNOWN, doubts
    if sheet.pictures:
        return PrintKind.PICTURE, doubts
    is_code = any(line.is_code for line in sheet.lines)
    if is_code:
        doubts.append("there is only a code on it")
        return PrintKind.UNKNOWN, doubts
    return (PrintKind.DRAWER if read.drawer_pulses else PrintKind.EMPTY), doubts


def channel_of(lexicon: Lexicon, place: str) -> Channel | None:
    """Give where a round goes by its place; the profile's usual where neither list fits."""
    if place:
        word = squeezed(place.replace(":", " ").replace("#", " ")).casefold()
        if lexicon.bar_top.match(word):
            return Channel.BAR_TOP
        if lexicon.floor.match(word):
            return Channel.FLOOR
    return lexicon.profile.channels.otherwise
