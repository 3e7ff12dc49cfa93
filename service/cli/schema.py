"""``threedeep schema``: writes the JSON Schemas of documents."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from service.files import SAMPLES
from service.files.schemas import PUBLISHED, json_schema

from .common import Commands, command

CODES = """\
  0  written; with --check, all of them are current
  1  with --check, one is missing or differs
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "schema",
        short="write the JSON Schemas of bars, tickets, snapshots, plans and rushes",
        long=(
            "Writes the JSON Schemas of bars, tickets, snapshots, plans and rushes, as the code "
            "has them."
        ),
        codes=CODES,
    )
    parser.add_argument(
        "--to", type=Path, default=SAMPLES / "schemas", metavar="FOLDER", help="where (the samples)"
    )
    parser.add_argument("--check", action="store_true", help="write nothing, say what differs")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Write or compare; 1 where something differs."""
    differs = 0
    for name, text in schema_texts().items():
        path = args.to / f"{name}.schema.json"
        if args.check:
            if not path.is_file() or path.read_text(encoding="utf-8") != text:
                print(f"{path}: not as the code has it; run threedeep schema", file=sys.stderr)
                differs = 1
            continue
        args.to.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        print(path)
    return differs


def schema_texts() -> dict[str, str]:
    """Give the text of every schema file by the name of its document."""
    return {
        name: json.dumps(json_schema(name), ensure_ascii=False, indent=1) + "\n"
        for name in PUBLISHED
    }
