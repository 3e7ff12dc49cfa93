"""Bars, snapshots and plans as files.

A bar is YAML, snapshots and plans are JSON. Whatever is wrong in a file is said with the file,
the line, the place in words, what was expected, what came and what to do; all of it at once, so
that nobody has to mend and try again for each.
"""

from __future__ import annotations

import re
from dataclasses import fields, replace
from pathlib import Path

import yaml

from service.printing.profile import PROFILE, Profile
from solver.errors import BadValue
from solver.plan import Plan
from solver.snapshot import Snapshot
from solver.standards import Standards

from .bars import Bar, check_bar
from .documents import (
    BadFile,
    Fault,
    document_text,
    faults_at,
    json_document,
    or_bad_file,
    text_of,
    validated,
)
from .looks import seen_anyway, unknown_in, unknown_standards
from .marked import Marked, mark_json, read_yaml
from .schemas import (
    BAR_FILE,
    PLAN_FILE,
    SNAPSHOT,
    STANDARDS_FILE,
    BarFile,
    BarHead,
    PlanFile,
)
from .translate import from_bad_value

SAMPLES = Path(__file__).resolve().parents[2] / "sample_tickets"
"""The invented house, in the checkout and in an installed package alike."""

STANDARDS_PATH = SAMPLES / "standards.yaml"
LINE_WIDTH = 100


def read_bar(path: Path) -> Bar:
    """Read a bar's YAML file; time standards it does not name are the common ones.

    Raises
    ------
    BadFile
        With everything that is wrong in it.
    """
    return bar_from_yaml(text_of(path), str(path))


def bar_from_yaml(text: str, file: str) -> Bar:
    """Read a bar from YAML text; `file` is the name that faults carry.

    Raises
    ------
    BadFile
    """
    return bar_of(or_bad_file(file, lambda: read_yaml(text)), file)


def bar_of(marked: Marked, file: str) -> Bar:
    """Read a bar from plain data with its lines; `file` is the name that faults carry.

    Raises
    ------
    BadFile
    """
    found = validated(BAR_FILE, marked, file, instead=seen_anyway)
    findings = [*check_bar(found.counter, found.menu), *unknown_standards(marked.data)]
    if findings:
        raise BadFile(faults_at(findings, marked, file))
    common = read_standards(STANDARDS_PATH)
    try:
        standards = Standards(rows={**common.rows, **found.standards})
    except BadValue as error:
        finding = from_bad_value(error, ("standards",), marked.data)
        raise BadFile(faults_at([finding], marked, file)) from None
    head = found.bar
    prints = found.prints
    if prints is not None and prints.profile_file:
        # A bar is kept whole: from here on, its profile stands in it.
        profile = read_profile(Path(file).parent / prints.profile_file)
        prints = replace(prints, profile=profile, profile_file="")
    return Bar(
        id=head.id,
        name=head.name,
        timezone=head.timezone,
        counter=found.counter,
        menu=found.menu,
        standards=standards,
        prints=prints,
    )


def read_profile(path: Path) -> Profile:
    """Read a reading profile.

    Raises
    ------
    BadFile
    """
    text = text_of(path)
    return validated(PROFILE, or_bad_file(str(path), lambda: read_yaml(text)), str(path))


def bar_to_yaml(bar: Bar) -> str:
    """Write a bar as YAML, without what is usual and without the common time standards."""
    common = read_standards(STANDARDS_PATH).rows
    own = {name: row for name, row in bar.standards.rows.items() if row != common[name]}
    head = BarHead(id=bar.id, name=bar.name, timezone=bar.timezone)
    whole = BarFile(bar=head, counter=bar.counter, menu=bar.menu, standards=own, prints=bar.prints)
    plain = BAR_FILE.dump_python(whole, mode="json", exclude_defaults=True, warnings=False)
    return yaml.safe_dump(plain, sort_keys=False, allow_unicode=True, width=LINE_WIDTH)


def read_standards(path: Path) -> Standards:
    """Read a whole table of time standards.

    Raises
    ------
    BadFile
    """
    text = text_of(path)
    marked = or_bad_file(str(path), lambda: read_yaml(text))
    return Standards(rows=validated(STANDARDS_FILE, marked, str(path)).standards)


def read_snapshot(path: Path) -> Snapshot:
    """Read a snapshot.

    Raises
    ------
    BadFile
    """
    file, text = str(path), text_of(path)
    if _is_bar(text):
        said = f"expected a snapshot (JSON); this looks like a bar: try threedeep menu {file}"
        raise BadFile([Fault(file=file, line=None, place="", said=said)])
    snapshot = json_document(SNAPSHOT, text, file)
    if findings := unknown_in(snapshot):
        raise BadFile(faults_at(findings, mark_json(text), file))
    return snapshot


def read_plan(path: Path) -> PlanFile:
    """Read a plan, with the name of the snapshot file it answers where it carries one.

    Raises
    ------
    BadFile
    """
    return json_document(PLAN_FILE, text_of(path), str(path))


def write_snapshot(path: Path, snapshot: Snapshot) -> None:
    """Write a snapshot, whole: it can be planned anywhere."""
    path.write_text(document_text(SNAPSHOT, snapshot), encoding="utf-8")


def write_plan(path: Path, plan: Plan, snapshot_file: str = "") -> None:
    """Write a plan, with the snapshot file that it answers."""
    path.write_text(plan_text(plan, snapshot_file), encoding="utf-8")


def plan_text(plan: Plan, snapshot_file: str = "") -> str:
    """Give a plan as JSON, with the snapshot file that it answers."""
    held = {row.name: getattr(plan, row.name) for row in fields(Plan)}
    return document_text(PLAN_FILE, PlanFile(**held, snapshot_file=snapshot_file))


def _is_bar(text: str) -> bool:
    return not text.lstrip().startswith("{") and re.search(r"^bar:", text, re.MULTILINE) is not None
