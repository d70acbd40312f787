"""What stands in a workshop: presses, moulds, places, people, stock. SI floats; °C for temperatures.

A workshop is built once by `workshop.files` from a folder of files and never changes afterwards.
Numbers that carry a band or whose evidence matters are `Value`s; plain measures are floats.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, tzinfo
from pathlib import Path
from typing import Literal

from flatstock.evidence import Kind, Value
from flatstock.workshop.supply import Supply

__all__ = [
    "CoolingPress",
    "Frame",
    "HotPress",
    "Lot",
    "Metal",
    "Offcut",
    "Order",
    "Person",
    "Place",
    "Plate",
    "PracticeValues",
    "Presence",
    "Rack",
    "Scale",
    "Skin",
    "Stack",
    "Workshop",
    "watered",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """What a platen, plate, skin or frame is made of; constant properties."""

    id: str
    density: Value  #: [kg/m3]
    specific_heat: Value  #: [J/kgK]
    conductivity: Value  #: [W/mK]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One platen of a hot press or plate of a cooling press."""

    length: float  #: [m]
    width: float  #: [m]
    thickness: float  #: [m]
    metal: Metal

    @property
    def area(self) -> float:
        """Face area [m2]."""
        return self.length * self.width

    @property
    def mass(self) -> float:
        """[kg]"""
        return self.area * self.thickness * self.metal.density.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """What turns gauge pressure into force."""

    piston_diameter: float | None  #: [m]; None: not known, so no gauge pressure is
    pistons: int
    force_max: float  #: rated [N]
    gauge_max: float | None  #: relief or highest gauge pressure [Pa]; None: not known


