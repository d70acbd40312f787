"""What doesn't fit together in a room's file: places off the walls, machines too large, names that are nobody's."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from flatstock.starting.room.question import Item, Question, Room, split_zone
from flatstock.starting.room.rectangles import Rect, overlap
from flatstock.starting.room.walls import inside, inward, is_inside, outside
from flatstock.starting.room.words import metres
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["check_question", "check_relations"]


def check_question(question: Question, row: Row, notes: Notes) -> None:
    """Note everything in `row` (room.toml) that doesn't fit together in the question read from it."""
    room = row.table("room")
    assert room is not None  # the question has one
    _names(row, room, notes)
    _doors(question.room, room, notes)
    _fixed_things(question.room, room, notes)
    items = {part.text("id"): part for part in row.tables("items")}
    for item in question.items:
        _fits(question.room, item, items[item.id], notes)
        _allowed(question, item, items[item.id], notes)
    check_relations(question.items, row, notes)


def _names(row: Row, room: Row, notes: Notes) -> None:
    """Things of the room share one list of names with the items."""
    rows = [
        part for of, key in ((room, "doors"), (room, "columns"), (room, "low"), (room, "supply_points"), (row, "items"))
        for part in of.tables(key)
    ]  # fmt: skip
    counts = Counter(part.text("id") for part in rows if part.has("id"))
    seen: set[str] = set()
    for part in rows:
        name = part.text("id")
        if counts[name] > 1 and name in seen:
            notes.fault(*part.at("id"), f"{name} is there already", "give each thing a name of its own")
        if "." in name:
            notes.fault(
                *part.at("id"), f"{name} has a dot, which parts an item from its zone", "leave it out"
            )
        seen.add(name)


def _doors(of: Room, room: Row, notes: Notes) -> None:
    rows = {part.text("id"): part for part in room.tables("doors")}
    for door in of.doors:
        row = rows[door.id]
        along = abs(door.x2_mm - door.x1_mm) + abs(door.y2_mm - door.y1_mm)
        if inward(of, door) is None:
            what = f"[{door.x1_mm}, {door.y1_mm}] to [{door.x2_mm}, {door.y2_mm}] lies in no wall"
            notes.fault(row.file, row.line, row.path, what, _nearest_wall(of))
        elif door.clear_width_mm > along:
            what = f"{door.clear_width_mm} mm is wider than the opening of {along} mm"
            notes.fault(*row.at("clear_width"), what, f"give at most {along}")


def _nearest_wall(of: Room) -> str:
    xs, ys = sorted({x for x, _ in of.outline_mm}), sorted({y for _, y in of.outline_mm})
    return (
        f"both ends stand on one wall: the same x ({', '.join(map(str, xs))})"
        f" or the same y ({', '.join(map(str, ys))})"
    )


def _fixed_things(of: Room, room: Row, notes: Notes) -> None:
    rows = {part.text("id"): part for key in ("columns", "low", "supply_points") for part in room.tables(key)}
    for column in of.columns:
        if not is_inside(of, column.box):
            row = rows[column.id]
            what = f"{_corners(column.box)} reaches outside the room"
            notes.fault(row.file, row.line, row.path, what, "give the part of it that stands in the room")
    rooms = inside(of)
    for low in of.low:
        if not any(overlap(low.box, part) for part in rooms):
            row = rows[low.id]
            notes.fault(
                row.file, row.line, row.path, f"{_corners(low.box)} hangs outside the room", "correct it"
            )
    for point in of.supply_points:
        if not any(p.holds(Rect(point.x_mm, point.y_mm, 0, 0)) for p in rooms):
            row = rows[point.id]
            what = f"[{point.x_mm}, {point.y_mm}] is neither in the room nor on a wall"
            notes.fault(row.file, row.line, row.path, what, "measure it from the same corner as the outline")


