"""What can go wrong in the solver.

::

    SolverError
    ├── BadValue          a menu, counter, ticket or standard says something that cannot be
    │   └── InvalidSnapshot   the parts are fine, together they are not
    ├── CannotPlan        nothing at all can be made; carries the reasons in the words of the bar
    └── EngineFault       a planner broke its own promise (a fault of ours, never of the bar)

``BadValue`` is also a ``ValueError``, so that a validation library at the edge can
collect it together with its own findings.
"""

from __future__ import annotations

from collections.abc import Sequence


class SolverError(Exception):
    """Base of every error the solver raises."""


class BadValue(SolverError, ValueError):
    """A value that cannot be: says what was expected, what came and what to do.

    Parameters
    ----------
    expected : str
        What would have been right.
    came : object
        What was given instead.
    hint : str
        What to do about it; empty when the first two say it all.
    """

    def __init__(self, expected: str, came: object, hint: str = "") -> None:
        self.expected = expected
        self.came = came
        self.hint = hint
        # All of it as arguments, so that it can be sent to another process and raised there.
        super().__init__(expected, came, hint)

    def __str__(self) -> str:
        message = f"expected {self.expected}; came {self.came!r}"
        return f"{message}; {self.hint}" if self.hint else message


class InvalidSnapshot(BadValue):
    """Parts that are right alone and wrong together, such as a drink on an unknown ticket."""


class CannotPlan(SolverError):
    """Nothing in the snapshot can be made. An answer, not a fault.

    Parameters
    ----------
    reasons : sequence of str
        Each a sentence a bartender would say; never empty.
    """

    def __init__(self, reasons: Sequence[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__(self.reasons)

    def __str__(self) -> str:
        return "nothing can be made now: " + "; ".join(self.reasons)


class EngineFault(SolverError):
    """A planner produced something its own checks refuse."""
