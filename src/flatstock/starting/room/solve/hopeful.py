"""Of the places that an item may stand in, those from which somebody gets out as long as nothing else joins."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.solve.shapes import Shape
from flatstock.starting.room.solve.spots import Flags, Spots
from flatstock.starting.room.solve.walks import Walks

__all__ = ["OpenFloor", "open_spots"]


def open_spots(question: Question) -> Spots:
    """The places of a question's items from which somebody gets out, and the trolley has room, in the bare room.

    Whatever else stands only takes floor away, so a place that is struck here is in no plan that passes.
    """
    spots, walks = Spots(question), Walks(question, surely=True)
    standing = {item.id: item.placed for item in question.items if item.placed is not None}
    hope = OpenFloor(spots, walks, standing)
    for item in question.items:
        for shape in spots.shapes[item.id] if item.placed is None else ():
            flags = np.ones_like(spots.alone(item.id, shape.turn))
            hope.strike(flags, shape)
            spots.strike(item.id, shape.turn, flags)
    return spots


class OpenFloor:
    """The open floor among what stands, as maps; a thing that joins must have its people and the trolley on it."""

    def __init__(self, spots: Spots, walks: Walks, where: Mapping[str, Placement]) -> None:
        self._spots, self._board, self._has_trolley = spots, walks.board, walks.trolley
        access, service, rolled = walks.open_floor(where)
        self._access, self._service = (self._board.flags(points) for points in (access, service))
        self._rolled = _summed(self._board.flags(rolled))

    def strike(self, flags: Flags, shape: Shape) -> None:
        """Strike the places of an item at which one of its zones is not on open floor."""
        for zone in shape.item.zones:
            rect = shape.item.zone_offset(zone, shape.turn)
            if zone.standing:
                flags &= self._stands(rect, self._service if zone.kind == "service" else self._access)
            if zone.trolley and self._has_trolley:
                flags &= self._any(rect, self._rolled)

    def _stands(self, rect: Rect, open_floor: NDArray[np.bool_]) -> Flags:
        """True where one of the points beside a zone's middle is open."""
        b, two = self._spots.question.room.bounds, 2 * self._board.unit
        x = 2 * (self._spots.xs - b.x_mm) + rect.centre_twice[0]
        y = 2 * (self._spots.ys - b.y_mm) + rect.centre_twice[1]
        columns, rows = open_floor.shape
        # one side alone where all middles lie on points
        sides_x = [x // two] if not (x % two).any() else [x // two, -(-x // two)]
        sides_y = [y // two] if not (y % two).any() else [y // two, -(-y // two)]
        found = np.zeros((len(x), len(y)), dtype=np.bool_)
        for i in sides_x:
            for j in sides_y:
                found |= open_floor[np.minimum(np.maximum(i, 0), columns - 1)][
                    :, np.minimum(np.maximum(j, 0), rows - 1)
                ]
        return found

    def _any(self, rect: Rect, table: NDArray[np.int64]) -> Flags:
        """True where a point in a zone is open."""
        b, unit = self._spots.question.room.bounds, self._board.unit
        columns, rows = table.shape[0] - 1, table.shape[1] - 1
        x, y = self._spots.xs - b.x_mm, self._spots.ys - b.y_mm
        left, right = -(-(x + rect.x_mm) // unit), (x + rect.right_mm) // unit + 1
        low, high = -(-(y + rect.y_mm) // unit), (y + rect.top_mm) // unit + 1
        left, right = (np.clip(i, 0, columns) for i in (left, right))
        low, high = (np.clip(j, 0, rows) for j in (low, high))
        tall = table[:, high] - table[:, low]
        return np.asarray(tall[right] - tall[left] > 0)


def _summed(flags: NDArray[np.bool_]) -> NDArray[np.int64]:
    summed = np.zeros((flags.shape[0] + 1, flags.shape[1] + 1), dtype=np.int64)
    summed[1:, 1:] = flags.cumsum(axis=0).cumsum(axis=1)
    return summed
