"""Conductivity of solid, melt and loose flake. Typical values; °C, SI otherwise."""

from __future__ import annotations

from math import log, sqrt

from flatstock.errors import OutOfRange
from flatstock.plastics.thermal_values import Thermal

__all__ = ["air_conductivity", "bed_conductivity", "dense_conductivity", "packed_bed"]

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, CODATA 2018
_NEAR_POLE = 0.02  # nearer to N = 0 the closed form loses digits to cancellation; its Taylor series does not


def air_conductivity(temperature: float) -> float:
    """0.0244 + 7.1e-5 T [W/mK]; from memory, good to 2 % between 0 and 250 °C."""
    return 0.0244 + 7.1e-5 * temperature


def dense_conductivity(thermal: Thermal, temperature: float, *, melted: float) -> float:
    """k_d = (1 - X)(ks0 + ks1 (T - 23)) + X kl0 [W/mK] of plastic without voids."""
    solid = thermal.solid_k_23.value + thermal.solid_k_slope.value * (temperature - 23.0)
    return (1.0 - melted) * solid + melted * thermal.melt_k_180.value


def bed_conductivity(
    thermal: Thermal, temperature: float, *, melted: float = 0.0, void: float | None = None
) -> float:
    """Of flake in air [W/mK]: the packed-bed model or the workshop's constant `bed_k`, times the factor.

    `void` replaces the clamped bed's void, for a loose heap.
    """
    if thermal.bed_k is not None:
        return thermal.bed_k.value * thermal.bed_factor.value
    return thermal.bed_factor.value * packed_bed(
        solid=dense_conductivity(thermal, temperature, melted=melted),
        gas=air_conductivity(temperature),
        void=thermal.bed_void.value if void is None else void,
        form=thermal.bed_form.value,
        flattening=thermal.bed_flattening.value,
        grain=thermal.bed_grain.value,
        emissivity=thermal.bed_emissivity.value,
        temperature=temperature,
    )


def packed_bed(
    *,
    solid: float,
    gas: float,
    void: float,
    form: float,
    flattening: float,
    grain: float,
    emissivity: float,
    temperature: float,
) -> float:
    """Zehner-Bauer-Schlünder conductivity of a packed bed at ambient pressure [W/mK].

    With ψ the void, k_p = k_s/k_g, B = C_f ((1 - ψ)/ψ)^(10/9), k_r = 4 σ T³ d/(2/ε - 1)/k_g and
    N = 1 + (k_r - B)/k_p:

        k_c = (2/N) [B (k_p + k_r - 1)/(N² k_p) ln((k_p + k_r)/B) + (B + 1)/(2B) (k_r - B) - (B - 1)/N]
        k/k_g = (1 - √(1 - ψ)) ψ (1/ψ + k_r) + √(1 - ψ) (φ k_p + (1 - φ) k_c)

    The poles at N = 0 cancel; near it a Taylor series in N is used.

    Parameters
    ----------
    solid, gas : float
        Conductivities of grain and gas [W/mK].
    void : float
        Between 0 and 1, both excluded.
    grain : float
        Sauter diameter [m], about 2.5 times the thickness of flat flakes; 0: no radiation.
    temperature : float
        Of the bed [°C].

    Raises
    ------
    OutOfRange
        The void is not between 0 and 1, or a conductivity is not above 0.

    Source
    ------
    Handbook model, read in an open library (`handbook_packed_bed` in docs/sources.md).
    The series is derived for this project; a test holds it against the closed form.
    """
    if not 0.0 < void < 1.0:
        raise OutOfRange(f"void {void} must lie between 0 and 1.")
    if solid <= 0.0 or gas <= 0.0:
        raise OutOfRange(f"conductivities {solid} and {gas} W/mK must be above 0.")
    kp = solid / gas
    shape = float(form * ((1.0 - void) / void) ** (10.0 / 9.0))
    glow = 4.0 * STEFAN_BOLTZMANN * (temperature + 273.15) ** 3 * grain / (2.0 / emissivity - 1.0) / gas
    core = _core(kp, shape, glow)
    root = sqrt(1.0 - void)
    ratio = (1.0 - root) * void * (1.0 / void + glow) + root * (flattening * kp + (1.0 - flattening) * core)
    return ratio * gas


def _core(kp: float, b: float, kr: float) -> float:
    n = 1.0 + (kr - b) / kp
    # ln((kp + kr)/b) = ln(1 + n kp/b): the series is in n kp/b, so that is what must be small
    if abs(n) * kp / b > _NEAR_POLE:
        return (2.0 / n) * (
            b * (kp + kr - 1.0) / (n * n * kp) * log((kp + kr) / b)
            + (b + 1.0) / (2.0 * b) * (kr - b)
            - (b - 1.0) / n
        )
    return _core_near_pole(kp, b, n)


def _core_near_pole(kp: float, b: float, n: float) -> float:
    # With z = kp/b and x = n z: kp + kr = b (1 + x) and kr - b = kp (n - 1). Put in
    # ln(1 + x) = x - x²/2 + x³/3 - …; the terms in 1/n³, 1/n² and 1/n cancel, this is left:
    z = kp / b
    power = z * z  # z² (-x)^m
    total = 0.5 * (b + 1.0) * z
    for m in range(8):
        total += power * ((b - 1.0) / (m + 3) - b / (m + 2))
        power *= -n * z
    return 2.0 * total
