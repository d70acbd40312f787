"""What nine readings say of a sheet: its plane, what is left over, its grade, and which shims would level the press."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from flatstock.documents import why
from flatstock.errors import OutOfRange
from flatstock.evidence import Value
from flatstock.pressing.setting import plastics_of
from flatstock.quality.faults.wedges import LEAST, same_side
from flatstock.quality.grading import GradeAnswer, Measured, bow_per_metre, density_of, grade_of
from flatstock.quality.thickness import Point, ThicknessMap, in_press, map_of, shims
from flatstock.running.event import Event
from flatstock.running.standing import standing
from flatstock.workshop.shop import Workshop

__all__ = ["Cause", "SheetQuality", "density_of_plastic", "quality_of", "readings_before"]

Facts = Mapping[str, Any]
INSET = 0.05  #: m from the edge at which the outer readings are taken, as the form shows them
EDGES = ("front", "back", "left", "right")
FACES: Mapping[str, bool] = {"top": False, "bottom": True}


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Why a sheet is thicker on one side, as far as its readings and those before it tell."""

    verdict: Literal["level", "platens", "spreading", "one sheet", "bowl"]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetQuality:
    """A measured sheet. Lengths in m; the map stands in the press's own directions where the sheet's lie is told."""

    points: tuple[Point, ...]
    map: ThicknessMap
    size: tuple[float, float]  #: length and width of the sheet
    nominal: float | None
    grade: GradeAnswer | None
    cause: Cause
    directions: bool  #: whether face and front edge were told: without them no shim is named
    shim_x: float | None  #: over the platen's length; above 0: raise the right end of the lower platen
    shim_y: float | None  #: over its width; above 0: raise the back
    platen: tuple[float, float]  #: length and width that the shims are over
    density: float | None  #: [kg/m3]
    wanted_density: float | None
    why: tuple[Mapping[str, Any], ...]

    @property
    def corners(self) -> float:
        """What the plane rises from the sheet's thinnest corner to its thickest; `map.wedge` is between readings."""
        return abs(self.map.slope_x) * self.size[0] + abs(self.map.slope_y) * self.size[1]


def quality_of(
    facts: Facts,
    *,
    nominal_mm: float | None,
    shop: Workshop,
    plastic_density: float | None = None,
    before: Sequence[ThicknessMap] = (),
    press: str | None = None,
) -> SheetQuality | None:
    """What a measurement says; None where it has too few points for a map.

    Parameters
    ----------
    facts
        Of a `measured` event: t1_mm to t9_mm row by row from the corner that lies near and left now; `face_up`, which
        face of the press is up now; `front_edge`, where in the press the edge lay that is nearest now.
    before
        Maps of the sheets measured before it on the same press, in the press's directions.
    """
    length, width = _size(facts, shop)
    face, edge = str(facts.get("face_up") or ""), str(facts.get("front_edge") or "")
    known = face in FACES and edge in EDGES
    points = _points(facts, length, width, turned=edge in ("left", "right"))
    if known:
        points = [_in_press(one, length, width, face, edge) for one in points]
    try:
        found = map_of(points)
    except OutOfRange:
        return None
    platen = _platen(shop, press, length, width)
    over = shims(found, length=platen[0], width=platen[1]) if known else (None, None)
    mass, thickness = facts.get("mass_kg"), found.mean
    sized = "length_mm" in facts and "width_mm" in facts  # as sold it is only once it is trimmed
    density = (
        density_of(mass=float(mass), length=length, width=width, thickness=thickness)
        if sized and isinstance(mass, int | float) and mass > 0
        else None
    )
    nominal = None if nominal_mm is None else nominal_mm / 1000
    return SheetQuality(
        points=tuple(points),
        map=found,
        size=(length, width),
        nominal=nominal,
        grade=None if nominal is None else grade_of(_measured(found, facts, nominal)),
        cause=_cause(found, before if known else ()),
        directions=known,
        shim_x=over[0],
        shim_y=over[1],
        platen=platen,
        density=density,
        wanted_density=plastic_density,
        why=_reasons(found, platen, known),
    )


def readings_before(events: Iterable[Event], sheet: str, shop: Workshop, most: int = 2) -> list[ThicknessMap]:
    """Maps of the sheets measured last before one, the latest first, of those whose lie was told."""
    found: list[ThicknessMap] = []
    seen = {sheet}
    told = [one for one in standing(events) if one.kind == "measured"]
    mine = next((n for n, one in enumerate(told) if one.sheet == sheet), len(told))
    for one in reversed(told[:mine]):
        if one.sheet is None or one.sheet in seen:
            continue
        seen.add(one.sheet)
        quality = quality_of(one.facts, nominal_mm=None, shop=shop)
        if quality is not None and quality.directions:
            found.append(quality.map)
        if len(found) == most:
            break
    return found


def density_of_plastic(shop: Workshop, plastic: str) -> float | None:
    """What a sheet of it should weigh by its volume [kg/m3]; None where nobody knows the plastic."""
    known = plastics_of(shop).get(plastic)
    return None if known is None else known.density.value


