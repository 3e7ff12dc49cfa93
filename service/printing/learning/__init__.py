"""A reading profile proposed from sample prints: what varies, what stays, what is known.

Reading order: `samples` (prints as sheets, and the menu's words), `looks` (paper, items), `parts`
(head, headings, what the house prints), `sayings` (change words), `proposal` (put together, tried
on the samples, and what is not sure said).
"""

from .proposal import Proposal, learn, profile_text

__all__ = ["Proposal", "learn", "profile_text"]
