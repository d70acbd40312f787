"""A workshop of one's own from a dozen plain answers, every line explained beside it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from flatstock.errors import Refused
from flatstock.workshop.files import check
from flatstock.workshop.folder import write_folder
from flatstock.workshop.start_before import outlay_text, supply_text
from flatstock.workshop.start_text import LOTS, ORDERS, PLASTICS, shop_text

__all__ = ["QUESTIONS", "Question", "StartAnswers", "write_new"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartAnswers:
    """What a new workshop is asked. SI; temperatures in °C. The defaults make a small workshop."""

    name: str = "Our workshop"
    units: Literal["metric", "us"] = "metric"
    room: float = 20.0
    platen_length: float = 0.700
    platen_width: float = 0.700
    platen_thickness: float = 0.025
    platen_metal: Literal["aluminium", "mild_steel", "stainless_steel"] = "mild_steel"
    power: float = 6000.0  #: of all heaters [W]
    highest_platen: float = 240.0  #: where the over-temperature cut-out acts
    force: float | None = None  #: rated closing force [N]; None: not known
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question: the field of `StartAnswers`, its words, its default as people write it."""

    field: str
    text: str
    default: str
    dimension: str  #: a key of `units.UNITS`, or "text", "choice", "yes_no", "count", "lengths"
    choices: tuple[str, ...] = ()


QUESTIONS: tuple[Question, ...] = (
    Question(field="name", text="What is the workshop called?", default="Our workshop", dimension="text"),
    Question(
        field="units",
        text="Millimetres and °C, or inches and °F?",
        default="metric",
        dimension="choice",
        choices=("metric", "us"),
    ),
    Question(field="room", text="How warm is the room?", default="20C", dimension="temperature"),
    Question(
        field="platen_length", text="How long are the hot platens?", default="700mm", dimension="length"
    ),
    Question(field="platen_width", text="How wide are they?", default="700mm", dimension="length"),
    Question(field="platen_thickness", text="How thick are they?", default="25mm", dimension="length"),
    Question(
        field="platen_metal",
        text="What are they made of?",
        default="mild_steel",
        dimension="choice",
        choices=("aluminium", "mild_steel", "stainless_steel"),
    ),
    Question(
        field="power", text="How much power do all heaters draw together?", default="6kW", dimension="power"
    ),
    Question(field="daylight", text="How far does the press open?", default="150mm", dimension="length"),
    Question(
        field="cavity_length", text="How long are the frames inside?", default="600mm", dimension="length"
    ),
    Question(field="cavity_width", text="How wide are they inside?", default="600mm", dimension="length"),
    Question(
        field="frame_thicknesses",
        text="Which thicknesses of frame are there?",
        default="6mm, 12mm",
        dimension="lengths",
    ),
    Question(
        field="cooling_press", text="Is there a press to cool moulds in?", default="yes", dimension="yes_no"
    ),
    Question(field="fans", text="Do fans blow on it?", default="no", dimension="yes_no"),
    Question(
        field="scale_capacity", text="What is the most your scale takes?", default="30kg", dimension="mass"
    ),
    Question(field="scale_step", text="What is the smallest step it shows?", default="10g", dimension="mass"),
    Question(
        field="phases",
        text="How many phases has the electrical connection?",
        default="3",
        dimension="choice",
        choices=("1", "3"),
    ),
    Question(
        field="volts",
        text="How many volts between two lines (to neutral, where there is one line)?",
        default="400V",
        dimension="voltage",
    ),
    Question(
        field="rated_current",
        text="How many amperes is its main breaker or fuse rated for?",
        default="32A",
        dimension="current",
    ),
)


def write_new(folder: Path, answers: StartAnswers) -> list[Path]:
    """Write a new workshop into `folder`, all of it or nothing; the files written.

    Raises
    ------
    Refused
        The folder is not empty, or the answers don't make a workshop (a frame larger than the platens):
        one fault for each thing that is wrong.
    """
    contents = {
        "shop.toml": shop_text(answers),
        "plastics.toml": PLASTICS,
        "lots.csv": LOTS,
        "orders.csv": ORDERS,
        "supply.toml": supply_text(answers),
        "outlay.toml": outlay_text(answers),
    }
    return write_folder(folder, {n: t.encode("utf-8") for n, t in contents.items()}, check=_must_read)


def _must_read(folder: Path) -> None:
    _, faults, _ = check(folder)
    if faults:
        raise Refused(faults)
