"""Things set down together as they walk least, in a room: an arrangement turned and shifted to where all of it fits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

import numpy as np

from flatstock.starting.room.question import TURNS, Placement, Question
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.plane import Cluster
from flatstock.starting.room.solve.spots import Flags, Spots

__all__ = ["set_down"]

Where = Mapping[str, Placement]


def set_down(spots: Spots, cluster: Cluster, where: Where, random: Random, tries: int) -> Iterator[Where]:
    """Plans with the cluster somewhere among what stands: places at random, of those where boxes and zones fit."""
    found: list[tuple[Where, Flags]] = []
    for turn in TURNS:
        shifted = _turned(spots.question, cluster, turn)
        if shifted is not None:
            flags = _fits(spots, shifted, where)
            if flags.any():
                found.append((shifted, flags))
    for _ in range(tries if found else 0):
        shifted, flags = random.choices(found, [int(flags.sum()) for _, flags in found])[0]
        places = np.argwhere(flags)
        i, j = (int(n) for n in places[random.randrange(len(places))])
        yield {
            name: Placement(
                x_mm=int(spots.xs[i]) + at.x_mm, y_mm=int(spots.ys[j]) + at.y_mm, turned_deg=at.turned_deg
            )
            for name, at in shifted.items()
        }


def _fits(spots: Spots, shifted: Where, where: Where) -> Flags:
    """Where the corner that the cluster is counted from may lie."""
    nx, ny, g = len(spots.xs), len(spots.ys), spots.question.grid_mm
    flags = np.ones((nx, ny), dtype=np.bool_)
    for name, at in shifted.items():
        own = next((free for shape, free in spots.free(name, where) if shape.turn == at.turned_deg), None)
        if own is None:
            return np.zeros_like(flags)
        i, j = at.x_mm // g, at.y_mm // g
        moved = np.zeros_like(flags)
        left, right, low, high = max(0, -i), min(nx, nx - i), max(0, -j), min(ny, ny - j)
        if left < right and low < high:
            moved[left:right, low:high] = own[left + i : right + i, low + j : high + j]
        flags &= moved
    return flags


def _turned(question: Question, cluster: Cluster, turn: int) -> Where | None:
    """The cluster turned as a whole, counted from one of its corners; None where that leaves the grid."""
    g, found = question.grid_mm, {}
    for name, at in cluster.items():
        rect = question.by_id[name].footprint(at)
        for _ in range(turn // 90):
            rect = Rect(-rect.top_mm, rect.x_mm, rect.width_mm, rect.length_mm)
        found[name] = Placement(x_mm=rect.x_mm, y_mm=rect.y_mm, turned_deg=(at.turned_deg + turn) % 360)
    first = next(iter(found.values()))
    x, y = first.x_mm, first.y_mm
    if any((at.x_mm - x) % g or (at.y_mm - y) % g for at in found.values()):
        return None
    return {
        name: Placement(x_mm=at.x_mm - x, y_mm=at.y_mm - y, turned_deg=at.turned_deg)
        for name, at in found.items()
    }
