"""Does a plan answer the question: no machine made smaller, no zone dropped, no width lowered.

What a drawn document leaves unsaid is taken from the question; what it says must be the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from flatstock.starting.room.outline import clean_outline
from flatstock.starting.room.plan import Broken
from flatstock.starting.room.words import metres

__all__ = ["sameness"]

Document = Mapping[str, Any]
_LISTS = ("near", "apart", "in_line", "flows")
_NOT_COMPARED = ("assumed", "comes_in", "x_mm", "y_mm", "turned_deg", "zones", "optional")
_PLACED = ("x_mm", "y_mm", "length_mm", "width_mm")


def sameness(asked: Document, drawn: Document) -> Iterator[Broken]:
    """Every difference between the question (`question_document`) and what a drawn document says was asked.

    Items are compared in their own frame: turned by 90 or 270 degrees their sides have changed places.
    """
    room = drawn.get("room")
    if isinstance(room, Mapping):
        yield from _outline(asked["room"], room)
        yield from _table("room", asked["room"], room, skip=("outline_mm",))
    rules = drawn.get("rules")
    if isinstance(rules, Mapping):
        yield from _table("rules", asked["rules"], rules, skip=("sources",))
    yield from _table("", asked, drawn, skip=("format", "shop", "room", "rules", "items", *_LISTS))
    by_id = {
        item["id"]: item for item in drawn.get("items") or () if isinstance(item, Mapping) and "id" in item
    }
    for item in asked["items"]:
        if item["id"] in by_id:
            yield from _item(item, by_id[item["id"]])
    for key in _LISTS:
        if isinstance(drawn.get(key), Sequence):
            yield from _relations(key, asked[key], drawn[key])


def _outline(asked: Document, drawn: Document) -> Iterator[Broken]:
    corners = drawn.get("outline_mm")
    if corners is None:
        return
    try:
        found, wrong = clean_outline([(int(x), int(y)) for x, y in corners])
    except (TypeError, ValueError, OverflowError):
        found, wrong = (), [("", "")]
    wanted = list(clean_outline([(x, y) for x, y in asked["outline_mm"]])[0])
    same = not wrong and len(found) == len(wanted) and set(found) == set(wanted)
    if not same or found != _from(found, wanted):
        yield Broken("asked", ("room",), "the outline is not the one that was asked about")


def _from(found: Sequence[tuple[int, int]], wanted: Sequence[tuple[int, ...]]) -> tuple[tuple[int, ...], ...]:
    """The corners that were asked for, beginning where the drawn ones do."""
    start = list(wanted).index(found[0])
    return (*wanted[start:], *wanted[:start])


def _item(asked: Document, drawn: Document) -> Iterator[Broken]:
    name = asked["id"]
    own = dict(drawn)
    if drawn.get("x_mm") is not None and drawn.get("turned_deg", 0) in (90, 270):
        own["length_mm"], own["width_mm"] = drawn.get("width_mm"), drawn.get("length_mm")
    wanted = dict(asked)
    if asked.get("x_mm") is not None and asked.get("turned_deg", 0) in (90, 270):
        wanted["length_mm"], wanted["width_mm"] = asked["width_mm"], asked["length_mm"]
    yield from _table(name, wanted, own, skip=_NOT_COMPARED)
    if not isinstance(drawn.get("zones"), Sequence):
        return
    zones = _by_id(drawn["zones"])
    for zone in asked["zones"]:
        full = f"{name}.{zone['id']}"
        if zone["id"] not in zones:
            yield Broken("asked", (full,), f"{full} was asked for and is not in the plan")
        else:
            yield from _table(full, zone, zones[zone["id"]], skip=_PLACED)


def _relations(key: str, asked: Sequence[Document], drawn: Sequence[Any]) -> Iterator[Broken]:
    """Every relation that was asked for is there, as it was."""
    for wanted in asked:
        if not any(isinstance(one, Mapping) and not list(_table("", wanted, one, skip=())) for one in drawn):
            ends = " and ".join(
                str(wanted[end]) for end in (("from", "to") if key == "flows" else ("a", "b"))
            )
            yield Broken(
                "asked", (ends,), f"what was asked of {ends} under {key} is not in the plan as it was"
            )


def _table(name: str, asked: Document, drawn: Document, *, skip: Sequence[str]) -> Iterator[Broken]:
    for key, wanted in asked.items():
        if key in skip or drawn.get(key) is None:
            continue  # unsaid
        full = f"{name}.{key}" if name else key
        said = drawn[key]
        if isinstance(wanted, Mapping):
            yield from _table(full, wanted, said if isinstance(said, Mapping) else {}, skip=())
            if not isinstance(said, Mapping):
                yield Broken("asked", (full,), f"{full} was asked for and is not in the plan")
        elif isinstance(wanted, list) and wanted and isinstance(wanted[0], Mapping):
            yield from _named(full, wanted, said if isinstance(said, Sequence) else [])
        elif said != wanted and not _as_good_as(wanted, said):
            text = f"{full} is {_shown(key, said)} in the plan, {_shown(key, wanted)} was asked for"
            yield Broken("asked", (full,), text)


def _named(name: str, asked: Sequence[Document], drawn: Sequence[Any]) -> Iterator[Broken]:
    by_id = _by_id(drawn)
    for wanted in asked:
        if wanted["id"] not in by_id:
            yield Broken("asked", (wanted["id"],), f"{wanted['id']} was asked for and is not in the plan")
        else:
            yield from _table(f"{name}.{wanted['id']}", wanted, by_id[wanted["id"]], skip=())


def _by_id(listed: object) -> dict[str, Document]:
    """The tables of a list by their id; what is none is left aside."""
    if not isinstance(listed, list):
        return {}
    return {one["id"]: one for one in listed if isinstance(one, Mapping) and isinstance(one.get("id"), str)}


def _as_good_as(wanted: object, said: object) -> bool:
    """True for the same in another order, and for null where nothing was said."""
    if isinstance(wanted, list) and isinstance(said, list):
        return sorted(map(str, wanted)) == sorted(map(str, said))
    return wanted in (None, [], 0, False) and said in (None, [], 0, False)


def _shown(key: str, value: object) -> str:
    if (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and key.endswith("_mm")
        and abs(value) < 1e9
    ):
        return metres(value)
    return "not given" if value is None else str(value)
