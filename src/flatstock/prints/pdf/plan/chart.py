"""The time chart: a page a day, places above people above amperes."""

from __future__ import annotations

from datetime import date
from typing import Any

from flatstock.prints.drawing.plan.day import day_svg, describe_day
from flatstock.prints.pdf.words import cautions, short
from flatstock.prints.plan_view import View

__all__ = ["chart"]

_KEY = (
    "Numbers are moulds in the order of loading. Hot press: black ends are load and transfer, dots are heat-up and"
    " soak. Below it: press-cool hatched, stack and rack white, the lowest line lies at the bottom. People: W weigh,"
    " P prepare, L load, T transfer, M move, D demould, S saw; dotted: not there. A, L1 to L3: magnitudes added, the"
    " rating dashed."
)


def chart(view: View) -> dict[str, Any]:
    """The words of pages/chart.typ."""
    return {
        "title": f"Time chart of {view.shop}",
        "shop": view.shop,
        "sheets": [_page(view, one) for one in view.dates],
        "key": _KEY,
        "cautions": cautions(view.document, view.shown),
    }


def _page(view: View, one: date) -> dict[str, Any]:
    loads = sum(work.step == "load" for work in view.works_on(one))
    return {
        "name": view.name_of(one),
        "where": [short(view.shop, 60), f"{loads} moulds loaded"],
        "picture": {
            "svg": day_svg(view.document, one, system=view.shown.system, clock_face=view.clock_face),
            "alt": describe_day(view.document, one, view.shown.system),
        },
        "moulds": _moulds(view, one),
    }


def _moulds(view: View, one: date) -> list[str]:
    """The moulds that the page shows, by number."""
    seen = {
        w.sheet
        for w in view.works
        if view.day_of(w.start) <= one <= view.day_of(w.end) and w.step != "condition"
    }
    return [f"{m.number} {m.id}, {m.name}" for m in view.moulds if m.id in seen]
