"""The thermal numbers of a plastic, computed from its data file by one recipe.

The recipe (docs/plastics.md, "From data to the heat model") fixes which entry becomes which number, so
that everybody who starts from the same data has the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

from flatstock.evidence import Value, weakest
from flatstock.plastics.datafile import read, value_of
from flatstock.plastics.viscosity import KELVIN
from flatstock.plastics.volume import Tait

__all__ = ["bed_parts", "computed", "thermal_parts", "tolerance", "with_defaults"]

_ROOM = 23.0 + KELVIN


def computed(
    number: float, *sources: Value | Mapping[str, Any], unit: str, share: float = 0.0, half: float = 0.0
) -> Value:
    """A number computed from `sources`: as weak as the weakest of them, band ± (share·|number| + half)."""
    kinds = [piece.kind if isinstance(piece, Value) else piece["kind"] for piece in sources]
    names: dict[str, None] = {}
    for piece in sources:
        names.update(
            dict.fromkeys((piece.source if isinstance(piece, Value) else piece["source"]).split(", "))
        )
    wide = share * abs(number) + half
    return Value(number, number - wide, number + wide, weakest("computed", *kinds), ", ".join(names), unit)


def tolerance(name: str) -> float:
    """A half width of `heat_model.toml`."""
    return value_of(read("heat_model")["tolerance"][name]).value


def bed_parts() -> dict[str, Value]:
    """The flake bed between the skins, the same for every plastic until a workshop says otherwise."""
    return {f"bed_{name}": value_of(table) for name, table in read("heat_model")["bed"].items()}


def thermal_parts(data: Mapping[str, Any]) -> dict[str, Value]:
    """The fields of `Thermal` that the data file `data` gives, by name."""
    return dict(_parts(data)) | bed_parts()


def _parts(data: Mapping[str, Any]) -> Iterator[tuple[str, Value]]:
    law, table = data.get("law", {}), data.get("table", {})
    yield "density", value_of(data["density"])
    yield from _volume(data, law)
    if "cp" in law:
        yield from _heat_capacity(law["cp"])
        yield from _melting(data, law["cp"], table)
    if "conductivity" in table:
        yield from _conductivity(data, law, table["conductivity"])


def _volume(data: Mapping[str, Any], law: Mapping[str, Any]) -> Iterator[tuple[str, Value]]:
    density, slack = value_of(data["density"]), tolerance("volume_slope")
    slope: tuple[str, float, Mapping[str, Any]] | None = None
    if "tait_solid" in law:  # secant from 23 °C to the end of the row
        row = Tait.of(law["tait_solid"])
        rise = (row.volume(row.highest) - row.volume(23.0)) / (row.highest - 23.0)
        slope = ("solid_volume_slope", rise, law["tait_solid"])
    elif glass := law.get("specific_volume_glass") or law.get("specific_volume"):
        slope = ("solid_volume_slope", 3.0 * glass["clte_1_K"] / density.value, glass)
    elif "expansion" in data and "melt_density" in law:
        linear = value_of(data["expansion"])
        slope = ("solid_volume_slope", 3.0 * linear.value / density.value, data["expansion"])
    if slope is not None:
        yield slope[0], computed(slope[1], slope[2], unit="m3/kgK", share=slack)
    melt = _melt_line(law)
    if melt is not None:
        at_180, rise, source = melt
        read_row = "tait_melt" in law and source["kind"] == "handbook"
        wide = tolerance("melt_volume_read" if read_row else "melt_volume_remembered")
        yield "melt_volume_180", computed(at_180, source, unit="m3/kg", share=wide)
        yield "melt_volume_slope", computed(rise, source, unit="m3/kgK", share=slack)


def _melt_line(law: Mapping[str, Any]) -> tuple[float, float, Mapping[str, Any]] | None:
    if "tait_melt" in law:  # value at 180 °C, slope from 160 to 200 °C
        row = Tait.of(law["tait_melt"])
        return row.volume(180.0), (row.volume(200.0) - row.volume(160.0)) / 40.0, law["tait_melt"]
    if "melt_expansion_1_K" in law.get("specific_volume", {}):
        line = law["specific_volume"]
        rise = line["v105_m3_kg"] * line["melt_expansion_1_K"]
        return line["v105_m3_kg"] + rise * (180.0 - line["T_change_C"]), rise, line
    if "melt_density" in law:
        line = law["melt_density"]
        rise = line["a_1_K"] / line["rho150_kg_m3"]
        return 1.0 / line["rho150_kg_m3"] + rise * 30.0, rise, line
    return None


def _warming(at_298K: float) -> tuple[float, float]:
    """Value at 23 °C and slope of cp(T) = cp(298 K) (0.106 + 0.003 T)/(0.106 + 0.003·298.15), T in K."""
    whole = 0.106 + 0.003 * 298.15
    return at_298K * (0.106 + 0.003 * _ROOM) / whole, at_298K * 0.003 / whole


def _heat_capacity(cp: Mapping[str, Any]) -> Iterator[tuple[str, Value]]:
    wide = cp["uncertainty_percent"] / 100.0
    if "crystal_298K_J_kgK" in cp:
        share, a, b = cp["default_X"], cp["amorphous_a_J_kgK"], cp["amorphous_b_J_kgK2"]
        crystal, rise = _warming(cp["crystal_298K_J_kgK"])
        solid = share * crystal + (1.0 - share) * (a + b * _ROOM)
        solid_slope = share * rise + (1.0 - share) * b
        melt, melt_slope = a + b * (180.0 + KELVIN), b
    else:
        solid, solid_slope = _warming(cp["glass_298K_J_kgK"])
        melt_slope = cp["melt_slope_J_kgK2"]
        melt = cp["melt_at_Tg_J_kgK"] + melt_slope * (180.0 - cp["Tg_C"])
    yield "solid_cp_23", computed(solid, cp, unit="J/kgK", share=wide)
    yield "solid_cp_slope", computed(solid_slope, cp, unit="J/kgK2")
    yield "melt_cp_180", computed(melt, cp, unit="J/kgK", share=wide)
    yield "melt_cp_slope", computed(melt_slope, cp, unit="J/kgK2")


def _melting(
    data: Mapping[str, Any], cp: Mapping[str, Any], table: Mapping[str, Any]
) -> Iterator[tuple[str, Value]]:
    half = tolerance("range")
    if "crystal_298K_J_kgK" in cp:
        full, band = value_of(data["heat_of_fusion_full"]), value_of(data["heat_of_fusion"])
        share = value_of(data["crystallinity"])
        latent = computed(cp["default_X"] * full.value, full, share, unit="J/kg")
        yield "latent", replace(latent, low=band.low, high=band.high)
        enthalpy = table["enthalpy_above_23C"]
        yield "latent_at", computed(enthalpy["T_switch_C"], enthalpy, unit="°C")
        onset, end = value_of(data["melting_onset"]), value_of(data["melting_end"])
        peak = value_of(data["crystallisation_peak_1K_min"])
        yield "melting_onset", computed(onset.value, onset, unit="°C", half=half)
        yield "melting_end", computed(end.value, end, unit="°C", half=half)
        last = computed(min(peak.value - 8.0, onset.value), peak, unit="°C", half=half)
        first = computed(min(peak.value + 4.0, end.value), peak, unit="°C", half=half)
        deeper = data.get("process", {}).get("freezing_may_be_lower_by")
        if deeper is not None:
            lower = value_of(deeper).value
            last, first = replace(last, low=last.value - lower), replace(first, low=first.value - lower)
        yield "freezing_end", last
        yield "freezing_onset", first
    elif cp.get("default_X", 0.0) == 0.0:  # glass: it softens over 40 K and does the same backwards
        glass = value_of(data["glass_transition"])
        yield "latent", computed(0.0, cp, unit="J/kg")
        yield "latent_at", computed(cp["Tg_C"], cp, unit="°C")
        for name, at in (("onset", cp["Tg_C"]), ("end", cp["Tg_C"] + 40.0)):
            yield f"melting_{name}", computed(at, glass, cp, unit="°C", half=half)
            yield (
                f"freezing_{'end' if name == 'onset' else 'onset'}",
                computed(at, glass, cp, unit="°C", half=half),
            )


def _conductivity(
    data: Mapping[str, Any], law: Mapping[str, Any], table: Mapping[str, Any]
) -> Iterator[tuple[str, Value]]:
    upper = min(100.0, law.get("cp", {}).get("Tg_C", 100.0))
    cold, warm = _between(table, 23.0), _between(table, upper)
    solid, melt = value_of(data["conductivity"]), value_of(data["melt_conductivity"])
    yield "solid_k_23", replace(computed(cold, table, unit="W/mK"), low=solid.low, high=solid.high)
    yield "solid_k_slope", computed((warm - cold) / (upper - 23.0), table, unit="W/mK2")
    molten = computed(_between(table, 180.0), table, melt, unit="W/mK")
    yield "melt_k_180", replace(molten, low=melt.low, high=melt.high)


def _between(table: Mapping[str, Any], temperature: float) -> float:
    """A column read by straight lines, constant beyond its ends."""
    points = list(zip(table["T_C"], table["k_W_mK"], strict=True))
    for (t0, k0), (t1, k1) in pairwise(points):
        if temperature <= t1:
            return float(k0 + (k1 - k0) * max(temperature - t0, 0.0) / (t1 - t0))
    return float(points[-1][1])


def with_defaults(parts: Mapping[str, Value]) -> dict[str, Value]:
    """`parts` with what a workshop's own plastic may leave unsaid: expansions, constant slopes, the bed."""
    default = read("heat_model")["default"]
    filled = bed_parts() | dict(parts)
    for name, of, rule in (
        ("solid_volume_slope", "density", "solid_expansion"),
        ("melt_volume_slope", "melt_volume_180", "melt_expansion"),
    ):
        if name not in filled and of in filled:
            share = value_of(default[rule])
            volume = 1.0 / filled[of].value if of == "density" else filled[of].value
            filled[name] = share.mapped(lambda x, v=volume: x * v, unit="m3/kgK")  # type: ignore[misc]
    for name, unit in (("solid_cp_slope", "J/kgK2"), ("melt_cp_slope", "J/kgK2"), ("solid_k_slope", "W/mK2")):
        if name not in filled:
            filled[name] = Value.sure(0.0, kind="assumed", source="heat_model_choice", unit=unit)
    return filled
