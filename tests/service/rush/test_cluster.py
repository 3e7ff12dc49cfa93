"""A real Dask cluster on this machine: the same numbers though a worker is killed, and a stop."""

from __future__ import annotations

import json
import os
import signal
import socket
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from service.files import SAMPLES
from service.rush.cluster import Cluster, ClusterTrouble
from solver.rush.replications import InThisProcess

from .work import drawn, drawn_slowly, kills_its_worker, never_ends

distributed: Any = pytest.importorskip("distributed")
# Dask's own loop leaves sockets to the garbage collector when a worker was killed.
pytestmark = pytest.mark.filterwarnings(
    "ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"
)
SEEDS = range(40)


def go_on() -> bool:
    return False


@pytest.fixture(scope="module")
def dask() -> Iterator[Any]:
    """Two workers of one thread, each with a nanny that starts it again."""
    root = str(Path(__file__).parents[3])
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = root
    with distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        dashboard_address="127.0.0.1:0",
        silence_logs=50,
    ) as cluster:
        yield cluster
    if before is None:
        del os.environ["PYTHONPATH"]
    else:
        os.environ["PYTHONPATH"] = before


def test_a_killed_worker_and_the_same_numbers_come_out(dask: Any) -> None:
    expected = dict(InThisProcess().run(drawn, SEEDS, go_on))
    with Cluster(dask.scheduler_address) as cluster:
        pids = list(cluster.client.run(os.getpid).values())
        found = {}
        for position, numbers in cluster.run(drawn_slowly, SEEDS, go_on):
            found[position] = numbers
            if len(found) == 5:
                os.kill(pids[0], signal.SIGKILL)
        new_pids = list(cluster.client.run(os.getpid).values())
    assert found == expected
    assert pids[0] not in new_pids


def test_a_stop_reaches_a_night_that_runs(dask: Any, tmp_path: Path) -> None:
    def is_begun() -> bool:
        return any(tmp_path.iterdir())

    with Cluster(dask.scheduler_address) as cluster:
        assert list(cluster.run(never_ends, [(1, str(tmp_path))], is_begun)) == []
        for _ in range(200):
            if (tmp_path / "stopped").exists():
                break
            time.sleep(0.05)
    assert (tmp_path / "stopped").exists()


def test_the_command_says_the_same_on_a_cluster(
    dask: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    scenario = tmp_path / "short.yaml"
    told = {
        "name": "a short night",
        "bar": str(SAMPLES / "bars" / "saltmarch.yaml"),
        "last_orders": "19:30",
        "hard_stop": "20:00",
        "guests": {"drinks_an_hour": [60, 60]},
    }
    scenario.write_text(json.dumps(told), encoding="utf-8")
    words = ["rush", str(scenario), "--nights", "4", "--policy", "by-the-ticket", "--json"]
    said = []
    for where in (["--jobs", "1"], ["--cluster", dask.scheduler_address]):
        assert main([*words, *where]) == 0
        said.append(json.loads(capsys.readouterr().out)["results"])
    assert said[0] == said[1]


def test_workers_that_always_die_are_said(dask: Any) -> None:
    with Cluster(dask.scheduler_address) as cluster, pytest.raises(ClusterTrouble, match="die"):
        list(cluster.run(kills_its_worker, [1], go_on))


def test_nobody_at_the_address(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.rush.cluster.CONNECT_WITHIN_S", 1)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"tcp://127.0.0.1:{probe.getsockname()[1]}"
    with pytest.raises(ClusterTrouble, match="dask scheduler"):
        Cluster(address)


def test_no_workers_at_the_scheduler(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.rush.cluster.WORKERS_WITHIN_S", 1)
    with (
        distributed.LocalCluster(
            n_workers=0, processes=False, dashboard_address="127.0.0.1:0", silence_logs=50
        ) as empty,
        pytest.raises(ClusterTrouble, match="dask worker"),
    ):
        Cluster(empty.scheduler_address)


def test_the_optional_part_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ClusterTrouble, match=r"threedeep\[cluster\]"):
        Cluster("tcp://127.0.0.1:1")
