"""The commands that work on files: plan, verify, menu, schema."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from service.cli import COMMANDS, main
from service.files import SAMPLES

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
SNAPSHOTS = SAMPLES / "snapshots"
COMMAND = [sys.executable, "-m", "service.cli"]


def run(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    code = main([str(arg) for arg in args])
    said = capsys.readouterr()
    return code, said.out, said.err


def plan_json(capsys: pytest.CaptureFixture[str], name: str) -> Any:
    code, out, _ = run(
        capsys, "plan", SNAPSHOTS / f"{name}.json", "--planner", "look-ahead", "--json"
    )
    assert code == 0
    return json.loads(out)


@pytest.mark.parametrize("command", ["plan", "verify", "menu", "schema"])
def test_help_says_what_it_does_and_its_exit_codes(
    capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert command in COMMANDS
    with pytest.raises(SystemExit) as caught:
        main([command, "--help"])
    out = capsys.readouterr().out
    assert caught.value.code == 0
    assert "exit codes:" in out
    assert "\n  0  " in out


def test_the_help_of_the_whole_names_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    out = capsys.readouterr().out
    assert all(name in out for name in ("plan", "verify", "menu", "schema", "exit codes"))


@pytest.mark.parametrize("name", ["quiet", "busy", "three-deep", "one-bartender", "flame-night"])
@pytest.mark.parametrize("planner", ["by-the-ticket", "by-the-round", "look-ahead"])
def test_a_baseline_of_every_snapshot_is_judged_from_its_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str, planner: str
) -> None:
    snapshot = SNAPSHOTS / f"{name}.json"
    code, out, err = run(capsys, "plan", snapshot, "--planner", planner, "--json")
    assert (code, err) == (0, "")
    path = tmp_path / "plan.json"
    path.write_text(out, encoding="utf-8")
    code, out, err = run(capsys, "verify", snapshot, path, "--json")
    judged = json.loads(out)
    assert (code, err) == (0 if judged["kept"] else 1, "")
    # How bars work today may leave somebody waiting; everything else they keep.
    assert {row["rule"] for row in judged["broken"]} <= {"starving", "overtaking"}


@pytest.mark.parametrize("name", ["quiet", "busy", "three-deep", "one-bartender", "flame-night"])
def test_the_best_plan_of_every_snapshot_keeps_every_rule(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str
) -> None:
    snapshot = SNAPSHOTS / f"{name}.json"
    code, out, err = run(capsys, "plan", snapshot, "--limit-ms", "250", "--json")
    assert (code, err) == (0, "")
    path = tmp_path / "plan.json"
    path.write_text(out, encoding="utf-8")
    assert run(capsys, "verify", snapshot, path)[:1] == (0,)
    look_ahead = plan_json(capsys, name)
    path.write_text(json.dumps(look_ahead), encoding="utf-8")
    if run(capsys, "verify", snapshot, path)[0] == 0:
        assert json.loads(out)["cost"] <= look_ahead["cost"]


def test_a_build_order_is_said_in_the_words_of_the_bar(capsys: pytest.CaptureFixture[str]) -> None:
    path = SNAPSHOTS / "three-deep.json"
    code, out, _ = run(capsys, "plan", path, "--planner", "look-ahead")
    assert code == 0
    assert out.startswith("saltmarch: 39 drinks of 23 rounds in ")
    for words in (
        "service well, at the pass\n",
        "bar top, left\n",
        "[in hand]",
        "set aside\n    glass of sparkling, ticket 217: sparkling wine is 86",
        "hand over ticket",
    ):
        assert words in out
    assert "ruth" not in out, "people are known by their station"


def test_two_commands_in_a_pipe_need_no_second_name() -> None:
    snapshot = SNAPSHOTS / "three-deep.json"
    planned = subprocess.run(
        [*COMMAND, "plan", str(snapshot), "--planner", "look-ahead", "--json"],
        capture_output=True,
        check=True,
        timeout=120,
    )
    for args in ([], [str(snapshot)], [str(snapshot), "-"]):
        judged = subprocess.run(
            [*COMMAND, "verify", *args],
            input=planned.stdout,
            capture_output=True,
            check=False,
            timeout=120,
        )
        assert judged.returncode == 0, judged.stderr
        assert judged.stdout.startswith(b"every rule kept")


def test_a_broken_rule_is_named_with_build_and_drinks(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plan = plan_json(capsys, "busy")
    last = max(plan["builds"], key=lambda build: build["blocks"][0]["start_s"])
    last["made_s"][0] -= 5.0
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path)
    assert code == 1
    assert last["id"] in out
    assert last["drinks"][0] in out
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path, "--json")
    judged = json.loads(out)
    assert (code, judged["kept"]) == (1, False)
    assert {"made", "cost"} & {row["rule"] for row in judged["broken"]}


def test_a_plan_for_another_snapshot_breaks_rules_and_is_no_crash(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan_json(capsys, "quiet")), encoding="utf-8")
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path)
    assert code == 1
    assert "broken rule" in out


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"planner": "x", "builds": [', "stops in the middle"),
        ('{"planner": "x", "builds": []}', "expected cost to be given"),
        ('{"planner": "x", "builds": [], "cost": 1}', "names no snapshot_file"),
        ('{"planner": "x", "builds": [], "cost": 1, "snapshot_file": "no.json"}', "no such file"),
    ],
)
def test_a_plan_that_cannot_be_read_is_exit_2(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, text: str, said: str
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    code, out, err = run(capsys, "verify")
    assert (code, out) == (2, "")
    assert said in err


def test_a_snapshot_in_which_nothing_can_be_made_says_why(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    snapshot = json.loads((SNAPSHOTS / "quiet.json").read_text(encoding="utf-8"))
    snapshot["people_on"] = []
    snapshot["in_hand"] = []
    path = tmp_path / "nobody.json"
    path.write_text(json.dumps(snapshot), encoding="utf-8")
    code, out, err = run(capsys, "plan", path, "--planner", "look-ahead")
    assert (code, out) == (1, "")
    assert "nobody is on the floor" in err


@pytest.mark.parametrize("limit", ["0", "-5", "fast", "1e9", "99999999"])
def test_a_limit_that_is_none_is_refused(capsys: pytest.CaptureFixture[str], limit: str) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["plan", str(SNAPSHOTS / "quiet.json"), f"--limit-ms={limit}"])
    assert caught.value.code == 2
    assert "expected whole milliseconds from 1 to" in capsys.readouterr().err


def test_the_menu_is_printed_with_allergens_and_cautions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, err = run(capsys, "menu", HOUSE)
    assert (code, err) == (0, "")
    assert (
        "Saltmarch House (saltmarch): 47 recipes, 72 ingredients, 3 bartenders at 3 stations" in out
    )
    assert "The Milk Round [milk-round]: shaken long, coupe\n    contains: milk, nuts\n" in out
    assert "caution:  raw egg white: parted one by one" in out
    assert "nobody can promise a guest that there are no traces" in out
    assert "local codes and licensed practice decide" in out


def test_the_menu_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "menu", HOUSE, "--json")
    rows = {row["id"]: row for row in json.loads(out)["recipes"]}
    assert code == 0
    assert rows["hen-and-hearth"]["allergens"] == ["egg", "sulphites"]
    assert rows["crews-tray"]["serves"] == 6


def test_the_starter_bar_is_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "menu", SAMPLES / "bars" / "own-bar.yaml")
    assert (code, err) == (0, "")
    assert "Our Bar (own-bar): 12 recipes" in out


def test_a_bar_with_a_wrong_unit_is_exit_2(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(
        HOUSE.read_text(encoding="utf-8").replace("50 ml", "50 mil", 1), encoding="utf-8"
    )
    code, out, err = run(capsys, "menu", path)
    assert (code, out) == (2, "")
    assert err.startswith(f"{path}, line ")
    assert "did you mean '50 ml'?" in err


def test_tickets_are_held_against_a_menu(capsys: pytest.CaptureFixture[str]) -> None:
    good, bad = SAMPLES / "tickets" / "evening.jsonl", SAMPLES / "tickets" / "bad.jsonl"
    code, out, err = run(capsys, "menu", HOUSE, "--tickets", good)
    assert (code, err) == (0, "")
    assert out.endswith("40 tickets in order\n")
    code, out, err = run(capsys, "menu", HOUSE, "--tickets", bad, "--out", "mezcal")
    assert code == 1
    assert out.endswith("1 ticket in order\n")
    assert len(err.splitlines()) == 11


def test_schemas_are_written_and_checked(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, _, err = run(capsys, "schema", "--check", "--to", tmp_path)
    assert code == 1
    assert "bar.schema.json: not as the code has it" in err
    assert run(capsys, "schema", "--to", tmp_path)[0] == 0
    assert run(capsys, "schema", "--check", "--to", tmp_path)[0] == 0
    assert run(capsys, "schema", "--check")[0] == 0
