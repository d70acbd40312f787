"""Start, copy, read and open a workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path
from typing import Any, Literal

from flatstock import demo
from flatstock.actions.kept import kept_plan
from flatstock.actions.living import HandChange, find_living, hand_changes
from flatstock.errors import Fault, Refused
from flatstock.plastics.library import library
from flatstock.units import split_name
from flatstock.workshop import build_stock, files
from flatstock.workshop.csv_rows import read_csv
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.layouts import NAMES, layout
from flatstock.workshop.plain_text import read_bytes
from flatstock.workshop.shop import Workshop
from flatstock.workshop.spots import Notes
from flatstock.workshop.start import StartAnswers, must_be_free, start_faults, write_new
from flatstock.workshop.today import read_today
from flatstock.workshop.written import has_file, read_instead, written_in

__all__ = [
    "Beside",
    "ReadAnswer",
    "copy_demo",
    "faults_of_answers",
    "faults_of_room",
    "hand_change_words",
    "must_be_free",
    "open_workshop",
    "read_rows",
    "read_workshop",
    "shop_beside",
    "start_workshop",
    "units_of",
    "zone_of",
]


read_instead(find_living)  # from here on: records where a workshop has them, files where it has none

#: a workshop that may still be without its shop.toml, and what there is to say about that
Beside = tuple[Workshop | None, list[str]]


@dataclass(frozen=True, slots=True)
class ReadAnswer:
    """What a folder holds, and everything that is wrong with it."""

    document: Mapping[str, Any]  #: `flatstock.read/1`
    faults: tuple[Fault, ...]


def open_workshop(shop: Path | Workshop) -> Workshop:
    """The workshop in a folder; one that is open already as it is. Raises `Refused` with every fault."""
    return shop if isinstance(shop, Workshop) else files.read(shop)


def zone_of(shop: Workshop) -> tzinfo:
    """The time zone that the shop's clock shows."""
    return build_stock.zone(shop.time_zone)


def shop_beside(folder: Path) -> Beside:
    """The workshop in `folder` where it has a shop.toml that can be read; else None, and why in a sentence."""
    if not has_file(folder, "shop.toml"):
        return None, []
    shop, faults, _ = files.check(folder)
    if faults:
        return None, [
            f"shop.toml and its lists have {len(faults)} faults and were left out: `flatstock read` names them."
        ]
    return shop, []


def read_workshop(folder: Path) -> ReadAnswer:
    """Read everything in `folder`, writing nothing."""
    shop, faults, warnings = files.check(folder)
    if _before_the_shop(folder):
        faults = _faults_of_supply(folder)
        warnings = [
            "There is no shop.toml yet: room, supply and outlay are answered; cards and plans need one."
        ]
    warnings = [*warnings, *_not_there_yet(shop), *_short_frames(folder, shop)]
    warnings = [*warnings, *(hand_change_words(one) for one in hand_changes(folder))]
    beside = [*faults_of_room(folder), *_faults_of_outlay(folder, shop), *_faults_of_today(shop)]
    faults = list(dict.fromkeys([*faults, *beside]))
    document = {
        "format": "flatstock.read/1",
        "shop": shop.name if shop else None,
        "folder": str(folder),
        "form": written_in(folder).form,
        "files": _files(folder),
        "faults": [{"where": f.where, "what": f.what, "instead": f.instead} for f in faults],
        "warnings": list(warnings),
        "cautions": [],
        "counts": _counts(shop) if shop else {},
        "plastics": _plastics(shop) if shop else [],
    }
    return ReadAnswer(document=document, faults=tuple(faults))


def _not_there_yet(shop: Workshop | None) -> list[str]:
    """What every card needs and the shop says that it has none of."""
    if shop is None:
        return []
    there = {
        "hot press": shop.hot_presses,
        "frame": shop.frames,
        "pair of skins": shop.skins,
    }
    none = [what for what, ones in there.items() if not ones]
    if not none:
        return []
    which = "" if shop.frames else "; `flatstock frame` says which frame to have made"
    return [f"shop.toml has no {' and no '.join(none)} yet, so no card can be made{which}."]


def _short_frames(folder: Path, shop: Workshop | None) -> list[str]:
    """Frames that do not give the size sold, each at its line."""
    if shop is None or (shop.practice.trimmed_length is None and shop.practice.trimmed_width is None):
        return []
    from flatstock.pressing.frames_held import short_frames

    at = files.frame_places(folder)
    return [f"{at[one.frames[0].id]}: {one.words}" for one in short_frames(shop)]


def hand_change_words(one: HandChange) -> str:
    """What is said of a file that says something else than the records."""
    how = {
        "changed": "was changed by hand and the records don't have that yet",
        "new": "is new in the folder and the records don't have it yet",
        "gone": "is gone from the folder and the records still have it",
        "older": "stands in the folder as the records once had it, not as they have it now",
    }[one.how]
    return f"{one.file} {how}: `flatstock records take` takes the folder in, `flatstock records leave` leaves it."


