"""One plastic with a workshop's own numbers put in, and what follows from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from flatstock.errors import Fault, UserError
from flatstock.evidence import Value
from flatstock.plastics.bands import band
from flatstock.plastics.library import assumed_activation, assumed_bulk, missing_for_card, thermal_of
from flatstock.plastics.model import MeltVolume, Plastic, Process
from flatstock.plastics.override_keys import SOURCE
from flatstock.plastics.thermal import with_defaults
from flatstock.plastics.viscosity import ViscosityModel
from flatstock.plastics.volume import MeltLine, Tait

__all__ = ["Own", "merged", "new_plastic"]

Place = Callable[[str], str]

#: key to the field of `Thermal` that it simply replaces
_PARTS: Mapping[str, str] = {
    "density_kg_m3": "density",
    "latent_J_kg": "latent",
    "latent_at_C": "latent_at",
    "melting_onset_C": "melting_onset",
    "melting_end_C": "melting_end",
    "freezing_onset_C": "freezing_onset",
    "freezing_end_C": "freezing_end",
    "melt_k_W_mK": "melt_k_180",
    "bed_k_W_mK": "bed_k",
    "bed_factor": "bed_factor",
    "bed_void": "bed_void",
}
#: key to the field of `Process`
_PROCESS: Mapping[str, str] = {
    "melt_target_C": "melt_target",
    "open_below_C": "open_below",
    "demould_below_C": "demould_below",
    "set_point_C": "set_point",
    "face_allowance_min": "face_allowance",
    "face_limit_C": "face_limit",
    "contact_pressure_MPa": "contact_pressure",
    "full_pressure_MPa": "full_pressure",
    "highest_set_point_C": "highest_set_point",
}
#: key to the key of its slope: a constant has no slope unless one is given
_WITH_SLOPE = (
    ("solid_cp_J_kgK", "solid_cp_23", "solid_cp_slope_J_kgK2", "solid_cp_slope"),
    ("melt_cp_J_kgK", "melt_cp_180", "melt_cp_slope_J_kgK2", "melt_cp_slope"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """What a workshop says of one plastic, read and inside its bands."""

    values: Mapping[str, Value]
    texts: Mapping[str, str]


def merged(plastic: Plastic, own: Own, where: Place) -> Plastic:
    """`plastic` with the workshop's values; raises `UserError` where they do not fit together."""
    said = own.values
    process = _process(plastic.process or Process(), own)
    parts = _parts(plastic.parts, said, process, where)
    density = said.get("density_kg_m3", plastic.density)
    melt = _melt(plastic.melt, said, parts)
    bulk = said.get("loose_bulk_density_kg_m3", plastic.loose_bulk_density)
    viscosity = plastic.viscosity
    if (eta := said.get("viscosity_kPas")) is not None:
        viscosity = replace(viscosity, own=eta) if viscosity else ViscosityModel(evidence=eta, own=eta)
    faults = _faults(parts, process, density, bulk, said.get("melt_density_kg_m3"), where)
    if faults:
        raise UserError(faults)
    pressed = plastic.never_pressed is None
    return replace(
        plastic,
        density=density,
        shrinkage=said.get("shrinkage_percent", plastic.shrinkage),
        loose_bulk_density=bulk,
        melt=melt,
        viscosity=viscosity,
        parts=parts,
        process=process if pressed else None,
        thermal=thermal_of(parts) if pressed else None,
        missing=missing_for_card(parts, process) if pressed else (),
    )


def new_plastic(name: str, base: Plastic | None, own: Own, where: Place) -> Plastic:
    """A workshop's own plastic, from `base` or from nothing but what the workshop says."""
    text = own.texts
    if base is None:
        density = own.values["density_kg_m3"]
        base = Plastic(
            id=name,
            name=name,
            family="not said",
            symbol=name.upper(),
            thermal=None,
            process=Process(face_activation=assumed_activation()),
            density=density,
            shrinkage=own.values["shrinkage_percent"],
            loose_bulk_density=assumed_bulk(density),
            melt=None,
            viscosity=None,
            missing=(),
            never_pressed=None,
            parts={},
            values={},
            like=name,
        )
    named = replace(
        base,
        id=name,
        name=text.get("name", name),
        family=text.get("family", base.family),
        symbol=text.get("symbol", base.symbol),
    )
    return merged(named, own, where)


def _process(process: Process, own: Own) -> Process:
    changes: dict[str, Value] = {
        field: own.values[key] for key, field in _PROCESS.items() if key in own.values
    }
    set_point = own.values.get("set_point_C")
    if set_point is not None and not set_point.is_sure:
        changes["press_low"] = set_point.mapped(lambda _: set_point.low, unit="°C")
        changes["press_high"] = set_point.mapped(lambda _: set_point.high, unit="°C")
    process = replace(process, **changes)  # type: ignore[arg-type]
    return replace(process, fume=own.texts["fume"]) if "fume" in own.texts else process


def _parts(
    before: Mapping[str, Value], said: Mapping[str, Value], process: Process, where: Place
) -> dict[str, Value]:
    parts = dict(before)
    parts.update({field: said[key] for key, field in _PARTS.items() if key in said})
    for key, field, slope_key, slope_field in _WITH_SLOPE:
        if slope_key in said:
            parts[slope_field] = said[slope_key]
        elif key in said:
            parts[slope_field] = Value.sure(0.0, kind=said[key].kind, source=said[key].source, unit="J/kgK2")
        if key in said:
            parts[field] = said[key]
    _solid_conductivity(parts, said)
    if "bed_bulk_density_kg_m3" in said:
        parts["bed_void"] = _void(said["bed_bulk_density_kg_m3"], parts, where)
    if "melt_density_kg_m3" in said:
        _melt_line(parts, said["melt_density_kg_m3"], process)
    return with_defaults(parts) if parts else {}


