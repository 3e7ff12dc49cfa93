"""The layouts: how one till or another prints a ticket."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from .orders import Order
from .paper import Paper
from .words import Words


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """How one till prints.

    Attributes
    ----------
    name : str
    columns : int
    model : str
        The printer, as python-escpos knows it.
    code_page : str
        What text is written in; empty where the till names none.
    raw_encoding : str
        The encoding of a till that names none.
    words : Words
    write : callable
        Prints a ticket.
    finish : callable
        Ends a print: a cut, a form feed, or only some paper.
    has_food : bool
        Dishes are printed here too.
    is_single : bool
        Every glass has a line of its own.
    """

    name: str
    columns: int
    model: str = "default"
    code_page: str = ""
    raw_encoding: str = ""
    words: Words
    write: Callable[[Paper, Order, Words], None]
    finish: Callable[[Paper], None]
    has_food: bool = True
    is_single: bool = False

    def paper(self) -> Paper:
        """Take a fresh sheet."""
        return Paper(
            columns=self.columns,
            model=self.model,
            code_page=self.code_page,
            raw_encoding=self.raw_encoding,
        )


def by_cut(paper: Paper) -> None:
    """Cut through."""
    paper.cut()


def by_part_cut(paper: Paper) -> None:
    """Cut, but for a bit in the middle."""
    paper.cut(part=True)


def by_form_feed(paper: Paper) -> None:
    """Feed the page out."""
    paper.raw(b"\x0c")


def by_quiet(paper: Paper) -> None:
    """Feed some paper and stop sending."""
    paper.raw(b"\x1bd\x05")
