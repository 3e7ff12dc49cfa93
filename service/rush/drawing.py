"""How pictures of a report look: paper, ink, one colour and one dash a policy, large letters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MultipleLocator

PAPER, INK, SOFT, RULE = "#fbf8f3", "#1d1a16", "#6b645a", "#e3dccf"
ACCENT = "#0072b2"
WIDTH = 11.0
ABOVE, BELOW = 0.15, 0.5
# The colours of Okabe and Ito, dark enough on paper; the dash tells policies apart without them.
COLOURS = {
    "live": "#0072b2",
    "look-ahead": "#c04f00",
    "by the round": "#00785a",
    "by the ticket": "#5b5b5b",
}
DASHES: dict[str, str | tuple[float, Sequence[float]]] = {
    "live": "solid",
    "look-ahead": (0.0, (6.0, 2.0)),
    "by the round": (0.0, (1.5, 1.5)),
    "by the ticket": (0.0, (6.0, 2.0, 1.5, 2.0)),
}
LOOK: dict[Any, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "threedeep",
    "font.family": ["DejaVu Sans"],
    "font.size": 13,
    "axes.edgecolor": RULE,
    "axes.labelcolor": SOFT,
    "axes.titlecolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.spines.left": False,
    "axes.grid": True,
    "axes.grid.axis": "y",
    "axes.axisbelow": True,
    "axes.labelsize": 13,
    "grid.color": RULE,
    "grid.linewidth": 0.9,
    "text.color": INK,
    "xtick.color": SOFT,
    "ytick.color": SOFT,
    "xtick.major.pad": 8,
    "xtick.major.size": 0,
    "ytick.major.size": 0,
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
}
_ID = re.compile(r'(\bid="|url\(#|href="#)([\w.-]+)')


class Drawing:
    """One picture that is drawn, and then its SVG.

    Attributes
    ----------
    axes : Axes
        To draw on.
    """

    def __init__(self, figure: Figure, axes: Axes) -> None:
        self._figure, self.axes = figure, axes
        self.svg = ""

    def close(self, name: str, said: str) -> None:
        """Turn the picture into an SVG that stands in a page beside others.

        Parameters
        ----------
        name : str
            Stands before every id in it, so that two pictures have none in common.
        said : str
            What the picture shows, for whoever does not see it.
        """
        out = StringIO()
        self._figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        body = out.getvalue()
        body = body[body.index("<svg") :]
        body = _ID.sub(rf"\1{name}-\2", body)
        body = re.sub(r'(<svg[^>]*?) width="[^"]*"', r"\1", body, count=1)
        body = re.sub(r'(<svg[^>]*?) height="[^"]*"', r"\1", body, count=1)
        body = re.sub(r"<metadata>.*?</metadata>", "", body, flags=re.DOTALL)
        # The generic family at the end is found on every machine; the letters are as wide.
        body = body.replace("'DejaVu Sans'", "'DejaVu Sans', Verdana, sans-serif")
        self.svg = body.replace("<svg", f'<svg role="img" aria-label="{said}"', 1)


@contextmanager
def drawing(
    height: float, *, name: str, said: str, left: float = 0.9, right: float = 0.3
) -> Iterator[Drawing]:
    """Give something to draw on; its `svg` is there after the block.

    Parameters
    ----------
    height : float
        In inches, at a width of `WIDTH`.
    name, said : str
        As in `Drawing.close`.
    left, right : float
        Inches beside the axes; the same for all pictures of a kind, so that letters are of one
        size throughout a report.
    """
    with mpl.rc_context(LOOK):
        figure = Figure(figsize=(WIDTH, height))
        figure.subplots_adjust(
            left=left / WIDTH,
            right=1 - right / WIDTH,
            bottom=BELOW / height,
            top=1 - ABOVE / height,
        )
        made = Drawing(figure, figure.subplots())
        yield made
        made.close(name, said)


def clock_axis(axes: Axes, clocks: Sequence[str]) -> None:
    """Write full hours under a picture whose x counts quarters of an hour."""
    hours = [n for n, clock in enumerate(clocks) if clock.endswith(":00")]
    axes.set_xticks(hours, [clocks[n] for n in hours])
    axes.set_xlim(-0.5, len(clocks) - 0.5)


def minutes_axis(axes: Axes, most_s: float) -> None:
    """Write minutes beside a picture whose y is in seconds."""
    step = next(step for step in (60, 120, 300, 600, 1800, 36000) if most_s / step <= 8)
    axes.yaxis.set_major_locator(MultipleLocator(step))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _at: f"{value / 60:.0f} min"))
