"""The table of time standards."""

from __future__ import annotations

import pytest

from solver.errors import BadValue
from solver.standards import ROWS, Standard, Standards
from tests.solver.makers import only, standards


def test_seconds_become_deciseconds() -> None:
    table = standards(rinse=4.5)
    assert table["rinse"] == 45
    assert set(table.rows) == set(ROWS)


def test_an_unknown_row_names_the_nearest() -> None:
    rows = dict(only().rows) | {"shak": Standard(seconds=1, source="test")}
    with pytest.raises(BadValue, match="did you mean shake"):
        Standards(rows=rows)


def test_a_missing_row_is_named() -> None:
    rows = {name: row for name, row in only().rows.items() if name != "shake"}
    with pytest.raises(BadValue, match="none for shake"):
        Standards(rows=rows)


@pytest.mark.parametrize(("seconds", "source"), [(-1, "x"), (901, "x"), (1, " ")])
def test_a_row_has_sensible_seconds_and_a_source(seconds: float, source: str) -> None:
    with pytest.raises(BadValue, match="expected"):
        Standard(seconds=seconds, source=source)
