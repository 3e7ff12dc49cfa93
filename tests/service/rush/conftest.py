"""What tests of workers share."""

from __future__ import annotations

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


@pytest.fixture(autouse=True)
def _workers_find_the_tests(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(ROOT)
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
