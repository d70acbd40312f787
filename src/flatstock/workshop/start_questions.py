"""The questions that start a workshop, and their usual answers as people write them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor
from typing import Literal

from flatstock.units import System, from_si
from flatstock.workshop.machine_zone import machine_zone
from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_room import size_of

__all__ = ["NONE_YET", "QUESTIONS", "Kind", "Question", "usual_answer"]

#: an answer to what there are several of
NONE_YET = ("none", "none yet", "no", "not yet")

#: what an answer is: words, a word of several, a quantity, several quantities, or words that only one question takes
Kind = Literal["text", "zone", "choice", "measure", "measures", "list", "force", "cooling"]
POWER_PER_AREA = 12e3  #: usual heaters for an area of platen [W/m2]; common practice, no source
ROUND_THE_SHEET = {
    "metric": (0.010, 0.100),
    "us": (0.0254, 0.1016),
}  #: a step [m], and both rims with their play


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question, the fields of `StartAnswers` that it fills, and its usual answers."""

    fields: tuple[str, ...]
    text: str
    kind: Kind
    usual: str = ""  #: in a metric shop; "" where it follows from answers before
    usual_us: str = ""  #: where inches are read; "": the same
    dimension: str = ""  #: key of `units.UNITS`, of a measure
    choices: tuple[str, ...] = ()
    text_us: str = ""  #: where inches are read; "": the same

    def words(self, units: System) -> str:
        """As it is asked where these units are read."""
        return (self.text_us or self.text) if units == "us" else self.text


QUESTIONS: tuple[Question, ...] = (
    Question(fields=("name",), text="What is the workshop called?", kind="text", usual="Our workshop"),
    Question(fields=("units",), text="Do you measure in millimetres and °C (metric), or in inches and °F (us)?",
             kind="choice", usual="metric", choices=("metric", "us")),
    Question(fields=("time_zone",), text="Which time zone is it in, by region and city?", kind="zone"),
    Question(fields=("room",), text="How warm is the room?", kind="measure", dimension="temperature",
             usual="20C", usual_us="68F"),
    Question(fields=("platen_length", "platen_width", "platen_thickness"), kind="measures", dimension="length",
             text="How long, wide and thick is a hot platen?",
             usual="700mm x 700mm x 25mm", usual_us="28in x 28in x 1in"),
    Question(fields=("platen_metal",), text="What is it made of: aluminium, mild_steel or stainless_steel?",
             kind="choice", usual="mild_steel", choices=("aluminium", "mild_steel", "stainless_steel")),
    Question(fields=("heated",), text="Which platens are heated: both, bottom or top?", kind="choice",
             usual="both", choices=("both", "bottom", "top")),
    Question(fields=("power",), text="How much power do all its heaters draw together?", kind="measure",
             dimension="power"),
    Question(fields=("force", "piston_diameter", "gauge_max"), kind="force", usual="unknown",
             text="What force does it close with (300kN, 30t)? Or the bore of its one cylinder and the highest gauge"
                  " pressure (140mm 195bar)? Or unknown?",
             text_us="What force does it close with (60000lbf, 30ton)? Or the bore of its one cylinder and the highest"
                     " gauge pressure (5.5in 2800psi)? Or unknown?"),
    Question(fields=("daylight",), text="How far does the press open?", kind="measure", dimension="length",
             usual="150mm", usual_us="6in"),
    Question(fields=("cavity_length", "cavity_width"), kind="measures", dimension="length",
             text="How large are your sheets, that is, how long and wide are the frames inside?"),
    Question(fields=("frame_thicknesses",), text="Which thicknesses of frame are there, or none yet?", kind="list",
             dimension="length", usual="6mm, 12mm", usual_us="1/4in, 1/2in"),
    Question(fields=("cooling_press", "fans"), kind="cooling", usual="yes",
             text="Is there a press to cool moulds in: yes, no, or fans (yes, and fans blow on it)?",
             choices=("yes", "no", "fans")),
    Question(fields=("scale_capacity", "scale_step"), kind="measures", dimension="mass",
             text="What is the most your scale takes, and the smallest step it shows?",
             usual="30kg, 10g", usual_us="60lb, 0.5oz"),
    Question(fields=("phases",), text="How many phases has the electrical connection: 1 or 3?", kind="choice",
             usual="3", usual_us="1", choices=("1", "3")),
    Question(fields=("volts",), text="How many volts: between two lines, or to neutral where there is one line?",
             kind="measure", dimension="voltage"),
    Question(fields=("rated_current",), text="How many amperes is its main breaker or fuse rated for?",
             kind="measure", dimension="current", usual="32A", usual_us="100A"),
    Question(fields=("room_length", "room_width", "room_height"), kind="measures", dimension="length",
             text="How long, wide and high is the room? (Another shape than a rectangle: draw it in room.toml later.)"),
    Question(fields=("door_width", "door_height"), kind="measures", dimension="length",
             text="How wide and high is its door?"),
)  # fmt: skip


def usual_answer(question: Question, a: StartAnswers) -> str:
    """What Enter stands for, after the answers before."""
    made = _FOLLOWS.get(question.fields[0])
    if made is not None:
        return made(a)
    return (question.usual_us or question.usual) if a.units == "us" else question.usual


def _sheet(a: StartAnswers) -> str:
    """The largest round sheet that leaves a rim on the platens."""
    step, rims = ROUND_THE_SHEET[a.units]
    return " x ".join(
        _length(_largest(side, rims, step), a.units) for side in (a.platen_length, a.platen_width)
    )


def _largest(side: float, rims: float, step: float) -> float:
    left = side - rims
    return floor(left / step + 1e-6) * step if left > 5 * step else side / 2


def _length(metres: float, system: System) -> str:
    unit = "in" if system == "us" else "mm"
    return f"{from_si(metres, 'length', unit):.6g}{unit}"


def _power(a: StartAnswers) -> str:
    sides = 1.0 if a.heated == "both" else 0.5
    return f"{max(0.5, round(2 * sides * POWER_PER_AREA * a.platen_length * a.platen_width / 1e3) / 2):g}kW"


def _volts(a: StartAnswers) -> str:
    usual = {("metric", "1"): 230, ("metric", "3"): 400, ("us", "1"): 240, ("us", "3"): 208}
    return f"{usual[a.units, a.phases]}V"


#: a room that the machines for a sheet of this size go into with their ways, and a door that they come in by
_ROOMS = {
    "metric": {"s": ("8m x 6m x 3.2m", "1.5m x 2.1m"), "m": ("11m x 8m x 3.5m", "2m x 2.4m"),
               "l": ("18m x 12m x 4.5m", "3m x 3m")},
    "us": {"s": ("26ft x 20ft x 10ft", "5ft x 7ft"), "m": ("36ft x 26ft x 12ft", "7ft x 8ft"),
           "l": ("60ft x 40ft x 15ft", "10ft x 10ft")},
}  # fmt: skip
_FOLLOWS: dict[str, Callable[[StartAnswers], str]] = {
    "time_zone": lambda _: machine_zone(),
    "power": _power,
    "cavity_length": _sheet,
    "volts": _volts,
    "room_length": lambda a: _ROOMS[a.units][size_of(a)][0],
    "door_width": lambda a: _ROOMS[a.units][size_of(a)][1],
}
