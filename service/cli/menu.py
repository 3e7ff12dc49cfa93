"""``threedeep menu``: checks a bar's file and prints its menu with allergens and cautions."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from service.clock import SystemClock
from service.files import read_bar
from service.files.bars import Bar, near, warnings_of
from service.files.documents import BadFile, Fault
from service.files.tickets import check_tickets, read_tickets
from solver.menu import Kind, Mix, Recipe, recipe_mix

from .common import Commands, command, counted

HONEST = (
    "Allergens are computed from the ingredients as the file names them (EU 1169/2011, Annex II);\n"
    "the label of each bottle counts, and nobody can promise a guest that there are no traces.\n"
    "Cautions are the usual ones: local codes and licensed practice decide."
)
CODES = """\
  0  the bar is in order (a warning may be printed)
  1  the bar is in order, and some of the tickets could not be taken as they are
  2  the bar's file cannot be used; every fault is said with its line
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "menu",
        short="check a bar's file and print its menu with allergens and cautions",
        long=__doc__.partition(": ")[2].capitalize()
        + "\n\nBegin your own bar from a copy of sample_tickets/bars/own-bar.yaml.",
        codes=CODES,
    )
    parser.add_argument("bar", type=Path, metavar="BAR.yaml", help="the bar's file")
    parser.add_argument(
        "--tickets",
        type=Path,
        metavar="TICKETS.jsonl",
        help="also hold these tickets, one JSON document a line, against the menu",
    )
    parser.add_argument(
        "--out",
        action="append",
        default=[],
        metavar="INGREDIENT",
        help="take this to be 86; repeatable",
    )
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print the menu; 0, or 1 where tickets cannot be taken as they are."""
    bar = read_bar(args.bar)
    unknown = [name for name in args.out if name not in bar.menu.by_ingredient]
    if unknown:
        raise BadFile(_not_an_ingredient(bar, name) for name in unknown)
    for warning in warnings_of(bar.counter, bar.menu):
        print(f"{args.bar}: worth knowing: {warning.words}", file=sys.stderr)
    tickets = read_tickets(args.tickets) if args.tickets else None
    faults: tuple[Fault, ...] = ()
    if tickets:
        faults = check_tickets(tickets, bar.menu, now=SystemClock().now(), out=args.out)
    if args.json:
        rows = [_row(bar, recipe) for recipe in bar.menu.recipes]
        said = {"tickets": [str(fault) for fault in faults]} if tickets else {}
        print(json.dumps({"bar": bar.id, "recipes": rows, **said}, ensure_ascii=False, indent=1))
    else:
        print(_menu_words(bar))
        if tickets:
            good = len({row.line for row in tickets.rows} - {fault.line for fault in faults})
            print(f"\n{args.tickets}: {counted(good, 'ticket')} in order")
    for fault in faults if not args.json else ():
        print(fault, file=sys.stderr)
    return 1 if faults else 0


def _not_an_ingredient(bar: Bar, name: str) -> Fault:
    hint = near(name, bar.menu.by_ingredient) or "write an id from the file's ingredients"
    said = f"expected an ingredient of the menu; came '{name}'; {hint}"
    return Fault(file="--out", line=None, place="", said=said)


def cautions_of(recipe: Recipe, mix: Mix) -> tuple[str, ...]:
    """Give what has to be said with a drink: computed cautions, then the house's own words."""
    computed = []
    if mix.has_raw_egg:
        computed.append("raw egg")
    if mix.has_flame:
        computed.append("flame")
    # The house says it in more words already.
    said = [word for word in computed if not any(own.startswith(word) for own in recipe.cautions)]
    return (*said, *recipe.cautions)


def _row(bar: Bar, recipe: Recipe) -> dict[str, Any]:
    mix = recipe_mix(bar.menu, recipe)
    return {
        "id": recipe.id,
        "name": recipe.name,
        "method": recipe.method.value,
        "glass": bar.counter.by_glass[recipe.glass].name,
        "serves": recipe.serves,
        "liquid_ml": mix.liquid_ml,
        "allergens": list(mix.allergens),
        "cautions": list(cautions_of(recipe, mix)),
    }


def _menu_words(bar: Bar) -> str:
    counter, menu = bar.counter, bar.menu
    lines = [
        f"{bar.name} ({bar.id}): {counted(len(menu.recipes), 'recipe')},"
        f" {counted(len(menu.ingredients), 'ingredient')},"
        f" {counted(len(counter.people), 'bartender')}"
        f" at {counted(len(counter.stations), 'station')}",
        "",
    ]
    for recipe in menu.recipes:
        mix = recipe_mix(menu, recipe)
        glass = counter.by_glass[recipe.glass].name
        serves = f", serves {recipe.serves}" if recipe.serves > 1 else ""
        method = recipe.method.value.replace("_", " ")
        lines.append(f"{recipe.name} [{recipe.id}]: {method}, {glass}{serves}")
        lines.append(f"    contains: {', '.join(mix.allergens) or 'none of the fourteen'}")
        lines += [f"    caution:  {words}" for words in cautions_of(recipe, mix)]
    lines += ["", *_pattern_words(bar), HONEST]
    return "\n".join(lines)


def _pattern_words(bar: Bar) -> list[str]:
    pattern = bar.menu.spirit_and_mixer
    if pattern is None:
        return []
    rows = bar.menu.ingredients
    spirits = ", ".join(row.id for row in rows if row.kind is Kind.SPIRIT)
    mixers = ", ".join(row.id for row in rows if row.kind is Kind.MIXER)
    return [
        f"Any spirit with any mixer, single {pattern.single} or double {pattern.double}:",
        f"    spirits: {spirits}",
        f"    mixers:  {mixers}",
        "",
    ]
