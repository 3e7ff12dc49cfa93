"""How long it will take is said once, from the first nights, before somebody waits for it."""

from __future__ import annotations

import pytest

from service.rush.lasting import NIGHT_TAKES, USUAL_ROTAS, Lasting, lasting_words
from solver.rush.replications import Progress
from solver.rush.scenario import Policy


class Watch:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.at_s = 0.0

    def __call__(self) -> float:
        return self.at_s


def said(watch: Watch, lasting: Lasting, *, of: int, night_s: float, start_s: float) -> list[str]:
    """What is said at each night, every night as long as the others."""
    found = []
    for done in range(1, of + 1):
        watch.at_s = start_s + done * night_s
        found.append(lasting.words(Progress(done=done, of=of)))
    return found


def test_it_is_said_once_after_the_first_night_of_each_way() -> None:
    watch = Watch()
    lasting = Lasting(
        ways=(Policy.LIVE, Policy.LOOK_AHEAD), nights=10, changes=0, rota_nights=0, clock=watch
    )
    # Starting and compiling took a minute; that is not counted.
    words = said(watch, lasting, of=20, night_s=30.0, start_s=60.0)
    assert words[:2] == ["", ""]
    assert words[2] == "this takes about 8 minutes more: 10 nights by each way of working"
    assert not any(words[3:])


def test_what_comes_after_the_nights_is_counted() -> None:
    watch = Watch()
    lasting = Lasting(ways=(Policy.LIVE,), nights=4, changes=16, rota_nights=4, clock=watch)
    words = said(watch, lasting, of=4, night_s=6.0, start_s=0.0)[1]
    left = 2 + 16 * 4 + USUAL_ROTAS * 4
    assert words.startswith(f"this takes about {lasting_words(6.0 * left)} more: ")
    assert "15 changes on as many" in words
    assert f"some {USUAL_ROTAS} rotas on 4" in words
    # Of a night by both, the planner takes the most, and what comes after is by it alone.
    both = Lasting(
        ways=(Policy.LIVE, Policy.LOOK_AHEAD), nights=4, changes=16, rota_nights=0, clock=watch
    )
    words = said(watch, both, of=8, night_s=30.0, start_s=0.0)[2]
    share = NIGHT_TAKES[Policy.LIVE] / (NIGHT_TAKES[Policy.LIVE] + NIGHT_TAKES[Policy.LOOK_AHEAD])
    assert f"about {lasting_words(60 * (4 - 1.5) + 60 * share * 16 * 4)} more" in words


def test_a_short_run_says_nothing() -> None:
    watch = Watch()
    lasting = Lasting(ways=(Policy.LIVE,), nights=20, changes=0, rota_nights=0, clock=watch)
    assert not any(said(watch, lasting, of=20, night_s=0.3, start_s=0.0))


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(61, "a minute"), (130, "2 minutes"), (725, "10 minutes"), (3300, "55 minutes"),
     (7000, "2 hours"), (30_000, "8 hours")],
)  # fmt: skip
def test_a_time_as_somebody_guesses_it(seconds: float, words: str) -> None:
    assert lasting_words(seconds) == words
