"""What the page's files say, read without a browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from service.web import mount

WEB = Path(__file__).parents[2] / "service" / "web"
UPLOT = WEB / "static" / "uplot"
FILES = sorted(
    path
    for path in WEB.rglob("*")
    # The chart library's own files say where they come from; nothing is loaded from there.
    if path.suffix in (".html", ".css", ".js", ".svg") and UPLOT not in path.parents
)


PAGES = (
    "/counter/saltmarch",
    "/manager/saltmarch",
    "/manager/saltmarch/nights",
    "/manager/saltmarch/nights/2027-02-12",
    "/manager/saltmarch/setup",
)


@pytest.fixture
def client() -> TestClient:
    app = FastAPI()
    mount(app)
    return TestClient(app)


def test_a_bar_is_text_in_the_page_whatever_it_is_called(client: TestClient) -> None:
    answer = client.get("/counter/%22%3E%3Cscript%3Ealert(1)")
    assert "<script>alert" not in answer.text
    assert "&quot;&gt;&lt;script&gt;alert(1)" in answer.text


def test_nothing_runs_or_loads_but_our_own_files(client: TestClient) -> None:
    policy = client.get("/counter/saltmarch").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert {
        path.name: re.findall(r"https?://(?!www\.w3\.org/2000/svg)", path.read_text("utf-8"))
        for path in FILES
    } == {path.name: [] for path in FILES}


def test_everything_the_page_names_is_served(client: TestClient) -> None:
    named = []
    for page in PAGES:
        found = re.findall(r'(?:href|src)="(/web/[^"]+)"', client.get(page).text)
        assert found, page
        named += found
    for path in WEB.glob("static/**/*.js"):
        text = path.read_text("utf-8")
        for name in re.findall(r'from "(\.[^"]+)"', text):
            where = (path.parent / name).resolve().relative_to(WEB / "static")
            named.append(f"/web/{where.as_posix()}")
    for where in sorted(set(named)):
        assert client.get(where).status_code == 200, where


@pytest.mark.parametrize("page", ["/manager/saltmarch", "/manager/saltmarch/setup"])
def test_the_managers_pages_run_nothing_but_our_own_files(client: TestClient, page: str) -> None:
    answer = client.get(page)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "style=" not in answer.text


def test_a_bar_is_text_in_the_managers_pages_too(client: TestClient) -> None:
    answer = client.get("/manager/%22%3E%3Cscript%3Ealert(1)")
    assert "<script>alert" not in answer.text


def test_the_chart_library_comes_with_its_licence() -> None:
    assert "MIT License" in (UPLOT / "LICENSE").read_text("utf-8")
    assert "(v1.6.32)" in (UPLOT / "uPlot.min.js").read_text("utf-8")[:80]


def test_the_clock_of_a_page_without_a_floor_is_this_machines(client: TestClient) -> None:
    told = client.get("/counter/saltmarch/clock").json()
    assert told["pace"] == 1
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\dZ", told["now"])
