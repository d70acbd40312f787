"""What a plastic is made of here: thermal numbers, process values, everything else by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flatstock.errors import OutOfRange
from flatstock.evidence import Value
from flatstock.plastics.thermal_values import Thermal
from flatstock.plastics.viscosity import ViscosityModel
from flatstock.plastics.volume import AIR, MeltLine, Tait

__all__ = ["MeltVolume", "Plastic", "Process", "Thermal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Process:
    """How a plastic is pressed. None where nothing is on file. °C, SI otherwise."""

    set_point: Value | None = None
    press_low: Value | None = None  #: usual window of the platens
    press_high: Value | None = None
    highest_set_point: Value | None = None  #: the hard limit; nothing overrides it
    melt_target: Value | None = None  #: core at which the sheet counts as melted through
    open_below: Value | None = None  #: core below which the cooling pressure may be released
    demould_below: Value | None = None
    contact_pressure: Value | None = None  #: on the sheet [Pa]
    full_pressure: Value | None = None  #: on the sheet [Pa]
    breathe_times: int = 1
    face_activation: Value | None = None  #: E of the clock at the hotter face [J/mol]
    face_allowance: Value | None = None  #: [s at 200 °C]
    face_limit: Value | None = None  #: of the plastic at the face
    drying_needed: bool = False
    drying_temperature: Value | None = None
    drying_time: Value | None = None  #: [s]
    max_moisture: Value | None = None  #: mass fraction
    fume: str | None = None  #: what has been found in the fume

    @property
    def face_assumed(self) -> bool:
        """Whether what the face bears is nobody's finding; so is a face of which nothing is on file."""
        known = [value for value in (self.face_allowance, self.face_limit) if value is not None]
        return all(value.kind == "assumed" for value in known)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltVolume:
    """A law for the volume of a melt with the evidence behind it."""

    law: Tait | MeltLine
    below: float  #: half widths of the band as shares of the density
    above: float
    evidence: Value  #: kind and source are taken from it

    def density(self, temperature: float, *, pressure: float = AIR) -> Value:
        """[kg/m3]; raises `OutOfRange` far outside the range of a Tait row."""
        density = 1.0 / self.law.volume(temperature, pressure=pressure)
        below, above, note = self.below, self.above, f"at {temperature:g} °C"
        if isinstance(self.law, Tait) and (beyond := self.law.beyond(temperature)) > 0:
            below, above = below + 2e-4 * beyond, above + 2e-4 * beyond
            note += f", {beyond:.0f} K outside the range of {self.law.lowest:g} … {self.law.highest:g} °C"
        return Value(
            density,
            density * (1.0 - below),
            density * (1.0 + above),
            self.evidence.kind,
            self.evidence.source,
            "kg/m3",
            note,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Plastic:
    """One plastic, with the source of every number."""

    id: str
    name: str
    family: str
    symbol: str  #: marking of ISO 1043
    thermal: Thermal | None  #: None while something is missing
    process: Process | None  #: None: never pressed
    density: Value  #: of the solid at 23 °C [kg/m3]
    shrinkage: Value  #: linear, cavity to cold sheet, as a share of the cavity
    loose_bulk_density: Value  #: of the loose flake [kg/m3]
    melt: MeltVolume | None
    viscosity: ViscosityModel | None
    missing: tuple[str, ...]  #: override keys of the data that a press card needs and that are not there
    never_pressed: str | None  #: the reason, when it may never be pressed
    parts: Mapping[str, Value]  #: the fields of `Thermal` that are known, by name
    values: Mapping[str, Value]  #: every other value on file: moduli, calorific values, melting peaks …
    own: bool = False  #: added by a workshop
    like: str = ""  #: id of the plastic on file that a workshop's own one starts from, for `pairs.pair`

    def melt_density_at(self, temperature: float, pressure: float = AIR) -> Value:
        """Density of the melt [kg/m3] at `temperature` [°C] and `pressure` [Pa].

        Raises
        ------
        OutOfRange
            No melt volume is on file, or the temperature is far outside its range.
        """
        if self.melt is None:
            raise OutOfRange(f"No melt density of {self.name} is on file.")
        return self.melt.density(temperature, pressure=pressure)
