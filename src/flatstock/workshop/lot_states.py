"""The list of lots with another status or mass for some, and everything else as it was written, comments too."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flatstock.units import split_name
from flatstock.workshop.csv_rows import title_row
from flatstock.workshop.files import read_list
from flatstock.workshop.layouts import layout
from flatstock.workshop.plain_text import text_of
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes
from flatstock.workshop.written import Texts

__all__ = ["State", "list_file", "with_states"]


@dataclass(frozen=True, slots=True)
class State:
    """What changes of a lot while it is in use."""

    status: str
    mass: float  #: [kg]


def with_states(file: str, data: bytes, states: Mapping[str, State]) -> bytes:
    """`data` of lots.csv or lots.toml so that it says `states`; lots that it has right stay as they are written.

    Raises
    ------
    ValueError
        A lot of `states` is not in the list, or it is written in a way that can't be changed in place.
    """
    changes = _changes(file, data, states)
    if not changes:
        return data
    text = text_of(file, data, Notes(), spreadsheet=file.endswith(".csv"))
    assert text is not None
    changed = (_csv if file.endswith(".csv") else _toml)(text, changes)
    new = changed.encode("utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8")
    if _changes(file, new, states):
        raise ValueError(f"{file} is written in a way that can't be changed in place")
    return new


def _changes(file: str, data: bytes, states: Mapping[str, State]) -> list[tuple[int, Row, dict[str, str]]]:
    """Place in the list, row, and the cells that are to be written anew by their written name."""
    rows = {r.text("id"): (n, r) for n, r in enumerate(_rows(file, data))}
    if missing := sorted(states.keys() - rows.keys()):
        raise ValueError(f"{missing[0]} is not in {file}")
    found = []
    for name, state in states.items():
        number, row = rows[name]
        cells = {}
        if row.text("status") != state.status:
            cells[row.written["status"]] = state.status
        if row.number("mass") != state.mass:
            column = row.written["mass"]
            parts = split_name(column)
            plain = parts is not None and parts[2] == "kg"
            cells[column] = repr(state.mass) if plain else f"{state.mass!r} kg"
        if cells:
            found.append((number, row, cells))
    return found


def _rows(file: str, data: bytes) -> Sequence[Row]:
    return read_list(Texts({file: data}), layout("lots"), Notes())


def _csv(text: str, changes: Sequence[tuple[int, Row, dict[str, str]]]) -> str:
    """Only the lines of lots that change are written anew."""
    found = title_row(text, layout("lots").table)
    assert found is not None
    delimiter, titles = found
    lines = text.splitlines(keepends=True)
    for _, row, cells in sorted(changes, key=lambda c: -c[1].line):
        at = row.line - 1
        reader = csv.reader(iter(lines[at:]), delimiter=delimiter, skipinitialspace=True)
        old = next(reader)
        ends = lines[at + reader.line_num - 1]
        ending = ends[len(ends.rstrip("\r\n")) :]
        new = [cells.get(title, cell) for title, cell in zip(titles, old, strict=False)] + old[len(titles) :]
        out = io.StringIO()
        csv.writer(out, delimiter=delimiter, lineterminator="\r\n").writerow(new)  # it quotes what ends lines
        lines[at : at + reader.line_num] = [out.getvalue().removesuffix("\r\n") + ending]
    return "".join(lines)


def _toml(text: str, changes: Sequence[tuple[int, Row, dict[str, str]]]) -> str:
    """Only the values that change are written anew, at the place where the parser saw them."""
    import toml_rs

    plain = text.replace("\r\n", "\n")
    listed: Any = toml_rs.load_with_metadata(plain).meta["nodes"]["lots"]["value"]
    lines = [line.encode() for line in plain.split("\n")]
    spots = []
    for number, _, cells in changes:
        for name, value in cells.items():
            node = listed[number]["value"][name]
            literal = value if split_name(name) and not value.endswith("kg") else f'"{value}"'
            columns = node["value_col"]  # one number, not two, where the value is one character
            first_last = columns if isinstance(columns, tuple) else (columns, columns)
            spots.append((node["value_line"], first_last, literal))
    for line, (first, last), literal in sorted(spots, reverse=True):
        old = lines[line - 1]
        lines[line - 1] = old[: first - 1] + literal.encode() + old[last:]
    new = b"\n".join(lines).decode()
    return new.replace("\n", "\r\n") if "\r\n" in text else new


def list_file(names: Sequence[str]) -> str | None:
    """Which of a workshop's files holds its lots; None where none does."""
    of = layout("lots").file
    return next((name for name in (of, Path(of).with_suffix(".toml").name) if name in names), None)
