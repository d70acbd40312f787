"""The floor as one large whole number: a bit for each point where the middle of a box may be.

Points lie `unit` apart from the lower left corner of the room's bounding box. Where all sizes are multiples of
twice the unit, a walk over neighbouring points is a shortest walk of the middle exactly; elsewhere points that are
blocked only in part make walks longer or shut them, never shorter: a plan that passes here passes.

A board for what is `surely` shut errs the other way. Every middle counts as the point below and to the left of it,
and a point is blocked where all the middles that count as it are: whoever has a way has one over such points, so
that where there is none nobody has one. Where the unit divides everything both boards are the same.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from flatstock.starting.room.rectangles import Rect

__all__ = ["Board"]


class Board:
    """Points in rows, one guard bit after each so that a shift along x never ends in another row."""

    def __init__(self, bounds: Rect, unit: int, *, surely: bool = False) -> None:
        self.bounds, self.unit, self.surely = bounds, unit, surely
        self.columns, self.rows = bounds.length_mm // unit + 1, bounds.width_mm // unit + 1
        self.stride = self.columns + 1
        self._repeat = [0]
        for row in range(self.rows):
            self._repeat.append(self._repeat[-1] | 1 << (row * self.stride))
        self.full = ((1 << self.columns) - 1) * self._repeat[self.rows]

    def blocked(self, solid: Rect, length: int, width: int) -> int:
        """The points at which a box `length` along x, `width` along y would reach into `solid`."""
        b, two = self.bounds, 2 * self.unit
        back = two if self.surely else 1
        left = max((2 * (solid.x_mm - b.x_mm) - length) // two + 1, 0)
        right = min((2 * (solid.right_mm - b.x_mm) + length - back) // two, self.columns - 1)
        low = max((2 * (solid.y_mm - b.y_mm) - width) // two + 1, 0)
        high = min((2 * (solid.top_mm - b.y_mm) + width - back) // two, self.rows - 1)
        return self._block(left, right, low, high)

    def within(self, rect: Rect) -> int:
        """The points in a closed rectangle."""
        return self.between((2 * rect.x_mm, 2 * rect.y_mm), (2 * rect.right_mm, 2 * rect.top_mm))

    def between(self, low: tuple[int, int], high: tuple[int, int]) -> int:
        """The points in a closed rectangle between two corners [half mm]."""
        b, two = self.bounds, 2 * self.unit
        if self.surely:
            return self.span(low, high)
        return self._block(
            max(-((2 * b.x_mm - low[0]) // two), 0),
            min((high[0] - 2 * b.x_mm) // two, self.columns - 1),
            max(-((2 * b.y_mm - low[1]) // two), 0),
            min((high[1] - 2 * b.y_mm) // two, self.rows - 1),
        )

    def point(self, twice: tuple[int, int]) -> int:
        """The point nearest to a middle [half mm]; 0 outside."""
        x = (twice[0] - 2 * self.bounds.x_mm + self.unit) // (2 * self.unit)
        y = (twice[1] - 2 * self.bounds.y_mm + self.unit) // (2 * self.unit)
        inside = 0 <= x < self.columns and 0 <= y < self.rows
        return 1 << (y * self.stride + x) if inside else 0

    def beside(self, twice: tuple[int, int]) -> int:
        """The points on both sides of a middle [half mm] along both axes: itself where it is a point."""
        return self.span(twice, twice)

    def span(self, low: tuple[int, int], high: tuple[int, int]) -> int:
        """The points from the one below a corner to the one above another [half mm]."""
        b, two = self.bounds, 2 * self.unit
        return self._block(
            max((low[0] - 2 * b.x_mm) // two, 0),
            min(-((2 * b.x_mm - high[0]) // two), self.columns - 1),
            max((low[1] - 2 * b.y_mm) // two, 0),
            min(-((2 * b.y_mm - high[1]) // two), self.rows - 1),
        )

    def flags(self, points: int) -> NDArray[np.bool_]:
        """Points as a map; (columns, rows)."""
        size = self.stride * self.rows
        packed = np.frombuffer(points.to_bytes(-(-size // 8), "little"), dtype=np.uint8)
        bits = np.unpackbits(packed, bitorder="little")[:size].reshape(self.rows, self.stride)
        return bits[:, : self.columns].T.astype(np.bool_)

    def filled(self, seeds: int, free: int, *, along_x: bool = True, along_y: bool = True) -> int:
        """All free points that are reached, however far; only by steps along one axis where the other is off.

        A row is filled towards its end by the carry of one sum, everything else in strides that double (Kogge and
        Stone's prefix, from memory): a room takes a few dozen such steps where going point by point takes hundreds.
        """
        strides: list[
            tuple[int, int, int]
        ] = []  # how far; points from which all so far below, or above, is free
        for wanted, first, count in ((along_x, 1, self.columns), (along_y, self.stride, self.rows)):
            low = high = free
            shift = first
            while wanted and shift < first * count:
                strides.append((shift, low, 0 if first == 1 else high))
                low &= low >> shift
                high &= high << shift
                shift *= 2
        found, before = seeds & free, 0
        while found != before:
            before = found
            if along_x:
                found |= (free ^ (free + found)) & free
            for shift, low, high in strides:
                found |= low & (found >> shift)
                if high:
                    found |= high & (found << shift)
        return found

    def rings(self, seeds: int, free: int, steps: int | None) -> tuple[int, list[int]]:
        """All that is reached within `steps`, or at all, and what is reached after 0, 1, 2 … steps and not before."""
        s = self.stride
        front = seeds & free
        fronts = [front]
        left = free ^ front
        while front and (steps is None or len(fronts) <= steps):
            front = (front << 1 | front >> 1 | front << s | front >> s) & left
            left ^= front
            fronts.append(front)
        return free ^ left, fronts

    def steps(self, start: int, free: int, ends: list[int], most: int | None = None) -> list[int | None]:
        """Steps from the nearest of some points to each of some sets of others; None: no way, or over `most`."""
        s = self.stride
        front = start & free
        left = free ^ front
        found: list[int | None] = [0 if end & front else None for end in ends]
        missing = sum(steps is None for steps in found)
        wanted = 0
        for end in ends:
            wanted |= end
        walked = 0
        while front and missing and walked != most:
            walked += 1
            front = (front << 1 | front >> 1 | front << s | front >> s) & left
            left ^= front
            if front & wanted:
                for n, end in enumerate(ends):
                    if found[n] is None and end & front:
                        found[n] = walked
                        missing -= 1
        return found

    def _block(self, left: int, right: int, low: int, high: int) -> int:
        if right < left or high < low:
            return 0
        row = ((1 << (right - left + 1)) - 1) << left
        return (row * self._repeat[high - low + 1]) << (low * self.stride)
