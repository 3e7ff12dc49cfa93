"""A CSV as rows: whatever its delimiter and its encoding."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from service.files.documents import BadFile, Fault

LARGEST_CSV = 200_000_000
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))

Row: TypeAlias = tuple[int, list[str]]
"""The line on which a row begins, and its cells."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A file with its first row apart.

    Attributes
    ----------
    file : str
    headings : tuple of str
    rows : tuple of Row
        Rows without any ink are left out.
    delimiter : str
        In words.
    encoding : str
    """

    file: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    delimiter: str
    encoding: str


def read_table(path: Path) -> Table:
    """Read a CSV.

    Raises
    ------
    BadFile
        Where there is none, or no table in it.
    """
    file = str(path)
    data = _bytes_of(path)
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "utf-8")
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        # What office programs of the West write where they do not write UTF-8.
        encoding = "cp1252"
        text = data.decode(encoding, errors="replace")
    top = next((line for line in text.splitlines() if line.strip()), "")
    sign = max(DELIMITERS, key=top.count)
    if not top or top.count(sign) == 0:
        said = "expected a first row of headings, parted by comma, semicolon, tab or bar; came " + (
            f"'{top[:60]}'" if top else "an empty file"
        )
        raise BadFile([Fault(file=file, line=1, place="", said=said)])
    under = _rows(text, sign, file)
    _, headings = next(under)
    rows = tuple(under)
    if not rows:
        said = "expected a row under the headings; came none: was an evening chosen for the export?"
        raise BadFile([Fault(file=file, line=2, place="", said=said)])
    return Table(
        file=file,
        headings=tuple(headings),
        rows=rows,
        delimiter=DELIMITERS[sign],
        encoding=encoding,
    )


def _rows(text: str, sign: str, file: str) -> Iterator[Row]:
    # A cell may hold a line end, so that a row's line is counted and not assumed.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
    begins = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            said = f"expected a row of a CSV from here on; it cannot be read ({error})"
            raise BadFile([Fault(file=file, line=begins, place="", said=said)]) from None
        if any(cell.strip() for cell in cells):
            yield begins, cells
        begins = reader.line_num + 1


def _bytes_of(path: Path) -> bytes:
    file = str(path)
    try:
        if path.stat().st_size > LARGEST_CSV:
            said = f"expected at most {LARGEST_CSV // 1_000_000} MB; this is larger: split it"
            raise BadFile([Fault(file=file, line=None, place="", said=said)])
        return path.read_bytes()
    except OSError as error:
        reason = {FileNotFoundError: "there is no such file", IsADirectoryError: "this is a folder"}
        said = reason.get(type(error), f"it cannot be read ({error.strerror})")
        raise BadFile([Fault(file=file, line=None, place="", said=said)]) from None
