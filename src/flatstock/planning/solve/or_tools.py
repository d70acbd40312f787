"""OR-Tools' CP-SAT, brought in without pandas: that takes as long as all the rest of a first answer's imports.

`cp_model` imports pandas for variables in tables of its own, which nothing here makes. While it is imported an empty
stand-in has that name; whoever imports pandas afterwards gets the real one.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

__all__ = ["cp_model"]

NAME = "ortools.sat.python.cp_model"


class _Table:
    """What nothing is an instance of."""


@contextmanager
def _stand_in() -> Iterator[None]:
    module = ModuleType("pandas")
    module.Index = module.Series = _Table  # type: ignore[attr-defined]  # a module has any name it is given
    sys.modules["pandas"] = module
    try:
        yield
    finally:
        del sys.modules["pandas"]


def _imported() -> ModuleType:
    if "pandas" in sys.modules or NAME in sys.modules:
        return import_module(NAME)
    try:
        with _stand_in():
            return import_module(NAME)
    except AttributeError:  # a version that asks more of it
        return import_module(NAME)


if not TYPE_CHECKING:
    cp_model = _imported()
