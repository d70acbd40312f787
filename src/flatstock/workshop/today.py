"""done.csv and changes.toml: what has happened since a plan was made, and what is not as it was."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from difflib import get_close_matches
from pathlib import Path

from flatstock.errors import Refused
from flatstock.workshop.build_stock import with_offset, zone
from flatstock.workshop.files import find_rows
from flatstock.workshop.layouts import layout
from flatstock.workshop.plain_text import read_bytes
from flatstock.workshop.reading import read_table
from flatstock.workshop.row import Row
from flatstock.workshop.shop import Workshop
from flatstock.workshop.spots import Notes
from flatstock.workshop.toml_tables import read_toml
from flatstock.workshop.written import Folder

__all__ = ["GIVEN_UP", "Absence", "Happened", "Here", "InPress", "Outage", "Platens", "Today", "read_today"]

GIVEN_UP = "given_up"  #: what done.csv calls a charge that becomes no sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One step that has begun; `end` None: it goes on."""

    sheet: str
    step: str
    start: datetime
    end: datetime | None
    places: tuple[str, ...]
    people: tuple[str, ...]
    where: str  #: file and line


@dataclass(frozen=True, slots=True, kw_only=True)
class Absence:
    """Somebody is away; None: from now, to the end of the plan."""

    person: str
    start: datetime | None
    end: datetime | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """A place, frame or pair of skins that can't be used, or `elements` of a hot press that don't heat."""

    place: str
    start: datetime | None
    end: datetime | None
    why: str
    elements: int | None = None
    of: int | None = None
    side: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class InPress:
    """A mould in a hot press whose dwell no card has: its heat was cut, or its platens were not at their set-point."""

    sheet: str
    not_before: datetime | None  #: it may be transferred; None: nobody can tell
    latest: datetime | None  #: before its face has had too much


@dataclass(frozen=True, slots=True, kw_only=True)
class Platens:
    """A hot press with no mould in it, as its heaters were told."""

    press: str
    since: datetime  #: they are on or off
    set_point: float | None  #: [°C]; None: they are off
    ready: datetime | None  #: soaked at it; None: they are off


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """Somebody was noted as come or as gone."""

    person: str
    at: datetime
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """What has happened, and what has changed."""

    done: tuple[Happened, ...] = ()
    absences: tuple[Absence, ...] = ()
    outages: tuple[Outage, ...] = ()
    held: tuple[tuple[str, str], ...] = ()  #: lot and why
    cold: tuple[str, ...] = ()  #: hot presses whose heaters are off, whatever was planned
    in_press: tuple[InPress, ...] = ()  #: of the records alone
    platens: tuple[Platens, ...] = ()  #: of the records alone
    said: tuple[Here, ...] = ()  #: in order; of the records alone


def read_today(shop: Workshop, *, sheets: Collection[str] | None, now: datetime | None) -> Today:
    """Both files of the shop's folder; a file that isn't there says nothing.

    Parameters
    ----------
    shop
        Whose folder, people, places and lots they name.
    sheets
        The sheets of the plan that is kept; None: no plan to hold the lines against.
    now
        Nothing can have happened after it; None: not held against the clock.

    Raises
    ------
    Refused
        With every fault of both files.
    """
    notes, clock = Notes(), zone(shop.time_zone)
    done = _done(shop, clock, notes)
    changes = _changes(shop.folder, notes)
    if sheets is not None:
        _known(done, "sheet", sheets, "plan.json has no such sheet", notes)
    places = _places(shop)
    for row in done:
        _times(row, clock, now, notes)
        _names(row, "place", places, "no such place, frame or skins", notes)
        _names(row, "people", shop.people, "nobody of this name", notes)
    _twice(done, notes)
    absences, outages, held = (changes.tables(key) for key in ("absences", "out_of_order", "held"))
    _known(absences, "person", shop.people, "nobody of this name", notes)
    _known(outages, "place", places, "no such place, frame or skins", notes)
    _known(held, "lot", shop.lots, "no such lot", notes)
    _names(changes, "cold", shop.hot_presses, "no such hot press", notes)
    for row in absences + outages:
        _forwards(row, "from", "until", clock, notes)
    elements = {row.path: _elements(shop, row, notes) for row in outages if row.has("elements")}
    if notes.faults:
        raise Refused(notes.sorted())
    return Today(
        done=tuple(_happened(row, clock) for row in done),
        absences=tuple(
            Absence(
                person=row.text("person"),
                start=_at(row, "from", clock),
                end=_at(row, "until", clock),
                why=row.text("why"),
            )
            for row in absences
        ),
        outages=tuple(
            Outage(
                place=row.text("place"),
                start=_at(row, "from", clock),
                end=_at(row, "until", clock),
                why=row.text("why"),
                elements=row.count("elements") if row.has("elements") else None,
                of=elements.get(row.path),
                side=row.maybe_text("side"),
            )
            for row in outages
        ),
        held=tuple((row.text("lot"), row.text("why")) for row in held),
        cold=changes.texts("cold"),
    )


