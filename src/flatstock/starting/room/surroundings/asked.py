"""What room.toml asks about air and fire."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from flatstock.starting.room.question import Question
from flatstock.starting.room.surroundings.fire import Burning
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["AirAsked", "FireAsked", "Hood", "read_air", "read_fire", "usual_air"]

HoodKind = Literal["canopy", "enclosed", "opening", "flanged", "dilution"]
_NEEDS: dict[str, tuple[str, ...]] = {
    "canopy": ("perimeter", "rise"),
    "enclosed": ("face_width", "face_height"),
    "opening": ("reach", "face_width", "face_height"),
    "flanged": ("reach", "face_width", "face_height"),
    "dilution": ("emission", "target", "mixing"),
}
RISE = 0.6  # [m] from a press's opening to a canopy's edge, where nobody has said: common practice, no source
FACE = 0.4  # [m] height of an enclosure's face, where nobody has said: common practice, no source
COLDER = 15.0  # [K] outside under inside in winter, where nobody has said: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Hood:
    """Where fume is caught, or let into the room and thinned."""

    id: str
    kind: HoodKind
    sizes: dict[str, float]  #: by name, SI: perimeter, rise, face_width, ...
    velocity: float | None = None  #: [m/s]; None: the usual one of its kind
    duct: float | None = None  #: [m]
    gas: str = ""  #: of dilution
    assumed: bool = False  #: nobody has measured it


@dataclass(frozen=True, slots=True, kw_only=True)
class AirAsked:
    """Hoods, and the winter."""

    hoods: tuple[Hood, ...]
    outside: float | None = None  #: [°C]
    inside: float | None = None  #: [°C]
    runs: float | None = None  #: in a winter [s]
    heat_price: float | None = None  #: [money/J]


@dataclass(frozen=True, slots=True, kw_only=True)
class FireAsked:
    """The agreed figure, what else burns, and the fullest that the store gets."""

    agreed: float | None = None  #: [J/m2]
    beside: tuple[Burning, ...] = ()
    fullest: float | None = None  #: plastic [kg]


def read_air(row: Row, notes: Notes) -> AirAsked | None:
    """The table [air] of room.toml; None where there is none. A hood without a size that it needs is noted."""
    part = row.table("air")
    if part is None:
        return None
    return AirAsked(
        hoods=tuple(hood for r in part.tables("hoods") if (hood := _hood(r, notes)) is not None),
        outside=part.maybe("winter"),
        inside=part.maybe("inside"),
        runs=part.maybe("runs"),
        heat_price=part.maybe("heat_price"),
    )


def usual_air(question: Question) -> AirAsked:
    """A canopy and an enclosure for each hot press, to compare, where room.toml says nothing about air."""
    hoods = []
    for item in question.items:
        if item.kind == "hot_press":
            around, front = 2 * (item.length_mm + item.width_mm) / 1000, item.length_mm / 1000
            canopy = {"perimeter": around, "rise": RISE}
            face = {"face_width": front, "face_height": FACE}
            hoods.append(Hood(id=f"{item.id}: canopy", kind="canopy", sizes=canopy, assumed=True))
            hoods.append(Hood(id=f"{item.id}: enclosed", kind="enclosed", sizes=face, assumed=True))
    return AirAsked(hoods=tuple(hoods))


def read_fire(row: Row) -> FireAsked:
    """The table [fire] of room.toml; nothing is agreed where there is none."""
    part = row.table("fire")
    if part is None:
        return FireAsked()
    beside = [
        Burning(r.text("of").lower(), r.number("mass"), r.text("at"))
        for r in part.tables("stock")
        if r.has("of") and r.has("mass")
    ]
    return FireAsked(agreed=part.maybe("agreed"), beside=tuple(beside), fullest=part.maybe("fullest"))


def _hood(row: Row, notes: Notes) -> Hood | None:
    kind = row.text("kind")
    if kind not in _NEEDS or not row.has("id"):
        return None  # said already
    missing = [key for key in _NEEDS[kind] if not row.has(key)]
    if kind == "dilution" and not row.has("gas"):
        missing.append("gas")
    for key in missing:
        name = {"emission": "emission_g_h", "mixing": "mixing", "target": "target_ppm", "gas": "gas"}
        what = f"{row.path}.{name.get(key, f'{key}_mm')}"
        notes.fault(
            row.file, row.line, what, f"needed for {kind}, and missing", "measure it, or choose another kind"
        )
    if missing:
        return None
    return Hood(
        id=row.text("id"),
        kind=cast(HoodKind, kind),
        sizes={key: row.number(key) for key in _NEEDS[kind]},
        velocity=row.maybe("velocity"),
        duct=row.maybe("duct"),
        gas=row.text("gas"),
    )
