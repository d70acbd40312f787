"""A stack in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.pressing.pictures import StackPicture
from flatstock.prints.drawing.in_units import stack_in
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import STACKING, closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import clock, day, instant_ends, plastic_name
from flatstock.units import System

__all__ = ["stack_text"]

Document = Mapping[str, Any]
_BAR = 30


def stack_text(
    document: Document,
    picture: StackPicture | None,
    system: System = "metric",
    *,
    every_caution: bool = False,
) -> str:
    """A `flatstock.stack/1` for people: bars, when each may be opened, what else could be done.

    `system`: the units that the shop reads. `every_caution`: all, else those that every stack meets.
    """
    shown = Shown(system)
    picture = None if picture is None else stack_in(picture, shown)
    at = datetime.fromisoformat(document["at"])
    place = f" in {document['place']}" if document.get("place") else ""
    fans = {True: ", fans on", False: ", still air", None: ""}[document.get("fans_on")]
    count = len(document["moulds"])
    lines = [
        *title(f"Stack{place}: {count} mould{'' if count == 1 else 's'}", str(document.get("shop") or "")),
        f"{day(at)}, room {shown.one(document['room_C'], 'C')}{fans}",
        "",
        *wrapped(f"{shown.band(document['hottest_C'], 'C', 0)} at {clock(at)}", first="HOTTEST    "),
        *wrapped(_opening(document["ready_at"], at), first="ALL READY  "),
        *_side(document, picture, at, shown),
        *_openings(document, at, shown),
        *_instead(document, at, shown),
        *closing(document, shown, cautions=None if every_caution else STACKING),
    ]
    return "\n".join(lines) + "\n"


def _opening(field: object, at: datetime) -> str:
    """ "Not before" acts on the late end; the middle and the band stand beside it."""
    late, expected = _not_before(field, at)
    return expected if late == "—" else f"not before {late} (expected {expected})"


def _side(stack: Document, picture: StackPicture | None, at: datetime, shown: Shown) -> list[str]:
    hottest = [shown.number(mould["core_at_C"], "C") for mould in stack["moulds"]]
    most = max([one.value or 0.0 for one in hottest] + ([picture.limit] if picture else []) + [1.0])
    rows = []
    for mould, one in zip(reversed(stack["moulds"]), reversed(hottest), strict=True):
        bar = "█" * round((one.value or 0.0) / most * _BAR)
        heat = shown.band(mould["core_at_C"], "C", 0)
        rows.append((str(mould["mould"]), _sheet(mould, shown), f"{bar} {heat}"))
    limit = [f"  Open below {picture.limit:.0f} {shown.unit('C')}."] if picture else []
    return [*heading(f"From the side, hottest point at {clock(at)}"), *table(rows, "<<<"), *limit]


def _sheet(mould: Document, shown: Shown) -> str:
    return f"{plastic_name(mould['plastic'])} {shown.size(mould['thickness_mm'])}"


def _openings(stack: Document, at: datetime, shown: Shown) -> list[str]:
    rows = [("mould", "laid on", f"hottest, {shown.unit('C')}", "re-melts", "not before", "expected")]
    for mould in stack["moulds"]:
        rows.append((
            str(mould["mould"]), clock(datetime.fromisoformat(mould["arrives"]), beside=at),
            shown.band(mould["peak_C"], "C", 0, bare=True), "YES" if mould["remelts"] else "no",
            *_not_before(mould["open_after"], at),
        ))  # fmt: skip
    return [*heading("When each may be opened, from the bottom up"), *table(rows, "<<><<<", gap=1)]


def _not_before(field: object, at: datetime) -> tuple[str, str]:
    early, middle, late = instant_ends(field)
    if early is None or middle is None or late is None:
        return "—", "not within the time looked at"
    band = f" ({clock(early, beside=at)} to {clock(late, beside=at)})" if early < late else ""
    return clock(late, beside=at), clock(middle, beside=at) + band


def _instead(stack: Document, at: datetime, shown: Shown) -> list[str]:
    if not stack["instead"]:
        return []
    rows = [("", f"{shown.unit('C')} at {clock(at)}", "not before", "expected", "re-melts")]
    for one in stack["instead"]:
        rows.append((
            shown.prose(str(one["what"])), shown.band(one["hottest_C"], "C", 0, bare=True),
            *_not_before(one["ready_at"], at), "YES" if one["remelts"] else "no",
        ))  # fmt: skip
    return [*heading("Instead"), *table(rows, "<><<<", gap=1)]
