"""Every error as problem details: ours, a body that does not fit, an unknown route, a fault."""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from functools import lru_cache
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import TypeAdapter
from starlette.exceptions import HTTPException

from service.errors import PROBLEM_JSON, ServiceError, pointer, problem
from service.files.translate import findings_of_rows

from .models import Problem

log = logging.getLogger("threedeep.api")

PROBLEMS: dict[int | str, dict[str, Any]] = {
    "4XX": {
        "description": "What was expected, what came and what to do",
        "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    },
    "5XX": {
        "description": "A fault of ours, or not now",
        "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    },
}
"""Beside every route's own answers."""

CANNOT_PARSE = ("json_invalid", "json_type")
NO_OBJECT = ("model_type", "model_attributes_type", "dict_type")
AN_OBJECT = "a JSON object {…}"
PLACES = {"body": "", "query": "?", "header": "header ", "path": "path "}


def add_handlers(app: FastAPI) -> None:
    """Have every error of an app answered as problem details."""
    app.add_exception_handler(ServiceError, _service_error)
    app.add_exception_handler(RequestValidationError, _does_not_fit)
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(Exception, _fault)


def respond(
    request: Request, found: dict[str, Any], headers: Mapping[str, str] | None = None
) -> Response:
    """Answer with a problem."""
    body = {**found, "instance": request.url.path}
    return JSONResponse(
        body, status_code=found["status"], media_type=PROBLEM_JSON, headers=dict(headers or {})
    )


async def _service_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, ServiceError)  # noqa: S101 (for the types)
    found = problem(
        status=error.status,
        code=error.code,
        detail=error.detail,
        errors=error.errors,
        state=error.state,
    )
    return respond(request, found)


async def _does_not_fit(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)  # noqa: S101 (for the types)
    rows = error.errors()
    if any(row["type"] in CANNOT_PARSE for row in rows):
        detail = (
            "expected a whole JSON document; came one that stops or breaks in the middle: "
            "send it again, whole"
        )
        return respond(request, problem(status=400, code="unreadable", detail=detail))
    if _is_no_json(request, rows):
        came = request.headers.get("content-type", "").partition(";")[0]
        words = f"expected a body of application/json; came {came or 'one that does not say'}"
        detail = f"{words}: send Content-Type: application/json"
        return respond(request, problem(status=415, code="wrong-content-type", detail=detail))
    faults = [_fault_of(request, row, error.body) for row in rows]
    first = faults[0]
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    where = f"{first['path']}: " if first["path"] else ""
    found = problem(
        status=422, code="cannot-be", detail=f"{where}{first['detail']}{more}", errors=faults
    )
    return respond(request, found)


def _is_no_json(request: Request, rows: Sequence[Any]) -> bool:
    """Whether the body was not even read, because nobody said that it is JSON."""
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind == "application/json" or (kind.startswith("application/") and kind.endswith("+json")):
        return False
    return any(tuple(row["loc"]) == ("body",) and row["type"] in NO_OBJECT for row in rows)


def _fault_of(request: Request, row: Mapping[str, Any], body: object) -> dict[str, str]:
    where, *inside = row["loc"]
    is_body = where == "body"
    inside = _within(inside, body) if is_body else inside
    place = PLACES.get(str(where), "") + ".".join(map(str, inside))
    (found,) = findings_of_rows(
        [{**row, "loc": tuple(inside)}],  # type: ignore[typeddict-item]
        _shape_of(request) if is_body else None,
        body if is_body else {},
        named=AN_OBJECT,
    )
    return {"path": pointer(found.at) if is_body else place, "detail": found.words}


def _within(parts: Sequence[str | int], body: object) -> list[str | int]:
    """Give a place in a body without the names of the shapes that it might have had there."""
    found: list[str | int] = []
    here = body
    for number, part in enumerate(parts, 1):
        is_last = number == len(parts)
        if isinstance(here, Mapping) and (part in here or is_last):
            here = here.get(part)
        elif isinstance(here, list) and isinstance(part, int):
            here = here[part] if part < len(here) else None
        else:
            continue
        found.append(part)
    return found


def _shape_of(request: Request) -> TypeAdapter[Any] | None:
    """Give the shape of the body that the route takes."""
    field = getattr(request.scope.get("route"), "body_field", None)
    return None if field is None else _adapter(field.field_info.annotation)


@lru_cache(maxsize=64)
def _adapter(shape: Any) -> TypeAdapter[Any]:  # noqa: ANN401 (a type, or several)
    return TypeAdapter(shape)


async def _http_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # noqa: S101 (for the types)
    words = {
        404: f"there is no {request.url.path} here: see /openapi.json for what can be asked",
        405: f"{request.method} is not a way to ask {request.url.path}",
        400: "expected a body that can be read; came one that cannot: send it again",
    }
    known = words.get(error.status_code)
    found = problem(
        status=error.status_code,
        code={404: "not-found", 405: "wrong-method", 400: "unreadable"}.get(
            error.status_code, HTTPStatus(error.status_code).phrase.lower().replace(" ", "-")
        ),
        detail=known or str(error.detail),
    )
    return respond(request, found, error.headers)


async def _fault(request: Request, error: Exception) -> Response:
    log.error("action=fault path=%s", request.url.path, exc_info=error)
    detail = "a fault of ours; nothing was changed: try again, and tell us if it stays"
    return respond(request, problem(status=500, code="fault", detail=detail))


def problem_schema() -> dict[str, Any]:
    """Give the schema of a problem, for the API's description."""
    return Problem.model_json_schema()
