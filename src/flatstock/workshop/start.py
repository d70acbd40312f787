"""A workshop of one's own from plain answers, every line explained beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from flatstock.errors import Fault, Refused
from flatstock.workshop.files import check
from flatstock.workshop.folder import must_be_free, write_folder
from flatstock.workshop.machine_zone import machine_zone
from flatstock.workshop.start_before import outlay_text, supply_text
from flatstock.workshop.start_lists import PLASTICS, lots_text, orders_text
from flatstock.workshop.start_room import room_text
from flatstock.workshop.start_slips import slips
from flatstock.workshop.start_text import shop_text

__all__ = ["StartAnswers", "must_be_free", "start_faults", "usual_answers", "write_new"]


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


def usual_answers() -> StartAnswers:
    """What counts where nobody is asked: all of it assumed, the time zone this machine's."""
    names = frozenset(f.name for f in fields(StartAnswers)) - {"assumed"}
    return replace(StartAnswers(), time_zone=machine_zone(), assumed=names)


def write_new(folder: Path, answers: StartAnswers) -> list[Path]:
    """Write a new workshop into `folder`, all of it or nothing; the files written.

    Raises
    ------
    Refused
        The folder is not empty, or the answers don't make a workshop (a frame larger than the platens):
        one fault for each thing that is wrong.
    """
    if faults := slips(answers):
        raise Refused(faults)
    return write_folder(folder, _contents(answers), check=_must_read)


def start_faults(answers: StartAnswers) -> list[Fault]:
    """What would be wrong with the workshop of these answers; nothing is left behind."""
    if faults := slips(answers):
        return faults
    with TemporaryDirectory(prefix="flatstock-") as name:
        folder = Path(name)
        for file, data in _contents(answers).items():
            (folder / file).write_bytes(data)
        return check(folder)[1]


def _contents(answers: StartAnswers) -> Mapping[str, bytes]:
    texts = {
        "shop.toml": shop_text(answers),
        "plastics.toml": PLASTICS,
        "lots.csv": lots_text(answers),
        "orders.csv": orders_text(answers),
        "room.toml": room_text(answers),
        "supply.toml": supply_text(answers),
        "outlay.toml": outlay_text(answers),
    }
    return {name: text.encode("utf-8") for name, text in texts.items()}


def _must_read(folder: Path) -> None:
    _, faults, _ = check(folder)
    if faults:
        raise Refused(faults)
