"""A menu, a counter or the house's own standards as a text by itself, held against the rest.

A text is read as part of the bar's whole file would be, so its faults are said in the same words
and by its own lines. What is wrong elsewhere because of it (the menu still pours what the counter
no longer has) has no line here and names its part.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import yaml

from solver.standards import ROWS

from .bars import Bar, warnings_of
from .documents import BadFile, Fault, faults_at, or_bad_file
from .marked import Marked, Plain, read_yaml
from .on_disk import STANDARDS_PATH, bar_of, read_standards
from .schemas import BAR_FILE, BarFile, BarHead

LONGEST_ROW = 120
HEAD = (
    "# Time standards that this house measured itself, in seconds at pace 1.0, each row with its\n"
    "# source. To set one, take its # away below and write what you measured:\n"
    "#   shake: {seconds: 12, source: measured on three Fridays}\n"
)
COMMON = "\n# The common rows, which count wherever the house has none of its own:\n"
"""What a table of standards that nobody wrote by hand begins with, and what stands under it."""


class Part(StrEnum):
    """What of a bar can be told by itself."""

    MENU = "menu"
    COUNTER = "counter"
    STANDARDS = "standards"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What a text says, or what is wrong with it.

    Attributes
    ----------
    bar : Bar or None
        The bar with it; None where it cannot be.
    faults, warnings : tuple of Fault
        What keeps it from being told, and what is allowed and worth a word.
    """

    bar: Bar | None
    faults: tuple[Fault, ...] = ()
    warnings: tuple[Fault, ...] = ()


def part_text(bar: Bar, part: Part) -> str:
    """Write one part of a bar as YAML, without what is usual."""
    plain = _plain(bar)[part.value]
    own = _yaml(plain) if plain else ""
    return HEAD + own + _common_rows(bar) if part is Part.STANDARDS else own


def _yaml(plain: object) -> str:
    return yaml.dump(
        _flowing(plain, 0), Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=LONGEST_ROW
    )


def _common_rows(bar: Bar) -> str:
    """Write out, as comments, every standard that the house has not set itself."""
    common = read_standards(STANDARDS_PATH).rows
    rows = (
        f"# {name}: {{seconds: {row.seconds:g}, source: {row.source}}}  # {ROWS[name]}\n"
        for name, row in common.items()
        if bar.standards.rows[name] == row
    )
    return COMMON + "".join(rows)


def check_part(bar: Bar, part: Part, text: str) -> Checked:
    """Read a text as one part of a bar.

    Parameters
    ----------
    bar : Bar
        The bar as it is; its other parts stay.
    part : Part
    text : str
        YAML.
    """
    file = part.value
    try:
        marked = _within(bar, part, or_bad_file(file, lambda: read_yaml(text)))
        new = bar_of(marked, file)
    except BadFile as error:
        return Checked(bar=None, faults=_told_apart(error.faults, part))
    warnings = faults_at(warnings_of(new.counter, new.menu), marked, file)
    return Checked(bar=new, warnings=_told_apart(tuple(warnings), part))


def _within(bar: Bar, part: Part, marked: Marked) -> Marked:
    """Put a part's data into the whole bar's; only the part has lines."""
    whole: dict[str, Plain] = _plain(bar)
    is_empty = marked.data is None and part is Part.STANDARDS
    whole[part.value] = {} if is_empty else marked.data
    lines = {(part.value, *at): line for at, line in marked.lines.items()}
    return Marked(data=whole, lines={(part.value,): 1, **lines})


def _told_apart(faults: tuple[Fault, ...], part: Part) -> tuple[Fault, ...]:
    """Say of a fault without a line that it stands in the other part."""
    other = Part.MENU if part is Part.COUNTER else Part.COUNTER
    return tuple(
        replace(fault, place=f"in the {other.value}, {fault.place}")
        if fault.line is None and fault.place
        else fault
        for fault in faults
    )


def _plain(bar: Bar) -> dict[str, Any]:
    common = read_standards(STANDARDS_PATH).rows
    own = {name: row for name, row in bar.standards.rows.items() if row != common[name]}
    head = BarHead(id=bar.id, name=bar.name, timezone=bar.timezone)
    whole = BarFile(bar=head, counter=bar.counter, menu=bar.menu, standards=own)
    plain: dict[str, Any] = BAR_FILE.dump_python(
        whole, mode="json", exclude_defaults=True, warnings=False
    )
    plain.setdefault("standards", {})
    return plain


class _Dumper(yaml.SafeDumper):
    """Indents lists below their name, as a person would."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:  # noqa: ARG002 (as its base)
        return super().increase_indent(flow, False)


class _Row(dict[str, Any]):
    """A small mapping that stands on one line."""


class _Few(list[Any]):
    """A short list that stands on one line."""


_MAP, _SEQ = "tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"
_Dumper.add_representer(_Row, lambda to, row: to.represent_mapping(_MAP, row, flow_style=True))
_Dumper.add_representer(_Few, lambda to, few: to.represent_sequence(_SEQ, few, flow_style=True))


def _flowing(value: object, depth: int) -> object:
    """Put small mappings and lists on one line each: an ingredient is a row, not a column."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if not isinstance(value, dict | list):
        return value
    is_short = depth > 0 and len(str(value)) < LONGEST_ROW
    if isinstance(value, list):
        rows = [_flowing(one, depth + 1) for one in value]
        return (
            _Few(rows) if is_short and not any(isinstance(r, dict | list) for r in rows) else rows
        )
    found = {key: _flowing(one, depth + 1) for key, one in value.items()}
    is_flat = all(
        isinstance(one, _Few) or not isinstance(one, dict | list) for one in found.values()
    )
    return _Row(found) if is_short and is_flat else found
