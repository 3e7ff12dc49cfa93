"""A pool of real processes: the same numbers as here, though one dies; gone when told to stop."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from service.rush.pool import Pool, WorkersLost, cores
from solver.rush.replications import InThisProcess, ShouldStop

from .work import drawn, kills_its_worker, kills_its_worker_once, never_ends, refuses

ROOT = Path(__file__).parents[3]
SEEDS = range(12)


def go_on() -> bool:
    return False


def is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return "zombie" not in Path(f"/proc/{pid}/status").read_text(encoding="utf-8")


def wait_until_gone(pids: list[int]) -> bool:
    for _ in range(200):
        if not any(is_alive(pid) for pid in pids):
            return True
        time.sleep(0.05)
    return False


def test_the_same_numbers_as_in_one_process() -> None:
    with Pool(2) as pool:
        found = dict(pool.run(drawn, SEEDS, go_on))
        again = dict(pool.run(drawn, SEEDS, go_on))
    assert found == again == dict(InThisProcess().run(drawn, SEEDS, go_on))


def test_a_worker_dies_and_the_same_numbers_come_out(tmp_path: Path) -> None:
    mark = tmp_path / "died"
    with Pool(2) as pool:
        found = dict(pool.run(kills_its_worker_once, [(seed, str(mark)) for seed in SEEDS], go_on))
    assert mark.exists()
    assert found == dict(InThisProcess().run(drawn, SEEDS, go_on))


def test_workers_that_always_die_are_said() -> None:
    with Pool(1) as pool, pytest.raises(WorkersLost, match="--jobs 1"):
        list(pool.run(kills_its_worker, [1, 2], go_on))


def test_stopping_ends_the_workers_at_once(tmp_path: Path) -> None:
    def is_begun() -> bool:
        return any(tmp_path.iterdir())

    began = time.monotonic()
    with Pool(2) as pool:
        assert list(pool.run(never_ends, [(1, str(tmp_path))], is_begun)) == []
        assert time.monotonic() - began < 30
        assert wait_until_gone([int(path.name) for path in tmp_path.iterdir()])


def test_a_fault_in_a_night_is_raised_here() -> None:
    with Pool(1) as pool, pytest.raises(ValueError, match="7"):
        list(pool.run(refuses, [7], go_on))


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks processes up in /proc")
def test_workers_end_with_a_parent_that_was_killed(tmp_path: Path) -> None:
    said = (
        "from service.rush.pool import Pool\n"
        "from tests.service.rush.work import never_ends\n"
        "if __name__ == '__main__':\n"
        f"    list(Pool(1).run(never_ends, [(1, {str(tmp_path)!r})], lambda: False))\n"
    )
    script = tmp_path.parent / "parent.py"
    script.write_text(said, encoding="utf-8")
    parent = subprocess.Popen([sys.executable, str(script)], cwd=ROOT)
    try:
        for _ in range(600):
            if any(tmp_path.iterdir()):
                break
            time.sleep(0.05)
        pids = [int(path.name) for path in tmp_path.iterdir()]
        assert pids
    finally:
        parent.kill()
        parent.wait(10)
    assert wait_until_gone(pids)


def test_this_machine_has_cores() -> None:
    assert cores() >= 1


def test_told_to_stop_before_it_begins() -> None:
    stop: ShouldStop = lambda: True  # noqa: E731
    with Pool(1) as pool:
        assert list(pool.run(drawn, SEEDS, stop)) == []
