"""What a charge of lots of several plastics weighs: parts keep their own volume, cold and molten."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.evidence import Value, weakest
from flatstock.flow.charge import blend_density

__all__ = ["density_of_parts"]


def density_of_parts(parts: Sequence[tuple[str, float, Value]]) -> Value:
    """Density [kg/m3] of a charge from the id, the mass share and the density of each of its plastics.

    1/ρ = Σ w/ρ (docs/flow.md, "Charge"); the band is taken from the parts' low and high ends together, the widest it
    can be. A single plastic keeps its own value.
    """
    if len(parts) == 1:
        return parts[0][2]
    whole = blend_density(parts=[(share, value.value) for _, share, value in parts])
    low = blend_density(parts=[(share, value.low) for _, share, value in parts])
    high = blend_density(parts=[(share, value.high) for _, share, value in parts])
    sources = dict.fromkeys(source for _, _, value in parts for source in value.source.split(", "))
    said = ", ".join(
        f"{100 * share:.3g} % {name.upper()} {value.value:.4g} kg/m3" for name, share, value in parts
    )
    kind = weakest(*(value.kind for _, _, value in parts))
    return Value(whole, low, high, kind, ", ".join(sources), "kg/m3", f"1/ρ = Σ w/ρ of {said}")
