"""What the README tells an integrator to type is tried: commands, the bar's file, the curl."""

from __future__ import annotations

import json
import re
import shlex
import textwrap
from pathlib import Path

import pytest
import yaml

from service.cli import _parser, main
from service.files import SAMPLES, read_bar
from service.files.schemas import LINE
from service.printing.reading import read_print

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
INTEGRATOR = README.partition("## Ten minutes for an integrator")[2].partition("\n## ")[0]
BLOCK = re.compile(r"(?:^ {4,}\S.*\n(?:^ {4,}.*\n|^\n(?= {4,}\S))*)", re.MULTILINE)
BLOCKS = [textwrap.dedent(block).strip("\n") for block in BLOCK.findall(INTEGRATOR)]
COMMANDS = [
    line
    for block in BLOCKS
    for line in block.replace("\\\n", " ").splitlines()
    if line.startswith("threedeep ")
]
PRINT_SETTINGS = [block for block in BLOCKS if block.startswith("prints:")]


def words_of(command: str, folder: Path) -> list[str]:
    """A command as a shell would give it, with samples from here and all else from a folder."""
    found: list[str] = []
    for word in shlex.split(command)[1:]:
        if word.startswith("sample_tickets/"):
            inside = word.removeprefix("sample_tickets/")
            found += sorted(map(str, SAMPLES.glob(inside)))
        else:
            found.append(str(folder / word) if word.endswith((".yaml", ".jsonl")) else word)
    return found


def test_the_page_has_both_ways_in() -> None:
    assert {command.split()[1] for command in COMMANDS} == {"prints", "serve", "tickets"}
    assert [command.split()[2] for command in COMMANDS if command.split()[1] == "prints"] == [
        *("learn", "read", "send")
    ]
    assert len(PRINT_SETTINGS) == 2


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_one_we_have(command: str, tmp_path: Path) -> None:
    _parser().parse_args(words_of(command, tmp_path))


def test_the_commands_do_what_the_page_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = (SAMPLES / "bars" / "saltmarch.yaml").read_text(encoding="utf-8")
    bar = tmp_path / "my-bar.yaml"
    bar.write_text(house, encoding="utf-8")
    for command in COMMANDS:
        if command.split()[1] == "serve" or " send " in command:
            continue
        assert main(words_of(command, tmp_path)) == 0, capsys.readouterr().err
    for settings in PRINT_SETTINGS:
        bar.write_text(f"{house}\n{settings}\n", encoding="utf-8")
        prints = read_bar(bar).prints
        assert prints is not None
        assert prints.profile is not None
        assert prints.address is not None
        assert prints.address.port == 9100
        for number in (1, 2, 3):
            data = (SAMPLES / "prints" / f"ticket-{number}.bin").read_bytes()
            assert read_print(data, prints.profile).is_sure


def test_an_address_without_senders_is_refused(tmp_path: Path) -> None:
    told = yaml.safe_load(PRINT_SETTINGS[1])["prints"]
    assert told["senders"]
    house = (SAMPLES / "bars" / "saltmarch.yaml").read_text(encoding="utf-8")
    bar = tmp_path / "my-bar.yaml"
    bar.write_text(f"{house}\nprints: {{listen: '{told['listen']}'}}\n", encoding="utf-8")
    with pytest.raises(Exception, match="senders"):
        read_bar(bar)


def test_the_posted_ticket_is_one() -> None:
    (curl,) = [block for block in BLOCKS if block.startswith("curl")]
    words = shlex.split(curl.replace("\\\n", " "))
    ticket = json.loads(words[words.index("-d") + 1])
    assert ticket["channel"] == "bar_top"
    for line in ticket["lines"]:
        LINE.validate_python(line)
    assert any(word.startswith("Idempotency-Key: ") for word in words)
