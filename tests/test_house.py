"""The house rules that hold between files: who may import whom, where SQL and the clock live."""

from __future__ import annotations

import re
import shutil
import subprocess
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.imports import import_graph, modules

ROOT = Path(__file__).resolve().parent.parent

READING_ORDER = (
    *("errors", "units", "kept", "drinks", "menu", "counter", "tickets", "standards", "builds"),
    *(
        "snapshot",
        "work",
        "grid",
        "plan",
        "goal",
        "steady",
        "verify",
        "timing",
        "baselines",
        "search",
        "exact",
        "bound",
    ),
    *("planner", "explain", "rush"),
)
FOREIGN_TO_SOLVER = (
    *("service", "loadtest", "tests", "pydantic", "fastapi", "starlette", "uvicorn", "httpx"),
    *("sqlite3", "yaml"),
)
DATABASES = ("sqlite3", "psycopg", "asyncpg", "sqlalchemy", "aiosqlite")
SQL = re.compile(
    r"^\s*(SELECT\s|INSERT\s+(OR\s+\w+\s+)?INTO\s|UPDATE\s+\w+\s+SET\s|DELETE\s+FROM\s"
    r"|CREATE\s+(UNIQUE\s+)?(TABLE|INDEX|TRIGGER|VIEW)\s|PRAGMA\s|BEGIN\s+IMMEDIATE)"
)
REQUIRED = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "service", "solver", "tests", "loadtest"),
    "sample_tickets",
}
FOR_TOOLS = {
    *(".ci", ".gitignore", ".gitattributes", ".github", ".python-version", "Makefile", "uv.lock"),
    *("LICENSE", "CHANGELOG.md"),
}
# Put together here, so that this file does not hold what it looks for.
REGISTRIES = tuple(
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("yarnpkg", "com"),
        ("deb", "debian", "org"),
        ("archive", "ubuntu", "com"),
        ("crates", "io"),
        ("anaconda", "org"),
    )
)
PATH_OF_ONE_MACHINE = re.compile(r"(?<![\w}.*-])/(?:(?:work|root)(?![\w-])|tmp/td\b)")


def breaks_purity(root: Path) -> list[str]:
    """Imports of web, database, files' formats or the clock in `solver`."""
    found = []
    for file in modules(root, "solver"):
        found += [
            f"{file.where}:{imported.line} imports {imported.target}"
            for imported in file.imports
            if imported.target.split(".")[0] in FOREIGN_TO_SOLVER
        ]
        found += [f"{file.where}:{line} reads the clock" for line in file.clock_reads()]
    return found


def part_of(name: str) -> str:
    """`drinks` for `solver.drinks.abv`, nothing for `solver` itself."""
    return name.split(".")[1] if "." in name else ""


def breaks_reading_order(root: Path) -> list[str]:
    """Files of `solver` that import what stands behind them, or that have no place."""
    files = modules(root, "solver")
    graph = import_graph(files)
    found = []
    for file in files:
        part = part_of(file.name)
        if part and part not in READING_ORDER:
            found.append(f"{file.where} has no place: add {part!r} to READING_ORDER here")
            continue
        # -1: the package's own file comes before everything and so imports nothing of it.
        place = READING_ORDER.index(part) if part else -1
        for target in sorted(graph[file.name]):
            other = part_of(target)
            if other in READING_ORDER and READING_ORDER.index(other) > place:
                found.append(f"{file.where} imports {target}, which stands behind it")
    return found


def find_cycle(root: Path) -> list[str]:
    """The names along one import cycle, or nothing."""
    try:
        TopologicalSorter(import_graph(modules(root, "solver", "service", "loadtest"))).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def breaks_sql_corner(root: Path) -> list[str]:
    """Drivers or statements of a database outside `service/store`."""
    found = []
    for file in modules(root, "solver", "service"):
        if file.where.startswith(("service/store/", "service/store.py")):
            continue
        found += [
            f"{file.where}:{imported.line} imports {imported.target}"
            for imported in file.imports
            if imported.target.split(".")[0] in DATABASES
        ]
        found += [
            f"{file.where}:{line} holds SQL" for text, line in file.strings() if SQL.match(text)
        ]
    return found


def breaks_clock_corner(root: Path) -> list[str]:
    """Reads of the clock in `service` outside `service/clock.py`."""
    return [
        f"{file.where}:{line} reads the clock"
        for file in modules(root, "service")
        if file.where != "service/clock.py"
        for line in file.clock_reads()
    ]


def makers_of_a_cp_solver(root: Path) -> list[str]:
    """The files that call `CpSolver`."""
    files = modules(root, "solver", "service", "loadtest")
    return [file.where for file in files if file.calls_of("CpSolver")]