def units_of(folder: Path) -> Literal["metric", "us"]:
    """What the workshop in `folder` reads answers and refusals in; metric where it does not say."""
    return files.units_of(folder)


def start_workshop(folder: Path, answers: StartAnswers) -> list[Path]:
    """Write a new workshop from plain answers; the files written."""
    return write_new(folder, answers)


def faults_of_answers(answers: StartAnswers) -> list[Fault]:
    """What would be wrong with the workshop of these answers."""
    return start_faults(answers)


def faults_of_room(folder: Path) -> tuple[Fault, ...]:
    """What doesn't fit together in room.toml: walls, doors, machines, names; `room` alone needs it whole."""
    from flatstock.starting.room.room_file import read_room

    try:
        if has_file(folder, "room.toml"):
            read_room(folder)
    except Refused as refused:
        return refused.faults
    return ()


def _before_the_shop(folder: Path) -> bool:
    """True for a folder that has what is asked before there is a shop, and no shop.toml yet."""
    written = written_in(folder)
    asked = any(written.has(f"{name}.toml") for name in ("room", "supply", "outlay"))
    return asked and not written.has("shop.toml") and not (folder / "shop.toml").is_symlink()


def _faults_of_supply(folder: Path) -> list[Fault]:
    from flatstock.starting.supply.read import read_supply

    try:
        if has_file(folder, "supply.toml"):
            read_supply(folder)
    except Refused as refused:
        return list(refused.faults)
    return []


def _faults_of_outlay(folder: Path, shop: Workshop | None) -> tuple[Fault, ...]:
    """What doesn't fit together in outlay.toml: needs, resources, months, what purchases add to the shop."""
    from flatstock.starting.outlay.read import read_outlay

    try:
        if has_file(folder, "outlay.toml"):
            read_outlay(folder, shop)
    except Refused as refused:
        return refused.faults
    return ()


def _faults_of_today(shop: Workshop | None) -> list[Fault]:
    """What is wrong with plan.json, and with what done.csv and changes.toml say of that plan."""
    if shop is None:
        return []
    faults: list[Fault] = []
    sheets = None
    try:
        sheets = _sheets_planned(shop.folder)
    except Refused as refused:
        faults += refused.faults
    try:
        read_today(shop, sheets=sheets, now=None)
    except Refused as refused:
        faults += refused.faults
    return faults


def _sheets_planned(folder: Path) -> frozenset[str] | None:
    """Those of the plan that is kept; None where there is no plan. Raises `Refused` where it is no plan."""
    plan = kept_plan(folder)
    if plan is None:
        return None
    from flatstock.planning.check import judge
    from flatstock.planning.problem.begun import figures_of

    if any(finding.rule == "shape" for finding in judge(plan)):
        raise Refused(
            Fault("plan.json", "it is no flatstock.plan/1", "make a new one: flatstock plan FOLDER")
        )
    return frozenset(figures_of(plan))


def copy_demo(folder: Path) -> list[Path]:
    """Write a copy of the demo workshop; the files written."""
    return demo.copy_to(folder)


def read_rows(path: Path, columns: set[str]) -> list[tuple[int, dict[str, str]]]:
    """The lines of a CSV file that is not part of a workshop: line number and its filled cells as text.

    Raises
    ------
    Refused
        It can't be read, or is no CSV.
    """
    notes = Notes()
    if not path.exists() and not path.is_symlink():
        raise Refused(Fault(str(path), "there is no such file", "name a CSV file"))
    data = read_bytes(path, notes)
    fields = tuple(
        Field(name=name, meaning="", kind="number" if split_name(name) else "text")
        for name in sorted(columns)
    )
    table = Table(name="one line", fields=fields, open=True)
    found = read_csv(path.name, data, table, notes) if data is not None else None
    if notes.faults or found is None:
        raise Refused(notes.sorted())
    return [(line, {name: str(entry.value) for name, entry in cells.items()}) for line, cells in found]


def _files(folder: Path) -> list[str]:
    known = {layout(name).file for name in NAMES}
    known |= {Path(name).with_suffix(".toml").name for name in known}
    written = written_in(folder)
    if written.form == "records":
        return sorted(name for name in known if written.has(name))
    return sorted(path.name for path in folder.glob("*") if path.name in known)


def _plastics(shop: Workshop) -> list[dict[str, Any]]:
    """The plastics that this shop has values of its own for, or has added."""
    return [
        {"plastic": name, "on_file": name in library(), "values": len(values)}
        for name, values in shop.plastic_overrides.items()
    ]


def _counts(shop: Workshop) -> dict[str, int]:
    """How many of each thing."""
    return {
        "hot_presses": len(shop.hot_presses),
        "cooling_presses": len(shop.cooling_presses),
        "stacks": len(shop.stacks),
        "racks": len(shop.racks),
        "places": len(shop.places),
        "frames": len(shop.frames),
        "skins": len(shop.skins),
        "scales": len(shop.scales),
        "people": len(shop.people),
        "lots": len(shop.lots),
        "orders": len(shop.orders),
        "offcuts": len(shop.offcuts),
        "plastics": len(shop.plastic_overrides),
    }
