"""The items of room.toml: their own numbers, what their class fills in, their zones."""

from __future__ import annotations

from difflib import get_close_matches
from typing import cast

from flatstock.starting.equipment import Equipment, Size, classes, equipment
from flatstock.starting.room.question import TURNS, Item, MoveIn, Placement, Side, Zone, ZoneKind
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["maybe_mm", "mm", "read_item"]


def mm(row: Row, key: str) -> int:
    """A length in whole millimetres, the nearest; 0 where it can't be read, which has been said."""
    return round(row.number(key) * 1000) if row.has(key) else 0


def maybe_mm(row: Row, key: str) -> int | None:
    """The same, or None where the file is silent."""
    return mm(row, key) if row.has(key) else None


def read_item(row: Row, notes: Notes) -> Item | None:
    """One item; None with faults where its size is not known."""
    name, kind = row.text("id"), row.text("class") or "other"
    typical = _typical(row, kind, notes)
    at = _placed(row, notes)
    # what stands turned is written as it stands: the length of the file is its width; a class is never turned
    turned = at is not None and at.turned_deg % 180 == 90
    sizes: dict[str, float | None] = {}
    assumed = []
    for key, factor in (("length", 1000), ("width", 1000), ("height", 1000), ("mass", 1)):
        of_class = _TURNED.get(key, key) if turned else key
        own, usual = row.maybe(key), typical.numbers.get(_NAMES[of_class]) if typical else None
        if own is None and usual is not None:
            assumed.append(_NAMES[key])
        sizes[key] = own * factor if own is not None else usual.value if usual else None
    _check_turns(row, notes)
    for key in ("length", "width"):
        if sizes[key] is None and key not in row.lines:  # written so that it can't be read: said already
            notes.fault(*row.at(key)[:2], f"{row.path}.{_NAMES[key]}", "required, and missing",
                        'give it in mm, or give the size ("s", "m" or "l") of a known class')  # fmt: skip
    if sizes["length"] is None or sizes["width"] is None:
        return None
    length, width = round(sizes["length"]), round(sizes["width"])
    if turned:
        length, width = width, length
    zones = [zone for part in row.tables("zones") if (zone := _zone(part, length, width, notes))]
    if typical and not row.has("zones") and typical.zones:
        zones = _usual_zones(typical, length, width)
        assumed.append("zones")
    _check_names([zone.id for zone in zones], row, notes)
    if typical and typical.combustible and "combustible" not in row.lines:  # a default is not its own word
        assumed.append("combustible")
    return Item(
        id=name,
        kind=kind,
        length_mm=length,
        width_mm=width,
        height_mm=None if sizes["height"] is None else round(sizes["height"]),
        head_room_mm=mm(row, "head_room"),
        mass_kg=sizes["mass"],
        combustible="combustible" in assumed or row.flag("combustible"),
        hot_gap_mm=mm(row, "hot_gap"),
        optional=row.flag("optional"),
        may_turn_deg=tuple(sorted(set(row.counts("may_turn_deg")))) or TURNS,
        move_in=_move_in(row),
        zones=tuple(zones),
        placed=at,
        assumed=tuple(assumed),
    )


_TURNED = {"length": "width", "width": "length"}
_NAMES = {"length": "length_mm", "width": "width_mm", "height": "height_mm", "mass": "mass_kg"}


def _typical(row: Row, kind: str, notes: Notes) -> Equipment | None:
    """The class at the size asked for; None where no size is asked for."""
    size = row.text("size")
    if not size:
        return None
    if kind not in classes():
        near = get_close_matches(kind, classes(), n=1, cutoff=0.5)
        instead = f"the nearest is {near[0]}" if near else f"one of {', '.join(classes())}"
        notes.fault(*row.at("class"), f"no class {kind!r} has a typical size", instead)
        return None
    return equipment(kind, cast(Size, size))


def _check_turns(row: Row, notes: Notes) -> None:
    for key in ("turned_deg", "may_turn_deg"):
        turns = row.counts(key) if key == "may_turn_deg" else (row.count(key),) if row.has(key) else ()
        for turn in turns:
            if turn not in TURNS:
                notes.fault(*row.at(key), f"{turn}° is no quarter turn", "write 0, 90, 180 or 270")


def _placed(row: Row, notes: Notes) -> Placement | None:
    x, y = maybe_mm(row, "x"), maybe_mm(row, "y")
    if (x is None) != (y is None):
        missing = "y_mm" if y is None else "x_mm"
        notes.fault(row.file, row.line, f"{row.path}.{missing}", "required, and missing",
                    "give both x_mm and y_mm of what stands there already, or neither")  # fmt: skip
    if x is None or y is None:
        return None
    return Placement(x_mm=x, y_mm=y, turned_deg=row.count("turned_deg") if row.has("turned_deg") else 0)


def _move_in(row: Row) -> MoveIn | None:
    part = row.table("move_in")
    if part is None:
        return None
    angle = part.maybe("angle_max")
    return MoveIn(
        door=part.text("door"),
        how="tilted" if part.text("how") == "tilted" else "upright",
        skate_mm=mm(part, "skate"),
        clearance_mm=mm(part, "clearance"),
        angle_max_deg=None if angle is None else round(angle * _DEGREES, 9),
    )


_DEGREES = 57.29577951308232  # in a radian


def _zone(row: Row, length: int, width: int, notes: Notes) -> Zone | None:
    if not all(row.has(key) for key in ("id", "kind", "side", "depth")):
        return None  # said already
    side = cast(Side, row.text("side"))
    along = length if side in ("front", "back") else width
    first, last = mm(row, "from"), maybe_mm(row, "to")
    end = along if last is None else last
    key = "from" if last is None else "to"
    if end <= first:
        notes.fault(
            *row.at(key), f"from {first} to {end} mm is no stretch of a side", "write from_mm under to_mm"
        )
        return None
    if first >= along or end <= 0:
        what = f"from {first} to {end} mm lies beside no part of its {side}, which is {along} mm long"
        notes.fault(*row.at(key), what, f"begin under {along} mm and end over 0 mm")
        return None
    return Zone(
        id=row.text("id"),
        kind=cast(ZoneKind, row.text("kind")),
        side=side,
        depth_mm=mm(row, "depth"),
        from_mm=first,
        to_mm=last,
        exclusive=row.flag("exclusive"),
        trolley=row.flag("trolley"),
        people=row.count("people") if row.has("people") else 1,
        allow=row.texts("allow"),
    )


def _usual_zones(typical: Equipment, length: int, width: int) -> list[Zone]:
    """The zones of a class, on a machine of this size; a zone with a least length reaches past both corners."""
    found = []
    for usual in typical.zones:
        along = length if usual.side in ("front", "back") else width
        more = max(0, -(-(usual.least_mm - along) // 2))
        found.append(
            Zone(
                id=usual.id,
                kind=usual.kind,
                side=usual.side,
                depth_mm=usual.depth_mm,
                from_mm=-more,
                to_mm=along + more if more else None,
                exclusive=usual.exclusive,
                trolley=usual.trolley,
                people=usual.people,
            )
        )
    return found


def _check_names(names: list[str], row: Row, notes: Notes) -> None:
    for name in sorted({n for n in names if names.count(n) > 1}):
        notes.fault(row.file, row.line, f"{row.path}.zones.{name}", "two zones of the item have this name",
                    "give each a name of its own")  # fmt: skip
