"""A plastic's thermal values as the heat model takes them, typical or drawn."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from flatstock.evidence import Value
from flatstock.heat.polymer import Bed, Polymer
from flatstock.plastics.model import Thermal

__all__ = ["BAND_FIELDS", "HOT_FIELDS", "polymer_of", "rows"]

#: thermal values whose bands go into a cooling or stack answer
BAND_FIELDS = ("melt_k_180", "solid_k_23", "latent", "solid_cp_23", "melt_cp_180")
#: the same with the flake bed, for the hot press
HOT_FIELDS = (*BAND_FIELDS, "bed_factor", "bed_void")
_PLAIN = (
    "density", "solid_volume_slope", "melt_volume_180", "melt_volume_slope", "solid_cp_23", "solid_cp_slope",
    "melt_cp_180", "melt_cp_slope", "latent", "latent_at", "melting_onset", "melting_end", "freezing_end",
    "freezing_onset", "solid_k_23", "solid_k_slope", "melt_k_180",
)  # fmt: skip


def polymer_of(thermal: Thermal, drawn: Mapping[str, float] | None = None) -> Polymer:
    """The plastic's numbers for the heat model; `drawn` replaces some of them."""
    drawn = drawn or {}

    def pick(name: str) -> float:
        return float(drawn[name]) if name in drawn else float(getattr(thermal, name).value)

    bed = Bed(
        void=pick("bed_void"),
        form=thermal.bed_form.value,
        flattening=thermal.bed_flattening.value,
        grain=thermal.bed_grain.value,
        emissivity=thermal.bed_emissivity.value,
        factor=pick("bed_factor"),
        conductivity=None if thermal.bed_k is None else thermal.bed_k.value,
    )
    return Polymer(**{name: pick(name) for name in _PLAIN}, bed=bed)


def inputs(thermal: Thermal, names: tuple[str, ...]) -> dict[str, Value]:
    """The thermal values called `names`, for a draw."""
    return {name: getattr(thermal, name) for name in names}


def rows(thermal: Thermal, draws: Mapping[str, NDArray[np.float64]], count: int) -> NDArray[np.float64]:
    """Polymer rows of `count` draws, shape (count, 1, columns)."""
    names = [name for name in HOT_FIELDS if name in draws]
    return np.array(
        [[polymer_of(thermal, {name: draws[name][b] for name in names}).row()] for b in range(count)]
    )
