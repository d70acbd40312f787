"""A folder of files to a `Workshop`, or every fault at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, cast

from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.plastics.library import IDS
from flatstock.workshop import build, build_stock
from flatstock.workshop.csv_rows import read_csv
from flatstock.workshop.fields import Layout
from flatstock.workshop.frame_fits import check_thicknesses
from flatstock.workshop.layouts import layout, table_of
from flatstock.workshop.misnamed import note_misnamed
from flatstock.workshop.own_plastics import check_plastics, merged_keys
from flatstock.workshop.reading import read_table
from flatstock.workshop.references import check_references
from flatstock.workshop.row import Row
from flatstock.workshop.shop import Workshop
from flatstock.workshop.spots import Entry, Found, Notes, where
from flatstock.workshop.supply import supply_of
from flatstock.workshop.toml_tables import read_toml
from flatstock.workshop.written import Written, written_in

__all__ = ["check", "find_rows", "frame_places", "read", "read_list", "units_of"]

EXAMPLE = "EXAMPLE"  #: the ID of a new workshop's lot that nobody has brought in, and of its order
_EMPTY = Row("", "", 0)


@dataclass(slots=True)
class _Read:
    """The rows of every file; what is missing or broken is empty."""

    shop: Row
    plastics: dict[str, Row]
    lists: dict[str, list[Row]]
    supply: Row


def read(folder: Path, written: Written | None = None) -> Workshop:
    """The workshop in `folder`, from its records where it has any; `written` to read another form of it.

    Raises
    ------
    Refused
        With every fault of every file, by file and line.
    """
    workshop, faults, _ = check(folder, written)
    if workshop is None:
        raise Refused(faults)
    return workshop


def check(folder: Path, written: Written | None = None) -> tuple[Workshop | None, list[Fault], list[str]]:
    """The workshop in `folder` or None, every fault by file and line, and what is worth knowing."""
    notes = Notes()
    written = written or written_in(folder)
    try:
        if not written.has("shop.toml"):
            return None, [_no_shop(folder)], []
        if written.form == "files":
            note_misnamed(folder, notes)
    except OSError as error:
        reason = error.strerror or str(error)
        return None, [Fault(str(folder), f"the folder can't be read ({reason})", "make it readable")], []
    if notes.faults:  # what is not read would only bring faults about what it holds
        return None, notes.sorted(), notes.warnings
    rows = _read_all(written, notes)
    known = frozenset(IDS) | rows.plastics.keys()
    check_references(rows.shop, rows.lists, rows.plastics, known, notes)
    practice = rows.shop.table("practice")
    check_plastics(rows.plastics, rows.lists, practice.tables("dwell") if practice else [], notes)
    check_thicknesses(rows.shop.tables("frames"), rows.lists["orders"], notes)
    supply = supply_of(rows.supply, notes)
    if rows.shop.has("energy_price") and _supply_price(rows) is not None:
        notes.warn(*rows.shop.at("energy_price"), "supply.toml has the price too, and goes before this one.")
    for row in (*rows.lists["lots"], *rows.lists["orders"]):
        if row.text("id") == EXAMPLE:
            notes.warn(*row.at("id"), "the example that `flatstock new` wrote; write your own in its place.")
    if notes.faults:
        return None, notes.sorted(), notes.warnings
    return replace(_workshop(folder, rows), supply=supply, form=written.form), [], notes.warnings


def frame_places(folder: Path) -> dict[str, str]:
    """File, line and field of each frame's cavity in a folder that can be read, by the frame's ID."""
    notes = Notes()
    row = _read_file(written_in(folder), layout("shop"), notes)
    return {
        name: where(*frame.at("cavity_length")) for frame in row.tables("frames") for name in build.ids(frame)
    }


def _read_all(written: Written, notes: Notes) -> _Read:
    return _Read(
        shop=_read_file(written, layout("shop"), notes),
        plastics=_read_plastics(written, notes),
        lists={of.rows: read_list(written, of, notes) for of in map(layout, ("lots", "orders", "offcuts"))},
        supply=_read_others(written, notes),
    )


def _read_file(written: Written, of: Layout, notes: Notes) -> Row:
    found = _toml(written, of.file, notes)
    if found is None:
        return _EMPTY
    return read_table(found, of.table, file=of.file, path="", line=0, notes=notes)


def _read_plastics(written: Written, notes: Notes) -> dict[str, Row]:
    """Each table of plastics.toml by its ID in lower case."""
    file, table = layout("plastics").file, table_of("plastics", "plastics")
    found = _toml(written, file, notes) or {}
    rows = {}
    for name, entry in found.items():
        if name == "format":
            _check_format(file, entry, "plastics", notes)
        elif isinstance(entry.value, dict):
            rows[name.lower()] = read_table(
                entry.value, table, file=file, path=name, line=entry.line, notes=notes
            )
        else:
            notes.fault(
                file,
                entry.line,
                name,
                "this is not a table",
                "start a plastic with [its_id]",
            )
    return rows


def read_list(written: Written, of: Layout, notes: Notes) -> list[Row]:
    """The rows of a list from its .csv or its .toml form; both is a fault."""
    file, rows = find_rows(written, of, notes)
    return [
        read_table(found, of.table, file=file, path=_name_of(found, of), line=line, notes=notes)
        for line, found in rows
        if found
    ]


def find_rows(written: Written, of: Layout, notes: Notes) -> tuple[str, list[tuple[int, Found]]]:
    """The file that a list stands in, and its rows as they are written, each with its line."""
    toml_file = Path(of.file).with_suffix(".toml").name
    if written.has(of.file) and written.has(toml_file):
        notes.broken(of.file, 0, "", f"{toml_file} is there too", "keep one of them")
        return of.file, []
    rows: list[tuple[int, Found]] = []
    if written.has(toml_file):
        found = _toml(written, toml_file, notes) or {}
        entry = found.get(of.rows, Entry([], 0))
        items = entry.value if isinstance(entry.value, list) else []
        for item in items:
            if isinstance(item.value, dict):
                rows.append((item.line, item.value))
        if "format" in found:
            _check_format(toml_file, found["format"], of.rows, notes)
        for key in found.keys() - {of.rows, "format"} | ({of.rows} if len(rows) < len(items) else set()):
            notes.fault(toml_file, found[key].line, key, "unknown here", f"start each with [[{of.rows}]]")
        return toml_file, rows
    if written.has(of.file) and (data := written.read(of.file, notes)) is not None:
        rows = read_csv(of.file, data, of.table, notes) or []
    return of.file, rows


def _read_others(written: Written, notes: Notes) -> Row:
    """supply.toml; room.toml and outlay.toml are checked and left to the commands that need them."""
    for other in (layout("room"), layout("outlay")):
        if written.has(other.file):
            _read_file(written, other, notes)
    supply = layout("supply")
    return _read_file(written, supply, notes) if written.has(supply.file) else _EMPTY


def _toml(written: Written, file: str, notes: Notes) -> Found | None:
    """The tables of a TOML file; None where it is missing or broken (which is noted)."""
    data = written.read(file, notes) if written.has(file) else None
    return None if data is None else read_toml(file, data, notes)


#: lengths in a file: units at the end of a field's name, and words such as "12 ft 6 in"
_FEET = re.compile(rb"""_(?:ft|in)\s*=|\d\s*(?:ft|in|['"]{2})\b""")
_METRIC = re.compile(rb"_(?:mm|cm|m)\s*=|\d\s*(?:mm|cm|m)\b")


def units_of(folder: Path) -> Literal["metric", "us"]:
    """What the shop.toml in `folder` asks answers in, though the rest of it be full of faults; else metric.

    Before there is a shop.toml: what most lengths of room.toml are written in.
    """
    try:
        written = written_in(folder)
        if not written.has("shop.toml") and written.has("room.toml"):
            text = written.read("room.toml", Notes())
            return _most_lengths(text or b"")
        found = _toml(written, "shop.toml", Notes())
    except Refused:
        return "metric"
    entry = None if found is None else found.get("units")
    return "us" if entry is not None and entry.value == "us" else "metric"


def _most_lengths(data: bytes) -> Literal["metric", "us"]:
    feet = len(_FEET.findall(data))
    return "us" if feet > len(_METRIC.findall(data)) else "metric"


def _check_format(file: str, entry: Entry, kind: str, notes: Notes) -> None:
    if entry.value != f"flatstock.{kind}/1":
        what = f"{entry.value!r} is another kind of file, or a newer one"
        notes.fault(file, entry.line, "format", what, f"write flatstock.{kind}/1")


def _name_of(found: Found, of: Layout) -> str:
    entry = found.get("id")
    return f"{of.rows}.{entry.value}" if entry is not None else of.rows


def _no_shop(folder: Path) -> Fault:
    if folder.is_file():
        return Fault(
            str(folder), "it is a file, not a folder", f"name the folder that it is in: {folder.parent}"
        )
    if not folder.is_dir():
        return Fault(
            str(folder), "there is no such folder", "name the folder of a workshop, or make one with `new`"
        )
    if (folder / "shop.toml").is_symlink():
        return Fault("shop.toml", "it is a link to a file that is not there", "mend the link, or remove it")
    return Fault(
        str(folder), "the folder has no shop.toml", "name the folder of a workshop, or make one with `new`"
    )


def _workshop(folder: Path, rows: _Read) -> Workshop:
    shop = rows.shop
    metals = build.metals((r.path.rpartition(".")[2], r) for r in shop.tables("metals"))
    hot = [build.hot_press(r, metals) for r in shop.tables("hot_presses")]
    cooling = [build.cooling_press(r, metals) for r in shop.tables("cooling_presses")]
    stacks = [build.stack(r, metals) for r in shop.tables("stacks")]
    practice = shop.table("practice") or _practice_defaults()
    clock = build_stock.zone(shop.text("time_zone"))
    places = [
        build.places(row, kind)
        for key, kind in _PLACES.items()
        for row in shop.tables(key)
    ]  # fmt: skip
    return Workshop(
        name=shop.text("name"),
        folder=folder,
        room=shop.value("room"),
        time_zone=shop.text("time_zone"),
        units_shown=cast(Literal["metric", "us"], shop.text("units")),
        paper=cast(Literal["a4", "letter"], shop.text("paper")),
        decimal_mark=cast(Literal["point", "comma"], shop.text("decimal_mark")),
        clock_face=cast(Literal["24h", "am_pm"], shop.text("clock_face")),
        metals=metals,
        hot_presses={p.id: p for p in hot},
        cooling_presses={p.id: p for p in cooling},
        stacks={p.id: p for p in stacks},
        racks={r.text("id"): build.rack(r) for r in shop.tables("racks")},
        places={p.id: p for p in places},
        frames={f.id: f for r in shop.tables("frames") for f in build.frames(r, metals)},
        skins={s.id: s for r in shop.tables("skins") for s in build.skins(r, metals)},
        scales=tuple(sorted((build.scale(r) for r in shop.tables("scales")), key=lambda s: s.capacity)),
        people={r.text("id"): build_stock.person(r) for r in shop.tables("people")},
        lots={r.text("id"): build_stock.lot(r) for r in rows.lists["lots"]},
        orders={r.text("id"): build_stock.order(r, clock) for r in rows.lists["orders"]},
        offcuts={r.text("id"): build_stock.offcut(r) for r in rows.lists["offcuts"]},
        practice=build_stock.practice(practice),
        plastic_overrides=merged_keys(rows.plastics),
        energy_price=_energy_price(rows),
        today=shop.day("today"),
        default_hot_press=shop.maybe_text("default_hot_press") or next((p.id for p in hot), None),
        default_cooling_press=shop.maybe_text("default_cooling_press") or next((p.id for p in cooling), None),
        default_stack=shop.maybe_text("default_stack") or next((p.id for p in stacks), None),
    )


_PLACES: Mapping[str, Literal["bench", "lift", "saw", "dryer"]] = {
    "benches": "bench",
    "lifts": "lift",
    "saws": "saw",
    "dryers": "dryer",
}


def _practice_defaults() -> Row:
    """[practice] of a shop that says nothing about it."""
    return read_table(
        {}, table_of("shop", "practice"), file="shop.toml", path="practice", line=0, notes=Notes()
    )


def _energy_price(rows: _Read) -> Value | None:
    """supply.toml goes before shop.toml."""
    return _supply_price(rows) or rows.shop.maybe_value("energy_price")


def _supply_price(rows: _Read) -> Value | None:
    supply = rows.supply.table("supply")
    return supply.maybe_value("energy_price") if supply else None
