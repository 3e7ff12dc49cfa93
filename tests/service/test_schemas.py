"""Published JSON Schemas: current, and every sample file keeps to them."""

from __future__ import annotations

import json
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from pydantic import ValidationError

import service
from service.cli.schema import schema_texts
from service.files import SAMPLES, plan_text, read_snapshot
from service.files.schemas import (
    BAR_FILE,
    PLAN_FILE,
    PUBLISHED,
    STANDARDS_FILE,
    TICKET_BODY,
    PlanFile,
    json_schema,
)
from solver.baselines import BASELINES
from solver.plan import Plan
from solver.timing import Engine

TICKET: dict[str, Any] = {
    "number": "214",
    "channel": "bar_top",
    "placed_at": "2027-02-12T21:04:10Z",
    "lines": [
        {
            "recipe": "cold-harbour",
            "quantity": 2,
            "changes": [{"leave_out": "egg-white"}],
            "allergies": ["milk"],
        }
    ],
}


def documents() -> list[tuple[str, str, Any]]:
    """Every sample file that a schema speaks of: the schema's name, the file's, the data."""
    bars = sorted((SAMPLES / "bars").glob("*.yaml"))
    rushes = sorted((SAMPLES / "rushes").glob("*.yaml"))
    snapshots = sorted((SAMPLES / "snapshots").glob("*.json"))
    evening = (SAMPLES / "tickets" / "evening.jsonl").read_text(encoding="utf-8").splitlines()
    return [
        *(("bar", p.name, yaml.safe_load(p.read_text(encoding="utf-8"))) for p in bars),
        *(("rush", p.name, yaml.safe_load(p.read_text(encoding="utf-8"))) for p in rushes),
        *(("snapshot", p.name, json.loads(p.read_text(encoding="utf-8"))) for p in snapshots),
        *(("ticket", f"evening.jsonl:{n}", json.loads(row)) for n, row in enumerate(evening, 1)),
    ]


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_a_written_schema_is_current(name: str) -> None:
    path = SAMPLES / "schemas" / f"{name}.schema.json"
    assert path.read_text(encoding="utf-8") == schema_texts()[name], "run: threedeep schema"


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_a_schema_is_a_schema_and_says_what_its_fields_mean(name: str) -> None:
    schema = json_schema(name)
    Draft202012Validator.check_schema(schema)
    for part in (schema, *schema["$defs"].values()):
        assert part.get("description"), part.get("title")
        assert "Attributes" not in part["description"]


def test_every_sample_keeps_to_its_schema() -> None:
    faults = {
        (name, where): [error.message for error in errors]
        for name, where, data in documents()
        if (errors := list(Draft202012Validator(json_schema(name)).iter_errors(data)))
    }
    assert faults == {}
    assert len(documents()) == 2 + 3 + 5 + 40


def test_a_plan_keeps_to_its_schema() -> None:
    snapshot = read_snapshot(SAMPLES / "snapshots" / "busy.json")
    engine = Engine(snapshot)
    text = plan_text(engine.plan(BASELINES["look-ahead"](engine), "look-ahead"), "busy.json")
    Draft202012Validator(json_schema("plan")).validate(json.loads(text))


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_a_schema_refuses_a_key_that_nobody_knows(name: str) -> None:
    plan = {"planner": "look-ahead", "builds": [], "cost": 0}
    data = {kind: data for kind, _, data in documents()} | {"plan": plan}
    validator = Draft202012Validator(json_schema(name))
    assert validator.is_valid(data[name])
    assert not validator.is_valid({**data[name], "something": 1})
    assert not validator.is_valid({})


def test_the_ticket_of_the_documentation_is_one() -> None:
    Draft202012Validator(json_schema("ticket")).validate(TICKET)
    ticket = TICKET_BODY.validate_python(TICKET)
    assert ticket.lines[0].changes[0].words == "no egg-white"


@pytest.mark.parametrize(
    "change",
    [
        {"number": " "},
        {"lines": []},
        {"lines": TICKET["lines"] * 101},
        {"placed_at": "2027-02-12T21:04:10"},
        {"place": "x" * 201},
        {"lines": [{"recipe": "cold-harbour", "qty": 2}]},
        {"lines": [{"recipe": "cold-harbour", "changes": [{"leave_out": "x", "double": True}]}]},
    ],
)
def test_a_ticket_that_cannot_be_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        TICKET_BODY.validate_python({**TICKET, **change})


def test_a_key_that_nobody_knows_is_refused_at_any_depth() -> None:
    path = SAMPLES / "bars" / "own-bar.yaml"
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    data["menu"]["recipes"][3]["pours"][1]["colour"] = "red"
    data["counter"]["flame"]["hot"] = True
    with pytest.raises(ValidationError) as caught:
        BAR_FILE.validate_python(data)
    places = {error["loc"][-1] for error in caught.value.errors()}
    assert places == {"colour", "hot"}


def test_a_table_of_time_standards_is_whole_or_refused() -> None:
    path = SAMPLES / "standards.yaml"
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    STANDARDS_FILE.validate_python(data)
    del data["standards"]["shake"]
    with pytest.raises(ValidationError, match="shake"):
        STANDARDS_FILE.validate_python(data)


def test_a_plan_file_is_a_plan_and_the_name_of_its_snapshot() -> None:
    bare = {"planner": "look-ahead", "builds": [], "cost": 7}
    found = PLAN_FILE.validate_python({**bare, "snapshot_file": "s.json"})
    assert found.plan == Plan(planner="look-ahead", builds=(), cost=7)
    assert PLAN_FILE.validate_python(bare).snapshot_file == ""
    assert [f.name for f in fields(PlanFile)][-1] == "snapshot_file"


def test_the_samples_stand_where_an_installed_package_has_them() -> None:
    assert service.__file__ is not None
    assert Path(service.__file__).parent.parent / "sample_tickets" == SAMPLES
