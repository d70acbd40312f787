"""The corners of a room as somebody wrote them: closed, not crossing, every wall parallel to an axis."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

__all__ = ["clean_outline"]

Corner = tuple[int, int]
Wall = tuple[Corner, Corner]


def clean_outline(corners: Sequence[Corner]) -> tuple[tuple[Corner, ...], list[tuple[str, str]]]:
    """The corners counter-clockwise without those in the middle of a wall, and what is wrong with them.

    Parameters
    ----------
    corners
        In turn [mm]; a last corner equal to the first is left out.

    Returns
    -------
    tuple
        The corners, and for each fault what is wrong and what would be right.
    """
    if len(corners) > 1 and corners[0] == corners[-1]:
        corners = corners[:-1]
    if len(corners) < 4:
        return (), [(f"{len(corners)} corners close no room", "give at least four, in turn")]
    walls = list(pairwise([*corners, corners[0]]))
    wrong = [
        fault for number, wall in enumerate(walls, 1) if (fault := _wall_fault(wall, number, len(walls)))
    ]
    if wrong:
        return (), wrong
    straight = [
        here for before, here, after in zip([corners[-1], *corners], corners, [*corners[1:], corners[0]],
                                            strict=False) if not _on_the_way(before, here, after)
    ]  # fmt: skip
    walls = list(pairwise([*straight, straight[0]])) if straight else []
    for (n, a), (m, b) in combinations(enumerate(walls), 2):
        beside = m - n == 1 or (n == 0 and m == len(walls) - 1)
        if _meet(a, b, beside=beside):
            what = f"the wall {_shown(a)} meets the wall {_shown(b)}: the outline crosses or touches itself"
            return (), [(what, "give the corners in turn, as you walk along the walls")]
    if _twice_area(straight) == 0:
        return (), [("the corners enclose no floor", "give them in turn, as you walk along the walls")]
    return tuple(straight if _twice_area(straight) > 0 else straight[::-1]), []


def _wall_fault(wall: Wall, number: int, count: int) -> tuple[str, str] | None:
    (x1, y1), (x2, y2) = wall
    if x1 == x2 and y1 == y2:
        return f"corner {number} stands there twice", "give each corner once"
    if x1 != x2 and y1 != y2:
        if number == count:
            what = f"the outline isn't closed: from its last corner [{x1}, {y1}] to its first [{x2}, {y2}] is slanted"
            return what, f"add the corner [{x1}, {y2}] or [{x2}, {y1}]"
        what = f"the wall from [{x1}, {y1}] to [{x2}, {y2}] is slanted"
        return what, "walls are parallel to an axis; draw a slanted one as steps inside it"
    return None


def _on_the_way(before: Corner, here: Corner, after: Corner) -> bool:
    """True where a corner lies in the middle of a straight wall; a spike that turns back is a corner."""
    return (before[0] == here[0] == after[0] and (before[1] < here[1]) == (here[1] < after[1])) or (
        before[1] == here[1] == after[1] and (before[0] < here[0]) == (here[0] < after[0])
    )


def _meet(a: Wall, b: Wall, *, beside: bool) -> bool:
    """True where two walls share a point; of neighbours, one beyond their corner."""
    (ax, ay), (bx, by) = (_span(a, 0), _span(a, 1)), (_span(b, 0), _span(b, 1))
    x, y = (max(ax[0], bx[0]), min(ax[1], bx[1])), (max(ay[0], by[0]), min(ay[1], by[1]))
    if x[0] > x[1] or y[0] > y[1]:
        return False
    return not beside or x[0] < x[1] or y[0] < y[1]


def _span(wall: Wall, axis: int) -> tuple[int, int]:
    one, other = wall[0][axis], wall[1][axis]
    return min(one, other), max(one, other)


def _twice_area(corners: Sequence[Corner]) -> int:
    """Twice the signed area, positive counter-clockwise [mm2]."""
    turn = pairwise([*corners, corners[0]]) if corners else []
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turn)


def _shown(wall: Wall) -> str:
    return f"[{wall[0][0]}, {wall[0][1]}] to [{wall[1][0]}, {wall[1][1]}]"
