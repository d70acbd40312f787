"""From the gauge to the pressure on the sheet and back, and what the frame takes of it."""

from __future__ import annotations

from math import pi

from flatstock.flow.ranges import not_negative, positive

__all__ = ["carried_by_frame", "gauge_for", "land_force", "piston_area", "press_force", "sheet_pressure"]


def piston_area(*, piston_diameter: float, pistons: int = 1) -> float:
    """Area that the oil (or air) pushes on [m2]; `piston_diameter` [m].

    >>> round(1e4 * piston_area(piston_diameter=0.140), 2)
    153.94
    """
    positive(piston_diameter=piston_diameter, pistons=pistons)
    return pistons * pi / 4 * piston_diameter**2


def press_force(*, gauge: float, piston_diameter: float, pistons: int = 1) -> float:
    """Closing force [N] at a gauge pressure above ambient [Pa]; friction of the seals left out.

    >>> round(press_force(gauge=195e5, piston_diameter=0.140) / 1e3)
    300
    """
    not_negative(gauge=gauge)
    return gauge * piston_area(piston_diameter=piston_diameter, pistons=pistons)


def sheet_pressure(
    *, gauge: float, piston_diameter: float, sheet_area: float, pistons: int = 1, carried: float = 0.0
) -> float:
    """Pressure on the sheet [Pa] at a gauge pressure; 0.0 where the rest takes the whole force.

    Parameters
    ----------
    gauge : float
        Reading above ambient [Pa].
    piston_diameter : float
        [m]; `pistons` of them.
    sheet_area : float
        Plan area of the charge [m2]: the cavity.
    carried : float
        What does not reach the sheet [N]: the frame once the skins bear on it (`carried_by_frame`),
        melt on the lands (`land_force`), a platen lifted against its weight, springs.

    >>> round(sheet_pressure(gauge=195e5, piston_diameter=0.140, sheet_area=1.05) / 1e6, 2)
    0.29
    """
    positive(sheet_area=sheet_area)
    not_negative(carried=carried)
    force = press_force(gauge=gauge, piston_diameter=piston_diameter, pistons=pistons)
    return max(force - carried, 0.0) / sheet_area


def gauge_for(
    *, pressure: float, piston_diameter: float, sheet_area: float, pistons: int = 1, carried: float = 0.0
) -> float:
    """Gauge reading above ambient [Pa] that puts `pressure` [Pa] on the sheet; undoes `sheet_pressure`.

    >>> round(gauge_for(pressure=0.25e6, piston_diameter=0.140, sheet_area=1.05) / 1e5)
    171
    """
    positive(sheet_area=sheet_area)
    not_negative(pressure=pressure, carried=carried)
    area = piston_area(piston_diameter=piston_diameter, pistons=pistons)
    return (pressure * sheet_area + carried) / area


def carried_by_frame(*, force: float, sheet_area: float, melt_pressure: float) -> float:
    """What the frame carries [N] of the closing `force` [N] while the melt pushes back with a pressure.

    Balance of forces on the upper skin. With the skins off the frame the melt carries everything and
    the answer is 0.0; with the frame bearing, melt that shrinks loses pressure and the frame takes it.

    >>> round(carried_by_frame(force=300e3, sheet_area=1.05, melt_pressure=0.10e6) / 1e3)
    195
    """
    not_negative(force=force, melt_pressure=melt_pressure)
    positive(sheet_area=sheet_area)
    return max(force - melt_pressure * sheet_area, 0.0)


def land_force(*, pressure: float, perimeter: float, land: float) -> float:
    """Force of the melt film that crosses the land [N], on top of pressure times cavity.

    Between parallel faces the pressure falls evenly from `pressure` [Pa] at the cavity to nothing at
    the outer edge, so the film carries half of pressure · `perimeter` [m] · `land` [m]; the four
    corners of the land are left out. Pressures on file are force over cavity area and leave it out.

    >>> round(land_force(pressure=0.25e6, perimeter=4.18, land=0.040) / 1e3, 1)
    20.9
    """
    not_negative(pressure=pressure)
    positive(perimeter=perimeter, land=land)
    return pressure * perimeter * land / 2
