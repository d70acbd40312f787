"""room.toml to a question, or every fault at once with its file, line and field."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, cast

from flatstock.starting.room.outline import clean_outline
from flatstock.starting.room.question import (
    Apart,
    Column,
    Door,
    Flow,
    InLine,
    Low,
    Near,
    Question,
    Room,
    Rules,
    Side,
    SupplyPoint,
    Trolley,
)
from flatstock.starting.room.read_items import maybe_mm, mm, read_item
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.references import check_question, check_relations
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["FILE", "question_of"]

FILE = "room.toml"


def question_of(row: Row, notes: Notes, *, shop: str = "") -> Question | None:
    """The question that a row stands for; None where faults leave none, which are noted."""
    room = _room(row.table("room"), notes)
    rules = _rules(row.table("rules"))
    rows = row.tables("items")
    items = [item for part in rows if part.has("id") and (item := read_item(part, notes))]
    if room is None:
        check_relations(items, row, notes)
        return None
    question = Question(
        shop=row.text("shop") or shop,
        grid_mm=max(1, mm(row, "grid")) if row.has("grid") else 100,
        room=room,
        rules=rules,
        items=tuple(items),
        near=tuple(
            Near(a=r.text("a"), b=r.text("b"), how=_how(r), longest_mm=mm(r, "longest"))
            for r in _whole(row.tables("near"), "a", "b", "longest")
        ),
        apart=tuple(
            Apart(a=r.text("a"), b=r.text("b"), shortest_mm=mm(r, "shortest"))
            for r in _whole(row.tables("apart"), "a", "b", "shortest")
        ),
        in_line=tuple(_in_line(r) for r in _whole(row.tables("in_line"), *_LINE)),
        flows=tuple(_flow(r) for r in _whole(row.tables("flows"), "from", "to", "trips")),
    )
    check_question(question, row, notes)
    return None if notes.faults else question


_LINE = ("a", "b", "side_a", "side_b", "gap_min", "gap_max")


def _room(row: Row | None, notes: Notes) -> Room | None:
    if row is None or not row.has("outline"):
        return None
    corners = [(round(x * 1000), round(y * 1000)) for x, y in row.points("outline")]
    outline, wrong = clean_outline(corners)
    for what, instead in wrong:
        notes.fault(*row.at("outline"), what, instead)
    if wrong:
        return None
    rating = row.maybe("floor")
    low = [
        Low(id=r.text("id"), box=_box(r), height_mm=mm(r, "height"))
        for r in _whole(row.tables("low"), "id", "height", *_BOX)
    ]
    columns = [Column(id=r.text("id"), box=_box(r)) for r in _whole(row.tables("columns"), "id", *_BOX)]
    points = [
        SupplyPoint(
            id=r.text("id"),
            kind=cast(Literal["power", "extract", "air", "water"], r.text("kind")),
            x_mm=mm(r, "x"),
            y_mm=mm(r, "y"),
        )
        for r in _whole(row.tables("supply_points"), "id", "kind", "x", "y")
    ]
    return Room(
        outline_mm=outline,
        written_mm=tuple(corner for corner in dict.fromkeys(corners) if corner in outline),
        height_mm=maybe_mm(row, "height"),
        low=tuple(low),
        floor_kN_m2=None if rating is None else round(rating / 1000, 9),
        columns=tuple(columns),
        doors=tuple(_door(r) for r in _whole(row.tables("doors"), "id", "x1", "y1", "x2", "y2")),
        supply_points=tuple(points),
    )


_BOX = ("x", "y", "length", "width")


def _box(row: Row) -> Rect:
    return Rect(mm(row, "x"), mm(row, "y"), mm(row, "length"), mm(row, "width"))


def _door(row: Row) -> Door:
    x1, y1, x2, y2 = (mm(row, key) for key in ("x1", "y1", "x2", "y2"))
    clear, opening = maybe_mm(row, "clear_width"), abs(x2 - x1) + abs(y2 - y1)
    if clear is not None and clear > opening:
        # of inches, each end is rounded for itself: a clear width of the whole opening is not wider than it
        written = abs(row.number("x2") - row.number("x1")) + abs(row.number("y2") - row.number("y1"))
        if row.number("clear_width") <= written + 1e-6:
            clear = opening
    return Door(
        id=row.text("id"),
        x1_mm=x1,
        y1_mm=y1,
        x2_mm=x2,
        y2_mm=y2,
        clear_width_mm=opening if clear is None else clear,
        clear_height_mm=maybe_mm(row, "clear_height"),
        exit=row.flag("exit"),
        goods=row.flag("goods"),
        opens=cast(Literal["out", "in", "in_double", "slides"], row.text("opens") or "out"),
    )


def _rules(row: Row | None) -> Rules:
    if row is None:
        return Rules()
    usual, trolley, sources = Rules(), row.table("trolley"), row.values.get("sources")

    def of(key: str, default: int) -> int:
        return mm(row, key) if row.has(key) else default

    return Rules(
        escape_width_mm=of("escape_width", usual.escape_width_mm),
        escape_longest_mm=maybe_mm(row, "escape_longest"),
        access_width_mm=of("access_width", usual.access_width_mm),
        service_width_mm=of("service_width", usual.service_width_mm),
        narrow_longest_mm=of("narrow_longest", usual.narrow_longest_mm),
        door_clear_mm=of("door_clear", usual.door_clear_mm),
        trolley=_trolley(trolley) if trolley and trolley.has("length") and trolley.has("width") else None,
        sources={k: str(e.value) for k, e in sources.items()} if isinstance(sources, dict) else {},
    )


def _trolley(row: Row) -> Trolley:
    return Trolley(
        length_mm=mm(row, "length"),
        width_mm=mm(row, "width"),
        clearance_mm=mm(row, "clearance"),
        door_clearance_mm=mm(row, "door_clearance"),
        moves="along" if row.text("moves") == "along" else "any",
    )


def _how(row: Row) -> Literal["gap", "walk"]:
    return "walk" if row.text("how") == "walk" else "gap"


def _in_line(row: Row) -> InLine:
    return InLine(
        a=row.text("a"),
        b=row.text("b"),
        side_a=cast(Side, row.text("side_a")),
        side_b=cast(Side, row.text("side_b")),
        gap_min_mm=mm(row, "gap_min"),
        gap_max_mm=mm(row, "gap_max"),
        offset_max_mm=mm(row, "offset_max"),
        via=row.maybe_text("via"),
    )


def _flow(row: Row) -> Flow:
    return Flow(
        start=row.text("from"),
        to=row.text("to"),
        trips_per_day=row.number("trips"),
        by="trolley" if row.text("by") == "trolley" else "person",
        mass_kg=row.maybe("mass"),
    )


def _whole(rows: Iterable[Row], *keys: str) -> list[Row]:
    """The rows that have all of these; what is missing elsewhere has been said."""
    return [row for row in rows if all(row.has(key) for key in keys)]