@dataclass(frozen=True, slots=True, kw_only=True)
class HotPress:
    """A press with heated platens. Heater powers are for the whole platen."""

    id: str
    bottom: Plate
    top: Plate
    heated_mass: (
        float | None
    )  #: both platens with hangers [kg]; what exceeds the platens adds to their capacity
    power_bottom: Value  #: nameplate power of the bottom heaters, 0 where that side is not heated [W]
    power_top: Value  #: [W]
    control: Literal["on_off", "proportional"]
    band: float  #: half width of the on/off band [K]
    gain: Value  #: proportional gain [W/m2K of platen]
    loss: Value | None  #: total loss of the empty press [W/K]; None: `back_film` counts
    back_film: Value  #: U of the back of each platen [W/m2K]
    rim_film: Value  #: film on the platen outside the mould [W/m2K]
    contact_closed: Value  #: platen-skin [W/m2K]
    contact_open_bottom: Value  #: before closing [W/m2K]
    contact_open_top: Value
    sheet_contact_open: Value  #: skin to loose flake before closing [W/m2K]
    sheet_contact_loose: Value  #: skin to flake, clamped [W/m2K]
    sheet_contact_wet: Value  #: skin to melt that wets it [W/m2K]
    edge_film: Value  #: through the frame [W/m2K]
    close_after: float  #: from laying down to closing [s]
    daylight: float  #: [m]
    highest_platen: float | None  #: over-temperature cut-out [°C]
    cylinder: Cylinder | None
    evidence: Mapping[str, Kind] = field(
        default_factory=dict
    )  #: behind a plain number, by its name in the file


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """How a face of a plate or of a mould gives its heat away."""

    kind: Literal["still_air", "fixed", "water"]
    film: Value | None  #: fixed or water film [W/m2K]; None for still air by the model
    temperature: float | None  #: of the water or of a floor; None: the room [°C]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingPress:
    """An unheated press that keeps pressure on a mould while it cools."""

    id: str
    bottom: Plate
    top: Plate
    film_bottom: Film  #: outer face without fans
    film_top: Film
    fan_film: Value | None  #: on both outer faces with the fans on [W/m2K]; None: no fans fitted
    fans_on: bool  #: the shop's habit during press-cooling
    emissivity: Value  #: of outer faces in still air
    contact: Value  #: plate-skin [W/m2K]
    sheet_contact: Value  #: skin-sheet [W/m2K]
    edge_film: Value
    rim_film: Value
    daylight: float
    cylinder: Cylinder | None
    evidence: Mapping[str, Kind] = field(
        default_factory=dict
    )  #: behind a plain number, by its name in the file


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Where moulds cool on top of each other."""

    id: str
    moulds_max: int
    mass_max: float | None  #: [kg]
    plates: tuple[Plate | None, Plate | None]  #: bottom, top
    film_bottom: Film
    film_top: Film
    fan_film: Value | None
    emissivity: Value
    contact: Value  #: skin-skin [W/m2K]
    sheet_contact: Value  #: skin-sheet [W/m2K]
    edge_film: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """Where moulds stand apart, with air on both faces."""

    id: str
    moulds_max: int
    mass_max: float | None  #: [kg]
    film_bottom: Film
    film_top: Film
    emissivity: Value
    edge_film: Value


def watered(place: CoolingPress | Stack | Rack) -> bool:
    """Whether water takes the heat of an outer face."""
    return "water" in (place.film_bottom.kind, place.film_top.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Any other place: bench, lift, saw, dryer."""

    id: str
    kind: Literal["bench", "lift", "saw", "dryer"]
    capacity: int
    load_max: float | None  #: [kg]
    temperature: float | None = None  #: of a dryer [°C]
    hours: float | None = None  #: of a dryer's load [s]
    kerf: float | None = None  #: of a saw [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A picture frame: it gives the sheet its plan, not its thickness."""

    id: str
    thickness: float
    cavity_length: float
    cavity_width: float
    outside_length: float
    outside_width: float
    metal: Metal
    mass: float  #: weighed, else computed from its measures [kg]
    evidence: Mapping[str, Kind] = field(default_factory=dict)  #: behind a measure, by its name

    @property
    def cavity_area(self) -> float:
        """[m2]"""
        return self.cavity_length * self.cavity_width

    @property
    def perimeter(self) -> float:
        """Of the cavity [m]."""
        return 2 * (self.cavity_length + self.cavity_width)

    @property
    def land(self) -> float:
        """Least width of frame that flash has to cross [m]."""
        return min(self.outside_length - self.cavity_length, self.outside_width - self.cavity_width) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Skin:
    """A pair of thin sheets, one under and one over the charge."""

    id: str
    length: float
    width: float
    thickness: float
    metal: Metal
    mass: float  #: of one of the two [kg]
    fit_for_use: bool = True
    evidence: Mapping[str, Kind] = field(default_factory=dict)  #: behind a measure, by its name


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale, with the largest load it takes."""

    id: str
    capacity: float  #: [kg]
    step: float  #: [kg]
    evidence: Mapping[str, Kind] = field(default_factory=dict)  #: behind each of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """One stay of a person in the shop on given weekdays, less a break; a night's goes on past midnight."""

    weekdays: tuple[int, ...]  #: Monday 0 … Sunday 6, on which it begins
    start: time
    end: time  #: not after `start`: of the next day
    lunch_start: time | None = None
    lunch_end: time | None = None

    def spans(self, day: date, clock: tzinfo) -> list[tuple[datetime, datetime]]:
        """From when to when they are there in the stay that begins on a day; none on another weekday."""
        if day.weekday() not in self.weekdays:
            return []
        lunch = (self.lunch_start, self.lunch_end)
        edges: list[datetime] = []
        for hour in (self.start, *(one for one in lunch if one is not None), self.end):
            if edges and hour <= edges[-1].time():
                day += timedelta(days=1)
            edges.append(datetime.combine(day, hour, clock))
        return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who works here, by role code."""

    id: str
    skills: frozenset[str]  #: hot_transfer, saw, …
    presence: tuple[Presence, ...]
    lift_max: float  #: what this person may lift alone [kg]
    role: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """A traceable quantity of flake with one status."""

    id: str
    plastic: str
    form: str  #: "caps", "film flake"
    colour: str | None
    mass: float  #: on hand [kg]
    status: Literal["received", "quarantine", "released", "blocked", "empty"]
    origin: str  #: packaging, crates, household, electrical, own_regrind, virgin, unknown …
    mfr: float | None = None  #: [g/10 min]
    viscosity: Value | None = None  #: measured or estimated by the shop at the set-point [Pa s]
    moisture: float | None = None  #: mass fraction
    bulk_density: float | None = None  #: [kg/m3]
    strangers: Mapping[str, float] = field(default_factory=dict)  #: plastic id to mass fraction
    parents: tuple[str, ...] = ()
    bromine: Literal["not_tested", "clear", "found"] = "not_tested"  #: result that electrical plastic needs
    dry_first: bool = False  #: dried before it is weighed, whatever its last sample lost
    place: str | None = None  #: the item of the room that it stands in; None: not said
    note: str = ""

    @property
    def bromine_free(self) -> bool | None:
        """What the bromine test said; None: not tested."""
        return {"clear": True, "found": False}.get(self.bromine)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A usable rest of a sheet in store."""

    id: str
    plastic: str
    colour: str | None
    thickness: float  #: [m]
    length: float  #: [m]
    width: float  #: [m]
    lot: str | None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A customer's order, stated in sheets."""

    id: str
    what: str
    plastic: str
    colour: str | None
    thickness: float  #: [m]
    sheets: int
    due: datetime | None  #: with the shop's offset
    condition: float | None = None  #: flat rest before sizing [s]; None: the shop's default
    lots: Mapping[str, float] = field(default_factory=dict)  #: lot to share of the charge
    offcuts: tuple[str, ...] = ()  #: which together give the parts of one of its sheets
    note: str = ""

    @property
    def recipe(self) -> tuple[object, ...]:
        """What its sheets are; orders with the same are pressed alike."""
        lots = tuple(sorted(self.lots.items()))
        return self.plastic.lower(), self.colour, round(self.thickness, 6), lots


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeValues:
    """How this shop works; every one has a library default that a shop file may replace."""

    flash_allowance: Value  #: fraction of the net charge
    thickness_tolerance: float  #: [m]
    contact_pressure: Value  #: on the sheet [Pa]
    full_pressure: Value  #: [Pa]
    following_pressure: Value  #: in the cooling press [Pa]
    breathe_time: float  #: [s]
    load_time: float
    transfer_time: float
    soak_time: float
    trim: float  #: cut from each edge [m]
    two_person_lift: float  #: [kg]
    condition: float  #: [s]
    air_time: float = 20.0  #: of the transfer, out in the air between two presses [s]
    move_time: float = 180.0  #: a mould from one cooling place to the next [s]
    prepare_time: float = 300.0
    weigh_time: float = 240.0
    demould_time: float = 360.0
    trim_time: float = 480.0
    settle_time: float = 300.0  #: both sensors within the band after a change of set-point [s]
    clean_light_to_dark: float = 120.0  #: between colours [s]
    clean_dark_to_light: float = 600.0
    trimmed_length: float | None = None  #: of the sheet as sold [m]; None: what the trim leaves
    trimmed_width: float | None = None
    dwell: Mapping[tuple[str, float], float] = field(default_factory=dict)  #: (plastic, thickness m) to s
    evidence: Mapping[str, Kind] = field(default_factory=dict)  #: behind a plain number, by its name


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """A whole workshop, as its files say."""

    name: str
    folder: Path
    room: Value  #: [°C]
    time_zone: str
    units_shown: Literal["metric", "us"]
    paper: Literal["a4", "letter"]
    metals: Mapping[str, Metal]
    hot_presses: Mapping[str, HotPress]
    cooling_presses: Mapping[str, CoolingPress]
    stacks: Mapping[str, Stack]
    racks: Mapping[str, Rack]
    places: Mapping[str, Place]
    frames: Mapping[str, Frame]
    skins: Mapping[str, Skin]
    scales: tuple[Scale, ...]
    people: Mapping[str, Person]
    lots: Mapping[str, Lot]
    orders: Mapping[str, Order]
    practice: PracticeValues
    plastic_overrides: Mapping[str, Mapping[str, object]]  #: plastic id to what `plastics.library` merges in
    energy_price: Value | None  #: [money/J]
    offcuts: Mapping[str, Offcut] = field(default_factory=dict)
    decimal_mark: Literal["point", "comma"] = "point"  #: for people; documents have points
    clock_face: Literal["24h", "am_pm"] = "24h"  #: for people; documents have 24 hours
    today: date | None = None  #: the day a practice workshop stands still on; None: the clock's
    default_stack: str | None = None
    default_hot_press: str | None = None
    default_cooling_press: str | None = None
    supply: Supply | None = None  #: None: no supply.toml
    #: which form it was read from; the same workshop is equal from either
    form: Literal["files", "records"] = field(default="files", compare=False)