def _fits(room: Room, item: Item, row: Row, notes: Notes) -> None:
    """An item larger than the room, however it stands; one still outside that passes no door, however it lies."""
    sizes = {item.size(turn) for turn in ((item.placed.turned_deg,) if item.placed else item.may_turn_deg)}
    size = f"{metres(item.length_mm)} x {metres(item.width_mm)}"
    if not any(_somewhere(room, length, width) for length, width in sizes):
        b = room.bounds
        what = f"{size} is larger than the room ({metres(b.length_mm)} x {metres(b.width_mm)} over all)"
        notes.fault(row.file, row.line, row.path, what, "measure both again, or take a smaller one")
        return
    if item.placed is None and item.move_in is None and room.doors:
        least, middle, *_ = sorted((item.length_mm, item.width_mm, item.height_mm or 0))
        if item.height_mm is None:
            least, middle = 0, min(item.length_mm, item.width_mm)
        ways = [sorted((d.clear_width_mm, d.clear_height_mm or 10**9)) for d in room.doors]
        if not any(least <= narrow and middle <= wide for narrow, wide in ways):
            high = f" x {metres(item.height_mm)} high" if item.height_mm else ""
            widest = max(ways)
            what = f"{size}{high} passes no door; the best is {metres(widest[0])} wide"
            notes.fault(
                row.file, row.line, row.path, what, "measure both again, or say how it comes in with move_in"
            )
    if item.move_in is not None and item.move_in.door not in {d.id for d in room.doors}:
        part = row.table("move_in")
        assert part is not None
        _unknown(part, "door", item.move_in.door, [d.id for d in room.doors], "door", notes)


def _somewhere(room: Room, length: int, width: int) -> bool:
    """True where a box fits the room somewhere: if at all, then against a wall on its left and one below."""
    out = outside(room)
    xs, ys = {x for x, _ in room.outline_mm}, {y for _, y in room.outline_mm}
    return any(is_inside(room, Rect(x, y, length, width), out) for x in xs for y in ys)


def _allowed(question: Question, item: Item, row: Row, notes: Notes) -> None:
    known = [i.id for i in question.items] + [c.id for c in question.room.columns]
    for part, zone in zip(row.tables("zones"), item.zones, strict=False):
        for name in zone.allow:
            if name not in known:
                _unknown(part, "allow", name, known, "item or column", notes)


def check_relations(of: Sequence[Item], row: Row, notes: Notes) -> None:
    """Note what is near, apart, in line or walked to and stands nowhere among the items; it needs no room."""
    # whatever is wrong with an item or a zone is said there; who names it names something that is written
    written = [part for part in row.tables("items") if part.has("id")]
    items = list(dict.fromkeys([item.id for item in of] + [part.text("id") for part in written]))
    zones = [f"{item.id}.{zone.id}" for item in of for zone in item.zones]
    zones += [
        f"{part.text('id')}.{zone.text('id')}"
        for part in written
        for zone in part.tables("zones")
        if zone.has("id")
    ]
    for part in row.tables("near"):
        walk = part.text("how") == "walk"
        for key in ("a", "b"):
            _known(part, key, zones if walk else [*items, *zones], "zone" if walk else "item", notes)
    for part in row.tables("apart"):
        for key in ("a", "b"):
            _known(part, key, [*items, *zones], "item", notes)
    for part in row.tables("flows"):
        for key in ("from", "to"):
            _known(part, key, zones, "zone", notes)
    for part in row.tables("in_line"):
        for key in ("a", "b", "via"):
            _known(part, key, items, "item", notes)
        names = [part.text(key) for key in ("a", "b", "via") if part.has(key)]
        if len(set(names)) < len(names):
            notes.fault(
                *part.at("b"), f"{' and '.join(names)} can't be in line with themselves", "name others"
            )
        if part.has("gap_min") and part.has("gap_max") and part.number("gap_min") > part.number("gap_max"):
            notes.fault(*part.at("gap_min"), "the least gap is over the most", "change them over")
    for key in ("near", "apart"):
        for part in row.tables(key):
            a, b = (
                split_zone(part.text(end))[0] if part.text(end) in zones else part.text(end) for end in "ab"
            )
            if a == b and a:
                notes.fault(*part.at("b"), f"{a} is {key} itself", "name another")


def _known(row: Row, key: str, known: list[str], what: str, notes: Notes) -> None:
    name = row.text(key)
    if name and name not in known:
        _unknown(row, key, name, known, what, notes)


def _unknown(row: Row, key: str, name: str, known: Iterable[str], what: str, notes: Notes) -> None:
    listed = list(known)
    near = get_close_matches(name, listed, n=1, cutoff=0.5)
    example = "write it ITEM.zone; " if what == "zone" and "." not in name else ""
    instead = (
        f"{example}the nearest is {near[0]}" if near else f"{example}one of {', '.join(listed) or 'none'}"
    )
    notes.fault(*row.at(key), f"no {what} {name!r} here", instead)


def _corners(box: Rect) -> str:
    return f"[{box.x_mm}, {box.y_mm}] to [{box.right_mm}, {box.top_mm}]"
