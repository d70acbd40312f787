"""Whether every field is there and holds what it should; the other rules read only what has passed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from math import isfinite
from typing import TypeGuard

from flatstock.planning.check.finding import Finding

__all__ = ["SETTINGS", "STEPS", "faults"]

STEPS = (
    "dry", "weigh", "prepare", "load", "dwell", "transfer", "press_cool", "move", "stack", "rack", "demould", "trim",
    "condition",
)  # fmt: skip
SETTINGS = ("heat_up", "soak", "raise", "lower", "clean", "hold", "off")
_KINDS = (
    "hot_press", "dryer", "lift", "scale", "cooling_press", "stack", "rack", "frame", "skins", "bench", "saw", "person",
)  # fmt: skip

Test = Callable[[object], bool]


def _text(found: object) -> bool:
    return isinstance(found, str) and bool(found.strip())


def _number(found: object) -> TypeGuard[float]:
    return isinstance(found, (int, float)) and not isinstance(found, bool) and isfinite(found)


def _amount(found: object) -> bool:
    return _number(found) and found >= 0


def _positive(found: object) -> bool:
    return _number(found) and found > 0


def _count(found: object) -> bool:
    return isinstance(found, int) and not isinstance(found, bool) and found >= 1


def _rounds(found: object) -> bool:
    return isinstance(found, int) and not isinstance(found, bool) and found >= 0


def _instant(found: object) -> bool:
    if not isinstance(found, str):
        return False
    try:
        return datetime.fromisoformat(found).tzinfo is not None
    except ValueError:
        return False


def _texts(found: object) -> bool:
    return isinstance(found, list) and all(_text(one) for one in found)


def _outing(found: object) -> bool:
    return (
        isinstance(found, Mapping)
        and _instant(found.get("start"))
        and _instant(found.get("end"))
        and _texts(found.get("people"))
        and _texts(found.get("places", []))
    )


def _or_null(test: Test) -> Test:
    return lambda found: found is None or test(found)


def _among(*words: str) -> Test:
    return lambda found: found in words


#: what a field should hold, and its words for a person
_TEXT, _TEXTS, _INSTANT = (
    (_text, "text"),
    (_texts, "a list of texts"),
    (_instant, "an ISO 8601 instant with offset"),
)
_AMOUNT, _POSITIVE = (_amount, "a number, 0 or more"), (_positive, "a number above 0")
_NUMBER, _MAYBE = (_number, "a number"), (_or_null(_number), "a number or null")
_PHASES = {f"L{n}_A": _AMOUNT for n in (1, 2, 3)}
Fields = Mapping[str, tuple[Test, str]]

_TOP: Fields = {
    "format": (_among("flatstock.plan/1"), "flatstock.plan/1"),
    "shop": _TEXT,
    "made_at": _INSTANT,
    "start": _INSTANT,
    "end": _INSTANT,
    "energy_kWh": (_or_null(_amount), "a number, 0 or more, or null"),
    "warnings": _TEXTS,
}
_LISTS: Mapping[str, Fields] = {
    "resources": {
        "id": _TEXT,
        "kind": (_among(*_KINDS), "a kind of resource"),
        "capacity": (_count, "1 or more"),
    },
    "lots": {
        "id": _TEXT,
        "plastic": _TEXT,
        "colour": (_or_null(_text), "text or null"),
        "status": _TEXT,
        "mass_kg": _AMOUNT,
    },
    "sheets": {
        "id": _TEXT,
        "order": _TEXT,
        "plastic": _TEXT,
        "colour": (_or_null(_text), "text or null"),
        "thickness_mm": _POSITIVE,
        "charge_kg": _POSITIVE,
        "set_point_C": _NUMBER,
        "dwell_min": _POSITIVE,
        "dwell_planned_min": _POSITIVE,
        "dwell_latest_min": (_or_null(_positive), "a number above 0 or null"),
        "press_cool_min": _AMOUNT,
        "frame": _TEXT,
        "skins": _TEXT,
        "condition_h": _AMOUNT,
        "due": (_or_null(_instant), "an instant or null"),
        "ready": _INSTANT,
        "late_min": _AMOUNT,
    },
    "tasks": {
        "id": _TEXT,
        "sheet": _TEXT,
        "step": (_among(*STEPS), "a step"),
        "start": _INSTANT,
        "end": _INSTANT,
        "places": _TEXTS,
        "people": _TEXTS,
    },
    "settings": {
        "place": _TEXT,
        "kind": (_among(*SETTINGS), "a kind of setting"),
        "start": _INSTANT,
        "end": _INSTANT,
        "from_C": _MAYBE,
        "to_C": _MAYBE,
    },
    "power": {"start": _INSTANT, "end": _INSTANT, **_PHASES},
    "late": {"order": _TEXT, "minutes": _AMOUNT, "because": _TEXTS},
    "left_out": {"order": _TEXT, "because": (lambda found: _text(found) or _texts(found), "text")},
    "cautions": {"text": _TEXT, "defer_to": _TEXT},
}
#: lists that a document may have besides
_MORE: Mapping[str, Fields] = {
    "given_up": {
        "sheet": _TEXT,
        "order": _TEXT,
        "press": (_or_null(_text), "text or null"),
        "frame": _TEXT,
        "skins": _TEXT,
        "since": _INSTANT,
        "cold_from": (_or_null(_instant), "an instant or null"),
        "out": (_or_null(_outing), "start, end and people, or null"),
        "instead": (_or_null(_text), "text or null"),
        "because": _TEXT,
        "do": _TEXTS,
    },
    "set_aside": {"sheet": _TEXT, "order": _TEXT, "because": _TEXT, "do": _TEXTS},
}
#: lists within the entries of a list, or within a part of the document
_INNER: Mapping[tuple[str, str], Fields] = {
    ("sheets", "lots"): {"lot": _TEXT, "mass_kg": _AMOUNT},
    ("late", "would_help"): {"what": _TEXT, "saves_min": _MAYBE},
}
_PARTS: Mapping[str, tuple[Fields, str, Fields]] = {
    "rehearsal": (
        {"rounds": (_rounds, "a whole number")},
        "sheets",
        {
            "sheet": _TEXT,
            "core_at_transfer_C": _MAYBE,
            "core_at_open_C": _MAYBE,
            "peak_after_C": _MAYBE,
            "core_at_demould_C": _MAYBE,
            "verdict": _TEXT,
        },
    ),
    "supply": (
        {"rated_A": (_or_null(_amount), "a number, 0 or more, or null")},
        "loads",
        {"id": _TEXT, **_PHASES, "on_during": _TEXTS},
    ),
    "proof": (
        {
            "status": (_among("optimal", "feasible", "impossible"), "optimal, feasible or impossible"),
            "seconds": _AMOUNT,
        },
        "objective",
        {"name": _TEXT, "value": _MAYBE, "bound": _MAYBE},
    ),
}
#: fields that a kind of resource has beside those of all
_OF_KIND: Mapping[str, Fields] = {
    "frame": {"thickness_mm": _POSITIVE},
    "stack": {"order": (_among("last_in_first_out"), "last_in_first_out")},
    "person": {"skills": _TEXTS},
}
#: that a mould which cools on has of its sheet
_OF_SHEET = (
    "thickness_mm", "charge_kg", "set_point_C", "dwell_min", "dwell_planned_min", "dwell_latest_min", "press_cool_min",
)  # fmt: skip
_OPTIONAL: Fields = {
    "load_max_kg": (_or_null(_amount), "a number or null"),
    "mould_mass_kg": (_or_null(_amount), "a number or null"),
}


def faults(document: Mapping[str, object]) -> Iterator[Finding]:
    """Every field that is missing or holds something else."""
    yield from _fields(document, _TOP, "")
    for name, fields in _LISTS.items():
        for where, one in _entries(document, name, ""):
            yield from _fields(one, fields, where)
            yield from _fields({k: one[k] for k in _OPTIONAL if k in one}, _OPTIONAL, where, only_there=True)
            for (outer, inner), inner_fields in _INNER.items():
                if outer == name:
                    yield from _not_a_list(one, inner, where)
                    for inner_where, inner_one in _entries(one, inner, where):
                        yield from _fields(inner_one, inner_fields, inner_where)
            if name == "resources":
                yield from _resource(one, where)
        yield from _not_a_list(document, name, "")
    for name, fields in _MORE.items():
        if name in document:
            yield from _not_a_list(document, name, "")
        for where, one in _entries(document, name, ""):
            yield from _fields(one, fields, where)
            yield from _cooling_on(one, where)
    for name, (fields, inner, inner_fields) in _PARTS.items():
        part = document.get(name)
        if not isinstance(part, Mapping):
            yield _wrong(name, "is not there", "write it")
            continue
        yield from _fields(part, fields, name)
        yield from _not_a_list(part, inner, name)
        for where, one in _entries(part, inner, name):
            yield from _fields(one, inner_fields, where)


def _cooling_on(one: Mapping[str, object], where: str) -> Iterator[Finding]:
    """Of a mould that cools on though its charge is given up: what is still to come of it, and what its sheet's entry
    had."""
    if one.get("ahead"):
        yield from _fields(
            one, {"place": _TEXT, **{name: _LISTS["sheets"][name] for name in _OF_SHEET}}, where
        )
        for name in ("tasks", "ahead"):
            yield from _not_a_list(one, name, where)
            for at, task in _entries(one, name, where):
                yield from _fields(task, _LISTS["tasks"], at)


def _wrong(where: str, what: str, instead: str) -> Finding:
    return Finding(where=where, what=what, instead=instead, rule="shape")


def _fields(
    one: Mapping[str, object], fields: Fields, where: str, *, only_there: bool = False
) -> Iterator[Finding]:
    for name, (test, words) in fields.items():
        at = f"{where}.{name}".lstrip(".")
        if name not in one:
            if not only_there:
                yield _wrong(at, "is not there", f"write {words}")
        elif not test(one[name]):
            yield _wrong(at, f"is {one[name]!r}", f"write {words}")


def _not_a_list(part: Mapping[str, object], name: str, where: str) -> Iterator[Finding]:
    found = part.get(name)
    at = f"{where}.{name}".lstrip(".")
    if not isinstance(found, list):
        yield _wrong(at, "is not there" if found is None else "is no list", "write a list")
    elif any(not isinstance(one, Mapping) for one in found):
        yield _wrong(at, "holds something that is no object", "write one object an entry")


def _entries(part: Mapping[str, object], name: str, where: str) -> Iterator[tuple[str, Mapping[str, object]]]:
    found = part.get(name)
    for n, one in enumerate(found if isinstance(found, list) else ()):
        if isinstance(one, Mapping):
            said = one.get("id") or one.get("sheet") or n
            yield f"{where}.{name}[{said}]".lstrip("."), one


def _resource(one: Mapping[str, object], where: str) -> Iterator[Finding]:
    kind = one.get("kind")
    yield from _fields(one, _OF_KIND.get(str(kind), {}), where)
    if kind == "person":
        yield from _not_a_list(one, "present", where)
        for at, stay in _entries(one, "present", where):
            yield from _fields(stay, {"start": _INSTANT, "end": _INSTANT}, at)
    if "out_of_order" in one:
        yield from _not_a_list(one, "out_of_order", where)
        for at, stay in _entries(one, "out_of_order", where):
            yield from _fields(stay, {"start": _INSTANT}, at)
            if stay.get("end") is not None:
                yield from _fields(stay, {"end": _INSTANT}, at)
