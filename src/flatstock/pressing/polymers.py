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


def polymer_of(thermal: Thermal) -> Polymer:
    """The plastic's numbers for the heat model."""
    bed = Bed(
        void=thermal.bed_void.value,
        form=thermal.bed_form.value,
        flattening=thermal.bed_flattening.value,
        grain=thermal.bed_grain.value,
        emissivity=thermal.bed_emissivity.value,
        factor=thermal.bed_factor.value,
        conductivity=None if thermal.bed_k is None else thermal.bed_k.value,
    )
    return Polymer(**{name: float(getattr(thermal, name).value) for name in _PLAIN}, bed=bed)


def inputs(thermal: Thermal, names: tuple[str, ...]) -> dict[str, Value]:
    """The thermal values called `names`, for a draw."""
    return {name: getattr(thermal, name) for name in names}


def rows(thermal: Thermal, draws: Mapping[str, NDArray[np.float64]], count: int) -> NDArray[np.float64]:
    """Polymer rows of the first `count` draws, of which some are of thermal values; shape (count, 1, columns)."""
    own = {name: draws[name][:count] for name in HOT_FIELDS if name in draws}
    return polymer_of(thermal).rows(own)[:, None]
