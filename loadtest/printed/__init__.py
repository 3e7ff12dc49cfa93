"""Printed tickets of the invented house, each with what a person would read off the paper.

The bytes come from python-escpos's ``Dummy`` printer, which is not ours; what is printed is
invented here. `FIRST_LAYOUTS` were there while the reader was written; the other sets were held out
until it had been tried on them once. What it read of them then, learned profiles as they were:
72.1% of lines right, 4 things lost and 195 wrong without a mark of `SECOND_LAYOUTS` (900 prints);
after it had been mended, 84.8%, 0 and 138 of `THIRD_LAYOUTS` (600 prints); mended again, 93.3%, 0
and 16 of `FOURTH_LAYOUTS` (1,200 prints, by a stricter score), of which it read 60.4% before; and
once more, 76.2%, 2 and 399 of `FIFTH_LAYOUTS` (1,200 prints), of which it read 57.6% before; and
a last time, 90.0%, 477 (one till of the six, all of it taken for food) and 0 of `SIXTH_LAYOUTS`
(900 prints), of which it read 57.6% before; and, mended, 87.1%, 0 and 14 of `SEVENTH_LAYOUTS` (800
prints; till by till 78.7 to 99.7%); and, mended on these, 69.2%, 0 and 260 of `EIGHTH_LAYOUTS` (400
prints; 88.8, 69.6, 35.6 and 73.7%), of which it read 66.7% before; and, mended on these and on
some tills by the dice, 85.1%, 18 and 27 of `NINTH_LAYOUTS` (400 prints; 86.9, 47.2, 100.0 and
96.1%), of which it read 83.1% before the seventh; and, mended once more, 81.0%, 3 and 0 of
`TENTH_LAYOUTS` (300 prints; 88.4, 98.4 and 57.6%), of which it read 81.7% and lost 306 before the
seventh. Mended on all of them, what it reads now is held by `tests/outside/test_printed.py`.

Everything follows from seeds.
"""

from .eighth import LAYOUTS as EIGHTH_LAYOUTS
from .fifth import LAYOUTS as FIFTH_LAYOUTS
from .first import LAYOUTS as FIRST_LAYOUTS
from .fourth import LAYOUTS as FOURTH_LAYOUTS
from .layout import Layout
from .ninth import LAYOUTS as NINTH_LAYOUTS
from .roll import Roll, samples, tickets
from .second import LAYOUTS as SECOND_LAYOUTS
from .seventh import LAYOUTS as SEVENTH_LAYOUTS
from .sixth import LAYOUTS as SIXTH_LAYOUTS
from .tenth import LAYOUTS as TENTH_LAYOUTS
from .third import LAYOUTS as THIRD_LAYOUTS
from .truth import Drink, Inked, Kind, Print, Role

SETS = (
    *(FIRST_LAYOUTS, SECOND_LAYOUTS, THIRD_LAYOUTS, FOURTH_LAYOUTS, FIFTH_LAYOUTS, SIXTH_LAYOUTS),
    *(SEVENTH_LAYOUTS, EIGHTH_LAYOUTS, NINTH_LAYOUTS, TENTH_LAYOUTS),
)
"""Every set of tills."""

__all__ = [
    "EIGHTH_LAYOUTS",
    "FIFTH_LAYOUTS",
    "FIRST_LAYOUTS",
    "FOURTH_LAYOUTS",
    "NINTH_LAYOUTS",
    "SECOND_LAYOUTS",
    "SETS",
    "SEVENTH_LAYOUTS",
    "SIXTH_LAYOUTS",
    "TENTH_LAYOUTS",
    "THIRD_LAYOUTS",
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
