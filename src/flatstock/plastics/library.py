"""The plastics on file: a shelf that reads each data file when somebody first asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

from flatstock.evidence import Value
from flatstock.plastics.datafile import read, value_of
from flatstock.plastics.model import MeltVolume, Plastic, Process, Thermal
from flatstock.plastics.safety import never_pressed
from flatstock.plastics.thermal import computed, thermal_parts, tolerance
from flatstock.plastics.viscosity import Carreau, MeltFlowTest, ViscosityModel
from flatstock.plastics.volume import MeltLine, Tait

__all__ = ["IDS", "Shelf", "library", "missing_for_card", "plastic_of"]

IDS: tuple[str, ...] = (
    "hdpe", "ldpe", "lldpe", "pp", "pp_copolymer", "ps", "hips", "abs", "pla", "pet", "pa6", "pc",
)  # fmt: skip

_NOT_VALUES = frozenset({"law", "table", "process", "fume"})
_DRYING = ("drying_temperature", "drying_time", "max_moisture")

#: what a press card needs: field of `Thermal` or `Process` to the key a workshop writes it under
CARD_KEYS: Mapping[str, str] = {
    "density": "density_kg_m3",
    "melt_volume_180": "melt_density_kg_m3",
    "solid_cp_23": "solid_cp_J_kgK",
    "melt_cp_180": "melt_cp_J_kgK",
    "latent": "latent_J_kg",
    "latent_at": "latent_at_C",
    "melting_onset": "melting_onset_C",
    "melting_end": "melting_end_C",
    "freezing_onset": "freezing_onset_C",
    "freezing_end": "freezing_end_C",
    "solid_k_23": "solid_k_W_mK",
    "melt_k_180": "melt_k_W_mK",
    "set_point": "set_point_C",
    "melt_target": "melt_target_C",
    "open_below": "open_below_C",
    "demould_below": "demould_below_C",
    "contact_pressure": "contact_pressure_MPa",
    "full_pressure": "full_pressure_MPa",
    "face_allowance": "face_allowance_min",
    "face_limit": "face_limit_C",
}


class Shelf(Mapping[str, Plastic]):
    """Plastics by id, each made when it is first looked up. Ids are lower case; look-ups ignore case."""

    def __init__(self, makers: Mapping[str, Callable[[], Plastic]]) -> None:
        self._makers = dict(makers)
        self._made: dict[str, Plastic] = {}

    def __getitem__(self, name: str) -> Plastic:
        key = name.strip().lower()
        if key not in self._made:
            self._made[key] = self._makers[key]()
        return self._made[key]

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and name.strip().lower() in self._makers

    def __iter__(self) -> Iterator[str]:
        return iter(self._makers)

    def __len__(self) -> int:
        return len(self._makers)


@cache
def library() -> Shelf:
    """The plastics that come with this package.

    >>> library()["HDPE"].symbol
    'PE-HD'
    """
    return Shelf({name: _maker(name) for name in IDS})


def _maker(name: str) -> Callable[[], Plastic]:
    return lambda: plastic_of(read(name))


def plastic_of(data: Mapping[str, Any]) -> Plastic:
    """A plastic from its data file."""
    values = {
        name: value_of(table)
        for name, table in data.items()
        if isinstance(table, dict) and name not in _NOT_VALUES
    }
    entry = never_pressed(data["id"])
    never = entry.reason if entry else None
    parts = {} if never else thermal_parts(data)
    process = None if never else _process(data, values)
    melt = _melt(data, parts)
    bulk = values.get("loose_bulk_density") or assumed_bulk(values["density"])
    return Plastic(
        id=data["id"],
        name=data["name"],
        family=data["family"],
        symbol=data["symbol"],
        thermal=thermal_of(parts),
        process=process,
        density=values["density"],
        shrinkage=values["shrinkage"],
        loose_bulk_density=bulk,
        melt=melt,
        viscosity=None if never else _viscosity(data, values, melt),
        missing=() if never else missing_for_card(parts, process),
        never_pressed=never,
        parts=parts,
        values=values,
        like=data["id"],
    )


def thermal_of(parts: Mapping[str, Value]) -> Thermal | None:
    """`Thermal` when nothing that it needs is missing."""
    if any(name not in parts for name in Thermal.names()):
        return None
    return Thermal(**parts)


def missing_for_card(parts: Mapping[str, Value], process: Process | None) -> tuple[str, ...]:
    """The override keys of what a press card needs and nobody has said."""
    return tuple(
        key
        for field, key in CARD_KEYS.items()
        if field not in parts and (field in Thermal.names() or getattr(process, field, None) is None)
    )


def assumed_bulk(density: Value) -> Value:
    """Loose bulk density of a plastic that has none on file: a usual packing of flake [kg/m3]."""
    packing = value_of(read("heat_model")["default"]["packing"])
    return packing.mapped(lambda share: share * density.value, unit="kg/m3")


def assumed_activation() -> Value:
    """Of the clock at the hotter face, for a plastic that has none on file [J/mol]."""
    return value_of(read("heat_model")["default"]["face_activation"])


def _process(data: Mapping[str, Any], values: Mapping[str, Value]) -> Process:
    table = {name: value_of(entry) for name, entry in data.get("process", {}).items()}
    window = table.get("set_point")
    named = ("set_point", "highest_set_point", "melt_target", "open_below", "demould_below",
             "contact_pressure", "full_pressure", "face_allowance", "face_limit")  # fmt: skip
    return Process(
        **{name: table[name] for name in named if name in table},
        **{name: values[name] for name in _DRYING if name in values},
        press_low=None if window is None else window.mapped(lambda _: window.low, unit="°C"),
        press_high=None if window is None else window.mapped(lambda _: window.high, unit="°C"),
        face_activation=table.get("face_activation") or assumed_activation(),
        breathe_times=int(table["breathe_times"].value) if "breathe_times" in table else 1,
        drying_needed="drying_needed" in values and values["drying_needed"].value > 0,
        fume=data.get("fume", {}).get("text"),
    )


def _melt(data: Mapping[str, Any], parts: Mapping[str, Value]) -> MeltVolume | None:
    law = data.get("law", {})
    if row := law.get("tait_melt"):
        name = "melt_volume_read" if row["kind"] == "handbook" else "melt_volume_remembered"
        wide = tolerance(name)
        return MeltVolume(law=Tait.of(row), below=wide, above=wide, evidence=computed(0.0, row, unit=""))
    if "melt_volume_180" not in parts:
        return None
    line = MeltLine(at_180=parts["melt_volume_180"].value, slope=parts["melt_volume_slope"].value)
    wide = tolerance("melt_volume_remembered")
    return MeltVolume(law=line, below=wide, above=wide, evidence=parts["melt_volume_180"])


def _viscosity(
    data: Mapping[str, Any], values: Mapping[str, Value], melt: MeltVolume | None
) -> ViscosityModel | None:
    law, table, process = data.get("law", {}), data.get("table", {}), data.get("process", {})
    test = None
    if melt is not None and "melt_flow_temperature" in process:
        at = value_of(process["melt_flow_temperature"]).value
        load = value_of(process["melt_flow_load"]).value
        test = MeltFlowTest(temperature=at, load=load, melt_density=melt.density(at).value)
    curve, zero = law.get("viscosity_carreau"), data.get("zero_shear_viscosity")
    if test is None and curve is None and zero is None:
        return None
    rows = table.get("viscosity_power_law", {})
    flow = values.get("flow_activation")
    evidence = curve or rows or zero or process["melt_flow_temperature"]
    return ViscosityModel(
        evidence=computed(0.0, evidence, unit="Pa s"),
        curve=Carreau.of(curve) if curve else None,
        test=test,
        activation=flow.value if flow is not None else rows.get("E_from_m_J_mol"),
        zero_shear=values.get("zero_shear_viscosity"),
        zero_shear_at=float(zero["at"].split()[0]) if zero else 0.0,
    )
