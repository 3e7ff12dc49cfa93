"""``threedeep plan --explain``: why together, why now, and what is missing."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from service.cli import main
from service.cli.plan import NAMES as PLANNERS
from service.files import SAMPLES, plan_text, read_snapshot, write_snapshot
from solver.explain import explain
from solver.planner import baseline_plan

if TYPE_CHECKING:
    from pathlib import Path

    from solver.snapshot import Snapshot

SNAPSHOTS = SAMPLES / "snapshots"
SAMPLE_NAMES = ["quiet", "busy", "three-deep", "one-bartender", "flame-night"]


def run(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    code = main(["plan", *(str(arg) for arg in args), "--explain"])
    said = capsys.readouterr()
    return code, said.out, said.err


@pytest.mark.parametrize("name", SAMPLE_NAMES)
@pytest.mark.parametrize("planner", ["by-the-ticket", "look-ahead"])
def test_every_build_is_explained(
    capsys: pytest.CaptureFixture[str], name: str, planner: str
) -> None:
    path = SNAPSHOTS / f"{name}.json"
    code, out, err = run(capsys, path, "--planner", planner)
    assert (code, err) == (0, "")
    plan = baseline_plan(read_snapshot(path), PLANNERS[planner])
    assert out.count(" of hands") == len(plan.builds)
    assert "last for now" in out


def test_its_figures_are_those_of_the_solver(capsys: pytest.CaptureFixture[str]) -> None:
    path = SNAPSHOTS / "three-deep.json"
    code, out, _ = run(capsys, path, "--planner", "look-ahead", "--json")
    found = json.loads(out)
    assert code == 0
    snap = read_snapshot(path)
    plan = baseline_plan(snap, "look-ahead")
    assert found["plan"] == json.loads(plan_text(plan, str(path)))
    whys = explain(snap, plan)
    assert [row["build"] for row in found["why"]] == [one.build for one in whys]
    assert [row["saved_s"] for row in found["why"]] == [one.together.saved_s for one in whys]
    assert [row["before"] for row in found["why"]] == [one.turn.before for one in whys]
    (aside,) = found["to_mend"]
    assert [fact["to_mend"] for fact in aside["facts"]] == ["more sparkling wine"]


def nothing_left(tmp_path: Path) -> tuple[Path, Snapshot]:
    """The quiet evening with everybody off the floor and the first ticket held back."""
    snap = read_snapshot(SNAPSHOTS / "quiet.json")
    first, *rest = snap.tickets
    tickets = (replace(first, is_on_hold=True), *rest)
    snap = replace(snap, people_on=(), in_hand=(), pinned=(), tickets=tickets)
    path = tmp_path / "nothing.json"
    write_snapshot(path, snap)
    return path, snap


def test_where_nothing_can_be_made_it_says_what_is_missing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path, snap = nothing_left(tmp_path)
    code, out, err = run(capsys, path)
    assert code == 1
    assert "nothing can be made now" in err
    station = snap.counter.stations[0].name
    nearest, fact, needs, *_ = out.splitlines()
    assert nearest.startswith("nearest to being made is ")
    assert "ticket 201" not in nearest, "that one is held back as well"
    assert fact.strip() == f"somebody is off the floor: {station}"
    assert needs == f"it needs somebody back at {station}"
    assert f"needs ticket 201 taken off hold, and somebody back at {station}" in out


def test_the_same_as_json(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path, _ = nothing_left(tmp_path)
    code, out, _ = run(capsys, path, "--json")
    found = json.loads(out)
    assert code == 1
    assert [len(row["facts"]) for row in found["to_mend"]][:2] == [2, 1]
    assert found["nearest"] == found["to_mend"][1]["drink"]
