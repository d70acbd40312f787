"""A stack on one page."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.pressing.pictures import StackPicture
from flatstock.prints.drawing.stack import describe_stack, stack_svg
from flatstock.prints.numbers import plain
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, instant, made_at, short
from flatstock.prints.shown import Shown
from flatstock.prints.words import clock, day, instant_ends, plastic_name
from flatstock.units import System

__all__ = ["stack_pdf"]

Document = Mapping[str, Any]


def stack_pdf(
    document: Document,
    picture: StackPicture | None,
    path: Path,
    paper: str = "a4",
    system: System = "metric",
) -> list[str]:
    """Print a `flatstock.stack/1` on one page of A4 or Letter; returns warnings about the print itself.

    `system`: the units that the shop reads.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    content = _content(document, picture, Shown(system))
    return typeset_to(path, "stack", content, paper=paper, made_at=made_at(document))


def _content(stack: Document, picture: StackPicture | None, shown: Shown) -> dict[str, Any]:
    at = instant(stack["at"])
    count = len(stack["moulds"])
    place = f" in {stack['place']}" if stack.get("place") else ""
    shop = str(stack.get("shop") or "")
    fans = {True: "fans on", False: "still air", None: ""}[stack.get("fans_on")]
    return {
        "title": f"Stack of {count} moulds{place}, {day(at)}",
        "shop": shop,
        "name": f"Stack{place}: {count} mould{'' if count == 1 else 's'}",
        "where": [
            line
            for line in (
                short(shop, 48),
                ", ".join(filter(None, (day(at), f"room {shown.one(stack['room_C'], 'C')}", fans))),
            )
            if line
        ],
        "big": _big(stack, at, shown),
        "at_head": f"hottest at {clock(at)}",
        "moulds": [_mould(mould, at, shown) for mould in reversed(stack["moulds"])],
        "instead": [_alternative(one, at, shown) for one in stack["instead"]],
        "picture": None
        if picture is None
        else {
            "title": "Side view, and each mould against the clock",
            "svgs": [stack_svg(picture, height=h, shown=shown) for h in (400, 340, 290, 250)],
            "alt": describe_stack(picture, shown),
        },
        "warnings": [shown.prose(str(words)) for words in stack["warnings"]],
        "cautions": cautions(stack, shown),
        "foot": foot(stack),
    }


def _big(stack: Document, at: datetime, shown: Shown) -> list[dict[str, str]]:
    hottest, unit = shown.number(stack["hottest_C"], "C"), shown.unit("C")
    band = f"{plain(hottest.low, 0)} to {plain(hottest.high, 0)} {unit}" if hottest.has_band else ""
    _, middle = _not_before(stack["ready_at"], at)
    late = instant_ends(stack["ready_at"])[2]
    return [
        {
            "name": f"HOTTEST POINT at {clock(at)}",
            "digits": plain(hottest.value, 0, "—"),
            "unit": unit,
            "below": band,
        },
        {
            "name": "ALL READY, not before",
            "digits": "—" if late is None else clock(late),
            "unit": _day_of(stack["ready_at"]),
            "below": middle,
        },
    ]


def _day_of(field: object) -> str:
    """The day on which all are ready, written out: a clock time alone may be read as today's."""
    late = instant_ends(field)[2]
    return "" if late is None else day(late).rsplit(" ", 1)[0]


def _not_before(field: object, beside: datetime) -> tuple[str, str]:
    """The late end of an instant, and its middle and band in words."""
    early, middle, late = instant_ends(field)
    if middle is None or late is None or early is None:
        return "—", "not within the time looked at"
    if early == late:
        return clock(late, beside=beside), ""
    first, expected, last = (clock(one, beside=beside) for one in (early, middle, late))
    return last, f" expected {expected} ({first} to {last})"


def _mould(mould: Document, at: datetime, shown: Shown) -> dict[str, Any]:
    open_after, band = _not_before(mould["open_after"], at)
    return {
        "mould": short(str(mould["mould"]), 16),
        "sheet": f"{plastic_name(mould['plastic'])} {shown.size(mould['thickness_mm'])}",
        "arrives": clock(instant(mould["arrives"]), beside=at),
        "core": shown.band(mould["core_at_C"], "C", 0),
        "peak": shown.band(mould["peak_C"], "C", 0),
        "melts": bool(mould["remelts"]),
        "remelts": "■ yes" if mould["remelts"] else "no",
        "open": open_after,
        "open_band": band,
    }


def _alternative(one: Document, at: datetime, shown: Shown) -> dict[str, str]:
    ready, band = _not_before(one["ready_at"], at)
    return {
        "what": shown.prose(str(one["what"])),
        "hottest": shown.band(one["hottest_C"], "C", 0),
        "ready": ready if ready != "—" else band,
        "remelts": "■ yes" if one["remelts"] else "no",
    }
