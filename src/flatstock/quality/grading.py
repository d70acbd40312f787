"""Size, bow and density of a cold sheet, and its grade by limits that are data."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import hypot
from pathlib import Path

from flatstock.errors import OutOfRange
from flatstock.quality.thickness import ThicknessMap

__all__ = ["Grade", "GradeAnswer", "Measured", "bow_per_metre", "bow_radius", "density_of", "grade_of", "grades",
           "out_of_square"]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One grade's limits; None: not looked at. [m, m/m]"""

    id: str
    thickness_fixed: float | None
    thickness_share: float  #: of the nominal thickness, added
    wedge: float | None
    bow: float | None  #: gap under a straightedge over its length
    size: float | None
    faults: int | None
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was found on one sheet; None: not measured. [m]"""

    nominal: float
    thickness: ThicknessMap
    bow: float | None = None  #: gap over the straightedge's length
    size_off: float | None = None  #: the larger of length and width from what was ordered
    faults: int | None = None  #: seen on the face


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeAnswer:
    """The grade, why it is none better, and what was not measured."""

    grade: str | None  #: None: none of the grades
    because: tuple[str, ...]
    not_measured: tuple[str, ...]


@cache
def grades() -> tuple[Grade, ...]:
    """The default grades, best first; `data/grades.toml`."""
    data = tomllib.loads((Path(__file__).parent / "data" / "grades.toml").read_text("utf-8"))

    def milli(table: dict[str, float], key: str) -> float | None:
        return None if key not in table else table[key] / 1e3

    return tuple(
        Grade(
            id=table["id"],
            thickness_fixed=milli(table.get("thickness_mm", {}), "fixed"),
            thickness_share=table.get("thickness_mm", {}).get("per_mm", 0.0),
            wedge=milli(table, "wedge_mm"),
            bow=milli(table, "bow_mm_per_m"),
            size=milli(table, "size_mm"),
            faults=table.get("faults"),
            mark=table["mark"],
        )
        for table in data["grade"]
    )


def grade_of(measured: Measured, of: Sequence[Grade] | None = None) -> GradeAnswer:
    """The best grade whose every limit is kept. What was not measured keeps no sheet from a grade, and is named."""
    listed = grades() if of is None else tuple(of)
    missing = tuple(
        words
        for words, value in (("bow", measured.bow), ("size", measured.size_off), ("faults", measured.faults))
        if value is None
    )
    because: tuple[str, ...] = ()
    for grade in listed:
        broken = _broken(measured, grade)
        if not broken:
            return GradeAnswer(grade=grade.id, because=because, not_measured=missing)
        because = (*because, *(f"not {grade.id}: {words}" for words in broken))
    return GradeAnswer(grade=None, because=because, not_measured=missing)


def _broken(measured: Measured, grade: Grade) -> list[str]:
    found = []
    off = max(
        abs(measured.thickness.most - measured.nominal), abs(measured.thickness.least - measured.nominal)
    )
    if grade.thickness_fixed is not None:
        most = grade.thickness_fixed + grade.thickness_share * measured.nominal
        if off > most + 1e-9:
            found.append(f"a point is {1e3 * off:.2f} mm off, {1e3 * most:.2f} allowed")
    pairs = (
        ("wedge", measured.thickness.wedge, grade.wedge, "mm"),
        ("bow", measured.bow, grade.bow, "mm/m"),
        ("size off by", measured.size_off, grade.size, "mm"),
    )
    for words, value, most_of, unit in pairs:
        if value is not None and most_of is not None and value > most_of + 1e-9:
            found.append(f"{words} {1e3 * value:.2f} {unit}, {1e3 * most_of:.2f} allowed")
    if measured.faults is not None and grade.faults is not None and measured.faults > grade.faults:
        found.append(f"{measured.faults} faults on the face, {grade.faults} allowed")
    return found


def bow_per_metre(*, gap: float, over: float) -> float:
    """Gap under a straightedge by its length [m/m].

    >>> round(1e3 * bow_per_metre(gap=0.006, over=1.2), 1)
    5.0
    """
    if gap < 0 or over <= 0:
        raise OutOfRange(f"a gap of {gap} m over {over} m is no bow.")
    return gap / over


def bow_radius(*, gap: float, over: float) -> float:
    """Radius of a bow [m]: R = L²/8h + h/2, the circle through both ends and the deepest point.

    >>> round(bow_radius(gap=0.006, over=1.2), 3)
    30.003
    """
    if gap <= 0 or over <= 0:
        raise OutOfRange(f"a gap of {gap} m over {over} m is no bow.")
    return over**2 / (8 * gap) + gap / 2


def out_of_square(*, length: float, width: float, sheared: float) -> float:
    """How far the diagonals of a sheet differ whose far edge is shifted sideways by `sheared` [m].

    >>> round(1e3 * out_of_square(length=1.0, width=1.0, sheared=0.003), 3)
    4.243
    """
    return abs(hypot(length + sheared, width) - hypot(length - sheared, width))


def density_of(*, mass: float, length: float, width: float, thickness: float) -> float:
    """Mass by volume [kg/m3]; below the plastic's own density: voids, or a thickness that was read too large.

    >>> round(density_of(mass=9.5, length=1.0, width=1.0, thickness=0.010))
    950
    """
    if min(mass, length, width, thickness) <= 0:
        raise OutOfRange("mass, length, width and thickness are positive.")
    return mass / (length * width * thickness)
