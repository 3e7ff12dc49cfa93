"""The pour grid: a build as rows of bottles in reaching order and columns of vessels.

`words` says amounts, ice, glasses and changes as a bar says them; `order` puts the bottles in
the order in which they are reached for; `layout` draws the grid.
"""

from .layout import Column, PourGrid, Row, pour_grid
from .order import Part

__all__ = ["Column", "Part", "PourGrid", "Row", "pour_grid"]
