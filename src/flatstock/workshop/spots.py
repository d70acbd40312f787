"""Files as entries: every value with the line it stands on, the same for TOML and for CSV."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path

from flatstock.errors import Fault

__all__ = ["Entry", "Found", "Notes", "read_bytes", "read_csv", "read_toml"]

Found = dict[str, "Entry"]  # a table: its keys in the order of the file


@dataclass(frozen=True, slots=True)
class Entry:
    """A value of a file; a table holds a `Found`, an array a list of entries."""

    value: object
    line: int  #: 0: not known


@dataclass(slots=True)
class Notes:
    """Everything found wrong so far, and everything worth saying."""

    faults: list[tuple[str, int, Fault]] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    def fault(self, file: str, line: int, path: str, what: str, instead: str = "") -> None:
        """Note one fault at a line of a file; `path` is the field ("frames.F12-1.thickness_mm")."""
        self.faults.append((file, line, Fault(_where(file, line, path), what, instead)))

    def warn(self, file: str, line: int, path: str, text: str) -> None:
        """Note something that is allowed, but that a person should know."""
        self.warnings.append(f"{_where(file, line, path)}: {text}")

    def sorted(self) -> list[Fault]:
        """The faults by file and line, each once."""
        return list(dict.fromkeys(f for _, _, f in sorted(self.faults)))


def read_bytes(path: Path, notes: Notes) -> bytes | None:
    """What a file holds, or None with a fault."""
    try:
        return path.read_bytes()
    except OSError as error:
        notes.fault(path.name, 0, "", f"the file can't be read ({error.strerror})", "make it readable")
        return None


def read_toml(file: str, data: bytes, notes: Notes) -> Found | None:
    """The tables of a TOML file, or None with a fault that names line and column."""
    import toml_rs

    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        notes.fault(
            file, line, "", f"byte {data[error.start]:#04x} is not UTF-8 text", "save the file as UTF-8"
        )
        return None
    text = text.replace("\r\n", "\n")
    try:
        document = toml_rs.load_with_metadata(text)
    except toml_rs.TOMLDecodeError as error:
        reason = " ".join(error.msg.splitlines()[-1:]).strip()
        notes.fault(
            file, error.lineno, f"column {error.colno}", f"this is not TOML: {reason}", _toml_hint(reason)
        )
        return None
    return _table(document.value, dict(document.meta["nodes"]))


def read_csv(file: str, data: bytes, columns: set[str], notes: Notes) -> list[tuple[int, Found]] | None:
    """The rows of a CSV file with their lines; empty cells are left out. None when there is no header.

    Comma, semicolon or tab: whichever gives the header the most known columns. Lines that start with #
    are skipped. Text that is not UTF-8 is read as Windows-1252, with a warning.
    """
    text = _csv_text(file, data, notes)
    if text is None:
        return None
    lines = text.splitlines()
    first = next((n for n, s in enumerate(lines) if s.strip() and not _skipped(s)), None)
    if first is None:
        notes.fault(file, 1, "", "the file has no header line", f"write one: {', '.join(sorted(columns))}")
        return None
    delimiter = max(",;\t", key=lambda d: len(columns & {_name(c) for c in lines[first].split(d)}))
    body = "\n".join("" if _skipped(s) else s for s in lines[first:])
    reader = csv.reader(io.StringIO(body), delimiter=delimiter, strict=True, skipinitialspace=True)
    header: list[str] = []
    rows: list[tuple[int, Found]] = []
    before = first
    try:
        for cells in reader:
            line, before = before + 1, first + reader.line_num
            if not header:
                header = [_name(c) for c in cells]
                _check_header(file, line, header, notes)
            elif any(c.strip() for c in cells):
                rows.append((line, _row(file, line, header, cells, delimiter, notes)))
    except csv.Error as error:
        notes.fault(file, first + reader.line_num, "", f"the line can't be split into cells ({error})",
                    "close every quotation mark")  # fmt: skip
        return None
    return rows


def _table(values: dict[str, object], places: dict[str, object]) -> Found:
    return {key: _entry(value, places.get(key)) for key, value in values.items()}


def _entry(value: object, place: object) -> Entry:
    """Join a value with what the parser says about its place; a [table] has none, but its keys have."""
    line, inner = 0, place
    if isinstance(place, dict):
        at = place.get("key_line", place.get("value_line"))
        first = at[0] if isinstance(at, tuple) else at  # a value over several lines has its first and last
        if isinstance(first, int):  # else it is a [table], whose keys may have any name
            line, inner = first, place.get("value")
    if isinstance(value, dict):
        table = _table(value, inner if isinstance(inner, dict) else {})
        return Entry(table, line or min((e.line for e in table.values() if e.line), default=0))
    if isinstance(value, list):
        places = inner if isinstance(inner, list) and len(inner) == len(value) else [None] * len(value)
        items = [_entry(v, p) for v, p in zip(value, places, strict=True)]
        return Entry([e if e.line else Entry(e.value, line) for e in items], line)
    return Entry(value, line)


def _toml_hint(reason: str) -> str:
    if "duplicate" in reason:
        return "give each key once"
    return "text needs quotation marks, numbers a dot, and each line one key = value"


def _csv_text(file: str, data: bytes, notes: Notes) -> str | None:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            notes.fault(
                file, line, "", f"byte {data[error.start]:#04x} is not UTF-8 text", "save the file as UTF-8"
            )
            return None
        notes.warn(
            file, line, "", "not UTF-8; read as Windows-1252. Check letters with accents, save as UTF-8."
        )
        return text


def _skipped(line: str) -> bool:
    return line.lstrip().startswith("#") or line.lower().startswith("sep=")


def _name(cell: str) -> str:
    return cell.strip().strip('"').strip()


def _check_header(file: str, line: int, header: list[str], notes: Notes) -> None:
    for name in sorted({h for h in header if h and header.count(h) > 1}):
        notes.fault(file, line, name, "two columns have this name", "keep one of them")


def _row(file: str, line: int, header: list[str], cells: list[str], delimiter: str, notes: Notes) -> Found:
    if len(cells) > len(header) and any(c.strip() for c in cells[len(header) :]):
        hint = " (a decimal comma needs quotation marks here, or semicolons between cells)" * (
            delimiter == ","
        )
        notes.fault(
            file, line, "", f"{len(cells)} cells under {len(header)} columns", f"give each column one{hint}"
        )
        return {}
    pairs = zip(header, cells, strict=False)
    return {name: Entry(cell.strip(), line) for name, cell in pairs if cell.strip() and name}


def _where(file: str, line: int, path: str) -> str:
    at = f"{file} line {line}" if line else file
    return f"{at}, {path}" if path else at