def _done(shop: Workshop, clock: tzinfo, notes: Notes) -> list[Row]:
    of = layout("done")
    # the day's own files are read from the folder alone
    file, found = find_rows(Folder(shop.folder), of, notes)
    rows = [
        read_table(cells, of.table, file=file, path="", line=line, notes=notes)
        for line, cells in found
        if cells
    ]
    whole = [row for row in rows if row.has("sheet") and row.has("step") and row.has("start")]
    return sorted(whole, key=lambda row: _at(row, "start", clock) or datetime.max.replace(tzinfo=clock))


def _changes(folder: Path, notes: Notes) -> Row:
    of = layout("changes")
    path = folder / of.file
    data = read_bytes(path, notes) if path.is_file() else None
    found = read_toml(of.file, data, notes) if data is not None else None
    return read_table(found or {}, of.table, file=of.file, path="", line=0, notes=notes)


def _places(shop: Workshop) -> set[str]:
    kinds = (
        shop.hot_presses,
        shop.cooling_presses,
        shop.stacks,
        shop.racks,
        shop.places,
        shop.frames,
        shop.skins,
    )
    return {name for kind in kinds for name in kind} | {scale.id for scale in shop.scales}  # fmt: skip


def _known(rows: Iterable[Row], key: str, known: Collection[str], what: str, notes: Notes) -> None:
    for row in rows:
        if row.has(key) and row.text(key) not in known:
            notes.fault(*row.at(key), f"{what}: {row.text(key)!r}", _near(row.text(key), known))


def _names(row: Row, key: str, known: Collection[str], what: str, notes: Notes) -> None:
    for name in row.texts(key):
        if name not in known:
            notes.fault(*row.at(key), f"{what}: {name!r}", _near(name, known))


def _near(name: str, known: Collection[str]) -> str:
    near = get_close_matches(name, sorted(known), n=1, cutoff=0.5)
    return f"the nearest is {near[0]}" if near else f"there are {', '.join(sorted(known)[:12])}"


def _at(row: Row, key: str, clock: tzinfo) -> datetime | None:
    return with_offset(row.moment(key), clock)


def _forwards(row: Row, first: str, last: str, clock: tzinfo, notes: Notes) -> None:
    a, b = _at(row, first, clock), _at(row, last, clock)
    if a is not None and b is not None and b < a:
        notes.fault(*row.at(last), "it ends before it begins", "correct one of the two")


def _times(row: Row, clock: tzinfo, now: datetime | None, notes: Notes) -> None:
    _forwards(row, "start", "end", clock, notes)
    if now is None:
        return
    for key in ("start", "end"):
        moment = _at(row, key, clock)
        if moment is not None and moment > now:
            notes.fault(*row.at(key), f"it lies after now, {now:%Y-%m-%d %H:%M}",
                        "write what has happened, and leave `end` empty while a step goes on")  # fmt: skip


def _twice(rows: Iterable[Row], notes: Notes) -> None:
    first: dict[tuple[str, str], Row] = {}
    for row in rows:
        before = first.setdefault((row.text("sheet"), row.text("step")), row)
        if before is not row:
            what = f"{row.text('step')} of {row.text('sheet')} stands in line {before.line} too"
            notes.fault(*row.at("step"), what, "keep one of them")


def _elements(shop: Workshop, row: Row, notes: Notes) -> int | None:
    """How many elements the press has, of which some don't heat."""
    out = row.count("elements")
    if row.text("place") not in shop.hot_presses:
        notes.fault(*row.at("elements"), "only a hot press has heating elements", "leave it out")
        return None
    of = row.count("of") if row.has("of") else _on_file(shop)
    if of is None:
        notes.fault(*row.at("elements"), "how many elements the press has is not on file", "write of = 12")
    elif out >= of:
        notes.fault(*row.at("elements"), f"{out} of {of} is all of it", "leave `elements` out")
    return of


def _on_file(shop: Workshop) -> int | None:
    """Of the only load of supply.toml that has elements."""
    many = [load.elements for load in shop.supply.loads if load.elements] if shop.supply else []
    return many[0] if len(many) == 1 else None


def _happened(row: Row, clock: tzinfo) -> Happened:
    start = _at(row, "start", clock)
    assert start is not None
    return Happened(
        sheet=row.text("sheet"),
        step=row.text("step"),
        start=start,
        end=_at(row, "end", clock),
        places=row.texts("place"),
        people=row.texts("people"),
        where=f"{row.file} line {row.line}",
    )
