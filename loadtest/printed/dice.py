"""Tills by the dice: layouts drawn from what a till's paper can look like at all, by a seed.

`till(seed)` gives one: a language, how the head's facts are labelled, put together and parted,
where they stand, how a time and how a quantity is written and where, prices, headings,
guests, changes, capitals and the foot. The same seed always gives the same till. What can be drawn
is common practice, from memory, in invented words; it is no till's that there is.
"""

from __future__ import annotations

import random
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from .layout import Layout, by_cut, by_form_feed, by_part_cut, by_quiet
from .orders import Item, Order
from .paper import PLAIN, Paper, Style, euros, pounds, wrapped
from .parts import under
from .speech import LANGUAGES, Language
from .truth import Kind, Role
from .words import Words, as_is, titled

PAPERS = (
    *((42, "TM-T88V", "CP858", ""), (48, "TM-T20II", "CP1252", ""), (32, "ZJ-5870", "CP850", "")),
    *((42, "RP326", "CP1252", ""), (32, "TM-U220", "", "cp850"), (48, "CT-S651", "CP858", "")),
)
BEFORE = (
    *(
        "{q} {n}",
        "{q} {n}",
        "{q} x {n}",
        "{q}x {n}",
        "{q}x{n}",
        "x{q} {n}",
        "{q} × {n}",
        "[{q}] {n}",
    ),
    *(
        "({q}) {n}",
        "{q:02} {n}",
        "{q:>3}  {n}",
        "{q}: {n}",
        "{q} - {n}",
        "Qty {q}  {n}",
        "{q}* {n}",
    ),
    *(
        "{q} pcs {n}",
        "X{q}  {n}",
        "Qty: {q}  {n}",
        "{q}X {n}",
        "* {q} {n}",
        "- {q}x {n}",
        "{q} | {n}",
    ),
)
AFTER = (
    *("{n} x{q}", "{n} x {q}", "{n} ({q})", "{n} [{q}]", "{n} × {q}", "{n} *{q}", "{n}, {q}"),
    *("{n} Qty: {q}", "{n} - {q}", "{n}: {q}", "{n} / {q}"),
)
CLOCKS = ("%H:%M", "%H:%M", "%H:%M:%S", "%I:%M %p", "%I:%M%p", "%Hh%M", "%H.%M")
DAYS = (
    *("", "", "%d/%m/%Y", "%d.%m.%y", "%Y-%m-%d", "%d %b %Y", "%a %d %b", "%d-%m-%y", "%d-%b-%Y"),
    "%b %d, %Y",
)
GLUES = ("  ", "  ", "   ", " / ", " | ", " - ", " · ", "edge", "edge", "edge", ", ", " ")


def _signed(pence: int) -> str:
    return "£" + pounds(pence)


def _upper(text: str) -> str:
    """Put in capitals; an old printer has no accented ones."""
    return _unaccented(text.upper())


def _unaccented(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in plain if not unicodedata.combining(sign))


@dataclass(slots=True, kw_only=True)
class _Looks:
    """What the dice gave."""

    rng: random.Random
    tongue: Language
    columns: int
    facts: dict[str, Callable[[Order], tuple[str, list[tuple[str, str]]]]] = field(
        default_factory=dict
    )
    head: list[tuple[tuple[str, ...], str]] = field(default_factory=list)
    foot: list[tuple[tuple[str, ...], str]] = field(default_factory=list)
    form: str = ""
    at_edge: str = ""
    money: Callable[[int], str] | None = None
    each: bool = False
    style: Style = PLAIN
    indent: str = "   "
    sign: str = ""
    loud: Style = PLAIN
    house: tuple[str, ...] = ()
    thanks: tuple[str, ...] = ()
    headings: tuple[str, str] = ("", "")
    rule: str = "-"
    guests: str = ""
    has_totals: bool = False
    has_count: str = ""
    covers: str = ""
    mark: str = "{}"
    wraps: bool = True


