"""The words that every print uses for the same thing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from flatstock.evidence import KINDS
from flatstock.prints.numbers import number
from flatstock.times import DAYS, MONTHS, clock

__all__ = [
    "KIND_WORDS",
    "clock",
    "day",
    "instant_ends",
    "kind_of",
    "people_of",
    "plastic_name",
    "rests_on",
    "weak_mark",
]

KIND_WORDS: Mapping[str, str] = {
    "measured": "measured",
    "fitted": "fitted to a trial",
    "handbook": "from a handbook",
    "computed": "computed",
    "from_memory": "from memory",
    "assumed": "assumed",
}


def plastic_name(plastic: str) -> str:
    """The id of a plastic as it is spoken: "hdpe" is "HDPE"; longer ids keep their words.

    >>> plastic_name("hdpe"), plastic_name("pp_copolymer")
    ('HDPE', 'PP COPOLYMER')
    """
    return plastic.replace("_", " ").upper()


def day(moment: datetime) -> str:
    """Weekday and date, the same in every locale.

    >>> day(datetime(2026, 3, 2, 8, 0))
    'Mon 2 March 2026'
    """
    return f"{DAYS[moment.weekday()]} {moment.day} {MONTHS[moment.month - 1]} {moment.year}"


def people_of(people: object) -> str:
    """How many people, or who: 2 is "2 people", ["OP1", "OP2"] is "OP1 + OP2"."""
    if people is None:
        return ""
    if isinstance(people, (list, tuple)):
        return " + ".join(str(person) for person in people)
    return "1 person" if people == 1 else f"{people} people"


def rests_on(document: Mapping[str, object]) -> str:
    """What a document rests on, by kind of evidence, best first: "12 measured, 3 assumed".

    Counted in the document itself (`rests_on`), else over the inputs that its `why` names, else
    over the numbers that carry a kind; empty where none does.
    """
    counted = document.get("rests_on")
    counts = dict(counted) if isinstance(counted, Mapping) else _count(document)
    found = [f"{counts[kind]} {KIND_WORDS[kind]}" for kind in KINDS if counts.get(kind)]
    return ", ".join(found)


def _count(document: Mapping[str, object]) -> dict[str, int]:
    inputs: dict[str, str] = {}
    for reason in _mappings(document.get("why")):
        for given in _mappings(reason.get("inputs")):
            if given.get("kind"):
                inputs[str(given.get("name"))] = str(given["kind"])
    kinds = list(inputs.values()) or [
        str(field["kind"]) for field in document.values() if isinstance(field, Mapping) and field.get("kind")
    ]
    return {kind: kinds.count(kind) for kind in KINDS}


def _mappings(found: object) -> Iterable[Mapping[str, object]]:
    if not isinstance(found, (list, tuple)):
        return ()
    return [one for one in found if isinstance(one, Mapping)]


def weak_mark(kind: str | None) -> str:
    """A word for what nobody has measured here; empty for measured and fitted."""
    return "" if kind in (None, "measured", "fitted") else KIND_WORDS.get(kind, kind)


def kind_of(field: object) -> str:
    """The kind of evidence of a number in words, empty where it carries none."""
    kind = number(field).kind
    return KIND_WORDS.get(kind, kind) if kind else ""


def instant_ends(field: object) -> tuple[datetime, datetime, datetime] | tuple[None, None, None]:
    """Early end, middle and late end of an instant of a document; all None where it is not known."""
    if isinstance(field, str):
        only = datetime.fromisoformat(field)
        return only, only, only
    if not isinstance(field, Mapping) or field.get("value") is None:
        return None, None, None
    middle = str(field["value"])
    early, late = (str(field.get(end) or middle) for end in ("low", "high"))
    return datetime.fromisoformat(early), datetime.fromisoformat(middle), datetime.fromisoformat(late)
