"""The numbers of a till's tickets: one that is missing is a ticket that nobody at the bar has seen.

Tills count up by one. Some begin anew each business day, some go from 999 back to 1. A missing
number that comes after all is missing no more.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from service.night.records import Mark, MarkKind
from service.night.state import Draft

MOST_AT_A_START = 20
"""A till that begins anew is held to have begun at 1, if the number seen first is up to this."""

_NUMBERED = re.compile(r"(.*?)(\d{1,9})\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What came of a number: numbers missing since, as ranges, and the one to count on from.

    `last` is None where the number comes late and counting goes on from where it was.
    """

    missing: tuple[tuple[int, int], ...] = ()
    last: int | None = None


def follow(draft: Draft, till: str, day: str, number: str) -> None:
    """Note that a number of a till came; say which are missing, or no longer.

    Parameters
    ----------
    draft : Draft
    till : str
    day : str
        Business day.
    number : str
        As printed; what is no number is not followed.
    """
    if (read := _read(till, number)) is None:
        return
    till, count = read
    seen = draft.mark(MarkKind.TILL, till)
    if _fills_gap(draft, till, count) or seen is None or seen.number is None:
        counted = Counted(last=None if seen else count)
    else:
        counted = counted_on(seen.number, count, is_new_day=seen.words < day)
    for first, last in counted.missing:
        _put_gap(draft, till, first, last)
    if counted.last is not None:
        draft.put(
            Mark(kind=MarkKind.TILL, key=till, since=draft.now, number=counted.last, words=day)
        )


def has_come(draft: Draft, till: str, number: str) -> None:
    """Note that a ticket came as a reprint: it is missing no more, if it was.

    Parameters
    ----------
    draft : Draft
    till, number : str
    """
    if (read := _read(till, number)) is not None:
        _fills_gap(draft, *read)


def _read(till: str, number: str) -> tuple[str, int] | None:
    """Give the name under which a number is counted, and it; None where it is no number."""
    found = _NUMBERED.fullmatch(number.strip())
    return (f"{till} {found[1]}".strip(), int(found[2])) if found else None


def counted_on(last: int, count: int, *, is_new_day: bool) -> Counted:
    """Give what is missing between the last number of a till and the one that came.

    Parameters
    ----------
    last, count : int
    is_new_day : bool
        The last number was of an earlier business day.
    """
    highest = 10 ** len(str(last)) - 1
    wrapped = highest - last + count
    if count == last + 1:
        return Counted(last=count)
    if is_new_day and count <= MOST_AT_A_START and count <= last:
        return Counted(missing=_between(0, count), last=count)
    if count > last:
        return Counted(missing=_between(last, count), last=count)
    if wrapped <= MOST_AT_A_START:
        # 998, then 2: 999 and 1 are missing. Few tills print a 0.
        return Counted(missing=(*_between(last, highest + 1), *_between(0, count)), last=count)
    if count <= MOST_AT_A_START < last - count:
        return Counted(missing=_between(0, count), last=count)
    return Counted(last=count if is_new_day else None)


def gap_words(mark: Mark) -> str:
    """Say which numbers of a till are missing."""
    till, _, _ = mark.key.rpartition(" ")
    first, last = mark.number, mark.more
    which = f"number {first}" if first == last else f"numbers {first} to {last}"
    return f"{which} of till {till or 'without a name'} did not come: look at the till"


def _between(last: int, count: int) -> tuple[tuple[int, int], ...]:
    """Give the range strictly between two numbers; nothing where there is none."""
    return ((last + 1, count - 1),) if count - last > 1 else ()


def _fills_gap(draft: Draft, till: str, count: int) -> bool:
    """Take a number out of what is missing; False where it was not."""
    for mark in draft.marks_of(MarkKind.GAP):
        if mark.key.rpartition(" ")[0] != till:
            continue
        first, last = mark.number or 0, mark.more or 0
        if first <= count <= last:
            draft.drop("mark", mark.id)
            if first < count:
                _put_gap(draft, till, first, count - 1)
            if count < last:
                _put_gap(draft, till, count + 1, last)
            return True
    return False


def _put_gap(draft: Draft, till: str, first: int, last: int) -> None:
    draft.put(
        Mark(
            kind=MarkKind.GAP,
            key=f"{till} {first}-{last}",
            since=draft.now,
            number=first,
            more=last,
        )
    )
