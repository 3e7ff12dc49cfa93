"""What a plan refuses to be."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.errors import BadValue
from tests.solver.makers import by_hand, hand, reduction_snapshot, snapshot, ticket


def test_a_build_starts_with_its_first_block_and_ends_with_its_last() -> None:
    snap = snapshot(ticket("a", "stout"))
    (build,) = by_hand(snap, hand("ana", "a1", 4)).builds
    # read 3, poured 20, glass 2; settled 105 after the pour, topped 9
    assert (build.start_s, build.end_s) == (4.0, 4 + 23 + 105 + 9)


@pytest.mark.parametrize("changes", [{"drinks": ()}, {"made_s": ()}, {"blocks": ()}])
def test_a_build_has_drinks_made_times_and_blocks(changes: dict[str, Any]) -> None:
    snap = reduction_snapshot([3])
    (build,) = by_hand(snap, hand("ana", "j11")).builds
    with pytest.raises(BadValue, match="a made time for each"):
        replace(build, **changes)


def test_another_format_is_refused() -> None:
    snap = reduction_snapshot([3])
    with pytest.raises(BadValue, match="plan format 1"):
        replace(by_hand(snap, hand("ana", "j11")), format=2)
