"""How much of a plastic is molten, on the way up and on the way down."""

from __future__ import annotations

from flatstock.plastics.thermal_values import Thermal

__all__ = ["melted_on_cooling", "melted_on_heating", "play", "smooth_step"]


def smooth_step(u: float) -> float:
    """S(u) = u³ (10 - 15 u + 6 u²), 0 below 0 and 1 above 1.

    >>> smooth_step(0.5)
    0.5
    """
    u = min(max(u, 0.0), 1.0)
    return u * u * u * (10.0 + u * (6.0 * u - 15.0))


def melted_on_heating(thermal: Thermal, temperature: float) -> float:
    """X_m(T): melted fraction of a plastic that was solid and is heated to `temperature` [°C]; 0 … 1."""
    onset, end = thermal.melting_onset.value, thermal.melting_end.value
    return smooth_step((temperature - onset) / (end - onset))


def melted_on_cooling(thermal: Thermal, temperature: float) -> float:
    """X_c(T): melted fraction of a melt that is cooled to `temperature` [°C]; 0 … 1, never below X_m(T)."""
    end, onset = thermal.freezing_end.value, thermal.freezing_onset.value
    return smooth_step((temperature - end) / (onset - end))


def play(thermal: Thermal, temperature: float, *, before: float) -> float:
    """The melted fraction, 0 … 1, at `temperature` [°C] of plastic that came with the fraction `before`.

    It stays while X_m(T) ≤ X ≤ X_c(T); heating may push it up to X_m, cooling down to X_c: the play
    operator of hysteresis (from memory, last part of docs/sources.md). Call it along the path of
    temperatures; turning points must be among them.
    """
    return min(max(before, melted_on_heating(thermal, temperature)), melted_on_cooling(thermal, temperature))
