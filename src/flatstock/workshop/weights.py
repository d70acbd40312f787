"""Whether what a shop has weighed agrees with what it has measured, and goes into its presses."""

from __future__ import annotations

from collections.abc import Callable

from flatstock.workshop import defaults
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["check_weights"]

#: a weighed mass between these shares of what the measures give is believed: holes, handles, rounded corners (assumed)
LIGHTEST, HEAVIEST = 0.4, 2.5
Density = Callable[[str], float | None]


def check_weights(shop: Row, notes: Notes) -> None:
    """Note masses that the measures beside them rule out, a scale's step over its load, frames no press takes in."""
    own = {row.path.rpartition(".")[2]: row.maybe("density") for row in shop.tables("metals")}
    library = defaults.data_file("metals.toml")

    def density(name: str) -> float | None:
        if own.get(name) is not None:
            return own[name]
        return defaults.metal_value(name, "density_kg_m3").value if name in library else None

    for press in shop.tables("hot_presses"):
        _heated(press, density, notes)
    for frame in shop.tables("frames"):
        outside, cavity = _area(frame, "outside_"), _area(frame, "cavity_")
        if outside is not None and cavity is not None:
            _weighed(frame, outside - cavity, density, notes)
        _opening(frame, shop, notes)
    for skin in shop.tables("skins"):
        if (area := _area(skin, "")) is not None:
            _weighed(skin, area, density, notes)
    for scale in shop.tables("scales"):
        step, most = scale.maybe("step"), scale.maybe("capacity")
        if step is not None and most is not None and step >= most:
            what = f"a step of {step:g} kg on a scale that takes {most:g} kg"
            notes.fault(*scale.at("step"), what, "write the smallest step that it shows, in grams")


def _weighed(row: Row, area: float, density: Density, notes: Notes) -> None:
    metal, thickness, mass = density(row.text("metal")), row.maybe("thickness"), row.maybe("mass")
    if metal is None or thickness is None or mass is None or area <= 0:
        return
    reckoned = area * thickness * metal
    if not LIGHTEST <= mass / reckoned <= HEAVIEST:
        what = f"{mass:g} kg, where its measures in {row.text('metal')} give {reckoned:.3g} kg"
        notes.fault(*row.at("mass"), what, "weigh one again, or check its measures")


def _heated(press: Row, density: Density, notes: Notes) -> None:
    area, metal = _area(press, "platen_"), density(press.text("platen_metal"))
    thickness, heated = press.maybe("platen_thickness"), press.maybe("heated_mass")
    if area is None or metal is None or thickness is None or heated is None or press.has("top_platen"):
        return
    both = 2 * area * thickness * metal
    if heated < 0.9 * both:
        what = f"{heated:g} kg, less than the {both:.3g} kg of both platens by their measures"
        notes.fault(
            *press.at("heated_mass"), what, "count both platens and what hangs on them, or leave it out"
        )


def _opening(frame: Row, shop: Row, notes: Notes) -> None:
    thickness = frame.maybe("thickness")
    openings = [press.maybe("daylight") for press in shop.tables("hot_presses")]
    known = [opening for opening in openings if opening is not None]
    if thickness is None or not known or len(known) < len(openings) or thickness < max(known):
        return
    what = (
        f"a frame of {thickness * 1e3:g} mm goes into no hot press: the widest opens {max(known) * 1e3:g} mm"
    )
    notes.fault(*frame.at("thickness"), what, "check its thickness and the daylight")


def _area(row: Row, part: str) -> float | None:
    length, width = row.maybe(f"{part}length"), row.maybe(f"{part}width")
    return None if length is None or width is None else length * width
