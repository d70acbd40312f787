"""What a planned week keeps busiest, in the words of the outlay where its purchases give them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.shop_with import kind_of
from flatstock.workshop.shop import Workshop

__all__ = ["busiest"]

Document = Mapping[str, Any]
Stretch = tuple[datetime, datetime]
_LIMITS = ("hot_press", "cooling_press", "frame", "skins", "saw", "bench", "person")
_WORDS = {"person": "people", "frame": "frames", "hot_press": "hot press", "cooling_press": "cooling press"}
_NEAR = 0.02  # of the hours: as busy as the busiest


def busiest(document: Document, question: Question, shop: Workshop) -> tuple[str, ...]:
    """Kinds of place (and people who may carry hot moulds) that are taken for the largest share of the hours in
    which somebody is there; `document` is a `flatstock.plan/1`. It says where to look, not what would help.
    """
    present = _joined(
        _stretch(one)
        for person in document["resources"]
        if person["kind"] == "person"
        for one in person["present"]
    )
    hours = sum((b - a).total_seconds() for a, b in present)
    shares: dict[str, float] = {}
    for kind in _LIMITS:
        ids = {one["id"] for one in document["resources"] if one["kind"] == kind}
        if kind == "person":
            hot = [
                p for p in document["resources"] if p["kind"] == "person" and "hot_transfer" in p["skills"]
            ]
            ids = {one["id"] for one in hot}
            all_hours = sum((b - a).total_seconds() for one in hot for a, b in map(_stretch, one["present"]))
        else:
            all_hours = hours * len(ids)
        if ids and all_hours > 0:
            shares[kind] = sum(_taken(document, name, present) for name in ids) / all_hours
    most = max(shares.values(), default=0.0)
    words = _own_words(question, shop)
    found = [
        words.get(kind, _WORDS.get(kind, kind)) for kind, share in shares.items() if share >= most - _NEAR
    ]
    return tuple(dict.fromkeys(found))


def _taken(document: Document, name: str, present: list[Stretch]) -> float:
    """Seconds of the hours in which a place, a mould part or a person is taken."""
    whole: dict[str, list[datetime]] = {}
    tasks = []
    by_sheet = {sheet["id"]: (sheet["frame"], sheet["skins"]) for sheet in document["sheets"]}
    for task in document["tasks"]:
        a, b = _stretch(task)
        if name in (*task["places"], *task["people"]):
            tasks.append((a, b))
        elif name in by_sheet[task["sheet"]] and task["step"] in ("prepare", "demould"):
            whole.setdefault(task["sheet"], []).extend(
                (a, b)
            )  # a mould belongs to one sheet from prepare to demould
    tasks += [(min(ends), max(ends)) for ends in whole.values()]
    return sum(
        max(0.0, (min(b, end) - max(a, start)).total_seconds())
        for a, b in _joined(tasks)
        for start, end in present
    )


def _own_words(question: Question, shop: Workshop) -> dict[str, str]:
    """Kind of thing to the resource that purchases which add such things give."""
    found: dict[str, str] = {}
    for one in question.purchases:
        for name in (*one.adds, *one.adds_like):
            if len(one.gives) == 1:
                found.setdefault(kind_of(shop, name), next(iter(one.gives)))
    return found


def _stretch(one: Document) -> Stretch:
    return datetime.fromisoformat(one["start"]), datetime.fromisoformat(one["end"])


def _joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    found: list[Stretch] = []
    for a, b in sorted(stretches):
        if found and a <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], b))
        else:
            found.append((a, b))
    return found
