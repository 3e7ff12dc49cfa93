"""Bars, menus and counters as bodies: the documents of files, with a path for each fault."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from service.errors import BadRequest, BadTicket, pointer
from solver.errors import BadValue
from solver.standards import Standards

from .bars import Bar, Finding, check_bar
from .marked import Unreadable, read_json, read_yaml
from .on_disk import STANDARDS_PATH, read_standards
from .schemas import BAR_FILE, COUNTER, MENU
from .translate import findings_of

_T = TypeVar("_T")
MOST_SAID = 50
_NO_FILE = Finding(
    at=("prints", "profile_file"),
    expected="the profile itself, as profile",
    came="the name of a file",
    hint="only a bar's own file can name one",
)


def document(body: bytes, content_type: str) -> Any:  # noqa: ANN401 (whatever the document holds)
    """Read a body as YAML where its type says so, as JSON otherwise.

    Raises
    ------
    BadRequest
        When it is neither, with the line where that is known.
    """
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadRequest("expected text in UTF-8; came other bytes") from None
    try:
        return read_yaml(text).data if "yaml" in content_type.lower() else read_json(text)
    except Unreadable as error:
        raise BadRequest(str(error)) from None


def bar_from(data: object, bar_id: str) -> Bar:
    """Read a whole bar.

    Raises
    ------
    BadTicket
        With every finding and its path.
    """
    told = _validated(BAR_FILE, data)
    if told.bar.id != bar_id:
        finding = Finding(
            at=("bar", "id"), expected=f"the id of the address, '{bar_id}'", came=f"'{told.bar.id}'"
        )
        raise _refused([finding])
    if told.prints is not None and told.prints.profile_file:
        raise _refused([_NO_FILE])
    common = read_standards(STANDARDS_PATH)
    try:
        standards = Standards(rows={**common.rows, **told.standards})
    except BadValue as error:
        raise _refused([_finding(error, ("standards",))]) from None
    bar = Bar(
        id=bar_id,
        name=told.bar.name,
        timezone=told.bar.timezone,
        counter=told.counter,
        menu=told.menu,
        standards=standards,
        prints=told.prints,
    )
    return _checked(bar)


def menu_from(data: object, bar: Bar) -> Bar:
    """Give a bar with a new menu."""
    return _checked(replace(bar, menu=_validated(MENU, data)), below="menu")


def counter_from(data: object, bar: Bar) -> Bar:
    """Give a bar with a new counter."""
    return _checked(replace(bar, counter=_validated(COUNTER, data)), below="counter")


def _validated(adapter: TypeAdapter[_T], data: object) -> _T:
    try:
        return adapter.validate_python(data)
    except ValidationError as error:
        raise _refused(findings_of(error, adapter, data)) from None


def _checked(bar: Bar, below: str = "") -> Bar:
    findings = check_bar(bar.counter, bar.menu)
    if findings:
        raise _refused(
            replace(one, at=one.at[1:]) if below and one.at[:1] == (below,) else one
            for one in findings
        )
    return bar


def _finding(error: BadValue, at: tuple[str | int, ...]) -> Finding:
    return Finding(at=at, expected=error.expected, came=str(error.came), hint=error.hint)


def _refused(findings: Iterable[Finding]) -> BadTicket:
    found = list(findings)
    first = found[0]
    more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    where = pointer(first.at)
    return BadTicket(
        f"{where + ': ' if where else ''}{first.words}{more}",
        errors=[{"path": pointer(one.at), "detail": one.words} for one in found[:MOST_SAID]],
    )
