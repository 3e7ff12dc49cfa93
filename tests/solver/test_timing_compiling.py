"""What is compiled is compiled from the sources as they are."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from solver.search import anneal, chance, moves
from solver.timing import assemble, lay, score
from solver.timing.compiling import STATE, state_of_kernels

SOLVER = Path(lay.__file__).parents[1]


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
    caches = [
        kernel._cache
        for module in (assemble, lay, score, chance, moves, anneal)
        for kernel in vars(module).values()
        if hasattr(kernel, "_cache")
    ]
    if not caches:
        pytest.skip("nothing is compiled here")
    assert len(caches) >= 20
    assert {cache._cache_file._source_stamp[0] for cache in caches} == {STATE}
