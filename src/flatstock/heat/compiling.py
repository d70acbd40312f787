"""The one way kernels are compiled: cached on disk, without the interpreter's lock, nan and inf as IEEE says.

Products may be fused with sums, divisions become products with a reciprocal, and the sign of a zero may be lost: a
tenth of a band's time, for 1e-12 in its answers (a test holds them). Sums keep their order, and nan stays nan.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from flatstock.heat.cache import use_cache

use_cache()

from numba import njit  # noqa: E402  (numba reads NUMBA_CACHE_DIR when it is first imported)

__all__ = ["kernel"]

FREEDOMS = {"contract", "arcp", "nsz"}
Function = TypeVar("Function", bound=Callable[..., Any])


def kernel(
    signature: object = None, *, borrows: bool = False, apart: bool = False
) -> Callable[[Function], Function]:
    """Compile a function, at once for `signature`, else when it is first called from another kernel.

    Without a signature it is compiled into its callers: handing on fifteen arrays costs more than a cell's
    arithmetic. `borrows`: nothing in it or below it counts references (numba's `_nrt` switch), which took a
    third of a step; such a kernel cannot allocate, and whoever calls it keeps its arrays alive. `apart`: not into its
    callers, but once for each kind of numbers it is called with; it borrows.
    """
    # only what Python calls is kept on disk: the rest is compiled into it
    options: dict[str, Any] = {
        "cache": signature is not None,
        "nogil": True,
        "error_model": "numpy",
        "fastmath": FREEDOMS,
    }
    if signature is None:
        options["forceinline"] = not apart  # said either way, for it is taken from the caller else
    if borrows or apart:
        options["_nrt"] = False
    compiled: Any = njit(**options) if signature is None else njit(signature, **options)

    def keep_type(function: Function) -> Function:
        kept: Function = compiled(function)
        return kept

    return keep_type
