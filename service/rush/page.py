"""The paper of a report: its style, and the few shapes it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from .drawing import ACCENT, INK, PAPER, RULE, SOFT

STYLE = f"""
:root {{ color-scheme: light }}
* {{ box-sizing: border-box }}
body {{ margin: 0; background: {PAPER}; color: {INK};
  font: 19px/1.5 system-ui, "Segoe UI", "Helvetica Neue", "DejaVu Sans", sans-serif }}
main {{ max-width: 1120px; margin: 0 auto; padding: 48px 32px 80px }}
h1, h2, h3 {{ font-family: Georgia, "Iowan Old Style", "DejaVu Serif", serif; font-weight: 600 }}
h1 {{ font-size: 46px; line-height: 1.15; margin: 4px 0 14px; text-wrap: balance }}
section > h2 {{ font-size: 32px; margin: 72px 0 12px; padding-top: 20px;
  border-top: 2px solid {INK} }}
h3 {{ font-size: 22px; margin: 32px 0 8px }}
h3::first-letter, .tile h2::first-letter {{ text-transform: uppercase }}
.where {{ margin: 0; color: {SOFT}; letter-spacing: .02em }}
.lead {{ font-size: 22px; margin: 0 0 20px; max-width: 46em }}
.note, figcaption, footer {{ color: {SOFT}; font-size: 17px; max-width: 52em }}
.against {{ font-size: 21px; margin: 18px 0; max-width: 46em }}
.tiles {{ display: grid; gap: 20px; margin: 28px 0;
  grid-template-columns: repeat(auto-fit, minmax(290px, 1fr)) }}
.tile {{ border-left: 8px solid var(--hue); padding: 4px 0 4px 22px }}
.tile h2 {{ font-size: 24px; margin: 0; color: var(--hue) }}
.tile p {{ margin: 0 }}
.tile .big {{ font-size: 76px; line-height: 1.05; font-weight: 700; letter-spacing: -.02em;
  font-variant-numeric: tabular-nums }}
.tile span, .tile li span {{ color: {SOFT} }}
.tile ul {{ margin: 12px 0 0; padding: 0; list-style: none }}
figure {{ margin: 20px 0 8px }}
svg {{ display: block; width: 100%; height: auto }}
figcaption {{ margin-top: 8px }}
table {{ border-collapse: collapse; width: 100%; margin: 10px 0 6px;
  font-variant-numeric: tabular-nums }}
th, td {{ text-align: right; padding: 7px 10px; border-bottom: 1px solid {RULE};
  vertical-align: top }}
th {{ color: {SOFT}; font-weight: 500; font-size: 17px }}
th:first-child, td:first-child {{ text-align: left; padding-left: 0 }}
table.even {{ table-layout: fixed }}
table.even th:first-child {{ width: 30% }}
td.marked {{ font-weight: 700; color: {ACCENT} }}
footer {{ margin-top: 64px }}
@media (max-width: 700px) {{
  main {{ padding: 28px 16px }} h1 {{ font-size: 32px }} .tile .big {{ font-size: 58px }}
  table {{ display: block; overflow-x: auto }}
  .wide {{ overflow-x: auto }} .wide svg {{ width: 800px }}
  figcaption::before {{ content: "Move the picture sideways. " }}
}}
@media print {{
  body {{ font-size: 12pt }} main {{ max-width: none; padding: 0 }}
  figure, table, .tile {{ break-inside: avoid }}
}}
"""


def section(title: str) -> str:
    """Begin a part of the report."""
    return f"<section><h2>{escape(title)}</h2></section>"


def figure(svg: str, said: str) -> str:
    """Give a picture with its sentence."""
    return (
        f'<figure><div class=wide tabindex=0 role=region aria-label="A picture">{svg}</div>'
        f"<figcaption>{escape(said)}</figcaption></figure>"
    )


def table(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    marked: int | None = None,
    is_even: bool = False,
) -> str:
    """Give a table; one of its columns may stand out.

    Parameters
    ----------
    head : sequence of str
    rows : sequence of sequence of str
    marked : int or None
        Position of the column that stands out.
    is_even : bool
        Whether columns are as wide as those of the table above and below it.
    """
    top = "".join(f'<th scope="col">{escape(name)}</th>' for name in head)
    body = "".join(
        "<tr>"
        + "".join(
            f"<td{' class=marked' if n == marked else ''}>{escape(cell)}</td>"
            for n, cell in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )
    kind = " class=even" if is_even else ""
    return f"<table{kind}><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"
