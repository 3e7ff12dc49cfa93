"""What is compiled is compiled from the sources as they are; meanwhile plain Python plans."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import cast

import numpy as np
import pytest

from solver.planner import insert
from solver.search import anneal, chance, moves, search_is_compiled
from solver.timing import among, assemble, lay, score
from solver.timing.arrays import Ints
from solver.timing.compiling import STATE, Entry, compiling_here, entry, inner, state_of_kernels
from solver.verify import verify
from tests.solver.families import KINDS, small

SOLVER = Path(lay.__file__).parents[1]
IS_ALL_PYTHON = bool(os.environ.get("NUMBA_DISABLE_JIT"))


@pytest.mark.parametrize(
    "changed", ["timing/lay.py", "timing/arrays.py", "search/moves.py", "goal.py"]
)
def test_a_change_in_one_file_is_another_state(changed: str, tmp_path: Path) -> None:
    for folder in ("timing", "search"):
        shutil.copytree(
            SOLVER / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__")
        )
    shutil.copy(SOLVER / "goal.py", tmp_path)
    assert state_of_kernels(tmp_path) == STATE
    file = tmp_path / changed
    file.write_text(file.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert state_of_kernels(tmp_path) != STATE


def test_the_cache_of_every_kernel_knows_the_state() -> None:
    """A kernel has others compiled into it; by its own file alone it outlives their changes."""
    kernels = [
        getattr(kernel, "compiled", kernel)
        for module in (among, assemble, lay, score, chance, moves, anneal)
        for kernel in vars(module).values()
    ]
    caches = [kernel._cache for kernel in kernels if hasattr(kernel, "_cache")]
    if not caches:
        pytest.skip("nothing is compiled here")
    assert len(caches) >= 20
    assert {cache._cache_file._source_stamp[0] for cache in caches} == {STATE}


BELOW = 3


@inner
def _clipped(row: Ints, most: int) -> int:
    return int(min(row[0], most))


@entry
def clipped(row: Ints) -> int:
    return _clipped(row, BELOW)


@entry
def clipped_sum(rows: Ints) -> int:
    total = 0
    for i in range(len(rows)):
        total += clipped(rows[i])
    return total


@contextmanager
def another_thread_compiling() -> Iterator[None]:
    begun, over = threading.Event(), threading.Event()

    def compile_slowly() -> None:
        with compiling_here():
            begun.set()
            over.wait()

    thread = threading.Thread(target=compile_slowly)
    thread.start()
    begun.wait()
    try:
        yield
    finally:
        over.set()
        thread.join()


def test_while_another_thread_compiles_kernels_are_plain_python() -> None:
    if IS_ALL_PYTHON:
        pytest.skip("nothing is compiled here")
    kernel = cast("Entry", clipped_sum)
    rows = np.array([[1], [5], [2]], dtype=np.int64)
    with another_thread_compiling():
        assert kernel(rows) == 6
        assert kernel.signatures == []
        with compiling_here():
            assert kernel(rows) == 6
        assert len(kernel.signatures) == 1, "who compiles does not run plain Python"
        assert kernel(rows) == 6
    assert kernel(rows) == 6
    assert len(kernel.signatures) == 1


def plans() -> list[list[object]]:
    """What is planned at once for one snapshot of each family; every plan keeps every rule."""
    found: list[list[object]] = []
    for kind in KINDS:
        snapshot = small(kind, 9)
        plan = insert(snapshot, None, clock=lambda: 0.0)
        again = insert(snapshot, plan, clock=lambda: 0.0)
        assert not verify(snapshot, plan)
        assert not verify(snapshot, again)
        found.append([kind, plan.planner, plan.cost, again.planner, again.cost])
    return found


def test_the_same_is_planned_before_anything_is_compiled(tmp_path: Path) -> None:
    """A fresh interpreter with an empty cache, in which another thread compiles for ever."""
    run = subprocess.run(
        [sys.executable, "-m", __name__],
        cwd=Path(__file__).parents[2],
        env=os.environ | {"NUMBA_CACHE_DIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert json.loads(run.stdout) == plans()
    assert not list(tmp_path.rglob("*.nbc")), "nothing was compiled for it"


if __name__ == "__main__":
    with another_thread_compiling():
        sys.stdout.write(json.dumps(plans()))
        assert IS_ALL_PYTHON or not search_is_compiled()
