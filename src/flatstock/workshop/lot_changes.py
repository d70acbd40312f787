"""Which lots are others than before: quick where most are the very same ones, as after a weighing."""

from __future__ import annotations

from collections.abc import Mapping

from flatstock.workshop.shop import Lot

__all__ = ["lot_changes"]


def lot_changes(old: Mapping[str, Lot], new: Mapping[str, Lot]) -> list[tuple[Lot | None, Lot | None]]:
    """Each lot that is another now, as it was and as it is; None: there was none, or is none."""
    both = ((old.get(name), new.get(name)) for name in old.keys() | new.keys())
    return [(was, now) for was, now in both if was is not now and was != now]
