"""Heat capacity and enthalpy, zero for the solid at 23 °C. Typical values; °C, SI otherwise."""

from __future__ import annotations

from flatstock.plastics.melting import melted_on_cooling, melted_on_heating
from flatstock.plastics.thermal_values import Thermal

__all__ = [
    "enthalpy",
    "enthalpy_on_cooling",
    "enthalpy_on_heating",
    "melt_cp",
    "melt_enthalpy",
    "solid_cp",
    "solid_enthalpy",
]


def solid_cp(thermal: Thermal, temperature: float) -> float:
    """c_s = cps0 + cps1 (T - 23) [J/kgK], without latent heat."""
    return thermal.solid_cp_23.value + thermal.solid_cp_slope.value * (temperature - 23.0)


def melt_cp(thermal: Thermal, temperature: float) -> float:
    """c_l = cpl0 + cpl1 (T - 180) [J/kgK]."""
    return thermal.melt_cp_180.value + thermal.melt_cp_slope.value * (temperature - 180.0)


def solid_enthalpy(thermal: Thermal, temperature: float) -> float:
    """h_s = cps0 (T - 23) + cps1 (T - 23)²/2 [J/kg]."""
    rise = temperature - 23.0
    return rise * (thermal.solid_cp_23.value + 0.5 * thermal.solid_cp_slope.value * rise)


def melt_enthalpy(thermal: Thermal, temperature: float) -> float:
    """h_l = h_s(T_f) + L + ∫ c_l dT from T_f [J/kg]."""
    at = thermal.latent_at.value
    middle = 0.5 * (melt_cp(thermal, at) + melt_cp(thermal, temperature))  # exact for a straight line
    return solid_enthalpy(thermal, at) + thermal.latent.value + middle * (temperature - at)


def enthalpy(thermal: Thermal, temperature: float, *, melted: float) -> float:
    """h(T, X) = (1 - X) h_s + X h_l [J/kg]; the latent heat at T is h_l - h_s, L at T_f."""
    return (1.0 - melted) * solid_enthalpy(thermal, temperature) + melted * melt_enthalpy(
        thermal, temperature
    )


def enthalpy_on_heating(thermal: Thermal, temperature: float) -> float:
    """Enthalpy of a plastic heated from the cold solid [J/kg]."""
    return enthalpy(thermal, temperature, melted=melted_on_heating(thermal, temperature))


def enthalpy_on_cooling(thermal: Thermal, temperature: float) -> float:
    """Enthalpy of a plastic cooled from the melt [J/kg]."""
    return enthalpy(thermal, temperature, melted=melted_on_cooling(thermal, temperature))
