"""A room on paper: the plan true to scale, what stands where, machines to cut out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.prints.drawing.floor.cutouts import cutout_svgs
from flatstock.prints.drawing.floor.sheet import describe_room, room_svg
from flatstock.prints.drawing.floor.supply_sheet import describe_supply, phase_words, room_supply_svg
from flatstock.prints.drawing.floor.view import length_words, scale_for, view_of
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, made_at
from flatstock.prints.room_lengths import in_units
from flatstock.prints.room_words import air_lines, beside, fire_lines, walking_order
from flatstock.prints.words import clock, day

__all__ = ["room_pdf"]

Document = Mapping[str, Any]
#: width and height of the papers across [mm]
SHEETS = {"a3": (420.0, 297.0), "a4": (297.0, 210.0), "letter": (279.4, 215.9), "tabloid": (431.8, 279.4)}
CUT_OUT = "Put a machine on the plan, read off its lower left corner and its turn, and try it with the words beside it"
READ_OFF = ", in millimetres."
READ_OFF_US = ": millimetres, or feet and inches as in --fix SAW=6ft6in,5ft,90."
MARGIN, HEAD = 8.0, 16.0  # [mm] round the page, and for its head


def room_pdf(document: Document, path: Path, paper: str = "a4", system: str = "metric") -> list[str]:
    """Print a `flatstock.room/1` at the largest round scale that fits; returns warnings about the print.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    if paper not in SHEETS:
        raise ValueError(f"paper {paper!r} is none of {', '.join(SHEETS)}")
    wide, tall = SHEETS[paper]
    scale = scale_for(document, wide - 2 * MARGIN, tall - 2 * MARGIN - HEAD)
    return typeset_to(path, "room", _content(document, scale, system), paper=paper, made_at=made_at(document))


def _content(room: Document, scale: int, system: str) -> dict[str, Any]:
    made = made_at(room)
    shop = str(room.get("shop") or "")
    walk = room["walk_m_per_day"]
    where = [f"true to scale 1:{scale}: hold a ruler against the bar"]
    where += [in_units(f"{walk:.1f} m walked a day", system)] if walk is not None else []
    where += [day(made)] if made else []
    standing = walking_order(room)
    return {
        "title": f"Room {shop}",
        "shop": shop,
        "name": f"Room {shop}, 1:{scale}",
        "where": " · ".join(where),
        "margin_mm": MARGIN,
        "plan": {
            "svg": room_svg(room, scale=scale, system=system),
            "alt": describe_room(room, system),
            "wide_mm": view_of(room, scale).paper_mm[0],
        },
        "supply": _supply(room, scale, system),
        "items": [
            {
                "name": str(item["id"]),
                "at": f"{length_words(item['x_mm'], system)}, {length_words(item['y_mm'], system)}",
                "takes": f"{length_words(item['length_mm'], system)} x {length_words(item['width_mm'], system)}",
                "turned": f"{item.get('turned_deg') or 0}°",
                "beside": beside(item, standing, lambda length: length_words(length, system)),
            }
            for item in standing
        ],
        "flows": [
            [
                str(f["from"]),
                str(f["to"]),
                f"{f['trips_per_day']:g} {f['by']}",
                _long(f.get("walk_mm"), system),
            ]
            for f in room["flows"]
        ],
        "ways_out": [
            [str(way["zone"]), str(way["exit"] or "none"), _long(way["walk_mm"], system)]
            for way in room["ways_out"]
        ],
        "parts": [
            {"name": name, "lines": lines}
            for name, lines in (("Air", air_lines(room, system)), ("Fire load", fire_lines(room, system)))
            if lines
        ],
        "warnings": [in_units(str(one["text"]), system) for one in room["warnings"]],
        "cautions": cautions(room),
        "foot": f"Made {day(made)}, {clock(made)}." if made else "",
        "cut_out": CUT_OUT + (READ_OFF_US if system == "us" else READ_OFF),
        "cutouts": [
            {**one, "alt": f"To cut out: {one['fix'].removeprefix('--fix ')}"}
            for one in cutout_svgs(room, scale=scale, system=system)
        ],
    }


def _supply(room: Document, scale: int, system: str) -> dict[str, Any] | None:
    """The second sheet; None where no supply is on file."""
    part = room.get("supply")
    if part is None:
        return None
    return {
        "svg": room_supply_svg(room, scale=scale, system=system),
        "alt": describe_supply(room, system),
        "wide_mm": view_of(room, scale).paper_mm[0],
        "where": f"true to scale 1:{scale} · cables from {part['from'] or 'no supply point'}",
        "rows": [
            [
                str(one["load"]), str(one["at"] or "not on the plan"), phase_words(one), f"{one['kW']:.2f}",
                f"{one['current_A']:.1f}", _long(one["run_mm"], system),
            ]
            for one in part["loads"]
        ],
        "text": str(part["text"]),
    }  # fmt: skip


def _long(length_mm: float | None, system: str) -> str:
    return "—" if length_mm is None else length_words(length_mm, system)
