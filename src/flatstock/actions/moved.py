"""What a plan that goes on from another has moved, a sheet a line, and what it has done elsewhere or by others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

__all__ = ["AS_DONE", "Elsewhere", "Moved", "elsewhere_in", "moved_in", "moves_ahead"]

AS_DONE = "As it was done: "  #: what begins a warning of a step that happened as no plan may have it


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """The first step of a sheet that moved; `to` None: it is no longer planned."""

    sheet: str
    step: str
    before: datetime
    to: datetime | None
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Elsewhere:
    """A step that begins when it was to, in other places or with other people; `was` is empty for a new step."""

    sheet: str
    step: str
    at: datetime
    was: str
    now: str
    because: str


def moved_in(plan: Mapping[str, Any] | None) -> tuple[Moved, ...]:
    """By the new time; the loading of a sheet goes before its weighing and preparing."""
    since = plan.get("since") if plan is not None else None
    if since is None:
        return ()
    first: dict[str, Any] = {}
    for one in since["moved"]:
        before = first.get(one["sheet"])
        if before is None or (one["step"] == "load" and before["step"] in ("weigh", "prepare")):
            first[one["sheet"]] = one
    found = [
        Moved(
            sheet=one["sheet"],
            step=one["step"].replace("_", " "),
            before=datetime.fromisoformat(one["from"]),
            to=None if one["to"] is None else datetime.fromisoformat(one["to"]),
            because=one["because"],
        )
        for one in first.values()
    ]
    return tuple(sorted(found, key=lambda one: (one.to or one.before, one.sheet)))


def elsewhere_in(plan: Mapping[str, Any] | None) -> tuple[Elsewhere, ...]:
    """By the time at which they begin."""
    since = plan.get("since") if plan is not None else None
    return tuple(
        Elsewhere(
            sheet=one["sheet"],
            step=one["step"].replace("_", " "),
            at=datetime.fromisoformat(one["at"]),
            was=_said(one["places_before"], one["people_before"]),
            now=_said(one["places"], one["people"]),
            because=one["because"],
        )
        for one in ({} if since is None else since).get("changed", ())
    )


def _said(places: Sequence[str], people: Sequence[str]) -> str:
    return ", ".join(part for part in (" ".join(places), " + ".join(people)) if part)


def moves_ahead(moved: Sequence[Moved], now: datetime) -> list[Moved]:
    """What is still to come of them, or comes no more: loadings first, which take two people and a hot press."""
    ahead = [one for one in moved if one.to is None or one.to > now]
    return sorted(ahead, key=lambda one: (one.to is not None, one.step != "load"))
