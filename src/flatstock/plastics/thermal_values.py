"""The numbers that the heat model needs of a plastic."""

from __future__ import annotations

from dataclasses import dataclass, fields

from flatstock.evidence import Value

__all__ = ["Thermal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermal:
    """What the heat model needs of a plastic; equations in docs/plastics.md. °C, SI otherwise."""

    density: Value  #: ρ0, of the solid at 23 °C [kg/m3]
    solid_volume_slope: Value  #: vs1 [m3/kgK]
    melt_volume_180: Value  #: vl0 [m3/kg]
    melt_volume_slope: Value  #: vl1 [m3/kgK]
    solid_cp_23: Value  #: cps0 [J/kgK]
    solid_cp_slope: Value  #: cps1 [J/kgK2]
    melt_cp_180: Value  #: cpl0 [J/kgK]
    melt_cp_slope: Value  #: cpl1 [J/kgK2]
    latent: Value  #: L at `latent_at` [J/kg]
    latent_at: Value  #: T_f [°C]
    melting_onset: Value  #: Tm1
    melting_end: Value  #: Tm2
    freezing_end: Value  #: Tc1, the lower end of the freezing range
    freezing_onset: Value  #: Tc2, the upper end
    solid_k_23: Value  #: ks0 [W/mK]
    solid_k_slope: Value  #: ks1 [W/mK2]
    melt_k_180: Value  #: kl0 [W/mK]
    bed_void: Value  #: φ0, under the closing pressure
    bed_form: Value  #: C_f
    bed_flattening: Value  #: φ
    bed_grain: Value  #: Sauter diameter d_r [m]
    bed_emissivity: Value  #: ε
    bed_factor: Value  #: free factor on the bed's conductivity
    bed_k: Value | None = None  #: a measured constant that replaces the bed model [W/mK]

    @classmethod
    def names(cls) -> tuple[str, ...]:
        """The fields that every plastic needs."""
        return tuple(f.name for f in fields(cls) if f.name != "bed_k")
