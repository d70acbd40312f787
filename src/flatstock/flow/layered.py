"""A melt whose viscosity differs through the gap: the one viscosity with which it would flow out alike.

Plane flow between parallel faces that the melt sticks to, driven by one pressure gradient: what counts is the
melt near the faces, where it is sheared. Derived in docs/flow.md, "Squeeze flow".
"""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.errors import OutOfRange
from flatstock.flow.ranges import positive

__all__ = ["effective_viscosity"]


def effective_viscosity(*, heights: Sequence[float], viscosities: Sequence[float]) -> float:
    """Viscosity [Pa s] of an even melt that carries as much through the gap as these layers do.

    Parameters
    ----------
    heights, viscosities : sequence of float
        Of the layers from one face to the other [m], or in shares of the gap; [Pa s]. At least one layer.

    Source
    ------
    With τ = G (y − y₀), u' = τ/η and u = 0 at both faces: y₀ = ∫y/η / ∫1/η, and the flow per gradient is
    ∫(y − y₀)²/η dy, which is h³/12η where η is even.

    >>> round(effective_viscosity(heights=[1.0, 2.0], viscosities=[5e3, 5e3]))
    5000
    >>> round(effective_viscosity(heights=[1.0, 1.0, 1.0], viscosities=[1e3, 1e5, 1e3]))  # a stiff core
    1038
    """
    if not heights or len(heights) != len(viscosities):
        raise OutOfRange("heights and viscosities are given layer by layer, one of each.")
    mean = slope = square = bottom = 0.0
    for height, viscosity in zip(heights, viscosities, strict=True):
        positive(height=height, viscosity=viscosity)
        top = bottom + height
        mean += height / viscosity
        slope += (top**2 - bottom**2) / (2 * viscosity)
        square += (top**3 - bottom**3) / (3 * viscosity)
        bottom = top
    return bottom**3 / (12 * (square - slope**2 / mean))
