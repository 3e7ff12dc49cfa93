"""The API's description is valid, current, and true: every route asked for its error shape.

Outside checks: openapi-spec-validator (OpenAPI 3.1) and schemathesis, which makes requests from
the description and holds the answers against it.
"""

from __future__ import annotations

import re
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from service.app import create_app
from service.errors import PROBLEM_JSON
from service.settings import Settings
from tests.service.conftest import BAR, HandClock
from tests.service.process import serve

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tests.service.conftest import Served

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
    unsupported_method,
]
EXAMPLES = 8
METHODS = ("get", "put", "post", "delete", "patch")


def description() -> dict[str, Any]:
    return create_app(Settings(), HandClock()).openapi()


def routes() -> Iterator[tuple[str, str]]:
    for path, item in description()["paths"].items():
        for method in item:
            if method in METHODS:
                yield method.upper(), path


def filled(path: str, bar: str) -> str:
    return re.sub(r"{\w+}", "nothing-of-that-name", path.replace("{bar}", bar))


def test_the_description_is_valid_openapi_3_1() -> None:
    found = description()
    assert found["openapi"].startswith("3.1")
    OpenAPIV31SpecValidator(found).validate()


def test_every_route_of_the_contract_is_there() -> None:
    bar = "/v1/bars/{bar}"
    wanted = {
        *(
            ("POST", f"{bar}/tickets"),
            ("GET", f"{bar}/tickets"),
            ("GET", f"{bar}/tickets/{{ticket}}"),
        ),
        *(("GET", f"{bar}/build-order"), ("GET", f"{bar}/build-order/stream")),
        *(("POST", f"{bar}/builds/{{build}}/{tap}") for tap in ("start", "made", "put-back")),
        *(
            ("POST", f"{bar}/drinks/{{drink}}/{tap}")
            for tap in ("void", "remake", "gone", "already-made")
        ),
        *(("POST", f"{bar}/tickets/{{ticket}}/{tap}") for tap in ("gone", "void", "lines", "hold")),
        *(("POST", f"{bar}/caught-up"), ("POST", f"{bar}/undo"), ("POST", f"{bar}/events")),
        *(("PUT", f"{bar}/stock/{{ingredient}}"), ("GET", f"{bar}/stock"), ("PUT", bar)),
        *((method, f"{bar}/{part}") for part in ("menu", "counter") for method in ("GET", "PUT")),
        *(("GET", f"{bar}/unread"), ("POST", f"{bar}/unread/{{line}}/resolve")),
        *(("POST", f"{bar}/rushes"), ("GET", f"{bar}/rushes"), ("GET", "/v1/rushes/{rush}")),
        *(
            ("DELETE", "/v1/rushes/{rush}"),
            ("GET", f"{bar}/nights"),
            ("GET", f"{bar}/nights/{{day}}"),
        ),
        *((method, f"{bar}/setup/{{part}}") for method in ("GET", "PUT")),
        *(("GET", path) for path in ("/healthz", "/readyz", "/metrics", "/v1/bars")),
    }
    assert wanted <= set(routes())


@pytest.mark.anyio
async def test_every_error_has_one_shape(served: Served) -> None:
    asked = 0
    for method, path in routes():
        if "{bar}" not in path:
            continue
        for bar in ("no-such-bar", BAR):
            url = filled(path, bar)
            if url == path.replace("{bar}", BAR) and method == "GET":
                continue
            if (method, path) == ("PUT", "/v1/bars/{bar}") or url.endswith("/stream"):
                continue
            answer = await served.client.request(method, url, json={"reason": "x", "to": {}})
            if answer.status_code < 400 and bar == BAR:
                continue
            asked += 1
            shape(answer, method, url)
            assert bar == BAR or answer.status_code in (404, 422, 400), answer.text
    assert asked > 30


def shape(answer: Any, method: str, url: str) -> None:
    where = f"{method} {url}: {answer.status_code} {answer.text[:200]}"
    assert answer.headers["content-type"] == PROBLEM_JSON, where
    found = answer.json()
    assert found["status"] == answer.status_code >= 400, where
    assert found["type"].startswith("urn:threedeep:problem:"), where
    assert found["title"], where
    assert len(found["detail"]) > 10, where
    assert found["instance"] == url.partition("?")[0], where


@pytest.mark.anyio
async def test_errors_before_any_route_have_that_shape_too(served: Served) -> None:
    for method, url, status in (
        ("GET", "/nothing/here", 404),
        ("GET", "/v1/bars/saltmarch/tickets/", 404),
        ("DELETE", "/v1/bars/saltmarch/tickets", 405),
        ("PATCH", "/healthz", 405),
        ("GET", "/v1/bars/saltmarch/build-order?wait_s=1e9", 422),
        ("GET", "/v1/bars/saltmarch/tickets?limit=0", 422),
    ):
        answer = await served.client.request(method, url)
        assert answer.status_code == status, (url, answer.text)
        shape(answer, method, url)


@pytest.mark.anyio
async def test_a_fault_of_ours_has_that_shape_too(served: Served) -> None:
    await served.floor.close()
    # With the store gone, a tap cannot be kept, and is not answered as if it were.
    answer = await served.post(
        "/tickets",
        {"number": "1", "channel": "floor", "lines": [{"recipe": "lager-pint"}]},
        **{"Idempotency-Key": "a"},
    )
    assert answer.status_code == 500
    shape(answer, "POST", f"/v1/bars/{BAR}/tickets")
    assert "nothing was changed" in answer.json()["detail"]


def test_requests_made_from_the_description(tmp_path: Path) -> None:
    """Every route but the stream, with bodies that fit the description and bodies that do not."""
    asked = 0
    with serve(tmp_path) as process:
        ticket = {"number": "1", "channel": "floor", "lines": [{"recipe": "cold-harbour"}]}
        url = f"{process.url}/v1/bars/{BAR}/tickets"
        httpx.post(url, json=ticket, headers={"Idempotency-Key": "first"}).raise_for_status()
        schema = schemathesis.openapi.from_url(f"{process.url}/openapi.json")
        for result in schema.get_all_operations():
            assert isinstance(result, Ok)
            operation = result.ok()
            if operation.path.endswith("/stream"):
                continue
            for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):

                @given(case=operation.as_strategy(generation_mode=mode))
                @settings(
                    max_examples=EXAMPLES,
                    derandomize=True,
                    database=None,
                    deadline=None,
                    phases=[Phase.generate],
                    suppress_health_check=list(HealthCheck),
                )
                def ask(case: schemathesis.Case[Any]) -> None:
                    nonlocal asked
                    asked += 1
                    if "bar" in (case.path_parameters or {}) and asked % 4:
                        case.path_parameters["bar"] = BAR
                    case.query.pop("wait_s", None)
                    case.call_and_validate(checks=CHECKS, timeout=10)

                with suppress(Unsatisfiable):  # no request to this route can be wrong
                    ask()
        assert "Traceback" not in process.said()
    assert asked > 200
