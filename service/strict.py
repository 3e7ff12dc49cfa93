"""How strictly documents are read: a key that nobody knows is refused everywhere."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field

STRICT = ConfigDict(extra="forbid", allow_inf_nan=False)
LONGEST_TEXT = 200

Text = Annotated[str, Field(max_length=LONGEST_TEXT)]
