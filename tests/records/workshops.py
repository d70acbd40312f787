"""Workshops of nobody in particular: files of every kind, written in the many ways in which people write them."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import strategies as st

from flatstock.workshop.layouts import layout
from flatstock.workshop.start import StartAnswers, write_new

__all__ = ["answers", "written"]

STATUSES = ("received", "quarantine", "released", "blocked", "empty")
ORIGINS = ("packaging", "crates", "household", "industry", "own_regrind", "virgin", "unknown")
PLASTICS = ("hdpe", "pp", "hips", "abs")
#: of what people write into a cell: letters of many alphabets, quotes, delimiters, signs that end lines elsewhere
words = st.text(st.sampled_from("abcXYZ äöüßéñ漢字Ωй,;'\"|\t-–()%&#/0123456789"), max_size=12).map(str.strip)
mass = st.one_of(st.integers(0, 2000), st.floats(0, 2000).map(lambda x: round(x, 3)))
comments = st.text(st.sampled_from("ab cé漢,;\"'="), max_size=20).map(lambda text: f"# {text}".rstrip())


def answers() -> st.SearchStrategy[StartAnswers]:
    """What somebody may answer who starts a workshop."""
    return st.builds(
        StartAnswers,
        name=words.map(lambda text: f"Shop {text}".strip().replace('"', "'")),
        units=st.sampled_from(["metric", "us"]),
        cooling_press=st.booleans(),
        moulds=st.integers(1, 3),
        people=st.integers(1, 4),
        phases=st.sampled_from(["1", "3"]),
        platen_metal=st.sampled_from(["aluminium", "mild_steel", "stainless_steel"]),
        frame_thicknesses=st.sampled_from([(0.006,), (0.006, 0.012), (0.018,)]),
    )


@st.composite
def written(draw: st.DrawFn) -> dict[str, bytes]:
    """The files of one workshop by name, without a fault in them."""
    with TemporaryDirectory() as folder:
        where = Path(folder) / "shop"
        write_new(where, draw(answers()))
        texts = {path.name: path.read_text("utf-8") for path in where.iterdir() if path.is_file()}
    lots = draw(st.lists(st.integers(1, 99), min_size=1, max_size=5, unique=True))
    names = [f"L-{n}é" if n % 7 == 0 else f"L-{n}" for n in lots]
    rows = [_lot(draw, name, names[:k]) for k, name in enumerate(names)]
    texts.pop("lots.csv", None)
    texts.pop("orders.csv", None)
    texts |= draw(_listed("lots", rows))
    orders = [
        {"id": f"O-{n}", "plastic": draw(st.sampled_from(PLASTICS)), "thickness_mm": draw(st.integers(3, 20)),
         "sheets": draw(st.integers(1, 9)), "what": draw(words), "note": draw(words)}
        for n in draw(st.lists(st.integers(1, 50), max_size=3, unique=True))
    ]  # fmt: skip
    texts |= draw(_listed("orders", orders)) if orders else {}
    offcuts = [
        {"id": f"OC-{n}", "plastic": "hdpe", "thickness_mm": 12, "length_mm": draw(st.integers(10, 900)),
         "width_mm": draw(st.integers(10, 500)), "note": draw(words)}
        for n in draw(st.lists(st.integers(1, 50), max_size=3, unique=True))
    ]  # fmt: skip
    texts |= draw(_listed("offcuts", offcuts)) if offcuts else {}
    if draw(st.booleans()):
        texts["changes.toml"] = 'format = "flatstock.changes/1"\n\n[[held]]\nlot = "L-1"\nwhy = "sour"\n'
    if draw(st.booleans()):
        texts["outlay.toml"] = layout("outlay").example.lstrip()
    if draw(st.booleans()):
        texts["done.csv"] = "sheet,step,start\nO-1-01,weigh,2026-03-02T08:00\n"
    if draw(st.booleans()):
        texts["plastics.toml"] = texts.get("plastics.toml", "") or "[hdpe]\nmelting_C = 131\n"
    return {name: draw(_as_people_save(name, text)) for name, text in sorted(texts.items())}


def _lot(draw: st.DrawFn, name: str, before: list[str]) -> dict[str, Any]:
    status = draw(st.sampled_from(STATUSES))
    row: dict[str, Any] = {
        "id": name,
        "plastic": draw(st.sampled_from(PLASTICS)),
        "mass_kg": draw(mass),
        "status": status,
        "origin": draw(st.sampled_from(ORIGINS)),
        "colour": draw(words),
        "note": draw(words),
    }
    if before and draw(st.booleans()):
        row["parents"] = draw(st.sampled_from(before))
    return row


@st.composite
def _listed(draw: st.DrawFn, name: str, rows: list[dict[str, Any]]) -> dict[str, str]:
    """A list as a table of one of the usual kinds, or in TOML."""
    if draw(st.booleans()):
        return {f"{name}.toml": _toml(name, rows, draw(comments))}
    columns = draw(st.permutations(sorted({key for row in rows for key in row})))
    ways = [csv.QUOTE_MINIMAL, csv.QUOTE_ALL]
    if any(str(row.get(columns[0], "")).startswith("#") for row in rows):
        ways = [csv.QUOTE_ALL]  # a line that starts with # is a comment
    out = io.StringIO()
    out.write(f"{draw(comments)}\n" if draw(st.booleans()) else "")
    table = csv.DictWriter(
        out, columns, delimiter=draw(st.sampled_from([",", ";", "\t"])), lineterminator="\n",
        quoting=draw(st.sampled_from(ways)),
    )  # fmt: skip
    table.writeheader()
    table.writerows(rows)
    return {f"{name}.csv": out.getvalue()}


def _toml(name: str, rows: list[dict[str, Any]], comment: str) -> str:
    lines = [f'format = "flatstock.{name}/1"', comment]
    for row in rows:
        lines += ["", f"[[{name}]]  {comment}"]
        for key, value in row.items():
            if value == "":
                continue
            if key in ("parents",):
                value = [value]
            said = str(value) if isinstance(value, int | float) else _text(value)
            lines.append(f"{key} = {said}  {comment}")
    return "\n".join(lines) + "\n"


def _text(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_text, value))}]"
    return '"' + str(value).replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t") + '"'


@st.composite
def _as_people_save(draw: st.DrawFn, name: str, text: str) -> bytes:
    """With the ends of lines, the mark in front and the remarks that editors and people leave."""
    if name.endswith(".toml") and draw(st.booleans()):
        text = f"{draw(comments)}\n{text}" + draw(st.sampled_from(["", "\n\n", "# end"]))
    ends = draw(st.sampled_from(["\n", "\n", "\r\n"]))
    data = text.replace("\n", ends).encode()
    return b"\xef\xbb\xbf" + data if draw(st.integers(0, 4)) == 0 else data
