"""The kernels give the same plans as compiled code and as plain Python."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from solver.baselines import BASELINES, look_ahead
from solver.planner.budget import counted
from solver.search import Search
from solver.timing import Engine
from tests.solver.families import KINDS, small

MOVES = 250


def answers() -> list[list[object]]:
    """What baselines and a short walk give for one snapshot of each family."""
    found: list[list[object]] = []
    for kind in KINDS:
        engine = Engine(small(kind, 9))
        costs = []
        for rule in BASELINES.values():
            laid = engine.lay(rule(engine))
            costs.append(None if laid is None else laid.cost)
        search = Search(engine, look_ahead(engine), seed=4)
        search.run(counted(search, MOVES))
        walked = [[draft.person, *draft.drinks] for draft in search.drafts()]
        drafts = look_ahead(engine)
        put_in = engine.put_in(drafts[1:], drafts[0].drinks, lambda: True) or []
        costs += [draft.person for draft in put_in]
        found.append([kind, *costs, search.cost, search.num_taken, walked])
    return found


def test_plain_python_gives_the_same() -> None:
    """One chunk of moves on every family, in an interpreter in which nothing is compiled."""
    run = subprocess.run(
        [sys.executable, "-m", __name__],
        cwd=Path(__file__).parents[2],
        env=os.environ | {"NUMBA_DISABLE_JIT": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == answers()


if __name__ == "__main__":
    sys.stdout.write(json.dumps(answers()))
