"""Amperes of a load in each line: by magnitude, which decides, and as phasors, which are shown.

Pure functions of `workshop.supply`'s dataclasses, shared by `flatstock supply` and the week plan.

Source: P = sqrt(3) U I pf for three phases, P = U I pf for one; textbook (from memory); held in the
tests against sums by hand and complex arithmetic written apart.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Iterable
from math import acos, pi, radians, sqrt

from flatstock.workshop.supply import Load, Supply, volts_of

__all__ = ["HIGH_VOLTAGE", "amps_per_phase", "counted_share", "line_current", "neutral", "phasors"]

#: IEC 60038, upper end of the voltage range, from memory; the current of a heater grows with it
HIGH_VOLTAGE = 1.10
CANCELS = 1e-12  #: share of all currents, under which the rest of them is nothing


def line_current(load: Load, supply: Supply) -> float:
    """Current in each line that the load hangs on [A].

    The load's own current where it is given; else P/(sqrt(3) U pf) in three phases, P/(U pf) else.
    """
    if load.current is not None:
        return load.current
    volts = volts_of(load.connection, supply)
    return load.power / ((sqrt(3) if load.connection == "3P" else 1.0) * volts * load.power_factor)


def lines_of(load: Load, supply: Supply, phase: int | None = None) -> tuple[int, ...]:
    """The lines that a load hangs on, counted from 0; `phase` in the place of its own."""
    if load.connection == "3P":
        return (0, 1, 2)
    at = (phase or load.phase or 1) - 1
    if load.connection == "LL":
        return (at, (at + 1) % supply.lines)
    return (at,)


def amps_per_phase(
    load: Load, supply: Supply, *, phase: int | None = None, share: float = 1.0
) -> tuple[float, ...]:
    """Magnitude in each line of the supply [A]; `share` of its current, `phase` in the place of its own.

    A load whose phase is not settled counts on L1.
    """
    amps = share * line_current(load, supply)
    on = lines_of(load, supply, phase)
    return tuple(amps if line in on else 0.0 for line in range(supply.lines))


def counted_share(load: Load, share: float) -> float:
    """The share of its current with which a load that is held back counts on its worst phase.

    Elements on three phases switch in balanced threes: 8 of 12 still load one pair of phases as 9 do.
    """
    n = load.elements
    if load.connection != "3P" or not n or n % 3 or not 0 < share < 1:
        return share
    on = int(share * n + 1e-9)
    return 3 * -(-on // 3) / n


def phasors(
    load: Load, supply: Supply, *, phase: int | None = None, share: float = 1.0, heaters: float = 1.0
) -> tuple[complex, ...]:
    """Current in each line as a complex number [A], the voltage of L1 to neutral at angle 0.

    `heaters` multiplies the current of what heats (1.10 at the high end of the voltage). Motors lag.
    """
    amps = share * line_current(load, supply) * (heaters if load.heats else 1.0)
    lag = acos(min(1.0, load.power_factor))
    turns = _angles(supply)
    on = lines_of(load, supply, phase)
    found = [0j] * supply.lines
    if load.connection == "LL":
        first, second = on
        between = rect(1.0, turns[first]) - rect(1.0, turns[second])
        flow = amps * between / abs(between) * rect(1.0, -lag)
        found[first] += flow
        found[second] -= flow
    else:
        for line in on:
            found[line] += rect(amps, turns[line] - lag)
    return tuple(found)


def neutral(currents: Iterable[tuple[complex, ...]]) -> float:
    """Current in the neutral of all these loads together [A]; what flows between lines cancels by itself."""
    every = list(currents)
    amps = abs(sum((sum(one) for one in every), 0j))
    # what is left where currents cancel is floating point's, not the neutral's
    return amps if amps > CANCELS * sum(abs(line) for one in every for line in one) else 0.0


def _angles(supply: Supply) -> tuple[float, ...]:
    return (0.0, pi) if supply.lines == 2 else tuple(radians(-120 * line) for line in range(supply.lines))
