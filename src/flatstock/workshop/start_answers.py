"""What a new workshop is asked, with the usual answers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

__all__ = ["StartAnswers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartAnswers:
    """What a new workshop is asked. SI; temperatures in °C. The defaults make a small workshop."""

    name: str = "Our workshop"
    units: Literal["metric", "us"] = "metric"
    time_zone: str = "UTC"
    room: float = 20.0
    platen_length: float = 0.700
    platen_width: float = 0.700
    platen_thickness: float = 0.025
    platen_metal: Literal["aluminium", "mild_steel", "stainless_steel"] = "mild_steel"
    heated: Literal["both", "bottom", "top"] = "both"
    power: float = 6000.0  #: of all heaters [W]
    highest_platen: float = 240.0  #: where the over-temperature cut-out acts
    force: float | None = None  #: rated closing force [N]; None: not known
    piston_diameter: float | None = None  #: of the one cylinder; None: not known
    gauge_max: float | None = None  #: highest gauge pressure [Pa]; None: not known
    daylight: float = 0.150
    cavity_length: float = 0.600
    cavity_width: float = 0.600
    frame_land: float = 0.030  #: width of the frame's rim
    frame_thicknesses: tuple[float, ...] = (0.006, 0.012)
    moulds: int = 2  #: frames of each thickness, and as many pairs of skins for each
    skin_thickness: float = 0.002
    cooling_press: bool = True
    fans: bool = False
    scale_capacity: float = 30.0
    scale_step: float = 0.010
    people: int = 2
    phases: Literal["1", "3"] = "3"
    volts: float = 400.0  #: between two lines, or the one there is to neutral [V]
    rated_current: float = 32.0  #: of the main protective device [A]
    room_length: float = 8.0
    room_width: float = 6.0
    room_height: float = 3.2
    door_width: float = 1.5
    door_height: float = 2.1
    assumed: frozenset[str] = field(default=frozenset())  #: fields that nobody has answered

    def is_assumed(self, name: str) -> bool:
        """True where a number is the usual one and not this shop's."""
        return name in self.assumed
