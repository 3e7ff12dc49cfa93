"""The command ``threedeep`` and its parts, one module each.

Every part has ``add_to``, which gives the command its arguments and, under ``run``, what it
does; ``run`` returns the exit code. Heavy imports wait until a command is run.
"""

from __future__ import annotations

import argparse
import os
import sys
import threading
from collections.abc import Sequence
from importlib import import_module, metadata
from importlib.util import find_spec

from service.files.documents import BadFile

COMMANDS = (
    *("demo", "serve", "plan", "verify", "rush", "menu"),
    *("prints", "tickets", "schema"),
)
"""In the order of the help; each is a module of this package."""

WARM_UP = "warm up"
"""The name of the thread that compiles kernels aside, in `service.planning.task`."""

CANNOT_READ = 2
INTERRUPTED = 130

EPILOG = """\
exit codes of every command:
  0    done, and all is well
  1    done, and the answer is no: a rule is broken, or nothing can be made
  2    the command or a file could not be read; what is wrong is said
  130  ended by Ctrl-C
"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code.

    Parameters
    ----------
    argv : sequence of str or None
        Arguments without the command's name; None for those of this process.
    """
    args = _parser().parse_args(argv)
    try:
        code = args.run(args)
    except BadFile as error:
        print(error, file=sys.stderr)
        return CANNOT_READ
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read our output has read enough; without this, Python complains once more at exit.
        sys.stdout = None
        return 0
    if argv is None:
        _cut_off_the_compiler(int(code or 0))
    return int(code or 0)


def _cut_off_the_compiler(code: int) -> None:
    """End the process at once where kernels are still being compiled.

    A compiler that goes on while the interpreter winds down has been seen to abort the process.
    """
    if any(thread.name == WARM_UP for thread in threading.enumerate()):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="threedeep",
        description="When the bar is three deep: what to make next, with what, with what else.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--version", action="version", version=f"threedeep {metadata.version('threedeep')}"
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for name in COMMANDS:
        if find_spec(f"service.cli.{name}") is not None:
            import_module(f"service.cli.{name}").add_to(commands)
    return parser