def till(seed: int) -> Layout:
    """Give the till of a seed."""
    rng = random.Random(f"till {seed}")
    columns, model, page, raw = rng.choice(PAPERS)
    tongue = rng.choice(LANGUAGES)
    looks = _Looks(rng=rng, tongue=tongue, columns=columns)
    has_food = rng.random() < 0.35
    is_single = rng.random() < 0.06
    _head(rng, looks)
    _items(rng, looks, is_single=is_single)
    _around(rng, looks, has_food=has_food)
    case = rng.choice((as_is, as_is, titled, str.upper, str.upper))
    if raw:
        # An old printer has no accented capitals.
        case = _upper if case is str.upper else case
    if looks.money is euros and page not in ("CP858", "CP1252"):
        looks.money = pounds
    words = _words(rng, tongue, case, columns)
    return Layout(
        name=f"till {seed}",
        columns=columns,
        model=model,
        code_page=page,
        raw_encoding=raw,
        words=words,
        write=lambda paper, order, said: _write(looks, paper, order, said),
        finish=rng.choice((by_cut, by_cut, by_part_cut, by_form_feed, by_quiet)),
        has_food=has_food,
        is_single=is_single,
    )


# ---- The head ---------------------------------------------------------------------------------


def _labelled(rng: random.Random, columns: int) -> Callable[[str, str], str]:
    """Draw how a label and its value stand together."""
    form = rng.choice(
        (
            *("{l}: {v}", "{l}: {v}", "{l} {v}", "{l} {v}", "{l}:{v}", "{l}.: {v}", "{l} : {v}"),
            *("{l} # {v}", "{l}#{v}", "{l}={v}", "{l} - {v}", "<{l}> {v}", "wide", "dots"),
        )
    )
    width = 14 if columns > 32 else 11

    def put(label: str, value: str) -> str:
        if form == "wide":
            return f"{label + ':':<{width}} {value}"
        if form == "dots":
            return f"{label + ' ':.<{width}}: {value}"
        return form.format(l=label, v=value)

    return put


def _head(rng: random.Random, looks: _Looks) -> None:  # noqa: C901, PLR0915 (one throw after another)
    tongue = looks.tongue
    put = _labelled(rng, looks.columns)
    is_loud = rng.random() < 0.35
    up = str.upper if is_loud else as_is
    number_label = rng.choice(tongue.number) if rng.random() < 0.85 else ""
    width = rng.choice((0, 0, 0, 4, 6))
    prefix = rng.choice(("", "", "", "A", "B-"))

    def number(order: Order) -> tuple[str, list[tuple[str, str]]]:
        value = f"{prefix}{order.number:0{width}}" if width else f"{prefix}{order.number}"
        text = put(up(number_label), value) if number_label else f"#{value}"
        return text, [("number", value)]

    floor, top = rng.choice(tongue.places)
    how = rng.random()

    def place(order: Order) -> tuple[str, list[tuple[str, str]]]:
        word = floor if order.is_floor else top
        if how < 0.55:
            text = up(f"{word} {order.place}")
        elif how < 0.7:
            text = put(up(word), order.place)
        elif how < 0.85:
            value = up(f"{word} {order.place}")
            return put(up(tongue.where), value), [("place", value)]
        else:
            text = f"{word[:1].upper()}{order.place}"
        return text, [("place", text)]

    server_label = rng.choice(tongue.server) if rng.random() < 0.75 else ""
    brackets = rng.choice(("{}", "{}", "({})", "[{}]"))

    def server(order: Order) -> tuple[str, list[tuple[str, str]]]:
        name = order.server.upper() if is_loud and rng_up else order.server
        text = put(up(server_label), name) if server_label else brackets.format(name)
        return text, [("server", name)]

    rng_up = rng.random() < 0.5
    clock, day = rng.choice(CLOCKS), rng.choice(DAYS)
    if clock.startswith("%I"):
        day = day.replace("%d/%m/%Y", "%m/%d/%Y")
    time_label = rng.choice(tongue.time) if rng.random() < 0.3 else ""

    def time(order: Order) -> tuple[str, list[tuple[str, str]]]:
        at: datetime = order.at
        text = f"{at:{day}} {at:{clock}}".strip() if day else f"{at:{clock}}"
        text = put(up(time_label), text) if time_label else text
        facts = [("time", f"{at:%H:%M}")]
        if day and "%Y" in day:
            facts.append(("date", f"{at:%Y-%m-%d}"))
        return text, facts

    till_label = rng.choice(tongue.till)

    def machine(order: Order) -> tuple[str, list[tuple[str, str]]]:
        return put(up(till_label), str(order.till)), [("till", str(order.till))]

    covers = rng.choice(tongue.covers)

    def guests(order: Order) -> tuple[str, list[tuple[str, str]]]:
        return put(up(covers), str(order.covers)), []

    looks.facts = {
        "number": number,
        "place": place,
        "time": time,
        "server": server,
        "till": machine,
        "covers": guests,
    }
    names = ["number", "place", "time"]
    names += ["server"] if rng.random() < 0.85 else []
    names += ["till"] if rng.random() < 0.4 else []
    names += ["covers"] if rng.random() < 0.25 else []
    rng.shuffle(names)
    glue = rng.choice(GLUES)
    rows: list[tuple[tuple[str, ...], str]] = []
    while names:
        take = min(len(names), rng.choice((1, 1, 2, 2, 3, 4)))
        take = min(take, 2) if looks.columns == 32 or glue == "edge" else take
        if glue == " " and take > 1:
            names[:take] = sorted(names[:take], key=lambda one: one == "server")
        rows.append((tuple(names[:take]), glue))
        del names[:take]
    cut = rng.randint(1, len(rows)) if rng.random() < 0.35 else len(rows)
    looks.head, looks.foot = rows[:cut], rows[cut:]


