"""``threedeep rush``, as it is typed: words, JSON, tables, a report, and every no with its why."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from service.cli import main
from service.files import SAMPLES
from service.rush.targets import check_targets

BAR = SAMPLES / "bars" / "saltmarch.yaml"
RUN = "import sys; from service.cli import main; sys.exit(main())"
SHORT = f"""
name: a short night
bar: {BAR}
doors: "19:00"
last_orders: "19:30"
hard_stop: "20:00"
guests: {{drinks_an_hour: [70, 70]}}
"""
QUICK = ("--policy", "by-the-ticket", "--jobs", "1")


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    path = tmp_path / "short.yaml"
    path.write_text(SHORT, encoding="utf-8")
    return path


def test_words(scenario: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rush", str(scenario), "--nights", "5", *QUICK]) == 0
    said = capsys.readouterr()
    assert "a short night, Saltmarch House: 5 nights, seed 1" in said.out
    assert "nine of ten rounds are done within" in said.out
    assert said.err == ""


def test_policies_are_compared_in_the_order_they_are_named(
    scenario: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["rush", str(scenario), "--nights", "3", "--jobs", "1", "--json"]
    words += ["--policy", "by-the-round", "--policy", "by-the-ticket", "--policy", "by-the-round"]
    assert main(words) == 0
    found = json.loads(capsys.readouterr().out)["results"]
    assert [policy["policy"] for policy in found["policies"]] == ["by the round", "by the ticket"]
    assert [(one["ours"], one["theirs"]) for one in found["compared"]] == [
        ("by the round", "by the ticket")
    ]


def test_the_same_seed_says_the_same(scenario: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for jobs, seed in (("1", "7"), ("2", "7"), ("1", "8")):
        words = ["rush", str(scenario), "--nights", "3", "--policy", "by-the-ticket"]
        assert main([*words, "--jobs", jobs, "--seed", seed, "--json"]) == 0
        said.append(json.loads(capsys.readouterr().out)["results"]["policies"])
    assert said[0] == said[1] != said[2]


def test_until_the_interval_is_narrow(scenario: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["rush", str(scenario), "--nights", "10", "--until-within", "60", *QUICK, "--json"]
    assert main(words) == 0
    found = json.loads(capsys.readouterr().out)["results"]
    p90 = found["policies"][0]["whole"]["p90_s"]
    assert found["ended"] == "the interval is as narrow as asked"
    assert (p90["high"] - p90["low"]) / 2 <= 60
    assert found["nights"] >= 10


def test_time_is_up(scenario: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["rush", str(scenario), "--nights", "2000", "--minutes", "0.03", *QUICK, "--json"]
    assert main(words) == 0
    found = json.loads(capsys.readouterr().out)["results"]
    assert found["ended"] == "the time was up"
    assert 0 < found["nights"] < 2000


def test_everything_at_once(
    scenario: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    html, tables = tmp_path / "night.html", tmp_path / "tables"
    words = ["rush", str(scenario), "--nights", "4", *QUICK, "--what-if", "--prep", "0.8"]
    assert main([*words, "--html", str(html), "--csv", str(tables)]) == 0
    out = capsys.readouterr().out
    assert "What if, worked by the ticket" in out
    assert "To be 80% sure, have ready" in out
    assert html.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert {path.name for path in tables.iterdir()} >= {"figures.csv", "what_if.csv", "prep.csv"}


def test_no_rota_keeps_the_promise(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    crowded = tmp_path / "crowded.yaml"
    crowd = "{at: '19:05', rounds: 60, over_s: 60}"
    told = SHORT.replace("[70, 70]", f"[70, 70], crowds: [{crowd}]")
    crowded.write_text(told, encoding="utf-8")
    assert main(["rush", str(crowded), "--nights", "2", *QUICK, "--rota"]) == 1
    assert "is not kept in every hour" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (["--nights", "0"], "expected 1 to 10000 nights; came 0"),
        (["--seed", "-1"], "expected a whole number from 0"),
        (
            ["--prep", "90"],
            "expected how sure, above 0 and below 1, such as 0.9; came 90; write 0.9 for 90%",
        ),
        (["--until-within", "soon"], "expected a number above 0; came soon"),
        (["--jobs", "0"], "expected 1 to 512 nights at a time; came 0"),
        (["--policy", "luck"], "invalid choice: 'luck'"),
    ],
)
def test_arguments_that_cannot_be(
    scenario: Path, wrong: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["rush", str(scenario), *wrong])
    assert ended.value.code == 2
    assert said in capsys.readouterr().err


def test_a_scenario_that_cannot_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "wrong.yaml"
    path.write_text(SHORT.replace('"19:30"', '"half past"'), encoding="utf-8")
    assert main(["rush", str(path)]) == 2
    assert "half past" in capsys.readouterr().err
    assert main(["rush", str(tmp_path / "none.yaml")]) == 2
    assert "there is no such file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "where", "said"),
    [
        ("--html", "no/such.html", "there is no folder"),
        ("--html", "", "expected a file; this is a folder: name a file in it"),
        ("--csv", "short.yaml", "expected a folder; this is a file"),
        ("--csv", "short.yaml/tables", "expected a folder; this is a file, or goes through one"),
    ],
)
def test_what_cannot_be_written_is_said_before_the_first_night(
    scenario: Path, option: str, where: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    # So many nights would take hours.
    words = ["rush", str(scenario), "--nights", "10000", *QUICK]
    assert main([*words, option, str(scenario.parent / where)]) == 2
    told = capsys.readouterr()
    assert said in told.err
    assert "Errno" not in told.err
    assert told.out == ""


def test_looking_at_a_target_leaves_nothing_behind(tmp_path: Path) -> None:
    (tmp_path / "there.html").write_text("kept", encoding="utf-8")
    check_targets(tmp_path / "there.html", tmp_path / "new" / "tables")
    check_targets(tmp_path / "not-yet.html", None)
    # A report in the folder of the tables, which is made first.
    check_targets(tmp_path / "all" / "rush.html", tmp_path / "all")
    assert (tmp_path / "there.html").read_text(encoding="utf-8") == "kept"
    assert list((tmp_path / "new" / "tables").iterdir()) == []
    assert not (tmp_path / "not-yet.html").exists()


def test_a_cluster_where_nobody_answers(
    scenario: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert main(["rush", str(scenario), "--cluster", "tcp://127.0.0.1:1"]) == 2
    assert "threedeep[cluster]" in capsys.readouterr().err


def test_help_says_what_is_typed_and_what_comes_back(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["rush", "--help"])
    said = capsys.readouterr().out
    for word in ("--what-if", "--rota", "--prep", "--until-within", "exit codes:", "chance"):
        assert word in said


def test_ctrl_c_gives_what_the_whole_nights_say(
    scenario: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["rush", str(scenario), "--nights", "5000", *QUICK]
    # Nights run in this process and take a tenth of a second: some are whole by then.
    press = threading.Timer(4.0, os.kill, (os.getpid(), signal.SIGINT))
    press.start()
    try:
        assert main(words) == 130
    finally:
        press.cancel()
    assert "(cancelled)" in capsys.readouterr().out


def test_the_installed_command_and_ctrl_c_to_its_workers(scenario: Path) -> None:
    words = ["rush", str(scenario), "--nights", "5000", "--policy", "by-the-ticket", "--jobs", "2"]
    child = subprocess.Popen(
        [sys.executable, "-c", RUN, *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    time.sleep(5)
    # As a terminal does: to every process of the group, wherever it stands.
    os.killpg(child.pid, signal.SIGINT)
    _, err = child.communicate(timeout=60)
    assert child.returncode == 130, err
    assert "Traceback" not in err
