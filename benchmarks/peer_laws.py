"""The plastic of the race once more, written for the peers: NumPy only, nothing of `flatstock.heat`'s kernels.

The hot press's peers march temperature with apparent heat capacity, the engine marches enthalpy; both see
the same fluxes, by the potential Φ = ∫ k/v dT. Laws: docs/heat.md.
"""

from __future__ import annotations

from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from benchmarks.columns import HDPE as P

__all__ = ["FIRST", "NODES", "PER_K", "POTENTIAL", "SIGMA", "Array", "smooth", "smooth_slope"]

Array = NDArray[np.float64]
SIGMA = 5.670374419e-8
FIRST, PER_K, NODES = -20.0, 8.0, 2000  #: °C of the first node, nodes a kelvin


def smooth(u: Array) -> Array:
    """S(u) = u³(10 - 15u + 6u²) between 0 and 1."""
    u = np.clip(u, 0.0, 1.0)
    return u * u * u * (10.0 + u * (6.0 * u - 15.0))


def smooth_slope(u: Array) -> Array:
    """dS/du."""
    u = np.clip(u, 0.0, 1.0)
    return 30.0 * u * u * (1.0 - u) ** 2


def bed(t: float, k_solid: float) -> float:
    """Flake bed, Zehner-Bauer-Schlünder [W/mK]."""
    b = P.bed
    psi = b.void
    k_gas = 0.0244 + 7.1e-5 * t
    kp = k_solid / k_gas
    form = b.form * ((1 - psi) / psi) ** (10 / 9)
    kr = 4 * SIGMA * (t + 273.15) ** 3 * b.grain / (2 / b.emissivity - 1) / k_gas
    n = 1 + (kr - form) / kp
    kc = (2 / n) * (
        form * (kp + kr - 1) / (n * n * kp) * log((kp + kr) / form)
        + (form + 1) / (2 * form) * (kr - form)
        - (form - 1) / n
    )
    root = sqrt(1 - psi)
    return k_gas * ((1 - root) * psi * (1 / psi + kr) + root * (b.flattening * kp + (1 - b.flattening) * kc))


def _over_volume(t: float) -> float:
    x = float(smooth(np.array((t - P.melting_onset) / (P.melting_end - P.melting_onset))))
    dense = (1 - x) * (P.solid_k_23 + P.solid_k_slope * (t - 23)) + x * P.melt_k_180
    k = x * dense + (1 - x) * bed(t, dense) if x < 1 else dense
    solid = 1 / P.density + P.solid_volume_slope * (t - 23)
    melt = P.melt_volume_180 + P.melt_volume_slope * (t - 180)
    return k * (1 - P.bed.void * (1 - x)) / ((1 - x) * solid + x * melt)


def _potential() -> Array:
    """Φ and dΦ/dT at the nodes, (NODES, 2); Simpson's rule."""
    t = FIRST + np.arange(2 * NODES - 1) / (2 * PER_K)
    g = np.array([_over_volume(float(v)) for v in t])
    pieces = (g[:-2:2] + 4 * g[1:-1:2] + g[2::2]) / (6 * PER_K)
    return np.column_stack([np.concatenate([[0.0], np.cumsum(pieces)]), g[::2]])


POTENTIAL = _potential()
