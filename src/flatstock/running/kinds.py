"""The kinds of event, what each must carry, and what is missing from one. The list stands in `data/kinds.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal

from flatstock.errors import Fault
from flatstock.running.event import Event

__all__ = ["EventKind", "FactKind", "incomplete", "kinds"]

FactKind = Literal["number", "text", "yes_no"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EventKind:
    """One kind of event."""

    name: str
    means: str
    sheet: bool  #: names a sheet
    places: frozenset[str] | None  #: kinds of place it may name; None: any
    place_needed: bool
    people: int  #: different people it needs at least
    skill: str | None  #: that each of them has
    handling: bool  #: two people, or one with a lift that takes the mass
    facts: Mapping[str, FactKind] | None  #: that it may carry; None: any
    needed: frozenset[str]  #: facts that it must carry
    danger: bool
    corrects: bool  #: names the event it corrects
    needs_why: bool


@cache
def kinds() -> Mapping[str, EventKind]:
    """Every kind of event by its name."""
    text = (Path(__file__).parent / "data" / "kinds.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: _kind(name, table) for name, table in tomllib.loads(text).items()})


def _kind(name: str, table: Mapping[str, Any]) -> EventKind:
    facts: Mapping[str, FactKind] | None = None if table["facts"] == "any" else table["facts"]
    place: list[str] | None = None if table.get("place") == "any" else table.get("place", [])
    return EventKind(
        name=name,
        means=table["means"],
        sheet=table.get("sheet", False),
        places=None if place is None else frozenset(place),
        place_needed=bool(place) and not table.get("optional_place", False),
        people=table.get("people", 0),
        skill=table.get("skill"),
        handling=table.get("handling", False),
        facts=None if facts is None else MappingProxyType({f.rstrip("?"): kind for f, kind in facts.items()}),
        needed=frozenset(f for f in facts or () if not f.endswith("?")),
        danger=table.get("danger", False),
        corrects=table.get("corrects", False),
        needs_why=table.get("needs_why", False),
    )


def incomplete(event: Event) -> list[Fault]:
    """What an event lacks or has too much of by its kind alone; who may do it where is the floor's to judge."""
    kind = kinds().get(event.kind)
    if kind is None:
        known = ", ".join(sorted(kinds()))
        return [
            Fault(
                where="kind", what=f"nothing that happens is called {event.kind!r}", instead=f"one of {known}"
            )
        ]
    found: list[Fault] = []

    def lacks(where: str, what: str, instead: str) -> None:
        found.append(Fault(where=where, what=f"{event.kind!r} {what}", instead=instead))

    if kind.sheet and event.sheet is None:
        lacks("sheet", "says of no sheet that it happened", "name the sheet")
    if kind.place_needed and event.where is None:
        lacks("place", "says no place", "name the place")
    if kind.corrects != (event.corrects is not None) and event.kind != "note":
        lacks("corrects", "names no event" if kind.corrects else "cannot correct another event",
              "name the event it corrects" if kind.corrects else "note it as 'corrected'")  # fmt: skip
    if kind.needs_why and not (event.why or "").strip():
        lacks("why", "gives no reason", "say why")
    found += _facts(event, kind)
    return found


def _facts(event: Event, kind: EventKind) -> list[Fault]:
    if kind.facts is None:
        return []
    found = [
        Fault(where=f"facts.{name}", what=f"{event.kind!r} does not say it", instead="add it")
        for name in sorted(kind.needed - set(event.facts))
    ]
    for name, fact in event.facts.items():
        wanted = kind.facts.get(name)
        if wanted is None:
            found.append(
                Fault(
                    where=f"facts.{name}", what=f"{event.kind!r} carries no such fact", instead="leave it out"
                )
            )
        elif not _fits(fact, wanted) and (fact is not None or name in kind.needed):
            found.append(
                Fault(
                    where=f"facts.{name}",
                    what=f"{fact!r} is no {wanted.replace('_', ' or ')}",
                    instead="correct it",
                )
            )
    return found


def _fits(fact: object, wanted: FactKind) -> bool:
    if wanted == "number":
        return isinstance(fact, int | float) and not isinstance(fact, bool) and isfinite(fact)
    return isinstance(fact, bool if wanted == "yes_no" else str)
