"""Text to plain data, with the line on which every value stands.

YAML is read by its 1.2 rules: only ``true`` and ``false`` are truth values, dates and ``12:30``
are text, ``no`` is the text "no" (and still counts as false where true or false is wanted).
Anchors, tags and very deep or very large documents are refused: no bar file needs them, and
they can make a small file swallow a machine.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import NoReturn, TypeAlias

import yaml

LARGEST_YAML = 1_000_000
LARGEST_JSON = 20_000_000
DEEPEST = 20

At = tuple[str | int, ...]
Plain: TypeAlias = "bool | int | float | str | list[Plain] | dict[str, Plain] | None"
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INT = re.compile(r"[-+]?\d+")
_FLOAT = re.compile(r"[-+]?(\.\d+|\d+(\.\d*)?)([eE][-+]?\d+)?")
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}


class Unreadable(Exception):
    """Text that is not even a document.

    Parameters
    ----------
    words : str
        What was expected, what came and what to do.
    line : int or None
        Where, counted from 1; None where it concerns the whole text.
    """

    def __init__(self, words: str, line: int | None = None) -> None:
        self.words = words
        self.line = line
        super().__init__(words if line is None else f"line {line}: {words}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """Plain data and the line (from 1) of each value, by the keys and positions that lead to it."""

    data: Plain
    lines: dict[At, int] = field(default_factory=dict)

    def line_of(self, at: At) -> int | None:
        """Give the line of a value, or of the nearest thing around it that is there."""
        while at and at not in self.lines:
            at = at[:-1]
        return self.lines.get(at)


def read_yaml(text: str) -> Marked:
    """Read a YAML text.

    Raises
    ------
    Unreadable
        When it is no YAML, too large or too deep, or uses an anchor, a tag or a key twice.
    """
    if len(text) > LARGEST_YAML:
        said = f"expected at most {LARGEST_YAML:,} characters; came {len(text):,}"
        raise Unreadable(f"{said}; a bar's file is a few hundred lines")
    try:
        return _Composer(yaml.parse(text, Loader=_LOADER)).document()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        _refuse_yaml(text, str(error.problem or error.context), mark.line + 1 if mark else None)
    except yaml.YAMLError as error:
        # A character that YAML does not allow; the reader knows its place, not its line.
        place = getattr(error, "position", None)
        line = None if place is None else text.count("\n", 0, place) + 1
        _refuse_yaml(text, "a character that no text file holds", line)


def read_json(text: str) -> Plain:
    """Read a JSON text.

    Raises
    ------
    Unreadable
        When it is no JSON or stops in the middle, is too large or too deep, or has a key twice.
    """
    if len(text) > LARGEST_JSON:
        raise Unreadable(f"expected at most {LARGEST_JSON:,} characters; came {len(text):,}")
    try:
        found: Plain = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        raise Unreadable(_json_words(text, error), error.lineno) from None
    except RecursionError:
        said = "expected a document of usual depth; came hundreds of brackets within each other"
        raise Unreadable(said) from None
    return found


def mark_json(text: str) -> Marked:
    """Find the lines of a JSON text that `read_json` took; without lines where that fails."""
    try:
        # JSON is YAML, but for a few oddities that cost only the line number.
        return _Composer(yaml.parse(text, Loader=_LOADER)).document()
    except (yaml.YAMLError, Unreadable):
        return Marked(data=None)


class _Composer:
    """Builds data from YAML's events, depth and keys watched, without recursion into trouble."""

    def __init__(self, events: Iterator[yaml.Event]) -> None:
        self.events = events
        self.lines: dict[At, int] = {}

    def document(self) -> Marked:
        data: Plain = None
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                if () in self.lines:
                    said = "expected one document in a file; came a second one after '---'"
                    raise Unreadable(said, _line(event))
                data = self._value(next(self.events), ())
        return Marked(data=data, lines=self.lines)

    def _value(self, event: yaml.Event, at: At) -> Plain:
        line = _line(event)
        # A key's own line is better than that of a block which begins below it.
        self.lines.setdefault(at, line)
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            said = "expected every value written out; came an anchor (& or *)"
            raise Unreadable(f"{said}; write the value out, or put the text in quotes", line)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, line)
        if tag := getattr(event, "tag", None):
            raise Unreadable(f"expected plain values; came the tag {tag}; remove it", line)
        if len(at) > DEEPEST:
            raise Unreadable(f"expected at most {DEEPEST} levels; this is deeper", line)
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(at)
        found: list[Plain] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            found.append(self._value(event, (*at, len(found))))
        return found

    def _mapping(self, at: At) -> dict[str, Plain]:
        found: dict[str, Plain] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            line = _line(event)
            if not isinstance(event, yaml.ScalarEvent):
                said = "expected a name before the colon; came a list or a block"
                raise Unreadable(said, line)
            key = str(event.value)
            if key in found:
                said = f"expected '{key}' once here; came twice; remove one of the two"
                raise Unreadable(f"{said} (the other is on line {self.lines[(*at, key)]})", line)
            self.lines[(*at, key)] = line
            found[key] = self._value(next(self.events), (*at, key))
        return found

    @staticmethod
    def _scalar(event: yaml.ScalarEvent, line: int) -> Plain:
        text = str(event.value)
        if event.tag not in (None, "!"):
            raise Unreadable(f"expected plain values; came the tag {event.tag}; remove it", line)
        if event.style in ("'", '"', "|", ">"):
            return text
        if text in _WORDS:
            return _WORDS[text]
        if _INT.fullmatch(text) and len(text) < 20:
            return int(text)
        return float(text) if _FLOAT.fullmatch(text) else text


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _refuse_yaml(text: str, problem: str, line: int | None) -> NoReturn:
    if line and "\t" in _indent(text, line):
        raise Unreadable("expected spaces at the beginning of a line; came a tab", line) from None
    if "nesting" in problem:
        raise Unreadable(f"expected at most {DEEPEST} levels; this is far deeper", line) from None
    hint = "check indents, colons, brackets and quotes here and on the line before"
    raise Unreadable(f"this is not YAML ({problem}); {hint}", line) from None


def _indent(text: str, line: int) -> str:
    row = next(islice(text.splitlines(), line - 1, line), "")
    return row[: len(row) - len(row.lstrip())]


def _json_words(text: str, error: json.JSONDecodeError) -> str:
    if not text.strip():
        return "expected a JSON document; came nothing"
    rest = text[error.pos :].strip()
    # Nothing is left, or the beginning of one last word, number or quotation.
    is_cut = rest.isalnum() or not rest or error.msg.startswith("Unterminated string")
    if is_cut:
        said = "expected a whole JSON document; came one that stops in the middle"
        return f"{said} ('… {_tail(text)}'); send or copy it again, whole"
    return f"this is not JSON near '{_around(text, error.pos)}' ({error.msg.lower()})"


def _tail(text: str) -> str:
    return " ".join(text.rstrip()[-24:].split())


def _around(text: str, pos: int) -> str:
    return " ".join(text[max(0, pos - 12) : pos + 12].split())


def _once(pairs: list[tuple[str, Plain]]) -> dict[str, Plain]:
    found: dict[str, Plain] = {}
    for key, value in pairs:
        if key in found:
            said = f"expected '{key}' once in its place; came twice"
            raise Unreadable(f"{said}; remove one of the two")
        found[key] = value
    return found


def _no_constant(name: str) -> NoReturn:
    raise Unreadable(f"expected a number; came {name}, which is none in JSON")
