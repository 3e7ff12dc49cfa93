"""``threedeep prints learn``: proposes a reading profile from sample prints."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

from service.cli.common import Commands, command, counted
from service.files import read_bar
from service.files.documents import BadFile, Fault
from solver.errors import BadValue

from .shown import bytes_of, print_words

LONG = """\
Proposes a reading profile from three sample prints or more, shows what it reads line by line, and
says what it is not sure of. The same samples always give the same profile.

Print three drink tickets that between them have two of something, a change ("no salt"), an allergy
note, and food if your till prints it here; a table and a bar seat. Keep the bytes: most systems can
print into a file, or point the till at this machine and run: nc -l 9100 > one.bin

  threedeep prints learn one.bin two.bin three.bin --bar our-bar.yaml --out our-till.yaml
"""
CODES = """\
  0  a profile was proposed, and it understands every line of the samples
  1  a profile was proposed; something on the samples is not understood yet
  2  nothing could be proposed; what is wrong is said
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands, "learn", short="propose a profile from sample prints", long=LONG, codes=CODES
    )
    parser.add_argument(
        "files", nargs="+", type=Path, metavar="FILE", help="sample prints, as raw bytes"
    )
    parser.add_argument(
        "--bar",
        type=Path,
        metavar="BAR.yaml",
        help="the bar's file: its menu tells drinks from food and ingredients from notes",
    )
    parser.add_argument("--name", default="", help="what the profile is called (the first file's)")
    parser.add_argument(
        "--out", type=Path, metavar="PROFILE.yaml", help="write it here instead of printing it"
    )
    parser.add_argument(
        "--force", action="store_true", help="write over a profile that stands there already"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Learn; 0, or 1 where a line of the samples is not understood."""
    from service.printing.learning import learn, profile_text

    if args.out and args.out.exists() and not args.force:
        said = (
            "expected a place where nothing stands yet; there is a file, and somebody may have "
            "corrected it by hand: name another place with --out, or write over it with --force"
        )
        raise BadFile([Fault(file=str(args.out), line=None, place="", said=said)])
    data = [bytes_of(path) for path in args.files]
    menu = read_bar(args.bar).menu if args.bar else None
    name = args.name or re.sub(r"[\W_\d]+$", "", args.files[0].stem) or "till"
    try:
        proposal = learn(data, name=name, menu=menu)
    except BadValue as error:
        raise BadFile([_few(args.files, error)]) from None
    # The profile alone goes to the output, so that it can be kept with ">".
    to = sys.stdout if args.out else sys.stderr
    for place, read in enumerate(proposal.prints, 1):
        print(print_words(f"sample {place}", read), end="\n\n", file=to)
    if proposal.unsure:
        print("Look at these:", *(f"  ? {one}" for one in proposal.unsure), sep="\n", file=to)
    text = profile_text(proposal)
    if args.out:
        _write(args.out, text)
        said = f"{args.out}: a profile from {counted(len(proposal.prints), 'print')}"
        print(f"{said}; try it with: threedeep prints read FILE --profile {args.out}", file=to)
    else:
        print(text, end="")
    return 0 if all(read.is_sure for read in proposal.prints) else 1


def _few(files: list[Path], error: BadValue) -> Fault:
    said = f"expected {error.expected}; came {error.came}; {error.hint}"
    return Fault(file=", ".join(map(str, files[:3])), line=None, place="", said=said)


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        said = f"it cannot be written ({error.strerror}); name another place with --out"
        raise BadFile([Fault(file=str(path), line=None, place="", said=said)]) from None
