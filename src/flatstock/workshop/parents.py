"""Lots that were made of lots: none is made of itself, by whatever way."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["check_parents"]


def check_parents(lots: Sequence[Row], notes: Notes) -> None:
    """Note each ring of lots once, at the one of its lots that stands highest in the file."""
    parents = {row.text("id"): row.texts("parents") for row in lots}
    told: set[str] = set()
    for row in lots:
        name = row.text("id")
        if name in told or not (ring := _ring(name, parents)):
            continue
        told.update(ring)
        way = " and ".join(
            f"{child} of {parent}" for child, parent in zip(ring, [*ring[1:], name], strict=True)
        )
        what = (
            f"{name} can't be its own parent"
            if len(ring) == 1
            else f"these lots are made of each other: {way}"
        )
        notes.fault(*row.at("parents"), what, "leave out the one that it was not made of")


def _ring(name: str, parents: dict[str, tuple[str, ...]]) -> list[str]:
    """The shortest way from a lot through its parents back to it; empty where there is none."""
    ways, seen = [[name]], set[str]()
    while ways:
        way = ways.pop(0)
        for parent in parents.get(way[-1], ()):
            if parent == name:
                return way
            if parent not in seen:
                seen.add(parent)
                ways.append([*way, parent])
    return []
