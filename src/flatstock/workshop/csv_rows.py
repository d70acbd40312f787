"""The rows of a list that a spreadsheet keeps: its title row looked at once, so that a fault there is one fault."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from difflib import get_close_matches

from flatstock.units import split_name
from flatstock.workshop.fields import Table
from flatstock.workshop.plain_text import text_of
from flatstock.workshop.spots import Entry, Found, Notes

__all__ = ["read_csv", "title_row"]

Rows = list[tuple[int, Found]]
_NAMES = {",": "a comma", ";": "a semicolon", "\t": "a tab"}
#: kinds of field that hold one thing, in which no mark parts several
SINGLE = frozenset({"amount", "choice", "clock", "count", "date", "flag", "id", "moment", "text", "value"})


def read_csv(file: str, data: bytes, table: Table, notes: Notes) -> Rows | None:
    """The rows of a CSV file with their lines; empty cells are left out. None when there is no title row.

    Comma, semicolon or tab: whichever gives the title row the most known columns. Lines that start with #
    are skipped. Text that is not UTF-8 is read as Windows-1252, with a warning. Titles may be written in capitals.
    """
    text = text_of(file, data, notes, spreadsheet=True)
    if text is None:
        return None
    names = list(table.by_name)
    lines = text.splitlines()
    first = next((n for n, s in enumerate(lines) if s.strip() and not _skipped(s)), None)
    if first is None:
        what = "the file is empty" if not text.strip() else "the file has no title row"
        notes.broken(file, 0, "", what, f"begin with the row {','.join(names)}")
        return None
    delimiter = max(",;\t", key=lambda d: _known(lines[first].split(d), table))
    body = "\n".join("" if _skipped(s) else s for s in lines[first:])
    reader = csv.reader(io.StringIO(body), delimiter=delimiter, strict=True, skipinitialspace=True)
    header: list[str] | None = None
    titles: list[str] = []
    rows: Rows = []
    before = first
    try:
        for cells in reader:
            line, before = before + 1, first + reader.line_num
            if header is None:
                titles, header = cells, _header(file, line, cells, delimiter, table, notes)
                if header is None:
                    return None
            elif cells == titles:
                what = "the title row stands here again"
                notes.fault(file, line, "", what, "keep the first; below it each line is a row")
            elif any(c.strip() for c in cells):
                rows.append((line, _row(file, line, header, cells, delimiter, table, notes)))
        _left_out(file, lines, first, header, titles, delimiter, notes)
    except csv.Error as error:
        notes.broken(file, before + 1, "", f"the line can't be split into cells ({error})",
                     "close every quotation mark")  # fmt: skip
        if header is not None:  # what else is wrong in the list is told at once
            rows += _after_it(file, lines, before + 1, header, delimiter, table, notes)
    return rows


def _left_out(
    file: str,
    lines: list[str],
    first: int,
    header: list[str] | None,
    titles: list[str],
    delimiter: str,
    notes: Notes,
) -> None:
    """Tell of comments that look like rows: in a list whose first column is a note, it may begin with #."""
    if not header or header[0] == "id":  # else `#L-1` is a row that somebody has taken out
        return
    for n, line in enumerate(lines[first + 1 :], first + 2):
        if line.lstrip().startswith("#") and line.count(delimiter) == len(titles) - 1:
            text = "left out, as every line that starts with #; if it is a row, put its first cell in quotation marks."
            notes.warn(file, n, "", text)


def _after_it(
    file: str, lines: list[str], after: int, header: list[str], delimiter: str, table: Table, notes: Notes
) -> Rows:
    """The lines below one that can't be split: those that are whole rows by themselves."""
    rows: Rows = []
    for n, line in enumerate(lines[after:], after + 1):
        try:
            cells = next(csv.reader([line], delimiter=delimiter, strict=True, skipinitialspace=True), [])
        except csv.Error:
            continue
        if len(cells) == len(header) and not _skipped(line):
            rows.append((n, _row(file, n, header, cells, delimiter, table, notes)))
    return rows


def title_row(text: str, table: Table) -> tuple[str, list[str]] | None:
    """What stands between cells, and the columns' names as they are written; None for an empty text."""
    line = next((s for s in text.splitlines() if s.strip() and not _skipped(s)), None)
    if line is None:
        return None
    delimiter = max(",;\t", key=lambda d: _known(line.split(d), table))
    cells = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
    return delimiter, [_title(cell, table) for cell in cells]


