"""A reading profile proposed from sample prints: what varies, what stays, what is known.

Reading order: `samples` (prints as sheets, and the menu's words), `looks` (paper, items), `heads`
(the head's labels: what stays before what changes), `lines` (lines of the head without labels),
`parts` (headings, guests, food, what the house prints), `sayings` (change words), `proposal` (put
together, tried on the samples, and what is not sure said).
"""

from .proposal import Proposal, learn, profile_text

__all__ = ["Proposal", "learn", "profile_text"]
