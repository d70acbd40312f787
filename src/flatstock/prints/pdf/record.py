"""A sheet's record on paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from flatstock.prints.numbers import plain
from flatstock.prints.pdf.parts import big, figure, lines, rows, sheet
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import made_at, short
from flatstock.prints.shown import Shown
from flatstock.prints.words import clock, day, plastic_name
from flatstock.units import System

__all__ = ["record_pdf"]

Document = Mapping[str, Any]


def record_pdf(document: Document, path: Path, paper: str = "a4", system: System = "metric") -> list[str]:
    """Write a sheet's record; returns what a person should know about the print.

    `document`: what `web.pages.records` says of a sheet.
    """
    shown = Shown(system)
    lots = [(lot, shown.mass(mass), f"{100 * share:.1f} %") for lot, mass, share in document["lots"]]
    way = [
        (
            f"{day(one['at'])}, {clock(one['at'])}",
            one["what"],
            one["where"],
            " + ".join(one["who"]),
            shown.prose(one["facts"]),
        )
        for one in document["way"]
    ]
    measures = [(name, _measure(value, unit, shown)) for name, value, unit in document["measures"]]
    parts = [
        big(
            figure("PLASTIC", f"{document['marking']}", wide=True, below=plastic_name(document["plastic"])),
            figure("THICKNESS", shown.digits(document["thickness_mm"], "mm"), unit=shown.unit("mm")),
            figure("PRESSED", document["pressed"], wide=True),
        ),
        rows("How it was pressed", ("what", "how"), "lw", _made(document, shown)),
        rows("What it was pressed from", ("lot", "mass", "share"), "lrr", lots),
        rows("Its way", ("when", "what", "where", "who", ""), "llllw", way),
    ]
    if document.get("held"):
        words = [f"{one}." for one in document["held"]]
        parts.insert(
            1, lines("Keep it back", [*words, "Neither used nor delivered until a lead has decided."])
        )
    if document.get("recycled"):
        parts.insert(-1, lines("How recycled", _recycled(document["recycled"])))
    if document.get("quality"):
        parts.append(
            rows("Thickness and grade", ("what", "how much"), "lw", _quality(document["quality"], shown))
        )
    if measures:
        parts.append(rows("Measured", ("what", "how much"), "lw", measures))
    if document.get("deviations"):
        parts.append(lines("Off the recipe", [shown.prose(one) for one in document["deviations"]]))
    parts.append(lines("Mark", [f"#{document['mark']}: it changes when a lot or a mass on record does."]))
    page = sheet(
        document["sheet"],
        (short(document["shop"], 48), document["order"] or "", document["state"]),
        parts,
        cautions=[{"text": one["text"], "defer_to": one["defer_to"]} for one in document["cautions"]],
        foot=document["foot"],
    )
    content = {"title": f"Record of {document['sheet']}", "shop": document["shop"], "sheets": [page]}
    return typeset_to(path, "report", content, paper=paper, made_at=made_at(document))


def _made(document: Document, shown: Shown) -> Iterator[tuple[str, str]]:
    """Its size, recipe, press and mould, as far as they are known."""
    if document["length_mm"] and document["width_mm"]:
        yield "as sold", shown.sizes(document["length_mm"], document["width_mm"])
    if document["colour"]:
        yield "colour", document["colour"]
    if document["recipe"]:
        yield "recipe", document["recipe"]
    if document["set_point_C"]:
        yield "set-point", shown.one(document["set_point_C"], "C", 0)
    if document["dwell_min"]:
        planned = document["dwell_planned_min"]
        melted = f", melted through after {planned:.0f} min by the plan" if planned else ""
        yield "dwell", f"{document['dwell_min']:.0f} min{melted}"
    if document["frame"]:
        yield "mould", f"frame {document['frame']}, skins {document['skins']}"
    if document["not_before"]:
        yield "not to be sized before", document["not_before"]


def _measure(value: float, unit: str, shown: Shown) -> str:
    """One reading in the shop's units; what has neither length nor mass as it was told."""
    if unit == "kg":
        return shown.mass(value)
    return shown.one(value, unit, 2) if unit else f"{value:g}"


def _quality(quality: Document, shown: Shown) -> Iterator[tuple[str, str]]:
    """What nine readings say of it."""
    ends = f"{shown.digits(quality['least_mm'], 'mm', 2)} to {shown.one(quality['most_mm'], 'mm', 2)}"
    yield "mean thickness", f"{shown.one(quality['mean_mm'], 'mm', 2)}, {ends}"
    yield "corner to corner", shown.one(quality["corners_mm"], "mm", 2)
    yield "left over beside its plane", shown.one(quality["residual_mm"], "mm", 2)
    missing = f" (not measured: {', '.join(quality['not_measured'])})" if quality["not_measured"] else ""
    yield "grade by its limits", f"{quality['grade'] or 'none'}{missing}"
    for reason in quality["because"]:
        yield "", shown.prose(reason)


def _recycled(content: Document) -> list[str]:
    """The figure, or both, with the rule that makes them."""
    said = f"{plain(content['recycled_percent'], 1)} % by mass, own regrind counted as nothing"
    without = content["without_regrind_percent"]
    if without is not None:
        said += f"; {plain(without, 1)} % with own regrind left out of both sides"
    return [f"{said}.", content["rule"]]
