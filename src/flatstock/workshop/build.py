"""From rows that have been checked to the dataclasses of a workshop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import pi
from typing import Literal, cast

from flatstock.evidence import Kind, Value, weakest
from flatstock.workshop import defaults
from flatstock.workshop.row import Row
from flatstock.workshop.shop import (
    CoolingPress,
    Cylinder,
    Film,
    Frame,
    HotPress,
    Metal,
    Place,
    Plate,
    Rack,
    Scale,
    Skin,
    Stack,
)

__all__ = ["cooling_press", "frames", "hot_press", "metals", "places", "rack", "scale", "skins", "stack"]

Metals = Mapping[str, Metal]
_FRAME = ("thickness", "cavity_length", "cavity_width", "outside_length", "outside_width")
_SKIN = ("length", "width", "thickness")
_PRESS = (
    "platen_length",
    "platen_width",
    "platen_thickness",
    "daylight",
    "force",
    "piston_diameter",
    "pistons",
)
_HOT_PRESS = (*_PRESS, "heated_mass", "control_band", "close_after")


def metals(rows: Iterable[tuple[str, Row]]) -> dict[str, Metal]:
    """The library's metals with what the shop says of them, and the shop's own."""
    found = {name: _library_metal(name) for name in defaults.data_file("metals.toml")}
    for name, row in rows:
        base = found.get(name)
        found[name] = Metal(
            id=name,
            density=row.maybe_value("density") or _of(base, "density"),
            specific_heat=row.maybe_value("specific_heat") or _of(base, "specific_heat"),
            conductivity=row.maybe_value("conductivity") or _of(base, "conductivity"),
        )
    return found


def hot_press(row: Row, known: Metals) -> HotPress:
    """A hot press."""
    bottom = _platen(row, known)
    return HotPress(
        id=row.text("id"),
        bottom=bottom,
        top=_plate(row.table("top_platen"), known, bottom) or bottom,
        heated_mass=row.maybe("heated_mass"),
        power_bottom=row.value("bottom_power"),
        power_top=row.value("top_power"),
        control=cast(Literal["on_off", "proportional"], row.text("control")),
        band=row.number("control_band"),
        gain=row.value("control_gain"),
        loss=row.maybe_value("loss"),
        back_film=row.value("back_film"),
        rim_film=row.value("rim_film"),
        contact_closed=row.value("contact"),
        contact_open_bottom=row.value("open_contact_bottom"),
        contact_open_top=row.value("open_contact_top"),
        sheet_contact_open=row.value("sheet_contact_open"),
        sheet_contact_loose=row.value("sheet_contact_loose"),
        sheet_contact_wet=row.value("sheet_contact_wet"),
        edge_film=row.value("edge_film"),
        close_after=row.number("close_after"),
        daylight=row.number("daylight"),
        highest_platen=row.maybe("highest_platen"),
        cylinder=_cylinder(row),
        evidence={key: row.evidence(key) for key in _HOT_PRESS},
    )


def cooling_press(row: Row, known: Metals) -> CoolingPress:
    """A cooling press."""
    bottom = _platen(row, known)
    fitted = row.flag("fans_fitted")
    return CoolingPress(
        id=row.text("id"),
        bottom=bottom,
        top=_plate(row.table("top_platen"), known, bottom) or bottom,
        film_bottom=_face(row.table("bottom_face")),
        film_top=_face(row.table("top_face")),
        fan_film=row.value("fan_film") if fitted else None,
        fans_on=fitted and (row.flag("fans_on") or not row.has("fans_on")),
        emissivity=row.value("emissivity"),
        contact=row.value("contact"),
        sheet_contact=row.value("sheet_contact"),
        edge_film=row.value("edge_film"),
        rim_film=row.value("rim_film"),
        daylight=row.number("daylight"),
        cylinder=_cylinder(row),
        evidence={key: row.evidence(key) for key in _PRESS},
    )


def stack(row: Row, known: Metals) -> Stack:
    """A stack place."""
    return Stack(
        id=row.text("id"),
        moulds_max=row.count("moulds_max"),
        mass_max=row.maybe("load_max"),
        plates=(_plate(row.table("bottom_plate"), known, None), _plate(row.table("top_plate"), known, None)),
        film_bottom=_face(row.table("bottom_face")),
        film_top=_face(row.table("top_face")),
        fan_film=row.value("fan_film") if row.flag("fans_fitted") else None,
        emissivity=row.value("emissivity"),
        contact=row.value("contact"),
        sheet_contact=row.value("sheet_contact"),
        edge_film=row.value("edge_film"),
    )


def rack(row: Row) -> Rack:
    """A rack."""
    return Rack(
        id=row.text("id"),
        moulds_max=row.count("moulds_max"),
        mass_max=row.maybe("load_max"),
        film_bottom=_face(row.table("bottom_face")),
        film_top=_face(row.table("top_face")),
        emissivity=row.value("emissivity"),
        edge_film=row.value("edge_film"),
    )


def frames(row: Row, known: Metals) -> list[Frame]:
    """The frames that one table stands for."""
    metal = known[row.text("metal")]
    thickness = row.number("thickness")
    cavity = row.number("cavity_length") * row.number("cavity_width")
    outside = row.number("outside_length") * row.number("outside_width")
    mass = row.maybe("mass") or (outside - cavity) * thickness * metal.density.value
    return [
        Frame(
            id=name,
            thickness=thickness,
            cavity_length=row.number("cavity_length"),
            cavity_width=row.number("cavity_width"),
            outside_length=row.number("outside_length"),
            outside_width=row.number("outside_width"),
            metal=metal,
            mass=mass,
            evidence=_with_mass(row, _FRAME),
        )
        for name in ids(row)
    ]


def skins(row: Row, known: Metals) -> list[Skin]:
    """The pairs of skins that one table stands for."""
    metal = known[row.text("metal")]
    length, width, thickness = row.number("length"), row.number("width"), row.number("thickness")
    mass = row.maybe("mass") or length * width * thickness * metal.density.value
    return [
        Skin(
            id=name,
            length=length,
            width=width,
            thickness=thickness,
            metal=metal,
            mass=mass,
            fit_for_use=row.flag("fit_for_use"),
            evidence=_with_mass(row, _SKIN),
        )
        for name in ids(row)
    ]


def _with_mass(row: Row, measures: Iterable[str]) -> dict[str, Kind]:
    """What stands behind the measures, and behind the mass: as weighed, else as good as the measures it is from."""
    found = {key: row.evidence(key) for key in measures}
    found["mass"] = row.evidence("mass") if row.has("mass") else weakest("computed", *found.values())
    return found


def ids(row: Row) -> tuple[str, ...]:
    """What one table of frames or skins stands for."""
    return row.texts("ids") or ((row.text("id"),) if row.has("id") else ())


def scale(row: Row) -> Scale:
    """A scale."""
    evidence = {key: row.evidence(key) for key in ("capacity", "step")}
    return Scale(
        id=row.text("id"), capacity=row.number("capacity"), step=row.number("step"), evidence=evidence
    )


def places(row: Row, kind: Literal["bench", "lift", "saw", "dryer"]) -> Place:
    """A bench, lift, saw or dryer."""
    return Place(
        id=row.text("id"),
        kind=kind,
        capacity=row.count("capacity") if row.has("capacity") else 1,
        load_max=row.maybe("load_max"),
        temperature=row.maybe("temperature"),
        hours=row.maybe("time"),
        kerf=row.maybe("kerf"),
    )


def _library_metal(name: str) -> Metal:
    return Metal(
        id=name,
        density=defaults.metal_value(name, "density_kg_m3"),
        specific_heat=defaults.metal_value(name, "specific_heat_J_kgK"),
        conductivity=defaults.metal_value(name, "conductivity_W_mK"),
    )


def _of(base: Metal | None, name: Literal["density", "specific_heat", "conductivity"]) -> Value:
    assert base is not None  # the checks have asked for every number of a metal that the library lacks
    return {"density": base.density, "specific_heat": base.specific_heat, "conductivity": base.conductivity}[
        name
    ]


def _platen(row: Row, known: Metals) -> Plate:
    return Plate(
        length=row.number("platen_length"),
        width=row.number("platen_width"),
        thickness=row.number("platen_thickness"),
        metal=known[row.text("platen_metal")],
    )


def _plate(row: Row | None, known: Metals, like: Plate | None) -> Plate | None:
    """A plate of its own table; what is left out is as in `like`."""
    if row is None:
        return None

    def of(key: Literal["length", "width", "thickness"]) -> float:
        if row.has(key):
            return row.number(key)
        assert like is not None
        return {"length": like.length, "width": like.width, "thickness": like.thickness}[key]

    metal = known[row.text("metal")] if row.has("metal") else like.metal if like else known["mild_steel"]
    return Plate(length=of("length"), width=of("width"), thickness=of("thickness"), metal=metal)


def _face(row: Row | None) -> Film:
    if row is None:
        return Film(kind="still_air", film=None, temperature=None)
    kind = cast(Literal["still_air", "fixed", "water"], row.text("kind"))
    film = row.maybe_value("film")
    if kind == "water" and film is None:
        film = defaults.value("cooling_press.water_film_W_m2K")
    return Film(kind=kind, film=film if kind != "still_air" else None, temperature=row.maybe("temperature"))


def _cylinder(row: Row) -> Cylinder | None:
    """What closes a press; without a rated force what bore and highest gauge pressure give at most."""
    force, bore, gauge = row.maybe("force"), row.maybe("piston_diameter"), row.maybe("gauge_max")
    pistons = row.count("pistons")
    if force is None:
        if bore is None or gauge is None:
            return None
        force = pistons * 0.25 * pi * bore**2 * gauge
    return Cylinder(piston_diameter=bore, pistons=pistons, force_max=force, gauge_max=gauge)
