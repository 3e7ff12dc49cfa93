"""What can go wrong in the service, and its form over HTTP: problem details.

::

    ServiceError(status, code)
    ├── NotFound      404  no such bar, ticket, drink, build, route
    ├── Conflict      409  right in itself, but not in the present state
    ├── BadRequest    400  cannot be read at all: half a document, no idempotency key
    ├── BadTicket     422  can be read, and cannot be
    ├── TooLarge      413
    └── NotNow        503  stopping, or the store does not take it

``detail`` says what was expected, what came and what to do, in the words of the bar.

Source: RFC 9457 (problem details), RFC 6901 (the pointers in ``errors``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from rapidfuzz import fuzz, process, utils

PROBLEM_JSON = "application/problem+json"
TITLES: dict[int, str] = {
    400: "That cannot be read",
    404: "There is no such thing here",
    405: "Not a way to ask this",
    406: "Not a form this can be given in",
    409: "Not in the present state",
    413: "Too large",
    415: "Not a form this can be read in",
    422: "That cannot be",
    500: "A fault of ours",
    503: "Not now",
}


class ServiceError(Exception):
    """Base of every error the service answers with.

    Parameters
    ----------
    detail : str
        A sentence for the person who asked.
    errors : sequence of mapping
        One a fault: ``path`` (JSON pointer) and ``detail``.
    state : mapping
        Facts of the present state that help, added to the problem as they are.
    """

    status = 500
    code = "fault"

    def __init__(
        self,
        detail: str,
        *,
        errors: Sequence[Mapping[str, str]] = (),
        state: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(detail)
        self.detail = detail
        self.errors = tuple(errors)
        self.state = dict(state or {})


class NotFound(ServiceError):
    """No such bar, ticket, drink, build, ingredient or route."""

    status, code = 404, "not-found"


class Conflict(ServiceError):
    """Right in itself, but not in the present state."""

    status, code = 409, "conflict"


class BadRequest(ServiceError):
    """Cannot be read at all."""

    status, code = 400, "unreadable"


class BadTicket(ServiceError):
    """Can be read, and cannot be."""

    status, code = 422, "cannot-be"


class TooLarge(ServiceError):
    """More than a body may hold."""

    status, code = 413, "too-large"


class NotNow(ServiceError):
    """The service cannot take it now and says when to try again."""

    status, code = 503, "not-now"


def problem(
    *,
    status: int,
    code: str,
    detail: str,
    errors: Iterable[Mapping[str, str]] = (),
    state: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Put a problem together; the same shape for every error there is."""
    found: dict[str, Any] = {
        "type": f"urn:threedeep:problem:{code}",
        "title": TITLES.get(status, "That did not work"),
        "status": status,
        "detail": detail,
    }
    if listed := [dict(error) for error in errors]:
        found["errors"] = listed
    if state:
        found["state"] = dict(state)
    return found


def pointer(parts: Iterable[str | int]) -> str:
    """Write a place in a document as a JSON pointer: ``/lines/0/quantity``."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)


def nearest(
    word: str, names: Mapping[str, str], *, limit: int = 3, at_least: float = 60
) -> list[str]:
    """Give the ids whose names come nearest to a word, best first, each once.

    Parameters
    ----------
    word : str
        What came.
    names : mapping of str to str
        Any spelling to the id it stands for.
    limit : int
        How many at most.
    at_least : float
        How near, from 0 to 100 (the same).
    """
    found = process.extract(
        word,
        list(names),
        scorer=fuzz.WRatio,
        processor=utils.default_process,
        limit=limit * 3,
        score_cutoff=at_least,
    )
    return list(dict.fromkeys(names[spelling] for spelling, _, _ in found))[:limit]


def did_you_mean(word: str, names: Iterable[str]) -> str:
    """Say which known names come near, as the end of a sentence; empty when none does."""
    found = nearest(word, {name: name for name in names})
    return f"; did you mean {' or '.join(found)}?" if found else ""
