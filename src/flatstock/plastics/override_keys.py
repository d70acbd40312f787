"""The keys of a workshop's `plastics.toml`: what each means, in which unit, inside which band."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from flatstock.evidence import KINDS, Value
from flatstock.plastics.bands import Band, band
from flatstock.plastics.datafile import SI

__all__ = ["KEYS", "SOURCE", "TEXT_KEYS", "EntryError", "read_entry"]

SOURCE = "plastics.toml of this workshop"
TEXT_KEYS: tuple[str, ...] = ("name", "family", "symbol", "fume", "base")

#: key to (unit in the file, band in bands.toml)
KEYS: Mapping[str, tuple[str, str]] = {
    "density_kg_m3": ("kg/m3", "density"),
    "shrinkage_percent": ("%", "shrinkage"),
    "melt_density_kg_m3": ("kg/m3", "melt_density"),
    "solid_cp_J_kgK": ("J/kgK", "solid_cp"),
    "solid_cp_slope_J_kgK2": ("J/kgK2", "solid_cp_slope"),
    "melt_cp_J_kgK": ("J/kgK", "melt_cp"),
    "melt_cp_slope_J_kgK2": ("J/kgK2", "melt_cp_slope"),
    "latent_J_kg": ("J/kg", "latent"),
    "latent_at_C": ("°C", "latent_at"),
    "melting_onset_C": ("°C", "melting_onset"),
    "melting_end_C": ("°C", "melting_end"),
    "freezing_onset_C": ("°C", "freezing_onset"),
    "freezing_end_C": ("°C", "freezing_end"),
    "solid_k_W_mK": ("W/mK", "conductivity"),
    "solid_k_slope_W_mK2": ("W/mK2", "solid_k_slope"),
    "melt_k_W_mK": ("W/mK", "melt_conductivity"),
    "bed_k_W_mK": ("W/mK", "bed_k"),
    "bed_factor": ("1", "bed_factor"),
    "bed_void": ("1", "bed_void"),
    "bed_bulk_density_kg_m3": ("kg/m3", "bed_bulk_density"),
    "loose_bulk_density_kg_m3": ("kg/m3", "loose_bulk_density"),
    "melt_target_C": ("°C", "melt_target"),
    "open_below_C": ("°C", "open_below"),
    "demould_below_C": ("°C", "demould_below"),
    "set_point_C": ("°C", "set_point"),
    "face_allowance_min": ("min", "face_allowance"),
    "face_limit_C": ("°C", "face_limit"),
    "contact_pressure_MPa": ("MPa", "contact_pressure"),
    "full_pressure_MPa": ("MPa", "full_pressure"),
    "viscosity_kPas": ("kPa s", "viscosity"),
    "highest_set_point_C": ("°C", "highest_set_point"),
}
_TABLE_KEYS = frozenset({"value", "low", "high", "kind", "source", "note"})


class EntryError(ValueError):
    """An entry that cannot be taken: what is wrong and what would be right."""

    def __init__(self, what: str, instead: str) -> None:
        super().__init__(what)
        self.what, self.instead = what, instead


def read_entry(key: str, entry: object) -> Value:
    """The `Value` in SI units that stands under `key`; raises `EntryError`."""
    unit, name = KEYS[key]
    si, factor = SI[unit]
    low, typical, high = _three(entry, key)
    _inside(band(name), (low * factor, typical * factor, high * factor))
    if not low <= typical <= high:
        raise EntryError(
            f"{low:g}, {typical:g}, {high:g} do not stand in order", "write [low, typical, high], rising"
        )
    kind, source, note = _evidence(entry)
    return Value(typical * factor, low * factor, high * factor, kind, source, si, note)  # type: ignore[arg-type]


def _three(entry: object, key: str) -> tuple[float, float, float]:
    if isinstance(entry, Mapping):
        if unknown := sorted(set(entry) - _TABLE_KEYS):
            raise EntryError(
                f"unknown {', '.join(map(str, unknown))}", f"a table holds {', '.join(sorted(_TABLE_KEYS))}"
            )
        if "value" not in entry:
            raise EntryError("the table has no value", "write { value = …, low = …, high = … }")
        value = _number(entry["value"], key)
        return _number(entry.get("low", value), key), value, _number(entry.get("high", value), key)
    if isinstance(entry, list | tuple):
        if len(entry) != 3:
            raise EntryError(f"a list of {len(entry)}", "write [low, typical, high]")
        return _number(entry[0], key), _number(entry[1], key), _number(entry[2], key)
    number = _number(entry, key)
    return number, number, number


def _number(entry: object, key: str) -> float:
    if isinstance(entry, bool) or not isinstance(entry, int | float) or not isfinite(entry):
        raise EntryError(
            f"{entry!r} is no number", f"write a bare number; the unit stands in the name, {KEYS[key][0]}"
        )
    return float(entry)


def _inside(limits: Band, numbers: tuple[float, float, float]) -> None:
    for number in numbers:
        if not limits.holds(number):
            unit = "" if limits.unit == "1" else f" {limits.unit}"
            raise EntryError(
                f"{number / limits.factor:g}{unit} is not possible",
                f"the physically possible band is {limits.words()}",
            )


def _evidence(entry: object) -> tuple[str, str, str]:
    if not isinstance(entry, Mapping):
        return "measured", SOURCE, ""
    kind = entry.get("kind", "measured")
    if kind not in KINDS:
        raise EntryError(f"{kind!r} is no kind of evidence", f"the kinds are {', '.join(KINDS)}")
    told = str(entry.get("source") or SOURCE)
    source = told if SOURCE in told else f"{told} ({SOURCE})"
    return str(kind), source, str(entry.get("note", ""))
