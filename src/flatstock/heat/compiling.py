"""The one way kernels are compiled: cached on disk, without the interpreter's lock, IEEE division."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from flatstock.heat.cache import use_cache

use_cache()

from numba import njit  # noqa: E402  (numba reads NUMBA_CACHE_DIR when it is first imported)

__all__ = ["kernel"]

Function = TypeVar("Function", bound=Callable[..., Any])


def kernel(signature: object = None) -> Callable[[Function], Function]:
    """Compile a function, at once for `signature`, else when it is first called from another kernel."""
    options: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}
    compiled: Any = njit(**options) if signature is None else njit(signature, **options)

    def keep_type(function: Function) -> Function:
        kept: Function = compiled(function)
        return kept

    return keep_type
