"""The steps of a pressing in order, each with its minute, pressure and people."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.documents import Document, rounded
from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.flow.pressure import gauge_for, sheet_pressure
from flatstock.workshop.shop import Cylinder

__all__ = ["BAR", "Instants", "full_pressure", "gauge", "on_sheet", "steps_of"]

BAR = 1e5
MEGA = 1e6


def gauge(pressure: float, cylinder: Cylinder | None, area: float) -> float | None:
    """Gauge pressure [Pa] for a pressure on the sheet; None where the cylinder is not on file."""
    if cylinder is None or cylinder.piston_diameter is None:
        return None
    return gauge_for(
        pressure=pressure, piston_diameter=cylinder.piston_diameter, pistons=cylinder.pistons, sheet_area=area
    )


def on_sheet(reading: float, cylinder: Cylinder | None, area: float) -> float | None:
    """Pressure on the sheet [Pa] at a reading of the gauge [Pa]; None where the cylinder is not on file."""
    if cylinder is None or cylinder.piston_diameter is None:
        return None
    return sheet_pressure(
        gauge=reading, piston_diameter=cylinder.piston_diameter, pistons=cylinder.pistons, sheet_area=area
    )


def full_pressure(
    asked: float | None,
    usual: Value,
    cylinder: Cylinder | None,
    area: float,
    press: str,
    warnings: list[str],
    *,
    where: str = "--pressure",
) -> Value:
    """Full pressure on a sheet of `area` [m2], in Pa: as `asked` if the press may, else the usual one, no more than
    it may; what had to be said is added to `warnings`. `where`: the option that asked.

    Raises `Refused` when more is asked for than the press's rated force or its relief allows.
    """
    wish = usual if asked is None else Value.sure(asked, kind="measured", source="asked for", unit="Pa")
    if cylinder is None:
        warnings.append(
            f"The rated force of {press} is not on file: whether it may give {wish.value / MEGA:.3g} MPa on this sheet"
            " is not checked, and no gauge readings are given."
        )
        return wish
    most = cylinder.force_max / area
    if cylinder.piston_diameter is None:
        warnings.append(f"The bore of {press}'s cylinder is not on file: no gauge readings are given.")
    elif cylinder.gauge_max is not None:
        by_relief = on_sheet(cylinder.gauge_max, cylinder, area)
        most = most if by_relief is None else min(most, by_relief)
    if wish.value <= most * (1 + 1e-9):
        return Value(
            wish.value,
            wish.low,
            max(wish.value, min(wish.high, most)),
            wish.kind,
            wish.source,
            "Pa",
            wish.note,
        )
    if asked is not None:
        shown = [gauge(one, cylinder, area) if where == "--gauge" else None for one in (asked, most)]
        by_gauge = [f" ({one / BAR:.0f} bar)" if one is not None else "" for one in shown]
        raise Refused(
            Fault(
                where=where,
                what=f"{asked / MEGA:.4g} MPa{by_gauge[0]} on {area:.3g} m2 is more than {press} is rated for,"
                f" {most / MEGA:.3g} MPa{by_gauge[1]}",
                instead="ask for less; the relief valve is never set higher to get more",
            )
        )
    warnings.append(
        f"The usual full pressure of {wish.value / MEGA:g} MPa is more than {press} is rated for on this area;"
        f" {most / MEGA:.2g} MPa is used."
    )
    return Value(most, most, most, "computed", "rated force of the press over the cavity area", "Pa")


@dataclass(frozen=True, slots=True, kw_only=True)
class Instants:
    """When things happen, in seconds after the mould was laid down."""

    breathe: float
    breathe_times: int
    full: float
    transfer: float
    clamped: float
    open_first: float | None  #: after clamping, late end
    open_below: float
    demould_below: float


def times_words(times: int) -> str:
    """How often, in words.

    >>> times_words(2), times_words(3)
    ('twice', '3 times')
    """
    return {1: "once", 2: "twice"}.get(times, f"{times} times")


def steps_of(
    at: Instants,
    *,
    contact: float,
    full: float,
    following: float,
    hot: Cylinder | None,
    cold: Cylinder | None,
    area: float,
    cooling_press: str | None,
) -> list[Document]:
    """The steps, earliest first; pressures on the sheet [Pa], `area` of the cavity [m2]."""

    def line(
        second: float | None, do: str, people: int, pressure: float | None, cylinder: Cylinder | None
    ) -> Document:
        reading = None if pressure is None else gauge(pressure, cylinder, area)
        return {
            "at_min": None if second is None else rounded(second / 60),
            "do": do,
            "pressure_MPa": None if pressure is None else rounded(pressure / MEGA),
            "gauge_bar": None if reading is None else rounded(reading / BAR),
            "people": people,
        }

    steps = [
        line(0.0, "slide the mould in, start the clock, close slowly to contact pressure", 2, contact, hot),
    ]
    if at.breathe_times > 0:
        times = times_words(at.breathe_times)
        steps.append(
            line(at.breathe, f"breathe {times}: face shield, stand aside, let the pressure off and close again", 1,
                 0.0, hot)
        )  # fmt: skip
    steps += [
        line(at.full, "raise slowly to full pressure", 1, full, hot),
    ]
    if cooling_press is None:
        steps.append(
            line(at.transfer, "pressure off, open, slide the mould to the stack or rack", 2, 0.0, hot)
        )
        return steps
    steps.append(line(at.transfer, "pressure off, open, slide the mould to the cooling press", 2, 0.0, hot))
    steps.append(line(at.clamped, f"clamp in {cooling_press}, let the pressure follow the shrinking sheet", 1,
                      following, cold))  # fmt: skip
    late = None if at.open_first is None else at.clamped + at.open_first
    steps += [
        line(late, f"not before this, first mould of the day: open below {at.open_below:g} °C core, slide to the"
             " stack or rack", 2, 0.0, cold),
        line(None, f"demould below {at.demould_below:g} °C core, gloves on: the steel still burns", 2, None, None),
    ]  # fmt: skip
    return steps