def _points(facts: Facts, length: float, width: float, *, turned: bool) -> list[Point]:
    """Readings as the sheet lay before whoever measured it; `turned`: with a short edge towards them."""
    along, deep = (width, length) if turned else (length, width)
    xs, ys = (INSET, along / 2, along - INSET), (INSET, deep / 2, deep - INSET)
    found = []
    for n in range(9):
        value = facts.get(f"t{n + 1}_mm")
        if isinstance(value, int | float) and value > 0:
            found.append(Point(x=xs[n % 3], y=ys[n // 3], thickness=float(value) / 1000))
    return found


def _in_press(one: Point, length: float, width: float, face: str, edge: str) -> Point:
    """Where a reading lay in the press: by the face that is up now and the edge that is nearest now."""
    if edge in ("front", "back"):
        turned = FACES[face]
        (there,) = in_press(
            [one], length=length, width=width, turned_over=turned, front_at_back=edge == "back"
        )
        return there
    x, y = one.x, one.y
    if face == "top":
        x, y = (y, width - x) if edge == "left" else (length - y, x)
    else:
        x, y = (y, x) if edge == "left" else (length - y, width - x)
    return Point(x=x, y=y, thickness=one.thickness)


def _size(facts: Facts, shop: Workshop) -> tuple[float, float]:
    """As measured, else as sold, else the largest cavity."""
    frames = list(shop.frames.values())
    usual = (
        shop.practice.trimmed_length or max((one.cavity_length for one in frames), default=1.2),
        shop.practice.trimmed_width or max((one.cavity_width for one in frames), default=0.8),
    )
    told = [facts.get(name) for name in ("length_mm", "width_mm")]
    return (
        float(told[0]) / 1000 if isinstance(told[0], int | float) and told[0] > 2000 * INSET else usual[0],
        float(told[1]) / 1000 if isinstance(told[1], int | float) and told[1] > 2000 * INSET else usual[1],
    )


def _platen(shop: Workshop, press: str | None, length: float, width: float) -> tuple[float, float]:
    known = shop.hot_presses.get(press or "") or next(iter(shop.hot_presses.values()), None)
    if known is None:
        return length, width
    return known.bottom.length, known.bottom.width


def _measured(found: ThicknessMap, facts: Facts, nominal: float) -> Measured:
    bow, over = facts.get("bow_mm"), facts.get("bow_over_mm")
    straight = float(over) / 1000 if isinstance(over, int | float) and over > 0 else 1.2
    return Measured(
        nominal=nominal,
        thickness=found,
        bow=bow_per_metre(gap=float(bow) / 1000, over=straight)
        if isinstance(bow, int | float) and bow >= 0
        else None,
    )


def _cause(found: ThicknessMap, before: Sequence[ThicknessMap]) -> Cause:
    """A clean wedge that the sheets before had too is the press; one that they had not is how it was spread."""
    if found.wedge < LEAST and abs(found.bowl) < LEAST:
        return Cause(verdict="level", words="level, as far as a calliper tells")
    if found.residual > found.wedge / 2:
        words = "what is left over is large beside the wedge: a bowl or a heap, not the platens alone"
        return Cause(verdict="bowl", words=words)
    alike = same_side([*reversed(before), found])
    if alike is None:
        words = "a clean wedge; measure two more from this press: where all three agree it is the platens"
        return Cause(verdict="one sheet", words=words)
    if alike:
        return Cause(verdict="platens", words="the last three agree: the platens are not parallel")
    return Cause(verdict="spreading", words="the last three do not agree: look at how the flake is spread")


def _reasons(found: ThicknessMap, platen: tuple[float, float], known: bool) -> tuple[Mapping[str, Any], ...]:
    page = "docs/intake.md"
    points = [("points read", Value.sure(9.0, kind="measured", source="the sheet, on the calliper"), 1.0, "")]
    slopes = [
        ("slope along the press", Value.sure(found.slope_x, kind="computed", source=page), 1000.0, "mm/m"),
        ("slope across it", Value.sure(found.slope_y, kind="computed", source=page), 1000.0, "mm/m"),
    ]
    sides = [
        ("platen's length", Value.sure(platen[0], kind="measured", source="shop.toml"), 1000.0, "mm"),
        ("platen's width", Value.sure(platen[1], kind="measured", source="shop.toml"), 1000.0, "mm"),
    ]
    mean = "sum of the readings / how many"
    wedge = "plane of least squares through the readings; |slope| x the sheet's side, both ways added"
    made = [
        why("mean_mm", mean, points, page, title="Mean thickness"),
        why("wedge_mm", wedge, [*points, *slopes], page, title="Corner to corner"),
        why("residual_mm", "largest distance of a reading from that plane", points, page, title="Left over"),
    ]
    if known:
        made.append(why("shim_mm", "slope x platen", [*slopes, *sides], page, title="Shims"))
    return tuple(made)
