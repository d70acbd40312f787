"""Frames and skins: one sheet at a time, and the right thickness."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.spans import overfull

__all__ = ["fits", "shared"]

THINNEST = 0.75  # mm that a frame may be under the sheet: following pressure needs some
_SAME = 1e-9


def shared(plan: Plan) -> Iterator[Finding]:
    """Frames and pairs of skins in two moulds at once."""
    for rule, words in (("frame_shared", "frame"), ("skins_shared", "skins")):
        held: dict[str, list[tuple[datetime, datetime, str]]] = {}
        for sheet in plan.sheets.values():
            prepare, demould = plan.step(sheet.id, "prepare"), plan.step(sheet.id, "demould")
            if prepare is not None:
                end = plan.end if demould is None else demould.end
                name = sheet.frame if words == "frame" else sheet.skins
                held.setdefault(name, []).append((prepare.start, end, sheet.id))
        for name, stays in sorted(held.items()):
            for start, end, sheets in overfull(stays, 1):
                what = f"the {words} of {' and '.join(sheets)} until {end.isoformat()}"
                instead = "free again only when the one before is demoulded"
                yield Finding(f"{name} at {start.isoformat()}", what, instead, rule, start)


def fits(plan: Plan) -> Iterator[Finding]:
    """Frames that are thicker than the sheet, or too thin for it."""
    for sheet in plan.sheets.values():
        frame = plan.resources.get(sheet.frame)
        if frame is None or frame.thickness is None:
            continue
        under = sheet.thickness - frame.thickness
        if not -_SAME <= under <= THINNEST + _SAME:
            what = f"frame {frame.id} of {frame.thickness:g} mm for a sheet of {sheet.thickness:g} mm"
            instead = f"a frame of {sheet.thickness - THINNEST:g} to {sheet.thickness:g} mm"
            yield Finding(sheet.id, what, instead, "frame_fit")
