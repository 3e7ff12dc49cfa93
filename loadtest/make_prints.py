"""Makes the raw prints in sample_tickets/prints: one till of the invented house, bytes by escpos.

python -m loadtest.make_prints
"""

from __future__ import annotations

from collections.abc import Iterator

from loadtest.printed import FIRST_LAYOUTS, Print, samples, tickets
from loadtest.printed.truth import Kind
from service.files import SAMPLES, read_bar
from service.printing.learning import learn, profile_text

FOLDER = SAMPLES / "prints"
TILL = "galley"
WANTED = ("void", "reprint", "correction", "food alone", "test print", "shift report", "card slip")
ENOUGH = 600


def chosen() -> Iterator[tuple[str, Print]]:
    """Give the prints with their names: three to teach from, and one of each other sort."""
    layout = next(one for one in FIRST_LAYOUTS if one.name == TILL)
    for place, one in enumerate(samples(layout), 1):
        yield f"ticket-{place}", one
    found: dict[str, Print] = {}
    for one in tickets(layout, ENOUGH):
        found.setdefault("picture" if one.kind is Kind.PICTURE else one.says, one)
    for says in (*WANTED, "picture"):
        yield says.replace(" ", "-"), found[says]


def main() -> None:
    """Write the prints and the profile that the first three teach."""
    FOLDER.mkdir(exist_ok=True)
    rows = dict(chosen())
    for name, one in rows.items():
        (FOLDER / f"{name}.bin").write_bytes(one.data)
    data = [rows[f"ticket-{place}"].data for place in (1, 2, 3)]
    menu = read_bar(SAMPLES / "bars" / "saltmarch.yaml").menu
    text = profile_text(learn(data, name="saltmarch", menu=menu))
    (FOLDER / "saltmarch.yaml").write_text(text, encoding="utf-8")
    print(f"{FOLDER}: {len(rows)} prints and a profile")


if __name__ == "__main__":
    main()