def _solid_conductivity(parts: dict[str, Value], said: Mapping[str, Value]) -> None:
    if (new := said.get("solid_k_W_mK")) is not None:
        old, slope = parts.get("solid_k_23"), parts.get("solid_k_slope")
        if old is not None and slope is not None:  # the shape over temperature stays as on file
            ratio = new.value / old.value
            parts["solid_k_slope"] = slope.mapped(lambda x: x * ratio, unit=slope.unit)
        parts["solid_k_23"] = new
    if "solid_k_slope_W_mK2" in said:
        parts["solid_k_slope"] = said["solid_k_slope_W_mK2"]


def _void(bulk: Value, parts: Mapping[str, Value], where: Place) -> Value:
    if "density" not in parts:
        raise UserError(
            Fault(
                where=where("bed_bulk_density_kg_m3"),
                what="the void of the bed needs the solid's density as well",
                instead="write density_kg_m3 too, or bed_void",
            )
        )
    solid = parts["density"].value
    limits = band("bed_void")
    if not all(limits.holds(1.0 - number / solid) for number in (bulk.low, bulk.high)):
        raise UserError(
            Fault(
                where=where("bed_bulk_density_kg_m3"),
                what=f"{bulk.low:g} … {bulk.high:g} kg/m3 of a solid of {solid:g} kg/m3 is no bed of flake",
                instead=f"its void must lie in {limits.words()}",
            )
        )
    return bulk.mapped(lambda number: 1.0 - number / solid, unit="1")


def _melt_line(parts: dict[str, Value], density: Value, process: Process) -> None:
    """Shift the melt's line through the density at the set-point on file; the slope stays."""
    volume = density.mapped(lambda rho: 1.0 / rho, unit="m3/kg")
    slope = (with_defaults({**parts, "melt_volume_180": volume}))["melt_volume_slope"]
    parts["melt_volume_slope"] = slope
    away = (process.set_point.value if process.set_point else 180.0) - 180.0
    parts["melt_volume_180"] = volume.mapped(lambda v: v - slope.value * away, unit="m3/kg")


def _melt(
    before: MeltVolume | None, said: Mapping[str, Value], parts: Mapping[str, Value]
) -> MeltVolume | None:
    density = said.get("melt_density_kg_m3")
    if density is None:
        return before
    law = before.law if before is not None else None
    pressure_law = law if isinstance(law, Tait) else law.pressure_law if law is not None else None
    line = MeltLine(
        at_180=parts["melt_volume_180"].value,
        slope=parts["melt_volume_slope"].value,
        pressure_law=pressure_law,
    )
    return MeltVolume(
        law=line,
        below=1.0 - density.low / density.value,
        above=density.high / density.value - 1.0,
        evidence=density,
    )


#: ends of the ranges over which a plastic melts and freezes
_RANGES = ("melting_onset", "melting_end", "freezing_end", "freezing_onset")
#: what must be in order, by the keys of a workshop's file; the freezing range is no higher than the melting range
_ORDERS = (
    ("melting_onset_C", "lie below", "melting_end_C"),
    ("freezing_end_C", "lie below", "freezing_onset_C"),
    ("freezing_end_C", "not lie above", "melting_onset_C"),
    ("freezing_onset_C", "not lie above", "melting_end_C"),
    ("melting_end_C", "not lie above", "melt_target_C"),
    ("set_point_C", "not lie above", "highest_set_point_C"),
    ("melt_target_C", "lie below", "highest_set_point_C"),
    ("contact_pressure_MPa", "not lie above", "full_pressure_MPa"),
    ("loose_bulk_density_kg_m3", "lie below", "density_kg_m3"),
    ("melt_density_kg_m3", "lie below", "density_kg_m3"),
    ("melt_target_C", "lie below", "set_point_C"),
)


def _faults(
    parts: Mapping[str, Value],
    process: Process,
    density: Value,
    bulk: Value,
    melt: Value | None,
    where: Place,
) -> list[Fault]:
    """What cannot hold together, each named after the first key that a person would look at."""
    known = {
        **{f"{name}_C": parts.get(name) for name in _RANGES},
        "melt_target_C": process.melt_target,
        "set_point_C": process.set_point,
        "highest_set_point_C": process.highest_set_point,
        "contact_pressure_MPa": process.contact_pressure,
        "full_pressure_MPa": process.full_pressure,
        "loose_bulk_density_kg_m3": bulk,
        "melt_density_kg_m3": melt,
        "density_kg_m3": density,
    }
    found = []
    for low_key, relation, high_key in _ORDERS:
        low, high = known[low_key], known[high_key]
        if low is None or high is None or not (_is_own(low) or _is_own(high)):
            continue
        most = low.high if low_key == "set_point_C" else low.value
        if most > high.value or (relation == "lie below" and most == high.value):
            found.append(
                Fault(
                    where=where(low_key if _is_own(low) else high_key),
                    what=f"{low_key} {_shown(most, low)} must {relation}"
                    f" {high_key} {_shown(high.value, high)}",
                    instead="choose a lower one" if "highest" in high_key else "correct one or write both",
                )
            )
    return found


def _is_own(value: Value) -> bool:
    return SOURCE in value.source


def _shown(number: float, value: Value) -> str:
    return f"{number / 1e6:g} MPa" if value.unit == "Pa" else f"{number:g} {value.unit}"
