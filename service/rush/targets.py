"""Where findings are written to: looked at before the first night, not after the last."""

from __future__ import annotations

from pathlib import Path


class CannotWrite(Exception):
    """A file or folder that findings cannot be written to; says what to do."""


def check_targets(html: Path | None, tables: Path | None) -> None:
    """Make sure that a report and tables can be written; the tables' folder is made.

    Parameters
    ----------
    html : Path or None
        The report's file. One that is there already is left as it is.
    tables : Path or None
        The folder of the tables.

    Raises
    ------
    CannotWrite
    """
    if tables is not None:
        # First: the report may go into the same folder.
        _make_folder(tables)
    if html is not None:
        _check_file(html)


def _check_file(path: Path) -> None:
    if path.is_dir():
        raise CannotWrite(
            f"--html {path}: expected a file; this is a folder: name a file in it, such as "
            f"{path / 'rush.html'}"
        )
    if not path.parent.is_dir():
        raise CannotWrite(
            f"--html {path}: there is no folder {path.parent}: make it first, or name another file"
        )
    was_there = path.exists()
    try:
        path.open("ab").close()
        if not was_there:
            path.unlink()
    except OSError as error:
        raise CannotWrite(f"--html {path}: {not_written(error)}") from None


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        trial = folder / "figures.csv"
        was_there = trial.exists()
        trial.open("ab").close()
        if not was_there:
            trial.unlink()
    except (FileExistsError, NotADirectoryError):
        raise CannotWrite(
            f"--csv {folder}: expected a folder; this is a file, or goes through one: name another"
        ) from None
    except OSError as error:
        raise CannotWrite(f"--csv {folder}: {not_written(error)}") from None


def not_written(error: OSError) -> str:
    """Say why something was not written, and what to do."""
    reason = (error.strerror or str(error)).lower()
    return f"it cannot be written ({reason}): name another place, or make room there"
