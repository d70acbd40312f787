"""A thickness map: mean, a plane through it, and what is left: wedge or bowl."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from flatstock.errors import OutOfRange

__all__ = ["Point", "ThicknessMap", "in_press", "map_of", "shims"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One reading [m]."""

    x: float  #: from the left edge of the front, face up
    y: float  #: from the front edge
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessMap:
    """What the readings say. Thicknesses [m], slopes [m/m]."""

    mean: float
    least: float
    most: float
    slope_x: float
    slope_y: float
    wedge: float  #: of the plane, from the thinnest corner of the readings to the thickest
    residual: float  #: largest distance of a reading from the plane
    residual_rms: float  #: with the readings' degrees of freedom
    bowl: float  #: the middle over the plane less the corners over it; above 0: thick in the middle


def map_of(points: Sequence[Point]) -> ThicknessMap:
    """The plane of least squares t = a + b (x - x̄) + c (y - ȳ) through four readings or more.

    The normal equations of two slopes about the means; a grid worked out apart stands in the tests.

    Raises
    ------
    OutOfRange
        Fewer than four readings, readings in one line, or a thickness that is not positive.
    """
    n = len(points)
    if n < 4:
        raise OutOfRange(f"{n} readings make no map: take nine, four at least.")
    if any(not 0 < p.thickness < 1 for p in points):
        raise OutOfRange("A thickness is a positive number of metres below one.")
    mx, my, mt = (
        sum(v) / n for v in ([p.x for p in points], [p.y for p in points], [p.thickness for p in points])
    )
    xx = sum((p.x - mx) ** 2 for p in points)
    yy = sum((p.y - my) ** 2 for p in points)
    xy = sum((p.x - mx) * (p.y - my) for p in points)
    xt = sum((p.x - mx) * (p.thickness - mt) for p in points)
    yt = sum((p.y - my) * (p.thickness - mt) for p in points)
    spread = xx * yy - xy * xy
    if spread <= 1e-9 * max(xx * yy, 1e-12):
        raise OutOfRange("The readings lie in one line: no plane goes through them alone.")
    b, c = (xt * yy - yt * xy) / spread, (yt * xx - xt * xy) / spread
    left = [p.thickness - mt - b * (p.x - mx) - c * (p.y - my) for p in points]
    width, depth = (max(v) - min(v) for v in ([p.x for p in points], [p.y for p in points]))
    freedom = n - 3
    return ThicknessMap(
        mean=mt,
        least=min(p.thickness for p in points),
        most=max(p.thickness for p in points),
        slope_x=b,
        slope_y=c,
        wedge=abs(b) * width + abs(c) * depth,
        residual=max(map(abs, left)),
        residual_rms=sqrt(sum(r * r for r in left) / freedom),
        bowl=_bowl(points, left),
    )


def _bowl(points: Sequence[Point], left: Sequence[float]) -> float:
    xs, ys = [p.x for p in points], [p.y for p in points]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    inside = min(
        range(len(points)), key=lambda i: (points[i].x - middle[0]) ** 2 + (points[i].y - middle[1]) ** 2
    )
    corners = [
        min(range(len(points)), key=lambda i: (points[i].x - x) ** 2 + (points[i].y - y) ** 2)
        for x in (min(xs), max(xs))
        for y in (min(ys), max(ys))
    ]
    return left[inside] - sum(left[i] for i in corners) / 4


def in_press(
    points: Sequence[Point], *, length: float, width: float, turned_over: bool, front_at_back: bool
) -> list[Point]:
    """Readings of a lying sheet in the press's own directions.

    Parameters
    ----------
    length, width : float
        Of the sheet along x and y [m].
    turned_over
        The face that was down in the press is up now, turned like a page: left and right have changed places.
    front_at_back
        The edge that was at the press's front lies at the back: turned half round.
    """
    found = []
    for p in points:
        x, y = p.x, p.y
        if front_at_back:
            x, y = length - x, width - y
        if turned_over:
            x = length - x
        found.append(Point(x=x, y=y, thickness=p.thickness))
    return found


def shims(found: ThicknessMap, *, length: float, width: float) -> tuple[float, float]:
    """What levels the platens [m]: over their length along x and their width along y; above 0: raise the far end.

    "Raise" is said of the lower platen: where the sheet is thick the gap is wide. Press cold, pressure off, ram
    propped, isolated and locked.
    """
    return found.slope_x * length, found.slope_y * width
