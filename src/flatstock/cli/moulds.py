"""Moulds of a stack, from the words of a call or from a CSV file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, tzinfo
from pathlib import Path

from flatstock.cli.quantities import shares
from flatstock.errors import Fault, WrongWords
from flatstock.pressing.questions import MouldWords
from flatstock.times import arrivals
from flatstock.units import parse_quantity, split_name

__all__ = ["moulds_of_file", "moulds_of_words"]

_FORM = "write PLASTIC,THICKNESS,ARRIVES[,CORE], as in HDPE,18mm,09:00,189C"
_COLUMNS = ("mould", "plastic", "thickness", "arrives", "core", "lots")


def moulds_of_words(words: Sequence[str], *, zone: tzinfo, now: datetime) -> tuple[MouldWords, ...]:
    """Each `PLASTIC,THICKNESS,ARRIVES[,CORE][,LOT=SHARE …]`; semicolons part them too, for decimal commas."""
    rows = []
    for word in words:
        said = [part.strip() for part in word.split(";" if ";" in word else ",")]
        parts, lots = [part for part in said if "=" not in part], [part for part in said if "=" in part]
        if len(parts) not in (3, 4) or not all(parts[:3]):
            raise WrongWords(Fault("--mould", f"{word!r} is no mould", _FORM))
        rows.append(dict(zip(_COLUMNS[1:], parts, strict=False)) | {"lots": " ".join(lots)})
    return _moulds(rows, ["--mould"] * len(rows), zone=zone, now=now)


def moulds_of_file(path: Path, *, zone: tzinfo, now: datetime) -> tuple[MouldWords, ...]:
    """The moulds of a CSV file: columns plastic, thickness_mm, arrives, and if wanted core_C, mould and lots.

    Lengths and temperatures may be in other units when the column says so (`thickness_in`, `core_F`), or
    when the column has no unit and every cell has one.
    """
    from flatstock.actions.workshops import read_rows

    rows, places = [], []
    for line, cells in read_rows(path, {"mould", "plastic", "thickness_mm", "arrives", "core_C", "lots"}):
        row = {}
        for column, text in cells.items():
            parts = split_name(column)
            name, unit = (parts[0], parts[2]) if parts else (column, "")
            if name not in _COLUMNS:
                known = "mould, plastic, thickness_mm, arrives, core_C, lots"
                raise WrongWords(
                    Fault(f"{path.name} line {line}", f"there is no column {column!r}", f"use {known}")
                )
            row[name] = f"{text}{unit}"
        rows.append(row)
        places.append(f"{path.name} line {line}")
    return _moulds(rows, places, zone=zone, now=now)


def _moulds(
    rows: Sequence[dict[str, str]], places: Sequence[str], *, zone: tzinfo, now: datetime
) -> tuple[MouldWords, ...]:
    faults: list[Fault] = []

    def measure(row: dict[str, str], column: str, dimension: str, place: str) -> float | None:
        try:
            return parse_quantity(row[column], dimension, where=place) if row.get(column) else None
        except WrongWords as error:
            faults.extend(error.faults)
            return None

    def lots(row: dict[str, str], place: str) -> tuple[tuple[str, float], ...]:
        try:
            return tuple(shares(row.get("lots", "").split(), place).items())
        except WrongWords as error:
            faults.extend(error.faults)
            return ()

    charges = [lots(row, place) for row, place in zip(rows, places, strict=True)]
    measures = []
    for row, place in zip(rows, places, strict=True):
        faults += [
            Fault(place, f"the mould's {column} is missing", "give it one")
            for column in ("plastic", "thickness", "arrives")
            if not row.get(column)
        ]
        measures.append(
            (measure(row, "thickness", "length", place), measure(row, "core", "temperature", place))
        )
    said = [(row["arrives"], place) for row, place in zip(rows, places, strict=True) if row.get("arrives")]
    try:
        times = arrivals([text for text, _ in said], zone=zone, now=now, where=[place for _, place in said])
    except WrongWords as error:
        faults.extend(error.faults)
    if faults:
        raise WrongWords(faults)
    return tuple(
        MouldWords(
            plastic=row["plastic"],
            thickness=thickness,
            arrives=arrives,
            core=core,
            name=row.get("mould"),
            lots=charge,
        )
        for row, (thickness, core), charge, arrives in zip(rows, measures, charges, times, strict=True)
        if thickness is not None
    )
