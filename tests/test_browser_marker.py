"""The `browser` marker: a real page where Chromium is, loud words where it is not."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.conftest import find_chromium

if TYPE_CHECKING:
    from playwright.sync_api import Page

ROOT = Path(__file__).resolve().parent.parent


def test_a_page_comes_alive(chromium_page: Page) -> None:
    chromium_page.set_content("<p></p><script>document.querySelector('p').append(6 * 7)</script>")
    assert chromium_page.inner_text("p") == "42"


@pytest.mark.parametrize(
    ("ci", "closing"),
    [
        ("", "2 BROWSER CHECKS SKIPPED: NO CHROMIUM FOUND"),
        ("true", "1 passed, 2 errors"),
    ],
)
def test_a_missing_browser_is_not_passed_over(tmp_path: Path, ci: str, closing: str) -> None:
    (tmp_path / "test_three.py").write_text(
        "import pytest\n"
        "def test_plain(): pass\n"
        "@pytest.mark.browser\n"
        "def test_marked(): pass\n"
        "def test_with_page(chromium_page): pass\n",
        encoding="utf-8",
    )
    # An empty folder as PATH: no browser can be found there.
    ran = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-p", "tests.conftest", "-p", "no:cacheprovider"),
            *("-c", ROOT / "pyproject.toml", "--rootdir", tmp_path, tmp_path),
        ],
        cwd=ROOT,
        env={"PATH": str(tmp_path), "CI": ci, "PYTHONPATH": str(ROOT)},
        check=False,
        capture_output=True,
        text=True,
    )
    assert closing in ran.stdout, ran.stdout + ran.stderr
    assert ran.returncode == (1 if ci else 0)


def test_chromium_is_looked_for_on_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert find_chromium() is None
    browser = tmp_path / "google-chrome"
    browser.touch(mode=0o755)
    assert find_chromium() == str(browser)
