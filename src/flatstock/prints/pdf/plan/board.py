"""The week on one sheet for the wall: slabs on shelves, what each is, who is late."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from flatstock.prints.drawing.plan.week import describe_week, week_svg
from flatstock.prints.given_up_words import given_up_shortly
from flatstock.prints.pdf.words import cautions, made_at, short
from flatstock.prints.plan_view import View
from flatstock.prints.plan_words import failing, proof_words
from flatstock.prints.words import clock, day
from flatstock.times import lasting

__all__ = ["board"]


def board(view: View) -> dict[str, Any]:
    """The words of pages/board.typ."""
    document = view.document
    made, presses = made_at(document), len(view.places("hot_press"))
    return {
        "title": f"The week at {view.shop}",
        "shop": view.shop,
        "name": "The week",
        "where": [short(view.shop, 60), _span(view), proof_words(view)],
        "picture": {
            "svgs": [
                week_svg(
                    document,
                    shelf=shelf if presses < 3 else shelf * 0.8,
                    system=view.shown.system,
                    clock_face=view.clock_face,
                )
                for shelf in (78, 66, 58)
            ],
            "alt": describe_week(document),
        },
        "days": [_day(view, one) for one in view.dates],
        "orders": [
            _order(view, order)
            for order in sorted({str(one["order"]) for one in (*document["sheets"], *document["left_out"])})
        ],
        "late": [
            view.shown.prose(words)
            for words in (*_failing(document), *given_up_shortly(document), *_late(view))
        ],
        "warnings": [view.shown.prose(str(words)) for words in document["warnings"]],
        "cautions": cautions(document, view.shown),
        "foot": f"Made {day(made)}, {clock(made)}. " if made else "",
    }


def _span(view: View) -> str:
    if not view.dates:
        return "nothing is planned"
    first, last = (day(datetime.combine(one, datetime.min.time())) for one in (view.dates[0], view.dates[-1]))
    return f"{first} to {last}" if first != last else first


def _day(view: View, one: date) -> dict[str, Any]:
    works = view.works_on(one)
    moulds = [
        mould for mould in view.moulds if (load := mould.work("load")) and view.day_of(load.start) == one
    ]
    rows = []
    for mould in moulds:
        load = mould.work("load")
        assert load is not None
        rows.append({
            "number": str(mould.number), "at": clock(load.start), "what": mould.stuff,
            "size": view.shown.size(mould.sheet["thickness_mm"]),
            "under": f"{mould.id} · {mould.sheet['frame']} · {'+'.join(load.people)}",
            "late": mould.sheet["late_min"] > 0,
        })  # fmt: skip
    listed = {
        words: [
            f"{clock(w.start)} {view.by_sheet[w.sheet].number}"
            for w in works
            if w.step == step and w.sheet in view.by_sheet
        ]
        for step, words in (("demould", "Demould"), ("trim", "Saw"))
    }
    name = view.name_of(one).rsplit(" ", 1)[0]
    return {
        "name": name,
        "moulds": rows,
        "lists": [{"name": n, "items": items} for n, items in listed.items() if items],
    }


def _order(view: View, order: str) -> dict[str, str]:
    sheets = [mould for mould in view.moulds if mould.sheet["order"] == order]
    if not sheets:
        return {"order": order, "what": "", "sheets": "0", "due": "", "ready": "", "late": "▲ left out"}
    last = max(datetime.fromisoformat(mould.sheet["ready"]) for mould in sheets)
    due = sheets[0].sheet["due"]
    late = sum(float(mould.sheet["late_min"]) for mould in sheets)
    said = f"▲ {lasting(late)} late" if late else "in time" if due else "no date"
    if any(one["order"] == order for one in view.document["left_out"]):
        said = f"{said}, ▲ not all of it" if late else "▲ not all of it"
    return {
        "order": order,
        "what": ", ".join(dict.fromkeys(mould.name for mould in sheets)),
        "sheets": str(len(sheets)),
        "due": "" if due is None else _moment(datetime.fromisoformat(due)),
        "ready": _moment(last),
        "late": said,
    }


def _moment(moment: datetime) -> str:
    return f"{day(moment).split()[0]} {moment.day} {clock(moment)}"


def _failing(document: Mapping[str, Any]) -> list[str]:
    words = failing(document)
    return [f"{words[0].upper()}{words[1:]}: plan again before it is followed"] if words else []


def _late(view: View) -> list[str]:
    said = []
    for one in view.document["late"]:
        helps = "; ".join(
            f"{help_['what']} saves {lasting(help_['saves_min'])}"
            for help_ in one["would_help"]
            if help_["saves_min"]
        )
        words = (
            f"{one['order']} is {lasting(one['minutes'])} late over its sheets: {'; '.join(one['because'])}"
        )
        said.append(words.rstrip(": ") + "." + (f" {helps}." if helps else ""))
    return said + [f"{one['order']} is left out: {one['because']}" for one in view.document["left_out"]]
