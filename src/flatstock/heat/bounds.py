"""Everything that compiled kernels look up by a number is looked at here first.

Compiled code reads and writes whatever a number points to, inside its array or not. So before a kernel is entered the
shapes of what it is given, and every number in there that is the place of something else (a cell's plastic, a sheet's
cells, a sensor's cell, a joint's kind), are held against each other. What is refused here is an error of the program,
not of anybody's input: `IndexError`.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.blend_laws import PART, REMEMBERED
from flatstock.heat.laws import PARTS, ROW
from flatstock.heat.rates import CONTACT, KIND, PLASTIC_ABOVE, PLASTIC_BELOW, SENSOR

__all__ = ["check_columns", "check_layout", "check_part", "check_shape", "check_watched"]

Array = NDArray[Any]


def check_shape(name: str, array: Array, *wanted: int | None) -> None:
    """Refuse an array of another shape; None: any length."""
    shape = array.shape
    if shape == wanted:
        return
    if len(shape) != len(wanted) or any(
        length is not None and length != found for length, found in zip(wanted, shape, strict=True)
    ):
        raise IndexError(f"{name} has the shape {shape}, not {wanted}.")


def check_layout(kind: Array, memory: Array, cells: Array, sheets: Array, *, plastics: int) -> None:
    """Refuse cells of a plastic that is not there, and sheets that are not cells of this column.

    kind (n,), memory (n, 3 or more), cells (5, n), sheets (k, 2): as `march.march` takes them.
    """
    n = len(kind)
    check_shape("memory", memory, n, None)
    check_shape("cells", cells, 5, n)
    check_shape("sheets", sheets, None, 2)
    if memory.shape[1] < REMEMBERED:
        raise IndexError(f"memory has {memory.shape[1]} numbers a cell, not {REMEMBERED} or more.")
    if n and not -1 <= kind.min() <= kind.max() < plastics:
        raise IndexError(f"kind has a cell of a plastic that is not among the {plastics} of this column.")
    if not all(0 <= first < last <= n for first, last in sheets.tolist()):
        raise IndexError(f"sheets are not cells among the {n} of this column.")


def check_columns(
    kind: Array, memory: Array, *, joints: Array, polymers: Array, ends: Array, heaters: Array
) -> None:
    """Refuse joints, plastics, ends and heaters, (B, …) of B columns, that are not those of a layout.

    All columns have their joints' kinds, their sensors' places and the number of a plastic's parts from the first.
    """
    n, (count, plastics, row) = len(kind), polymers.shape
    check_shape("joints", joints, count, 5, None)
    check_shape("ends", ends, count, 2, 7)
    check_shape("heaters", heaters, count, 2, 8)
    if n < 2 or joints.shape[2] < n - 1:
        raise IndexError(f"{joints.shape[2]} joints do not join {n} cells.")
    if not count:
        return
    if count > 1:
        _same("joints' kinds", joints[:, KIND, : n - 1])
        _same("sensors' places", heaters[:, :, SENSOR])
        _same("parts", polymers[:, :, PARTS : PARTS + 1])
    if not all(0 <= place <= n - 2 for place in heaters[0, :, SENSOR].tolist()):
        raise IndexError("A platen's sensor does not lie between two cells of its column.")
    of = joints[0, KIND, : n - 1]
    for joint in np.flatnonzero(of).tolist():  # those that are not inside a layer
        wetted = {PLASTIC_ABOVE: kind[joint + 1], PLASTIC_BELOW: kind[joint], CONTACT: 0}.get(of[joint])
        if wetted is None:
            raise IndexError("A joint is of no kind that there is.")
        if wetted < 0:
            raise IndexError("A joint that melt wets has no plastic at its side.")
    if plastics and row < ROW:
        raise IndexError(f"A plastic has {row} numbers, not {ROW} or more.")
    for parts in polymers[0, :, PARTS].tolist():
        if not (parts >= 0 and ROW + parts * PART <= row and REMEMBERED + parts <= memory.shape[1]):
            raise IndexError(f"{parts} parts of a plastic find no room in its numbers or in a cell's memory.")


def _same(name: str, of_columns: Array) -> None:
    if not (of_columns == of_columns[0]).all():
        raise IndexError(f"{name} are not the same in all columns.")


def check_watched(sheet: float, sheets: Array) -> None:
    """Refuse a sheet that is not there; where there is none, none is looked for."""
    if len(sheets) and not 0 <= sheet < len(sheets):
        raise IndexError(f"Sheet number {sheet} is not among the {len(sheets)} of this column.")


def check_part(first: int, last: int, count: int) -> None:
    """Refuse columns `first` … `last` - 1 that are not among `count`."""
    if not 0 <= first <= last <= count:
        raise IndexError(f"Columns {first} … {last} are not among {count}.")
