"""How the kernels are compiled: cached on disk, without the interpreter's lock or reference counts.

The kernels make no arrays, so nothing needs counting; on a three-deep snapshot that alone made a
search try more than twice as many moves. `inner` kernels are called by other kernels only and go
without wrappers for Python, which takes a good part of the time to compile them.

A kernel has those it calls compiled into it, and Numba's cache looks only at the file a kernel
stands in: after a change in `lay` it would go on running the search with the old one. So what is
cached is good for one state of all these files together.

Where nothing is cached yet, compiling takes most of half a minute. A bar does not wait for it:
while a thread is `compiling_here`, every other thread runs what is not compiled yet as the plain
Python that it is written in. The plans are the same; only a search has to wait.
"""

from __future__ import annotations

import hashlib
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FunctionType
from typing import Any, TypeVar, cast

from numba import njit, types
from numba.core.dispatcher import Dispatcher
from numba.extending import typeof_impl

Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def _digest(*files: Path) -> str:
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.read_bytes())
    return digest.hexdigest()


def state_of_kernels(solver: Path) -> str:
    """Give a digest of every file of the solver that kernels, or constants in them, come from."""
    folders = (solver / "timing", solver / "search")
    return _digest(*sorted(f for at in folders for f in at.glob("*.py")), solver / "goal.py")


STATE = state_of_kernels(Path(__file__).parents[1])


def _good_for_this_state(compiled: Kernel, kernel: Kernel) -> Kernel:
    cache = getattr(compiled, "_cache", None)
    file = getattr(cache, "_cache_file", None)  # neither is there where nothing is compiled
    if file is not None:
        # Numba has no public way to say what else a kernel was compiled from.
        file._source_stamp = (STATE, _digest(Path(kernel.__code__.co_filename)))  # noqa: SLF001
    return compiled


_compilers: set[int] = set()
"""Threads that compile; while there are any, the others do not."""


@contextmanager
def compiling_here() -> Iterator[None]:
    """Have this thread alone compile while the block runs; others run plain Python meanwhile."""
    here = threading.get_ident()
    _compilers.add(here)
    try:
        yield
    finally:
        _compilers.discard(here)


class Entry:
    """A kernel that Python calls: compiled, or as plain Python where another thread compiles.

    Parameters
    ----------
    compiled : Dispatcher
        The kernel; compiled, or loaded, when it is first called.
    """

    def __init__(self, compiled: Any) -> None:  # noqa: ANN401 (Numba ships no types)
        self.compiled = compiled

    @property
    def signatures(self) -> list[Any]:
        """What it is compiled for, as Numba says it; empty until it is."""
        return cast("list[Any]", self.compiled.signatures)

    def __call__(self, *args: Any) -> Any:  # noqa: ANN401 (whatever the kernel takes and gives)
        """Run the kernel."""
        if _compilers and not self.compiled.overloads and threading.get_ident() not in _compilers:
            return _as_python(self.compiled)(*args)
        return self.compiled(*args)


@typeof_impl.register(Entry)
def _typeof_entry(entry: Entry, _context: object) -> types.Dispatcher:
    """Have kernels that call an entry kernel call what is compiled of it."""
    return types.Dispatcher(entry.compiled)


_python: dict[str, dict[str, Any]] = {}
_building = threading.RLock()


def _as_python(compiled: Any) -> FunctionType:  # noqa: ANN401
    """Give a kernel as the Python it is written in, and so all that it calls."""
    kernel = compiled.py_func
    found = _names_as_python(kernel.__module__)[kernel.__name__]
    return cast("FunctionType", found)


def _names_as_python(module: str) -> dict[str, Any]:
    """Give what the functions of a module see, with every kernel as plain Python."""
    with _building:
        if module not in _python:
            names = _python[module] = dict(vars(sys.modules[module]))
            for name, value in list(names.items()):
                kernel = value.compiled if isinstance(value, Entry) else value
                if not isinstance(kernel, Dispatcher):
                    continue
                source = kernel.py_func
                if source.__module__ == module:
                    names[name] = FunctionType(source.__code__, names, source.__name__)
                else:
                    names[name] = _as_python(kernel)
        return _python[module]


def entry(kernel: Kernel) -> Kernel:
    """Compile a kernel that Python calls."""
    return _entry(kernel, nogil=True)


def brief(kernel: Kernel) -> Kernel:
    """Compile a kernel that Python calls and that takes some microseconds.

    The interpreter's lock is kept: another thread that got it meanwhile would keep it for a
    thousand times as long.
    """
    return _entry(kernel, nogil=False)


def _entry(kernel: Kernel, *, nogil: bool) -> Kernel:
    compiled = njit(cache=True, nogil=nogil, _nrt=False)(kernel)  # type: ignore[call-overload]
    if not isinstance(compiled, Dispatcher):
        return cast("Kernel", compiled)
    return cast("Kernel", Entry(_good_for_this_state(cast("Kernel", compiled), kernel)))


def inner(kernel: Kernel) -> Kernel:
    """Compile a kernel that only other kernels call."""
    compiled = njit(  # type: ignore[call-overload]
        cache=True, nogil=True, _nrt=False, no_cpython_wrapper=True, no_cfunc_wrapper=True
    )
    return _good_for_this_state(cast("Kernel", compiled(kernel)), kernel)
