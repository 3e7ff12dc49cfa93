"""Reading and writing one document, with every fault said: file, line, place, what to do."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from .bars import Finding
from .marked import LARGEST_JSON, Marked, Unreadable, mark_json, read_json
from .translate import findings_of, place_words

MOST_FAULTS_SAID = 20
JSON_WIDTH = 140

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a file.

    Attributes
    ----------
    file : str
    line : int or None
        Counted from 1; None where no line can be named.
    place : str
        Where in the document, in words; empty for the document itself.
    said : str
        What was expected, what came, what to do.
    """

    file: str
    line: int | None
    place: str
    said: str

    def __str__(self) -> str:
        line = "" if self.line is None else f", line {self.line}"
        return f"{self.file}{line}: {self.place + ': ' if self.place else ''}{self.said}"


class BadFile(Exception):
    """A file that cannot be used; carries every fault that was found, in the order of lines."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: fault.line or 0))
        said = [str(fault) for fault in self.faults[:MOST_FAULTS_SAID]]
        if more := len(self.faults) - len(said):
            said.append(f"… and {more} more")
        super().__init__("\n".join(said))


def json_document(adapter: TypeAdapter[_T], text: str, file: str) -> _T:
    """Read one JSON document; `file` is the name that faults carry.

    Raises
    ------
    BadFile
    """
    data = or_bad_file(file, lambda: read_json(text))
    try:
        return adapter.validate_python(data)
    except ValidationError as error:
        # Lines are looked for only now: finding them takes longer than reading.
        marked = Marked(data=data, lines=mark_json(text).lines)
        raise BadFile(faults_at(findings_of(error, adapter, data), marked, file)) from None


def document_text(adapter: TypeAdapter[Any], value: object) -> str:
    """Give a document as JSON: what fits on a line stands on one."""
    return _folded(adapter.dump_python(value, mode="json"), 0) + "\n"


def text_of(path: Path) -> str:
    """Read a text file; `BadFile` where there is none, or it is no text.

    Parameters
    ----------
    path : Path
    """
    file = str(path)
    try:
        if path.stat().st_size > LARGEST_JSON:
            said = f"expected at most {LARGEST_JSON // 1_000_000} MB; this is larger"
            raise BadFile([Fault(file=file, line=None, place="", said=said)])
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = path.read_bytes().count(b"\n", 0, error.start) + 1
        said = "expected text in UTF-8; came other bytes; save the file as UTF-8"
        raise BadFile([Fault(file=file, line=line, place="", said=said)]) from None
    except OSError as error:
        reason = {FileNotFoundError: "there is no such file", IsADirectoryError: "this is a folder"}
        said = reason.get(type(error), f"it cannot be read ({error.strerror})")
        raise BadFile([Fault(file=file, line=None, place="", said=said)]) from None


def or_bad_file(file: str, read: Callable[[], _T]) -> _T:
    """Run `read`; what it finds unreadable becomes a `BadFile` of this file."""
    try:
        return read()
    except Unreadable as error:
        raise BadFile([Fault(file=file, line=error.line, place="", said=error.words)]) from None


def validated(
    adapter: TypeAdapter[_T],
    marked: Marked,
    file: str,
    *,
    instead: Callable[[object, list[Finding]], list[Finding]] = lambda _data, _found: [],
) -> _T:
    """Hold data against an adapter.

    Parameters
    ----------
    adapter : TypeAdapter
    marked : Marked
    file : str
        The name that faults carry.
    instead : callable
        Looks at refused data and its findings once more; what it finds replaces findings at the
        same places.

    Raises
    ------
    BadFile
    """
    try:
        return adapter.validate_python(marked.data)
    except ValidationError as error:
        findings = findings_of(error, adapter, marked.data)
        if sharper := instead(marked.data, findings):
            # The menu as a whole refuses such a name too, with less to say about it.
            said = {finding.at for finding in sharper}
            findings = [finding for finding in findings if finding.at not in said] + sharper
        raise BadFile(faults_at(findings, marked, file)) from None


def faults_at(findings: Iterable[Finding], marked: Marked, file: str) -> list[Fault]:
    """Give findings the file's name, their lines and their places in words."""
    return [
        Fault(
            file=file,
            line=marked.line_of(finding.at),
            place=place_words(finding.at, marked.data),
            said=finding.words,
        )
        for finding in findings
    ]


def _folded(value: object, depth: int) -> str:
    """Write JSON that a person can read and a diff can show."""
    flat = json.dumps(value, ensure_ascii=False)
    if len(flat) + depth <= JSON_WIDTH or not isinstance(value, dict | list) or not value:
        return flat
    inner, outer = " " * (depth + 1), " " * depth
    if isinstance(value, dict):
        rows = [
            f"{json.dumps(k, ensure_ascii=False)}: {_folded(v, depth + 1)}"
            for k, v in value.items()
        ]
        return "{\n" + ",\n".join(inner + row for row in rows) + f"\n{outer}}}"
    return "[\n" + ",\n".join(inner + _folded(one, depth + 1) for one in value) + f"\n{outer}]"
