"""The counter page: plain files of our own, and the two routes that serve them."""

from __future__ import annotations

from .pages import mount

__all__ = ["mount"]
