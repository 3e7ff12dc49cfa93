"""``threedeep prints``: teaches, tries and plays printed tickets.

Each part is a module of this package with an ``add_to`` of its own.
"""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec

from service.cli.common import Commands, command

PARTS = ("learn", "read", "send")
"""In the order of the help."""

CODES = """\
  0  done, and all is well
  1  done, and something was not read; each such line is marked
  2  the command or a file could not be read; what is wrong is said
"""


def add_to(commands: Commands) -> None:
    """Add the command and its parts."""
    parser = command(
        commands,
        "prints",
        short="teach the bar to read what a till prints, and try it",
        long="Teach the bar to read what a till prints, and try it without a till.",
        codes=CODES,
    )
    parts = parser.add_subparsers(title="parts", metavar="PART", required=True)
    for name in PARTS:
        if find_spec(f"{__name__}.{name}") is not None:
            import_module(f"{__name__}.{name}").add_to(parts)
