"""What is said while a rush runs and nobody sees a bar."""

from __future__ import annotations

import pytest

from service.rush.busy import busy_words
from service.rush.progress import Bar
from solver.rush.intervals import Interval
from solver.rush.replications import Progress

from .test_lasting import Watch


def progress(done: int) -> Progress:
    p90 = Interval(mean=500.0, low=None, high=None, nights=done)
    return Progress(done=done, of=40, running={"look-ahead": p90})


def test_a_line_a_minute_where_there_is_no_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    watch = Watch()
    bar = Bar("nights", set(), None, clock=watch)
    for _ in range(50):
        watch.at_s += 1.0
        bar.look()
    assert capsys.readouterr().err == ""
    watch.at_s += 11.0
    bar.look()
    assert capsys.readouterr().err.startswith("Nights: not one is done yet")
    bar(progress(7))
    watch.at_s += 59.0
    bar.look()
    assert capsys.readouterr().err == ""
    watch.at_s += 1.0
    bar(progress(12))
    bar.look()
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("Nights: 12 of 40 done: look-ahead 8:20")


@pytest.mark.parametrize(
    ("load", "cores", "words"),
    [
        (2.9, 2, ""),
        (6.2, 2, "this machine has much else to do (load 6 on 2 cores), so it takes longer"),
        (3.0, 1, "this machine has much else to do (load 3 on one core), so it takes longer"),
        (0.0, 8, ""),
    ],
)
def test_a_busy_machine_is_said(load: float, cores: int, words: str) -> None:
    assert busy_words(load, cores) == words
