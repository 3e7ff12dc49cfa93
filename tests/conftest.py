"""What all tests share: the `browser` marker and a page in a real Chromium."""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--no-first-run",
)
HOW_TO_INSTALL = "Debian and Ubuntu: apt-get install chromium"

num_skipped_key = pytest.StashKey[int]()


def find_chromium() -> str | None:
    """Path of the first Chromium on PATH, or None."""
    return next((path for name in CHROMIUM_NAMES if (path := shutil.which(name))), None)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A test that asks for the page is a browser test, marked or not."""
    for item in items:
        if {"chromium_page", "chromium_browser"} & set(getattr(item, "fixturenames", ())):
            item.add_marker("browser")


def pytest_runtest_setup(item: pytest.Item) -> None:
    if item.get_closest_marker("browser") is None or find_chromium() is not None:
        return
    if os.environ.get("CI") == "true":
        pytest.fail(f"No Chromium on PATH, and CI=true needs one. {HOW_TO_INSTALL}", pytrace=False)
    item.config.stash[num_skipped_key] = item.config.stash.get(num_skipped_key, 0) + 1
    pytest.skip(f"no Chromium on PATH ({HOW_TO_INSTALL})")


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    if num_skipped := config.stash.get(num_skipped_key, 0):
        terminalreporter.write_sep("!", red=True)
        terminalreporter.write_line(
            f"{num_skipped} BROWSER CHECKS SKIPPED: NO CHROMIUM FOUND. {HOW_TO_INSTALL.upper()}",
            red=True,
            bold=True,
        )


# Per module, not per session: while Playwright's event loop lives in the main thread, no other
# test could call asyncio.run.
@pytest.fixture(scope="module")
def chromium_browser() -> Iterator[Browser]:
    """One headless Chromium for the tests of a file."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 (only browser tests need it)

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=list(CHROMIUM_FLAGS)
        )
        yield browser
        browser.close()


@pytest.fixture
def chromium_page(chromium_browser: Browser) -> Iterator[Page]:
    """A page with nothing remembered from other tests; it waits at most 10 s for anything."""
    context = chromium_browser.new_context()
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()