def _header(
    file: str, line: int, cells: list[str], delimiter: str, table: Table, notes: Notes
) -> list[str] | None:
    """The columns' names as the table has them; None where this is no title row."""
    names = list(table.by_name)
    titles = [_title(cell, table) for cell in cells]
    needed = [f.name for f in table.fields if f.required]
    if not _known(cells, table) or (len(cells) == 1 and len(needed) > 1):
        what = f"this is no title row: none of {_some(cells)} is the name of a column"
        if len(cells) == 1:
            what = "this is no title row: there are no commas, semicolons or tabs between its cells"
        notes.broken(file, line, "", what, f"put the row {','.join(names)} above the list")
        return None
    for name in sorted({t for t in titles if t and titles.count(t) > 1}):
        notes.broken(file, line, name, "two columns have this name", "keep one of them")
        return None
    for title in titles:
        two = None if _is_column(title, table) else _other_mark(title, delimiter)
        if two is not None and _known(list(two[:2]), table) == 2:
            _tell(file, line, two, delimiter, notes.broken)
            return None
    unknown = [title for title in titles if title and not table.open and not _is_column(title, table)]
    for title in unknown:
        near = get_close_matches(title, names, n=1, cutoff=0.6)
        instead = f"the nearest is {near[0]}" if near else f"the columns here are {', '.join(names)}"
        notes.broken(file, line, title, "no column is called so", instead)
    given = {_stem(title, table) for title in titles}
    missing = [name for name in needed if _stem(name, table) not in given]
    for name in missing:
        notes.broken(file, line, name, "this column is needed, and missing", f"add a column {name}")
    return None if unknown or missing else titles


def _tell(file: str, line: int, two: tuple[str, str, str], delimiter: str, tell: Callable[..., None]) -> None:
    before, after, mark = two
    what = f"{_NAMES[mark]} stands between {before!r} and {after!r}, where {_NAMES[delimiter]} parts the other cells"
    tell(
        file,
        line,
        "",
        what,
        f"write {_NAMES[delimiter]} there, or a space after it where it belongs to the text",
    )


def _some(cells: list[str]) -> str:
    shown = [c.strip() for c in cells if c.strip()]
    return ", ".join(shown[:3]) + " …" * (len(shown) > 3)


def _title(cell: str, table: Table) -> str:
    """As the table writes it; capitals don't matter, and the unit keeps its own."""
    name = cell.strip().strip('"').strip()
    if _is_column(name, table):
        return name
    alike = [known for known in table.by_name if known.lower() == name.lower().replace(" ", "_")]
    return alike[0] if alike else name


def _is_column(name: str, table: Table) -> bool:
    return bool(_stem(name, table))


def _stem(name: str, table: Table) -> str:
    """The key that a title stands for, in whatever unit; "" for none."""
    if field := table.by_name.get(name):
        return field.key
    parts = split_name(name)
    field = table.by_stem.get((parts[0], parts[1])) if parts else None
    return field.key if field else ""


def _known(cells: list[str], table: Table) -> int:
    return sum(_is_column(_title(cell, table), table) for cell in cells)


def _skipped(line: str) -> bool:
    return line.lstrip().startswith("#") or line.lower().startswith("sep=")


def _other_mark(cell: str, delimiter: str) -> tuple[str, str, str] | None:
    """What stands before and after a single mark that parts cells in other lists, and the mark; None: there is none."""
    for mark in {",", ";", "\t"} - {delimiter}:
        before, found, after = cell.partition(mark)
        decimal = mark == "," and before[-1:].isdigit() and after[:1].isdigit()
        if (
            found
            and mark not in after
            and before.strip()
            and after
            and not after[0].isspace()
            and not decimal
        ):
            return before.strip(), after.strip(), mark
    return None


def _slip(cells: list[str], header: list[str], delimiter: str, table: Table) -> tuple[str, str, str] | None:
    """The cell of a row that is one too short which is two, parted by another mark than the rest; None: no such."""
    if len(cells) != len(header) - 1:
        return None
    for name, cell in zip(header, cells, strict=False):
        field = table.by_name.get(name)
        if field is not None and field.kind in SINGLE and (two := _other_mark(cell, delimiter)) is not None:
            return two
    return None


def _row(
    file: str, line: int, header: list[str], cells: list[str], delimiter: str, table: Table, notes: Notes
) -> Found:
    if (two := _slip(cells, header, delimiter, table)) is not None:
        _tell(file, line, two, delimiter, notes.fault)
        notes.lost.update(cell.strip() for cell in (*cells, *two[:2]))
        return {}
    if len(cells) > len(header) and any(c.strip() for c in cells[len(header) :]):
        hint = " (a decimal comma needs quotation marks here, or semicolons between cells)" * (
            delimiter == ","
        )
        notes.fault(
            file, line, "", f"{len(cells)} cells under {len(header)} columns", f"give each column one{hint}"
        )
        notes.lost.update(cell.strip() for cell in cells)
        return {}
    pairs = zip(header, cells, strict=False)
    return {name: Entry(cell.strip(), line) for name, cell in pairs if cell.strip() and name}
