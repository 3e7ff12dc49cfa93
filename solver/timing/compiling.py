"""How the kernels are compiled: cached on disk, without the interpreter's lock or reference counts.

The kernels make no arrays, so nothing needs counting; on a three-deep snapshot that alone made a
search try more than twice as many moves. `inner` kernels are called by other kernels only and go
without wrappers for Python, which takes a good part of the time to compile them.

A kernel has those it calls compiled into it, and Numba's cache looks only at the file a kernel
stands in: after a change in `lay` it would go on running the search with the old one. So what is
cached is good for one state of all these files together.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import njit

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


def entry(kernel: Kernel) -> Kernel:
    """Compile a kernel that Python calls."""
    compiled = njit(cache=True, nogil=True, _nrt=False)  # type: ignore[call-overload]
    return _good_for_this_state(cast("Kernel", compiled(kernel)), kernel)


def inner(kernel: Kernel) -> Kernel:
    """Compile a kernel that only other kernels call."""
    compiled = njit(  # type: ignore[call-overload]
        cache=True, nogil=True, _nrt=False, no_cpython_wrapper=True, no_cfunc_wrapper=True
    )
    return _good_for_this_state(cast("Kernel", compiled(kernel)), kernel)