def _put_facts(looks: _Looks, paper: Paper, order: Order, row: tuple[str, ...], glue: str) -> None:
    said = [looks.facts[name](order) for name in row]
    facts = [fact for _, found in said for fact in found]
    texts = [text for text, _ in said]
    if glue == "edge" and len(texts) == 2 and len(texts[0]) + len(texts[1]) < paper.columns - 1:
        text = paper.both(texts[0], texts[1])
    else:
        text = ("   " if glue == "edge" else glue).join(texts)
    role = Role.HEAD if facts else Role.OTHER
    if len(text) <= paper.columns:
        paper.put(text, role, facts=facts)
        return
    for one, found in said:
        paper.put(one, Role.HEAD if found else Role.OTHER, facts=found)


# ---- Items ------------------------------------------------------------------------------------


def _items(rng: random.Random, looks: _Looks, *, is_single: bool) -> None:
    roll = rng.random()
    if is_single:
        looks.form = "{n}"
    elif roll < 0.68:
        looks.form = rng.choice(BEFORE)
    elif roll < 0.9:
        looks.form = rng.choice(AFTER)
    else:
        looks.form, looks.at_edge = "{n}", rng.choice(("{q}", "{q}", "x{q}", "dots"))
    if not looks.at_edge and rng.random() < 0.3:
        looks.money = rng.choice((pounds, euros, _signed))
        looks.each = rng.random() < 0.25 and looks.columns > 32
        looks.has_totals = rng.random() < 0.7
    looks.indent = " " * rng.choice((2, 3, 4, 4, 5))
    looks.sign = rng.choice(("", "", "", "- ", "* ", "> ", "+ ", "~ ", "» ", "-> ", ". ", "/ "))
    looks.style = rng.choice((Style(), Style(), Style(bold=True), Style(tall=True)))
    looks.loud = rng.choice((Style(), Style(bold=True), Style(invert=True)))


def _put_item(looks: _Looks, paper: Paper, words: Words, item: Item) -> None:
    is_food = bool(item.food)
    name = words.case(item.food) if is_food else words.on_paper(item)
    role = Role.FOOD if is_food else Role.DRINK
    count = 0 if is_food else item.quantity
    text = looks.form.format(q=item.quantity, n=name)
    right = ""
    if looks.money:
        right = looks.money(item.pence * item.quantity)
        if looks.each:
            right = f"{looks.money(item.pence)}  {right}"
    elif looks.at_edge == "dots":
        dots = "." * (paper.columns - len(name) - len(str(item.quantity)) - 2)
        text = f"{name} {dots} {item.quantity}"
    elif looks.at_edge:
        right = looks.at_edge.format(q=item.quantity)
    lines = wrapped(text, paper.columns - (len(right) + 1 if right else 0), indent=looks.indent)
    first = paper.both(lines[0], right) if right else lines[0]
    paper.put(first, role, style=looks.style, quantity=count)
    for more in lines[1:]:
        paper.put(more, Role.FOOD if is_food else Role.GOES_ON, style=looks.style)
    under(paper, words, item, indent=looks.indent, loud=looks.loud, sign=looks.sign)


