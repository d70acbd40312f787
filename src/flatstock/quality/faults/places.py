"""Where on the sheet, as nine fields numbered as it is measured: 1 to 3 along the front, 7 to 9 along the back."""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.errors import OutOfRange
from flatstock.quality.faults.ranking import Found

__all__ = ["CELLS", "cell_words", "cells_of", "place_finds", "place_words"]

CELLS = tuple(range(1, 10))
_RIM = frozenset(CELLS) - {5}
_ROWS, _COLUMNS = ("front", "middle", "back"), ("left", "middle", "right")
_LINES = {
    frozenset({1, 2, 3}): "along the front",
    frozenset({7, 8, 9}): "along the back",
    frozenset({1, 4, 7}): "along the left edge",
    frozenset({3, 6, 9}): "along the right edge",
}


def cell_words(cell: int) -> str:
    """One field.

    >>> cell_words(1), cell_words(5), cell_words(6)
    ('front left', 'middle', 'middle right')
    """
    row, column = _ROWS[(cell - 1) // 3], _COLUMNS[(cell - 1) % 3]
    return row if row == column else f"{row} {column}"


def cells_of(text: str) -> tuple[int, ...]:
    """Fields from text, in order. Raises `OutOfRange` at anything that is no field.

    >>> cells_of("5 1 5")
    (1, 5)
    """
    parts = text.split()
    if any(part not in {str(cell) for cell in CELLS} for part in parts):
        raise OutOfRange(f"{text!r} names no fields of a sheet: 1 to 9 are meant.")
    return tuple(sorted({int(part) for part in parts}))


def place_words(cells: Iterable[int]) -> str:
    """Fields in words.

    >>> place_words((1, 2, 3)), place_words(range(1, 10)), place_words(())
    ('along the front', 'all over', 'place not said')
    """
    known = frozenset(cells)
    if not known:
        return "place not said"
    if known == frozenset(CELLS):
        return "all over"
    if known == _RIM:
        return "along the whole rim"
    return _LINES.get(known) or ", ".join(cell_words(cell) for cell in sorted(known))


def place_finds(cells: Iterable[int]) -> tuple[Found, ...]:
    """What the place alone answers: along the rim, or in one zone."""
    known = frozenset(cells)
    if not known or known == frozenset(CELLS):
        return ()
    where = f"marked on the sheet: {place_words(known)}"
    if 5 not in known and len(known) >= 6:
        return (Found(question="all_round", answer="yes", where=where),)
    if len(known) <= 3:
        return (Found(question="all_round", answer="no", where=where),)
    return ()
