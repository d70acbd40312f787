"""Numbers that no formula of this room holds for are refused before any arithmetic."""

from __future__ import annotations

from math import inf

from flatstock.errors import OutOfRange

__all__ = ["falling", "not_negative", "positive", "share"]


def positive(**numbers: float) -> None:
    """Raise `OutOfRange` unless every number is finite and above 0.

    >>> positive(density=950.0)
    """
    for name, number in numbers.items():
        if not 0 < number < inf:
            raise OutOfRange(f"{name} is {number}; it must be above 0.")


def not_negative(**numbers: float) -> None:
    """Raise `OutOfRange` unless every number is finite and at least 0."""
    for name, number in numbers.items():
        if not 0 <= number < inf:
            raise OutOfRange(f"{name} is {number}; it must be 0 or more.")


def share(**numbers: float) -> None:
    """Raise `OutOfRange` unless every number is a fraction from 0 up to, not including, 1."""
    for name, number in numbers.items():
        if not 0 <= number < 1:
            raise OutOfRange(f"{name} is {number}; it must be a fraction from 0 to below 1 (2.2 % is 0.022).")


def falling(start: float, end: float) -> None:
    """Raise `OutOfRange` unless a gap can fall from `start` to `end`, both finite and above 0 [m]."""
    positive(start=start, end=end)
    if start < end:
        raise OutOfRange(f"the gap falls from start to end, and {start} m is less than {end} m.")
