"""Places of a day: what stands in each, from when to when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flatstock.prints.drawing.plan.hours import Hours, fits
from flatstock.prints.drawing.svg import INK, QUIET, THIN
from flatstock.prints.plan_view import STANDS, Setting, Stay, View, Work, hours_of
from flatstock.prints.shown import Shown
from flatstock.prints.words import clock

__all__ = ["Lane", "draw_lane", "lanes_of", "threads"]

PLAIN, LEVEL = 34.0, 15.0
GIVEN_UP = "given up"


@dataclass(frozen=True, slots=True)
class Lane:
    """One place."""

    place: str
    kind: str
    levels: int  #: moulds that stand there at once that day, at most
    height: float


def lanes_of(view: View, day: date) -> list[Lane]:
    """The places in which something is or happens that day, in the order of the work."""
    found = []
    for place in view.places():
        kind = view.kind[place]
        levels = 1
        if kind in STANDS:
            here = [
                s for s in view.stays(place, lost=True) if view.day_of(s.start) <= day <= view.day_of(s.end)
            ]
            levels = max((stay.level + 1 for stay in here), default=0)
        used = any(place in work.places for work in view.works_on(day)) or (kind in STANDS and levels)
        used = used or bool(view.settings_on(day, place))
        if used:
            found.append(
                Lane(place, kind, max(1, levels), max(PLAIN, LEVEL * levels + 8) if kind in STANDS else PLAIN)
            )
    return found


def draw_lane(hours: Hours, view: View, lane: Lane, top: float) -> None:
    """Everything in one place."""
    foot = top + lane.height - 5
    if lane.kind == "hot_press":
        for setting in view.settings_on(hours.day, lane.place):
            _setting(hours, view.shown, setting, foot)
        _hot(hours, view, lane, foot)
    elif lane.kind in STANDS:
        for stay in view.stays(lane.place, lost=True):
            if hours.seen(stay.start, stay.end):
                _standing(hours, stay, foot - LEVEL * stay.level, lane.kind, lost=stay.sheet in view.lost)
    else:
        _used(hours, view, lane, foot)


def _setting(hours: Hours, shown: Shown, one: Setting, foot: float) -> None:
    start, end = hours.x(one.start), hours.x(one.end)
    d = hours.drawing
    if one.kind == "heat_up":
        d.area([(start, foot), (end, foot), (end, foot - 20)], "melting", THIN)
        d.words((start, foot - 22), f"on {clock(one.start)}", size=9)
    elif one.kind == "soak":
        d.box(start, foot - 20, end - start, 20, "melting", THIN)
        if one.to_C is not None:
            d.words((start + 1, foot - 22), shown.one(one.to_C, "C"), size=9)
    elif one.kind in ("raise", "lower"):
        ends = (foot - 3, foot - 17) if one.kind == "raise" else (foot - 17, foot - 3)
        d.curve([(start, ends[0]), (end, ends[1])], INK)
        if one.to_C is not None:
            d.words((start, foot - 22), shown.one(one.to_C, "C"), size=9)
    elif one.kind == "clean":
        d.box(start, foot - 8, max(2.0, end - start), 8, "swing", THIN)
    elif one.kind == "off":
        d.line((start, foot - 22), (start, foot), INK)
        d.words((start + 3, foot - 4), f"off {clock(one.start)}", size=9)


def _hot(hours: Hours, view: View, lane: Lane, foot: float) -> None:
    for mould in view.moulds:
        load, transfer = mould.work("load"), mould.work("transfer")
        if (
            load is None
            or transfer is None
            or lane.place not in load.places
            or view.day_of(load.start) != hours.day
        ):
            continue
        start, end = hours.x(load.start), hours.x(transfer.end)
        hours.drawing.box(start, foot - 17, end - start, 17, "#ffffff", INK)
        for one in (load, transfer):  # hands on it
            wide = max(1.5, hours.x(one.end) - hours.x(one.start))
            hours.drawing.box(hours.x(one.start), foot - 17, wide, 17, "#111111")
        hours.drawing.words(
            ((start + end) / 2, foot - 4.5), f"{mould.number}", size=12, anchor="middle", bold=True
        )


def _standing(hours: Hours, stay: Stay, foot: float, kind: str, *, lost: bool) -> None:
    """`lost`: its charge is given up, its mould lies there like any other."""
    left, right = hours.x(stay.start), hours.x(stay.end)
    number, tall = stay.number, LEVEL - 2
    fill = "work" if kind == "cooling_press" and not lost else "#ffffff"
    edge = THIN.dashed("2 2") if lost else THIN
    hours.drawing.box(left, foot - tall, max(1.5, right - left), tall, fill, edge)
    if hours_of(stay.end, hours.day) > hours.last:  # it stays over night: no end to be seen
        hours.drawing.line((right, foot - tall), (right, foot), QUIET.dashed("2 2"))
    if fits(f"{number}", 11, right - left):
        wide, ground = right - left > 60, kind == "cooling_press"
        at = (left + 10) if wide else (left + right) / 2
        hours.drawing.words((at, foot - 3), f"{number}", size=11, anchor="middle", bold=True, ground=ground)
        if lost and fits(GIVEN_UP, 9, right - left - 24):
            hours.drawing.words((left + 22, foot - 3), GIVEN_UP, size=9)


def _used(hours: Hours, view: View, lane: Lane, foot: float) -> None:
    """Bench, scale, lift, saw, dryer: a short block each, and a thin line where a mould waits on the bench."""
    busy = [
        w
        for w in view.works
        if lane.place in w.places and hours.seen(w.start, w.end) and w.step != "condition"
    ]
    last = -1.0
    for work in busy:
        left, right = hours.x(work.start), hours.x(work.end)
        long = lane.kind == "dryer"
        hours.drawing.box(
            left, foot - 10, max(1.5, right - left), 10, "work" if long else "#111111", THIN if long else None
        )
        if lane.kind == "bench" and work.step == "prepare":
            _wait(hours, view, work, foot)
        number = view.by_sheet[work.sheet].number if work.sheet in view.by_sheet else 0
        middle = (left + right) / 2
        if work.step != "load" and middle - 7 > last:
            hours.drawing.words((middle, foot - 13), f"{number}", size=10, anchor="middle")
            last = middle + 6


def _wait(hours: Hours, view: View, work: Work, foot: float) -> None:
    load = view.by_sheet[work.sheet].work("load") if work.sheet in view.by_sheet else None
    if load is not None and load.start > work.end:
        hours.drawing.line((hours.x(work.end), foot - 4), (hours.x(load.start), foot - 4), INK.dashed("2 2"))


def threads(hours: Hours, view: View, lanes: list[Lane], tops: dict[str, float]) -> None:
    """Upright lines where a mould goes from one place to the next."""
    feet = {lane.place: tops[lane.place] + lane.height - 5 for lane in lanes}
    stands = {
        (place, stay.sheet): stay.level
        for place in feet
        if view.kind[place] in STANDS
        for stay in view.stays(place, lost=True)
    }
    for work in view.works_on(hours.day):
        if work.step not in ("transfer", "move"):
            continue
        ends = [p for p in work.places if p in feet and view.kind[p] in ("hot_press", *STANDS)]
        if len(ends) != 2:
            continue
        x = hours.x(work.end)
        ys = [
            feet[p] - LEVEL * stands.get((p, work.sheet), 0) - (8 if view.kind[p] == "hot_press" else 6)
            for p in ends
        ]
        hours.drawing.line((x, ys[0]), (x, ys[1]), QUIET)
        low = max(ys)
        hours.drawing.area([(x - 2.5, low - 4), (x + 2.5, low - 4), (x, low + 1)], "#6b6b6b")
