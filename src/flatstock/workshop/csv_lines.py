"""A list of a workshop as its lines: one row is changed, the others and every comment stay as they are."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

__all__ = ["rows_in", "with_row", "without_row"]


def rows_in(text: str) -> tuple[list[str], list[tuple[int, dict[str, str]]]]:
    """The columns, and each row with the index of its line."""
    lines = text.splitlines()
    header: list[str] = []
    found = []
    mark = _mark(text)
    for at, line in enumerate(lines):
        if not line.strip() or line.lstrip("\ufeff").startswith("#"):
            continue
        cells = next(csv.reader([line.lstrip("\ufeff")], delimiter=mark), [])
        if not header:
            header = [cell.strip() for cell in cells]
        else:
            found.append((at, {name: cell.strip() for name, cell in zip(header, cells, strict=False)}))
    return header, found


def with_row(text: str, at: int | None, values: Mapping[str, str], columns: Sequence[str]) -> str:
    """The list with a row changed, or with one more at its end (`at` None); a column that is new is added."""
    header, found = rows_in(text)
    before = dict(found).get(at, {}) if at is not None else {}
    row = before | dict(values)
    lines = text.splitlines()
    mark = _mark(text)
    fresh = [name for name in columns if row.get(name) and name not in header]
    if fresh or not header:
        header = [*header, *fresh] if header else [name for name in columns if row.get(name)]
        where = next(
            (n for n, one in enumerate(lines) if one.strip() and not one.lstrip("\ufeff").startswith("#")),
            None,
        )
        if where is None:
            lines.append(_line(header, mark))
        else:
            lines[where] = _line(header, mark)
    line = _line([row.get(name, "") for name in header], mark)
    if at is None:
        lines.append(line)
    else:
        lines[at] = line
    return "\n".join(lines) + "\n"


def without_row(text: str, at: int) -> str:
    """The list without a row."""
    lines = text.splitlines()
    return "\n".join([*lines[:at], *lines[at + 1 :]]) + "\n"


def _mark(text: str) -> str:
    """What stands between the cells: the mark that the header has most of."""
    head = next(
        (one for one in text.splitlines() if one.strip() and not one.lstrip("\ufeff").startswith("#")), ","
    )
    return max(",;\t", key=head.count)


def _line(cells: Sequence[str], mark: str) -> str:
    """A row; its first cell is quoted where the line would be taken for a comment otherwise."""
    out = io.StringIO()
    if cells and cells[0].lstrip().startswith("#"):
        csv.writer(out, delimiter=mark, lineterminator="", quoting=csv.QUOTE_ALL).writerow(cells)
    else:
        csv.writer(out, delimiter=mark, lineterminator="").writerow(cells)
    return out.getvalue()
