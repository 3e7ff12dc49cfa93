"""Printed tickets of the invented house, each with what a person would read off the paper.

The bytes come from python-escpos's ``Dummy`` printer, which is not ours; what is printed is
invented here, before there was a reader. `FIRST_LAYOUTS` were there while the reader was written.

Everything follows from seeds.
"""

from .first import LAYOUTS as FIRST_LAYOUTS
from .layout import Layout
from .roll import Roll, samples, tickets
from .second import LAYOUTS as SECOND_LAYOUTS
from .truth import Drink, Inked, Kind, Print, Role

__all__ = [
    "FIRST_LAYOUTS",
    "SECOND_LAYOUTS",
    "Drink",
    "Inked",
    "Kind",
    "Layout",
    "Print",
    "Role",
    "Roll",
    "samples",
    "tickets",
]
