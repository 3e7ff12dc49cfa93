"""The timing engine: lays blocks on people and equipment, compiled.

Reading order: `arrays`, `compiling`, `share` (what may be one build), `assemble` (its work), `room`
(hands and equipment that are free), `serving`, `place` (one build on the clock), `lay` (a list of
builds), `score` (the goal), `among` (one more build in a list), `in_hand` and `pack` (from a
snapshot), `engine` (what planners call).
"""

from .engine import Draft, Engine, Laid

__all__ = ["Draft", "Engine", "Laid"]
