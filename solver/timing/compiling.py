"""How the kernels are compiled: cached on disk, without the interpreter's lock or reference counts.

The kernels make no arrays, so nothing needs counting; on a three-deep snapshot that alone made a
search try more than twice as many moves. `inner` kernels are called by other kernels only and go
without wrappers for Python, which takes a good part of the time to compile them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def entry(kernel: Kernel) -> Kernel:
    """Compile a kernel that Python calls."""
    compiled = njit(cache=True, nogil=True, _nrt=False)  # type: ignore[call-overload]
    return cast("Kernel", compiled(kernel))


def inner(kernel: Kernel) -> Kernel:
    """Compile a kernel that only other kernels call."""
    compiled = njit(  # type: ignore[call-overload]
        cache=True, nogil=True, _nrt=False, no_cpython_wrapper=True, no_cfunc_wrapper=True
    )
    return cast("Kernel", compiled(kernel))
