"""``threedeep prints read``: reads prints with a profile and shows every line."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path

from service.cli.common import Commands, command, counted
from service.files import read_bar
from service.files.on_disk import read_profile

from .shown import bytes_of, doubts_of, print_json, print_words

LONG = """\
Reads prints with a reading profile and shows, line by line, what each is taken for, and what the
bar would get of it. Nothing is sent anywhere. Card and guest data are blacked out.

  threedeep prints read sample_tickets/prints/*.bin --profile sample_tickets/prints/saltmarch.yaml
"""
CODES = """\
  0  everything on the prints was understood
  1  something was not; each such line or print is marked with a ?
  2  a file could not be read; what is wrong is said
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands, "read", short="read prints with a profile, line by line", long=LONG, codes=CODES
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="prints, as raw bytes")
    parser.add_argument(
        "--profile",
        required=True,
        type=Path,
        metavar="PROFILE.yaml",
        help="how the till prints; threedeep prints learn proposes one",
    )
    parser.add_argument(
        "--bar", type=Path, metavar="BAR.yaml", help="the bar's file, to know its drinks"
    )
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Read; 0, or 1 where something was not understood."""
    from service.printing.learning.samples import known_of, prints_in
    from service.printing.prints import Print, PrintKind
    from service.printing.reading import read_print

    profile = read_profile(args.profile)
    known = known_of(read_bar(args.bar).menu) if args.bar else None
    files = [(path, bytes_of(path)) for path in args.files]

    def found() -> Iterator[tuple[str, Print]]:
        for path, data in files:
            prints = prints_in([data], profile.paper)
            for place, row in enumerate(prints, 1):
                title = f"{path}" if len(prints) == 1 else f"{path}, print {place}"
                yield (
                    title,
                    read_print(
                        row.data,
                        profile,
                        begins_with=row.begins_with,
                        is_name=known.is_name if known else None,
                    ),
                )

    read = list(found())
    lost = (PrintKind.PICTURE, PrintKind.UNKNOWN)
    num_lost = sum(one.kind in lost for _, one in read)
    num_unsure = sum(not one.is_sure for _, one in read if one.kind not in lost)
    if args.json:
        rows = [print_json(title, one) for title, one in read]
        counts = {"unsure": num_unsure, "not_read": num_lost}
        print(json.dumps({"prints": rows, **counts}, ensure_ascii=False, indent=1))
        return 1 if num_unsure or num_lost else 0
    for title, one in read:
        print(print_words(title, one), end="\n\n")
    said = f"{counted(len(read) - num_lost, 'print')} read, "
    num_doubts = sum(1 for _, one in read for _ in doubts_of(one))
    said += f"{counted(num_doubts, 'thing')} not sure" if num_unsure else "all sure"
    if num_lost:
        said += f"; {counted(num_lost, 'print')} that nobody can read, marked with a ?"
    print(said)
    return 1 if num_unsure or num_lost else 0
