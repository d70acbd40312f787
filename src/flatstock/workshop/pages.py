"""The page on each file of a workshop, made from its layout; a test compares them with docs/files/*.md."""

from __future__ import annotations

from flatstock.units import si_unit
from flatstock.workshop import defaults
from flatstock.workshop.fields import Field, Table
from flatstock.workshop.layouts import layout

__all__ = ["page"]

_NUMBERS = """
A measured number may be written `12`, in the unit of its name; as text with another unit, `"1/2 in"`,
`"383F"`, `"40 lb"`, `"0,5 in"`; or under the same name with another unit, `thickness_in = 0.5`. What nobody has
measured yet is written `{ value = 12, kind = "assumed" }`: every answer that rests on it says so. A field that
is a *value* may also be `[low, typical, high]` or `{ value = 25, low = 15, high = 30, kind = "assumed",
source = "where it comes from" }`; the kinds are `measured` (what a bare number counts as), `fitted`,
`handbook`, `from_memory`, `assumed`, `computed`.
""".strip()
_LIST = """
A spreadsheet may keep it as CSV: comma, semicolon or tab between cells, a header line with these names in
any order, an empty cell for what is not known, lines that start with `#` left out. A *value* with a band is
`1.4 | 2.1 | 3.2`, its kind after it: `1.4 | 2.1 | 3.2 assumed`. A text editor may keep it as `{toml}`
instead, one `[[{rows}]]` a row, with `format = "flatstock.{rows}/1"` above them or not; both at once is a
fault.
""".strip()
_KINDS = {
    "count": "whole number", "id": "ID: letters, digits, `- _ .`", "flag": "`true` or `false`",
    "moment": "date and time", "clock": "time of day", "days": "weekdays", "texts": "words", "counts": "whole numbers",
    "shares": "names with shares", "table": "table", "tables": "tables", "named": "tables by ID",
    "any": "handed on as it is", "amount": "number", "amounts": "numbers", "amounts_by_name": "names with numbers",
}  # fmt: skip


def page(name: str) -> str:
    """The page on the file `name` ("shop") in Markdown."""
    of = layout(name)
    parts = [f"# {of.file}", of.about]
    if of.rows:
        parts.append(_LIST.format(toml=of.file.replace(".csv", ".toml"), rows=of.rows))
    parts.append(_NUMBERS)
    if of.example:
        fence = "csv" if of.rows else "toml"
        parts.append(f"```{fence}\n{of.example.strip()}\n```")
    shown: list[Table] = []
    _add(of.table, "", parts, shown)
    return "\n\n".join(parts) + "\n"


def _add(table: Table, heading: str, parts: list[str], shown: list[Table]) -> None:
    if any(t is table for t in shown):
        return
    shown.append(table)
    if heading:
        parts.append(f"## {heading}: {table.name}")
    for group in table.one_of:
        parts.append(f"One of {' and '.join(f'`{name}`' for name in group)} is needed.")
    if table.open:
        parts.append("Other fields may stand here and are left alone.")
    head = "| field | what | unit | if left out | can be | example |\n|---|---|---|---|---|---|"
    parts.append("\n".join([head, *(_line(f) for f in table.fields)]))
    for field in table.fields:
        if field.table is not None:
            _add(field.table, _heading(heading, field), parts, shown)


def _line(field: Field) -> str:
    cells = (
        f"`{field.name}`",
        field.meaning,
        _unit(field),
        "**needed**" if field.required else _default(field),
        _range(field),
        f"`{field.example}`" if field.example else "",
    )
    return "| " + " | ".join(c.replace("|", "\\|") for c in cells) + " |"


def _unit(field: Field) -> str:
    if field.unit is None:
        return {"value": "number, value"}.get(field.kind) or _KINDS.get(field.kind, field.kind)
    unit = si_unit("temperature") if field.unit == "C" else field.unit
    if field.kind == "points":
        return f"points, {unit}"
    return f"{unit}, value" if field.kind == "value" else unit


def _default(field: Field) -> str:
    if field.library:
        return defaults.written(field.library)
    if field.preset is not None:
        preset = field.preset
        if isinstance(preset, bool):
            return f"`{str(preset).lower()}`"
        return f"`{preset}`" if isinstance(preset, str) else "none" if preset == [] else f"{preset:g}"
    return field.default


def _range(field: Field) -> str:
    if field.choices:
        return ", ".join(f"`{c}`" for c in field.choices)
    if field.low is None or field.high is None:
        return ""
    return f"{field.low:g} to {field.high:g}"


def _heading(above: str, field: Field) -> str:
    """How the table is started in the file."""
    name = field.name
    if field.kind == "tables":
        return f"`[[{name}]]`" if not above else f"`{name}`"
    return {"named": f"`[{name}.ID]`" if name != "plastics" else "`[ID]`"}.get(field.kind, f"`{name}`")
