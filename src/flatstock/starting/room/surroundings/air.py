"""Air that hoods take in, what it does to the room, and what it costs to warm its make-up in winter.

Formulas: canopy Q = 1.4 P H V and enclosure Q = W H V after the ACGIH manual, opening Q = V (10 X2 + A) after Dalla
Valle, three quarters of it with a flange (all from memory); dilution Q = K G / C (read in lecture notes on
dilution ventilation); make-up heat Q rho cp dT with rho 1.2 kg/m3 and cp 1.005 kJ/(kg K).
"""

from __future__ import annotations

from math import pi

from flatstock.errors import OutOfRange

__all__ = [
    "air_changes",
    "canopy_flow",
    "dilution_flow",
    "duct_velocity",
    "enclosed_flow",
    "make_up_heat",
    "mg_per_m3",
    "opening_flow",
    "people_at_most",
    "steady_concentration",
]

DENSITY = 1.2  #: of air [kg/m3]
HEAT_CAPACITY = 1005.0  #: of air [J/(kg K)]
MOLAR_VOLUME = 24.45  #: of a gas at 25 °C and 101.325 kPa [L/mol]


def canopy_flow(perimeter: float, rise: float, velocity: float) -> float:
    """Air into an open canopy [m3/s]: open perimeter [m], rise from source to edge [m], capture velocity [m/s].

    >>> round(canopy_flow(4, 0.6, 0.25) * 3600)
    3024
    """
    return 1.4 * _positive(perimeter) * _positive(rise) * _positive(velocity)


def enclosed_flow(width: float, height: float, velocity: float) -> float:
    """Air through the face of an enclosure [m3/s]: width and height of the face [m], face velocity [m/s].

    >>> round(enclosed_flow(1.3, 0.5, 0.5) * 3600)
    1170
    """
    return _positive(width) * _positive(height) * _positive(velocity)


def opening_flow(reach: float, area: float, velocity: float, *, flanged: bool = False) -> float:
    """Air into an opening beside the source [m3/s]: distance [m], area of its face [m2], velocity there [m/s].

    >>> round(opening_flow(0.5, 0.09, 0.5), 3), round(opening_flow(0.5, 0.09, 0.5, flanged=True), 3)
    (1.295, 0.971)
    """
    flow = _positive(velocity) * (10 * _positive(reach) ** 2 + _positive(area))
    return 0.75 * flow if flanged else flow


def mg_per_m3(molar_mass_g: float) -> float:
    """What one ppm of a gas weighs at 25 °C [mg/m3].

    >>> round(mg_per_m3(104.15), 2)
    4.26
    """
    return _positive(molar_mass_g) / MOLAR_VOLUME


def dilution_flow(emission_g_h: float, mixing: float, target_mg_m3: float) -> float:
    """Fresh air that keeps a gas at a target in the room [m3/s]; `mixing` 1 (perfect) to 10 for safety.

    >>> round(dilution_flow(20, 3, 10 * 4.26) * 3600)
    1408
    """
    return _positive(mixing) * _positive(emission_g_h) * 1000 / _positive(target_mg_m3) / 3600


def steady_concentration(emission_mg_h: float, flow_m3_h: float) -> float:
    """Where a constant source ends up in a mixed room [mg/m3].

    >>> steady_concentration(3000, 480)
    6.25
    """
    return _positive(emission_mg_h) / _positive(flow_m3_h)


def air_changes(flow: float, volume: float) -> float:
    """Changes of the room's air [1/h]: flow [m3/s], volume [m3].

    >>> round(air_changes(1170 / 3600, 175.17), 2)
    6.68
    """
    return 3600 * flow / _positive(volume)


def make_up_heat(flow: float, difference: float) -> float:
    """Heat that leaves with the air [W]: flow [m3/s], inside over outside [K]; 0 where outside is warmer.

    >>> round(make_up_heat(1170 / 3600, 15) / 1000, 2)
    5.88
    """
    return flow * DENSITY * HEAT_CAPACITY * max(difference, 0.0)


def duct_velocity(flow: float, diameter: float) -> float:
    """Velocity in a round duct [m/s]: flow [m3/s], diameter [m].

    >>> round(duct_velocity(0.3534, 0.30), 2)
    5.0
    """
    return flow / (pi * _positive(diameter) ** 2 / 4)


def people_at_most(floor: float, height: float) -> int:
    """How many people a room's air counts for, 11 m3 each, height above 3 m not counted: a least, not a licence.

    `floor` [m2], `height` [m]. Workplace (Health, Safety and Welfare) Regulations 1992, approved code (read).

    >>> people_at_most(30, 4)
    8
    """
    return int(_positive(floor) * min(_positive(height), 3.0) / 11 + 1e-9)


def _positive(number: float) -> float:
    if not number > 0:
        raise OutOfRange(f"{number} must be over 0")
    return number