def files_of_the_project() -> list[Path]:
    """What git tracks or would track; needs git and a checkout."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("not a git checkout: what belongs to the project cannot be told")
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    # A file that was tracked and is gone is listed still.
    return [path for name in listed.split("\0") if name and (path := ROOT / name).is_file()]


def traces_of_places(text: str, *, registries: tuple[str, ...] = REGISTRIES) -> list[str]:
    """Registry host names and paths of one machine in a text."""
    hosts = [host for host in registries if host in text.lower()]
    return hosts + [match.group() for match in PATH_OF_ONE_MACHINE.finditer(text)]


def test_solver_is_pure() -> None:
    assert breaks_purity(ROOT) == []


def test_solver_files_import_only_what_stands_before_them() -> None:
    assert breaks_reading_order(ROOT) == []


def test_no_import_cycle() -> None:
    assert find_cycle(ROOT) == []


def test_one_folder_holds_sql() -> None:
    assert breaks_sql_corner(ROOT) == []


def test_one_file_reads_the_clock() -> None:
    assert breaks_clock_corner(ROOT) == []


def test_one_file_makes_a_cp_solver() -> None:
    makers = makers_of_a_cp_solver(ROOT)
    assert len(makers) <= 1, makers
    assert all(where.startswith("solver/exact") for where in makers), makers


def test_no_file_names_a_registry_or_a_path_of_one_machine() -> None:
    found = []
    for path in files_of_the_project():
        where = path.relative_to(ROOT).as_posix()
        registries = () if where == "uv.lock" else REGISTRIES
        text = path.read_bytes().decode("latin-1")
        found += [f"{where}: {trace}" for trace in traces_of_places(text, registries=registries)]
    assert found == []


def test_the_lock_names_the_public_index_alone() -> None:
    text = (ROOT / "uv.lock").read_text(encoding="utf-8")
    assert set(re.findall(r"https?://([^/\"]+)", text)) == {
        "pypi" + ".org",
        "files." + "pythonhosted" + ".org",
    }
    assert "file://" not in text


def test_the_top_level_holds_what_it_must_and_nothing_else() -> None:
    here = {path.relative_to(ROOT).parts[0] for path in files_of_the_project()}
    assert REQUIRED - here == set(), "missing"
    assert here - REQUIRED - FOR_TOOLS == set(), "no place for it at the top level"


def house(root: Path, files: dict[str, str]) -> Path:
    """A small house in a folder, with one file or more that may break a rule."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


@pytest.mark.parametrize(
    "text",
    [
        "import service",
        "from service.store import x",
        "def f() -> None:\n    import pydantic",
        "import time",
        "from time import monotonic",
        "import datetime\nx = datetime.datetime.now()",
        "from datetime import datetime as dt\nx = dt.utcnow()",
        "from datetime import date\nx = date.today",
        "from ..service import clock",
    ],
)
def test_an_impure_solver_is_named(tmp_path: Path, text: str) -> None:
    assert len(breaks_purity(house(tmp_path, {"solver/plan.py": text}))) == 1


def test_types_of_time_are_no_clock(tmp_path: Path) -> None:
    text = "from datetime import datetime\nfrom solver.timing import time\nx = plan.now()"
    assert breaks_purity(house(tmp_path, {"solver/plan.py": text})) == []


@pytest.mark.parametrize(
    "text",
    [
        "import solver.verify",
        "from solver.verify import check",
        "from solver import verify",
        "from . import verify",
        "from .verify import check",
        "def f() -> None:\n    from solver.verify.rules import check",
    ],
)
def test_an_import_against_the_reading_order_is_named(tmp_path: Path, text: str) -> None:
    files = {"solver/plan.py": text, "solver/verify/__init__.py": "", "solver/verify/rules.py": ""}
    assert len(breaks_reading_order(house(tmp_path, files))) == 1


def test_an_import_with_the_reading_order_is_fine(tmp_path: Path) -> None:
    files = {
        "solver/__init__.py": "",
        "solver/plan.py": "from solver import units\nfrom solver.units import x",
        "solver/units.py": "",
        "solver/drinks/__init__.py": "from .abv import x\nfrom solver.units import x",
        "solver/drinks/abv.py": "import solver.units",
    }
    assert breaks_reading_order(house(tmp_path, files)) == []
    assert find_cycle(tmp_path) == []


def test_a_solver_file_without_a_place_is_named(tmp_path: Path) -> None:
    (found,) = breaks_reading_order(house(tmp_path, {"solver/misc.py": ""}))
    assert "READING_ORDER" in found


def test_the_solver_package_itself_imports_none_of_its_files(tmp_path: Path) -> None:
    files = {"solver/__init__.py": "from solver.units import x", "solver/units.py": ""}
    assert len(breaks_reading_order(house(tmp_path, files))) == 1


def test_a_cycle_is_named(tmp_path: Path) -> None:
    files = {
        "service/a.py": "from service import b",
        "service/b.py": "def f() -> None:\n    from .c import x",
        "service/c.py": "import service.a",
    }
    assert set(find_cycle(house(tmp_path, files))) == {"service.a", "service.b", "service.c"}


@pytest.mark.parametrize(
    "text",
    [
        "import sqlite3",
        "x = 'SELECT 1 FROM y'",
        "x = f'INSERT INTO {y}'",
        "x = 'PRAGMA quick_check'",
    ],
)
def test_sql_has_its_corner(tmp_path: Path, text: str) -> None:
    files = {"service/planning.py": text, "service/store/sqlite.py": text}
    (found,) = breaks_sql_corner(house(tmp_path, files))
    assert found.startswith("service/planning.py")


def test_the_clock_has_its_corner(tmp_path: Path) -> None:
    files = {"service/planning.py": "import time", "service/clock.py": "import time"}
    assert breaks_clock_corner(house(tmp_path, files)) == ["service/planning.py:1 reads the clock"]


def test_every_maker_of_a_cp_solver_is_found(tmp_path: Path) -> None:
    files = {
        "solver/exact/run.py": "solver = cp_model.CpSolver()",
        "solver/bound.py": "from x import CpSolver\nCpSolver()",
        "solver/plan.py": "import cp_model",
    }
    assert makers_of_a_cp_solver(house(tmp_path, files)) == [
        "solver/bound.py",
        "solver/exact/run.py",
    ]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("see https://" + "pypi" + ".org/simple", 1),
        ("cd /" + "work/main && ls", 1),
        ("'/" + "root'", 1),
        ("file:///" + "root/x", 1),
        ("open('/" + "tmp/td/brief')", 1),
        ("the work/rest split, /v1/bars/{bar}/workers, {bar}/root, ../root", 0),
        ("/rooted /worker /tmp/tdx", 0),
    ],
)
def test_traces_of_places_are_found(text: str, count: int) -> None:
    assert len(traces_of_places(text)) == count
