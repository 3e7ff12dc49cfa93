"""Hundreds of generated prints, read by a profile that was learned from three of each till.

The bytes come from python-escpos 3.1 (its ``Dummy`` printer), which is not ours. What is printed is
generated (`loadtest.printed`): every figure here is on generated prints of an invented house, and
says nothing of how well the prints of a real till are read. What "right", "lost" and "wrong without
a mark" mean is defined in `loadtest.printed.scoring`, which is tried here first.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from operator import attrgetter

import pytest

from loadtest.printed import (
    SETS,
    Kind,
    Layout,
    Print,
    Role,
    samples,
    tickets,
)
from loadtest.printed.dice import till
from loadtest.printed.orders import house
from loadtest.printed.scoring import Score, score
from service.printing.learning import learn
from service.printing.prints import Item, PrintKind
from service.printing.prints import Print as Read
from service.printing.prints import Role as Given
from service.printing.profile import Profile
from service.printing.reading import read_print

EACH = 40
"""Prints of each layout."""
NAMES = {layout.name: layout for layouts in SETS for layout in layouts}
LEAST_PCT = dict.fromkeys(NAMES, 99.5) | {"diner": 94.0}
"""Nothing on the diner's paper tells dishes from drinks: those that no sample had go to a person,
until somebody answers what `learn` asks."""
DICE = (*range(1, 31), 700, 702, 714, 732, 739, 745, 759)
"""Seeds of tills by the dice; the reader was mended on these."""


@cache
def taught(layout: Layout) -> Profile:
    data = [one.data for one in samples(layout)]
    return learn(data, name=layout.name, menu=house().menu).profile


@cache
def evening(layout: Layout) -> tuple[Print, ...]:
    return tuple(tickets(layout, EACH))


@cache
def scored(layout: Layout) -> Score:
    total = Score()
    for one in evening(layout):
        total.add(score(one, read_print(one.data, taught(layout))))
    return total


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_lost_and_nothing_is_wrong_without_a_mark(name: str) -> None:
    found = scored(NAMES[name])
    assert found.lost == 0, found.failures
    assert found.wrong_unmarked == 0, found.failures


@pytest.mark.parametrize("name", NAMES)
def test_lines_of_each_till_are_read(name: str) -> None:
    found = scored(NAMES[name])
    assert found.right_pct >= LEAST_PCT[name], found.failures


def test_lines_of_all_tills_together_are_read() -> None:
    total = Score()
    for layout in NAMES.values():
        total.add(scored(layout))
    assert total.prints == EACH * len(NAMES) >= 800
    assert total.right_pct >= 99.5, total.failures


def test_dishes_among_drinks_are_told_once_somebody_said_what_they_are() -> None:
    learned = taught(NAMES["diner"])
    assert learned.sections.otherwise == "unsure"
    profile = replace(learned, sections=replace(learned.sections, otherwise="food"))
    total = Score()
    for one in evening(NAMES["diner"]):
        total.add(score(one, read_print(one.data, profile)))
    assert (total.lost, total.wrong_unmarked) == (0, 0), total.failures
    assert total.right_pct >= 99.5, total.failures


def test_tills_by_the_dice_are_read() -> None:
    total = Score()
    for seed in DICE:
        layout = till(seed)
        profile = taught(layout)
        for one in tickets(layout, 10):
            total.add(score(one, read_print(one.data, profile)))
    assert (total.lost, total.wrong_unmarked) == (0, 0), total.failures
    assert total.right_pct >= 99.5, total.failures


def test_the_tills_differ_and_print_everything_that_tills_print() -> None:
    assert {layout.columns for layout in NAMES.values()} == {32, 42, 48}
    printed = [one for layout in NAMES.values() for one in evening(layout)]
    assert {one.kind for one in printed} == set(Kind)
    assert {inked.role for one in printed for inked in one.inked} == set(Role)
    ends = {one.data[-4:-1] if one.data[-1] in (0, 1) else one.data[-1:] for one in printed}
    assert len(ends) >= 3
    texts = " ".join(inked.text for one in printed for inked in one.inked)
    for sign in "éèâñöüëâ€£&":
        assert sign in texts


# ---- The measure itself: what is made wrong on purpose has to count --------------------------


@cache
def full() -> tuple[Print, Read]:
    """A ticket with a change, an allergy, a note and a dish, and how it is read."""
    layout = NAMES["receipt"]
    wanted = {Role.DRINK, Role.CHANGE, Role.ALLERGY, Role.NOTE, Role.FOOD}
    for one in tickets(layout, 600, seed=5):
        if one.kind is Kind.TICKET and wanted <= {inked.role for inked in one.inked}:
            return one, read_print(one.data, taught(layout))
    raise AssertionError("no such ticket")


def first(read: Read, is_it: Callable[[Item], object]) -> int:
    return next(i for i, item in enumerate(read.items) if is_it(item))


def with_item(read: Read, place: int, **changes: object) -> Read:
    items = list(read.items)
    items[place] = replace(items[place], **changes)  # type: ignore[arg-type]
    return replace(read, items=tuple(items))


def with_role(read: Read, row: int, role: Given) -> Read:
    lines = list(read.lines)
    lines[row] = replace(lines[row], role=role, items=())
    return replace(read, lines=tuple(lines))


def row_of(read: Read, role: Given) -> int:
    return next(row for row, line in enumerate(read.lines) if line.role is role)


def test_a_print_that_is_read_right_counts_so() -> None:
    truth, read = full()
    found = score(truth, read)
    assert (found.right, found.lost, found.wrong_unmarked) == (found.lines, 0, 0), found.failures
    assert found.lines == len(truth.inked)


def test_another_quantity_is_wrong_unless_it_is_marked() -> None:
    truth, read = full()
    worse = with_item(read, 0, quantity=read.items[0].quantity + 1)
    assert score(truth, worse).wrong_unmarked == 1
    assert score(truth, worse).right < len(truth.inked)
    marked = with_item(worse, 0, doubts=("2 or 3?",))
    assert score(truth, marked).wrong_unmarked == 0
    assert score(truth, marked).right < len(truth.inked)


def test_another_drink_is_wrong() -> None:
    truth, read = full()
    place = first(read, lambda item: item.name)
    other = "Salt Ferry" if read.items[place].name != "Salt Ferry" else "Windlass"
    assert score(truth, with_item(read, place, name=other, changes=())).wrong_unmarked == 1


def test_a_forgotten_change_allergy_or_note_is_wrong_and_lost() -> None:
    truth, read = full()
    for role, name in (
        (Given.CHANGE, "changes"),
        (Given.ALLERGY, "allergies"),
        (Given.NOTE, "note"),
    ):
        place = first(read, attrgetter(name))
        row = row_of(read, role)
        worse = with_item(read, place, **{name: "" if name == "note" else ()})
        found = score(truth, with_role(worse, row, Given.HOUSE))
        assert found.lost >= 1, name
        assert found.wrong_unmarked >= 1 or read.items[place].note, name


def test_a_drink_taken_for_money_is_lost() -> None:
    truth, read = full()
    row = row_of(read, Given.ITEM)
    assert score(truth, with_role(read, row, Given.MONEY)).lost == 1


def test_a_dish_taken_for_a_drink_is_wrong_only_where_the_menu_knows_it() -> None:
    truth, read = full()
    place = first(read, lambda item: item.sort.value == "food")
    drink = replace(read.items[place], sort=read.items[0].sort)
    assert score(truth, with_item(read, place, sort=drink.sort)).wrong_unmarked == 0
    worse = with_item(read, place, sort=drink.sort, name="Windlass", changes=(), note="")
    assert score(truth, worse).wrong_unmarked == 1


def test_a_note_about_something_else_excuses_no_change_and_no_allergy() -> None:
    truth, read = full()
    for name in ("changes", "allergies"):
        place = first(read, attrgetter(name))
        worse = with_item(read, place, **{name: (), "note": "see the paper"})
        assert score(truth, worse).wrong_unmarked >= 1, name


def test_a_change_that_nobody_ordered_is_wrong_also_beside_a_note() -> None:
    truth, read = full()
    worse = with_item(
        read, 0, changes=({"leave_out": "straw"},), note=f"{read.items[0].note}; mind"
    )
    assert score(truth, worse).wrong_unmarked == 1


def test_marks_on_everything_are_counted_as_asked_for_nothing() -> None:
    truth, read = full()
    found = score(truth, read)
    assert (found.asked, found.for_nothing, found.misrouted) == (0, 0, 0)
    found = score(truth, replace(read, doubts=("is it so?",)))
    assert (found.asked, found.for_nothing) == (1, 1)


def test_a_round_for_the_floor_that_goes_over_the_bar_is_misrouted() -> None:
    truth, read = full()
    assert read.channel is not None
    assert score(replace(truth, is_floor=not truth.is_floor), read).misrouted == 1


def test_a_till_that_nobody_printed_is_wrong() -> None:
    truth, read = full()
    assert score(replace(truth, till=""), replace(read, till="7")).wrong_unmarked == 1


def test_number_place_and_kind_count() -> None:
    truth, read = full()
    assert score(truth, replace(read, number="1")).wrong_unmarked == 1
    assert score(truth, replace(read, place="Table: 99")).wrong_unmarked == 1
    assert score(truth, replace(read, kind=PrintKind.REPORT)).lost > 0
    again = replace(truth, kind=Kind.REPRINT)
    assert score(again, read).wrong_unmarked == 1
    void = replace(truth, kind=Kind.VOID)
    assert score(void, read).wrong_unmarked == 1


def test_a_change_that_became_a_note_in_its_own_words_is_marked() -> None:
    layout = NAMES["receipt"]
    for truth in tickets(layout, 600, seed=7):
        place = next((n for n, row in enumerate(truth.drinks) if row.changes), None)
        if truth.kind is not Kind.TICKET or place is None:
            continue
        read = read_print(truth.data, taught(layout))
        place = first(read, lambda item: item.changes)
        rows = [read.lines[row] for row in read.items[place].rows]
        said = "; ".join(line.text for line in rows if line.role is Given.CHANGE)
        note = f"{read.items[place].note}; {said}"
        assert score(truth, with_item(read, place, changes=(), note=note)).wrong_unmarked == 0
        assert score(truth, with_item(read, place, changes=(), note="mind")).wrong_unmarked == 1
        return
    raise AssertionError("no ticket with a change")
