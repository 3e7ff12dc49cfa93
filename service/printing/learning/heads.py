"""The head's labels, words and unlabelled lines: what stays on all samples, what changes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import time

from service.printing.heads import read_head
from service.printing.items import without_price
from service.printing.lexicon import FIELDS, Lexicon, lexicon_of
from service.printing.prints import Print, PrintedLine, Role
from service.printing.profile import Place, Profile
from service.printing.words import DECORATION, bare, folded, squeezed

from .samples import FEWEST_LETTERS, Known

_GAP = re.compile(r"\s{2,}")
_BAR = re.compile(r"\s[/|·•]\s|[,;|]\s")
PARTING = re.compile(r"(\s{2,}|\s[/|·•–-]\s|[,;|]\s|\s/|/\s)")
_SIGNED = re.compile(
    r"(?P<label>[^\d:=#>]{1,24}?)\s*(?:\.*\s*[:=#>|]+|\.{2,}|\s[-–])\s*(?P<value>\S.*)"
)
_CLOCK = re.compile(r"[0-2]?\d\.[0-5]\d(?:\s?[ap]\.?m?\.?)?", re.IGNORECASE)
"""``18.04``, where no other time is on the paper."""
MOST_LABEL_WORDS = 3
LONGEST_LABEL = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """The lines of a sample above its drinks and below them."""

    read: Print
    above: tuple[PrintedLine, ...]
    below: tuple[PrintedLine, ...]

    @property
    def lines(self) -> tuple[PrintedLine, ...]:
        """All of them."""
        return (*self.above, *self.below)


def zones_of(prints: Sequence[Print], known: Known) -> list[Zone]:
    """Give each sample's lines that may be of its head or foot."""
    found = []
    for read in prints:
        rows = [item.rows[0] for item in read.items]
        if known.drinks:
            lines = enumerate(read.lines)
            rows = [row for row, line in lines if known.holds_drink(line.text)]
        first, last = min(rows, default=len(read.lines)), max(rows, default=len(read.lines))
        above = tuple(line for line in read.lines[:first] if _may_be(line) or _is_clock(line))
        rows_below = read.lines[last + 1 :]
        # Right below drinks, or below a heading, stand dishes; the foot is set apart.
        ends = (n for n, one in enumerate(rows_below) if one.role in (Role.RULE, Role.BLANK))
        foot = next(ends, len(rows_below))
        below = tuple(
            line
            for n, line in enumerate(rows_below)
            if _may_be(line)
            and not line.text.startswith(" ")
            and (n > foot or line.role is not Role.ITEM)
        )
        found.append(Zone(read=read, above=above, below=below))
    return found


def _may_be(line: PrintedLine) -> bool:
    roles = (Role.HEAD, Role.UNREAD, Role.NOTE, Role.ITEM)
    is_unpriced = line.role is Role.MONEY and not without_price(line.text)[1]
    return (line.role in roles or is_unpriced) and any(map(str.isalnum, line.text))


def _is_clock(line: PrintedLine) -> bool:
    """Whether what was taken for money may be a name with an hour: ``Staff Ana - 18.47``."""
    plain, price, _ = without_price(line.text)
    is_hour = _CLOCK.fullmatch(price.strip("-– ")) is not None
    return line.role is Role.MONEY and is_hour and any(map(str.isalpha, plain))


# ---- Labels -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Split:
    """A label and what stood behind it, on one sample."""

    label: str
    value: str
    sample: int
    at: int
    """Which of its lines."""
    is_signed: bool
    """A colon or the like stands between them."""
    is_line: bool = False
    """The two are all of their line."""
    is_item: bool = False
    """It was read as something ordered: ``Heads: 5``."""


