"""What each kind of finding wanted, and what came instead, said aloud in the words of the bar."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

LONGEST_CAME, MOST_CAME = 60, 6
A_TIME = "a time with its offset, such as 2027-02-12T21:04:10Z"
A_DAY = "a day, such as 2027-02-12"
A_LIST = ("list", "tuple", "set", "frozen_set", "iterable", "too_short", "too_long")
NAMED = ("dict", "mapping", "model", "dataclass", "is_instance", "arguments")
"""Beginnings of the kinds that wanted a list, and of those that wanted names with values."""

EXPECTED: tuple[tuple[str, str], ...] = (
    ("string_unicode", "text in UTF-8"),
    ("string_pattern", "text with something to read in it"),
    ("string", "text"),
    ("bytes", "text"),
    ("bool", "true or false"),
    ("int_parsing_size", "a whole number of usual size"),
    ("int", "a whole number"),
    ("float", "a number"),
    ("decimal", "a number"),
    ("finite_number", "a number"),
    ("timezone", A_TIME),
    ("datetime", A_TIME),
    ("time", A_TIME),
    ("date", A_DAY),
    ("none_required", "nothing"),
    *((kind, "a list") for kind in A_LIST),
)
"""By the beginning of a kind's name, the longer ones first."""

LIMITS: dict[str, tuple[str, str]] = {
    "too_short": ("min_length", "a list of at least {}"),
    "too_long": ("max_length", "a list of at most {}"),
    "string_too_short": ("min_length", "text of {} signs or more"),
    "string_too_long": ("max_length", "text of at most {} signs"),
    "greater_than": ("gt", "a number above {}"),
    "greater_than_equal": ("ge", "a number of {} or more"),
    "less_than": ("lt", "a number below {}"),
    "less_than_equal": ("le", "a number of at most {}"),
    "multiple_of": ("multiple_of", "a multiple of {}"),
}
"""Kinds that have a limit: where it stands, and its words."""


def expected_words(kind: str, context: Mapping[str, Any], message: str, *, named: str) -> str:
    """Say what a kind of finding wanted.

    Parameters
    ----------
    kind : str
        The validation's own name for it, such as ``"int_parsing"``.
    context : mapping
        Its limits.
    message : str
        The validation's sentence; only used where it is one of ours.
    named : str
        What names with values are called in this document.
    """
    if kind in ("value_error", "assertion_error"):
        return message.partition("error, ")[2] or message
    if kind in LIMITS:
        key, words = LIMITS[kind]
        if kind == "string_too_short" and context.get(key) == 1:
            return "text that is not empty"
        return words.format(f"{context.get(key, 1):g}").replace(
            "at least 1 signs", "1 sign or more"
        )
    if kind.startswith(NAMED):
        return named
    return next((said for start, said in EXPECTED if kind.startswith(start)), "another value")


def came_words(value: object) -> str:
    """Say what came: "'50 mil'", "nothing", "a list of 3"."""
    if isinstance(value, str) and value:
        short = value if len(value) <= LONGEST_CAME else value[:LONGEST_CAME] + "…"
        return f"'{short}'" if value.strip() else "only spaces"
    if isinstance(value, Mapping):
        return f"names with values ({', '.join(map(str, list(value)[:4]))})" if value else "{}"
    if isinstance(value, list | tuple):
        return _list_words(value)
    if is_dataclass(value):
        held = [(row.name, getattr(value, row.name)) for row in fields(value)]
        return ", ".join(f"{key} {came_words(one)}" for key, one in held if one) or "none of them"
    if isinstance(value, bool):
        return "true" if value else "false"
    return "nothing" if value in (None, "") else str(value)


def _list_words(value: Sequence[object]) -> str:
    if not value:
        return "an empty list"
    if all(isinstance(one, str | int | float) for one in value) and len(value) <= MOST_CAME:
        return ", ".join(map(str, value))
    return f"a list of {len(value)}"


def came_for(kind: str, value: object) -> str:
    """Say what came where its kind, or how long it is, says more than its text."""
    if isinstance(value, list | tuple) and value:
        return f"a list of {len(value)}" if kind.startswith("too_") else "a list"
    if kind == "string_too_long" and isinstance(value, str):
        return f"{len(value)} signs"
    return came_words(value)
