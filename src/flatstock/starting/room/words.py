"""Lengths as the room's sentences have them."""

from __future__ import annotations

__all__ = ["metres"]


def metres(length_mm: float) -> str:
    """A length in metres, with as many figures as it needs and at least two.

    >>> metres(5000), metres(899), metres(12345)
    ('5.00 m', '0.899 m', '12.345 m')
    """
    whole = round(length_mm)
    return f"{whole / 1000:.2f} m" if whole % 10 == 0 else f"{whole / 1000:.3f} m"
