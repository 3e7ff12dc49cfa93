"""Small parts by themselves: identities, expected times, errors, reading lines, spoken steps."""

from __future__ import annotations

import subprocess
import sys
import uuid
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from service.api.models import utc_text
from service.clock import SystemClock
from service.errors import did_you_mean, nearest, pointer
from service.night.ids import new_id, new_uuid
from service.order.spoken import spoken
from service.planning.expected import expected_at, margin_s, whole_minutes
from service.reading import quantity_fault, read_line, said
from solver.work import Step, StepKind

if TYPE_CHECKING:
    from service.files.bars import Bar

NOW = datetime(2027, 2, 12, 21, 0, tzinfo=UTC)


def test_identities_are_uuid_7_and_sort_by_time() -> None:
    """Outside check: RFC 9562 sections 4.1, 4.2 and 5.7 (variant, version, milliseconds)."""
    ids = [new_uuid(NOW + timedelta(milliseconds=n)) for n in range(50)]
    assert all((found.version, found.variant) == (7, uuid.RFC_4122) for found in ids)
    assert sorted(ids) == ids
    assert ids[0].int >> 80 == int(NOW.timestamp() * 1000)
    assert new_id("t", NOW) != new_id("t", NOW)


def test_an_expected_time_has_a_margin_that_grows_with_its_root() -> None:
    assert margin_s(0) == margin_s(-5) == 0
    assert margin_s(60) == pytest.approx(0.84 * 0.25 * 60)
    assert margin_s(240) == pytest.approx(2 * margin_s(60))
    at = expected_at(NOW, 60)
    assert at == NOW + timedelta(seconds=73)
    assert at.microsecond == 0


@pytest.mark.parametrize(("seconds", "minutes"), [(-40, 1), (0, 1), (60, 1), (61, 2), (599, 10)])
def test_people_are_told_whole_minutes(seconds: int, minutes: int) -> None:
    assert whole_minutes(NOW, NOW + timedelta(seconds=seconds)) == minutes


def test_times_are_written_in_tenths_of_utc() -> None:
    assert utc_text(NOW + timedelta(microseconds=380_000)) == "2027-02-12T21:00:00.3Z"


def test_the_system_clock_is_aware_and_goes_on() -> None:
    clock = SystemClock()
    assert clock.now().utcoffset() == timedelta(0)
    assert clock.monotonic() <= clock.monotonic()


def test_pointers_are_json_pointers() -> None:
    """Outside check: RFC 6901 section 3."""
    assert pointer(("lines", 0, "a/b~c")) == "/lines/0/a~1b~0c"
    assert pointer(()) == ""


def test_the_nearest_names_come_once_each() -> None:
    names = {"cold harbour": "cold-harbour", "cold-harbour": "cold-harbour", "slate": "slate-roof"}
    assert nearest("cold harbor", names) == ["cold-harbour"]
    assert did_you_mean("xyzzy", names) == ""


@pytest.mark.parametrize("quantity", [1, 60])
def test_quantities_that_can_be(quantity: int) -> None:
    assert quantity_fault(quantity) == ""


@pytest.mark.parametrize(
    ("raw", "reason"),
    [
        ({"recipe": "nothing"}, "expected a recipe of the menu; came 'nothing'"),
        ({"recipe": 5}, "recipe: "),
        ({"spirit": "gin", "mixer": "mud"}, "expected a mixer of the menu; came 'mud'"),
        ({"spirit": "tonic"}, "expected a spirit of the menu; came 'tonic'"),
        ({}, "a recipe or a spirit, one of the two"),
        ({"recipe": "cold-harbour", "measure": "triple"}, "measure: "),
        ({"recipe": "cold-harbour", "size": "large"}, "size: "),
        ({"recipe": "cold-harbour", "changes": [{}]}, "change 1: expected exactly one of"),
    ],
)
def test_a_line_that_cannot_be_read_says_why(
    saltmarch: Bar, raw: dict[str, Any], reason: str
) -> None:
    found = read_line(saltmarch.menu, "l", raw, 1)
    assert found.line is None
    assert found.is_unread
    assert reason in found.unread
    assert found.raw == raw


def test_nothing_written_is_nothing_meant(saltmarch: Bar) -> None:
    raw = {"recipe": "Cold Harbour", "note": "", "mixer": None, "changes": None}
    found = read_line(saltmarch.menu, "l", raw, 2)
    assert found.line is not None
    assert (found.line.recipe, found.line.quantity) == ("cold-harbour", 2)


def test_an_unread_line_is_said_in_one_line() -> None:
    assert said({"recipe": "cold harbor", "quantity": 2}) == "cold harbor"
    assert said({"spirit": "gin", "mixer": "mud"}) == "gin and mud"


def test_steps_are_said_once_with_their_count() -> None:
    steps = [
        Step(kind=StepKind.READ, ds=20),
        Step(kind=StepKind.MEASURE, ds=10, what="Sour"),
        Step(kind=StepKind.STRAIN, ds=10, what="Sour"),
        Step(kind=StepKind.STRAIN, ds=10, what="Sour"),
    ]
    assert spoken(steps) == ("measure Sour", "finish Sour (2 times)")


def test_the_service_starts_without_waiting_for_the_planner() -> None:
    code = (
        "import sys, service.app\nprint(sorted({'numba', 'ortools', 'numpy'} & set(sys.modules)))"
    )
    said = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout
    assert said == "[]\n"