# ---- Around it --------------------------------------------------------------------------------


def _around(rng: random.Random, looks: _Looks, *, has_food: bool) -> None:
    tongue = looks.tongue
    looks.house = tuple(rng.sample(tongue.house, rng.choice((0, 1, 1, 2))))
    looks.thanks = tuple(rng.sample(tongue.thanks, rng.choice((0, 0, 1))))
    if has_food or rng.random() < 0.3:
        looks.headings = rng.choice(tongue.headings)
        form = rng.choice(("{}", "{}", "- {} -", "=== {} ===", "[{}]"))
        bar, food = looks.headings
        looks.headings = form.format(bar), form.format(food)
    looks.rule = rng.choice(("-", "-", "=", "_", ".", "*", ""))
    if rng.random() < 0.12:
        looks.guests = rng.choice(tongue.guests)
    looks.has_count = rng.choice(tongue.counts) if rng.random() < 0.2 else ""
    looks.mark = rng.choice(("{}", "** {} **", "*** {} ***", "{}", "!! {} !!", "<< {} >>"))


def _write(  # noqa: C901, PLR0912 (from the top of the paper to its foot)
    looks: _Looks, paper: Paper, order: Order, words: Words
) -> None:
    for text in looks.house:
        paper.put(text, style=Style(align="center"))
    if order.kind is not Kind.TICKET:
        said = looks.tongue.marks[order.kind.value]
        paper.put(looks.mark.format(said), Role.MARK, style=Style(bold=True))
    for row, glue in looks.head:
        _put_facts(looks, paper, order, row, glue)
    if looks.rule:
        paper.rule(looks.rule)
    else:
        paper.put()
    half = (len(order.drinks) + 1) // 2
    for heading, items in zip(looks.headings, (order.drinks, order.foods), strict=True):
        if not items:
            continue
        if heading:
            paper.put(heading)
        is_parted = looks.guests and len(order.drinks) > 2 and not items[0].food
        for index, item in enumerate(items):
            if is_parted and index in (0, half):
                paper.put(f"{looks.guests} {1 + (index > 0)}")
            _put_item(looks, paper, words, item)
    if looks.rule:
        paper.rule(looks.rule)
    else:
        paper.put()
    if looks.has_totals and looks.money:
        _put_totals(looks, paper, order)
    if looks.has_count:
        count = sum(item.quantity for item in order.items)
        paper.put(looks.has_count.format(count))
    for row, glue in looks.foot:
        _put_facts(looks, paper, order, row, glue)
    for text in looks.thanks:
        paper.put(text, style=Style(align="center"))


def _put_totals(looks: _Looks, paper: Paper, order: Order) -> None:
    money = looks.money or pounds
    for label in looks.tongue.money:
        paper.put(paper.both(label, money(order.pence)))


def _words(rng: random.Random, tongue: Language, case: Callable[[str], str], columns: int) -> Words:
    is_wrapped = rng.random() < 0.8
    single, double = rng.choice(tongue.mixed)
    ways = {name: rng.choice(forms) for name, forms in tongue.ways.items()}
    if rng.random() < 0.12:
        ways = {name: f"({form})" for name, form in ways.items()}
    if rng.random() < 0.15:
        ways |= {"leave_out": "- {out}", "add": "+ {into}"}
    allergy = rng.choice(("{w}: {{}}", "{w} {{}}", "** {w}: {{}} **", "!{w} {{}}!", "({w} {{}})"))
    note = rng.choice(("{}", "{}", "({})", f"{tongue.note}: {{}}", "* {}", '"{}"'))
    return Words(
        case=case,
        ways=ways,
        allergy=allergy.format(w=rng.choice(tongue.allergy)),
        note=note,
        single=single,
        double=double,
        name_room=0 if is_wrapped else columns - 8,
    )
