"""A stack on one page."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.pressing.pictures import StackPicture
from flatstock.prints.drawing.stack import describe_stack, stack_svg
from flatstock.prints.numbers import number, plain, with_band
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, instant, made_at, short
from flatstock.prints.words import clock, day, instant_ends, plastic_name

__all__ = ["stack_pdf"]

Document = Mapping[str, Any]


def stack_pdf(document: Document, picture: StackPicture | None, path: Path, paper: str = "a4") -> list[str]:
    """Print a `flatstock.stack/1` on one page of A4 or Letter; returns warnings about the print itself.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    return typeset_to(path, "stack", _content(document, picture), paper=paper, made_at=made_at(document))


def _content(stack: Document, picture: StackPicture | None) -> dict[str, Any]:
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
                ", ".join(filter(None, (day(at), f"room {plain(stack['room_C'])} °C", fans))),
            )
            if line
        ],
        "big": _big(stack, at),
        "at_head": f"hottest at {clock(at)}",
        "moulds": [_mould(mould, at) for mould in reversed(stack["moulds"])],
        "instead": [_alternative(one, at) for one in stack["instead"]],
        "picture": None
        if picture is None
        else {
            "title": "Side view, and each mould against the clock",
            "svgs": [stack_svg(picture, height=h) for h in (400, 340, 290, 250)],
            "alt": describe_stack(picture),
        },
        "warnings": [str(words) for words in stack["warnings"]],
        "cautions": cautions(stack),
        "foot": foot(stack),
    }


def _big(stack: Document, at: datetime) -> list[dict[str, str]]:
    hottest = number(stack["hottest_C"])
    band = f"{plain(hottest.low, 0)} to {plain(hottest.high, 0)} °C" if hottest.has_band else ""
    ready, middle = _not_before(stack["ready_at"], at)
    return [
        {
            "name": f"HOTTEST POINT at {clock(at)}",
            "digits": plain(hottest.value, 0, "—"),
            "unit": "°C",
            "below": band,
        },
        {"name": "ALL READY, not before", "digits": ready, "unit": "", "below": middle},
    ]


def _not_before(field: object, beside: datetime) -> tuple[str, str]:
    """The late end of an instant, and its middle and band in words."""
    early, middle, late = instant_ends(field)
    if middle is None or late is None or early is None:
        return "—", "not within the time looked at"
    if early == late:
        return clock(late, beside=beside), ""
    first, expected, last = (clock(one, beside=beside) for one in (early, middle, late))
    return last, f" expected {expected} ({first} to {last})"


def _mould(mould: Document, at: datetime) -> dict[str, Any]:
    open_after, band = _not_before(mould["open_after"], at)
    return {
        "mould": short(str(mould["mould"]), 16),
        "sheet": f"{plastic_name(mould['plastic'])} {mould['thickness_mm']:g} mm",
        "arrives": clock(instant(mould["arrives"]), beside=at),
        "core": with_band(mould["core_at_C"], "°C", 0),
        "peak": with_band(mould["peak_C"], "°C", 0),
        "melts": bool(mould["remelts"]),
        "remelts": "■ yes" if mould["remelts"] else "no",
        "open": open_after,
        "open_band": band,
    }


def _alternative(one: Document, at: datetime) -> dict[str, str]:
    ready, band = _not_before(one["ready_at"], at)
    return {
        "what": str(one["what"]),
        "hottest": with_band(one["hottest_C"], "°C", 0),
        "ready": ready if ready != "—" else band,
        "remelts": "■ yes" if one["remelts"] else "no",
    }
