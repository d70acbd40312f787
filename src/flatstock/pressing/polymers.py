"""What a charge is made of as the heat model takes it, typical or drawn: one plastic, or several."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from flatstock.evidence import Value
from flatstock.heat.blend import Blend
from flatstock.heat.polymer import Bed, Polymer
from flatstock.plastics.model import Thermal

__all__ = ["BAND_FIELDS", "HOT_FIELDS", "Material", "Mixed", "inputs", "kinds_of", "polymer_of", "rows"]

#: thermal values whose bands go into a cooling or stack answer
BAND_FIELDS = ("melt_k_180", "solid_k_23", "latent", "solid_cp_23", "melt_cp_180")
#: the same with the flake bed, for the hot press
HOT_FIELDS = (*BAND_FIELDS, "bed_factor", "bed_void")
_PLAIN = (
    "density", "solid_volume_slope", "melt_volume_180", "melt_volume_slope", "solid_cp_23", "solid_cp_slope",
    "melt_cp_180", "melt_cp_slope", "latent", "latent_at", "melting_onset", "melting_end", "freezing_end",
    "freezing_onset", "solid_k_23", "solid_k_slope", "melt_k_180",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mixed:
    """The thermal values of a charge of several plastics."""

    parts: tuple[tuple[str, float, Thermal], ...]  #: id, mass share, values; the largest share first

    @property
    def melting_onset(self) -> Value:
        """Where the first of them begins to melt."""
        return min((own.melting_onset for _, _, own in self.parts), key=lambda one: one.value)

    @property
    def melting_end(self) -> Value:
        """Where the last of them has melted."""
        return max((own.melting_end for _, _, own in self.parts), key=lambda one: one.value)


Material = Thermal | Mixed


def kinds_of(material: Material, plastic: str) -> list[tuple[str, Thermal]]:
    """Each plastic of it with its values; `plastic`: what it is called where it is one."""
    if isinstance(material, Mixed):
        return [(name, own) for name, _, own in material.parts]
    return [(plastic, material)]


def polymer_of(material: Material) -> Polymer | Blend:
    """Its numbers for the heat model."""
    if isinstance(material, Mixed):
        return Blend(tuple((share, _polymer(own)) for _, share, own in material.parts))
    return _polymer(material)


@lru_cache(maxsize=256)  # one card asks for the same a dozen times, and a polymer checks itself
def _polymer(thermal: Thermal) -> Polymer:
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


def inputs(material: Material, names: tuple[str, ...]) -> dict[str, Value]:
    """The thermal values called `names`, for a draw; those of several plastics as "ldpe: latent"."""
    if isinstance(material, Mixed):
        return {f"{one}: {name}": getattr(own, name) for one, _, own in material.parts for name in names}
    return {name: getattr(material, name) for name in names}


def rows(
    material: Material, draws: Mapping[str, NDArray[np.float64]], count: int, *, plastic: str | None = None
) -> NDArray[np.float64]:
    """Rows for the march of the first `count` draws, of which some are of thermal values; (count, 1, columns).

    `plastic`: the draws of one plastic are named as those of several are.
    """

    def own(name: str | None) -> dict[str, NDArray[np.float64]]:
        said = {field: field if name is None else f"{name}: {field}" for field in HOT_FIELDS}
        return {field: draws[key][:count] for field, key in said.items() if key in draws}

    if isinstance(material, Mixed):
        drawn = [own(name) for name, _, _ in material.parts]
        blend = Blend(tuple((share, _polymer(values)) for _, share, values in material.parts))
        return blend.rows(drawn)[:, None]
    return _polymer(material).rows(own(plastic))[:, None]
