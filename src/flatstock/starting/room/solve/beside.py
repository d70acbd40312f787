"""Rectangles beside each other and walks between points, as CP-SAT has them.

Nothing here knows of rooms: what has a size and what has only an area are kept apart and walked between by the same
lines, so that public sets of layouts whose things have no sizes measure them too.
"""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.starting.room.solve.cpsat import Model, Var

__all__ = ["Sides", "keep_apart", "legs"]

Sides = Sequence[Var]  #: left, right, low, high


def keep_apart(model: Model, a: Sides, b: Sides, grown: tuple[int, int] = (0, 0)) -> list[Var]:
    """Two rectangles, one of them grown along x and y, do not overlap.

    One literal for each way, at least one of them true: `a` left of `b`, right of it, below it, above it.
    """
    x, y = grown
    ways = [
        (a[1] + x, b[0]),
        (b[1] + x, a[0]),
        (a[3] + y, b[2]),
        (b[3] + y, a[2]),
    ]
    literals = [model.new_bool_var("") for _ in ways]
    for literal, (less, more) in zip(literals, ways, strict=True):
        held = less <= more
        if isinstance(held, bool):
            model.add(literal == int(held))
        else:
            model.add(held).only_enforce_if(literal)
    model.add_bool_or(literals)
    return literals


def legs(model: Model, one: Sequence[Var], other: Sequence[Var], most: Sequence[int]) -> list[Var]:
    """At least how far two points are from each other along x and along y; `most`: no leg is longer."""
    found = []
    for a, b, longest in zip(one, other, most, strict=True):
        leg = model.new_int_var(0, longest, "")
        model.add(leg >= a - b)
        model.add(leg >= b - a)
        found.append(leg)
    return found