def labels_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Find labels that no common word is: what stays before what changes, in the head or foot.

    Where a ticket shows no number, place or server otherwise, that is what it is; else nobody asks.
    """
    zones = zones_of(prints, known)
    splits = _chosen(
        [one for n, zone in enumerate(zones) for one in _splits(profile, zone, n, known)]
    )
    names = ("number", "place", "where", "server", "time", "other", "words")
    told: dict[str, list[str]] = {name: [] for name in names}
    lacks = {
        "number": {n for n, read in enumerate(prints) if not read.number},
        "place": {n for n, read in enumerate(prints) if not read.place},
        "server": {n for n, read in enumerate(prints) if not read.server},
    }
    times = [read.printed.at if read.printed else None for read in prints]
    rows = sorted(splits.items(), key=lambda row: not _rises(row[1], times))
    for label, found in rows:
        where = {one.sample for one in found}
        kind = _kind(profile, found)
        name = ""
        if kind == "fact":
            name = "words"
        elif kind == "time" and not any(times):
            name = "time"
        elif kind == "name" and where <= lacks["server"]:
            name = "server"
        elif kind == "figures" and where == lacks["number"] and len(where) == len(prints):
            name = "number"
        elif kind in ("figures", "place") and where <= lacks["place"]:
            # Before figures alone the label is the place's own word: "Tisch 4", but "For: Rail 4".
            name = "place" if kind == "figures" else "where"
        elif kind in ("figures", "name", "place", "time") and len(where) > 1:
            name = "other"
        is_item = any(one.is_item for one in found) and len(where) < len(prints)
        is_short = len(label) < FEWEST_LETTERS and not known.is_drink(label)
        is_sure = is_short or (found[0].is_signed and not any(one.is_item for one in found))
        if not name or is_item or (known.is_near(label) and not is_sure):
            continue
        told[name].append(label)
        fact = "place" if name == "where" else name
        if fact in lacks:
            lacks[fact] -= where
    for name, labels in told.items():
        said = {
            "other": "is passed over",
            "words": "is what its own words say",
            "where": "is taken for the place",
        }
        for label in labels:
            words = said.get(name, f"is taken for the {name}")
            unsure.append(f"what stands behind '{label}' in the head {words}")
    head = profile.head
    added = {
        name: Place(labels=(*getattr(head, name).labels, *told[name]))
        for name in ("number", "place", "server", "time", "other")
        if told[name]
    }
    head = replace(
        head,
        **added,  # type: ignore[arg-type]
        words=(*head.words, *told["words"]),
        where=(*head.where, *told["where"]),
    )
    return replace(profile, head=head)


def _splits(profile: Profile, zone: Zone, sample: int, known: Known) -> Iterator[_Split]:
    """Give every way to part what was not understood into a label and a value."""
    lexicon = lexicon_of(profile)
    for at, line in enumerate(zone.lines):
        for piece in unknown_in(lexicon, line):
            if signed := _SIGNED.fullmatch(piece):
                yield _Split(
                    label=_label(signed["label"]),
                    value=signed["value"],
                    sample=sample,
                    at=at,
                    is_signed=True,
                    is_item=line.role is Role.ITEM,
                )
            is_heading = heads_items(zone, line, known) and not has_digit(piece)
            if not signed and (is_heading or (line.role is Role.ITEM and line in zone.below)):
                continue
            words = piece.split()
            for count in range(1, min(len(words), MOST_LABEL_WORDS + 1)):
                label = _label(" ".join(words[:count]))
                if any(map(str.isdigit, label)):
                    break
                yield _Split(
                    label=label,
                    is_line=line in zone.above and _is_alone(lexicon, line, piece),
                    value=" ".join(words[count:]),
                    sample=sample,
                    at=at,
                    is_signed=False,
                )


def _is_alone(lexicon: Lexicon, line: PrintedLine, piece: str) -> bool:
    """Whether there is nothing else on a line, but for a time."""
    head = read_head(lexicon, line.text)
    if head is None:
        return piece == squeezed(line.text)
    return head.leftover == piece and not head.facts and not head.others


def _label(text: str) -> str:
    return bare(text).casefold()


def unknown_in(lexicon: Lexicon, line: PrintedLine) -> list[str]:
    """Give the parts of a line of which nobody knows what they are."""
    head = read_head(lexicon, line.text)
    if head is None:
        parts = _GAP.split(line.text.strip())
        # What stands behind a label's colon may stand far behind it.
        joined: list[str] = []
        for part in parts:
            if joined and (joined[-1][-1:] in ":=.>" or part[:1] in ":="):
                joined[-1] += " " + part
            else:
                joined.append(part)
        pieces = (one for part in joined for one in _BAR.split(part))
        return [squeezed(piece) for piece in pieces if piece.strip()]
    return [part for part in head.leftover.split(" / ") if part]


def _chosen(splits: Sequence[_Split]) -> dict[str, list[_Split]]:
    """Give for each label its values; of several ways the one that most samples share."""
    by_label: dict[str, list[_Split]] = {}
    for one in splits:
        if one.label and len(one.label) <= LONGEST_LABEL and any(map(str.isalpha, one.label)):
            by_label.setdefault(one.label, []).append(one)
    kept: dict[str, list[_Split]] = {}
    taken: set[tuple[int, int, str]] = set()
    order = sorted(
        by_label.items(),
        key=lambda row: (-len({s.sample for s in row[1]}), not row[1][0].is_signed, -len(row[0])),
    )
    for label, found in order:
        left = [one for one in found if _end(one) not in taken]
        num_samples = len({one.sample for one in left})
        is_shown = num_samples > 1 and len({folded(one.value) for one in left}) > 1
        # "Salon 3" alone on a line of one sample, where others have "Bar 1".
        is_shown |= all(one.is_line and one.value.isdecimal() for one in left)
        if left and (is_shown or any(one.is_signed for one in left)):
            kept[label] = left
            taken |= set(map(_end, left))
    return kept


def _end(one: _Split) -> tuple[int, int, str]:
    """Give where the last word stands: two ways to part one text end with the same."""
    return one.sample, one.at, folded(one.value.split()[-1]) if one.value.split() else ""


def _kind(profile: Profile, found: Sequence[_Split]) -> str:
    """Tell what the values behind a label look like."""
    lexicon = lexicon_of(profile)
    values = [one.value.strip(DECORATION) for one in found]
    heads = [read_head(lexicon, value) for value in values]
    if all(head is not None and not head.leftover for head in heads):
        return "fact"
    if all(map(_CLOCK.fullmatch, values)):
        return "time"
    if all(value and not any(map(str.isdigit, value)) for value in values):
        is_short = all(len(value.split()) <= MOST_LABEL_WORDS for value in values)
        return "name" if is_short else ""
    if all(value[:1].isdigit() or has_digit(value.split()[0]) for value in values if value):
        return "figures"
    is_short = all(len(value.split()) <= MOST_LABEL_WORDS for value in values)
    if is_short and any(map(has_digit, values)):
        return "place"
    return ""


def has_digit(text: str) -> bool:
    """Whether there is a figure in a text."""
    return any(map(str.isdigit, text))


def _rises(found: Sequence[_Split], times: Sequence[time | None]) -> bool:
    """Whether the values are all different and rise with the time: so do numbers of tickets."""
    values = [(times[one.sample], "".join(filter(str.isdigit, one.value))) for one in found]
    return rises(values)


def rises(values: Sequence[tuple[time | None, str]]) -> bool:
    """Whether figures are all different and rise as the time does, where there are times."""
    numbers = [int(figures) for _, figures in values if figures]
    if len(numbers) < len(values) or len(set(numbers)) < len(numbers):
        return False
    timed = sorted((at, int(figures)) for at, figures in values if at is not None)
    return [n for _, n in timed] == sorted(n for _, n in timed)


# ---- Words that say nothing -------------------------------------------------------------------


def words_of(profile: Profile, prints: Sequence[Print], known: Known) -> Profile:
    """Take what is left over in the same words on several samples for words that say nothing."""
    lexicon = lexicon_of(profile)
    seen: dict[str, set[int]] = {}
    for n, zone in enumerate(zones_of(prints, known)):
        for line in zone.lines:
            head = read_head(lexicon, line.text)
            if line.role is Role.HEAD and head is not None:
                for part in filter(None, head.leftover.split(" / ")):
                    for one in PARTING.split(part)[::2]:
                        seen.setdefault(folded(one), set()).add(n)
    told = [one for one, where in seen.items() if one and len(where) == len(prints)]
    told = [one for one in told if not has_digit(one)]
    return replace(profile, head=replace(profile.head, words=(*profile.head.words, *told)))


# ---- What the house always prints -------------------------------------------------------------


def constants_of(
    profile: Profile, prints: Sequence[Print], known: Known, unsure: list[str]
) -> Profile:
    """Take lines that are the same on every sample for the house's.

    A server or a till may well be the same on all of them; a number, a time, a place is not.
    """
    lexicon = lexicon_of(profile)
    rows: list[dict[str, str]] = []
    for read, zone in zip(prints, zones_of(prints, known), strict=True):
        marks = [line for line in read.lines if line.role is Role.MARK and not line.items]
        below = [
            line
            for line in zone.below
            if line.role is not Role.ITEM or _is_at_foot(lexicon, read, line)
        ]
        lines = (*zone.above, *below, *marks)
        rows.append(
            {folded(line.text): line.text for line in lines if not heads_items(zone, line, known)}
        )
    told = []
    for key, text in rows[0].items():
        if (
            all(key in row for row in rows)
            and not _is_fact(lexicon, text)
            and not known.holds_drink(key)
        ):
            told.append(key)
            unsure.append(f"'{key}' is passed over: it says nothing of a drink")
    return replace(profile, house=(*profile.house, *told))


def _is_at_foot(lexicon: Lexicon, read: Print, line: PrintedLine) -> bool:
    """Whether a line without a quantity stands below a line of dashes below the drinks."""
    row = next(row for row, one in enumerate(read.lines) if one is line)
    first = min((item.rows[0] for item in read.items), default=0)
    is_below = any(one.role is Role.RULE for one in read.lines[first:row])
    return lexicon.takes_bare and is_below


def heads_items(zone: Zone, line: PrintedLine, known: Known) -> bool:
    """Whether what was ordered stands right below a line: it is a heading then."""
    row = next(row for row, one in enumerate(zone.read.lines) if one is line)
    below = zone.read.lines[row + 1 : row + 2]
    is_above = bool(known.drinks) and line in zone.above
    return any(
        one.role is Role.ITEM and (not is_above or known.holds_drink(one.text)) for one in below
    )


def _is_fact(lexicon: Lexicon, text: str) -> bool:
    head = read_head(lexicon, text)
    if head is None:
        return False
    if head.printed is not None or "number" in head.facts:
        return True
    # "Open till late" is no till: its label would be what the line begins with.
    begins = any(
        lexicon.labels[name].match(bare(text)) and (name != "place" or has_digit(text))
        for name in FIELDS
    )
    return begins and not head.leftover
