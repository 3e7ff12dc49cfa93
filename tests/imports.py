"""Reads what the project's files import and call, without running them."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Import:
    """One imported module or name, as `solver.plan` or `solver.plan.Plan`, and its line."""

    target: str
    line: int


@dataclass(frozen=True, kw_only=True)
class Module:
    """One file of the project."""

    root: Path
    path: Path

    @property
    def where(self) -> str:
        return self.path.relative_to(self.root).as_posix()

    @property
    def is_package(self) -> bool:
        return self.path.name == "__init__.py"

    @property
    def name(self) -> str:
        """The dotted name; a package's is that of its folder."""
        parts = self.path.relative_to(self.root).with_suffix("").parts
        return ".".join(parts[:-1] if self.is_package else parts)

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.path.read_text(encoding="utf-8"), filename=self.where)

    @cached_property
    def imports(self) -> tuple[Import, ...]:
        """Every import of the file, those in functions and under TYPE_CHECKING too."""
        found: list[Import] = []
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Import):
                found += [Import(target=alias.name, line=node.lineno) for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                base = self._absolute(node)
                found += [
                    Import(target=base if alias.name == "*" else f"{base}.{alias.name}", line=line)
                    for alias in node.names
                    for line in [node.lineno]
                ]
        return tuple(found)

    def _absolute(self, node: ast.ImportFrom) -> str:
        """The module after `from`, with leading dots resolved."""
        if node.level == 0:
            return node.module or ""
        package = self.name.split(".") if self.is_package else self.name.split(".")[:-1]
        kept = package[: len(package) - (node.level - 1)]
        return ".".join([*kept, *([node.module] if node.module else [])])

    def calls_of(self, name: str) -> list[int]:
        """Lines that call `name(...)` or `anything.name(...)`."""
        return [
            node.lineno
            for node in ast.walk(self.tree)
            if isinstance(node, ast.Call)
            and (
                (isinstance(node.func, ast.Name) and node.func.id == name)
                or (isinstance(node.func, ast.Attribute) and node.func.attr == name)
            )
        ]

    def clock_reads(self) -> list[int]:
        """Lines that import `time`, or that ask `datetime` or `date` what time it is.

        `datetime` counts under whatever name the file imported it.
        """
        lines = [i.line for i in self.imports if i.target == "time" or i.target.startswith("time.")]
        askers = {"datetime", "date"} | {
            alias.asname
            for node in ast.walk(self.tree)
            if isinstance(node, ast.ImportFrom) and node.module == "datetime"
            for alias in node.names
            if alias.asname and alias.name in ("datetime", "date")
        }
        for node in ast.walk(self.tree):
            if not (isinstance(node, ast.Attribute) and node.attr in ("now", "utcnow", "today")):
                continue
            owner = node.value
            last = owner.attr if isinstance(owner, ast.Attribute) else getattr(owner, "id", None)
            if last in askers:
                lines.append(node.lineno)
        return sorted(lines)

    def strings(self) -> Iterator[tuple[str, int]]:
        """Every string constant (docstrings and parts of f-strings too) with its line."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value, node.lineno


def modules(root: Path, *packages: str) -> list[Module]:
    """The files of these top-level folders, in the order of their paths."""
    return [
        Module(root=root, path=path)
        for package in packages
        for path in sorted((root / package).rglob("*.py"))
    ]


def import_graph(files: list[Module]) -> dict[str, set[str]]:
    """For each file, the files of the project that it names in its imports.

    `from solver import plan` leads to `solver.plan` where that is a file, else to `solver`. The
    packages above a module, which Python runs on the way, do not count as named.
    """
    known = {file.name for file in files}
    graph: dict[str, set[str]] = {}
    for file in files:
        graph[file.name] = set()
        for imported in file.imports:
            target = imported.target
            while target and target not in known:
                target = target.rpartition(".")[0]
            # A package's own file names its modules; a file cannot import itself.
            if target and target != file.name:
                graph[file.name].add(target)
    return graph
